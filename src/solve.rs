//! Root finding that the rooms share: functions of one variable that rise, safeguarded, and pairs of
//! equations in two unknowns.

use crate::lanes::{Lanes, any, each};

/// Where a search ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Root {
    /// The root, as near as the search came.
    pub x: f64,
    /// The function where it was last evaluated.
    pub residual: f64,
    /// Slope of the function near there: a good start for the next search of the same kind.
    pub slope: f64,
}

/// Relative error that a remembered slope is taken to have before it was tried.
const DOUBT_OF_MEMORY: f64 = 0.02;
/// Least relative error that any slope is taken to have: two secants may agree by chance.
const LEAST_DOUBT: f64 = 2e-2;

/// Finds where a rising function crosses zero between `low` and `high`, starting at `guess` with an
/// estimate of the slope.
///
/// Secant steps, kept inside the bracket by bisection, so the search cannot leave it or stall. Ends
/// when the residual is within `tolerance`, or the bracket cannot shrink further; a function with no
/// root inside ends at the bound it points to. The root is the last point evaluated.
#[inline]
pub(crate) fn rising_root(
    guess: f64,
    slope: f64,
    (low, high): (f64, f64),
    tolerance: f64,
    f: impl FnMut(f64) -> f64,
) -> Root {
    let bounds = (&[low], &[high]);
    search::<1, ByResidual>(&[guess], &[slope], bounds, &[tolerance], Alone(f)).root(0)
}

/// The same, but ends when one more secant step would land within `tolerance`, and takes that step
/// without evaluating the function again: the root is a point not evaluated. What the step misses by
/// is the residual times the relative change that the step before made to the slope.
#[inline]
pub(crate) fn nearly_rising_root(
    guess: f64,
    slope: f64,
    (low, high): (f64, f64),
    tolerance: f64,
    f: impl FnMut(f64) -> f64,
) -> Root {
    let bounds = (&[low], &[high]);
    let sought = search::<1, ByNextStep>(&[guess], &[slope], bounds, &[tolerance], Alone(f));
    let [x] = sought.one_step_on();
    Root { x, ..sought.root(0) }
}

/// The same of several functions at once, each by itself: where each search ends, and the slope there. What one
/// does depends on no other.
#[inline(always)]
pub(crate) fn nearly_rising_roots<const N: usize>(
    guess: &Lanes<N>,
    slope: &Lanes<N>,
    bounds: (&Lanes<N>, &Lanes<N>),
    tolerance: &Lanes<N>,
    f: impl Rising<N>,
) -> (Lanes<N>, Lanes<N>) {
    let sought = search::<N, ByNextStep>(guess, slope, bounds, tolerance, f);
    (sought.one_step_on(), sought.slope)
}

/// Several functions that rise, each of its own unknown.
pub(crate) trait Rising<const N: usize> {
    /// Their values; to be marked `#[inline(always)]`.
    fn of(&mut self, x: &Lanes<N>) -> Lanes<N>;
}

/// One function.
struct Alone<F>(F);

impl<F: FnMut(f64) -> f64> Rising<1> for Alone<F> {
    #[inline(always)]
    fn of(&mut self, x: &Lanes<1>) -> Lanes<1> {
        [self.0(x[0])]
    }
}

/// When a search has come near enough.
trait Enough {
    /// By the residual and the relative doubt about the slope.
    fn is_enough(residual: f64, doubt: f64, tolerance: f64) -> bool;
}

/// The residual itself is within the tolerance.
struct ByResidual;

impl Enough for ByResidual {
    #[inline(always)]
    fn is_enough(residual: f64, _: f64, tolerance: f64) -> bool {
        residual.abs() <= tolerance
    }
}

/// One more secant step would land within it.
struct ByNextStep;

impl Enough for ByNextStep {
    #[inline(always)]
    fn is_enough(residual: f64, doubt: f64, tolerance: f64) -> bool {
        residual.abs() * doubt <= tolerance
    }
}

/// Where searches ended: the points last evaluated, the functions there, their slopes and brackets.
struct Sought<const N: usize> {
    x: Lanes<N>,
    residual: Lanes<N>,
    slope: Lanes<N>,
    low: Lanes<N>,
    high: Lanes<N>,
}

impl<const N: usize> Sought<N> {
    fn root(&self, lane: usize) -> Root {
        Root { x: self.x[lane], residual: self.residual[lane], slope: self.slope[lane] }
    }

    /// A secant step further than the points last evaluated.
    #[inline(always)]
    fn one_step_on(&self) -> Lanes<N> {
        each!(i => held(self.x[i] - self.residual[i] / self.slope[i], self.low[i], self.high[i]))
    }
}

/// Between two bounds; at the upper one where they are none.
#[inline(always)]
fn held(x: f64, low: f64, high: f64) -> f64 {
    let x = if x < low { low } else { x };
    if x > high { high } else { x }
}

