//! What is possible in a log, and more often a slip: said before its constants are offered.

use super::fitted::Fitted;
use super::settled::Settled;
use crate::air::MoistAir;
use crate::crop::{far_rate, too_wet, water};
use crate::number::apart;
use crate::problem::Problem;

/// A rate within this factor of the library's is another crop's way; beyond it, another unit of time is likelier
/// (assumption: published rates of one nut differ by a factor of three).
const OTHER_RATE: f64 = 6.0;
/// Drying air is seldom colder than this, °C (assumption: natural air of a cool autumn).
const COLD_AIR_C: f64 = 5.0;
/// ... or hotter than this, °C; °F of drying air are (from memory, not verified: hulled pistachios stand 82 °C in columns).
const HOT_AIR_C: f64 = 85.0;
/// No drying air is drier than this all along, %.
const DRIEST_PCT: f64 = 1.5;
/// Air below this, °C, that holds 35 to 60 % passes for air of as many degrees and as many percent the other way
/// round.
const COOL_AIR_C: f64 = 32.0;
const EXCHANGED_PCT: std::ops::RangeInclusive<f64> = 35.0..=55.0;

/// So many samples that are those of another log, to the last digit and one after the other, are a copy (assumption: whole
/// percents agree by chance for a sample or two).
const COPIED_SAMPLES: usize = 5;

pub(super) fn unlikely(fitted: &Fitted) -> Vec<Problem> {
    let mut told: Vec<Problem> = rate(fitted).into_iter().collect();
    told.extend(copied(&fitted.logs));
    told.extend(fitted.logs.iter().filter_map(|log| moisture(fitted, log)));
    told.extend(fitted.logs.iter().flat_map(air));
    told
}

/// Logs of several batches with one batch's moistures: as many batches as files, and one of them weighed.
fn copied(logs: &[Settled]) -> Vec<Problem> {
    let series = |log: &Settled| -> Vec<(f64, f64)> {
        log.log.samples().iter().map(|sample| (sample.hours, sample.moisture)).collect()
    };
    let mut told = Vec::new();
    for (at, log) in logs.iter().enumerate() {
        let own = series(log);
        let same = |other: &&Settled| {
            let other = series(other);
            let pairs = own.iter().zip(&other);
            own.len().min(other.len()) >= COPIED_SAMPLES && pairs.clone().all(|(one, two)| one.1 == two.1)
        };
        if let Some(other) = logs[..at].iter().find(same) {
            let what = format!(
                "its moistures are those of {}, sample by sample: a copy with another air is no second batch, and narrows the intervals for nothing",
                other.name
            );
            told.push(Problem::said(what).code("log.copied").into_warning().placed(&log.name, None));
        }
    }
    told
}

/// A batch that begins wetter than nuts of its kind come.
fn moisture(fitted: &Fitted, log: &Settled) -> Option<Problem> {
    let first = log.log.samples().first()?;
    let wet = too_wet(&fitted.crop, water::percent_of_dry_basis(first.moisture))?;
    let (began, usual) = apart(wet.pct, wet.wettest_pct, 1);
    let what = format!(
        "the batch begins with {began} % w.b., and up to {usual} % is known of {}: of the dry mass it would be {:.1} % w.b.; write percent of the wet mass, and look whether it is a log of this crop",
        fitted.crop.name(),
        wet.if_of_dry_mass_pct
    );
    Some(Problem::said(what).code("log.moisture").into_warning().placed(&log.name, None))
}

fn rate(fitted: &Fitted) -> Option<Problem> {
    let library = fitted.crop.thin_layer().rate_per_h(fitted.fit.reference_c);
    let times = fitted.fit.rate_per_h.value / library;
    let far = far_rate(&fitted.crop, fitted.fit.rate_per_h.value, fitted.fit.reference_c);
    if far.is_none() && (1.0 / OTHER_RATE..=OTHER_RATE).contains(&times) {
        return None;
    }
    let (apart, slip) = if times > 1.0 {
        (format!("{times:.0} times"), "days written for hours make it 24 times too great")
    } else {
        (format!("1/{:.0} of", 1.0 / times), "minutes written for hours make it 60 times too small")
    };
    let what = format!(
        "the rate is {apart} the library's: look at the unit of time ({slip}), at the airflow and at the crop's name before this is used"
    );
    Some(Problem::said(what).code("log.rate").into_warning())
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
    let said = |what: String, code| Problem::said(what).code(code).into_warning().placed(&log.name, None);
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
    } else if air_c > HOT_AIR_C {
        let what = format!(
            "the drying air has {air_c:.0} °C on average, too hot for nuts in shell: were it °F, it would be {:.0} °C",
            (air_c - 32.0) / 1.8
        );
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
