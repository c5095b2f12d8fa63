//! What the rest of the house needs to know of a crop, apart from its two laws: its bed, its limits, and
//! what is usually done with it.

use super::sourced::Status;
use super::water::wet_basis;

/// The bed that nuts make when poured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Mass of nuts at `bulk_density_moisture` that fills a cubic metre, kg/m³.
    pub bulk_density_kg_per_m3: f64,
    /// Moisture of the nuts for which the bulk density is stated, dry-basis fraction.
    pub bulk_density_moisture: f64,
    /// Share of the bed's volume that is air between the nuts, a fraction.
    pub porosity: f64,
    /// Diameter of the sphere that stands for one nut, m.
    pub equivalent_diameter_m: f64,
    /// What the bed's resistance is over that of the clean law.
    pub resistance_factor: f64,
    /// Hukill-Ives coefficients a (Pa s²/m³) and b (m² s/m³), where the crop has them.
    pub hukill_ives: Option<(f64, f64)>,
}

impl Bed {
    /// Dry matter in a cubic metre of bed, kg/m³. Nuts are taken not to shrink or swell in their shells,
    /// so it holds at any moisture.
    pub fn dry_matter_kg_per_m3(&self) -> f64 {
        self.bulk_density_kg_per_m3 * (1.0 - wet_basis(self.bulk_density_moisture))
    }

    /// Mass of nuts of this moisture (dry-basis fraction) in a cubic metre of bed, kg/m³.
    pub fn bulk_density_at_kg_per_m3(&self, moisture_db: f64) -> f64 {
        self.dry_matter_kg_per_m3() * (1.0 + moisture_db)
    }
}

/// Drying air no hotter than this above a moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct TemperatureLimit {
    /// The limit holds for nuts above this moisture, dry-basis fraction.
    pub above_moisture: f64,
    /// Hottest drying air, °C.
    pub max_air_c: f64,
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
}

/// What is usually done with the crop; a study names its own where it differs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Practice {
    /// Moisture as received, dry-basis fraction.
    pub received_moisture: f64,
    /// Moisture when dried, dry-basis fraction.
    pub dried_moisture: f64,
    /// Drying-air temperature, °C.
    pub drying_temperature_c: f64,
    /// Hours that wet nuts may wait without air.
    pub safe_wait_hours: f64,
    /// Water activity above which mould grows, a fraction.
    pub mould_water_activity: f64,
    /// Temperature of the store, °C.
    pub store_temperature_c: f64,
    /// Lowest and highest relative humidity of the store, fractions.
    pub store_relative_humidity: (f64, f64),
    /// Heat of respiration at 20 °C, W/t.
    pub respiration_w_per_t: f64,
}

/// Which thin-layer law the rate belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DryingLaw {
    /// Newton's (Lewis') law.
    Newton,
    /// Page's law.
    Page,
    /// Diffusion out of a sphere.
    Sphere,
}

/// Where the isotherm comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct IsothermOrigin {
    /// Source, written out.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
    /// Range of validity and doubt, in words; may be empty.
    pub range: String,
}

#[cfg(test)]
mod tests {
    use crate::crop::find;

    #[test]
    fn a_bed_holds_the_same_dry_matter_at_any_moisture() {
        let bed = *find("macadamia").unwrap().bed();
        let dry = bed.dry_matter_kg_per_m3();
        assert!((bed.bulk_density_at_kg_per_m3(bed.bulk_density_moisture) - 620.0).abs() < 1e-9);
        assert!((bed.bulk_density_at_kg_per_m3(0.25) - dry * 1.25).abs() < 1e-9);
    }
}
