//! The standing doubt: what is uncertain about any study that does not say otherwise.
//!
//! Nobody knows the drying rate of his nuts or the leaks of his walls to the last figure, whether or not he
//! says so. Values that move the answer therefore stand in doubt from the start, each about the study's own
//! value. Prices do not: they are agreed or they are not, and only the study knows. A study that knows better
//! writes its own distribution, or that the value is known.

use super::crops_read::CropRead;
use super::input::Input;
use crate::crop::{Crop, Quantity, Status};
use crate::uncertainty::{Distribution, Limits, Shape};

/// Why a value stands in doubt though the study does not say so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StandingDoubt {
    /// What people call the value: `heat loss of “drying room”`.
    pub name: String,
    /// What the spread rests on.
    pub reason: String,
    /// What would take the doubt away.
    pub cure: &'static str,
}

/// A kind of value that stands in doubt.
struct Doubted {
    /// The table that it stands in.
    table: &'static str,
    /// Its key there, with the tables between.
    key: &'static str,
    /// What people call it; of what follows.
    name: &'static str,
    spread: Spread,
    /// What the spread rests on; of a crop's value that the library knows a range of, the library.
    reason: &'static str,
    cure: &'static str,
}

/// How far a value may lie from the study's own.
#[derive(Clone, Copy, Debug)]
enum Spread {
    /// One value in ten lies above so many times the study's, and one in ten below that part of it.
    Times(f64),
    /// A bell of this standard deviation, in the value's own unit, that never leaves these bounds.
    About { sd: f64, low: f64, high: f64 },
}

use Spread::{About, Times};

/// All of them. Spreads without a source are assumptions of those who wrote this list.
const DOUBTED: [Doubted; 21] = [
    Doubted {
        table: "crop",
        key: "received_moisture",
        name: "moisture as received",
        spread: About { sd: 1.0, low: 5.0, high: 60.0 },
        reason: "assumption: the mean moisture of a season's loads is known to about a point",
        cure: "weigh and sample every load",
    },
    Doubted {
        table: "crop",
        key: "dried_moisture",
        name: "moisture as dried",
        spread: About { sd: 0.3, low: 1.0, high: 40.0 },
        reason: "assumption: moisture meters end drying within about half a point of the target",
        cure: "hold the moisture meter against samples dried in an oven",
    },
    Doubted {
        table: "crop",
        key: "drying_rate",
        name: "drying rate",
        spread: Times(1.15),
        reason: "assumption: a rate fitted to one drying log holds to about a seventh for other loads",
        cure: "log the drying of a few batches and fit the rate with dryledger log",
    },
    Doubted {
        table: "crop",
        key: "resistance_factor",
        name: "resistance of the bed",
        spread: Times(1.2),
        reason: "assumption: fines, trash and filling move a bed's resistance by about a fifth",
        cure: "measure the pressure under a full bin",
    },
    Doubted {
        table: "room",
        key: "airflow_m3_per_s_per_tonne",
        name: "airflow",
        spread: Times(1.15),
        reason: "assumption: air as built is within about a seventh of the air as designed",
        cure: "measure the air of each bin with its full load",
    },
    Doubted {
        table: "room",
        key: "relative_humidity_max",
        name: "humidity limit as kept",
        spread: About { sd: 2.0, low: 5.0, high: 95.0 },
        reason: "assumption: a humidity sensor in warm, damp, dusty air strays by some 2 points",
        cure: "hold the room's humidity sensor against a wet and dry bulb",
    },
    Doubted {
        table: "room",
        key: "fresh_air_min_m3_per_s",
        name: "air that leaks in",
        spread: Times(1.4),
        reason: "assumption: nobody has measured what leaks past closed dampers",
        cure: "measure the air that leaves with closed dampers",
    },
    Doubted {
        table: "room",
        key: "envelope_ua_w_per_k",
        name: "heat loss",
        spread: Times(1.25),
        reason: "assumption: joints, floors and doors make the loss as built differ by about a quarter",
        cure: "take U and area of each wall, roof and floor as built",
    },
    Doubted {
        table: "room",
        key: "bin_fan.duct_pressure_pa",
        name: "pressure in the ducts",
        spread: Times(1.3),
        reason: "assumption: pressure in ducts, floors and heaters is seldom reckoned to better than a third",
        cure: "measure the fans' pressure with a full load",
    },
    Doubted {
        table: "room",
        key: "bin_fan.fan_efficiency",
        name: "fan efficiency",
        spread: About { sd: 0.05, low: 0.2, high: 0.9 },
        reason: "assumption: a fan away from its best point loses some 5 points",
        cure: "measure the fans' electricity, air and pressure together",
    },
    Doubted {
        table: "cool_store",
        key: "envelope_ua_w_per_k",
        name: "heat gain",
        spread: Times(1.25),
        reason: "assumption: joints, floors and doors make the loss as built differ by about a quarter",
        cure: "take U and area of each wall, roof and floor of the store as built",
    },
    Doubted {
        table: "cool_store",
        key: "air_changes_per_hour",
        name: "leakage",
        spread: Times(1.5),
        reason: "assumption: nobody has measured the leaks of the store",
        cure: "watch the store's humidity or a tracer gas for a night with closed doors",
    },
    Doubted {
        table: "cool_store",
        key: "respiration_w_per_t",
        name: "respiration",
        spread: Times(1.5),
        reason: "assumption: respiration of dry nuts was measured for few kinds",
        cure: "compare the store's running hours, full and empty",
    },
    Doubted {
        table: "cool_store",
        key: "units.cop",
        name: "rated COP",
        spread: Times(1.1),
        reason: "assumption: units as installed reach their rated figure to about a tenth",
        cure: "ask for the units' table at your own temperatures",
    },
    Doubted {
        table: "source",
        key: "efficiency",
        name: "efficiency",
        spread: About { sd: 0.03, low: 0.3, high: 1.11 },
        reason: "assumption: over a season a burner is within some 3 points of its rated efficiency",
        cure: "have the flue gas measured at the loads that the season has",
    },
    Doubted {
        table: "source",
        key: "boiler_efficiency",
        name: "boiler efficiency",
        spread: About { sd: 0.03, low: 0.3, high: 1.11 },
        reason: "assumption: over a season a boiler is within some 3 points of its rated efficiency",
        cure: "have the flue gas measured at the loads that the season has",
    },
    Doubted {
        table: "source",
        key: "carnot_fraction",
        name: "share of Carnot",
        spread: Times(1.15),
        reason: "real heat pumps reach 0.4 to 0.55 of Carnot (from memory, not verified)",
        cure: "ask for the heat pump's table at your own temperatures",
    },
    Doubted {
        table: "source",
        key: "effectiveness",
        name: "effectiveness",
        spread: About { sd: 0.05, low: 0.05, high: 0.95 },
        reason: "assumption: dust and uneven air move an exchanger's effectiveness by some 5 points",
        cure: "ask for the exchanger's effectiveness at your own air flows",
    },
    Doubted {
        table: "source",
        key: "eta0",
        name: "yield without loss",
        spread: Times(1.15),
        reason: "assumption: dust and joints move a roof's yield by about a seventh",
        cure: "ask for a test of the collector by a published standard",
    },
    Doubted {
        table: "carrier",
        key: "moisture",
        name: "moisture of the fuel",
        spread: About { sd: 2.0, low: 3.0, high: 65.0 },
        reason: "assumption: the fuel's moisture of a season is known to some 2 points",
        cure: "sample the fuel as it is burnt",
    },
    Doubted {
        table: "carrier",
        key: "own_supply.share_of_dried",
        name: "own supply",
        spread: Times(1.15),
        reason: "assumption: shell left of a dried tonne is known to about a seventh",
        cure: "weigh the shells of a season",
    },
];

