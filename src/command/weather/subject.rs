//! `--html`: what the picture says of where its hours come from.

use crate::page::Subject;
use crate::weather::{Reading, Series};

/// Hours read from files.
pub(super) fn of_files(readings: &[Reading], series: &Series) -> Subject {
    let named = readings.iter().map(|reading| reading.station.name.trim()).find(|name| !name.is_empty());
    let files: Vec<String> =
        readings.iter().map(|reading| format!("{} ({})", short(&reading.file), reading.format.name())).collect();
    let mut remarks = vec![format!("Read from {}.", files.join(", "))];
    if series.invented {
        remarks.push("A file says that its hours are invented: they were never measured.".to_owned());
    }
    let problems: usize = readings.iter().map(|reading| reading.problems.len()).sum::<usize>() + series.problems.len();
    let filled = series.mends.filled_hours();
    remarks.push(match (problems, filled) {
        (0, 0) => "Nothing was found wrong and nothing was mended.".to_owned(),
        (_, 0) => format!("{problems} findings; nothing had to be filled in."),
        _ => format!("{problems} findings; {filled} h were filled in and are marked."),
    });
    if !series.open_gaps.is_empty() {
        let hours: usize = series.open_gaps.iter().map(|gap| gap.hours).sum();
        remarks.push(format!(
            "{} gaps of {hours} h in all were too long to fill and are left open.",
            series.open_gaps.len()
        ));
    }
    let station = &readings[0].station;
    let mut facts = Vec::new();
    for (label, value, unit) in [
        ("Latitude", station.latitude, "°"),
        ("Longitude", station.longitude, "°"),
        ("Elevation", station.elevation_m, " m"),
    ] {
        if let Some(value) = value {
            facts.push((label.to_owned(), format!("{value}{unit}")));
        }
    }
    if let Some(minutes) = series.utc_offset_minutes {
        facts.push(("Clock".to_owned(), format!("UTC{:+}", f64::from(minutes) / 60.0)));
    }
    Subject {
        title: named.map_or_else(|| short(&readings[0].file).to_owned(), str::to_owned),
        remarks,
        facts,
        typical_year: series.typical,
    }
}

/// The file's name without its folders, which are no one else's.
fn short(file: &str) -> &str {
    file.rsplit(['/', '\\']).next().unwrap_or(file)
}
