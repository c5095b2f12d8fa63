//! What is looked for in a fit: too little to go on, and samples that cannot be right.

use super::doubt::{Doubt, Place};
use super::{DryingLog, Fit, Residual};
use crate::air::{saturation_pressure_pa, vapour_pressure_pa};
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::Nuts;

/// Fewest left-over samples that pass without a word.
const FEW_OVER: usize = 5;
/// A rate known worse than within this factor is told so.
const WIDE_FACTOR: f64 = 1.5;
/// Points w.b. by which a sample may lie above the one before, or below equilibrium, without a word.
const PASSABLE_POINTS: f64 = 0.5;

/// What remains in doubt of a fit to these logs.
pub(super) fn doubts(logs: &[DryingLog], fit: &Fit) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    if fit.over < FEW_OVER {
        doubts.push(Doubt::FewSamples { over: fit.over });
    }
    if fit.activation_kj_per_mol.is_some() && logs.len() == 1 {
        doubts.push(Doubt::ActivationFromOneLog);
    }
    let factor = (fit.rate_per_h.high / fit.rate_per_h.low).sqrt();
    if factor > WIDE_FACTOR {
        doubts.push(Doubt::WideRate { factor });
    }
    for log in &fit.residuals {
        if let (Some(first), Some(last)) = (log.first(), log.last()) {
            let points = first.fitted_pct - last.fitted_pct;
            if points < 5.0 * fit.residual_sd_points {
                doubts.push(Doubt::LittleDrying { points });
            }
        }
    }
    doubts.extend(odd_samples(logs, fit));
    doubts.extend(runs(&fit.residuals));
    doubts
}

/// Samples that rise, or lie below what the air allows.
fn odd_samples(logs: &[DryingLog], fit: &Fit) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for (which, log) in logs.iter().enumerate() {
        let measured = &fit.residuals[which];
        for (sample, now) in log.samples().iter().enumerate() {
            let place = Place { log: which, sample };
            let pct = measured[sample].measured_pct;
            if let Some(before) = sample.checked_sub(1) {
                let points = pct - measured[before].measured_pct;
                if points > PASSABLE_POINTS {
                    doubts.push(Doubt::Rises { place, points });
                }
            }
            let points = percent_of_dry_basis(equilibrium(log, &fit.nuts, now.hours)) - pct;
            if points > PASSABLE_POINTS {
                doubts.push(Doubt::BelowEquilibrium { place, points });
            }
        }
    }
    doubts
}

/// Moisture, dry basis, that nuts would reach in the log's air of a time.
fn equilibrium(log: &DryingLog, nuts: &Nuts, hours: f64) -> f64 {
    let (dry_bulb_c, humidity_ratio, pressure_pa) = log.air_at(hours);
    let humidity = vapour_pressure_pa(humidity_ratio, pressure_pa) / saturation_pressure_pa(dry_bulb_c);
    nuts.equilibrium_moisture(dry_bulb_c, humidity)
}

/// Misses that follow each other more than chance would have it (2/√n, the bound of 95 % of a white
/// series; Bartlett 1946, from memory, not verified).
fn runs(residuals: &[Vec<Residual>]) -> Option<Doubt> {
    let (mut together, mut alone, mut count) = (0.0, 0.0, 0.0);
    for log in residuals {
        alone += log.iter().map(|r| r.points() * r.points()).sum::<f64>();
        count += log.len() as f64;
        together += log.windows(2).map(|pair| pair[0].points() * pair[1].points()).sum::<f64>();
    }
    let correlation = together / alone;
    (count >= 8.0 && alone > 1e-6 * count && correlation > 2.0 / f64::sqrt(count))
        .then_some(Doubt::Runs { correlation })
}
