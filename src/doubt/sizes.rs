//! Sizes that do not fit one another: heaters, walls, days of intake against bins.

use super::need::{heat_kw, rough_need};
use super::{Doubts, HEAT_NEED, room_key};
use crate::dryer::AirPath;
use crate::problem::Matter;
use crate::season::Intake;
use crate::study::kg_per;
use crate::weather::WeatherYear;
use chrono::{Datelike, NaiveDate};
use std::collections::BTreeMap;

/// Heat beyond so many times a rough estimate for all bins is more often kW typed for W (assumption).
const MUCH_HEAT: f64 = 20.0;
/// A source that gives so many times the mean need at its least runs in few hours: the peak is some twice the mean
/// (assumption).
const LEAST_OUTPUT: f64 = 2.0;
/// Least and most U x area for a m² of bin floor, W/(m² K): a room has some four times that in walls and roof,
/// of U 0.1 with 30 cm of foam, and of 12 where it is sheet steel and draughts (common practice, no published
/// source).
const UA_PER_FLOOR: (f64, f64) = (0.3, 150.0);
/// Shells as burnt may hold more water than the nuts that they were of (assumption).
const MORE_WITH_WATER: f64 = 1.15;
/// A day that fills all bins so many times over is no day of this plant (assumption).
const DAY_OF_FILLS: f64 = 3.0;

impl Doubts<'_> {
    pub(super) fn much_heat(&mut self, years: &[WeatherYear]) {
        let Some(need_kw) = self.need_of_all_bins_kw(years) else {
            return;
        };
        let much: Vec<(String, f64)> = self
            .heatings()
            .map(|heating| (heating.name.clone(), heat_kw(self.study, heating)))
            .filter(|(_, kw)| *kw > MUCH_HEAT * need_kw)
            .collect();
        for (name, kw) in much {
            let what =
                format!("option \"{name}\" has {kw:.0} kW of heat; all bins together hardly need {need_kw:.0} kW");
            let path = format!("option.{name}.sources");
            let cure = "look at capacity_kw: it is in kW, not in W";
            self.doubt("heat.much", &path, what, cure).follows_from = HEAT_NEED;
        }
    }

    /// Sources that give too much even at their least: they rest in most hours, and others heat in their place.
    pub(super) fn least_outputs(&mut self, years: &[WeatherYear]) {
        let Some(need_kw) = self.need_of_all_bins_kw(years) else {
            return;
        };
        let mut much: Vec<(String, f64)> = Vec::new();
        for source in self.heatings().flat_map(|heating| &heating.sources) {
            let is_known = much.iter().any(|(name, _)| *name == source.name);
            if source.least_kw() > LEAST_OUTPUT * need_kw && !is_known {
                much.push((source.name.clone(), source.least_kw()));
            }
        }
        for (name, kw) in much {
            let what = format!(
                "source \"{name}\" gives no less than {kw:.0} kW while it runs; all bins together need some {need_kw:.0} kW in the mean hour, so that it rests in most and others heat in its place"
            );
            let path = format!("source.{name}.capacity_kw");
            let cure = "look at capacity_kw and minimum_load: a smaller source, or one that can be turned down further";
            self.doubt("source.least_output", &path, what, cure).follows_from = HEAT_NEED;
        }
    }

    /// A rough estimate of what all bins need in the mean hour, kW; `None` without weather.
    fn need_of_all_bins_kw(&self, years: &[WeatherYear]) -> Option<f64> {
        let need = rough_need(self.study, years)?;
        let room = self.study.plant.first_room();
        let bins = match room.air {
            AirPath::Recirculating => 1.0,
            // The estimate is that of the largest bin.
            AirPath::OnceThrough => {
                let largest_t = room.bins.iter().map(|bin| bin.capacity_t).fold(f64::MIN_POSITIVE, f64::max);
                let all_t: f64 = self.study.plant.rooms().flat_map(|room| &room.bins).map(|bin| bin.capacity_t).sum();
                (all_t / largest_t).max(1.0)
            }
        };
        Some(need.kw.max(1.0) * bins)
    }

    pub(super) fn envelope(&mut self) {
        let rooms: Vec<_> = self.study.plant.rooms().collect();
        for room in rooms {
            match room.air {
                AirPath::Recirculating => {}
                AirPath::OnceThrough => continue,
            }
            let floor_m2: f64 = room.bins.iter().map(|bin| bin.floor_area_m2).sum();
            let ua = room.envelope_ua_w_per_k;
            let (low, high) = (UA_PER_FLOOR.0 * floor_m2, UA_PER_FLOOR.1 * floor_m2);
            if ua == 0.0 || (low..=high).contains(&ua) {
                continue;
            }
            let what = format!(
                "envelope_ua_w_per_k is {ua}; a room around {floor_m2:.0} m² of bin floors has {low:.0} to {high:.0} W/K"
            );
            let path = room_key(room, "envelope_ua_w_per_k");
            let cure = "give the sum of U x area over walls, roof and floor, in W/K";
            let doubt = self.doubt("room.envelope", &path, what, cure);
            doubt.is_about = &[Matter::RoomWalls];
            doubt.follows_from = &[Matter::Bins];
        }
    }

    pub(super) fn days_of_intake(&mut self) {
        let capacity_t: f64 = self.study.plant.first_room().bins.iter().map(|bin| bin.capacity_t).sum();
        let mut days: BTreeMap<NaiveDate, f64> = BTreeMap::new();
        add_days(&self.study.intake, &mut days);
        let Some((date, tonnes)) = days.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)) else {
            return;
        };
        if tonnes <= DAY_OF_FILLS * capacity_t {
            return;
        }
        let what = format!(
            "{tonnes:.0} t come on {:02}-{:02}, and all bins of the first room hold {capacity_t:.0} t",
            date.month(),
            date.day()
        );
        let cure = "look whether the file has tonnes and not kilograms";
        let doubt = self.doubt("intake.day", "crop.intake", what, cure);
        doubt.is_about = &[Matter::DayTonnes];
        doubt.follows_from = &[Matter::Deliveries, Matter::Bins];
    }
}

