//! A study of a person's own crop, weather and way of air: the keys in use alone, and every value that stands in for
//! theirs marked.

use super::super::Failure;
use crate::crop::{self, Quantity};
use crate::problem::Problem;
use crate::weather::{
    MendRules, MonthDay, Reading, SeasonWindow, Series, Spot, WeatherError, WeatherYear, mend, seasons,
};
use chrono::{NaiveDate, NaiveTime, TimeDelta};
use std::fmt::Write;

/// Where the air goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(in crate::command) enum Air {
    /// Outside air, heated, passes the bins once.
    OnceThrough,
    /// Air goes round in the room, and some of it is changed.
    Recirculating,
}

impl Air {
    /// As a study writes it.
    fn word(self) -> &'static str {
        match self {
            Self::OnceThrough => "once-through",
            Self::Recirculating => "recirculating",
        }
    }

    /// What is left of the temperature to the nuts for the fans' own heat, K.
    fn below_library_k(self) -> f64 {
        match self {
            Self::OnceThrough => 0.0,
            Self::Recirculating => FAN_HEAT_K,
        }
    }

    /// Keys that a room of this air needs besides.
    fn keys(self) -> &'static str {
        match self {
            Self::OnceThrough => "",
            Self::Recirculating => {
                "relative_humidity_max = 45.0     # REPLACE: %; above it the room draws more fresh air\n\
                 fresh_air_min_m3_per_s = 0.15    # REPLACE: m³/s of outside air, at least ...\n\
                 fresh_air_max_m3_per_s = 3.2     # REPLACE: ... and at most\n\
                 envelope_ua_w_per_k = 500.0      # REPLACE: W/K: sum of U-value times area over walls, roof and floor\n"
            }
        }
    }
}

const TEMPLATE: &str = include_str!("../../../templates/kit/study.toml");

/// What marks a value that is to be replaced.
const MARK: &str = "# REPLACE";

/// Depth of the bed that the floor of a bin is chosen for, m: an assumption.
const BED_M: f64 = 1.5;
/// Days that a file of a part of a year leaves after the last nuts come, in which they dry: an assumption.
const DAYS_AFTER: i64 = 7;
/// What drying fans may warm the air by beyond what a room that changes little of it is set to, K: an assumption.
const FAN_HEAT_K: f64 = 2.0;
/// Where the library has no value: an assumption that is marked like all others.
const AIR_C: f64 = 38.0;
/// Bulk density, kg/m³: the same.
const BULK_KG_M3: f64 = 500.0;
/// Heat of the sources, kW: for 2.9 m³/s of air warmed by some 35 K, and a third more. An assumption.
const HEAT_KW: f64 = 170.0;
/// Received tonnes for each day of the season: what four bins of six tonnes dry, each in three days or so. An assumption.
const TONNES_A_DAY: f64 = 3.0;

/// A study and how many values in it are marked.
pub(super) struct Kit {
    pub study: String,
    pub marked: usize,
}

/// Writes the study. `files` are the weather's, by the names under which they stand beside it.
pub(super) fn kit(crop: &str, air: Air, readings: &[Reading], files: &[String]) -> Result<Kit, Failure> {
    let crop = crop::find(crop)?;
    let series = mend(readings, &MendRules::default()).map_err(with_cure)?;
    let spot = readings.iter().map(Reading::spot).find(|spot| spot.latitude.is_some()).unwrap_or_default();
    let season = season(&series, spot)?;
    let library = |quantity: Quantity| crop.value(quantity).map(|known| (known.value, known.status.words()));
    let no_value = "which has none; an assumption";
    let (received, received_status) = library(Quantity::ReceivedMoisture).unwrap_or((22.0, no_value));
    let (dried, dried_status) = library(Quantity::DriedMoisture).unwrap_or((8.0, no_value));
    let (temperature, temperature_status) = library(Quantity::DryingTemperature).unwrap_or((AIR_C, no_value));
    let quoted: Vec<String> =
        files.iter().map(|name| toml::Value::String(glob::Pattern::escape(name)).to_string()).collect();
    let columns = readings.iter().find_map(|reading| reading.column_map.as_ref());
    let columns = columns.map_or_else(String::new, |map| format!("\n{}\n", map.to_toml().trim_end()));
    let number = |value: f64| format!("{value:.1}");
    let (bulk_kg_m3, bulk_status) = library(Quantity::BulkDensity).unwrap_or((BULK_KG_M3, no_value));
    let filled: [(&str, String); 21] = [
        ("TITLE", format!("Drying of {}", crop.name())),
        ("CROP", crop.name().to_owned()),
        ("AIR", air.word().to_owned()),
        ("SITE", site(spot)),
        ("FILES", quoted.join(", ")),
        ("COLUMNS", columns),
        ("SEASON_NOTE", season.note.to_owned()),
        ("STARTS", season.window.starts.to_string()),
        ("ENDS", season.window.ends.to_string()),
        ("RECEIVED", number(received)),
        ("RECEIVED_STATUS", received_status.to_owned()),
        ("DRIED", number(dried)),
        ("DRIED_STATUS", dried_status.to_owned()),
        ("TONNES", number(season.days * TONNES_A_DAY)),
        ("FLOOR", number(floor_m2(bulk_kg_m3))),
        ("BULK", format!("{bulk_kg_m3:.0}")),
        ("BULK_STATUS", bulk_status.to_owned()),
        ("TEMPERATURE", number(temperature - air.below_library_k())),
        ("TEMPERATURE_STATUS", temperature_status.to_owned()),
        ("ROOM", air.keys().to_owned()),
        ("HEAT", number(HEAT_KW)),
    ];
    let study = fill(TEMPLATE, &filled);
    let marked = study.matches(MARK).count();
    Ok(Kit { study, marked })
}

