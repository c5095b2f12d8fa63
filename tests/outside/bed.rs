//! The bed against solutions known in closed form: the thin layer, the equilibrium front, Schumann's
//! and Hukill's.
//!
//! Sources. Thompson, Peart & Foster 1968, Trans. ASAE 11:582 (equilibrium model) and Schumann 1929
//! (packed bed) are from memory, not verified; the values of Schumann's solution below were computed
//! from its integrals and checked there against a numerical march. Hukill's logarithmic form is from
//! memory and was derived again from its two equations.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use dryledger::air::{
    CP_DRY_AIR, CP_VAPOUR, MoistAir, dry_bulb_of_enthalpy_c, saturation_pressure_pa,
    vapour_pressure_pa,
};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{AirAt, Bed, Layer, Nuts};

const SEA_LEVEL_PA: f64 = 101_325.0;

pub fn newton(rate_per_h: f64) -> ThinLayer {
    ThinLayer::Newton {
        rate_per_h,
        reference_c: 40.0,
        activation_kj_per_mol: 30.0,
    }
}

/// Peanut pods: ASAE D245.5 OCT95 (from memory, not verified) with a rate assumed.
pub fn pods(thin_layer: ThinLayer) -> Nuts {
    Nuts {
        isotherm: Isotherm::ModifiedHenderson {
            k: 6.6587e-5,
            n: 2.5362,
            c: 23.318,
        },
        thin_layer,
        dry_matter_kj_per_kg_k: 1.52,
        held_water_kj_per_kg_k: 4.186,
    }
}

pub fn air(dry_bulb_c: f64, relative_humidity: f64) -> AirAt {
    let air = MoistAir::from_relative_humidity(dry_bulb_c, relative_humidity, SEA_LEVEL_PA)
        .expect("air in range");
    AirAt {
        dry_bulb_c,
        humidity_ratio: air.humidity_ratio(),
    }
}

pub fn humidity_of(air: AirAt) -> f64 {
    vapour_pressure_pa(air.humidity_ratio, SEA_LEVEL_PA) / saturation_pressure_pa(air.dry_bulb_c)
}

/// The root of a function that rises between these ends: plain bisection, owing nothing to the
/// project's own solver.
fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

/// With 1e6 kg of air per kg of dry matter in each half-hour, the air keeps its state to 1e-8 kg/kg and
/// 3e-5 K. Tolerance 1e-6 of moisture: those changes through the isotherm, and 96 roundings.
#[test]
fn one_layer_in_much_air_follows_the_thin_layer_curve() {
    let laws = [
        newton(0.06),
        ThinLayer::page(0.05, 0.8, 40.0, 30.0),
        ThinLayer::Sphere {
            rate_per_h: 0.056,
            reference_c: 40.0,
            activation_kj_per_mol: 22.5,
        },
    ];
    for law in laws {
        let nuts = pods(law);
        let inlet = air(45.0, 0.20);
        let equilibrium = nuts.isotherm.equilibrium_moisture(45.0, 0.20);
        let mut layer = Layer::new(0.35, 45.0);
        for half_hour in 1..=96 {
            (_, layer) = layer.cross(&nuts, inlet, 1e6, SEA_LEVEL_PA, 0.5);
            let hours = f64::from(half_hour) * 0.5;
            let curve = law.moisture_after(0.35, 0.35, equilibrium, 45.0, hours);
            assert_abs_diff_eq!(layer.moisture, curve, epsilon = 1e-6);
        }
    }
}

/// Thompson's model, solved anew by bisection on the moisture after the step: water and heat balance,
/// and leaving air at the humidity that the nuts hold. Tolerance 1e-6 of moisture and 1e-3 K: what the
/// solver leaves, and what a rate of 1e6 per hour falls short of an instant.
#[test]
fn instant_rate_is_the_equilibrium_model_in_each_layer() {
    let nuts = pods(newton(1e6));
    for (start_c, moisture, inlet, air_per_dry_matter) in [
        (20.0, 0.30, air(45.0, 0.20), 4.0),
        (20.0, 0.12, air(40.0, 0.20), 30.0),
        (15.0, 0.08, air(25.0, 0.70), 10.0),
    ] {
        let layer = Layer::new(moisture, start_c);
        let (outlet, after) = layer.cross(&nuts, inlet, air_per_dry_matter, SEA_LEVEL_PA, 1.0);
        let bound = nuts
            .isotherm
            .net_heat_of_desorption_kj_per_kg(start_c, moisture);
        let leaving = |after: f64| {
            let given_up = moisture - after;
            let w = inlet.humidity_ratio + given_up / air_per_dry_matter;
            let brought = air_per_dry_matter * inlet.enthalpy() + nuts.enthalpy(moisture, start_c);
            let left = brought - given_up * bound;
            let t = bisect(-50.0, 100.0, |t| {
                let air = AirAt {
                    dry_bulb_c: t,
                    humidity_ratio: w,
                };
                air_per_dry_matter * air.enthalpy() + nuts.enthalpy(after, t) - left
            });
            AirAt {
                dry_bulb_c: t,
                humidity_ratio: w,
            }
        };
        let dried = bisect(0.01, 0.35, |after| {
            let air = leaving(after);
            nuts.isotherm
                .equilibrium_relative_humidity(air.dry_bulb_c, after)
                - humidity_of(air)
        });
        assert_abs_diff_eq!(after.moisture, dried, epsilon = 1e-6);
        assert_abs_diff_eq!(outlet.dry_bulb_c, leaving(dried).dry_bulb_c, epsilon = 1e-3);
    }
}

