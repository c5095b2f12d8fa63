//! From a log as written to a log as the physics takes it: the air of each time, the bed, and what had to
//! be assumed.

use super::keys::{Facts, Key};
use super::written::{Row, Time, Written};
use crate::air::{MoistAir, standard_pressure_pa};
use crate::crop::Crop;
use crate::crop::water::dry_basis_of_percent;
use crate::dryer::log::{AirReading, DriedBed, DryingLog, Sample};
use crate::problem::{Problem, Problems};
use crate::weather::Series;
use chrono::{NaiveDateTime, TimeDelta, Timelike};
use std::fmt::Write;

/// Layers of a bed for which none are given: as many as a study gives a room.
const LAYERS: f64 = 12.0;
/// Nuts at the start where nothing is said, °C.
const NUTS_C: f64 = 20.0;

/// Outside air that was heated.
pub(super) struct Heated {
    /// The outside air.
    pub outside: Series,
    /// What the file is called.
    pub name: String,
    /// Temperature that it was heated to, °C.
    pub to_c: f64,
}

/// A log ready to be fitted.
pub(super) struct Settled {
    pub name: String,
    pub log: DryingLog,
    /// Line of each sample.
    pub lines: Vec<usize>,
    /// How the batch lay and in what air, in words.
    pub words: Vec<String>,
}

/// Settles a log with the facts that stand for it; problems are told all at once.
pub(super) fn settle(
    written: &Written,
    options: &Facts,
    crop: &Crop,
    heated: Option<&Heated>,
) -> Result<Settled, Problems> {
    let facts = written.facts.under(options);
    let name = &written.name;
    let mut problems = Vec::new();
    let sampled: Vec<&Row> = written.rows.iter().filter(|row| row.moisture_pct.is_some()).collect();
    let mut words = Vec::new();
    let bed =
        bed(&facts, &sampled, crop, &mut words).map_err(|told| problems.extend(told.placed(name, None).into_vec()));
    let air = match heated {
        Some(heated) => heated_air(written, &sampled, heated).map_err(|told| told.placed(name, None)),
        None => logged_air(written, &facts),
    };
    match (air, bed) {
        (Ok(mut air), Ok(bed)) if problems.is_empty() => {
            let Some(start) = sampled.first() else {
                let problem = Problem::said("no row has a moisture");
                return Err(problem.cure("fill in the column moisture_pct").placed(name, None).into());
            };
            air_words(&air, &facts, heated, &mut words);
            for (time, _) in &mut air {
                *time = Time::Hours(time.hours_since(start.time));
            }
            let readings = air
                .into_iter()
                .map(|(time, air)| AirReading { hours: time.hours_since(Time::Hours(0.0)), air })
                .collect();
            let samples = sampled
                .iter()
                .map(|row| Sample {
                    hours: row.time.hours_since(start.time),
                    moisture: dry_basis_of_percent(row.moisture_pct.unwrap_or(f64::NAN)),
                })
                .collect();
            let log = DryingLog::new(samples, readings, bed)
                .map_err(|error| Problem::said(error.to_string()).placed(name, None))?;
            Ok(Settled { name: name.clone(), log, lines: sampled.iter().map(|row| row.line).collect(), words })
        }
        (air, _) => {
            problems.extend(air.err().into_iter().flat_map(Problems::into_vec));
            Err(Problems::new(problems))
        }
    }
}

/// The bed, if its airflow is known.
fn bed(facts: &Facts, sampled: &[&Row], crop: &Crop, words: &mut Vec<String>) -> Result<Option<DriedBed>, Problems> {
    let Some(airflow) = facts.get(Key::Airflow) else {
        for key in [Key::Tonnes, Key::FloorArea, Key::Layers] {
            if facts.get(key).is_some() {
                let cure = format!(
                    "give {} ({}) too, or leave it out for a thin layer",
                    Key::Airflow.name(),
                    Key::Airflow.option()
                );
                let what = format!("{} is given without an airflow", key.name());
                return Err(Problem::said(what).cure(cure).into());
            }
        }
        words.push("thin layer: its air keeps its state".to_owned());
        return Ok(None);
    };
    let layers = facts.get(Key::Layers).unwrap_or(LAYERS);
    let mut text = format!("bed of {layers} layers, {airflow} m³/s of air a tonne");
    match (facts.get(Key::Tonnes), facts.get(Key::FloorArea)) {
        (Some(tonnes), Some(area)) => {
            let moisture = sampled.first().and_then(|row| row.moisture_pct).map_or(0.0, dry_basis_of_percent);
            let density = crop.bed().bulk_density_at_kg_per_m3(moisture);
            let _ = write!(
                text,
                ", {:.2} m deep, {:.3} m/s of air through its floor",
                tonnes * 1000.0 / density / area,
                airflow * tonnes / area
            );
        }
        (None, None) => {}
        (Some(_), None) | (None, Some(_)) => {
            let what = format!("of {} and {} one is given", Key::Tonnes.name(), Key::FloorArea.name());
            let cure = "give both, from which depth and air velocity follow, or neither: drying depends on the airflow a \
                        tonne alone";
            return Err(Problem::said(what).cure(cure).into());
        }
    }
    words.push(text);
    if facts.get(Key::NutsC).is_none() {
        words.push(format!("assumed: nuts of {NUTS_C} °C at the start ({} says otherwise)", Key::NutsC.name()));
    }
    // Whole and within 1..60 as checked when it was read.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let layers = layers as usize;
    Ok(Some(DriedBed { airflow_m3_per_s_per_tonne: airflow, layers, nuts_c: facts.get(Key::NutsC).unwrap_or(NUTS_C) }))
}

type TimedAir = Vec<(Time, MoistAir)>;