/// A template with its places filled, in one go: what is filled in is never taken for a place itself. Names of places stand
/// between two `@`.
fn fill(template: &str, filled: &[(&str, String)]) -> String {
    let mut text = String::with_capacity(template.len());
    for (at, part) in template.split('@').enumerate() {
        let value = filled.iter().find(|(name, _)| at % 2 == 1 && *name == part);
        text.push_str(value.map_or(part, |(_, value)| value));
    }
    text
}

/// Floor of a bin of six tonnes for the assumed bed, m², to the half.
fn floor_m2(bulk_kg_m3: f64) -> f64 {
    (2.0 * 6000.0 / bulk_kg_m3 / BED_M).ceil() / 2.0
}

/// The site as the weather file's header has it.
fn site(spot: Spot) -> String {
    let mut text = String::new();
    let from = "as the weather file says";
    let mut line = |key: &str, value: Option<String>, what: &str| {
        let _ = match value {
            Some(value) => writeln!(text, "{:<32} # {what}; {from}", format!("{key} = {value}")),
            None => writeln!(text, "{:<32} {MARK}: {what}; the weather file does not say", format!("# {key} =")),
        };
    };
    line("latitude", spot.latitude.map(|value| format!("{value:?}")), "degrees, north positive");
    line("longitude", spot.longitude.map(|value| format!("{value:?}")), "degrees, east positive");
    line("altitude_m", spot.altitude_m.map(|value| format!("{value:?}")), "above sea level, m");
    let offset = spot.utc_offset_h.map(|hours| {
        let minutes = (hours.abs() * 60.0).round();
        let sign = if hours < 0.0 { '-' } else { '+' };
        format!("\"{sign}{:02}:{:02}\"", (minutes / 60.0).floor(), minutes % 60.0)
    });
    line("utc_offset", offset, "local standard time");
    text
}

/// When nuts are received, for the time being.
struct Season {
    window: SeasonWindow,
    days: f64,
    note: &'static str,
}

/// Autumn of the hemisphere where the weather has it: nuts are harvested then. Else the longest run of days that the
/// weather holds, but for some in which the last nuts dry.
fn season(series: &Series, spot: Spot) -> Result<Season, Failure> {
    let autumn =
        if spot.latitude.is_some_and(|degrees| degrees < 0.0) { ((3, 1), (5, 15)) } else { ((9, 15), (11, 15)) };
    let day = |(month, day): (u32, u32)| MonthDay::new(month, day);
    let (Some(starts), Some(ends)) = (day(autumn.0), day(autumn.1)) else {
        return Err(no_season());
    };
    let days = |years: &[WeatherYear]| years.first().map_or(0.0, |year| year.season_hours as f64 / 24.0);
    let window = SeasonWindow { starts, ends };
    if let Ok(years) = seasons(series, window, 0) {
        let note = "                         # autumn at the site, for the time being";
        return Ok(Season { window, days: days(&years), note });
    }
    let (first, last) = longest_run(series).ok_or_else(no_season)?;
    let left = DAYS_AFTER.min((last - first).num_days() / 3);
    let ends = MonthDay::of(last - TimeDelta::days(left));
    let window = SeasonWindow { starts: MonthDay::of(first), ends };
    let years = seasons(series, window, 0).map_err(with_cure)?;
    let note = "                         # most days of the weather files in a row, which hold no whole autumn, but for some to dry in";
    Ok(Season { window, days: days(&years), note })
}

/// First and last of the most whole days in a row.
fn longest_run(series: &Series) -> Option<(NaiveDate, NaiveDate)> {
    let runs = series.hours.chunk_by(|a, b| b.starts - a.starts == TimeDelta::hours(1));
    let run = runs.max_by_key(|run| run.len())?;
    let (first, end) = (run.first()?.starts, run.last()?.starts + TimeDelta::hours(1));
    let first = if first.time() == NaiveTime::MIN { first.date() } else { first.date().succ_opt()? };
    let last = end.date().pred_opt()?;
    (first <= last).then_some((first, last))
}

/// What weather does not allow, with what can be done about it here, where there is no study yet that could name columns
/// or let gaps be filled.
pub(super) fn with_cure(error: WeatherError) -> Failure {
    let clean = "--write clean.csv`, and name clean.csv in place of it";
    match error {
        WeatherError::File { .. } => error.into(),
        WeatherError::Refused { file, why } => Problem::said(why)
            .cure(format!(
                "`dryledger weather` tells how a file is read; where a [weather.columns] block names the columns, put it \
                 into columns.toml, make a clean copy, `dryledger weather FILE --columns columns.toml {clean}"
            ))
            .placed(&file, None)
            .into(),
        WeatherError::Gap(why) | WeatherError::NoSeason(why) | WeatherError::Rules(why) => Problem::said(why)
            .cure(format!(
                "name one file alone, or make a clean copy without gaps, `dryledger weather FILE --fill-long-gaps {clean}"
            ))
            .into(),
    }
}

fn no_season() -> Failure {
    Problem::said("the weather holds no whole day without a gap")
        .cure("name a file of more hours; `dryledger weather FILE` tells what is missing in this one")
        .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_filled_in_is_no_place_itself() {
        let filled = [("A", "@B@ and @".to_owned()), ("B", "b".to_owned())];
        assert_eq!(fill("x @A@, @B@; @A@", &filled), "x @B@ and @, b; @B@ and @");
    }
}
