//! The bed at its limits: the thin layer, the equilibrium model and its front, no air, beds shallow and
//! deep, and dew.
//!
//! Source: Thompson, Peart & Foster 1968, Trans. ASAE 11:582 (equilibrium model), from memory, not
//! verified; the other limits follow from the balances alone.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use dryledger::air::{AirState, MoistAir, saturation_pressure_pa, vapour_pressure_pa};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{Bed, Layer, Nuts};

const SEA_LEVEL_PA: f64 = 101_325.0;

pub(super) fn newton(rate_per_h: f64) -> ThinLayer {
    ThinLayer::Newton { rate_per_h, reference_c: 40.0, activation_kj_per_mol: 30.0 }
}

/// Peanut pods: ASAE D245.5 OCT95 (from memory, not verified) with a rate assumed.
pub(super) fn pods(thin_layer: ThinLayer) -> Nuts {
    Nuts {
        isotherm: Isotherm::ModifiedHenderson { k: 6.6587e-5, n: 2.5362, c: 23.318 },
        thin_layer,
        dry_matter_kj_per_kg_k: 1.52,
        held_water_kj_per_kg_k: 4.186,
    }
}

pub(super) fn air(dry_bulb_c: f64, relative_humidity: f64) -> AirState {
    let air = MoistAir::from_relative_humidity(dry_bulb_c, relative_humidity, SEA_LEVEL_PA).expect("air in range");
    AirState { dry_bulb_c, humidity_ratio: air.humidity_ratio() }
}

pub(super) fn humidity_of(air: AirState) -> f64 {
    vapour_pressure_pa(air.humidity_ratio, SEA_LEVEL_PA) / saturation_pressure_pa(air.dry_bulb_c)
}

/// The root of a function that rises between these ends: plain bisection, owing nothing to the
/// project's own solver.
pub(super) fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
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
        ThinLayer::Sphere { rate_per_h: 0.056, reference_c: 40.0, activation_kj_per_mol: 22.5 },
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
    for (start_c, moisture, inlet, air_per_dry_matter) in
        [(20.0, 0.30, air(45.0, 0.20), 4.0), (20.0, 0.12, air(40.0, 0.20), 30.0), (15.0, 0.08, air(25.0, 0.70), 10.0)]
    {
        let layer = Layer::new(moisture, start_c);
        let (outlet, after) = layer.cross(&nuts, inlet, air_per_dry_matter, SEA_LEVEL_PA, 1.0);
        let bound = nuts.isotherm.net_heat_of_desorption_kj_per_kg(start_c, moisture);
        let leaving = |after: f64| {
            let given_up = moisture - after;
            let w = inlet.humidity_ratio + given_up / air_per_dry_matter;
            let brought = air_per_dry_matter * inlet.enthalpy() + nuts.enthalpy(moisture, start_c);
            let left = brought - given_up * bound;
            let t = bisect(-50.0, 100.0, |t| {
                let air = AirState { dry_bulb_c: t, humidity_ratio: w };
                air_per_dry_matter * air.enthalpy() + nuts.enthalpy(after, t) - left
            });
            AirState { dry_bulb_c: t, humidity_ratio: w }
        };
        let dried = bisect(0.01, 0.35, |after| {
            let air = leaving(after);
            nuts.isotherm.equilibrium_relative_humidity(air.dry_bulb_c, after) - humidity_of(air)
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
    let nuts = Nuts { isotherm: Isotherm::ModifiedOswin { a: 3.0, b: 0.0, c: 1.0 }, ..pods(newton(1e6)) };
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
    let thin = nuts.thin_layer.hours_to_dry(0.30, 0.12, equilibrium, 40.0).expect("air dry enough");
    assert!(hours >= thin && hours < 1.03 * thin + 0.1, "{hours} against {thin}");

    let mut deep = Bed::new(60, dry_matter_of(6.0), 0.30, 20.0);
    let mut leaving = inlet;
    for _ in 0..100 {
        leaving = deep.try_step(&nuts, inlet, per_hour, SEA_LEVEL_PA, 1.0).outlet;
        deep.accept();
    }
    let moistures: Vec<f64> = deep.layers().iter().map(|layer| layer.moisture).collect();
    let drying: Vec<f64> = moistures.iter().copied().take_while(|&m| m < 0.29).collect();
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
    assert!(bed.layers().iter().all(|l| l.moisture > 0.10 && l.temperature_c > 2.0));
    assert_relative_eq!(bed.water_kg() - water, -passage.evaporated_kg, max_relative = 1e-9);
    assert_relative_eq!(bed.enthalpy_kj(&nuts) - heat + binding, passage.absorbed_kj, max_relative = 1e-9);
}
