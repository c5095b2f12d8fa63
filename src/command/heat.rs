//! `dryledger heat`: heat that brings outside air to a temperature.

use super::Failure;
use super::answer::answer;
use super::weather_shared::{check_altitude, hours_json, show_problems};
use crate::number::Digits;
use crate::problem::Problem;
use crate::weather::{
    Dates, HeatSum, MendRules, MonthDay, MonthOfHeat, Reading, heat_of_hours, heat_of_reading, mend, read,
};
use serde_json::{Map, Value, json};
use std::fmt::{self, Write as _};
use std::path::PathBuf;

/// Heat that brings outside air to a temperature, hour by hour, summed.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger heat site.epw --to 50 --airflow 12 --from 03-01 --until 08-31\n\
    Without --airflow the answer is for 1 kg of dry air a second. Hours without temperature or humidity\n\
    are skipped and counted; --mend fills them first. Days are those the file writes, both included.")]
pub(super) struct Args {
    /// Weather file of any known format
    file: PathBuf,
    /// Temperature to bring the air to, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    to: f64,
    /// Airflow, kg of dry air a second
    #[arg(long, value_name = "KG_PER_S")]
    airflow: Option<f64>,
    /// First day, month and day
    #[arg(long, value_name = "MM-DD", requires = "until")]
    from: Option<MonthDay>,
    /// Last day, month and day; may lie beyond New Year
    #[arg(long, value_name = "MM-DD", requires = "from")]
    until: Option<MonthDay>,
    /// Elevation, m, for files that lack it
    #[arg(long, value_name = "M", allow_hyphen_values = true)]
    altitude: Option<f64>,
    /// Fill missing hours first
    #[arg(long)]
    mend: bool,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
}

/// Temperatures, °C, that air may be brought to: those of the moist-air equations.
const TO_RANGE_C: std::ops::RangeInclusive<f64> = -60.0..=100.0;
pub(super) fn run(args: &Args) -> Result<(), Failure> {
    check(args)?;
    let reading = read(&args.file)?;
    let dates = args.from.zip(args.until).map(|(from, until)| Dates { from, until });
    let (sum, mended) = if args.mend {
        let (sum, mended) = mended_sum(args, &reading, dates)?;
        (sum, Some(mended))
    } else {
        (heat_of_reading(&reading, args.to, args.altitude, dates), None)
    };
    if sum.hours() == 0.0 {
        return Err(nothing(args, &reading, dates).into());
    }
    if args.json {
        answer(&format!("{}\n", to_json(args, &sum, mended)))?;
    } else {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = show(&mut out, args, &reading, &sum, mended);
        answer(&out)?;
    }
    show_problems(&reading, args.json);
    Ok(())
}

fn check(args: &Args) -> Result<(), Failure> {
    if !TO_RANGE_C.contains(&args.to) {
        return Err(Failure::asked(
            format!("--to {} °C is outside -60..100 °C, where the moist-air equations hold", args.to),
            "",
        ));
    }
    if let Some(airflow) = args.airflow
        && !(0.0..=1e6).contains(&airflow)
    {
        return Err(Problem::said(format!("--airflow {airflow} kg/s is no airflow"))
            .expected("0 to 1000000")
            .cure("give kilograms of dry air a second")
            .into());
    }
    check_altitude(args.altitude)
}

/// Refuses an altitude at which the equations do not hold.
fn mended_sum(args: &Args, reading: &Reading, dates: Option<Dates>) -> Result<(HeatSum, usize), Failure> {
    let rules = MendRules { altitude_m: args.altitude, ..MendRules::default() };
    let series = mend(std::slice::from_ref(reading), &rules)?;
    let open: Vec<String> = series
        .open_gaps
        .iter()
        .filter(|gap| dates.is_none_or(|dates| gap.touches(dates)))
        .map(|gap| format!("{} h from {}", gap.hours, gap.starts.format("%Y-%m-%d %H:%M")))
        .collect();
    if !open.is_empty() {
        let what = format!("gaps longer than the {} h that are filled: {}", rules.max_gap_hours, open.join(", "));
        return Err(Problem::said(what)
            .cure("get the missing hours, or leave --mend out to have them skipped")
            .placed(&args.file.display().to_string(), None)
            .into());
    }
    let mended = series
        .hours
        .iter()
        .filter(|hour| hour.mended && dates.is_none_or(|dates| dates.contains(hour.starts.date())))
        .count();
    Ok((heat_of_hours(&series, args.to, dates), mended))
}

