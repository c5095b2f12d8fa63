//! Nuts in the way of the air.

use crate::airflow::BedResistance;
use crate::dryer::NutBed;
use crate::study::crops_read::CropRead;

/// How a crop's nuts stand in the way of the air.
pub(in crate::study) fn in_the_way(crop: &CropRead) -> NutBed {
    NutBed {
        resistance: bed_resistance(crop),
        bulk_density_kg_per_m3: crop.crop.bed().bulk_density_at_kg_per_m3(crop.crop.practice().received_moisture),
    }
}

fn bed_resistance(crop: &CropRead) -> BedResistance {
    let bed = crop.crop.bed();
    match bed.hukill_ives {
        Some((a, b)) => BedResistance::HukillIves { a, b, factor: bed.resistance_factor },
        None => BedResistance::Ergun {
            diameter_m: bed.equivalent_diameter_m,
            porosity: bed.porosity,
            shape_factor: bed.resistance_factor,
        },
    }
}
