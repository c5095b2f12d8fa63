//! The rooms of a study as they were read, and what other sections ask of them.

use super::nuts_in_the_way::in_the_way as nuts_in_the_way;
use super::prices::RoomPrices;
use crate::cool_store::Keeping;
use crate::crop::water;
use crate::dryer::{AirPath, BinSpec, RoomSpec};
use crate::heat::Source;
use crate::problem::meant_or;
use crate::season::{HandOver, HotLimit, PlantCrop, RoomSetback, StayRules};
use crate::study::costs::Options;
use crate::study::crops_read::CropRead;
use crate::study::cursor::Cursor;
use crate::study::field::Field;
use crate::study::store::StoreRead;

/// The rooms of a study, in the order in which batches pass them.
pub(in crate::study) struct RoomsRead {
    /// One at least.
    pub all: Vec<RoomSpec>,
    pub hand_overs: Vec<HandOver>,
    pub setbacks: Vec<RoomSetback>,
    /// What more or less of each costs, where the study says.
    pub prices: Vec<Option<RoomPrices>>,
    pub(super) practice: Practice,
}

/// How batches are worked.
#[derive(Default)]
pub(super) struct Practice {
    pub cooling_hours: f64,
    pub foresees_cooling: bool,
    pub fill_within_hours: f64,
    pub least_load_t: f64,
    pub fill_over_days: f64,
    pub spread_pct_points: f64,
    pub mould_hours: f64,
}

/// What the smallest of these bins holds, t.
pub(super) fn smallest_t(bins: &[BinSpec]) -> Option<f64> {
    bins.iter().map(|bin| bin.capacity_t).reduce(f64::min)
}

impl RoomsRead {
    /// The crops as the rooms dry them. Fans are reckoned for the first.
    pub(crate) fn crops(&self, crops: &[CropRead], store: Option<&StoreRead>) -> Vec<PlantCrop> {
        let in_the_way = |place: usize, crop| (place > 0).then(|| nuts_in_the_way(crop));
        let crops = crops.iter().enumerate().map(|(place, crop)| PlantCrop {
            nuts: crop.nuts,
            stay: self.stay(crop, store),
            in_the_way: in_the_way(place, crop),
        });
        crops.collect()
    }

    /// When batches move on and what is safe meanwhile.
    fn stay(&self, crop: &CropRead, store: Option<&StoreRead>) -> StayRules {
        let practice = crop.crop.practice();
        let target_pct = water::percent_of_dry_basis(practice.dried_moisture);
        let wettest = water::dry_basis_of_percent(target_pct + self.practice.spread_pct_points);
        StayRules {
            dried_moisture: practice.dried_moisture,
            spread: wettest - practice.dried_moisture,
            cooling_hours: self.practice.cooling_hours,
            foresees_cooling: self.practice.foresees_cooling,
            fill_within_hours: self.practice.fill_within_hours,
            least_load_kg: self.practice.least_load_t * 1000.0,
            load_within_hours: practice.safe_wait_hours,
            fill_over_hours: self.practice.fill_over_days * 24.0,
            safe_waiting_hours: practice.safe_wait_hours,
            mould_activity: practice.mould_water_activity,
            mould_hours: self.practice.mould_hours,
            store_hours: store.map_or(0.0, |store| store.stay_hours(crop)),
            keeping: store.map_or_else(Keeping::default, |store| store.keeping(crop)),
            hot_limits: crop
                .crop
                .limits()
                .iter()
                .map(|limit| HotLimit { above_moisture: limit.above_moisture, air_max_c: limit.max_air_c })
                .collect(),
        }
    }

    /// What the smallest bin of the first room holds, t.
    pub(crate) fn smallest_bin_t(&self) -> Option<f64> {
        smallest_t(&self.all.first()?.bins)
    }

    /// Place of the room that a key names, if it is given; a name that no room has is a problem. Where no rooms could
    /// be read there are no names to hold it against; that is said elsewhere.
    pub(crate) fn named(
        rooms: Option<&Self>,
        cursor: &Cursor<'_>,
        key: &str,
        name: Field<'_, String>,
    ) -> Option<usize> {
        let name = name.optional()?;
        let names: Vec<&str> = rooms?.all.iter().map(|room| room.name.as_str()).collect();
        let place = names.iter().position(|room| *room == name);
        if place.is_none() {
            cursor.complain_of_stranger(
                key,
                &format!("is \"{name}\", which no room is called"),
                &format!("one of {}", names.join(", ")),
                &meant_or(&name, names.iter().copied(), "name a [[room]]"),
            );
        }
        place
    }

    /// Condensers in a room need one whose air comes back, and so does a dehumidifier. `stands_here` says of the place
    /// of an option whether it stands in these rooms.
    pub(crate) fn check_condensers(
        &self,
        root: &Cursor<'_>,
        (heatings, _): &Options,
        stands_here: impl Fn(usize) -> bool,
    ) {
        let rooms = &self.all;
        let passes_once = |room: &&RoomSpec| room.air == AirPath::OnceThrough;
        for (_, heating) in heatings.iter().enumerate().filter(|(place, _)| stands_here(*place)) {
            let dries = |source: &&Source| source.kind.says().dries_the_room();
            if let Some(source) = heating.sources.iter().find(dries)
                && let Some(room) = rooms.iter().find(passes_once)
            {
                let what = format!(
                    "is \"{}\", whose air passes once, but option \"{}\" has the dehumidifier \"{}\"",
                    room.name, heating.name, source.name
                );
                let cure = "a dehumidifier dries air that comes back; use another source";
                root.complain("room", &what, "recirculating air", cure);
            }
            let stand_in = rooms.get(heating.condensers_room);
            if heating.condensers.place.may_stand_in_room()
                && let Some(room) = stand_in.filter(passes_once)
            {
                let what = format!(
                    "is \"{}\", whose air passes once, but option \"{}\" has condensers in it",
                    room.name, heating.name
                );
                root.complain("room", &what, "recirculating air", "use condensers = \"fresh-air\"");
            }
        }
    }
}