fn nothing(args: &Args, reading: &Reading, dates: Option<Dates>) -> Problem {
    let file = args.file.display().to_string();
    let problem = match dates {
        Some(dates) if reading.air(args.altitude).any(|(_, air)| air.is_some()) => {
            Problem::said(format!("no hour with temperature and humidity from {} to {}", dates.from, dates.until))
                .cure(format!("see what it covers with 'dryledger weather {file}'"))
        }
        _ => Problem::said("no hour has both temperature and humidity, so no heat can be told")
            .cure(format!("see what it holds with 'dryledger weather {file}'")),
    };
    problem.placed(&file, None)
}

fn to_json(args: &Args, sum: &HeatSum, mended: Option<usize>) -> Value {
    let mut object = Map::new();
    object.insert("to_c".into(), json!(sum.to_c));
    object.insert("hours".into(), hours_json(sum.hours()));
    object.insert("hours_skipped".into(), hours_json(sum.hours_skipped()));
    if let Some(mended) = mended {
        object.insert("mended_hours".into(), json!(mended));
    }
    object.insert("degree_hours_kh".into(), json!(sum.degree_hours_kh()));
    object.insert("heat_kwh_per_kg_per_s".into(), json!(sum.heat_kwh_per_kg_per_s()));
    if let Some(airflow) = args.airflow {
        object.insert("airflow_kg_per_s".into(), json!(airflow));
        object.insert("heat_kwh".into(), json!(airflow * sum.heat_kwh_per_kg_per_s()));
    }
    let months: Vec<Value> = sum.months.iter().map(|month| month_json(month, args.airflow)).collect();
    object.insert("months".into(), json!(months));
    Value::Object(object)
}

fn month_json(month: &MonthOfHeat, airflow: Option<f64>) -> Value {
    let mut object = Map::new();
    object.insert("month".into(), json!(month.month));
    object.insert("hours".into(), hours_json(month.hours));
    object.insert("hours_skipped".into(), hours_json(month.hours_skipped));
    object.insert("degree_hours_kh".into(), json!(month.degree_hours_kh));
    object.insert("heat_kwh_per_kg_per_s".into(), json!(month.heat_kwh_per_kg_per_s));
    if let Some(airflow) = airflow {
        object.insert("heat_kwh".into(), json!(airflow * month.heat_kwh_per_kg_per_s));
    }
    Value::Object(object)
}

fn show(out: &mut String, args: &Args, reading: &Reading, sum: &HeatSum, mended: Option<usize>) -> fmt::Result {
    let flow = args.airflow.unwrap_or(1.0);
    writeln!(out, "{}: outside air to {} °C, {} kg of dry air a second", args.file.display(), sum.to_c, flow)?;
    writeln!(out, "{:>5} {:>9} {:>9} {:>12} {:>14}", "month", "hours", "skipped", "K h", "heat kWh")?;
    for month in &sum.months {
        writeln!(
            out,
            "{:>5} {:>9.0} {:>9.0} {:>12.0} {:>14.0}",
            month.month,
            Digits(month.hours),
            Digits(month.hours_skipped),
            Digits(month.degree_hours_kh),
            Digits(month.heat_kwh_per_kg_per_s * flow)
        )?;
    }
    writeln!(
        out,
        "{:>5} {:>9.0} {:>9.0} {:>12.0} {:>14.0}",
        "all",
        Digits(sum.hours()),
        Digits(sum.hours_skipped()),
        Digits(sum.degree_hours_kh()),
        Digits(sum.heat_kwh_per_kg_per_s() * flow)
    )?;
    if let Some(mended) = mended {
        writeln!(out, "{mended} of these hours were mended")?;
    }
    if reading.station.elevation_m.is_none() && args.altitude.is_none() {
        writeln!(out, "elevation unknown: sea level where pressure is missing (--altitude gives it)")?;
    }
    Ok(())
}
