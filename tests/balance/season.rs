//! Water, energy and heat over whole seasons, for random small plants.

use chrono::{Duration, NaiveDate};
use dryledger::air::MoistAir;
use dryledger::airflow::{BedResistance, FanCurve, FanSpec, QuadraticResistance};
use dryledger::cool_store::{
    Changeover, Condensers, CoolingUnits, Doors, Drift, Keeping, Performance, Placement, Rating, StoreSpec,
};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{AirPath, BinFan, BinSpec, FanBank, FanLayout, IntakeShape, Nuts, RoomSpec, Stage, StageBy};
use dryledger::heat::{
    Biomass, Burner, Dehumidifier, Effectiveness, Exchanger, HeatPump, HotWater, Kind, OpenFlame, Resistance, Source,
    WaterHeatPump,
};
use dryledger::ledger::{Account, Book, Credit, Entry};
use dryledger::season::{Calling, Heating, Intake, Plant, PlantCrop, StayRules, run_option};
use dryledger::weather::{Hour, WeatherYear};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const PRESSURE_PA: f64 = 95_000.0;

/// A climate in a few numbers: sines through the day, and spells of several days.
#[derive(Clone, Copy, Debug)]
pub(super) struct Climate {
    mean_c: f64,
    daily_swing_k: f64,
    spell_swing_k: f64,
    relative_humidity: f64,
}

pub(super) fn climates() -> impl Strategy<Value = Climate> {
    (-8.0..30.0_f64, 0.0..8.0_f64, 0.0..8.0_f64, 0.2..0.98_f64).prop_map(
        |(mean_c, daily_swing_k, spell_swing_k, relative_humidity)| Climate {
            mean_c,
            daily_swing_k,
            spell_swing_k,
            relative_humidity,
        },
    )
}

pub(super) fn year(climate: &Climate, season_days: usize) -> WeatherYear {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).expect("a date");
    let hours: Vec<Hour> = (0..(season_days + 25) * 24)
        .map(|at| {
            let turn = |period: f64| (at as f64 / period * std::f64::consts::TAU).sin();
            let swing = climate.daily_swing_k * turn(24.0) + climate.spell_swing_k * turn(113.0);
            let t = climate.mean_c + swing;
            // Warm hours are drier, as they are outdoors.
            let humidity = (climate.relative_humidity - 0.02 * swing).clamp(0.05, 1.0);
            Hour {
                starts: first + Duration::hours(i64::try_from(at).expect("few hours")),
                air: MoistAir::from_relative_humidity(t, humidity, PRESSURE_PA).expect("air in range"),
                global_horizontal_w_per_m2: Some((800.0 * turn(24.0)).max(0.0)),
                wind_m_per_s: None,
                mended: false,
            }
        })
        .collect();
    WeatherYear { label: "sines".into(), hours: hours.into(), season_hours: season_days * 24, borrowed_hours: 0 }
}

pub(super) fn rooms() -> impl Strategy<Value = RoomSpec> {
    let air = prop_oneof![Just(AirPath::Recirculating), Just(AirPath::OnceThrough)];
    (
        air,
        prop::collection::vec(1.0..5.0_f64, 1..4),
        2..6_usize,
        0.03..0.25_f64,
        28.0..50.0_f64,
        0.25..0.85_f64,
        0.01..0.3_f64,
        0.5..5.0_f64,
        50.0..900.0_f64,
        fan_banks(),
    )
        .prop_map(|(air, bins, layers, airflow, set_c, humidity, fresh_min, fresh_span, ua, fan_bank)| RoomSpec {
            name: "room".into(),
            air,
            bins: bins.into_iter().map(|capacity_t| BinSpec { capacity_t, floor_area_m2: capacity_t }).collect(),
            layers,
            airflow_m3_per_s_per_tonne: airflow,
            stage_by: StageBy::Mean,
            stages: match air {
                AirPath::Recirculating => vec![stage(0.0, set_c)],
                AirPath::OnceThrough => vec![stage(0.15, set_c - 5.0), stage(0.0, set_c)],
            },
            relative_humidity_max: humidity,
            relative_humidity_when_short: (humidity + 0.3 * airflow).min(0.9),
            fresh_air_min_m3_per_s: fresh_min,
            fresh_air_max_m3_per_s: fresh_min + fresh_span,
            envelope_ua_w_per_k: ua,
            gains_kw: 0.5,
            lights_kw: 0.3,
            steel_kj_per_k: 2000.0,
            bin_fan: BinFan {
                bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
                bulk_density_kg_per_m3: 600.0,
                ducts: QuadraticResistance::from_point(300.0, 0.48).expect("a resistance"),
                fan: FanSpec::default(),
                air_density_kg_per_m3: 1.07,
                air_c: set_c,
            },
            fan_bank,
            fans_off_above_rh: None,
            extraction_kw_per_m3_per_s: 0.3,
        })
}

