//! Linear interpolation between rising places, which the rooms share.

/// A place between two neighbours of a rising list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    lower: usize,
    /// How far it lies towards the next one: 0..1 inside, beyond that outside.
    share: f64,
    next: usize,
}

impl Place {
    /// Where `x` lies; beyond either end the end holds.
    pub(crate) fn held(list: &[f64], x: f64) -> Self {
        let mut place = Self::extended(list, x);
        place.share = place.share.clamp(0.0, 1.0);
        place
    }

    /// Where `x` lies; below the first the first holds, above the last the last stretch goes on.
    pub(crate) fn extended(list: &[f64], x: f64) -> Self {
        let last = list.len().saturating_sub(1);
        let next = list.partition_point(|&at| at <= x).clamp(1.min(last), last);
        let lower = next.saturating_sub(1);
        let gap = list[next] - list[lower];
        let share = if gap > 0.0 { ((x - list[lower]) / gap).max(0.0) } else { 0.0 };
        Self { lower, share, next }
    }

    /// The value there.
    pub(crate) fn between(self, value: impl Fn(usize) -> f64) -> f64 {
        let low = value(self.lower);
        low + self.share * (value(self.next) - low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_linear_inside_held_below_and_held_or_extended_above() {
        let (at, of) = ([10.0, 20.0, 40.0], [1.0, 3.0, 7.0]);
        let held = |x| Place::held(&at, x).between(|i| of[i]);
        let extended = |x| Place::extended(&at, x).between(|i| of[i]);
        for (x, value) in [(0.0, 1.0), (10.0, 1.0), (15.0, 2.0), (20.0, 3.0), (30.0, 5.0)] {
            assert!((held(x) - value).abs() < 1e-12 && (extended(x) - value).abs() < 1e-12);
        }
        assert_eq!((held(50.0), extended(50.0)), (7.0, 9.0));
        assert_eq!(Place::held(&[5.0], 9.0).between(|_| 2.0), 2.0);
    }
}
