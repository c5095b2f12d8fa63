//! Several numbers at once: the same sum on the numbers of beds that lie side by side, as wide as the processor goes.
//!
//! A lane's figure depends on nothing but that lane: it is the same to the last digit among eight as alone, and on a
//! wide processor as on a narrow one, since every step is a sum, product or quotient that IEEE 754 fixes. The
//! exponential and the logarithm are written out here for that reason too: those of system libraries differ.

use std::f64::consts::LOG2_E;

/// So many numbers side by side.
pub(crate) type Lanes<const N: usize> = [f64; N];

/// Each lane's number. No closure: what one holds is not always built for the wide processor.
macro_rules! each {
    ($lane:ident => $of:expr) => {{
        let mut all = [0.0; N];
        for ($lane, number) in all.iter_mut().enumerate() {
            *number = $of;
        }
        all
    }};
}
pub(crate) use each;

/// True if this holds in any lane. It is asked of all, so that none waits for another.
macro_rules! any {
    ($lane:ident => $is:expr) => {{
        let mut found = false;
        for $lane in 0..N {
            found |= $is;
        }
        found
    }};
}
pub(crate) use any;

/// ln 2 in two parts: the first has so few digits that a small whole number times it is exact (as in fdlibm).
#[allow(clippy::excessive_precision)] // as they are published
const LN_2: (f64, f64) = (6.931_471_803_691_238_2e-1, 1.908_214_929_270_587_7e-10);
/// Added and taken away again, this rounds to a whole number; its last bits then hold that number.
const ROUNDS: f64 = 6_755_399_441_055_744.0;
/// Exponents beyond this leave the range of numbers.
const MOST_EXPONENT: f64 = 708.0;

/// eˣ, to four units in the last place; beyond ±708 it is held there.
///
/// x = n ln 2 + r with |r| ≤ ½ ln 2; eʳ by its Taylor series to r¹³ (the next term is below 5e-18), summed in pairs so
/// that the terms need not wait for each other.
#[inline(always)]
pub(crate) fn exp(x: f64) -> f64 {
    let x = if x > MOST_EXPONENT { MOST_EXPONENT } else { x };
    let x = if x < -MOST_EXPONENT { -MOST_EXPONENT } else { x };
    let rounded = x * LOG2_E + ROUNDS;
    let n = rounded - ROUNDS;
    let r = (x - n * LN_2.0) - n * LN_2.1;
    let square = r * r;
    let fourth = square * square;
    let a = (1.0 + r) + square * (0.5 + r * (1.0 / 6.0));
    let b = (1.0 / 24.0 + r * (1.0 / 120.0)) + square * (1.0 / 720.0 + r * (1.0 / 5040.0));
    let c = (1.0 / 40_320.0 + r * (1.0 / 362_880.0)) + square * (1.0 / 3_628_800.0 + r * (1.0 / 39_916_800.0));
    let d = 1.0 / 479_001_600.0 + r * (1.0 / 6_227_020_800.0);
    let of_r = (a + fourth * b) + (fourth * fourth) * (c + fourth * d);
    of_r * f64::from_bits((rounded.to_bits() << 52).wrapping_add(1_f64.to_bits()))
}

/// Terms of (ln(1 + f) - f + f²/2) in s² = (f/(2 + f))², over s: fdlibm's fit.
#[allow(clippy::excessive_precision)] // as they are published
const LN_TERMS: [f64; 7] = [
    6.666_666_666_666_735_13e-1,
    3.999_999_999_940_941_908e-1,
    2.857_142_874_366_239_149e-1,
    2.222_219_843_214_978_396e-1,
    1.818_357_216_161_805_012e-1,
    1.531_383_769_920_937_332e-1,
    1.479_819_860_511_658_591e-1,
];

