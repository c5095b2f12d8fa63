//! Fresh air of rooms whose air comes back, against the water that it is to carry out.

use super::need::{mean_air, season_water_kg};
use super::{Doubts, room_key};
use crate::air::MoistAir;
use crate::dryer::{AirPath, RoomSpec};
use crate::heat::Kind;
use crate::problem::Matter;
use crate::weather::WeatherYear;

/// A season asks for its water's mean and more: fresh nuts give up most of it in their first days, and nuts do not come
/// evenly. Less than so many times the mean keeps no room as dry as it is set (assumption: the busiest weeks ask for twice
/// the mean and more).
const LEAST_OF_MEAN: f64 = 1.3;
/// What the fresh air of a season rests on.
const FRESH_AIR: &[Matter] = &[
    Matter::OutsideAir,
    Matter::Deliveries,
    Matter::Moisture,
    Matter::DayTonnes,
    Matter::SeasonTonnes,
    Matter::RoomAir,
];

/// What the season's water asks of fresh air.
struct Carried {
    /// Air that carries the water of the mean hour, m³/s.
    needed_m3_per_s: f64,
    /// How many times that water the fresh air carries at its most.
    times: f64,
}

impl Doubts<'_> {
    /// Fresh air that cannot carry the water out, however far its dampers open.
    pub(super) fn fresh_air(&mut self, years: &[WeatherYear]) {
        let Some(Carried { needed_m3_per_s, times }) = self.carried(years).filter(|one| one.times < LEAST_OF_MEAN)
        else {
            return;
        };
        let what = format!(
            "at its most the fresh air carries out {times:.1} times the water of the season's mean hour: it takes some {needed_m3_per_s:.2} m³/s to carry it once at relative_humidity_max, and busy weeks have twice as much"
        );
        let cure = "look at the digits of fresh_air_max_m3_per_s, which is all the room's fresh air in m³/s; if the room is to grow damper, raise relative_humidity_max";
        let path = room_key(self.study.plant.first_room(), "fresh_air_max_m3_per_s");
        self.doubt("room.fresh_air", &path, what, cure).follows_from = FRESH_AIR;
    }

    /// True if water leaves in every option through a coil as well.
    fn is_dried_by_coils(&self) -> bool {
        let mut all = self.heatings();
        all.all(|heating| heating.sources.iter().any(|source| matches!(source.kind, Kind::Dehumidifier(_))))
    }

    /// `None` where a room has air that passes once, or where outside air is too damp to carry anything.
    fn carried(&self, years: &[WeatherYear]) -> Option<Carried> {
        let outside = mean_air(self.study, years)?;
        let rooms: Vec<&RoomSpec> = self.study.plant.rooms().collect();
        if self.is_dried_by_coils() || rooms.iter().any(|room| room.air == AirPath::OnceThrough) {
            return None;
        }
        let water_kg_per_s = season_water_kg(self.study) / (3600.0 * years.first()?.season_hours as f64);
        let per_m3 = |room: &RoomSpec| outside.density_kg_per_m3() * gained(room, &outside).max(0.0);
        let dampest = rooms.iter().map(|room| per_m3(room)).fold(0.0, f64::max);
        let most_kg_per_s: f64 = rooms.iter().map(|room| room.fresh_air_max_m3_per_s * per_m3(room)).sum();
        (dampest > 0.0 && water_kg_per_s > 0.0)
            .then(|| Carried { needed_m3_per_s: water_kg_per_s / dampest, times: most_kg_per_s / water_kg_per_s })
    }
}

/// Water that a kg of outside air takes up in a room at its set temperature and at its dampest; nothing where there is no
/// such air.
fn gained(room: &RoomSpec, outside: &MoistAir) -> f64 {
    let set_c = room.hottest_stage_c();
    let inside =
        set_c.and_then(|c| MoistAir::from_relative_humidity(c, room.relative_humidity_max, outside.pressure_pa()).ok());
    inside.map_or(0.0, |inside| inside.humidity_ratio() - outside.humidity_ratio())
}