/// No fans of a known curve, or some in each bin, or some on a plenum; a few of them stall.
fn fan_banks() -> impl Strategy<Value = Option<FanBank>> {
    let bank = (200.0..1500.0_f64, 0.2..3.0_f64, 1.0..4.0_f64, any::<bool>()).prop_map(
        |(shut_off_pa, free_m3_per_s, fans, shared)| FanBank {
            curve: FanCurve::parabola(shut_off_pa, free_m3_per_s, 0.55).expect("a curve"),
            layout: if shared {
                FanLayout::CommonPlenum { main_duct: QuadraticResistance::from_point(100.0, 2.0).expect("a duct") }
            } else {
                FanLayout::PerBin
            },
            fans,
            least_speed: 0.2,
        },
    );
    prop::option::of(bank)
}

fn stage(above_moisture: f64, temperature_c: f64) -> Stage {
    Stage { above_moisture, temperature_c }
}

fn stores() -> impl Strategy<Value = Option<StoreSpec>> {
    let store = (100.0..900.0_f64, 2.0..40.0_f64, 8.0..22.0_f64, 36.0..48.0_f64).prop_map(
        |(ua, capacity_kw, temperature_c, trip_c)| StoreSpec {
            temperature_c,
            relative_humidity: (0.5, 0.62),
            envelope_ua_w_per_k: ua,
            solar_rise_k_per_w_per_m2: 0.008,
            air_changes_per_hour: 0.25,
            volume_m3: 400.0,
            gains_kw: 0.6,
            fan_kw: 1.0,
            lights_kw: 0.4,
            fabric_kj_per_k: 12_000.0,
            nuts_time_constant_h: 24.0,
            doors: (trip_c > 40.0).then_some(Doors { area_m2: 6.0, height_m: 2.5, open_share: 0.05, held_back: 0.0 }),
            units: CoolingUnits {
                count: 2,
                performance: Performance::Curve(Rating { capacity_kw, cop: 3.3 }),
                condenser_air_max_c: trip_c,
                restart_below_k: 3.0,
                cycling_loss: 0.25,
            },
        },
    );
    prop_oneof![3 => store.prop_map(Some), 1 => Just(None)]
}

pub(super) fn plants() -> impl Strategy<Value = Plant> {
    (rooms(), stores(), 0.005..0.3_f64, 1..3_u32).prop_map(|(room, store, rate_per_h, steps_per_hour)| Plant {
        rooms: vec![room],
        hand_overs: Vec::new(),
        setbacks: Vec::new(),
        crops: vec![PlantCrop {
            nuts: Nuts {
                isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
                thin_layer: ThinLayer::Newton { rate_per_h, reference_c: 40.0, activation_kj_per_mol: 30.0 },
                dry_matter_kj_per_kg_k: 1.52,
                held_water_kj_per_kg_k: 4.186,
            },
            stay: StayRules {
                dried_moisture: 0.111,
                spread: 0.02,
                cooling_hours: 4.0,
                foresees_cooling: true,
                fill_within_hours: 24.0,
                least_load_kg: 0.0,
                load_within_hours: 48.0,
                fill_over_hours: 0.0,
                safe_waiting_hours: 48.0,
                mould_activity: 0.7,
                mould_hours: 72.0,
                store_hours: 10.0 * 24.0,
                keeping: Keeping {
                    respiration_w_per_t: 2.0,
                    drift: Some(Drift {
                        isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
                        time_constant_h: 5.0
                            + 2.0 * store.as_ref().map_or(0.0, |store: &StoreSpec| store.envelope_ua_w_per_k),
                    }),
                },
                hot_limits: Vec::new(),
            },
            in_the_way: None,
        }],
        store,
        condenser_air_kg_per_s_per_kw: 0.1,
        place: None,
        steps_per_hour,
    })
}

