//! Amounts that would be right in another unit or at another place: a season of kilograms, lights of watts, a
//! fraction for a percentage.

use super::deliveries::days_into;
use super::need::rough_need;
use super::{Doubts, HEAT_NEED, room_key};
use crate::problem::Matter;
use crate::study::input::Input;
use crate::weather::WeatherYear;

/// A season that fills the bins more often than this is no season of this plant: each fill takes a day at the
/// least (assumption).
const MOST_FILLS: f64 = 150.0;
/// A season that fills less than this part of the bins once is worth a note (assumption: bins are bought to be filled).
const FEW_FILLS: f64 = 0.25;
/// Bins that a season's nuts fill for less than this part of its days are worth the same note, where a fill takes so many
/// days (assumption: drying, cooling and handling mostly take 3 to 8 days).
const LITTLE_USE: f64 = 0.05;
const DAYS_OF_A_FILL: f64 = 4.0;
/// Drops of ducts below this are more often kPa or inches of water typed for Pa (assumption: louvres alone take more).
const LEAST_DROP_PA: f64 = 5.0;
/// Floor, ducts and heater of a bin that take less than this are rare enough for a note: an open floor under a fan of its own
/// (common practice, no published source: some 100 to 1000 Pa).
const USUAL_DROP_PA: f64 = 60.0;
/// Lights and people that give more than this share of a rough estimate of the heat needed are more often watts
/// typed for kilowatts (assumption).
const MUCH_OF_NEED: f64 = 0.5;

/// A percentage that is hardly ever so small.
struct Percentage {
    table: &'static str,
    key: &'static str,
    /// Below this, and above nothing, it is more often a fraction.
    least: f64,
    code: &'static str,
    /// Why it is rare.
    rare: &'static str,
    cure: &'static str,
}

/// All of them. Wood and its like hold 5 to 6 % of hydrogen, and nuts whose density was weighed were no drier than
/// kernels in a roaster; tanks lose a tenth of a percent an hour and more (common practice, no published source).
const PERCENTAGES: [Percentage; 5] = [
    Percentage {
        table: "carrier.",
        key: "moisture",
        least: 1.0,
        code: "carrier.moisture",
        rare: " of the fuel as burnt, drier than an oven leaves it",
        cure: "give percent of the mass, as 13 for 13 %",
    },
    Percentage {
        table: "carrier.",
        key: "hydrogen_dry",
        least: 1.0,
        code: "carrier.hydrogen",
        rare: " of the dry mass; wood and its like hold 5 to 6 %",
        cure: "give percent of the dry mass, as 6 for 6 %",
    },
    Percentage {
        table: "crop.",
        key: "bulk_density_moisture",
        least: 1.0,
        code: "crop.density_moisture",
        rare: " w.b.; nuts are weighed at some 5 to 25 %",
        cure: "give percent of the wet mass, as 10 for 10 %",
    },
    Percentage {
        table: "source.",
        key: "humidity_min",
        least: 1.0,
        code: "source.humidity",
        rare: " RH, drier than any air that a compressor dries",
        cure: "give percent, as 25 for 25 %",
    },
    Percentage {
        table: "source.",
        key: "loss_pct_per_hour",
        least: 0.01,
        code: "source.loss",
        rare: " of its heat an hour; an insulated tank of some m³ loses 0.1 to 1 %",
        cure: "give percent, as 0.5 for half a percent an hour",
    },
];