impl Doubts<'_> {
    /// Shells are what nuts are but for their kernels: no more of them can be burnt.
    pub(super) fn own_fuel(&mut self) {
        let shells = self.study.crops.iter().filter_map(|crop| crop.crop.isotherm_pair());
        let Some(most) = shells.map(|pair| 1.0 - pair.kernel_share).reduce(f64::max) else {
            return;
        };
        let most = most * MORE_WITH_WATER;
        let all: Vec<(String, f64)> = self
            .study
            .carriers
            .fuels
            .iter()
            .filter_map(|(name, carrier)| {
                let kg = kg_per(carrier.unit)?;
                Some((name.clone(), carrier.own.as_ref()?.units_per_dried_kg * kg))
            })
            .filter(|(_, share)| *share > most)
            .collect();
        for (name, share) in all {
            let what = format!(
                "share_of_dried is {share:.2}, and the shells of these nuts are {most:.2} of what is dried at most"
            );
            let path = format!("carrier.{name}.own_supply.share_of_dried");
            self.doubt(
                "fuel.own",
                &path,
                what,
                "give tonnes of fuel for a tonne of dried nuts, of the part that is cracked on site",
            );
        }
    }
}

/// Tonnes by day of the deliveries that are named day by day.
fn add_days(intake: &Intake, days: &mut BTreeMap<NaiveDate, f64>) {
    match intake {
        Intake::Shaped { .. } => {}
        Intake::Daily(rows) => {
            for row in rows {
                *days.entry(row.date).or_default() += row.tonnes;
            }
        }
        Intake::ByCrop(all) => all.iter().for_each(|one| add_days(one, days)),
    }
}