fn placements() -> impl Strategy<Value = Condensers> {
    let changeover = || (0.0..2.0_f64).prop_map(|need_share| Changeover { need_share });
    let place = prop_oneof![
        Just(Placement::Outdoors),
        Just(Placement::FreshAir),
        Just(Placement::Room),
        changeover().prop_map(Placement::SwitchedRoom),
        changeover().prop_map(Placement::SwitchedFreshAir),
    ];
    let units = prop_oneof![Just(None), Just(Some(1))];
    (place, units, 0.0..4.0_f64, 0.1..1.0_f64).prop_map(|(place, units, short_circuit_k, least_air)| Condensers {
        place,
        units,
        short_circuit_k,
        least_air,
    })
}

fn kind(number: u32) -> Kind {
    match number {
        0 => Kind::Resistance(Resistance),
        1 => Kind::Burner(Burner { carrier: "gas".into(), efficiency: 0.85, electricity_share: 0.01 }),
        2 => Kind::Biomass(Biomass {
            carrier: "shell".into(),
            efficiency: 0.75,
            electricity_share: 0.02,
            own_supply_kwh: Some(2000.0),
        }),
        3 => Kind::HeatPump(HeatPump {
            carnot_fraction: 0.45,
            sink_approach_k: 8.0,
            source_approach_k: 8.0,
            cop_max: 6.0,
            rated_outside_c: 15.0,
            capacity_per_k: 0.02,
            frost_factor: 0.9,
            table: None,
        }),
        6 => Kind::HotWater(HotWater {
            carrier: "chips".into(),
            boiler_efficiency: 0.84,
            distribution_loss: 0.1,
            electricity_share: 0.02,
        }),
        7 => Kind::OpenFlame(OpenFlame {
            carrier: "gas".into(),
            efficiency: 0.97,
            electricity_share: 0.01,
            water_kg_per_kwh: 0.16,
        }),
        4 => Kind::Exchanger(Exchanger {
            effectiveness: Effectiveness::Stated(0.6),
            leak: 0.05,
            fan_kw_per_kg_per_s: 0.4,
            frost_limit_c: 0.0,
        }),
        5 => Kind::WaterHeatPump(WaterHeatPump {
            carnot_fraction: 0.45,
            loop_c: 30.0,
            source_approach_k: 6.0,
            sink_approach_k: 10.0,
            cop_max: 7.0,
        }),
        _ => Kind::Dehumidifier(Dehumidifier {
            coil_air_kg_per_s: 0.8,
            bypass: 0.15,
            apparatus_dew_point_c: 12.0,
            evaporator_approach_k: 5.0,
            condenser_approach_k: 10.0,
            carnot_fraction: 0.45,
            cooling_cop_max: 6.0,
            humidity_min: 0.25,
        }),
    }
}

/// One to three sources of any kind, from nearly nothing to far too much.
pub(super) fn heatings() -> impl Strategy<Value = Heating> {
    let capacity = prop_oneof![0.0..15.0_f64, 15.0..200.0_f64];
    let least = prop_oneof![3 => Just(0.0), 1 => 0.2..0.8_f64];
    let hottest = prop_oneof![3 => Just(None), 1 => (25.0..60.0_f64).prop_map(Some)];
    let source =
        (0..9_u32, capacity, least, hottest).prop_map(|(number, capacity_kw, minimum_load, supply_max_c)| Source {
            minimum_load: if number == 4 { 0.0 } else { minimum_load },
            supply_max_c: if number == 4 { None } else { supply_max_c },
            ..Source::new(format!("source of kind {number}"), capacity_kw, kind(number))
        });
    (placements(), prop::collection::vec(source, 1..4)).prop_map(|(condensers, mut sources)| {
        if sources.iter().any(Source::moves_water) {
            for source in &mut sources {
                source.minimum_load = 0.0;
            }
        }
        // A dehumidifier cannot start a cold room: it needs a heater beside it.
        let is_dehumidifier = |source: &Source| matches!(source.kind, Kind::Dehumidifier(_));
        if sources.iter().any(is_dehumidifier) {
            sources.push(Source::new("start", 30.0, Kind::Resistance(Resistance)));
        }
        Heating { name: "option".into(), condensers, condensers_room: 0, sources, calling: Calling::Ordered }
    })
}