/// Nuts whose isotherm, M = 3 % RH/(1 - RH), is independent of temperature and curved so that drying
/// keeps a sharp front; equilibrium is instant. They start at the temperature at which one front closes
/// both balances (water: s ΔM = ΔW; heat: s Δ(c T) = Δh, s in kg of dry matter per kg of air), so no
/// second front runs ahead. The front must then move at s. Tolerance 0.5 %: the front is three layers
/// wide of 60 and is placed by interpolation.
#[test]
fn the_drying_front_moves_as_the_balances_say() {
    let nuts = Nuts {
        isotherm: Isotherm::ModifiedOswin {
            a: 3.0,
            b: 0.0,
            c: 1.0,
        },
        ..pods(newton(1e6))
    };
    let inlet = air(45.0, 0.20);
    let wet = nuts.isotherm.equilibrium_moisture(20.0, 0.80);
    let dry = nuts.isotherm.equilibrium_moisture(45.0, 0.20);
    let ahead_at = |t: f64| air(t, 0.80);
    let speed_at = |t: f64| (ahead_at(t).humidity_ratio - inlet.humidity_ratio) / (wet - dry);
    let start_c = bisect(15.0, 45.0, |t| {
        let front = speed_at(t) * (nuts.enthalpy(wet, t) - nuts.enthalpy(dry, 45.0));
        ahead_at(t).enthalpy() - inlet.enthalpy() - front
    });

    let layers = 60;
    let mut bed = Bed::new(layers, 1000.0, wet, start_c);
    let front = |bed: &Bed| {
        let half = 0.5 * (wet + dry);
        let moisture: Vec<f64> = bed.layers().iter().map(|layer| layer.moisture).collect();
        let above = moisture.iter().position(|&m| m > half).expect("a front");
        let share = (half - moisture[above - 1]) / (moisture[above] - moisture[above - 1]);
        (above as f64 - 0.5 + share) / layers as f64 * bed.dry_matter_kg()
    };
    let mut blown = 0.0;
    let mut seen = Vec::new();
    while seen.len() < 2 {
        let passage = bed.try_step(&nuts, inlet, 20.0, SEA_LEVEL_PA, 1.0);
        bed.accept();
        blown += 20.0;
        let reached = speed_at(start_c) * blown / bed.dry_matter_kg();
        if reached > [0.25, 0.80][seen.len()] {
            assert_relative_eq!(humidity_of(passage.outlet), 0.80, max_relative = 1e-3);
            assert_abs_diff_eq!(passage.outlet.dry_bulb_c, start_c, epsilon = 0.05);
            seen.push((blown, front(&bed)));
        }
    }
    let speed = (seen[1].1 - seen[0].1) / (seen[1].0 - seen[0].0);
    assert_relative_eq!(speed, speed_at(start_c), max_relative = 0.005);
}

#[test]
fn without_air_nothing_changes() {
    let nuts = pods(newton(0.06));
    let mut bed = Bed::new(12, 1000.0, 0.30, 18.0);
    let before = bed.clone();
    let passage = bed.try_step(&nuts, air(45.0, 0.2), 0.0, SEA_LEVEL_PA, 24.0);
    bed.accept();
    assert_eq!(bed, before);
    assert_eq!(passage.evaporated_kg, 0.0);
    assert_eq!(passage.absorbed_kj, 0.0);
}

