//! Air that grows cooler as nuts dry.

use super::{Doubts, room_key};
use crate::dryer::{RoomSpec, Stage};
use crate::study::input::Input;

/// Stages that cool by less than this are no stages, K (assumption).
const COOLER_K: f64 = 1.0;
/// A stage of so much hotter air before the others is meant: so columns take the first water off before bins (common
/// practice, no published source). It is worth a note.
const MUCH_COOLER_K: f64 = 15.0;

impl Doubts<'_> {
    /// Stages of a room of which a later one is cooler: wet nuts are dried gently and drier ones may be dried warmer
    /// (common practice, no published source; the limits of the crop library fall with moisture in the same way).
    pub(super) fn cooling_stages(&mut self, room: &RoomSpec) {
        let heated: Vec<f64> =
            room.stages.iter().filter(|stage| stage.is_heated()).map(|stage| stage.temperature_c).collect();
        let Some(pair) = heated.windows(2).find(|pair| pair[1] < pair[0] - COOLER_K) else {
            return;
        };
        let what = format!("the air is {} °C while nuts are wet, and {} °C once they are drier", pair[0], pair[1]);
        let path = self.temperature_path(room, pair[0]);
        let cure = "dryers begin gently and end warmer: look whether two temperatures are exchanged";
        if pair[0] - pair[1] < MUCH_COOLER_K {
            self.doubt("room.stages", &path, what, cure);
        } else {
            self.note("room.stages", &path, what, cure);
        }
    }

    /// Where a room's study says that its air has this temperature: at the room, or in the stage that has it.
    pub(super) fn temperature_path(&self, room: &RoomSpec, air_c: f64) -> String {
        let (whole, stages) = (room_key(room, "temperature_c"), room_key(room, "stages."));
        let of_stage = |input: &&Input| {
            input.path.starts_with(&stages) && input.path.ends_with(".temperature_c") && input.number == Some(air_c)
        };
        let is_whole = self.inputs.iter().any(|input| input.path == whole);
        let found = self.inputs.iter().find(of_stage).filter(|_| !is_whole);
        found.map_or(whole, |input| input.path.clone())
    }

    /// The same from one room to the next, which rooms of their own may be built for: a note.
    pub(super) fn cooling_rooms(&mut self) {
        let study = self.study;
        let rooms: Vec<&RoomSpec> = study.plant.rooms().collect();
        for pair in rooms.windows(2) {
            let (Some(before), Some(after)) = (hottest_heated(pair[0]), hottest_heated(pair[1])) else { continue };
            if after < before - COOLER_K {
                let what = format!(
                    "nuts go from {before} °C in \"{}\" to {after} °C in \"{}\", drier and cooler",
                    pair[0].name, pair[1].name
                );
                let cure = "drier nuts mostly stand warmer air: look whether two temperatures are exchanged";
                self.note("room.stages", &room_key(pair[1], "temperature_c"), what, cure);
            }
        }
    }
}

/// The hottest air that a room is heated to, °C.
fn hottest_heated(room: &RoomSpec) -> Option<f64> {
    let heated = room.stages.iter().filter(|stage| stage.is_heated());
    heated.map(|stage: &Stage| stage.temperature_c).reduce(f64::max)
}