impl Doubts<'_> {
    /// More nuts than the bins can hold in turn, or fewer than one load.
    pub(super) fn season_tonnes(&mut self) {
        let bins = &self.study.plant.first_room().bins;
        let capacity_t: f64 = bins.iter().map(|bin| bin.capacity_t).sum();
        let smallest_t = bins.iter().map(|bin| bin.capacity_t).fold(f64::INFINITY, f64::min);
        let received_t = self.study.intake.received_t();
        let fills = received_t / capacity_t;
        let path = self
            .given("season_tonnes")
            .or_else(|| self.given("dried_tonnes"))
            .unwrap_or_else(|| "crop.intake".to_owned());
        let (what, cure) = if fills > MOST_FILLS {
            let what = format!("{received_t:.0} t come in a season, and fill all bins {fills:.0} times over");
            (what, "give tonnes a season, not kilograms")
        } else if received_t < 0.5 * smallest_t {
            let what = format!("{received_t} t come in a season, and the smallest bin holds {smallest_t} t");
            let cure = "give all that comes in a season, in tonnes: 1.234 is little more than one, and 1234 a thousand times that";
            (what, cure)
        } else {
            self.idle_bins(&path, received_t, capacity_t);
            return;
        };
        let doubt = self.doubt("intake.season", &path, what, cure);
        doubt.is_about = &[Matter::SeasonTonnes];
        doubt.follows_from = &[Matter::Deliveries, Matter::Bins, Matter::DayTonnes];
    }

    /// Bins that are never full, or stand empty nearly all season.
    fn idle_bins(&mut self, path: &str, received_t: f64, capacity_t: f64) {
        let fills = received_t / capacity_t;
        let days = (days_into(self.study.season, self.study.season.ends) + 1) as f64;
        let how_idle = if fills < FEW_FILLS {
            "they are never full".to_owned()
        } else if fills * DAYS_OF_A_FILL < LITTLE_USE * days {
            format!("they are filled {fills:.1} times in {days} days, and stand empty in most of them")
        } else {
            return;
        };
        let what =
            format!("{received_t:.1} t come in a season, and all bins together hold {capacity_t:.0} t: {how_idle}");
        let cure = "look at the season's tonnes, and at count and tonnes of the bins";
        self.note("intake.season", path, what, cure);
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
            let cure = "give lights in kW and people by their number";
            self.doubt("room.gains", &path, what, cure).follows_from = HEAT_NEED;
        }
    }

    /// Percentages below one that are more often fractions.
    pub(super) fn fractions(&mut self) {
        let found: Vec<(&Percentage, String, f64)> = self
            .inputs
            .iter()
            .filter_map(|input| {
                let key = input.path.rsplit('.').next()?;
                let percentage = PERCENTAGES.iter().find(|one| one.key == key && input.path.starts_with(one.table))?;
                let number = input.number.filter(|number| *number > 0.0 && *number < percentage.least)?;
                Some((percentage, input.path.clone(), number))
            })
            .collect();
        for (percentage, path, number) in found {
            let what = format!("{} is {number} %{}", percentage.key, percentage.rare);
            self.doubt(percentage.code, &path, what, percentage.cure);
        }
    }

    /// A drop of ducts that no duct has: none at all is said as 0.
    pub(super) fn small_pressures(&mut self) {
        let is_small = |input: &&Input| {
            let key = input.path.rsplit('.').next().unwrap_or_default();
            let least_pa = match key {
                "duct_pressure_pa" => USUAL_DROP_PA,
                "pressure_pa" => LEAST_DROP_PA,
                _ => return false,
            };
            input.path.starts_with("room.") && input.number.is_some_and(|pa| pa > 0.0 && pa < least_pa)
        };
        let small = self.inputs.iter().filter(is_small);
        let found: Vec<(String, f64)> = small.filter_map(|input| Some((input.path.clone(), input.number?))).collect();
        for (path, pa) in found {
            let key = path.rsplit('.').next().unwrap_or_default();
            if pa >= LEAST_DROP_PA {
                let what = format!(
                    "{key} is {pa} Pa; floor, ducts and heater of a bin mostly take 100 to 1000 Pa, and what fans take goes with it"
                );
                let cure = "an open floor under a fan of its own takes so little; with ducts or a heater, look for a digit that is lost";
                self.note("room.duct_pressure", &path, what, cure);
                continue;
            }
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