/// A bracket that has shrunk to this share of its width is a point.
const NARROW: f64 = 1e-14;
/// Steps after which a search is given up.
const MOST_STEPS: usize = 120;

/// The iteration itself, of several functions at once.
#[inline(always)]
fn search<const N: usize, E: Enough>(
    guess: &Lanes<N>,
    slope: &Lanes<N>,
    (low, high): (&Lanes<N>, &Lanes<N>),
    tolerance: &Lanes<N>,
    mut f: impl Rising<N>,
) -> Sought<N> {
    let (mut low, mut high, mut slope) = (*low, *high, *slope);
    let narrow: Lanes<N> = each!(i => (high[i] - low[i]).abs() * NARROW + f64::MIN_POSITIVE);
    let mut x: Lanes<N> = each!(i => held(guess[i], low[i], high[i]));
    let mut residual = f.of(&x);
    let mut doubt = [DOUBT_OF_MEMORY; N];
    // A secant step must be less than half the one before the last; bisection takes over where the
    // steps do not shrink like that (Brent's safeguard).
    let (mut last_step, mut step_before) = ([f64::INFINITY; N], [f64::INFINITY; N]);
    // A search that has ended stays where it is while others go on.
    let mut ended = [false; N];
    for _ in 0..MOST_STEPS {
        for i in 0..N {
            ended[i] |= E::is_enough(residual[i], doubt[i], tolerance[i]) || high[i] - low[i] <= narrow[i];
        }
        if !any!(i => !ended[i]) {
            break;
        }
        let mut next = x;
        for i in 0..N {
            let is_beyond = residual[i] > 0.0;
            high[i] = if !ended[i] && is_beyond { x[i] } else { high[i] };
            low[i] = if !ended[i] && !is_beyond { x[i] } else { low[i] };
            let secant = x[i] - residual[i] / slope[i];
            let is_safe = secant > low[i] && secant < high[i] && (secant - x[i]).abs() <= 0.5 * step_before[i];
            let gone_on = if is_safe { secant } else { 0.5 * (low[i] + high[i]) };
            next[i] = if ended[i] { x[i] } else { gone_on };
            step_before[i] = last_step[i];
            last_step[i] = (next[i] - x[i]).abs();
        }
        let at_next = f.of(&next);
        for i in 0..N {
            let secant = (at_next[i] - residual[i]) / (next[i] - x[i]);
            let is_slope = !ended[i] && secant > 0.0 && secant < f64::INFINITY;
            let off = (slope[i] / secant - 1.0).abs();
            let found = if off > LEAST_DOUBT { off } else { LEAST_DOUBT };
            doubt[i] = if is_slope { found } else { doubt[i] };
            slope[i] = if is_slope { secant } else { slope[i] };
            residual[i] = if ended[i] { residual[i] } else { at_next[i] };
        }
        x = next;
    }
    Sought { x, residual, slope, low, high }
}

/// Derivatives of two residuals (rows) with respect to two unknowns (columns).
pub(crate) type Jacobian = [[f64; 2]; 2];

/// Solves two equations in two unknowns by Broyden's method: Newton steps with a Jacobian that each
/// evaluation corrects along the step just taken, and that is left behind for the next search.
///
/// `f` returns the two residuals, or `None` at a point that satisfies it. The unknowns stay between
/// `low` and `high`. Returns true if `f` was satisfied within `tries` evaluations; the point is then
/// the one it saw last.
pub(crate) fn solve_pair(
    start: [f64; 2],
    (low, high): ([f64; 2], [f64; 2]),
    jacobian: &mut Jacobian,
    tries: usize,
    mut f: impl FnMut([f64; 2]) -> Option<[f64; 2]>,
) -> bool {
    let within = |x: [f64; 2]| [0, 1].map(|i| f64::clamp(x[i], low[i], high[i]));
    let mut x = within(start);
    let Some(mut residual) = f(x) else {
        return true;
    };
    for _ in 1..tries {
        let Some(step) = newton_step(jacobian, residual) else {
            return false;
        };
        let next = within([x[0] + step[0], x[1] + step[1]]);
        let moved = [next[0] - x[0], next[1] - x[1]];
        let Some(at_next) = f(next) else {
            return true;
        };
        let square = moved[0] * moved[0] + moved[1] * moved[1];
        if !(square > 0.0 && at_next.iter().all(|r| r.is_finite())) {
            return false;
        }
        for (row, (after, before)) in jacobian.iter_mut().zip(at_next.into_iter().zip(residual)) {
            let missed = after - before - row[0] * moved[0] - row[1] * moved[1];
            row[0] += missed * moved[0] / square;
            row[1] += missed * moved[1] / square;
        }
        x = next;
        residual = at_next;
    }
    false
}

