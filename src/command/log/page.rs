//! `--html`: what the page says of the fit.

use super::block::block;
use super::fitted::Fitted;
use super::words::{constants, doubt, goodness, short};
use crate::page::{FittedLog, FittedSample, FoundConstant, LogFit};

/// The fit as a page tells it.
pub(super) fn of_fit(fitted: &Fitted) -> LogFit {
    let constants = constants(fitted).into_iter().map(|line| FoundConstant {
        library: if line.status.is_empty() { String::new() } else { format!("{} ({})", line.library, line.status) },
        name: line.name,
        value: line.value,
        interval: line.interval,
        unit: line.unit.to_owned(),
    });
    let logs = fitted.logs.iter().zip(&fitted.fit.residuals).map(|(log, residuals)| FittedLog {
        name: short(&log.name).to_owned(),
        words: log.words.clone(),
        samples: residuals
            .iter()
            .map(|residual| FittedSample {
                hours: residual.hours,
                measured_pct: residual.measured_pct,
                fitted_pct: residual.fitted_pct,
                miss_points: residual.points(),
            })
            .collect(),
    });
    LogFit {
        crop: fitted.crop.name().to_owned(),
        law: fitted.crop.law_name().to_owned(),
        goodness: goodness(fitted),
        constants: constants.collect(),
        doubts: fitted.fit.doubts.iter().map(|told| doubt(fitted, told).unlabelled()).collect(),
        logs: logs.collect(),
        block: block(fitted),
    }
}
