//! Safeguarded root finding for functions that rise: the one iteration the rooms share.

/// Where a search ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Root {
    /// The last point at which the function was evaluated.
    pub x: f64,
    /// The function there.
    pub residual: f64,
    /// Slope of the function near there: a good start for the next search of the same kind.
    pub slope: f64,
}

/// Finds where a rising function crosses zero between `low` and `high`, starting at `guess` with an
/// estimate of the slope.
///
/// Secant steps, kept inside the bracket by bisection, so the search cannot leave it or stall. Ends
/// when the residual is within `tolerance`, or the bracket cannot shrink further; a function with no
/// root inside ends at the bound it points to.
#[inline]
pub fn rising_root(
    guess: f64,
    slope: f64,
    (mut low, mut high): (f64, f64),
    tolerance: f64,
    mut f: impl FnMut(f64) -> f64,
) -> Root {
    let narrow = (high - low).abs() * 1e-14 + f64::MIN_POSITIVE;
    let mut x = guess.clamp(low, high);
    let mut residual = f(x);
    let mut slope = slope;
    // Bisection is forced when secant steps keep falling on one side.
    let mut same_side = 0_i32;
    for _ in 0..120 {
        if residual.abs() <= tolerance || high - low <= narrow {
            break;
        }
        if residual > 0.0 {
            high = x;
            same_side = same_side.max(0) + 1;
        } else {
            low = x;
            same_side = same_side.min(0) - 1;
        }
        let mut next = x - residual / slope;
        if !(next > low && next < high) || (same_side.abs() > 3 && same_side % 2 == 0) {
            next = 0.5 * (low + high);
        }
        let at_next = f(next);
        let secant = (at_next - residual) / (next - x);
        if secant.is_finite() && secant > 0.0 {
            slope = secant;
        }
        x = next;
        residual = at_next;
    }
    Root { x, residual, slope }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_roots_of_hard_and_easy_functions() {
        type Case = (fn(f64) -> f64, f64);
        let cases: [Case; 4] = [
            (|x| x - 0.3, 0.3),
            (|x| x.powi(9) - 1e-6, 1e-6_f64.powf(1.0 / 9.0)),
            (|x| (40.0 * (x - 0.7)).tanh(), 0.7),
            (|x| if x < 0.2 { -1.0 } else { x }, 0.2),
        ];
        for (f, root) in cases {
            for guess in [0.0, 0.5, 1.0] {
                let found = rising_root(guess, 1.0, (0.0, 1.0), 1e-13, f);
                assert!((found.x - root).abs() < 1e-9, "{found:?} for {root}");
            }
        }
    }

    #[test]
    fn no_root_inside_ends_at_the_bound() {
        assert!(rising_root(0.5, 1.0, (0.0, 1.0), 1e-12, |x| x + 1.0).x < 1e-9);
        assert!(rising_root(0.5, 1.0, (0.0, 1.0), 1e-12, |x| x - 5.0).x > 1.0 - 1e-9);
    }
}
