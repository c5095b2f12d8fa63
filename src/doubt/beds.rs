//! Beds that are deeper than air can dry, and thinner than nuts can lie.

use super::{Doubts, room_key};
use crate::crop::Quantity;
use crate::dryer::{BinSpec, RoomSpec};
use crate::problem::Matter;
use crate::study::StudyCrop;
use crate::unit::slope;

/// Deeper beds are rarely built: the air is saturated before it leaves (common practice, no published
/// source).
const DEEPEST_BED_M: f64 = 3.0;
/// A bed that is thinner than this is one of trays; it is worth a note, for an area in square feet makes one of any bin
/// (assumption: bins and wagons are filled half a metre deep and more).
const TRAY_M: f64 = 0.3;
/// A bed of less than this many nuts on top of each other covers no floor (assumption: trays of one layer are left room).
const FEWEST_NUTS: f64 = 1.0;

impl Doubts<'_> {
    pub(super) fn bed_depth(&mut self, room: &RoomSpec) {
        let Some((bin, depth_m)) = self.deepest(room).filter(|(_, depth_m)| *depth_m > DEEPEST_BED_M) else {
            return;
        };
        let what = format!(
            "{} t on {} m² lie {depth_m:.1} m deep; beyond {DEEPEST_BED_M} m the air is moist before it leaves and the top stays wet",
            bin.capacity_t, bin.floor_area_m2
        );
        let path = self.floor_path(room, &bin);
        let cure = "look at tonnes and floor_area_m2, each of one bin";
        let doubt = self.doubt("room.depth", &path, what, cure);
        doubt.is_about = &[Matter::Bins];
        doubt.follows_from = &[Matter::Nuts];
    }

    /// Nuts on a floor that is too large for them: the deepest bed of the room is thin.
    pub(super) fn thin_bed(&mut self, room: &RoomSpec) {
        let Some((bin, depth_m)) = self.deepest(room).filter(|(_, depth_m)| *depth_m < TRAY_M) else {
            return;
        };
        let nut = |crop: &StudyCrop| crop.crop.value(Quantity::EquivalentDiameter).map(|nut| nut.value);
        let largest_m = self.study.crops.iter().filter_map(nut).fold(0.0, f64::max) / 1000.0;
        let path = self.floor_path(room, &bin);
        let cm = depth_m * 100.0;
        let what = format!("{} t on {} m² lie {cm:.1} cm deep", bin.capacity_t, bin.floor_area_m2);
        let in_feet = bin.floor_area_m2 * slope("ft2", "m²");
        let cure = format!(
            "if the area is in square feet it is {in_feet:.1} m²: give m², or text with its unit, \"{} ft2\"; look at tonnes too",
            bin.floor_area_m2
        );
        if depth_m < FEWEST_NUTS * largest_m {
            let what = format!("{what}, less than one nut");
            let doubt = self.doubt("room.depth", &path, what, &cure);
            doubt.is_about = &[Matter::Bins];
            doubt.follows_from = &[Matter::Nuts];
        } else {
            self.note("room.thin_bed", &path, format!("{what}, as on trays"), &cure);
        }
    }

    /// The bin of a room in which nuts lie deepest when it is full, and how deep, m: the lightest crop lies deepest.
    fn deepest(&self, room: &RoomSpec) -> Option<(BinSpec, f64)> {
        let beds = self.study.plant.crops.iter().filter_map(|crop| crop.in_the_way);
        let density = beds.map(|bed| bed.bulk_density_kg_per_m3).fold(room.bin_fan.bulk_density_kg_per_m3, f64::min);
        let depths = room.bins.iter().map(|bin| (*bin, bin.capacity_t * 1000.0 / density / bin.floor_area_m2));
        depths.max_by(|(_, a), (_, b)| a.total_cmp(b))
    }

    /// The path of the floor of a bin like this one.
    fn floor_path(&self, room: &RoomSpec, bin: &BinSpec) -> String {
        let found = self.inputs.iter().find(|input| {
            input.path.starts_with(&room_key(room, "bins."))
                && input.path.ends_with(".floor_area_m2")
                && input.number == Some(bin.floor_area_m2)
        });
        found.map_or_else(|| room_key(room, "bins"), |input| input.path.clone())
    }
}
