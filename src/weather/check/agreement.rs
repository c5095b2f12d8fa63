//! Do dry bulb, dew point and relative humidity of the same rows agree? If not, columns are swapped or in
//! another unit than stated, which no check of a single column would see.

use crate::air::saturation_pressure_pa;
use crate::weather::problem::Problem;
use crate::weather::reading::Row;
use crate::weather::units::TemperatureUnit;

/// Dry bulb, dew point (both in a unit yet to be judged) and relative humidity in percent.
pub(crate) type Triple = (f64, f64, f64);

/// About so many triples are looked at.
const SAMPLE: usize = 500;
/// Fewer triples than this judge nothing.
const FEWEST: usize = 12;
/// Columns agree if relative humidity is met within this, % points: rounding to whole degrees costs
/// about 4, over ice or over water about 5 in hard frost.
const AGREES_PCT: f64 = 8.0;
/// Beyond this they contradict each other.
const CONTRADICTS_PCT: f64 = 12.0;

/// Mean miss of relative humidity, % points, if the temperatures are in this unit; `None` for too few
/// rows. A temperature that no weather has counts as the worst miss.
pub(crate) fn mean_miss_pct(triples: &[Triple], unit: TemperatureUnit) -> Option<f64> {
    if triples.len() < FEWEST {
        return None;
    }
    let sum: f64 = triples
        .iter()
        .map(|(dry_bulb, dew_point, pct)| {
            let (t, td) = (unit.to_celsius(*dry_bulb), unit.to_celsius(*dew_point));
            if !(-60.0..=60.0).contains(&t) || !(-90.0..=60.0).contains(&td) {
                return 50.0;
            }
            let expected = 100.0 * saturation_pressure_pa(td) / saturation_pressure_pa(t);
            (expected - pct).abs().min(50.0)
        })
        .sum();
    Some(sum / triples.len() as f64)
}

/// Judges rows whose relative humidity is a fraction already. An error says that the file contradicts
/// itself; a warning that it does so without a visible reason.
pub(crate) fn check(rows: &[Row], problems: &mut Vec<Problem>) -> Result<(), String> {
    let triples: Vec<Triple> = rows
        .iter()
        .step_by((rows.len() / SAMPLE).max(1))
        .filter_map(|row| Some((row.dry_bulb_c?, row.dew_point_c?, row.relative_humidity? * 100.0)))
        .collect();
    let Some(miss) = mean_miss_pct(&triples, TemperatureUnit::Celsius) else {
        return Ok(());
    };
    let as_fahrenheit = mean_miss_pct(&triples, TemperatureUnit::Fahrenheit).unwrap_or(50.0);
    if as_fahrenheit < AGREES_PCT / 2.0 && miss > 3.0 + 2.5 * as_fahrenheit {
        return Err(format!(
            "dry bulb, dew point and relative humidity agree only if the temperatures are °F (humidity then misses by \
             {as_fahrenheit:.1} % points, as °C by {miss:.1}): the unit is another than stated; correct the header, or name \
             the unit in the column map"
        ));
    }
    if miss < CONTRADICTS_PCT {
        return Ok(());
    }
    let swapped: Vec<Triple> = triples.iter().map(|(t, td, rh)| (*td, *t, *rh)).collect();
    if mean_miss_pct(&swapped, TemperatureUnit::Celsius).is_some_and(|miss| miss < AGREES_PCT) {
        return Err(
            "dry bulb and dew point agree with relative humidity only if they are exchanged: the two columns are \
             swapped; correct the header"
                .into(),
        );
    }
    problems.push(Problem::warning(
        "humidity.contradiction",
        format!(
            "relative humidity differs from what dry bulb and dew point say by {miss:.0} % points on average: one of the \
             three columns is wrong; relative humidity is used"
        ),
    ));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn triples(unit: impl Fn(f64) -> f64) -> Vec<Triple> {
        (0..40)
            .map(|at| {
                let t = 5.0 + f64::from(at) / 2.0;
                let td = t - f64::from(at % 10);
                let pct = 100.0 * saturation_pressure_pa(td) / saturation_pressure_pa(t);
                (unit(t), unit(td), pct)
            })
            .collect()
    }

    #[test]
    fn the_unit_shows_in_the_agreement() {
        let fahrenheit = triples(|c| c * 1.8 + 32.0);
        assert!(mean_miss_pct(&fahrenheit, TemperatureUnit::Fahrenheit).unwrap() < 1e-9);
        assert!(mean_miss_pct(&fahrenheit, TemperatureUnit::Celsius).unwrap() > AGREES_PCT);
        let celsius = triples(|c| c);
        assert!(mean_miss_pct(&celsius, TemperatureUnit::Celsius).unwrap() < 1e-9);
        assert_eq!(mean_miss_pct(&celsius[..5], TemperatureUnit::Celsius), None);
    }
}
