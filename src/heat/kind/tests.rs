//! What a kind says of itself is what it does: one of every kind is tried in air that leaves it nothing to wish for.

use super::super::{Conditions, Drawn, Effectiveness, Left, Source};
use super::*;
use crate::air::AirState;

const CAPACITY_KW: f64 = 60.0;
/// As good as none.
const NOTHING_KW: f64 = 1e-3;

/// The kinds one after the other; a new one has its place here, or else this does not compile.
fn after(kind: Option<&Kind>) -> Option<Kind> {
    let next = match kind {
        None => Kind::Resistance(Resistance),
        Some(Kind::Resistance(_)) => {
            Kind::Burner(Burner { carrier: "lpg".into(), efficiency: 0.8, electricity_share: 0.01 })
        }
        Some(Kind::Burner(_)) => Kind::OpenFlame(OpenFlame {
            carrier: "lpg".into(),
            efficiency: 0.97,
            electricity_share: 0.01,
            water_kg_per_kwh: 0.127,
        }),
        Some(Kind::OpenFlame(_)) => Kind::Biomass(Biomass {
            carrier: "shell".into(),
            efficiency: 0.75,
            electricity_share: 0.02,
            own_supply_kwh: Some(500.0),
        }),
        Some(Kind::Biomass(_)) => Kind::HotWater(HotWater {
            carrier: "chips".into(),
            boiler_efficiency: 0.84,
            distribution_loss: 0.1,
            electricity_share: 0.02,
        }),
        Some(Kind::HotWater(_)) => Kind::HeatPump(HeatPump::USUAL),
        Some(Kind::HeatPump(_)) => Kind::WaterHeatPump(WaterHeatPump {
            carnot_fraction: 0.5,
            loop_c: 30.0,
            source_approach_k: 5.0,
            sink_approach_k: 8.0,
            cop_max: 8.0,
        }),
        Some(Kind::WaterHeatPump(_)) => Kind::Dehumidifier(Dehumidifier::USUAL),
        Some(Kind::Dehumidifier(_)) => Kind::Exchanger(Exchanger {
            effectiveness: Effectiveness::Stated(0.6),
            leak: 0.05,
            fan_kw_per_kg_per_s: 0.4,
            frost_limit_c: 0.0,
        }),
        Some(Kind::Exchanger(_)) => Kind::Collector(Collector {
            area_m2: 80.0,
            effective_absorptance: 0.6,
            loss_w_per_m2_k: 6.0,
            tilt_deg: 15.0,
            azimuth_deg: 0.0,
            fan_kw: 0.4,
        }),
        Some(Kind::Collector(_)) => Kind::HeatStore(HeatStore {
            capacity_kwh: 200.0,
            charge_kw: 20.0,
            loss_per_hour: 0.01,
            temperature_c: 70.0,
            charged_by: "another".into(),
            fuel: None,
            charge_up_to_price: 0.1,
            discharge_from_price: 0.2,
        }),
        Some(Kind::HeatStore(_)) => return None,
    };
    Some(next)
}

fn each_kind() -> Vec<Source> {
    let kinds = std::iter::successors(after(None), |kind| after(Some(kind)));
    kinds.map(|kind| Source::new(kind.says().words(), CAPACITY_KW, kind)).collect()
}

/// Warm damp air in the plant, cool fresh air, sun, condensers that run, and dear electricity.
fn now() -> Conditions {
    Conditions {
        outside: AirState { dry_bulb_c: 12.0, humidity_ratio: 0.007 },
        outside_relative_humidity: 0.8,
        pressure_pa: 101_325.0,
        supply_c: 40.0,
        air: AirState { dry_bulb_c: 35.0, humidity_ratio: 0.018 },
        exhaust: AirState { dry_bulb_c: 32.0, humidity_ratio: 0.02 },
        recirculates: true,
        fresh_kg_per_s: 2.0,
        intake_c: 12.0,
        sun_w_per_m2: 600.0,
        condenser_heat_kw: 20.0,
        electricity_price: Some(0.3),
        room: 0,
    }
}

