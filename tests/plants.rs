//! A small invented plant and its weather, for tests that live through seasons.

use chrono::{Duration, NaiveDate};
use dryledger::air::MoistAir;
use dryledger::airflow::{BedResistance, FanSpec, QuadraticResistance};
use dryledger::calendar::{Days, TimeOfUse, Window};
use dryledger::cool_store::{Condensers, CoolingUnits, Keeping, Performance, Rating, StoreSpec};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{AirPath, BinFan, BinSpec, IntakeShape, Nuts, RoomSpec, Stage, StageBy};
use dryledger::heat::{Kind, Resistance, Source};
use dryledger::season::{Calling, Heating, HourPrices, Intake, Plant, PlantCrop, StayRules};
use dryledger::weather::solar::Place;
use dryledger::weather::{Hour, WeatherYear};

const SEASON_DAYS: usize = 25;
const TAIL_DAYS: usize = 30;

/// Sines through the day from the first of March, sun by day.
pub(crate) fn year() -> WeatherYear {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).expect("a date");
    let hours: Vec<Hour> = (0..(SEASON_DAYS + TAIL_DAYS) * 24)
        .map(|at| {
            let turn = |period: f64, lag: f64| ((at as f64 - lag) / period * std::f64::consts::TAU).sin();
            let t = 19.0 + 6.0 * turn(24.0, 9.0) + 2.0 * turn(113.0, 0.0);
            let humidity = (0.65 - 0.03 * (t - 19.0)).clamp(0.2, 1.0);
            Hour {
                starts: first + Duration::hours(i64::try_from(at).expect("few hours")),
                air: MoistAir::from_relative_humidity(t, humidity, 95_000.0).expect("air"),
                global_horizontal_w_per_m2: Some((800.0 * turn(24.0, 6.0)).max(0.0)),
                wind_m_per_s: None,
                mended: false,
            }
        })
        .collect();
    WeatherYear { label: "sines".into(), hours: hours.into(), season_hours: SEASON_DAYS * 24, borrowed_hours: 0 }
}

/// Invented, south of the equator.
pub(crate) fn place() -> Place {
    Place { latitude: -27.0, longitude: 150.0, utc_offset_h: 10.0 }
}

/// Electricity that is dear by day, from 7 to 22.
pub(crate) fn dear_by_day() -> HourPrices {
    let time = |text: &str| text.parse().expect("a time");
    let day = Window { season: None, days: Days::ALL, from: time("07:00"), until: time("22:00") };
    let times = TimeOfUse { kinds: vec![vec![day]], ..TimeOfUse::default() };
    HourPrices { times, per_kwh: vec![0.40, 0.05] }
}

/// A recirculating room of three bins at 38 °C and 45 % RH, and a store at 20 °C.
pub(crate) fn plant() -> Plant {
    Plant {
        rooms: vec![room()],
        hand_overs: Vec::new(),
        setbacks: Vec::new(),
        crops: vec![PlantCrop {
            nuts: Nuts {
                isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
                thin_layer: ThinLayer::Newton { rate_per_h: 0.02, reference_c: 40.0, activation_kj_per_mol: 30.0 },
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
                store_hours: 20.0 * 24.0,
                keeping: Keeping { respiration_w_per_t: 2.0, drift: None },
                hot_limits: Vec::new(),
            },
            in_the_way: None,
        }],
        store: Some(store()),
        condenser_air_kg_per_s_per_kw: 0.1,
        place: None,
        steps_per_hour: 1,
    }
}

/// The same, with outside air that passes once.
pub(crate) fn once_through() -> Plant {
    let mut plant = plant();
    plant.rooms[0].air = AirPath::OnceThrough;
    plant
}

fn room() -> RoomSpec {
    RoomSpec {
        name: "room".into(),
        air: AirPath::Recirculating,
        bins: vec![BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 }; 3],
        layers: 6,
        airflow_m3_per_s_per_tonne: 0.08,
        stage_by: StageBy::Mean,
        stages: vec![Stage { above_moisture: 0.0, temperature_c: 38.0 }],
        relative_humidity_max: 0.45,
        relative_humidity_when_short: 0.7,
        fresh_air_min_m3_per_s: 0.1,
        fresh_air_max_m3_per_s: 5.0,
        envelope_ua_w_per_k: 300.0,
        gains_kw: 0.5,
        lights_kw: 0.3,
        steel_kj_per_k: 2000.0,
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
    }
}

fn store() -> StoreSpec {
    StoreSpec {
        temperature_c: 18.0,
        relative_humidity: (0.5, 0.62),
        envelope_ua_w_per_k: 400.0,
        solar_rise_k_per_w_per_m2: 0.008,
        air_changes_per_hour: 0.25,
        volume_m3: 600.0,
        gains_kw: 0.6,
        fan_kw: 1.0,
        lights_kw: 0.4,
        fabric_kj_per_k: 12_000.0,
        nuts_time_constant_h: 24.0,
        doors: None,
        units: CoolingUnits {
            count: 3,
            performance: Performance::Curve(Rating { capacity_kw: 6.0, cop: 3.3 }),
            condenser_air_max_c: 48.0,
            restart_below_k: 3.0,
            cycling_loss: 0.25,
        },
    }
}

/// Sixty tonnes at 22 % w.b.
pub(crate) fn intake() -> Intake {
    Intake::Shaped { tonnes: 60.0, shape: IntakeShape::Bell, moisture: 0.282, load_t: 3.0, truck_days: Vec::new() }
}

/// A source that goes as far down as it is asked to.
pub(crate) fn source(name: &str, capacity_kw: f64, kind: Kind) -> Source {
    Source::new(name, capacity_kw, kind)
}

/// Sources in the order of their list.
pub(crate) fn heating(condensers: impl Into<Condensers>, sources: Vec<Source>) -> Heating {
    Heating {
        name: "option".into(),
        condensers: condensers.into(),
        condensers_room: 0,
        sources,
        calling: Calling::Ordered,
    }
}

/// Electric heaters alone.
pub(crate) fn electric(condensers: impl Into<Condensers>, capacity_kw: f64) -> Heating {
    let heaters = source("heaters", capacity_kw, Kind::Resistance(Resistance));
    heating(condensers, vec![heaters])
}