/// One square metre at 0.1 m/s: 2 cm of nuts dry within 3 % of the thin layer's time, since their air
/// leaves less than 1 K cooler on average; 6 m dry from the inlet up, with air that leaves
/// nearly in equilibrium with the wet nuts at the top.
#[test]
fn shallow_and_very_deep_beds_behave() {
    let nuts = pods(newton(0.06));
    let inlet = air(40.0, 0.25);
    let per_hour = 0.1 / 0.90 * 3600.0;
    let dry_matter_of = |depth_m: f64| depth_m * 400.0 / 1.3;

    let mut shallow = Bed::new(3, dry_matter_of(0.02), 0.30, 40.0);
    let mut hours = 0.0;
    while shallow.mean_moisture() > 0.12 {
        shallow.try_step(&nuts, inlet, per_hour * 0.1, SEA_LEVEL_PA, 0.1);
        shallow.accept();
        hours += 0.1;
    }
    let equilibrium = nuts.isotherm.equilibrium_moisture(40.0, 0.25);
    let thin = nuts
        .thin_layer
        .hours_to_dry(0.30, 0.12, equilibrium, 40.0)
        .expect("air dry enough");
    assert!(
        hours >= thin && hours < 1.03 * thin + 0.1,
        "{hours} against {thin}"
    );

    let mut deep = Bed::new(60, dry_matter_of(6.0), 0.30, 20.0);
    let mut leaving = inlet;
    for _ in 0..100 {
        leaving = deep
            .try_step(&nuts, inlet, per_hour, SEA_LEVEL_PA, 1.0)
            .outlet;
        deep.accept();
    }
    let moistures: Vec<f64> = deep.layers().iter().map(|layer| layer.moisture).collect();
    let drying: Vec<f64> = moistures
        .iter()
        .copied()
        .take_while(|&m| m < 0.29)
        .collect();
    assert!(drying.len() > 5 && drying.windows(2).all(|pair| pair[0] < pair[1]));
    assert!(moistures[0] < 0.10 && moistures[59] > 0.28, "{moistures:?}");
    assert!(humidity_of(leaving) > 0.95, "{leaving:?}");
}

/// Cold nuts in warm humid air: they take up water, by the law and as dew; air leaves saturated, and
/// the bed gains what the air loses. Balances to 1e-9.
#[test]
fn cold_nuts_in_warm_humid_air_are_wetted_and_warmed() {
    let nuts = pods(newton(0.06));
    let inlet = air(30.0, 0.90);
    let mut bed = Bed::new(1, 1000.0, 0.10, 2.0);
    let (water, heat) = (bed.water_kg(), bed.enthalpy_kj(&nuts));
    let passage = bed.try_step(&nuts, inlet, 300.0, SEA_LEVEL_PA, 1.0);
    let binding = bed.binding_kj_of_step();
    bed.accept();
    assert!(passage.evaporated_kg < 0.0);
    assert!(humidity_of(passage.outlet) > 0.999 && humidity_of(passage.outlet) < 1.0 + 1e-9);
    assert!(
        bed.layers()
            .iter()
            .all(|l| l.moisture > 0.10 && l.temperature_c > 2.0)
    );
    assert_relative_eq!(
        bed.water_kg() - water,
        -passage.evaporated_kg,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        bed.enthalpy_kj(&nuts) - heat + binding,
        passage.absorbed_kj,
        max_relative = 1e-9
    );
}

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
    let inner: f64 = (1..pieces)
        .map(|i| value(f64::from(i) * step) * if i % 2 == 1 { 4.0 } else { 2.0 })
        .sum();
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
    let inlet = AirAt {
        dry_bulb_c: hot,
        humidity_ratio: 0.005,
    };
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
        let second: f64 = curve
            .iter()
            .map(|&(time, t)| 2.0 * (time - 0.5 * step) * (1.0 - t) * step)
            .sum();
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
        isotherm: Isotherm::ModifiedOswin {
            a: 20.0,
            b: 0.0,
            c: 1.0,
        },
        thin_layer: ThinLayer::Newton {
            rate_per_h: 0.1,
            reference_c: 40.0,
            activation_kj_per_mol: 0.0,
        },
        dry_matter_kj_per_kg_k: 1e-9,
        held_water_kj_per_kg_k: 0.0,
    };
    let inlet = air(30.0, 0.500);
    let (wet, dry) = (
        nuts.isotherm.equilibrium_moisture(30.0, 0.504),
        nuts.isotherm.equilibrium_moisture(30.0, 0.500),
    );
    let w_wet = bisect(inlet.humidity_ratio, 0.02, |w| {
        let t = dry_bulb_of_enthalpy_c(inlet.enthalpy(), w);
        humidity_of(AirAt {
            dry_bulb_c: t,
            humidity_ratio: w,
        }) - 0.504
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