/// The step to where the linear picture has both residuals zero; `None` where it has no such place.
fn newton_step(j: &Jacobian, residual: [f64; 2]) -> Option<[f64; 2]> {
    let determinant = j[0][0] * j[1][1] - j[0][1] * j[1][0];
    let step = [
        (j[0][1] * residual[1] - j[1][1] * residual[0]) / determinant,
        (j[1][0] * residual[0] - j[0][0] * residual[1]) / determinant,
    ];
    step.iter().all(|s| s.is_finite()).then_some(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Each<F, const N: usize>([F; N]);

    impl<F: Fn(f64) -> f64, const N: usize> Rising<N> for Each<F, N> {
        fn of(&mut self, x: &Lanes<N>) -> Lanes<N> {
            each!(lane => self.0[lane](x[lane]))
        }
    }

    #[test]
    fn finds_roots_of_hard_and_easy_functions() {
        type Case = (fn(f64) -> f64, f64);
        let cases: [Case; 5] = [
            (|x| x - 0.3, 0.3),
            (|x| x.powi(9) - 1e-6, 1e-6_f64.powf(1.0 / 9.0)),
            (|x| (40.0 * (x - 0.7)).tanh(), 0.7),
            (|x| if x < 0.2 { -1.0 } else { x }, 0.2),
            (|x| x - 0.1 + 700.0 * (x - 0.03).max(0.0), 21.1 / 701.0),
        ];
        for (f, root) in cases {
            for guess in [0.0, 0.5, 1.0] {
                let found = rising_root(guess, 1.0, (0.0, 1.0), 1e-15, f);
                assert!((found.x - root).abs() < 1e-9, "{found:?} for {root}");
                let nearly = nearly_rising_root(guess, 1.0, (0.0, 1.0), 1e-16, f);
                assert!((nearly.x - root).abs() < 1e-9, "{nearly:?} for {root}");
                let bounds = (&[0.0], &[1.0]);
                let ([x], [slope]) = nearly_rising_roots(&[guess], &[1.0], bounds, &[1e-16], Each([f]));
                assert_eq!((x, slope), (nearly.x, nearly.slope));
            }
        }
    }

    /// Some have ended long before others: none is moved by that.
    #[test]
    fn searches_side_by_side_end_where_each_would_alone() {
        let hardness = [1.0, 3.0, 40.0, 0.2, 700.0, 9.0, 1.0, 15.0];
        let f = |lane: usize, x: f64| (hardness[lane] * (x - 0.1 * (lane as f64 + 0.5))).tanh();
        let each: [_; 8] = std::array::from_fn(|lane| move |x: f64| f(lane, x));
        let guess: [f64; 8] = std::array::from_fn(|lane| 0.1 * lane as f64);
        let bounds = (&[0.0; 8], &[1.0; 8]);
        let (x, slope) = nearly_rising_roots(&guess, &[1.0; 8], bounds, &[1e-13; 8], Each(each));
        for lane in 0..8 {
            let alone = nearly_rising_root(guess[lane], 1.0, (0.0, 1.0), 1e-13, |x| f(lane, x));
            assert_eq!((x[lane], slope[lane]), (alone.x, alone.slope), "{lane}");
            assert!((x[lane] - 0.1 * (lane as f64 + 0.5)).abs() < 1e-12, "{lane}");
        }
    }

    #[test]
    fn no_root_inside_ends_at_the_bound() {
        assert!(rising_root(0.5, 1.0, (0.0, 1.0), 1e-12, |x| x + 1.0).x < 1e-9);
        assert!(rising_root(0.5, 1.0, (0.0, 1.0), 1e-12, |x| x - 5.0).x > 1.0 - 1e-9);
    }

    /// A circle and a curve that cross at (1, 2).
    #[test]
    fn a_pair_of_curved_equations_is_solved_and_its_jacobian_is_left_behind() {
        let mut jacobian = [[2.0, 4.0], [4.0, -1.0]];
        let solve = |start, jacobian: &mut Jacobian| {
            let mut seen = Vec::new();
            let solved = solve_pair(start, ([0.0; 2], [10.0; 2]), jacobian, 20, |[x, y]| {
                seen.push([x, y]);
                let residual = [x * x + y * y - 5.0, 4.0 * x - y - 2.0 * x * x];
                (residual.iter().any(|r| r.abs() > 1e-12)).then_some(residual)
            });
            (solved, seen)
        };
        let (solved, seen) = solve([1.1, 1.9], &mut jacobian);
        let [x, y] = seen[seen.len() - 1];
        assert!(solved && (x - 1.0).abs() < 1e-10 && (y - 2.0).abs() < 1e-10);
        let (solved, again) = solve([1.01, 1.99], &mut jacobian);
        assert!(solved && again.len() < seen.len(), "{again:?}");
    }

    #[test]
    fn a_pair_without_a_solution_is_given_up() {
        let mut jacobian = [[1.0, 0.0], [1.0, 0.0]];
        let bounds = ([0.0; 2], [1.0; 2]);
        assert!(!solve_pair([0.5; 2], bounds, &mut jacobian, 20, |_| Some([1.0, 2.0])));
    }
}