/// Values of this study that stand in doubt, in its own order: place among its inputs, what is known, and why.
pub(super) fn standing(inputs: &[Input], crops: &[CropRead]) -> Vec<(usize, Distribution, StandingDoubt)> {
    let each = inputs.iter().enumerate();
    each.filter_map(|(place, input)| {
        let doubted = DOUBTED.iter().find(|doubted| doubted.is(&input.path))?;
        let own = input.number?;
        let of_crop = || crops.iter().find(|crop| input.path == format!("crop.{}.{}", crop.name, doubted.key));
        let crop = || of_crop().or(crops.first()).map(|crop| &crop.crop);
        let is_librarys = doubted.table == "crop" && !input.is_given();
        let from_library = is_librarys.then(crop).flatten().and_then(|crop| library(crop, doubted, own));
        let (shape, limits, reason) = from_library.unwrap_or_else(|| doubted.about(own));
        // A value of nothing, such as a wall that loses no heat, has no spread.
        let distribution = Distribution::new(shape, limits).ok()?;
        let name = doubted.named(&input.path, crop().map_or("", Crop::name));
        Some((place, distribution, StandingDoubt { name, reason, cure: doubted.cure }))
    })
    .collect()
}

impl Doubted {
    /// True of a value of this kind, whatever the name of its entry.
    fn is(&self, path: &str) -> bool {
        let key = path.strip_prefix(self.table).and_then(|path| path.strip_suffix(self.key));
        key.is_some_and(|between| between.starts_with('.') && between.ends_with('.'))
    }

    /// What people call it, with what it is of. `crop` is the kind of the only crop, which has no name in a path.
    fn named(&self, path: &str, crop: &str) -> String {
        let of = path.strip_prefix(self.table).and_then(|path| path.strip_suffix(self.key)).unwrap_or_default();
        match of.trim_matches('.') {
            "" if self.table == "crop" => format!("{} of {crop}", self.name),
            "" => format!("{} of the {}", self.name, self.table.replace('_', " ")),
            name => format!("{} of \u{201c}{name}\u{201d}", self.name),
        }
    }

    fn about(&self, own: f64) -> (Shape, Limits, String) {
        let (shape, limits) = match self.spread {
            Times(factor) => (Shape::LogNormal { median: own, factor }, Limits::default()),
            About { sd, low, high } => {
                // A study may stand beyond: then nothing lies further out than it does.
                (Shape::Normal { mean: own, sd }, Limits { low: Some(low.min(own)), high: Some(high.max(own)) })
            }
        };
        (shape, limits, self.reason.to_owned())
    }
}

