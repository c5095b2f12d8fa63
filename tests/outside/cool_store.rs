//! The cool store's units and its load, against published curves and a general-purpose property library.

use approx::assert_relative_eq;
use dryledger::air::{CP_DRY_AIR, CP_VAPOUR, MoistAir};
use dryledger::cool_store::{
    Arrival, Condensers, CoolingUnits, Doors, Drift, Keeping, Performance, Placement, Rating, Refrigerant, Stand,
    Store, StoreAir, StoreSpec, UnitAir,
};
use dryledger::crop::Isotherm;

/// Store air of 21 °C and 55 %, at which the generic curve was worked out by hand.
const STORE: StoreAir = StoreAir { dry_bulb_c: 21.0, wet_bulb_c: 15.3 };

fn curve(cop: f64) -> Performance {
    Performance::Curve(Rating { capacity_kw: 10.0, cop })
}

/// The generic air-cooled direct-expansion curve at this wet bulb, expanded about 35 °C: capacity
/// 0.86340 - 0.010824 d + 5.25e-6 d², input 1.05099 + 0.024495 d + 4.380e-4 d² (derived from the
/// coefficients reprinted in public building-energy libraries).
#[test]
fn the_default_curve_is_the_published_one() {
    for step in 0..=26 {
        let d = f64::from(step) - 15.0;
        let duty = curve(3.5).duty(35.0 + d, STORE);
        let capacity = 0.86340 - 0.010824 * d + 5.25e-6 * d * d;
        let input = 1.05099 + 0.024495 * d + 4.380e-4 * d * d;
        assert_relative_eq!(duty.capacity_kw / 10.0, capacity, max_relative = 2e-4);
        assert_relative_eq!(3.5 / duty.cop(), input, max_relative = 2e-4);
    }
}

/// A unit of rated COP 3.5: COP against condenser air, to the digits printed.
#[test]
fn the_cop_falls_from_4_48_at_20_to_2_61_at_45() {
    for (air_c, cop) in [(20.0, 4.48), (25.0, 4.12), (30.0, 3.73), (35.0, 3.33), (40.0, 2.96), (45.0, 2.61)] {
        let found = curve(3.5).duty(air_c, STORE).cop();
        assert!((found - cop).abs() < 0.006, "{found} at {air_c}");
    }
}

/// Ten kilowatts of cooling from a unit of rated COP 3.2 whose condenser stands in a room: COP, power,
/// heat to the room and capacity, worked out by hand from the same curve.
#[test]
fn a_condenser_in_a_warm_room_costs_what_the_worked_example_says() {
    for (room_c, cop, power_kw, heat_kw, capacity_kw) in [
        (25.0, 3.77, 2.66, 12.66, 9.72),
        (30.0, 3.41, 2.94, 12.94, 9.18),
        (35.0, 3.04, 3.28, 13.28, 8.63),
        (40.0, 2.70, 3.70, 13.70, 8.09),
        (43.0, 2.51, 3.98, 13.98, 7.77),
        (46.0, 2.33, 4.29, 14.29, 7.45),
    ] {
        let duty = curve(3.2).duty(room_c, STORE);
        assert!((duty.cop() - cop).abs() < 0.006, "{room_c}: {}", duty.cop());
        assert!((duty.capacity_kw - capacity_kw).abs() < 0.006, "{room_c}");
        // Two units, one of which may cycle, but without the loss of cycling.
        let units = CoolingUnits {
            count: 2,
            performance: curve(3.2),
            condenser_air_max_c: 52.0,
            restart_below_k: 3.0,
            cycling_loss: 0.0,
        };
        let air = UnitAir { condenser_c: room_c, store: STORE, tripped: false };
        let run = units.run(2, 10.0, air);
        assert!((run.electricity_kw - power_kw).abs() < 0.006, "{room_c}");
        assert!((run.rejected_kw - heat_kw).abs() < 0.006, "{room_c}");
    }
}

