//! The answer on the terminal, and as JSON.

use super::block::block;
use super::fitted::Fitted;
use super::unlikely::unlikely;
use super::words::{constants, doubt, goodness, short};
use crate::crop::Quantity;
use crate::dryer::log::{Estimate, Residual};
use crate::number::Digits;
use crate::problem::Problem;
use serde_json::{Value, json};
use std::fmt::Write;

/// Widest line of wrapped text, in characters.
const WIDTH: usize = 96;
/// Cells on either side of zero in the plot of misses.
const HALF_PLOT: usize = 20;
/// Most samples of a log that are shown; JSON and the page have all.
const SHOWN_SAMPLES: usize = 60;

pub(super) fn text(fitted: &Fitted) -> String {
    let mut text =
        format!("{}, in shell: constants of its drying law, {}\n\n", fitted.crop.name(), fitted.crop.law_name());
    let lines = constants(fitted);
    let names = lines.iter().map(|line| line.name.chars().count()).max().unwrap_or(0);
    let _ = writeln!(text, "  {:<names$} {:>9}        {:>14} {:>9}", "", "found", "95 % interval", "library");
    for line in &lines {
        let row = format!(
            "  {:<names$} {:>9} {:<6} {:>14} {:>9}",
            line.name, line.value, line.unit, line.interval, line.library
        );
        let _ = writeln!(text, "{}", row.trim_end());
    }
    let statuses: Vec<String> = lines
        .iter()
        .filter(|line| !line.status.is_empty())
        .map(|line| format!("{}: {}", line.name, line.status))
        .collect();
    text.push('\n');
    paragraph(&mut text, "  ", &format!("In the library, {}.", statuses.join("; ")));
    let _ = writeln!(text, "\n  {}", goodness(fitted));
    let scale = plot_scale(fitted);
    for (log, residuals) in fitted.logs.iter().zip(&fitted.fit.residuals) {
        let _ = writeln!(text, "\n{}", log.name);
        for words in &log.words {
            paragraph(&mut text, "  ", words);
        }
        misses(&mut text, residuals, scale);
    }
    let doubts = doubts(fitted);
    if !doubts.is_empty() {
        text.push_str("\nIn doubt\n");
        for told in &doubts {
            paragraph(&mut text, "! ", &told.unlabelled());
        }
    }
    let _ = write!(text, "\nFor a study (with what its [crop] says already):\n\n{}", block(fitted));
    text
}

/// What looks like a slip of the log, then what the samples leave open.
fn doubts(fitted: &Fitted) -> Vec<Problem> {
    let mut told = unlikely(fitted);
    told.extend(fitted.fit.doubts.iter().map(|left| doubt(fitted, left)));
    told
}

/// Wraps words behind a mark.
fn paragraph(text: &mut String, mark: &str, words: &str) {
    let mut line = mark.to_owned();
    for word in words.split_whitespace() {
        if line.chars().count() + word.chars().count() >= WIDTH && line.trim() != mark.trim() {
            let _ = writeln!(text, "{}", line.trim_end());
            "  ".clone_into(&mut line);
        }
        line += word;
        line.push(' ');
    }
    let _ = writeln!(text, "{}", line.trim_end());
}

/// Points w.b. at the ends of the plot: a round number that holds every miss.
fn plot_scale(fitted: &Fitted) -> f64 {
    let most = fitted.fit.residuals.iter().flatten().map(|residual| residual.points().abs()).fold(0.0, f64::max);
    [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0].into_iter().find(|scale| *scale >= most).unwrap_or(50.0)
}

fn misses(text: &mut String, residuals: &[Residual], scale: f64) {
    let _ = writeln!(
        text,
        "\n  {:>8} {:>8} {:>8} {:>7}   {:<HALF_PLOT$}0{:>HALF_PLOT$}",
        "hours",
        "sample",
        "model",
        "miss",
        format!("-{scale}"),
        format!("+{scale} points")
    );
    let every = residuals.len().div_ceil(SHOWN_SAMPLES).max(1);
    for residual in residuals.iter().step_by(every) {
        let _ = writeln!(
            text,
            "  {:>8.1} {:>8.2} {:>8.2} {:>+7.2}   {}",
            residual.hours,
            residual.measured_pct,
            residual.fitted_pct,
            Digits(residual.points()),
            bar(residual.points() / scale)
        );
    }
    if every > 1 {
        let _ = writeln!(text, "  (one sample in {every} is shown)");
    }
}

/// A miss as a bar from the middle, its share of the scale between -1 and 1.
fn bar(share: f64) -> String {
    let mut cells = vec![' '; 2 * HALF_PLOT + 1];
    cells[HALF_PLOT] = '│';
    for step in 1..=HALF_PLOT {
        // A cell is filled from its middle on.
        if share.abs() * HALF_PLOT as f64 >= step as f64 - 0.5 {
            let at = if share < 0.0 { HALF_PLOT - step } else { HALF_PLOT + step };
            cells[at] = '▪';
        }
    }
    cells.into_iter().collect::<String>().trim_end().to_owned()
}

fn estimate(estimate: &Estimate) -> Value {
    json!({ "value": estimate.value, "low": estimate.low, "high": estimate.high })
}

pub(super) fn json(fitted: &Fitted) -> Value {
    let Fitted { crop, logs, fit } = fitted;
    let library = |quantity| crop.value(quantity).map(|sourced| sourced.value);
    let logs: Vec<Value> = logs
        .iter()
        .zip(fit.residuals.iter().zip(&fit.start_pct))
        .map(|(log, (residuals, start))| {
            json!({
                "file": log.name,
                "name": short(&log.name),
                "air_and_bed": log.words,
                "start_moisture_pct_wb": estimate(start),
                "samples": residuals.iter().zip(&log.lines).map(|(residual, line)| json!({
                    "line": line,
                    "hours": residual.hours,
                    "measured_pct_wb": residual.measured_pct,
                    "fitted_pct_wb": residual.fitted_pct,
                    "residual_points": residual.points(),
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "crop": crop.name(),
        "law": crop.law_name(),
        "confidence": 0.95,
        "rate_temperature_c": fit.reference_c,
        "drying_rate_per_h": estimate(&fit.rate_per_h),
        "library_drying_rate_per_h": crop.thin_layer().rate_per_h(fit.reference_c),
        "activation_energy_kj_per_mol": fit.activation_kj_per_mol.as_ref().map(estimate),
        "activation_energy_in_use_kj_per_mol": fit.activation_in_use_kj_per_mol(),
        "library_activation_energy_kj_per_mol": library(Quantity::ActivationEnergy),
        "isotherm_factor": fit.isotherm_factor.as_ref().map(estimate),
        "residual_sd_points": fit.residual_sd_points,
        "r_squared": fit.r_squared,
        "degrees_of_freedom": fit.over,
        "logs": logs,
        "doubts": doubts(fitted).iter().map(Problem::unlabelled).collect::<Vec<_>>(),
        "problems": doubts(fitted),
        "crop_block": block(fitted),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_reaches_as_far_as_its_miss() {
        assert_eq!(bar(0.0).chars().count(), HALF_PLOT + 1);
        assert_eq!(bar(1.0).matches('▪').count(), HALF_PLOT);
        assert_eq!(bar(-0.5).matches('▪').count(), HALF_PLOT / 2);
        assert!(bar(-0.5).ends_with('│'));
        assert_eq!(bar(f64::NAN).matches('▪').count(), 0);
    }
}
