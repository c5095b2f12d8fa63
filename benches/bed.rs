//! How fast a layer and a season are computed. Run with `cargo bench --bench bed`.
#![allow(missing_docs)]

use chrono::{Duration, NaiveDate};
use divan::{Bencher, black_box};
use dryledger::air::{AirState, MoistAir, saturation_humidity_ratio};
use dryledger::airflow::{BedResistance, FanSpec, QuadraticResistance};
use dryledger::cool_store::Keeping;
use dryledger::cool_store::Placement;
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{AirPath, Bed, BinFan, BinSpec, IntakeShape, Nuts, RoomSpec, Stage, StageBy};
use dryledger::heat::{Dehumidifier, Kind, Resistance, Source};
use dryledger::season::{Calling, Heating, Intake, Plant, PlantCrop, References, StayRules, run_option};
use dryledger::weather::{Hour, WeatherYear};

const PRESSURE_PA: f64 = 95_000.0;

fn main() {
    divan::main();
}

/// Invented coefficients of the size that in-shell nuts have.
fn nuts() -> Nuts {
    Nuts {
        isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
        thin_layer: ThinLayer::Newton { rate_per_h: 0.02, reference_c: 40.0, activation_kj_per_mol: 30.0 },
        dry_matter_kj_per_kg_k: 1.52,
        held_water_kj_per_kg_k: 4.186,
    }
}

/// A hundred hours of one bed of 12 layers under air whose humidity swings through the day: 1200
/// layer-steps for each run.
#[divan::bench]
fn hundred_hours_of_twelve_layers(bencher: Bencher) {
    let nuts = nuts();
    bencher.with_inputs(|| Bed::new(12, 4680.0, 0.282, 20.0)).bench_local_refs(|bed| {
        for hour in 0..100 {
            let phase = f64::from(hour) / 24.0 * std::f64::consts::TAU;
            let inlet = AirState { dry_bulb_c: 38.0, humidity_ratio: 0.015 + 0.004 * phase.sin() };
            black_box(bed.try_step(&nuts, inlet, 1600.0, PRESSURE_PA, 1.0));
            bed.accept();
        }
    });
}

/// Weather of sines, 184 days and 45 more.
fn weather() -> WeatherYear {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).expect("a date");
    let hours = (0..229_i64 * 24)
        .map(|at| {
            let turn = |period: f64| at as f64 / period * std::f64::consts::TAU;
            let year = turn(365.0 * 24.0).sin();
            let t = 20.0 - 3.5 * year - 6.0 * (turn(24.0) - 0.8).cos();
            let w = (0.0105 - 0.002 * year).min(saturation_humidity_ratio(t, PRESSURE_PA));
            Hour {
                starts: first + Duration::hours(at),
                air: MoistAir::from_humidity_ratio(t, w, PRESSURE_PA).expect("air in range"),
                global_horizontal_w_per_m2: None,
                wind_m_per_s: None,
                mended: false,
            }
        })
        .collect();
    WeatherYear { label: "sines".into(), hours, season_hours: 184 * 24, borrowed_hours: 0 }
}