/// Points off the held table's grid, from CoolProp (tests/data/refrigerant/cycles.py).
#[test]
fn cycles_agree_with_coolprop_between_the_tables_points() {
    let text = include_str!("../data/refrigerant/cycles.csv");
    let (mut points, mut worst) = (0, 0.0_f64);
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.expect("a row");
        let number = |at: usize| row[at].parse::<f64>().expect("a number");
        let refrigerant =
            Refrigerant::ALL.into_iter().find(|refrigerant| refrigerant.name() == &row[0]).expect("a refrigerant");
        let cycle = refrigerant.cycle(number(1), number(2));
        let input = cycle.input * number(3) - 1.0;
        let cooling = cycle.cooling_kj_per_m3 / number(4) - 1.0;
        worst = worst.max(input.abs()).max(cooling.abs());
        points += 1;
    }
    assert_eq!(points, 120);
    assert!(worst < 0.01, "{worst}");
}

/// R32 and R410A at 10 °C evaporating and condensing 12 K above the air: the COP and the capacity over
/// that at 35 °C that CoolProp gives, within 2 %.
#[test]
fn cycles_meet_the_worked_table_of_air_temperatures() {
    let table = [
        (15.0, 9.812, 1.163, 9.800, 1.217),
        (20.0, 7.374, 1.124, 7.339, 1.165),
        (25.0, 5.831, 1.084, 5.776, 1.112),
        (30.0, 4.763, 1.042, 4.688, 1.057),
        (35.0, 3.976, 1.000, 3.882, 1.000),
        (40.0, 3.369, 0.956, 3.255, 0.941),
        (45.0, 2.884, 0.911, 2.749, 0.880),
        (50.0, 2.483, 0.863, 2.326, 0.815),
    ];
    for (air_c, r32_cop, r32_capacity, r410a_cop, r410a_capacity) in table {
        for (refrigerant, cop, capacity) in
            [(Refrigerant::R32, r32_cop, r32_capacity), (Refrigerant::R410A, r410a_cop, r410a_capacity)]
        {
            let at = |air_c: f64| refrigerant.cycle(10.0, air_c + 12.0);
            assert_relative_eq!(1.0 / at(air_c).input, cop, max_relative = 0.02);
            let over = at(air_c).cooling_kj_per_m3 / at(35.0).cooling_kj_per_m3;
            assert_relative_eq!(over, capacity, max_relative = 0.02);
        }
    }
}

fn store_of(units: CoolingUnits) -> StoreSpec {
    StoreSpec {
        temperature_c: 20.0,
        relative_humidity: (0.2, 0.9),
        envelope_ua_w_per_k: 650.0,
        solar_rise_k_per_w_per_m2: 0.008,
        air_changes_per_hour: 0.25,
        volume_m3: 1800.0,
        gains_kw: 0.6,
        fan_kw: 1.0,
        lights_kw: 0.4,
        fabric_kj_per_k: 36_000.0,
        nuts_time_constant_h: 24.0,
        doors: None,
        units,
    }
}

fn keeping(drift: Option<Drift>) -> Keeping {
    Keeping { respiration_w_per_t: 2.0, drift }
}

fn units() -> CoolingUnits {
    CoolingUnits {
        count: 3,
        performance: curve(3.3),
        condenser_air_max_c: 43.0,
        restart_below_k: 3.0,
        cycling_loss: 0.25,
    }
}

/// The load term by term: envelope by the sol-air temperature, the sensible heat of the air that comes
/// in, gains, respiration, and nuts that cool with a first-order time constant (ASHRAE's sum for
/// refrigerated rooms, from memory, not verified).
#[test]
fn the_load_is_the_sum_of_its_terms() {
    let spec = store_of(units());
    let mut store = Store::new(spec.clone());
    store.take_in(&Arrival {
        crop: 0,
        keeping: keeping(None),
        mass_kg: 100_000.0,
        moisture: 0.11,
        heat_capacity_kj_per_k: 200_000.0,
        temperature_c: 28.0,
        stay_hours: 1000.0,
    });
    let outside = MoistAir::from_relative_humidity(31.0, 0.35, 95_000.0).expect("air");
    let demand = store.demand(&outside, Some(600.0), 1.0);
    assert_eq!(demand.latent_kw, 0.0);
    let envelope = 0.65 * (31.0 + 0.008 * 600.0 - 20.0);
    let air = 0.25 * 1800.0 / 3600.0 / outside.specific_volume_m3_per_kg()
        * (CP_DRY_AIR + CP_VAPOUR * outside.humidity_ratio())
        * (31.0 - 20.0);
    let nuts = 200_000.0 * (28.0 - 20.0) * (1.0 - (-1.0_f64 / 24.0).exp()) / 3600.0;
    let load = envelope + air + 0.6 + 1.0 + 100.0 * 0.002 + nuts;
    assert_relative_eq!(demand.asked.cooling_kw, load, max_relative = 1e-9);
}

