//! Does an answer go with an input?

/// Spearman's rank correlation of pairs, -1..1: Pearson's correlation of their ranks, equal values sharing
/// the mean of their ranks. `None` where either side is all alike, or there are fewer than two pairs.
pub(crate) fn rank_correlation(inputs: &[f64], answers: &[f64]) -> Option<f64> {
    let count = inputs.len().min(answers.len());
    let (x, y) = (ranks(&inputs[..count]), ranks(&answers[..count]));
    let mean = f64::midpoint(count as f64, 1.0);
    let (mut together, mut of_x, mut of_y) = (0.0, 0.0, 0.0);
    for (x, y) in x.iter().zip(&y) {
        together += (x - mean) * (y - mean);
        of_x += (x - mean) * (x - mean);
        of_y += (y - mean) * (y - mean);
    }
    let spread = f64::sqrt(of_x * of_y);
    (spread > 0.0).then(|| together / spread)
}

/// Ranks from 1; equal values share the mean of theirs.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0.0; values.len()];
    let mut below = 0;
    for alike in order.chunk_by(|&a, &b| values[a] == values[b]) {
        let shared = below as f64 + f64::midpoint(alike.len() as f64, 1.0);
        for &place in alike {
            ranks[place] = shared;
        }
        below += alike.len();
    }
    ranks
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Wikipedia, "Spearman's rank correlation coefficient", worked example of ten pairs (IQ and hours of
    /// television a week; read in a copy of the article): the squared differences of ranks add up to 194,
    /// rho = 1 - 6 * 194 / (10 * 99) = -29/165 = -0.175757575.
    #[test]
    fn a_worked_example_of_ten_pairs() {
        let iq = [106.0, 100.0, 86.0, 101.0, 99.0, 103.0, 97.0, 113.0, 112.0, 110.0];
        let hours = [7.0, 27.0, 2.0, 50.0, 28.0, 29.0, 20.0, 12.0, 6.0, 17.0];
        let rho = rank_correlation(&iq, &hours).unwrap();
        assert_relative_eq!(rho, -29.0 / 165.0, epsilon = 1e-12);
    }

    /// By hand: ranks 1, 2.5, 2.5, 4 against 1, 2, 3, 4 give 4.5 / sqrt(4.5 * 5).
    #[test]
    fn equal_values_share_their_rank() {
        assert_eq!(ranks(&[5.0, 7.0, 7.0, 9.0]), [1.0, 2.5, 2.5, 4.0]);
        let rho = rank_correlation(&[5.0, 7.0, 7.0, 9.0], &[1.0, 2.0, 3.0, 4.0]).unwrap();
        assert_relative_eq!(rho, 4.5 / f64::sqrt(4.5 * 5.0), epsilon = 1e-12);
    }

    #[test]
    fn what_rises_together_is_one_and_what_never_moves_is_nothing() {
        let x = [1.0, 2.0, 3.0];
        assert_eq!(rank_correlation(&x, &[1.0, 8.0, 9.0]), Some(1.0));
        assert_eq!(rank_correlation(&x, &[9.0, 8.0, 1.0]), Some(-1.0));
        assert_eq!(rank_correlation(&x, &[4.0, 4.0, 4.0]), None);
        assert_eq!(rank_correlation(&[], &[]), None);
    }
}
