//! What is possible in a log, and more often a slip: said before its constants are offered.

use super::fitted::Fitted;
use super::settled::Settled;
use crate::air::MoistAir;
use crate::problem::Problem;

/// A rate within this factor of the library's is another crop's way; beyond it, another unit of time is likelier
/// (assumption: published rates of one nut differ by a factor of three).
const OTHER_RATE: f64 = 6.0;
/// Drying air is seldom colder than this, °C (assumption: natural air of a cool autumn).
const COLD_AIR_C: f64 = 5.0;
/// No drying air is drier than this all along, %.
const DRIEST_PCT: f64 = 1.5;
/// Air below this, °C, that holds 35 to 60 % passes for air of as many degrees and as many percent the other way
/// round.
const COOL_AIR_C: f64 = 32.0;
const EXCHANGED_PCT: std::ops::RangeInclusive<f64> = 35.0..=55.0;

pub(super) fn unlikely(fitted: &Fitted) -> Vec<Problem> {
    let mut told: Vec<Problem> = rate(fitted).into_iter().collect();
    told.extend(fitted.logs.iter().flat_map(air));
    told
}

fn rate(fitted: &Fitted) -> Option<Problem> {
    let library = fitted.crop.thin_layer().rate_per_h(fitted.fit.reference_c);
    let times = fitted.fit.rate_per_h.value / library;
    if (1.0 / OTHER_RATE..=OTHER_RATE).contains(&times) {
        return None;
    }
    let (apart, slip) = if times > 1.0 {
        (format!("{times:.0} times"), "days written for hours make it 24 times too great")
    } else {
        (format!("1/{:.0} of", 1.0 / times), "minutes written for hours make it 60 times too small")
    };
    let what = format!(
        "the rate is {apart} the library's: look at the unit of time ({slip}) and at the airflow before this is used"
    );
    Some(Problem::said(what).code("log.rate").as_warning())
}

/// The mean air of a log, as its samples met it.
fn air(log: &Settled) -> Vec<Problem> {
    let states: Vec<MoistAir> = log
        .log
        .samples()
        .iter()
        .filter_map(|sample| {
            let (dry_bulb_c, humidity_ratio, pressure_pa) = log.log.air_at(sample.hours);
            MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa).ok()
        })
        .collect();
    if states.is_empty() {
        return Vec::new();
    }
    let most = |of: fn(&MoistAir) -> f64| states.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    let mean = |of: fn(&MoistAir) -> f64| states.iter().map(of).sum::<f64>() / states.len() as f64;
    let (air_c, pct) = (mean(MoistAir::dry_bulb_c), 100.0 * mean(MoistAir::relative_humidity));
    let said = |what: String, code| Problem::said(what).code(code).as_warning().placed(&log.name, None);
    let mut told = Vec::new();
    if 100.0 * most(MoistAir::relative_humidity) <= DRIEST_PCT {
        let what = format!(
            "the air is never above {:.2} % relative humidity: write percent, 25 and not 0.25",
            100.0 * most(MoistAir::relative_humidity)
        );
        told.push(said(what, "log.humidity"));
    }
    if air_c < COLD_AIR_C {
        let what = format!("the drying air has {air_c:.1} °C on average: a dead sensor or an empty column reads 0");
        told.push(said(what, "log.air"));
    } else if air_c < COOL_AIR_C && EXCHANGED_PCT.contains(&pct) {
        let what = format!(
            "the drying air has {air_c:.0} °C and {pct:.0} % on average; heated air has it the other way round: look \
             whether the two columns are exchanged"
        );
        told.push(said(what, "log.columns"));
    }
    told
}