/// Bins of 6 t.
fn plant(bins: usize, layers: usize) -> Plant {
    let scale = bins as f64 / 10.0;
    Plant {
        rooms: vec![RoomSpec {
            name: "room".into(),
            air: AirPath::Recirculating,
            bins: vec![BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 }; bins],
            layers,
            airflow_m3_per_s_per_tonne: 0.08,
            stage_by: StageBy::Mean,
            stages: vec![Stage { above_moisture: 0.0, temperature_c: 38.0 }],
            relative_humidity_max: 0.45,
            relative_humidity_when_short: 0.7,
            fresh_air_min_m3_per_s: 0.5 * scale,
            fresh_air_max_m3_per_s: 12.0 * scale,
            envelope_ua_w_per_k: 900.0 * scale,
            gains_kw: 0.5,
            lights_kw: 0.3,
            steel_kj_per_k: 4000.0 * scale,
            bin_fan: BinFan {
                bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
                bulk_density_kg_per_m3: 600.0,
                ducts: QuadraticResistance::from_point(300.0, 0.48).expect("a resistance"),
                fan: FanSpec::default(),
                air_density_kg_per_m3: 1.07,
                air_c: 38.0,
            },
            fan_bank: None,
            fans_off_above_rh: None,
            extraction_kw_per_m3_per_s: 0.3,
        }],
        hand_overs: Vec::new(),
        setbacks: Vec::new(),
        crops: vec![PlantCrop {
            nuts: nuts(),
            stay: StayRules {
                dried_moisture: 0.111,
                spread: 0.015,
                cooling_hours: 4.0,
                foresees_cooling: true,
                fill_within_hours: 24.0,
                least_load_kg: 0.0,
                load_within_hours: 48.0,
                fill_over_hours: 0.0,
                safe_waiting_hours: 48.0,
                mould_activity: 0.7,
                mould_hours: 72.0,
                store_hours: 45.0 * 24.0,
                keeping: Keeping { respiration_w_per_t: 2.0, drift: None },
                hot_limits: Vec::new(),
            },
            in_the_way: None,
        }],
        store: None,
        condenser_air_kg_per_s_per_kw: 0.1,
        place: None,
        steps_per_hour: 1,
    }
}

/// One option through one season of ten bins of 12 layers: heat that suffices, and heat that is short in
/// every hour; the last is a fifth of the need.
#[divan::bench(args = [160.0, 60.0, 30.0])]
fn season_of_ten_bins(bencher: Bencher, capacity_kw: f64) {
    season(bencher, (10, 12), capacity_kw, 640.0);
}

/// The same of twenty bins of 20 layers, with twice the nuts and heat that suffices.
#[divan::bench]
fn season_of_twenty_bins_of_twenty_layers(bencher: Bencher) {
    season(bencher, (20, 20), 320.0, 1280.0);
}

fn season(bencher: Bencher, (bins, layers): (usize, usize), capacity_kw: f64, tonnes: f64) {
    let (heating, intake) = (electric("electric", capacity_kw), nuts_of(tonnes));
    let (plant, year) = (plant(bins, layers), weather());
    bencher.bench_local(|| run_option(black_box(&plant), &heating, &intake, &year));
}

/// One option more on a path that another has laid.
#[divan::bench]
fn further_option_on_a_path(bencher: Bencher) {
    let (plant, intake, year) = (plant(10, 12), nuts_of(640.0), weather());
    let references = References::default();
    references.run_beside_others(&plant, &electric("first", 160.0), &intake, &year);
    let further = electric("further", 170.0);
    bencher.bench_local(|| references.run_beside_others(black_box(&plant), &further, &intake, &year));
}

/// A season of ten bins that a dehumidifier dries, with heaters beside it.
#[divan::bench]
fn season_of_a_dehumidifier(bencher: Bencher) {
    let dehumidifier = Dehumidifier {
        coil_air_kg_per_s: 3.0,
        bypass: 0.15,
        apparatus_dew_point_c: 12.0,
        evaporator_approach_k: 5.0,
        condenser_approach_k: 10.0,
        carnot_fraction: 0.45,
        cooling_cop_max: 6.0,
        humidity_min: 0.25,
    };
    let mut heating = electric("dehumidifier", 160.0);
    heating.sources.insert(0, Source::new("dehumidifier", 60.0, Kind::Dehumidifier(dehumidifier)));
    let (plant, intake, year) = (plant(10, 12), nuts_of(640.0), weather());
    bencher.bench_local(|| run_option(black_box(&plant), &heating, &intake, &year));
}

fn electric(name: &str, capacity_kw: f64) -> Heating {
    Heating {
        name: name.into(),
        condensers: Placement::Outdoors.into(),
        condensers_room: 0,
        calling: Calling::Ordered,
        sources: vec![Source::new("heaters", capacity_kw, Kind::Resistance(Resistance))],
    }
}

fn nuts_of(tonnes: f64) -> Intake {
    Intake::Shaped { tonnes, shape: IntakeShape::Bell, moisture: 0.282, load_t: 3.0, truck_days: Vec::new() }
}
