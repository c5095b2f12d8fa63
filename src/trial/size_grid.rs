//! The sizes in which a number of a plant is bought: whole bins, else whole steps of a round number.

/// A step is this share of what stands, or the round number nearest to it (1, 2 or 5 and noughts). An assumption: finer
/// than makers' series of heaters and fans, coarser than what a season tells apart.
const STEP_SHARE: f64 = 0.05;
/// The largest size tried, times what stands.
const MOST_TIMES: u32 = 4;
/// The least loss through an envelope that is tried, of what stands: nine layers of what halves it.
const LEAST_ENVELOPE: f64 = 0.1;
/// A size is one that stands where it differs from it by less than this share.
const SAME: f64 = 1e-9;

/// A round step: so many noughts behind 1, 2 or 5.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Step {
    times: f64,
    decade: i32,
}

impl Step {
    /// The round number nearest to a share of this value, by its ratio to it.
    fn of(value: f64) -> Self {
        let wanted = value * STEP_SHARE;
        #[allow(clippy::cast_possible_truncation)] // a few decades
        let decade = wanted.log10().floor() as i32;
        let off = |step: &Self| (step.value(1) / wanted).ln().abs();
        let near = [(1.0, decade), (2.0, decade), (5.0, decade), (1.0, decade + 1)];
        let steps = near.map(|(times, decade)| Self { times, decade });
        steps.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(Self { times: 1.0, decade })
    }

    /// So many of it. Through whole numbers, so that 21 times 0.05 is 1.05.
    fn value(self, count: u32) -> f64 {
        let whole = f64::from(count) * self.times;
        let decade = 10f64.powi(self.decade.abs());
        if self.decade < 0 { whole / decade } else { whole * decade }
    }

    /// Whole steps from one value to another, and what stands among them, least first.
    fn sizes(self, now: f64, low: f64, high: f64) -> Vec<f64> {
        let step = self.value(1);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a hundred or so
        let (first, last) = ((low / step - SAME).ceil().max(1.0) as u32, (high / step + SAME).floor() as u32);
        let mut sizes: Vec<f64> = (first..=last).map(|count| self.value(count)).collect();
        sizes.retain(|size| (size - now).abs() > SAME * now);
        sizes.push(now);
        sizes.sort_by(f64::total_cmp);
        sizes
    }
}

/// Sizes up to some times what stands, no less than `least`. `now` is above zero.
pub(super) fn sizes_about(now: f64, least: f64) -> Vec<f64> {
    Step::of(now).sizes(now, least, now * f64::from(MOST_TIMES))
}

/// Whole numbers up to some times what stands.
pub(super) fn counts_about(now: u32) -> Vec<f64> {
    (1..=now * MOST_TIMES).map(f64::from).collect()
}

/// What less may be lost through an envelope than what stands; what stands is the last.
pub(super) fn envelopes_below(now: f64) -> Vec<f64> {
    Step::of(now).sizes(now, now * LEAST_ENVELOPE, now)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_about_a_twentieth() {
        for (value, step) in
            [(95.0, 5.0), (900.0, 50.0), (600.0, 20.0), (30.0, 2.0), (0.1, 0.005), (5.0, 0.2), (1.2, 0.05)]
        {
            assert_eq!(Step::of(value).value(1), step, "{value}");
        }
    }

    #[test]
    fn what_stands_is_one_of_the_sizes_and_none_comes_twice() {
        let sizes = sizes_about(92.5, 0.0);
        assert_eq!(&sizes[..3], [5.0, 10.0, 15.0]);
        assert!(sizes.contains(&92.5) && sizes.is_sorted_by(|a, b| a < b));
        assert_eq!(sizes.last(), Some(&370.0));
        assert_eq!(sizes_about(95.0, 0.0).iter().filter(|size| **size == 95.0).count(), 1);
        assert_eq!(sizes_about(0.1, 0.098)[..2], [0.1, 0.105]);
        assert_eq!(counts_about(2), [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0]);
        let envelopes = envelopes_below(900.0);
        assert_eq!((envelopes[0], envelopes.last()), (100.0, Some(&900.0)));
    }
}
