//! Effectiveness of a heat exchanger from its number of transfer units.

/// How the two streams of an exchanger run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Against each other.
    Counterflow,
    /// Across each other, both in separate passages (unmixed): the usual plate exchanger.
    Crossflow,
    /// Side by side.
    Parallel,
}

/// Terms of the crossflow series: enough for a hundred transfer units.
const MOST_TERMS: u32 = 400;

/// Effectiveness: heat exchanged over the most that could be, from the number of transfer units
/// (UA / C_min, zero or more) and the ratio of the heat capacity flows (C_min / C_max, 0..1).
///
/// Kays & London, Compact Heat Exchangers; ASHRAE Handbook - Fundamentals, chapter Heat transfer, table
/// of effectiveness relations (from memory, not verified; held against marches through the exchanger).
/// Crossflow is the exact series for two unmixed streams (Mason 1954, from memory, not verified).
/// Surfaces beyond 100 transfer units are taken as 100.
pub fn effectiveness(arrangement: Arrangement, transfer_units: f64, ratio: f64) -> f64 {
    let n = transfer_units.clamp(0.0, 100.0);
    let r = ratio.clamp(0.0, 1.0);
    if n == 0.0 {
        return 0.0;
    }
    if r < 1e-9 {
        return -(-n).exp_m1();
    }
    match arrangement {
        Arrangement::Counterflow if 1.0 - r < 1e-6 => n / (1.0 + n),
        Arrangement::Counterflow => {
            let fall = (-n * (1.0 - r)).exp();
            (1.0 - fall) / (1.0 - r * fall)
        }
        Arrangement::Parallel => -(-n * (1.0 + r)).exp_m1() / (1.0 + r),
        Arrangement::Crossflow => {
            // Each factor is a Poisson tail: the chance of more than k events.
            let (mut term_hot, mut term_cold) = ((-n).exp(), (-r * n).exp());
            let (mut tail_hot, mut tail_cold) = (1.0 - term_hot, 1.0 - term_cold);
            let mut sum = 0.0;
            for k in 1..MOST_TERMS {
                let product = tail_hot * tail_cold;
                sum += product;
                if product < 1e-14 * sum {
                    break;
                }
                term_hot *= n / f64::from(k);
                term_cold *= r * n / f64::from(k);
                tail_hot = (tail_hot - term_hot).max(0.0);
                tail_cold = (tail_cold - term_cold).max(0.0);
            }
            sum / (r * n)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// The two streams stepped along the exchanger from one end, the outlet of the other guessed right.
    #[test]
    fn counterflow_agrees_with_a_march_along_it() {
        for (n, r) in [(0.5, 0.3), (1.5, 0.8), (3.0, 1.0), (5.0, 0.6)] {
            let eff = effectiveness(Arrangement::Counterflow, n, r);
            // Hot stream of capacity 1 enters at 1, cold of capacity 1/r enters at 0.
            let steps = 20_000;
            let (mut hot, mut cold) = (1.0, eff * r);
            for _ in 0..steps {
                let mid = (hot - cold) * n / f64::from(steps);
                let better = (hot - 0.5 * mid - (cold - 0.5 * mid * r)) * n / f64::from(steps);
                hot -= better;
                cold -= better * r;
            }
            assert_relative_eq!(1.0 - hot, eff, max_relative = 1e-6);
            assert!(cold.abs() < 1e-6);
        }
    }

    /// Both streams marched through a square of cells, each cell exchanging by its own mean difference.
    #[test]
    fn crossflow_agrees_with_a_march_through_it() {
        for (n, r) in [(0.25, 1.0), (1.0, 0.5), (2.0, 1.0), (4.0, 0.75)] {
            let cells = 200;
            let step = n / f64::from(cells);
            let mut cold = vec![0.0; 200];
            let mut out = 0.0;
            for _ in 0..cells {
                let mut hot = 1.0;
                for cold in &mut cold {
                    // Trapezoidal in both directions.
                    let heat = step * (hot - *cold) / (1.0 + 0.5 * step * (1.0 + r));
                    hot -= heat;
                    *cold += r * heat;
                }
                out += hot / f64::from(cells);
            }
            let marched = 1.0 - out;
            let exact = effectiveness(Arrangement::Crossflow, n, r);
            assert_relative_eq!(exact, marched, max_relative = 2e-5);
        }
    }

    #[test]
    fn more_surface_is_never_worse_and_counterflow_is_best() {
        for r in [0.1, 0.5, 1.0] {
            let mut before = 0.0;
            for step in 1..40 {
                let n = 0.25 * f64::from(step);
                let counter = effectiveness(Arrangement::Counterflow, n, r);
                let cross = effectiveness(Arrangement::Crossflow, n, r);
                let parallel = effectiveness(Arrangement::Parallel, n, r);
                assert!(counter > before && counter < 1.0);
                assert!(parallel < cross + 1e-9 && cross < counter + 1e-9, "{n} {r}");
                before = counter;
            }
        }
    }
}
