//! Which values the inputs take: draws of all together, and each alone at its low and its high.

use super::distribution::Distribution;
use super::latin_hypercube::latin_hypercube;

/// One set of values to compute the answer at. Inputs that it does not name keep the study's own.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Point {
    /// What it is for.
    pub which: Which,
    /// Place of each input that is moved, and its value.
    pub values: Vec<(usize, f64)>,
}

/// What a point is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Which {
    /// A draw of all inputs, from 0.
    Draw(usize),
    /// This input alone at its P10.
    Low(usize),
    /// This input alone at its P90.
    High(usize),
}

/// Draws of a block: each tenth of every input is hit three times, and the standard error of a share near one half is
/// 9 percentage points.
pub(crate) const DRAWS_OF_A_BLOCK: usize = 32;

/// How many draws each block has: the draws are cut into blocks after each of which they may end, of no fewer than
/// [`DRAWS_OF_A_BLOCK`] but where fewer are asked for. Each fills the range of every input by itself.
pub(crate) fn blocks(draws: usize) -> Vec<usize> {
    let count = (draws / DRAWS_OF_A_BLOCK).max(1);
    (0..count).map(|block| draws * (block + 1) / count - draws * block / count).collect()
}

/// So many draws of all inputs, block by block, each a Latin hypercube; then each input alone at its P10 and its P90.
pub(crate) fn points(inputs: &[Distribution], draws: usize, seed: u64) -> Vec<Point> {
    let of_block = |(block, draws): (u64, usize)| latin_hypercube(draws, inputs.len(), seed.wrapping_add(block));
    let mut all: Vec<Point> = (0..)
        .zip(blocks(draws))
        .flat_map(of_block)
        .enumerate()
        .map(|(draw, shares)| Point {
            which: Which::Draw(draw),
            values: inputs.iter().zip(shares).map(|(input, share)| input.quantile(share)).enumerate().collect(),
        })
        .collect();
    for (place, input) in inputs.iter().enumerate() {
        for (which, value) in [(Which::Low(place), input.low()), (Which::High(place), input.high())] {
            all.push(Point { which, values: vec![(place, value)] });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::distribution::{Limits, Shape};
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn blocks_are_alike_and_none_is_small() {
        for (draws, expected) in
            [(2, vec![2]), (32, vec![32]), (48, vec![48]), (64, vec![32, 32]), (100, vec![33, 33, 34]), (0, vec![0])]
        {
            assert_eq!(blocks(draws), expected);
        }
    }

    /// Half of the range is hit by half of each block's draws.
    #[test]
    fn each_block_fills_the_range_by_itself() {
        let even = Distribution::new(Shape::Uniform { low: 0.0, high: 1.0 }, Limits::default()).unwrap();
        let all = points(&[even, even], 64, 7);
        for block in all[..64].chunks(32) {
            assert_eq!(block.iter().filter(|point| point.values[0].1 < 0.5).count(), 16);
        }
        assert_ne!(all[0].values, all[32].values);
    }

    #[test]
    fn draws_come_first_and_then_each_input_alone() {
        let even = |low, high| Distribution::new(Shape::Uniform { low, high }, Limits::default()).unwrap();
        let all = points(&[even(0.0, 1.0), even(10.0, 20.0)], 3, 1);
        assert_eq!(all.len(), 3 + 4);
        assert!(all[..3].iter().all(|point| point.values.len() == 2));
        assert_eq!(all[5].which, Which::Low(1));
        assert_eq!(all[6].values[0].0, 1);
        assert_relative_eq!(all[6].values[0].1, 19.0, epsilon = 1e-12);
    }
}
