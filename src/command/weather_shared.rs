//! What the commands that read weather share.

use super::Failure;
use super::beside::say_beside;
use crate::problem::Severity;
use crate::table::whole;
use crate::weather::Reading;
use serde_json::{Value, json};

/// Altitudes, m, at which the standard atmosphere's pressure is in the range of the equations.
const ALTITUDE_RANGE_M: std::ops::RangeInclusive<f64> = -500.0..=5_500.0;

/// Refuses an altitude at which there is no standard atmosphere.
pub(super) fn check_altitude(altitude_m: Option<f64>) -> Result<(), Failure> {
    match altitude_m {
        Some(metres) if !ALTITUDE_RANGE_M.contains(&metres) => {
            Err(Failure::asked(format!("--altitude {metres} m is outside -500..5500 m"), "give metres above sea level"))
        }
        _ => Ok(()),
    }
}

/// Whole hours as a whole number; shares of an hour as they are.
pub(super) fn hours_json(hours: f64) -> Value {
    let full = hours.round();
    if (hours - full).abs() < 1e-6 { json!(whole(full)) } else { json!(hours) }
}

/// Problems on stderr, warnings and worse.
pub(super) fn show_problems(reading: &Reading, warnings_only: bool) {
    for problem in &reading.problems {
        if warnings_only && problem.severity == Severity::Note {
            continue;
        }
        let line = problem.line.map_or_else(String::new, |line| format!(":{line}"));
        say_beside(&format!("{}: {}{line}: {} [{}]", problem.severity, reading.file, problem.message, problem.code));
    }
}