/// The air of the log's own columns, or of the facts where a column is not there.
fn logged_air(written: &Written, facts: &Facts) -> Result<TimedAir, Problems> {
    let said =
        |line: Option<usize>, what: String, cure: &str| Problem::said(what).cure(cure).placed(&written.name, line);
    let pressure_pa = standard_pressure_pa(facts.get(Key::Altitude).unwrap_or(0.0));
    let mut problems = Vec::new();
    for (has, key) in [(written.has_air_c, Key::AirC), (written.has_humidity, Key::RelativeHumidity)] {
        match (has, facts.get(key)) {
            (true, Some(_)) => {
                let what = format!("{} is both a column of the log and given for all of it", key.name());
                problems.push(said(None, what, "leave out one"));
            }
            (false, None) => {
                let what = format!("the drying air's {} is not known", key.name());
                let cure = format!("add the column, or give {} (or --weather FILE --to C)", key.option());
                problems.push(said(None, what, &cure));
            }
            (true, None) | (false, Some(_)) => {}
        }
    }
    let mut air = Vec::new();
    for row in &written.rows {
        let c = if written.has_air_c { row.air_c } else { facts.get(Key::AirC) };
        let rh = if written.has_humidity { row.relative_humidity_pct } else { facts.get(Key::RelativeHumidity) };
        match (c, rh) {
            (Some(c), Some(rh)) => match MoistAir::from_relative_humidity(c, rh / 100.0, pressure_pa) {
                Ok(state) => air.push((row.time, state)),
                Err(error) => problems.push(said(Some(row.line), error.to_string(), "")),
            },
            // A constant beside an empty cell is no reading, but half a reading is an oversight.
            (Some(_), None) if written.has_air_c => problems.push(said(
                Some(row.line),
                "air_c has no relative_humidity_pct beside it".to_owned(),
                "fill in both or neither",
            )),
            (None, Some(_)) if written.has_humidity => problems.push(said(
                Some(row.line),
                "relative_humidity_pct has no air_c beside it".to_owned(),
                "fill in both or neither",
            )),
            _ => {}
        }
    }
    if written.rows.is_empty() {
        problems.push(said(
            None,
            "holds no rows below the names of its columns".to_owned(),
            "write one row a sample, in order of time",
        ));
    } else if problems.is_empty() && air.is_empty() {
        problems.push(said(
            None,
            "no row has the state of the drying air".to_owned(),
            "fill in air_c and relative_humidity_pct, or leave the columns out and give --air-c and --rh",
        ));
    }
    if problems.is_empty() { Ok(air) } else { Err(Problems::new(problems)) }
}

/// Outside air of each hour of the log, heated with its water kept.
fn heated_air(written: &Written, sampled: &[&Row], heated: &Heated) -> Result<TimedAir, Problems> {
    if written.has_air_c || written.has_humidity {
        let cure = "leave --weather out, or the columns air_c and relative_humidity_pct";
        return Err(Problem::said("the log has its own air").cure(cure).into());
    }
    let (Some(Time::At(first)), Some(Time::At(last))) =
        (sampled.first().map(|row| row.time), sampled.last().map(|row| row.time))
    else {
        let cure = "write dates and clocks (2031-04-02 18:30) in local standard time";
        let what = "times are hours, which say nothing of the weather";
        return Err(Problem::said(what).cure(cure).into());
    };
    let mut air = Vec::new();
    let mut hour = whole_hour(first);
    while hour <= last {
        let outside = heated.outside.at(hour).ok_or_else(|| not_covered(heated, hour))?.air;
        let warmed = MoistAir::from_humidity_ratio(
            heated.to_c.max(outside.dry_bulb_c()),
            outside.humidity_ratio(),
            outside.pressure_pa(),
        )
        .map_err(|error| Problem::said(error.to_string()))?;
        // An hour's mean stands for its middle.
        air.push((Time::At(hour + TimeDelta::minutes(30)), warmed));
        hour += TimeDelta::hours(1);
    }
    Ok(air)
}

fn whole_hour(time: NaiveDateTime) -> NaiveDateTime {
    time - TimeDelta::seconds(i64::from(time.num_seconds_from_midnight() % 3600))
}

fn not_covered(heated: &Heated, hour: NaiveDateTime) -> Problem {
    let stamp = |time: NaiveDateTime| time.format("%Y-%m-%d %H:%M").to_string();
    let ends = heated.outside.hours.first().zip(heated.outside.hours.last());
    let covered = ends.map_or_else(
        || "nothing".to_owned(),
        |(first, last)| format!("{} to {}", stamp(first.starts), stamp(last.starts)),
    );
    Problem::said(format!("{} has no weather for {}, it covers {covered}", heated.name, stamp(hour)))
        .cure("give the file of the log's own dates in local standard time")
}

fn air_words(air: &[(Time, MoistAir)], facts: &Facts, heated: Option<&Heated>, words: &mut Vec<String>) {
    let range = |of: fn(&MoistAir) -> f64, unit: &str| {
        let low = air.iter().map(|(_, a)| of(a)).fold(f64::INFINITY, f64::min);
        let high = air.iter().map(|(_, a)| of(a)).fold(f64::NEG_INFINITY, f64::max);
        if high - low < 0.05 { format!("{low:.1} {unit}") } else { format!("{low:.1}..{high:.1} {unit}") }
    };
    words.push(format!(
        "air {}, {} RH{}",
        range(MoistAir::dry_bulb_c, "°C"),
        range(|a| a.relative_humidity() * 100.0, "%"),
        heated.map_or_else(String::new, |h| format!(": outside air of {}, heated", h.name))
    ));
    if heated.is_none() && facts.get(Key::Altitude).is_none() {
        words.push(format!("assumed: the pressure of sea level ({} says otherwise)", Key::Altitude.name()));
    }
}
