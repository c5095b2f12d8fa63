//! What the fit says, in words and rounded numbers: the same on the terminal and on the page.

use super::fitted::Fitted;
use crate::crop::Quantity;
use crate::dryer::log::{Doubt, Estimate};
use crate::problem::Problem;

/// One constant: name, value, interval, the library's in its place, unit.
pub(super) struct Line {
    pub name: String,
    pub value: String,
    pub interval: String,
    pub library: String,
    /// How far the library's value can be trusted; empty where there is none.
    pub status: &'static str,
    pub unit: &'static str,
}

/// A number with this many significant digits, never in powers of ten.
pub(super) fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let mut decimals = 0;
    while decimals < 12 && value.abs() * 10.0_f64.powi(decimals) < 10.0_f64.powi(digits - 1) {
        decimals += 1;
    }
    // 0..12 by the loop.
    format!("{value:.*}", usize::try_from(decimals).unwrap_or(0))
}

pub(super) fn interval(estimate: &Estimate, digits: i32) -> String {
    format!("{}..{}", significant(estimate.low, digits), significant(estimate.high, digits))
}

/// The constants found.
pub(super) fn constants(fitted: &Fitted) -> Vec<Line> {
    let Fitted { crop, logs, fit } = fitted;
    let status = |quantity| crop.value(quantity).map_or("", |sourced| sourced.status.words());
    let mut lines = vec![Line {
        name: format!("drying rate at {} °C", fit.reference_c),
        value: significant(fit.rate_per_h.value, 3),
        interval: interval(&fit.rate_per_h, 3),
        library: significant(crop.thin_layer().rate_per_h(fit.reference_c), 3),
        status: status(Quantity::DryingRate),
        unit: "1/h",
    }];
    let library = crop.value(Quantity::ActivationEnergy).map_or(f64::NAN, |sourced| sourced.value);
    let energy = Line {
        name: "activation energy".to_owned(),
        value: significant(fit.activation_in_use_kj_per_mol(), 3),
        interval: fit.activation_kj_per_mol.map_or("kept".to_owned(), |e| interval(&e, 3)),
        library: significant(library, 3),
        status: status(Quantity::ActivationEnergy),
        unit: "kJ/mol",
    };
    lines.push(energy);
    if let Some(factor) = &fit.isotherm_factor {
        lines.push(Line {
            name: "water held, over the isotherm's".to_owned(),
            value: significant(factor.value, 3),
            interval: interval(factor, 3),
            library: "1".to_owned(),
            status: crop.isotherm_origin().status.words(),
            unit: "-",
        });
    }
    for (log, start) in logs.iter().zip(&fit.start_pct) {
        lines.push(Line {
            name: if logs.len() == 1 {
                "moisture at the start".to_owned()
            } else {
                format!("moisture at the start, {}", short(&log.name))
            },
            value: format!("{:.2}", start.value),
            interval: format!("{:.2}..{:.2}", start.low, start.high),
            library: String::new(),
            status: "",
            unit: "% w.b.",
        });
    }
    lines
}

/// Name of a file without its folders.
pub(super) fn short(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// How well the model passes through the samples.
pub(super) fn goodness(fitted: &Fitted) -> String {
    let fit = &fitted.fit;
    let samples: usize = fit.residuals.iter().map(Vec::len).sum();
    format!(
        "{samples} samples, {} constants sought; misses have a standard deviation of {} points w.b., R² {:.4}",
        samples - fit.over,
        significant(fit.residual_sd_points, 2),
        fit.r_squared
    )
}

/// A doubt with the place in the file that it is about.
pub(super) fn doubt(fitted: &Fitted, doubt: &Doubt) -> Problem {
    let problem = Problem::said(doubt.to_string()).into_warning();
    let place = doubt.place().and_then(|place| {
        let log = fitted.logs.get(place.log)?;
        Some((&log.name, *log.lines.get(place.sample)?))
    });
    match place {
        Some((name, line)) => problem.placed(name, Some(line)),
        None => problem,
    }
}
