//! What `dryledger weather` prints for people.

use super::args::Args;
use super::figures::{series_years, stamp};
use crate::number::Digits;
use crate::weather::{MonthOfRows, Problem, Reading, Series, Summary};
use std::fmt::{self, Write as _};

/// The files that were written, a line each.
pub(super) fn written(args: &Args) -> String {
    [&args.write, &args.typical, &args.html]
        .into_iter()
        .flatten()
        .fold(String::new(), |lines, path| lines + &format!("written: {}\n", path.display()))
}

/// All that is told of the files, and of their hours joined.
pub(super) fn told(readings: &[Reading], summaries: &[Summary], series: Option<&Series>) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    for (reading, summary) in readings.iter().zip(summaries) {
        let _ = show(&mut out, reading, summary);
    }
    if let Some(series) = series {
        let _ = show_series(&mut out, series, readings.len());
    }
    out
}

/// One file.
fn show(out: &mut String, reading: &Reading, summary: &Summary) -> fmt::Result {
    let station = &reading.station;
    let place =
        |value: Option<f64>, unit: &str| value.map_or_else(|| "unknown".to_owned(), |value| format!("{value}{unit}"));
    writeln!(out, "{} ({})", reading.file, reading.format.name())?;
    writeln!(
        out,
        "  station     {}; latitude {}, longitude {}, elevation {}",
        if station.name.is_empty() { "unnamed" } else { &station.name },
        place(station.latitude, "°"),
        place(station.longitude, "°"),
        place(station.elevation_m, " m")
    )?;
    writeln!(
        out,
        "  time        {} to {}{}, a row every {} min, {}",
        stamp(summary.first),
        stamp(summary.last),
        match (reading.typical, reading.invented) {
            (true, false) => " (typical year)",
            (true, true) => " (typical year, invented)",
            (false, true) => " (invented)",
            (false, false) => "",
        },
        reading.step_minutes,
        reading
            .clock_offset_minutes
            .map_or_else(|| "local standard time".to_owned(), |minutes| format!("UTC{:+}", f64::from(minutes) / 60.0))
    )?;
    writeln!(
        out,
        "  hours       {:.0} of {} expected; missing: dry bulb {:.0}, humidity {:.0}, pressure {:.0}",
        summary.hours,
        reading.hours_expected,
        summary.missing_dry_bulb,
        summary.missing_humidity,
        summary.missing_pressure
    )?;
    let number = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "none".to_owned(), |value| format!("{:.decimals$}", Digits(value)))
    };
    let range = |range: Option<(f64, f64)>| {
        range.map_or_else(String::new, |(low, high)| format!(" ({:.1} to {:.1})", Digits(low), Digits(high)))
    };
    let means = &summary.means;
    writeln!(
        out,
        "  mean        dry bulb {} °C{}, RH {} %{}, humidity ratio {} g/kg, pressure {} Pa",
        number(means.dry_bulb_c, 2),
        range(summary.dry_bulb_range_c),
        number(means.relative_humidity_pct, 1),
        range(summary.humidity_range_pct),
        number(means.humidity_ratio.map(|w| w * 1000.0), 2),
        number(means.pressure_pa, 0)
    )?;
    writeln!(out, "  above 70 %  {:.0} h relative humidity", summary.hours_above_70_pct)?;
    let heat: Vec<String> = summary
        .heat
        .iter()
        .map(|sum| format!("{:.0} kWh to {} °C", Digits(sum.heat_kwh_per_kg_per_s()), sum.to_c))
        .collect();
    writeln!(out, "  heat        {} (1 kg of dry air a second)", heat.join(", "))?;
    show_parts(out, "month", &summary.months)?;
    if summary.years.len() > 1 {
        show_parts(out, "year", &summary.years)?;
    }
    show_problems(out, &reading.problems)?;
    if let Some(map) = &reading.column_map {
        writeln!(out, "  columns were guessed; check this, and put it into the study to have it read so for certain:")?;
        for line in map.to_toml().lines() {
            writeln!(out, "    {line}")?;
        }
    }
    Ok(())
}

fn show_parts(out: &mut String, what: &str, parts: &[MonthOfRows]) -> fmt::Result {
    writeln!(out, "  {what:<11} hours  usable  mean °C  kWh to 50 °C")?;
    for part in parts {
        writeln!(
            out,
            "  {:<11} {:>5.0} {:>7.0} {:>8} {:>13.0}",
            part.number,
            part.hours,
            part.usable_hours,
            part.mean_dry_bulb_c().map_or_else(|| "none".to_owned(), |mean| format!("{:.2}", Digits(mean))),
            Digits(part.heat_to_50_kwh)
        )?;
    }
    Ok(())
}

/// What mending did, for one file or several joined.
fn show_series(out: &mut String, series: &Series, files: usize) -> fmt::Result {
    let mends = series.mends;
    if files > 1 {
        writeln!(out, "joined: {} hours", series.hours.len())?;
        for year in series_years(series) {
            writeln!(out, "  {} {} hours, {} mended", year["year"], year["hours"], year["mended_hours"])?;
        }
    }
    writeln!(
        out,
        "mending fills {} h ({} interpolated, {} from days around, {} of a leap day, {} between rows) and \
         leaves {} gaps open",
        mends.filled_hours(),
        mends.interpolated_hours,
        mends.neighbour_day_hours,
        mends.leap_day_hours,
        mends.between_rows_hours,
        series.open_gaps.len()
    )?;
    for problem in &series.problems {
        writeln!(out, "  {:<8} {:<24} {}", problem.severity.to_string(), problem.code, problem.message)?;
    }
    Ok(())
}

fn show_problems(out: &mut String, problems: &[Problem]) -> fmt::Result {
    if problems.is_empty() {
        writeln!(out, "  problems    none")?;
    } else {
        writeln!(out, "  problems")?;
        for problem in problems {
            let line = problem.line.map_or_else(String::new, |line| format!(" (line {line})"));
            writeln!(out, "    {:<8} {:<24} {}{line}", problem.severity.to_string(), problem.code, problem.message)?;
        }
    }
    Ok(())
}
