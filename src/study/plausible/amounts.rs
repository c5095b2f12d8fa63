//! Amounts that would be right in another unit or at another place: a season of kilograms, lights of watts, a
//! fraction for a percentage.

use super::{Doubts, room_key, rough_need};
use crate::study::input::Input;
use crate::weather::WeatherYear;

/// A season that fills the bins more often than this is no season of this plant: each fill takes a day at the
/// least (assumption).
const MOST_FILLS: f64 = 150.0;
/// Drops of ducts below this are more often kPa or inches of water typed for Pa (assumption: louvres alone take more).
const LEAST_DROP_PA: f64 = 5.0;
/// Lights and people that give more than this share of a rough estimate of the heat needed are more often watts
/// typed for kilowatts (assumption).
const MUCH_OF_NEED: f64 = 0.5;

impl Doubts<'_> {
    /// More nuts than the bins can hold in turn, or fewer than one load.
    pub(super) fn season_tonnes(&mut self) {
        let bins = &self.study.plant.first_room().bins;
        let capacity_t: f64 = bins.iter().map(|bin| bin.capacity_t).sum();
        let smallest_t = bins.iter().map(|bin| bin.capacity_t).fold(f64::INFINITY, f64::min);
        let received_t = self.study.intake.received_t();
        let fills = received_t / capacity_t;
        let what = if fills > MOST_FILLS {
            format!("{received_t:.0} t come in a season, and fill all bins {fills:.0} times over")
        } else if received_t < 0.5 * smallest_t {
            format!("{received_t} t come in a season, and the smallest bin holds {smallest_t} t")
        } else {
            return;
        };
        let path = self
            .given("season_tonnes")
            .or_else(|| self.given("dried_tonnes"))
            .unwrap_or_else(|| "crop.intake".to_owned());
        self.doubt("intake.season", &path, what, "give tonnes a season, not kilograms");
    }

    /// Lights and people that heat the room.
    pub(super) fn gains(&mut self, years: &[WeatherYear]) {
        let Some(need) = rough_need(self.study, years) else {
            return;
        };
        let rooms: Vec<(String, f64)> = self
            .study
            .plant
            .rooms()
            .filter(|room| room.gains_kw > MUCH_OF_NEED * need.kw)
            .map(|room| (room_key(room, "lights_kw"), room.gains_kw))
            .collect();
        for (path, kw) in rooms {
            let what =
                format!("lights and people give {kw:.0} kW in every hour; {} roughly {:.0} kW", need.of, need.kw);
            self.doubt("room.gains", &path, what, "give lights in kW and people by their number");
        }
    }

    /// A fuel's moisture below one percent is more often a fraction.
    pub(super) fn fractions(&mut self) {
        let is_fraction = |input: &&Input| {
            input.path.starts_with("carrier.")
                && input.path.ends_with(".moisture")
                && input.number.is_some_and(|number| number > 0.0 && number < 1.0)
        };
        let found: Vec<(String, f64)> = self
            .inputs
            .iter()
            .filter(is_fraction)
            .filter_map(|input| Some((input.path.clone(), input.number?)))
            .collect();
        for (path, number) in found {
            let what = format!("moisture is {number} % of the fuel as burnt, drier than an oven leaves it");
            self.doubt("carrier.moisture", &path, what, "give percent of the mass, as 13 for 13 %");
        }
    }

    /// A drop of ducts that no duct has: none at all is said as 0.
    pub(super) fn small_pressures(&mut self) {
        let is_small = |input: &&Input| {
            let key = input.path.rsplit('.').next().unwrap_or_default();
            input.path.starts_with("room.")
                && ["duct_pressure_pa", "pressure_pa"].contains(&key)
                && input.number.is_some_and(|pa| pa > 0.0 && pa < LEAST_DROP_PA)
        };
        let small = self.inputs.iter().filter(is_small);
        let found: Vec<(String, f64)> = small.filter_map(|input| Some((input.path.clone(), input.number?))).collect();
        for (path, pa) in found {
            let key = path.rsplit('.').next().unwrap_or_default();
            let what = format!("{key} is {pa} Pa; ducts, floor and louvres take some 50 to 1000 Pa");
            self.doubt(
                "room.duct_pressure",
                &path,
                what,
                "give Pa, or text with its unit: \"0.35 kPa\", \"1.4 in H2O\"",
            );
        }
    }

    /// The path of the only input that ends so.
    fn given(&self, key: &str) -> Option<String> {
        let found = self.inputs.iter().find(|input| input.path.ends_with(key));
        found.map(|input| input.path.clone())
    }
}
