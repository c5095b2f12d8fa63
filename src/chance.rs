//! The one stream of pseudo-random numbers that the rooms share.

/// A stream of pseudo-random numbers: `SplitMix64` (Steele, Lea & Flood 2014, "Fast splittable
/// pseudorandom number generators", OOPSLA), integers only, so alike on every machine.
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    /// The stream that begins at this seed. Neighbouring seeds give streams that have nothing in common
    /// from their first number on.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// 64 bits.
    #[allow(clippy::should_implement_trait)] // a stream without end is no iterator to collect
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Uniform in 0..1, 53 bits.
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number from 0 to below `count`, or 0 of none.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // below `count`
        let drawn = (self.uniform() * count as f64) as usize;
        drawn.min(count.saturating_sub(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First output of `SplitMix64` from state 0, as published with the reference implementation
    /// (from memory, not verified): 16294208416658607535.
    #[test]
    fn the_stream_is_splitmix64() {
        assert_eq!(Chance::new(0).next(), 16_294_208_416_658_607_535);
    }

    #[test]
    fn whole_numbers_stay_below_their_count_and_reach_all_of_it() {
        let mut chance = Chance::new(3);
        let mut seen = [false; 5];
        for _ in 0..200 {
            seen[chance.below(5)] = true;
        }
        assert_eq!(seen, [true; 5]);
        assert_eq!(chance.below(0), 0);
    }
}