/// ln x, to three units in the last place, of numbers above zero; of zero and less it is that of the least number.
///
/// By fdlibm's `e_log.c`, read as reprinted in public mathematical libraries: Copyright (C) 1993 by Sun Microsystems, Inc.
/// Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice is
/// preserved. x = 2ᵏ (1 + f) with √½ < 1 + f < √2.
#[inline(always)]
pub(crate) fn ln(x: f64) -> f64 {
    /// √½ as bits: the mantissas begin there.
    const FROM: u64 = 0x3fe6_a09e_667f_3bcd;
    let given = x;
    let x = if x < f64::MIN_POSITIVE { f64::MIN_POSITIVE } else { x };
    let shifted = x.to_bits().wrapping_add(1_f64.to_bits().wrapping_sub(FROM));
    // The exponent's bits in the last places of 2⁵², where they read as a number.
    let k = f64::from_bits((shifted >> 52) | 0x4330_0000_0000_0000) - (4_503_599_627_370_496.0 + 1023.0);
    let f = f64::from_bits((shifted & 0x000f_ffff_ffff_ffff).wrapping_add(FROM)) - 1.0;
    let s = f / (2.0 + f);
    let z = s * s;
    let w = z * z;
    let [a, b, c, d, e, g, h] = LN_TERMS;
    let odd = z * (a + w * (c + w * (e + w * h)));
    let even = w * (b + w * (d + w * g));
    let half_square = 0.5 * f * f;
    let found = k * LN_2.0 - ((half_square - (s * (half_square + (odd + even)) + k * LN_2.1)) - f);
    if given.is_nan() { given } else { found }
}

/// xʸ of numbers above zero.
#[inline(always)]
pub(crate) fn pow(x: f64, y: f64) -> f64 {
    exp(y * ln(x))
}

/// Work that is built for processors of several widths.
pub(crate) trait Wide {
    /// What comes of it.
    type Done;
    /// Does it; to be marked `#[inline(always)]`.
    fn done(self) -> Self::Done;
}

struct Work<W>(W);

impl<W: Wide> pulp::NullaryFnOnce for Work<W> {
    type Output = W::Done;

    #[inline(always)]
    fn call(self) -> W::Done {
        self.0.done()
    }
}

/// Does work as wide as this processor goes.
#[inline]
pub(crate) fn as_wide_as_can_be<W: Wide>(work: W) -> W::Done {
    pulp::Arch::new().dispatch(Work(work))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Units in the last place between two numbers.
    fn places_apart(one: f64, other: f64) -> f64 {
        (one - other).abs() / (other.abs() * f64::EPSILON).max(f64::MIN_POSITIVE)
    }

    #[test]
    fn the_ends_are_held() {
        for x in [709.0, 1e9, f64::INFINITY] {
            assert!(exp(x).is_finite() && exp(x) > 1e307 && exp(-x) > 0.0 && exp(-x) < 1e-307, "{x}");
        }
        for x in [0.0, -0.0, -3.0, 1e-320] {
            assert!((ln(x) - f64::MIN_POSITIVE.ln()).abs() < 1e-9, "{x}: {}", ln(x));
        }
        assert!(exp(f64::NAN).is_nan() && ln(f64::NAN).is_nan());
        assert_eq!((exp(0.0), ln(1.0), pow(1.0, 3.7)), (1.0, 0.0, 1.0));
    }

    #[test]
    fn a_power_is_a_power() {
        for (x, y) in [(2.0, 0.5), (11.0, 1.5202), (0.003, 0.6578), (50.0, -2.2375)] {
            assert!(places_apart(pow(x, y), f64::powf(x, y)) < 40.0, "{x}^{y}");
        }
    }

    struct Both<const N: usize>(Lanes<N>);

    impl<const N: usize> Wide for Both<N> {
        type Done = Lanes<N>;

        #[inline(always)]
        fn done(self) -> Lanes<N> {
            each!(lane => pow(self.0[lane], 0.7) + exp(-self.0[lane]))
        }
    }

    proptest! {
        /// Against the system's own, which are within one unit.
        #[test]
        fn they_are_the_exponential_and_the_logarithm(x in -700.0..700.0_f64, y in 1e-300..1e300_f64, near in 0.5..2.0_f64) {
            prop_assert!(places_apart(exp(x), x.exp()) <= 4.0, "{} {}", exp(x), x.exp());
            for y in [y, near] {
                prop_assert!(places_apart(ln(y), y.ln()) <= 3.0, "{} {}", ln(y), y.ln());
            }
        }

        #[test]
        fn a_lane_knows_nothing_of_its_neighbours(numbers in prop::array::uniform8(1e-6..600.0_f64)) {
            let together = as_wide_as_can_be(Both(numbers));
            for (lane, number) in numbers.into_iter().enumerate() {
                prop_assert_eq!([together[lane]], Both([number]).done());
            }
        }
    }
}