/// Rated capacity times this is the most any source gives: a heat pump in warm air gives 1.3 times its
/// rating.
fn most_of(source: &Source) -> f64 {
    match source.kind {
        Kind::HeatPump(_) => 1.3 * source.capacity_kw,
        _ => source.capacity_kw,
    }
}

/// What every book must satisfy, hour by hour.
pub(super) fn audit(book: &Book, plant: &Plant, heating: &Heating) -> Result<(), TestCaseError> {
    for (at, hour) in book.hours.iter().enumerate() {
        let size = 1e-6 * hour.heat_asked_kwh.max(1.0);
        let lacking = hour.heat_asked_kwh - hour.heat_delivered_kwh;
        prop_assert!(lacking >= -size, "hour {at} is over-heated: {hour:?}");
        prop_assert!((0.0..=lacking.max(0.0)).contains(&hour.heat_short_kwh), "hour {at}");
        prop_assert!(hour.recovered_kwh >= 0.0 && hour.purged_kwh >= 0.0);
        prop_assert!(hour.recovered_kwh <= hour.heat_asked_kwh + size, "hour {at}");
        prop_assert!(hour.recovered_kwh + hour.purged_kwh <= hour.gross_kwh + size, "hour {at}: {hour:?}");
        let mut by_sources = 0.0;
        for (source, kept) in heating.sources.iter().zip(&book.sources) {
            let given = kept.given.get(at).unwrap_or_default();
            let heat = given.heat_kwh;
            prop_assert!(heat >= 0.0 && heat <= most_of(source) * (1.0 + 1e-12));
            prop_assert!(given.fuel_kwh >= 0.0 && given.electricity_kwh >= 0.0);
            by_sources += heat;
        }
        let delivered = by_sources + hour.recovered_kwh;
        prop_assert!((delivered - hour.heat_delivered_kwh).abs() <= size, "hour {at}: {delivered} of {hour:?}");
        let recirculates = |room: &RoomSpec| room.air == AirPath::Recirculating;
        if plant.rooms().all(recirculates) && hour.bins_drying > 0 {
            prop_assert!(hour.air_relative_humidity <= 1.0 && hour.air_c < 110.0);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 240,
        failure_persistence: None,
        // The same seasons each time; change the seed to hunt for others.
        rng_seed: RngSeed::Fixed(31),
        max_shrink_iters: 60,
        ..ProptestConfig::default()
    })]

    /// Water and energy of every hour close to 1e-6 of the season's, the season's water to 1e-9; each
    /// hour's need is met or counted short; no source gives more than it has or less than nothing;
    /// recovered heat is never more than the need nor than the condensers gave off; condensers outdoors
    /// earn nothing.
    #[test]
    fn every_season_closes_and_no_heat_comes_from_nowhere(
        plant in plants(),
        heating in heatings(),
        climate in climates(),
        season_days in 20..40_usize,
        loads in 0.5..6.0_f64,
        moisture in 0.13..0.40_f64,
    ) {
        let capacity: f64 = plant.rooms[0].bins.iter().map(|bin| bin.capacity_t).sum();
        let intake = Intake::Shaped {
            tonnes: capacity * loads,
            shape: IntakeShape::Bell,
            moisture,
load_t: 0.7,
        truck_days: Vec::new(),
        };
        let book = run_option(&plant, &heating, &intake, &year(&climate, season_days));
        let residuals = book.residuals();
        let most = |of: fn(&Entry) -> f64| {
            book.hours.iter().max_by(|a, b| of(a).abs().total_cmp(&of(b).abs()))
        };
        let worst = (
            most(|hour| hour.water_residual_kg),
            most(|hour| hour.energy_residual_kwh),
        );
        prop_assert!(
            residuals.water < 1e-6 && residuals.energy < 1e-6,
            "{residuals:?} {worst:?}"
        );
        prop_assert!(book.season_water_residual().abs() < 1e-9);
        audit(&book, &plant, &heating)?;
        let all = Account::of_all(&book);
        prop_assert!(all.credit.useful_kwh <= all.heat_asked_kwh * (1.0 + 1e-9));
        prop_assert!(all.credit.useful_kwh <= all.credit.gross_kwh * (1.0 + 1e-9));
        if heating.condensers.place == Placement::Outdoors {
            prop_assert_eq!(all.credit, Credit::default());
        }
    }
}
