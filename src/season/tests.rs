use super::*;
use crate::air::MoistAir;
use crate::airflow::{BedResistance, FanSpec, QuadraticResistance};
use crate::cool_store::{CoolingUnits, Placement, StoreSpec};
use crate::crop::{Isotherm, ThinLayer, water::dry_basis_of_percent};
use crate::dryer::{AirPath, BinFan, BinSpec, IntakeShape, Nuts, RoomSpec, Stage};
use crate::heat::{Kind, Resistance, Source};
use crate::ledger::Account;
use crate::weather::{Hour, WeatherYear};
use chrono::{Duration, NaiveDate};

/// Weather of sines: a yearly and a daily swing, humidity ratio nearly constant through the day.
fn year(season_days: usize, tail_days: usize) -> WeatherYear {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1)
        .unwrap()
        .and_hms_opt(0, 0, 0)
        .unwrap();
    let hours = (0..(season_days + tail_days) * 24)
        .map(|at| {
            let day = (at / 24) as f64;
            let hour = (at % 24) as f64;
            let mean = 20.0 - 3.5 * (day / 365.0 * std::f64::consts::TAU).sin();
            let t = mean - 6.0 * ((hour - 3.0) / 24.0 * std::f64::consts::TAU).cos();
            let w = 0.0105 - 0.002 * (day / 365.0 * std::f64::consts::TAU).sin();
            let sat = crate::air::saturation_humidity_ratio(t, 95_000.0);
            Hour {
                starts: first + Duration::hours(i64::try_from(at).unwrap()),
                air: MoistAir::from_humidity_ratio(t, w.min(sat), 95_000.0).unwrap(),
                global_horizontal_w_per_m2: None,
                wind_m_per_s: None,
                mended: false,
            }
        })
        .collect();
    WeatherYear {
        label: "sines".into(),
        hours,
        season_hours: season_days * 24,
        borrowed_hours: 0,
    }
}

fn plant() -> Plant {
    Plant {
        room: RoomSpec {
            name: "room".into(),
            air: AirPath::Recirculating,
            bins: vec![
                BinSpec {
                    capacity_t: 6.0,
                    floor_area_m2: 5.0
                };
                10
            ],
            layers: 12,
            airflow_m3_per_s_per_tonne: 0.08,
            stages: vec![Stage {
                above_moisture: 0.0,
                temperature_c: 38.0,
            }],
            relative_humidity_max: 0.45,
            fresh_air_min_m3_per_s: 0.5,
            fresh_air_max_m3_per_s: 12.0,
            envelope_ua_w_per_k: 900.0,
            gains_kw: 0.5,
            lights_kw: 0.3,
            steel_kj_per_k: 4000.0,
            bin_fan: BinFan {
                bed: BedResistance::Ergun {
                    diameter_m: 0.0237,
                    porosity: 0.42,
                    shape_factor: 1.5,
                },
                bulk_density_kg_per_m3: 600.0,
                ducts: QuadraticResistance::from_point(300.0, 0.48).unwrap(),
                fan: FanSpec::default(),
                air_density_kg_per_m3: 1.07,
                air_c: 38.0,
            },
            extraction_kw_per_m3_per_s: 0.3,
        },
        nuts: Nuts {
            isotherm: Isotherm::ModifiedHenderson {
                k: 2.694697e-4,
                n: 1.520222,
                c: 113.7452,
            },
            thin_layer: ThinLayer::Newton {
                rate_per_h: 0.02,
                reference_c: 40.0,
                activation_kj_per_mol: 30.0,
            },
            dry_matter_kj_per_kg_k: 1.52,
            held_water_kj_per_kg_k: 4.186,
        },
        stay: StayRules {
            dried_moisture: dry_basis_of_percent(10.0),
            spread: 0.015,
            cooling_hours: 4.0,
            fill_within_hours: 24.0,
            safe_waiting_hours: 48.0,
            mould_activity: 0.7,
            mould_hours: 72.0,
            store_hours: 45.0 * 24.0,
            hot_limits: Vec::new(),
        },
        store: Some(StoreSpec {
            temperature_c: 20.0,
            relative_humidity: (0.5, 0.62),
            envelope_ua_w_per_k: 650.0,
            solar_rise_k_per_w_per_m2: 0.008,
            air_changes_per_hour: 0.25,
            volume_m3: 1800.0,
            gains_kw: 0.6,
            fan_kw: 1.0,
            lights_kw: 0.4,
            fabric_kj_per_k: 36_000.0,
            nuts_time_constant_h: 24.0,
            respiration_w_per_t: 2.0,
            units: CoolingUnits {
                count: 3,
                rated_capacity_kw: 16.0,
                rated_cop: 3.3,
                condenser_air_max_c: 46.0,
                cycling_loss: 0.25,
            },
        }),
        condenser_air_kg_per_s_per_kw: 0.1,
        steps_per_hour: 1,
    }
}

fn electric(condensers: Placement, capacity_kw: f64) -> Heating {
    Heating {
        name: "electric".into(),
        condensers,
        sources: vec![Source {
            name: "heaters".into(),
            capacity_kw,
            kind: Kind::Resistance(Resistance),
        }],
    }
}

fn intake(tonnes: f64) -> Intake {
    Intake::Shaped {
        tonnes,
        shape: IntakeShape::Bell,
        moisture: dry_basis_of_percent(22.0),
    }
}

#[test]
fn smoke() {
    for (condensers, kw) in [
        (Placement::Outdoors, 160.0),
        (Placement::Room, 160.0),
        (Placement::FreshAir, 160.0),
        (Placement::Outdoors, 30.0),
    ] {
        let start = std::time::Instant::now();
        let book = run_option(
            &plant(),
            &electric(condensers, kw),
            &intake(640.0),
            &year(184, 90),
        );
        let all = Account::of_all(&book);
        eprintln!(
            "{condensers:?} {kw} {:?} hours {} batches {}\n  need {:.0} delivered {:.0} recovered {:.0} gross {:.0} penalty {:.0} purged {:.0} fans {:.0}+{:.0} store {:.0} cooling {:.0}\n  evaporated {:.0} MJ/kg {:.2} purchased {:.2} peak {:.1} vent {:.0} env {:.0} warm {:.0} bind {:.0} fanheat {:.0}\n  tonnage {:?}\n  residuals {:?} water {:e}\n  guards {:?}",
            start.elapsed(),
            all.hours,
            book.batches.len(),
            all.heat_need_kwh,
            all.heat_delivered_kwh,
            all.credit.useful_kwh,
            all.credit.gross_kwh,
            all.credit.penalty_kwh,
            all.purged_kwh,
            all.bin_fan_kwh,
            all.extraction_fan_kwh,
            all.store_kwh,
            all.store_cooling_kwh,
            all.evaporated_kg,
            all.mj_per_kg_water().unwrap(),
            all.purchased_mj_per_kg_water().unwrap(),
            all.electric_peak_kw,
            all.ventilation_kwh,
            all.envelope_kwh,
            all.warming_kwh,
            all.binding_kwh,
            all.fan_heat_kwh,
            book.tonnage,
            book.residuals(),
            book.season_water_residual(),
            book.guards
        );
        let b = &book.batches[book.batches.len() / 2];
        eprintln!(
            "  batch {b:?} hours {:?}",
            b.out_hour.map(|o| o - b.loaded_hour)
        );
        let mean_dry = book
            .batches
            .iter()
            .filter_map(|b| b.dry_hour.map(|d| d - b.loaded_hour))
            .sum::<usize>()
            / book.batches.len();
        eprintln!("  mean hours to dry {mean_dry}");
    }
}