/// What the crop library knows of one of its own values that nobody measured for this study.
fn library(crop: &Crop, doubted: &Doubted, own: f64) -> Option<(Shape, Limits, String)> {
    let quantity = Quantity::of_key(doubted.key)?;
    let value = crop.value(quantity)?;
    let (low, high) = value.range.filter(|(low, high)| *low > 0.0 && (*low..=*high).contains(&own))?;
    let standing = match value.status {
        Status::Given => return None,
        Status::Placeholder => "a placeholder",
        Status::Memory => "from memory, not verified",
        Status::Read | Status::Derived | Status::CommonPractice => value.status.words(),
    };
    let reason = format!("{standing}; the crop library's range is {low} to {high}");
    // As far up as down in ratio, and never beyond the range: where that lies lopsided about the library's own value,
    // the median of what is left moves to the longer side.
    let shape = Shape::LogNormal { median: own, factor: (high / low).sqrt() };
    Some((shape, Limits { low: Some(low), high: Some(high) }, reason))
}

#[cfg(test)]
mod tests {
    use super::super::input::Origin;
    use super::*;
    use crate::crop::find;
    use crate::dryer::Nuts;
    use approx::assert_relative_eq;

    fn input(path: &str, number: f64, origin: Origin) -> Input {
        Input {
            path: path.to_owned(),
            value_text: number.to_string(),
            number: Some(number),
            written: None,
            unit: String::new(),
            origin,
        }
    }

    fn given(path: &str, number: f64) -> Input {
        input(path, number, Origin::Given { file: "study.toml".to_owned(), line: 1, column: 1 })
    }

    fn left(path: &str, number: f64) -> Input {
        input(path, number, Origin::Default { source: "crop library".to_owned() })
    }

    fn crop(name: &str, kind: &str) -> CropRead {
        let crop = find(kind).expect("a crop").clone();
        CropRead {
            name: name.to_owned(),
            nuts: Nuts::INVENTED,
            crop,
            price_per_dried_t: None,
            kernel_temperature_c: 20.0,
            stay_days: None,
        }
    }

    fn only(inputs: &[Input], crops: &[CropRead]) -> (Distribution, StandingDoubt) {
        let mut all = standing(inputs, crops);
        assert_eq!(all.len(), 1);
        let (_, distribution, doubt) = all.remove(0);
        (distribution, doubt)
    }

    #[test]
    fn a_placeholder_ranges_as_the_library_says_and_a_value_of_the_study_less() {
        let crops = [crop("macadamia", "macadamia")];
        let (placeholder, doubt) = only(&[left("crop.drying_rate", 0.02)], &crops);
        assert_eq!(doubt.name, "drying rate of macadamia");
        assert_eq!(doubt.reason, "a placeholder; the crop library's range is 0.01 to 0.04");
        assert_relative_eq!(placeholder.quantile(0.5), 0.02, max_relative = 1e-9);
        assert!(placeholder.quantile(0.0001) >= 0.01 && placeholder.quantile(0.9999) <= 0.04);
        let (measured, doubt) = only(&[given("crop.drying_rate", 0.03)], &crops);
        assert!(doubt.reason.starts_with("assumption: "));
        assert_relative_eq!(measured.high(), 0.03 * 1.15, max_relative = 1e-9);
        let width = |of: Distribution| of.high() / of.low();
        assert!(width(measured) < width(placeholder));
    }

    #[test]
    fn each_of_several_crops_has_its_own_range() {
        let crops = [crop("early", "macadamia"), crop("late", "walnut")];
        let (rate, doubt) = only(&[left("crop.late.drying_rate", 0.0559)], &crops);
        assert_eq!(doubt.name, "drying rate of “late”");
        assert!(rate.quantile(0.0001) >= 0.045 && rate.quantile(0.9999) <= 0.07);
    }

    #[test]
    fn a_value_beyond_what_is_usual_is_not_drawn_away_from_the_study() {
        let (fan, _) = only(&[given("room.hall.bin_fan.fan_efficiency", 1.0)], &[]);
        assert!(fan.high() <= 1.0 && fan.low() > 0.9);
    }

    #[test]
    fn what_is_nothing_and_what_is_decided_or_paid_stands_in_no_doubt() {
        let inputs = [
            given("room.hall.envelope_ua_w_per_k", 0.0),
            given("room.hall.temperature_c", 38.0),
            given("carrier.lpg.price", 1.35),
            given("source.burner.capital", 1000.0),
            given("room_hall.envelope_ua_w_per_k", 900.0),
        ];
        assert!(standing(&inputs, &[]).is_empty());
    }

    #[test]
    fn every_reason_is_a_source_or_says_that_it_is_none() {
        for doubted in &DOUBTED {
            let is_labelled = doubted.reason.starts_with("assumption: ") || doubted.reason.contains("not verified");
            assert!(is_labelled, "{}.{}", doubted.table, doubted.key);
        }
    }
}
