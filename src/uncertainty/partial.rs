//! How an answer goes with each input once what the other inputs do to it is taken away.

use super::matrix::{Matrix, cholesky, solve};
use super::rank_correlation::rank_correlation;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Share of an answer that no input explains, where nothing is left: keeps rounding from looking like a finding.
const LEAST_UNEXPLAINED: f64 = 1e-12;

/// Partial rank correlation of the answers with each input, -1..1: the correlation of what is left of the ranks of
/// both after the least-squares fit to the ranks of all other inputs (Iman & Conover 1979, Technometrics
/// 21:499-509; Saltelli & Marivoet 1990, Reliab. Eng. Syst. Saf. 28:229-253; both from memory, not verified).
/// Columns are inputs. `None` for all where the fit has no solution: an input that never varies, an answer that
/// never does, or too few draws.
pub(crate) fn partial_rank_correlations(inputs: &[Vec<f64>], answers: &[f64]) -> Vec<Option<f64>> {
    found(inputs, answers).unwrap_or_else(|| vec![None; inputs.len()])
}

fn found(inputs: &[Vec<f64>], answers: &[f64]) -> Option<Vec<Option<f64>>> {
    if answers.len() < inputs.len() + 2 {
        return None;
    }
    let among: Matrix = inputs
        .iter()
        .map(|one| inputs.iter().map(|other| rank_correlation(one, other)).collect())
        .collect::<Option<_>>()?;
    let with: Vec<f64> = inputs.iter().map(|one| rank_correlation(one, answers)).collect::<Option<_>>()?;
    let factor = cholesky(&among)?;
    let fit = solve(&factor, &with);
    let explained: f64 = fit.iter().zip(&with).map(|(fit, with)| fit * with).sum();
    let unexplained = (1.0 - explained).max(LEAST_UNEXPLAINED);
    let partial = |input: usize| {
        let mut unit = vec![0.0; inputs.len()];
        unit[input] = 1.0;
        // The diagonal of the inverse.
        let inflation = solve(&factor, &unit)[input];
        fit[input] / (fit[input] * fit[input] + unexplained * inflation).sqrt()
    };
    Some((0..inputs.len()).map(|input| Some(partial(input))).collect())
}

/// The partial correlation, without its sign, that so many draws of so many inputs pass by chance in one case of
/// twenty: t / sqrt(d + t^2) with d = draws - inputs - 1 degrees of freedom and t the 97.5 % point of Student's
/// distribution (the usual test of a partial correlation, from memory, not verified). `None` with too few draws.
pub(crate) fn noise_of_partial(draws: usize, inputs: usize) -> Option<f64> {
    let freedom = draws.checked_sub(inputs + 1).filter(|freedom| *freedom > 0)? as f64;
    let t = StudentsT::new(0.0, 1.0, freedom).ok()?.inverse_cdf(0.975);
    Some(t / (freedom + t * t).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// `tests/data/uncertainty/partial_ranks.csv`, made by the script beside it with numpy and scipy by another
    /// way: two least-squares fits to the ranks of the others, and Pearson's correlation of what they leave.
    #[test]
    fn a_table_of_an_independent_library() {
        let text = include_str!("../../tests/data/uncertainty/partial_ranks.csv");
        let mut rows = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
        let heads = rows.next().unwrap();
        let inputs = heads.len() - 1;
        let mut columns = vec![Vec::new(); inputs + 1];
        let mut expected = Vec::new();
        for row in rows {
            let numbers: Vec<f64> = row.iter().filter_map(|cell| cell.parse().ok()).collect();
            if row[0] == "partial" {
                expected = numbers;
            } else {
                columns.iter_mut().zip(numbers).for_each(|(column, number)| column.push(number));
            }
        }
        let found = partial_rank_correlations(&columns[..inputs], &columns[inputs]);
        assert_eq!((found.len(), expected.len()), (inputs, inputs));
        for (found, expected) in found.into_iter().zip(expected) {
            assert_relative_eq!(found.unwrap(), expected, epsilon = 1e-9);
        }
    }

    /// Critical values of the correlation coefficient at 5 %, two-sided: 10 degrees of freedom 0.576, 30 degrees
    /// 0.349 (printed tables, from memory, not verified; scipy gives 0.57598 and 0.34937).
    #[test]
    fn noise_is_the_critical_value_of_a_correlation() {
        assert_relative_eq!(noise_of_partial(14, 3).unwrap(), 0.57598, epsilon = 1e-5);
        assert_relative_eq!(noise_of_partial(37, 6).unwrap(), 0.34937, epsilon = 1e-5);
        assert_eq!(noise_of_partial(4, 3), None);
    }

    #[test]
    fn an_answer_that_is_one_input_goes_with_it_alone() {
        let one = vec![1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
        let other = vec![2.0, 6.0, 1.0, 5.0, 3.0, 4.0];
        let found = partial_rank_correlations(&[one.clone(), other.clone()], &one);
        assert_relative_eq!(found[0].unwrap(), 1.0, epsilon = 1e-9);
        assert!(found[1].unwrap().abs() < 1e-6, "{found:?}");
        let still = partial_rank_correlations(&[one, other], &[7.0; 6]);
        assert_eq!(still, [None, None]);
    }
}
