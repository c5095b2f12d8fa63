//! Which values the inputs take: draws of all together, and each alone at its low and its high.

use super::distribution::Distribution;
use super::latin_hypercube::latin_hypercube;

/// One set of values to compute the answer at. Inputs that it does not name keep the study's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// What it is for.
    pub which: Which,
    /// Place of each input that is moved, and its value.
    pub values: Vec<(usize, f64)>,
}

/// What a point is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// A draw of all inputs, from 0.
    Draw(usize),
    /// This input alone at its P10.
    Low(usize),
    /// This input alone at its P90.
    High(usize),
}

/// So many draws of all inputs by Latin hypercube, then each input alone at its P10 and its P90.
pub fn points(inputs: &[Distribution], draws: usize, seed: u64) -> Vec<Point> {
    let mut all: Vec<Point> = latin_hypercube(draws, inputs.len(), seed)
        .into_iter()
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
