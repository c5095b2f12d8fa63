//! Paired odds.

/// Share of pairs in which the first is below the second, 0..1: both saw the same draw, so that what moves
/// both alike says nothing about which is better. Equal ones do not count; zero of no pairs.
pub fn share_below(own: &[f64], other: &[f64]) -> f64 {
    let pairs = own.len().min(other.len());
    if pairs == 0 {
        return 0.0;
    }
    let below = own.iter().zip(other).filter(|(own, other)| own < other);
    below.count() as f64 / pairs as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_are_compared_one_by_one() {
        // Each range covers the other's, and yet the first is always the cheaper.
        assert_eq!(share_below(&[1.0, 5.0, 9.0], &[2.0, 6.0, 10.0]), 1.0);
        assert_eq!(share_below(&[1.0, 7.0], &[2.0, 7.0]), 0.5);
        assert_eq!(share_below(&[], &[]), 0.0);
    }
}