/// Met or not, tripped or not, what came in is found again.
#[test]
fn the_stores_energy_closes_whatever_its_units_do() {
    let mut store = Store::new(store_of(units()));
    store.take_in(&Arrival {
        crop: 0,
        keeping: keeping(Some(drifting())),
        mass_kg: 200_000.0,
        moisture: 0.11,
        heat_capacity_kj_per_k: 400_000.0,
        temperature_c: 38.0,
        stay_hours: 400.0,
    });
    let condensers = Condensers::from(Placement::Room);
    let mut warmest = 0.0_f64;
    for hour in 0..300 {
        let t = 26.0 + 9.0 * (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
        let outside = MoistAir::from_relative_humidity(t, 0.6, 95_000.0).expect("air");
        let demand = store.demand(&outside, Some(300.0), 1.0);
        let room_c = if hour % 50 < 10 { 46.0 } else { 38.0 };
        let ran = condensers.run(&store.spec.units, &demand.asked, Stand::Room, (t, room_c));
        let done = store.settle(&demand, &ran);
        assert!(done.energy_residual_kwh.abs() < 1e-9);
        let asked = done.units.cooling_kw + done.units.unmet_kw;
        assert_relative_eq!(asked, demand.asked.cooling_kw, max_relative = 1e-12);
        assert_relative_eq!(
            done.units.rejected_kw,
            done.units.cooling_kw + done.units.electricity_kw,
            max_relative = 1e-12
        );
        warmest = warmest.max(store.temperature_c());
    }
    assert!(warmest > 20.5, "the trips were felt");
}

/// Published worked example of the doors' formula (values quoted after Gosney & Olama 1975 and ASHRAE): 30 °C,
/// 60 % outside, 21 °C, 55 % inside, 9 m² and 3 m high, full flow 66.96 kW; open a twentieth of the time with
/// the flow factor 1.1 of a difference of 9 K, 3.68 kW. Tolerance 1 %: densities of two moist-air libraries.
#[test]
fn air_through_open_doors_brings_the_heat_of_the_worked_example() {
    let outside = MoistAir::from_relative_humidity(30.0, 0.60, 101_325.0).expect("air");
    let inside = MoistAir::from_relative_humidity(21.0, 0.55, 101_325.0).expect("air");
    let doors = Doors { area_m2: 9.0, height_m: 3.0, open_share: 0.05, held_back: 0.0 };
    let heat_kw =
        doors.exchange_kg_per_s(&outside, &inside) * (outside.enthalpy_kj_per_kg() - inside.enthalpy_kj_per_kg());
    assert_relative_eq!(heat_kw, 3.68, max_relative = 0.01);
    assert_relative_eq!(heat_kw / 0.05 / 1.1, 66.96, max_relative = 0.01);
}

fn drifting() -> Drift {
    Drift { isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 }, time_constant_h: 400.0 }
}

/// In a store whose humidity is held at one value nuts approach their equilibrium as a first-order law says,
/// exactly: M(t) = Me + (M0 - Me) exp(-t/tau).
#[test]
fn stored_nuts_approach_the_equilibrium_of_the_stores_air() {
    let mut spec = store_of(units());
    spec.relative_humidity = (0.5, 0.5);
    let even = drifting().isotherm.equilibrium_moisture(20.0, 0.5);
    for start in [even + 0.03, even - 0.02] {
        let mut store = Store::new(spec.clone());
        store.take_in(&Arrival {
            crop: 0,
            keeping: keeping(Some(drifting())),
            mass_kg: 100_000.0 * (1.0 + start),
            moisture: start,
            heat_capacity_kj_per_k: 200_000.0,
            temperature_c: 20.0,
            stay_hours: 1000.0,
        });
        let outside = MoistAir::from_relative_humidity(25.0, 0.6, 95_000.0).expect("air");
        let mut lost_kg = 0.0;
        for _ in 0..500 {
            let demand = store.demand(&outside, None, 1.0);
            let ran = Condensers::OUTDOORS.run(&store.spec.units, &demand.asked, Stand::Outdoors, (25.0, 25.0));
            lost_kg += store.settle(&demand, &ran).nuts_lost_kg;
        }
        let expected = 100_000.0 * (start - even) * (1.0 - (-500.0_f64 / 400.0).exp());
        assert_relative_eq!(lost_kg, expected, max_relative = 0.01);
        let mass_kg = 100_000.0 * (1.0 + start) - lost_kg;
        assert_relative_eq!(store.stored_t() * 1000.0, mass_kg, max_relative = 1e-12);
    }
}

