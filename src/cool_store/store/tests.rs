use super::super::performance::{Performance, Rating};
use super::super::placement::{Condensers, Placement, Stand};
use super::*;

fn spec() -> StoreSpec {
    StoreSpec {
        temperature_c: 20.0,
        relative_humidity: (0.5, 0.6),
        envelope_ua_w_per_k: 650.0,
        solar_rise_k_per_w_per_m2: 0.008,
        air_changes_per_hour: 0.25,
        doors: Some(Doors { area_m2: 9.0, height_m: 3.0, open_share: 0.05, held_back: 0.5 }),
        volume_m3: 1800.0,
        gains_kw: 0.6,
        fan_kw: 1.0,
        lights_kw: 0.4,
        fabric_kj_per_k: 36_000.0,
        nuts_time_constant_h: 24.0,
        units: CoolingUnits {
            count: 2,
            performance: Performance::Curve(Rating { capacity_kw: 14.0, cop: 3.3 }),
            condenser_air_max_c: 43.0,
            restart_below_k: 3.0,
            cycling_loss: 0.25,
        },
    }
}

/// The store with one value after the other changed. A new value has its line here, or else this does not compile.
fn with_one_value_changed() -> Vec<(&'static str, StoreSpec)> {
    let StoreSpec {
        temperature_c,
        relative_humidity: (low, high),
        envelope_ua_w_per_k,
        solar_rise_k_per_w_per_m2,
        air_changes_per_hour,
        doors,
        volume_m3,
        gains_kw,
        fan_kw,
        lights_kw,
        fabric_kj_per_k,
        nuts_time_constant_h,
        units: CoolingUnits { count, performance: _, condenser_air_max_c, restart_below_k, cycling_loss },
    } = spec();
    let with = |change: &dyn Fn(&mut StoreSpec)| {
        let mut changed = spec();
        change(&mut changed);
        changed
    };
    let rating = |capacity_kw, cop| Performance::Curve(Rating { capacity_kw, cop });
    let mut all = vec![
        ("temperature", with(&|store| store.temperature_c = temperature_c + 1.0)),
        ("least humidity", with(&|store| store.relative_humidity = (low + 0.05, high))),
        ("most humidity", with(&|store| store.relative_humidity = (low, high + 0.05))),
        ("envelope", with(&|store| store.envelope_ua_w_per_k = envelope_ua_w_per_k * 1.5)),
        ("sun", with(&|store| store.solar_rise_k_per_w_per_m2 = solar_rise_k_per_w_per_m2 * 1.5)),
        ("air changes", with(&|store| store.air_changes_per_hour = air_changes_per_hour * 1.5)),
        ("volume", with(&|store| store.volume_m3 = volume_m3 * 1.5)),
        ("gains", with(&|store| store.gains_kw = gains_kw * 1.5)),
        ("fan", with(&|store| store.fan_kw = fan_kw * 1.5)),
        ("lights", with(&|store| store.lights_kw = lights_kw * 1.5)),
        ("fabric", with(&|store| store.fabric_kj_per_k = fabric_kj_per_k * 1.5)),
        ("time constant", with(&|store| store.nuts_time_constant_h = nuts_time_constant_h * 1.5)),
        ("units", with(&|store| store.units.count = count + 1)),
        ("capacity", with(&|store| store.units.performance = rating(10.0, 3.3))),
        ("COP", with(&|store| store.units.performance = rating(14.0, 2.5))),
        ("trips", with(&|store| store.units.condenser_air_max_c = condenser_air_max_c - 2.0)),
        ("restarts", with(&|store| store.units.restart_below_k = restart_below_k + 3.0)),
        ("cycling", with(&|store| store.units.cycling_loss = cycling_loss / 2.0)),
    ];
    if let Some(Doors { area_m2, height_m, open_share, held_back }) = doors {
        let door = |area_m2, height_m, open_share, held_back| {
            with(&|store| store.doors = Some(Doors { area_m2, height_m, open_share, held_back }))
        };
        all.extend([
            ("area of doors", door(area_m2 * 1.5, height_m, open_share, held_back)),
            ("height of doors", door(area_m2, height_m * 1.5, open_share, held_back)),
            ("open doors", door(area_m2, height_m, open_share * 1.5, held_back)),
            ("curtain", door(area_m2, height_m, open_share, held_back / 2.0)),
        ]);
    }
    all
}

/// Some days of a store that is filled with warm nuts, under a sun and beside condensers that trip now and then.
fn days(spec: StoreSpec) -> StoreHour {
    let mut store = Store::new(spec);
    store.take_in(&Arrival {
        crop: 0,
        keeping: Keeping { respiration_w_per_t: 2.0, drift: None },
        mass_kg: 60_000.0,
        moisture: 0.11,
        heat_capacity_kj_per_k: 120_000.0,
        temperature_c: 28.0,
        stay_hours: 1000.0,
    });
    let condensers = Condensers::from(Placement::Room);
    let mut sum = StoreHour::default();
    for hour in 0..240 {
        let swing = (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
        // Damp days, then dry ones.
        let humidity = if hour < 120 { 0.85 } else { 0.35 };
        let outside = MoistAir::from_relative_humidity(22.0 + 8.0 * swing, humidity, 95_000.0).expect("air");
        let demand = store.demand(&outside, Some(300.0 * swing.max(0.0)), 1.0);
        let airs = (outside.dry_bulb_c(), 38.0 + 7.0 * swing);
        let ran = condensers.run(&store.spec.units, &demand.asked, Stand::Room, airs);
        sum.add(&store.settle(&demand, &ran), 1.0);
    }
    sum
}

#[test]
fn every_value_of_a_store_matters() {
    let plain = days(spec());
    assert!(plain.humidifier_kg > 1.0 && plain.condensate_kg > 1.0 && plain.units.tripped, "{plain:?}");
    for (name, changed) in with_one_value_changed() {
        assert_ne!(days(changed), plain, "{name} is read, and nothing goes by it");
    }
}
