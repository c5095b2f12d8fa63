//! Which stratum of one input is drawn with which of another: so that inputs have nothing to do with each
//! other by design, not only on average.

use super::matrix::{Matrix, cholesky};

/// Passes at most; a handful is usual.
const MOST_PASSES: usize = 40;

/// Pairs the strata of the inputs anew so that the rank correlation of any two is near zero. Each input keeps its
/// strata, each once: only their order changes, and the first input keeps its own.
///
/// Iman & Conover (1982), Communications in Statistics B 11:311-334 (from memory, not verified), with the ranks
/// themselves as scores and no correlation as the aim: scores times the inverse of the Cholesky factor of their
/// correlation have none, and each input takes the order of its column. Ordering brings a little back, so that
/// it is done again while the largest of all correlations falls. With fewer draws than inputs there is no such
/// pairing, and the strata stay as they came.
pub(super) fn uncorrelated(strata: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    let mut best = (largest(&correlations(&strata)), strata.clone());
    let mut now = strata;
    for _ in 0..MOST_PASSES {
        let Some(factor) = cholesky(&correlations(&now)) else {
            break;
        };
        let next = reordered(&now, &factor);
        if next == now {
            break;
        }
        now = next;
        let there = largest(&correlations(&now));
        if there < best.0 {
            best = (there, now.clone());
        }
    }
    best.1
}

/// Correlations of columns of ranks, each of which has every rank once.
fn correlations(strata: &[Vec<usize>]) -> Matrix {
    let draws = strata.first().map_or(0, Vec::len) as f64;
    let middle = (draws - 1.0) / 2.0;
    let square = draws * (draws * draws - 1.0) / 12.0;
    let of = |a: &[usize], b: &[usize]| {
        let products = a.iter().zip(b).map(|(&a, &b)| (a as f64 - middle) * (b as f64 - middle));
        products.sum::<f64>() / square
    };
    strata.iter().map(|a| strata.iter().map(|b| of(a, b)).collect()).collect()
}

/// The largest correlation of two different columns, without its sign.
fn largest(correlations: &Matrix) -> f64 {
    let rows = correlations.iter().enumerate();
    let below = rows.flat_map(|(at, row)| &row[..at]);
    below.fold(0.0, |most: f64, one| most.max(one.abs()))
}

/// Each column in the order of the same column of the scores freed from their correlation.
fn reordered(strata: &[Vec<usize>], factor: &Matrix) -> Vec<Vec<usize>> {
    let (inputs, draws) = (strata.len(), strata.first().map_or(0, Vec::len));
    let mut freed = vec![vec![0.0; draws]; inputs];
    for draw in 0..draws {
        for input in 0..inputs {
            let before: f64 = (0..input).map(|other| factor[input][other] * freed[other][draw]).sum();
            freed[input][draw] = (strata[input][draw] as f64 - before) / factor[input][input];
        }
    }
    freed
        .iter()
        .map(|column| {
            let mut order: Vec<usize> = (0..draws).collect();
            order.sort_by(|&a, &b| column[a].total_cmp(&column[b]));
            let mut ranks = vec![0; draws];
            for (rank, draw) in order.into_iter().enumerate() {
                ranks[draw] = rank;
            }
            ranks
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::latin_hypercube::latin_hypercube;
    use super::super::rank_correlation;

    #[test]
    fn no_two_inputs_have_anything_to_do_with_each_other() {
        for draws in [32_usize, 48, 64, 128, 256] {
            for (inputs, seed) in [(2, 1), (4, 2), (6, 1), (6, 3), (12, 4)] {
                let shares = latin_hypercube(draws, inputs, seed);
                let column = |input: usize| shares.iter().map(|draw| draw[input]).collect::<Vec<_>>();
                for one in 0..inputs {
                    for other in 0..one {
                        let rho = rank_correlation(&column(one), &column(other)).unwrap();
                        // By chance alone one in twenty pairs of 48 draws passes 0.28.
                        let most = 2.5 / draws as f64;
                        assert!(rho.abs() < most, "{draws} draws of {inputs}: {rho}");
                    }
                }
            }
        }
    }
}
