use super::super::{Biomass, Burner, Kind, Resistance};
use super::*;
use crate::air::AirState;
use approx::assert_relative_eq;
use proptest::prelude::*;

fn now() -> Conditions {
    Conditions {
        outside: AirState { dry_bulb_c: 20.0, humidity_ratio: 0.009 },
        outside_relative_humidity: 0.6,
        pressure_pa: 101_325.0,
        supply_c: 38.0,
        intake_c: 20.0,
        fresh_kg_per_s: 3.0,
        ..Conditions::default()
    }
}

fn burner(efficiency: f64) -> Kind {
    Kind::Burner(Burner { carrier: "lpg".into(), efficiency, electricity_share: 0.01 })
}

fn stack() -> Stack {
    let shell =
        Biomass { carrier: "shell".into(), efficiency: 0.75, electricity_share: 0.02, own_supply_kwh: Some(100.0) };
    let sources = vec![
        Source::new("shell", 50.0, Kind::Biomass(shell)),
        Source::new("gas", 40.0, burner(0.8)),
        Source::new("electric", 30.0, Kind::Resistance(Resistance)),
    ];
    Stack::new(sources, Dispatch::Ordered)
}

fn heats(given: &[Given]) -> Vec<f64> {
    given.iter().map(|given| given.draw.heat_kw).collect()
}

#[test]
fn sources_are_called_on_in_order_up_to_their_capacity() {
    let given = stack().give(100.0, &now(), 1.0);
    assert_eq!(heats(&given), [50.0, 40.0, 10.0]);
    assert_relative_eq!(given[1].draw.fuel_kw, 50.0);
    assert_relative_eq!(given[2].draw.electricity_kw, 10.0);
}

#[test]
fn a_supply_runs_out() {
    let mut stack = stack();
    // 100 kWh of shell at 75 % is 75 kWh of heat: 50 in the first hour, 25 in the next.
    stack.give(50.0, &now(), 1.0);
    let second = stack.give(50.0, &now(), 1.0);
    assert_relative_eq!(second[0].draw.heat_kw, 25.0, max_relative = 1e-9);
    assert_relative_eq!(stack.most_kw(&now(), 1.0), 70.0, epsilon = 1e-9);
}

#[test]
fn planning_uses_nothing_up() {
    let stack = stack();
    let before = stack.clone();
    let _ = stack.plan(100.0, &now(), 1.0);
    assert_eq!(stack, before);
}

#[test]
fn the_cheapest_of_the_hour_is_called_on_first() {
    let mut stack = Stack::new(stack().sources().to_vec(), Dispatch::CheapestFirst);
    let mut first = |electricity_per_kwh: f64| {
        let prices = Prices { electricity_per_kwh, fuel_per_kwh: vec![0.05, 0.10, 0.0] };
        stack.price(&prices, &now());
        heats(&stack.plan(30.0, &now(), 1.0))
    };
    // Shell 0.067, gas 0.125, electricity as it is.
    assert_eq!(first(0.20), [30.0, 0.0, 0.0]);
    assert_eq!(first(0.04), [0.0, 0.0, 30.0]);
}

#[test]
fn a_source_below_its_least_makes_the_others_give_way_or_leaves_it_to_them() {
    let mut sources = stack().sources().to_vec();
    sources[1].minimum_load = 0.5;
    let of = |sources: Vec<Source>| Stack::new(sources, Dispatch::Ordered);
    let calling = of(sources.clone());
    assert_eq!(heats(&calling.plan(60.0, &now(), 1.0)), [40.0, 20.0, 0.0]);
    let calling = of(vec![sources[1].clone(), sources[2].clone()]);
    assert_eq!(heats(&calling.plan(10.0, &now(), 1.0)), [0.0, 10.0]);
    // Alone, or where the others have given all they have, it cycles.
    let alone = of(vec![sources[1].clone()]);
    assert_eq!(heats(&alone.plan(10.0, &now(), 1.0)), [10.0]);
    assert_eq!(alone.most_kw(&now(), 1.0), 40.0);
}

#[test]
fn a_source_that_is_not_hot_enough_preheats() {
    let mut lukewarm = Source::new("coil", 500.0, Kind::Resistance(Resistance));
    lukewarm.supply_max_c = Some(30.0);
    let hot = Source::new("hot", 500.0, Kind::Resistance(Resistance));
    let stack = Stack::new(vec![lukewarm, hot], Dispatch::Ordered);
    let capacity = now().fresh_capacity_kw_per_k();
    let given = stack.plan(capacity * 18.0, &now(), 1.0);
    assert_relative_eq!(given[0].draw.heat_kw, capacity * 10.0, max_relative = 1e-12);
    assert_relative_eq!(given[1].draw.heat_kw, capacity * 8.0, max_relative = 1e-12);
    // In a room warmer than it can make, it warms fresh air alone.
    let room = Conditions { recirculates: true, air: AirState { dry_bulb_c: 38.0, humidity_ratio: 0.018 }, ..now() };
    let given = stack.plan(400.0, &room, 1.0);
    assert_relative_eq!(given[0].draw.heat_kw, capacity * 10.0, max_relative = 1e-12);
}

proptest! {
    /// Whatever is asked of whatever stack: none gives more than it can, none less than its least unless
    /// those that run can give no more, and what is asked is given as far as there is any.
    #[test]
    fn no_source_leaves_its_range_and_what_is_asked_is_given(
        sources in prop::collection::vec((1.0..100.0_f64, 0.0..1.0_f64, 0.0..0.3_f64), 1..5),
        asked_share in 0.0..1.3_f64,
        cheapest in any::<bool>(),
        electricity_per_kwh in 0.0..0.5_f64,
    ) {
        let fuel_per_kwh: Vec<f64> = sources.iter().map(|source| source.2).collect();
        let sources: Vec<Source> = sources
            .into_iter()
            .map(|(capacity_kw, minimum_load, _)| Source {
                minimum_load: if minimum_load < 0.4 { 0.0 } else { minimum_load },
                ..Source::new("burner", capacity_kw, burner(0.8))
            })
            .collect();
        let dispatch = if cheapest { Dispatch::CheapestFirst } else { Dispatch::Ordered };
        let mut stack = Stack::new(sources, dispatch);
        stack.price(&Prices { electricity_per_kwh, fuel_per_kwh }, &now());
        let full: f64 = stack.sources().iter().map(|source| source.capacity_kw).sum();
        prop_assert!((stack.most_kw(&now(), 1.0) - full).abs() <= 1e-9 * full);
        let asked_kw = asked_share * full;
        let given = stack.plan(asked_kw, &now(), 1.0);
        let heats = heats(&given);
        let given_kw: f64 = heats.iter().sum();
        prop_assert!((given_kw - asked_kw.min(full)).abs() <= 1e-9 * full);
        let all = || heats.iter().zip(stack.sources());
        prop_assert!(all().all(|(&heat, source)| heat <= source.capacity_kw * (1.0 + 1e-12)));
        let cycles = |(&heat, source): (&f64, &Source)| {
            heat > 0.0 && heat < source.least_kw() * (1.0 - 1e-12)
        };
        if let Some(place) = all().position(cycles) {
            for (at, (&heat, source)) in all().enumerate() {
                let full = heat >= source.capacity_kw * (1.0 - 1e-9);
                prop_assert!(at == place || full || heat == 0.0, "{heats:?}");
            }
        }
    }
}