const LEFT: Left = Left { kwh: 400.0, hours: 1.0 };

fn most_kw(source: &Source, now: &Conditions) -> f64 {
    source.most_kw(now, LEFT.kwh, LEFT.hours)
}

/// True if it gives nothing, or another heat, where this is not as it was.
fn goes_by(source: &Source, change: impl Fn(&mut Conditions)) -> bool {
    let mut changed = now();
    change(&mut changed);
    (most_kw(source, &changed) - most_kw(source, &now())).abs() > NOTHING_KW
}

#[test]
fn every_kind_gives_heat_and_no_more_than_its_capacity() {
    for source in each_kind() {
        let most = most_kw(&source, &now());
        assert!(most > 1.0 && most <= CAPACITY_KW, "{}: {most} kW", source.name);
        assert_eq!(source.draw(most, &now()).heat_kw, most, "{}", source.name);
    }
}

/// Whose order in a stack, whose rooms and whose paths hang on what a kind says of the air must say what it lives on.
#[test]
fn every_kind_says_what_it_lives_on() {
    for source in each_kind() {
        let (says, name) = (source.kind.says(), &source.name);
        let lives_on_fresh_air = {
            let still = Conditions { fresh_kg_per_s: 0.0, ..now() };
            most_kw(&source, &still) < NOTHING_KW
        };
        assert_eq!(says.is_passive(), lives_on_fresh_air, "{name}: fresh air");
        assert_eq!(says.plane().is_some(), goes_by(&source, |now| now.sun_w_per_m2 = 0.0), "{name}: sun");
        assert_eq!(says.uses_exhaust(), goes_by(&source, |now| now.exhaust = now.outside), "{name}: air that leaves");
        let lifts = goes_by(&source, |now| now.condenser_heat_kw = 0.0);
        assert_eq!(says.lifts_condenser_heat(), lifts, "{name}: condensers");
        let left = |kwh: f64| source.most_kw(&now(), kwh, 1.0);
        assert_eq!(source.own_supply_kwh().is_finite(), left(0.0) < NOTHING_KW, "{name}: what is left of its own");
        let at_will = !says.is_passive() && !says.moves_water() && !says.is_store() && !says.lifts_condenser_heat();
        assert_eq!(says.gives_at_will(), at_will, "{name}: at will");
    }
}

#[test]
fn every_kind_says_what_it_takes_and_brings() {
    for source in each_kind() {
        let (says, name) = (source.kind.says(), &source.name);
        let draw = source.draw(most_kw(&source, &now()), &now());
        assert_eq!(says.moves_water(), draw.water_kg_per_h != 0.0, "{name}: water");
        assert_eq!(says.dries_the_room(), draw.water_kg_per_h < 0.0, "{name}: water taken out");
        assert_eq!(says.fuel().is_some(), draw.fuel_kw > 0.0, "{name}: fuel");
        if says.is_store() {
            continue;
        }
        let mut sum = Drawn::default();
        sum.add(&draw, 1.0);
        let has_free_heat = source.conversion(&sum).free_kwh > NOTHING_KW;
        assert_eq!(source.free_heat(&[]).is_some(), has_free_heat, "{name}: where its free heat comes from");
    }
}

/// What bounds the heat beside the capacity is shared out among rooms too. What stands in each room's own air, and what lives
/// on the condensers, is shared by those who ask.
#[test]
fn a_kind_that_leaves_next_to_nothing_gives_next_to_nothing() {
    for mut source in each_kind() {
        let says = source.kind.says();
        if !says.is_passive() || says.uses_exhaust() {
            continue;
        }
        source.kind.says_mut().leave_share(1e-9);
        let most = most_kw(&source, &now());
        assert!(most < NOTHING_KW, "{}: {most} kW are left", source.name);
    }
}
