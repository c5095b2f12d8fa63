//! The bed against Schumann's solution of a packed bed and Hukill's logarithmic form.
//!
//! Sources. Schumann 1929 is from memory, not verified; the values of his solution below were computed
//! from its integrals and checked there against a numerical march. Hukill's form is from memory and was
//! derived again from its two equations.

use super::bed::{air, bisect, humidity_of, newton, pods};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use dryledger::air::{AirState, CP_DRY_AIR, CP_VAPOUR, dry_bulb_of_enthalpy_c};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{Bed, Nuts};

const SEA_LEVEL_PA: f64 = 101_325.0;

/// I₀ by its series.
fn bessel_i0(x: f64) -> f64 {
    let quarter = x * x / 4.0;
    let (mut term, mut sum) = (1.0, 1.0);
    for n in 1..400 {
        term *= quarter / f64::from(n * n);
        sum += term;
        if term < 1e-17 * sum {
            break;
        }
    }
    sum
}

/// exp(-(s + fixed)) I₀(2 √(fixed s)) over s from 0 to `end`, by Simpson's rule.
fn schumann_integral(fixed: f64, end: f64) -> f64 {
    let pieces = 2000;
    let step = end / f64::from(pieces);
    let value = |s: f64| (-(s + fixed)).exp() * bessel_i0(2.0 * (fixed * s).sqrt());
    let inner: f64 = (1..pieces).map(|i| value(f64::from(i) * step) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
    (value(0.0) + inner + value(end)) * step / 3.0
}

/// Schumann's fluid and solid at depth ξ and time τ, from 0 with an inlet at 1.
fn schumann(xi: f64, tau: f64) -> (f64, f64) {
    (1.0 - schumann_integral(tau, xi), schumann_integral(xi, tau))
}

/// The integrals above against the values computed elsewhere from the same solution; all digits given.
#[test]
fn schumann_by_this_integration_is_schumann_as_tabulated() {
    for (xi, tau, fluid, solid) in [
        (1.0, 1.0, 0.65425, 0.34575),
        (1.0, 10.0, 0.99943, 0.99792),
        (2.0, 2.0, 0.60350, 0.39650),
        (5.0, 2.0, 0.16857, 0.08607),
        (5.0, 5.0, 0.56392, 0.43608),
        (10.0, 5.0, 0.11979, 0.07439),
        (10.0, 10.0, 0.54489, 0.45511),
    ] {
        let (by_fluid, by_solid) = schumann(xi, tau);
        assert_abs_diff_eq!(by_fluid, fluid, epsilon = 6e-6);
        assert_abs_diff_eq!(by_solid, solid, epsilon = 6e-6);
    }
}

/// Warms a bed whose nuts neither give nor take water; returns (time, outlet) pairs with the outlet
/// scaled from 0 to 1 and time in units of one layer's (nuts' capacity over the air's flow of it).
fn breakthrough(layers: usize, step: f64, end: f64) -> Vec<(f64, f64)> {
    let nuts = pods(newton(1e-30));
    let (cold, hot) = (20.0, 50.0);
    let inlet = AirState { dry_bulb_c: hot, humidity_ratio: 0.005 };
    let mut bed = Bed::new(layers, layers as f64, 0.10, cold);
    let capacity = nuts.heat_capacity(0.10);
    let air_capacity = CP_DRY_AIR + CP_VAPOUR * inlet.humidity_ratio;
    let dry_air_kg = step * capacity / air_capacity;
    let mut seen = Vec::new();
    let mut time = 0.0;
    while time < end {
        let passage = bed.try_step(&nuts, inlet, dry_air_kg, SEA_LEVEL_PA, 0.1);
        bed.accept();
        time += step;
        seen.push((time, (passage.outlet.dry_bulb_c - cold) / (hot - cold)));
    }
    seen
}

/// A layer is mixed, with nuts and air at one temperature, so N layers spread a front by their mixing as
/// a bed of depth ξ = 2 N spreads it by slow heat transfer: mean N layer-times, variance 1/N of the mean
/// squared against Schumann's 2/ξ, plus one step for the implicit scheme. Mean and variance are exact to
/// 1e-6; they say that the thermal front moves at G c_a/(ρ c). What differs is the third moment (8 ξ
/// against 6 ξ), which an Edgeworth term turns into at most 0.05/√ξ in the curve: the tolerance.
#[test]
fn warming_a_bed_is_schumanns_front() {
    for layers in [1, 5, 20] {
        let n = layers as f64;
        let step = 0.002;
        let curve = breakthrough(layers, step, 12.0 * n + 30.0);
        let mean: f64 = curve.iter().map(|&(_, t)| (1.0 - t) * step).sum();
        let second: f64 = curve.iter().map(|&(time, t)| 2.0 * (time - 0.5 * step) * (1.0 - t) * step).sum();
        let variance = second - mean * mean;
        assert_relative_eq!(mean, n, max_relative = 1e-6);
        assert_relative_eq!(variance, n + n * step, max_relative = 1e-3);

        let xi = 2.0 * n;
        for &(time, found) in curve.iter().step_by(200) {
            let tau = 2.0 * time;
            if (0.2 * xi..3.0 * xi).contains(&tau) {
                let (fluid, _) = schumann(xi, tau);
                assert_abs_diff_eq!(found, fluid, epsilon = 0.05 / xi.sqrt());
            }
        }
    }
}

/// A bed in which drying is Schumann's problem: an isotherm that is straight over a narrow span of
/// humidity and knows no temperature, and nuts without heat capacity. Then 1 - MR is Schumann's solid
/// at ξ = ρ k L ΔM/(G ΔW), τ = k t. Returns the bed after τ, with M₀ and Mₑ.
fn linear_bed(layers: usize, steps: usize, xi: f64, tau: f64) -> (Bed, f64, f64) {
    let nuts = Nuts {
        isotherm: Isotherm::ModifiedOswin { a: 20.0, b: 0.0, c: 1.0 },
        thin_layer: ThinLayer::Newton { rate_per_h: 0.1, reference_c: 40.0, activation_kj_per_mol: 0.0 },
        dry_matter_kj_per_kg_k: 1e-9,
        held_water_kj_per_kg_k: 0.0,
    };
    let inlet = air(30.0, 0.500);
    let (wet, dry) = (nuts.isotherm.equilibrium_moisture(30.0, 0.504), nuts.isotherm.equilibrium_moisture(30.0, 0.500));
    let w_wet = bisect(inlet.humidity_ratio, 0.02, |w| {
        let t = dry_bulb_of_enthalpy_c(inlet.enthalpy(), w);
        humidity_of(AirState { dry_bulb_c: t, humidity_ratio: w }) - 0.504
    });
    let dry_matter = 1000.0;
    let air_per_h = dry_matter * 0.1 * (wet - dry) / ((w_wet - inlet.humidity_ratio) * xi);
    let hours = tau / 0.1 / steps as f64;
    let mut bed = Bed::new(layers, dry_matter, wet, 30.0);
    for _ in 0..steps {
        bed.try_step(&nuts, inlet, air_per_h * hours, SEA_LEVEL_PA, hours);
        bed.accept();
    }
    (bed, wet, dry)
}

/// Heat and water together, at a finite rate. 200 layers and 400 steps of first order: tolerance 0.005 of
/// MR (half a layer's ξ and half a step's τ, times the steepest slope, is 0.004), the curvature of the
/// isotherm over its span (1.6 %) included.
#[test]
fn drying_with_a_straight_isotherm_is_schumanns_solution() {
    for (xi, tau) in [(1.0, 2.0), (2.0, 2.0), (5.0, 5.0)] {
        let (bed, wet, dry) = linear_bed(200, 400, xi, tau);
        let layers = bed.layers();
        for place in [0, 49, 99, 149, 199] {
            let depth = (place as f64 + 0.5) / 200.0 * xi;
            let (_, solid) = schumann(depth, tau);
            let dried = (wet - layers[place].moisture) / (wet - dry);
            assert_abs_diff_eq!(dried, solid, epsilon = 0.005);
        }
    }
}

/// Hukill's MR at depth D and time Y, both in half-response units.
fn hukill(d: f64, y: f64) -> f64 {
    d.exp2() / (d.exp2() + y.exp2() - 1.0)
}

/// Hukill's closed form, with the values it is given by, and the bed beside it.
///
/// Hukill lets the rate be k (M - Mₑ) times the share of the temperature drop still unused, whatever the
/// moisture; the isotherm's law is k (M - Mₑ(air)). With a straight isotherm both are alike at the inlet,
/// and inside the bed the isotherm's is slower by (1 - MR)(1 - Θ) k ΔM, never negative and at most a
/// quarter of k ΔM. So the bed's mean is wetter than Hukill's, by no more than 0.1 of MR in the span of
/// the table; only near the top, which gets the drier air that the slower bottom leaves it, may it be
/// drier (0.02 was found at depth 5; tolerance 0.03).
#[test]
fn the_bed_dries_like_hukills_closed_form_and_a_little_slower() {
    for (d, y, ratio, mean) in [
        (1.0, 1.0, 0.66667, 0.58496),
        (2.0, 2.0, 0.57143, 0.40368),
        (3.0, 5.0, 0.20513, 0.09513),
        (5.0, 3.0, 0.82051, 0.45708),
    ] {
        assert_abs_diff_eq!(hukill(d, y), ratio, epsilon = 6e-6);
        let by_hukill = ((d.exp2() + y.exp2() - 1.0).log2() - y) / d;
        assert_abs_diff_eq!(by_hukill, mean, epsilon = 6e-6);

        let half = std::f64::consts::LN_2;
        let (bed, wet, dry) = linear_bed(200, 400, d * half, y * half);
        let bed_mean = (bed.mean_moisture() - dry) / (wet - dry);
        let excess = bed_mean - by_hukill;
        assert!((-0.005..0.1).contains(&excess), "({d}, {y}): {excess}");
        let inlet = (bed.layers()[0].moisture - dry) / (wet - dry);
        let middle = d / 400.0;
        assert_abs_diff_eq!(inlet, hukill(middle, y), epsilon = 0.01);
        for (place, layer) in bed.layers().iter().enumerate() {
            let here = (layer.moisture - dry) / (wet - dry);
            let depth = (place as f64 + 0.5) / 200.0 * d;
            let lag = here - hukill(depth, y);
            assert!(lag > -0.03, "layer {place} at ({d}, {y}): {lag}");
        }
    }
}