/// Two crops in one air, each drifting by the same law to its own isotherm, breathing and cooling on its own:
/// the closed form holds for each, and heat and weight of the store are the sums.
#[test]
fn each_crop_in_store_follows_its_own_isotherm() {
    let pecan = dryledger::crop::find("pecan").expect("in the library");
    let laws = [drifting().isotherm, *pecan.isotherm()].map(|isotherm| Drift { isotherm, ..drifting() });
    let mut spec = store_of(units());
    spec.relative_humidity = (0.5, 0.5);
    let mut store = Store::new(spec);
    let (start, dry_kg) = (0.11, [100_000.0, 40_000.0]);
    for crop in 0..2 {
        store.take_in(&Arrival {
            crop,
            keeping: Keeping { respiration_w_per_t: [2.0, 30.0][crop], drift: Some(laws[crop]) },
            mass_kg: dry_kg[crop] * (1.0 + start),
            moisture: start,
            heat_capacity_kj_per_k: 2.0 * dry_kg[crop],
            temperature_c: 20.0,
            stay_hours: 1000.0,
        });
    }
    let outside = MoistAir::from_relative_humidity(25.0, 0.6, 95_000.0).expect("air");
    let mut lost_kg = 0.0;
    for _ in 0..500 {
        let demand = store.demand(&outside, None, 1.0);
        let airs = (25.0, 25.0);
        let units = &store.spec.units;
        let ran = Condensers::OUTDOORS.run(units, &demand.asked, Stand::Outdoors, airs);
        let hour = store.settle(&demand, &ran);
        lost_kg += hour.nuts_lost_kg;
        assert!(hour.energy_residual_kwh.abs() < 1e-9);
    }
    let came_near = 1.0 - (-500.0_f64 / 400.0).exp();
    let mut expected = [0.0; 2];
    for crop in 0..2 {
        let even = laws[crop].isotherm.equilibrium_moisture(20.0, 0.5);
        expected[crop] = dry_kg[crop] * (start - even) * came_near;
        assert_relative_eq!(store.lost_kg(crop), expected[crop], max_relative = 0.01);
    }
    let per_kg = |crop: usize| expected[crop] / dry_kg[crop];
    assert!((per_kg(0) - per_kg(1)).abs() > 0.005, "{expected:?}");
    assert_relative_eq!(lost_kg, store.lost_kg(0) + store.lost_kg(1), max_relative = 1e-9);
}

/// Nuts of a crop that breathes more warm the store by that much more, whatever lies beside them.
#[test]
fn each_crop_in_store_breathes_on_its_own() {
    let load = |respirations: [f64; 2]| {
        let mut store = Store::new(store_of(units()));
        for (crop, respiration_w_per_t) in respirations.into_iter().enumerate() {
            store.take_in(&Arrival {
                crop,
                keeping: Keeping { respiration_w_per_t, drift: None },
                mass_kg: 50_000.0,
                moisture: 0.11,
                heat_capacity_kj_per_k: 100_000.0,
                temperature_c: 20.0,
                stay_hours: 1000.0,
            });
        }
        let outside = MoistAir::from_relative_humidity(31.0, 0.35, 95_000.0).expect("air");
        store.demand(&outside, None, 1.0).asked.cooling_kw
    };
    assert_relative_eq!(load([2.0, 30.0]) - load([2.0, 2.0]), 50.0 * 0.028, max_relative = 1e-9);
}

/// No nuts, no load: nothing is cooled, taken or given off.
#[test]
fn an_empty_store_asks_for_nothing() {
    let store = Store::new(store_of(units()));
    let outside = MoistAir::from_relative_humidity(35.0, 0.6, 95_000.0).expect("air");
    let demand = store.demand(&outside, Some(900.0), 1.0);
    let ran = Condensers::from(Placement::Room).run(&store.spec.units, &demand.asked, Stand::Room, (35.0, 38.0));
    assert_eq!(ran.together(), dryledger::cool_store::Running::default());
}
