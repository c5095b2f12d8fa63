//! From readings to the years that seasons are run in: joined, mended, cut, and as warm as they are asked for.

use super::mend::mend;
use super::rules::MendRules;
use super::seasons::{SeasonWindow, seasons};
use super::series::Series;
use crate::weather::hour::WeatherYear;
use crate::weather::problem::WeatherError;
use crate::weather::reading::Reading;

/// How readings become years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearRules {
    /// What may be filled.
    pub mend: MendRules,
    /// The season.
    pub window: SeasonWindow,
    /// Hours that are wanted after its last day.
    pub tail_hours: usize,
    /// By how much every hour is taken to be warmer, K; zero for the weather as it was.
    pub warmer_by_k: f64,
}

/// The years of these readings, and the series that they are cut from, which says what was mended.
///
/// Errors are those of [`mend`] and of [`seasons`].
pub fn years(readings: &[Reading], rules: &YearRules) -> Result<(Vec<WeatherYear>, Series), WeatherError> {
    let series = mend(readings, &rules.mend)?;
    let mut years = seasons(&series, rules.window, rules.tail_hours)?;
    if rules.warmer_by_k != 0.0 {
        years = years.iter().map(|year| year.warmer_by(rules.warmer_by_k)).collect();
    }
    Ok((years, series))
}
