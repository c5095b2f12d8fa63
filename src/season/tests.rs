use super::run::Site;
use super::*;
use crate::air::MoistAir;
use crate::airflow::{BedResistance, FanSpec, QuadraticResistance};
use crate::cool_store::{CoolingUnits, Keeping, Performance, Placement, Rating, StoreSpec};
use crate::crop::water::dry_basis_of_percent;
use crate::dryer::{AirPath, BinFan, BinSpec, IntakeShape, Nuts, RoomSpec, Stage, StageBy};
use crate::heat::{Kind, Resistance, Source};
use crate::ledger::{Account, BatchRecord, Book, Credit, Detail, GuardKind};
use crate::weather::{Hour, WeatherYear};
use chrono::{Duration, NaiveDate};
use std::sync::Arc;

/// Weather of sines: a yearly and a daily swing, humidity ratio nearly constant through the day.
fn year(season_days: usize, tail_days: usize) -> WeatherYear {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
    let hours: Vec<Hour> = (0..(season_days + tail_days) * 24)
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
    WeatherYear { label: "sines".into(), hours: hours.into(), season_hours: season_days * 24, borrowed_hours: 0 }
}

const KEEPING: Keeping = Keeping { respiration_w_per_t: 2.0, drift: None };

pub(super) fn plant() -> Plant {
    Plant {
        rooms: vec![RoomSpec {
            name: "room".into(),
            air: AirPath::Recirculating,
            bins: vec![BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 }; 10],
            layers: 12,
            airflow_m3_per_s_per_tonne: 0.08,
            stage_by: StageBy::Mean,
            stages: vec![Stage { above_moisture: 0.0, temperature_c: 38.0 }],
            relative_humidity_max: 0.45,
            relative_humidity_when_short: 0.7,
            fresh_air_min_m3_per_s: 0.5,
            fresh_air_max_m3_per_s: 12.0,
            envelope_ua_w_per_k: 900.0,
            gains_kw: 0.5,
            lights_kw: 0.3,
            steel_kj_per_k: 4000.0,
            bin_fan: BinFan {
                bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
                bulk_density_kg_per_m3: 600.0,
                ducts: QuadraticResistance::from_point(300.0, 0.48).unwrap(),
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
            nuts: Nuts::INVENTED,
            stay: StayRules {
                dried_moisture: dry_basis_of_percent(10.0),
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
                keeping: KEEPING,
                hot_limits: Vec::new(),
            },
            in_the_way: None,
        }],
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
            doors: None,
            units: CoolingUnits {
                count: 3,
                performance: Performance::Curve(Rating { capacity_kw: 16.0, cop: 3.3 }),
                condenser_air_max_c: 46.0,
                restart_below_k: 3.0,
                cycling_loss: 0.25,
            },
        }),
        condenser_air_kg_per_s_per_kw: 0.1,
        place: None,
        steps_per_hour: 1,
    }
}

pub(super) fn electric(condensers: Placement, capacity_kw: f64) -> Heating {
    Heating {
        name: "electric".into(),
        condensers: condensers.into(),
        condensers_room: 0,
        sources: vec![Source::new("heaters", capacity_kw, Kind::Resistance(Resistance))],
        calling: Calling::Ordered,
    }
}

fn intake(tonnes: f64) -> Intake {
    Intake::Shaped {
        tonnes,
        shape: IntakeShape::Bell,
        moisture: dry_basis_of_percent(22.0),
        load_t: 3.0,
        truck_days: Vec::new(),
    }
}

/// The season of the demonstration plant: 640 t in 184 days.
fn season(plant: &Plant, condensers: Placement, capacity_kw: f64) -> Book {
    let heating = electric(condensers, capacity_kw);
    run_option(plant, &heating, &intake(640.0), &year(184, 90))
}

fn hours_to_dry(book: &Book) -> f64 {
    let hours: Vec<f64> = book.batches.iter().filter_map(BatchRecord::hours_to_dry).collect();
    hours.iter().sum::<f64>() / hours.len() as f64
}

fn guard(book: &Book, kind: GuardKind) -> Option<f64> {
    book.guards.iter().find(|guard| guard.kind == kind).map(|guard| guard.hours)
}

/// Plausible: six days for nuts of this rate at 38 °C (the thin layer alone takes 50 h), 7 to 10 MJ per
/// kg of water (published dryers without heat recovery: 5 to 10), and every kilogram found again.
#[test]
fn enough_heat_dries_the_whole_intake_in_plausible_time_and_energy() {
    let book = season(&plant(), Placement::Outdoors, 160.0);
    let all = Account::of_all(&book);
    let t = &book.tonnage;
    assert!((t.received_kg - 640_000.0).abs() < 1e-3);
    assert_eq!(t.left_kg, 0.0);
    assert!(t.dried_water_kg / (t.dried_kg - t.dried_water_kg) < dry_basis_of_percent(10.0));
    assert!((100.0..200.0).contains(&hours_to_dry(&book)));
    let specific = all.mj_per_kg_water().unwrap();
    assert!((7.0..10.0).contains(&specific), "{specific}");
    assert_eq!(guard(&book, GuardKind::HeatShort), None);
    assert!((all.heat_need_kwh - all.heat_delivered_kwh).abs() < 1e-9 * all.heat_need_kwh);
    assert!(book.residuals().water < 1e-9 && book.residuals().energy < 1e-9);
    assert!(book.season_water_residual().abs() < 1e-12);
}

#[test]
fn the_air_stays_at_its_limits_while_heat_suffices() {
    let book = season(&plant(), Placement::Outdoors, 160.0);
    for hour in book.hours.iter().filter(|hour| hour.bins_drying > 0) {
        assert!((hour.air_c - 38.0).abs() < 1e-9);
        assert!(hour.air_relative_humidity < 0.45 + 1e-6);
    }
}

/// Each halving below what the peak takes dries later, delivers less, and counts more hours short.
#[test]
fn halving_the_heater_stretches_the_season() {
    let mut before = season(&plant(), Placement::Outdoors, 160.0);
    for capacity_kw in [80.0, 40.0, 20.0] {
        let book = season(&plant(), Placement::Outdoors, capacity_kw);
        assert!(hours_to_dry(&book) > hours_to_dry(&before), "{capacity_kw}");
        assert!(book.tonnage.waiting_tonne_days >= before.tonnage.waiting_tonne_days);
        let short = |book: &Book| guard(book, GuardKind::HeatShort).unwrap_or(0.0);
        assert!(short(&book) > short(&before), "{capacity_kw}");
        for draw in &book.sources[0].given {
            assert!(draw.heat_kwh <= capacity_kw);
        }
        before = book;
    }
}

/// The need is the plant's, to the last bit, whatever heats it: of a heater that is never short its own march's,
/// of all others that of ample heat, which is the same march.
#[test]
fn the_heat_need_is_the_plants_whatever_heats_it() {
    let (plant, intake, year) = (plant(), intake(60.0), year(20, 90));
    let run = |references: &References, heating: &Heating| references.run_option(&plant, heating, &intake, &year);
    let enough = electric(Placement::Outdoors, 160.0);
    let of = |book: &Book| book.reference.as_ref().clone();
    let own = of(&run(&References::default(), &enough));
    let need: f64 = own.need_kwh.iter().sum();
    for kw in [40.0, 20.0] {
        for place in [Placement::Outdoors, Placement::Room] {
            // Alone, so that ample heat is run for it.
            let short = run(&References::default(), &electric(place, kw));
            assert_eq!(of(&short), own, "{kw}");
            let all = Account::of_all(&short);
            assert_eq!(all.heat_need_kwh.to_bits(), need.to_bits(), "{kw}");
            assert!(all.heat_short_kwh > 0.0 && all.heat_short_kwh < need);
            assert!(all.heat_asked_kwh > need, "rewarming is asked for anew every hour");
        }
    }
}

/// A shortfall counts what of the need lies above the heater, at least, and grows as the heater shrinks, with
/// kelvin-hours and the time that drying takes.
#[test]
fn what_is_short_grows_as_the_heater_shrinks() {
    let references = References::default();
    let (plant, intake, year) = (plant(), intake(60.0), year(20, 90));
    let mut before: Option<(Account, f64)> = None;
    for kw in [160.0, 40.0, 28.0, 20.0] {
        let book = references.run_option(&plant, &electric(Placement::Outdoors, kw), &intake, &year);
        let all = Account::of_all(&book);
        let above: f64 = book.reference.need_kwh.iter().map(|need| (need - kw).max(0.0)).sum();
        assert!(all.heat_short_kwh >= above, "{kw}: {} {above}", all.heat_short_kwh);
        let hours = hours_to_dry(&book);
        if let Some((less, sooner)) = before {
            assert_eq!(all.heat_need_kwh, less.heat_need_kwh);
            assert!(all.heat_short_kwh > less.heat_short_kwh, "{kw}");
            assert!(all.below_set_kh > less.below_set_kh, "{kw}");
            assert!(hours > sooner, "{kw}");
        } else {
            assert_eq!((all.heat_short_kwh, all.below_set_kh, above), (0.0, 0.0, 0.0));
        }
        before = Some((all, hours));
    }
}

/// The same plant by value, not by place, and without its store: one reference; another plant has another.
#[test]
fn references_are_found_by_what_a_plant_is() {
    let references = References::default();
    let (intake, year) = (intake(60.0), year(20, 90));
    let of = |plant: &Plant| {
        let heating = electric(Placement::Room, 40.0);
        references.run_option(plant, &heating, &intake, &year).reference
    };
    let first = of(&plant());
    assert!(Arc::ptr_eq(&first, &of(&plant())));
    let mut warmer_store = plant();
    warmer_store.store.as_mut().expect("a store").temperature_c = 22.0;
    assert!(Arc::ptr_eq(&first, &of(&warmer_store)));
    let mut leakier = plant();
    leakier.rooms[0].envelope_ua_w_per_k *= 2.0;
    assert!(of(&leakier).need_kwh.iter().sum::<f64>() > first.need_kwh.iter().sum::<f64>());
}

/// Weather that stops two days into the time to dry says so; weather that lasts blames the plant.
#[test]
fn nuts_left_when_the_weather_ends_are_laid_to_the_weather() {
    let cold = electric(Placement::Outdoors, 1.0);
    let run = |tail_days: usize| run_option(&plant(), &cold, &intake(400.0), &year(20, tail_days));
    let end = run(2).weather_ended.expect("nuts are left");
    assert_eq!((end.wanted_until - end.at).num_days(), 43);
    let lasting = run(90);
    assert!(lasting.tonnage.left_kg > 0.0);
    assert_eq!(lasting.weather_ended, None);
}

/// When heat is short, all of it is used: to 1e-4 of the capacity.
#[test]
fn a_heater_that_is_too_small_gives_all_it_has() {
    let book = season(&plant(), Placement::Outdoors, 40.0);
    let short = book.hours.iter().filter(|hour| hour.heat_short_kwh > 1.0);
    let mut hours = 0;
    for hour in short {
        assert!((hour.heat_delivered_kwh / 40.0 - 1.0).abs() < 1e-4);
        assert!(hour.air_c < 38.0 || hour.air_relative_humidity > 0.45);
        hours += 1;
    }
    assert!(hours > 100);
}

#[test]
fn condenser_heat_is_credited_only_where_it_can_be_used() {
    let outdoors = Account::of_all(&season(&plant(), Placement::Outdoors, 160.0));
    assert_eq!(outdoors.credit, Credit::default());

    let room = Account::of_all(&season(&plant(), Placement::Room, 160.0));
    let fresh = Account::of_all(&season(&plant(), Placement::FreshAir, 160.0));
    for account in [&room, &fresh] {
        let credit = account.credit;
        assert!(credit.useful_kwh > 0.0 && credit.useful_kwh <= credit.gross_kwh);
        assert!(credit.useful_kwh <= account.heat_need_kwh);
        // Electric heaters: what is recovered is what is not purchased.
        assert!((credit.displaced_kwh - credit.useful_kwh).abs() < 1e-6 * credit.useful_kwh);
        assert!((account.heat_need_kwh / outdoors.heat_need_kwh - 1.0).abs() < 1e-9);
    }
    // Condensers in a warm room work harder; in the fresh air they breathe the same air as outdoors.
    assert!(room.credit.penalty_kwh > 0.0);
    assert!(fresh.credit.penalty_kwh.abs() < 1e-9 * fresh.store_kwh);
}

#[test]
fn a_lower_humidity_limit_takes_more_air_and_heat_and_less_time() {
    let damp = season(&plant(), Placement::Outdoors, 400.0);
    let mut drier = plant();
    drier.rooms[0].relative_humidity_max = 0.35;
    let dry = season(&drier, Placement::Outdoors, 400.0);
    assert!(hours_to_dry(&dry) < hours_to_dry(&damp));
    let (dry, damp) = (Account::of_all(&dry), Account::of_all(&damp));
    assert!(dry.heat_need_kwh > damp.heat_need_kwh);
    assert!(dry.ventilation_kwh > damp.ventilation_kwh);
}

/// Measured on this plant, heat delivered in the season and mean hours to dry:
///
/// | layers | steps per hour | heat, kWh | change | hours |
/// |-------:|---------------:|----------:|-------:|------:|
/// | 12 | 1 | 211192 | | 148.2 |
/// | 12 | 2 | 211207 | +0.01 % | 148.2 |
/// | 24 | 1 | 212313 | +0.53 % | 149.8 |
/// | 24 | 2 | 212316 | +0.53 % | 149.8 |
/// | 48 | 4 | 212825 | +0.77 % | 150.5 |
#[test]
fn halving_the_step_and_doubling_the_layers_moves_the_energy_by_less_than_one_percent() {
    let heat = |layers, steps_per_hour| {
        let mut plant = plant();
        plant.rooms[0].layers = layers;
        plant.steps_per_hour = steps_per_hour;
        Account::of_all(&season(&plant, Placement::Outdoors, 160.0)).heat_delivered_kwh
    };
    let default = heat(12, 1);
    for (layers, steps_per_hour) in [(12, 2), (24, 1), (24, 2)] {
        let change = heat(layers, steps_per_hour) / default - 1.0;
        assert!(change.abs() < 0.01, "{layers} {steps_per_hour}: {change}");
    }
}

#[test]
fn books_come_by_option_and_then_by_year() {
    let heatings = [
        electric(Placement::Outdoors, 90.0),
        Heating { name: "in the room".into(), ..electric(Placement::Room, 90.0) },
    ];
    let mut years = [year(20, 30), year(20, 30)];
    years[1].label = "again".into();
    let books = run_all(&plant(), &heatings, &intake(60.0), &years, || ());
    let names: Vec<Vec<(&str, &str)>> = books
        .iter()
        .map(|years| years.iter().map(|book| (book.option.as_str(), book.year.as_str())).collect())
        .collect();
    assert_eq!(
        names,
        [[("electric", "sines"), ("electric", "again")], [("in the room", "sines"), ("in the room", "again")]]
    );
    assert_eq!(books[0][0].hours, books[0][1].hours);
}

#[test]
fn a_site_without_a_store_ends_when_the_last_batch_is_out() {
    let mut plant = plant();
    plant.store = None;
    let heating = electric(Placement::Outdoors, 160.0);
    let book = run_option(&plant, &heating, &intake(60.0), &year(20, 90));
    let last = book.batches.iter().filter_map(BatchRecord::bin_empty_hour).max();
    assert_eq!(book.tonnage.left_kg, 0.0);
    assert!(book.hours.len() >= 20 * 24 && book.hours.len() <= last.unwrap().max(20 * 24) + 1);
    assert_eq!(Account::of_all(&book).store_kwh, 0.0);
}

/// Fresh air costs heat, so a room short of heat grows damper before it grows colder. Measured on this
/// plant with 60 kW: the ceiling of 70 % dries a batch in 158 h, no ceiling above the limit in 209 h.
#[test]
fn short_of_heat_damper_air_dries_sooner_than_colder_air() {
    let book = season(&plant(), Placement::Outdoors, 60.0);
    let mut held = 0;
    for hour in book.hours.iter().filter(crate::ledger::Entry::is_short) {
        // Only at the ceiling, or with the least fresh air, does the temperature give way.
        let least_air = hour.fresh_air_kg_per_s < 0.6;
        assert!(hour.air_relative_humidity < 0.7 + 1e-6 || least_air);
        let dampest = hour.air_relative_humidity > 0.7 - 1e-3 || least_air;
        assert!(hour.air_c > 38.0 - 1e-9 || dampest, "{hour:?}");
        held += usize::from(hour.air_c > 38.0 - 1e-9);
    }
    assert!(held > 100, "{held}");
    let mut colder = plant();
    colder.rooms[0].relative_humidity_when_short = colder.rooms[0].relative_humidity_max;
    let colder = season(&colder, Placement::Outdoors, 60.0);
    let (damp, cold) = (hours_to_dry(&book), hours_to_dry(&colder));
    assert!(damp < 0.8 * cold, "{damp} {cold}");
    assert!(book.residuals().water < 1e-6 && book.residuals().energy < 1e-6);
}

/// Each tenth of the heat that is taken away slows drying by no more than its own share and a half.
#[test]
fn less_heat_slows_drying_without_a_cliff() {
    let mut before = hours_to_dry(&season(&plant(), Placement::Outdoors, 90.0));
    for capacity_kw in [81.0, 72.9, 65.6, 59.0, 53.1] {
        let hours = hours_to_dry(&season(&plant(), Placement::Outdoors, capacity_kw));
        assert!(hours >= before && hours < 1.15 * before, "{capacity_kw}: {before} to {hours}");
        before = hours;
    }
}

/// Loads that all come on one day.
fn at_once(loads_t: &[f64]) -> Intake {
    let date = NaiveDate::from_ymd_opt(2031, 3, 2).unwrap();
    let moisture = dry_basis_of_percent(22.0);
    let row = |&tonnes: &f64| IntakeRow { date, tonnes, moisture, grade: None };
    Intake::Daily(loads_t.iter().map(row).collect())
}

/// A plant whose bins dry so fast that nothing grows in them.
fn quick(bins: usize) -> Plant {
    let mut plant = plant();
    plant.rooms[0].bins = vec![BinSpec { capacity_t: 3.0, floor_area_m2: 5.0 }; bins];
    plant.rooms[0].airflow_m3_per_s_per_tonne = 0.3;
    plant.crops[0].stay.mould_hours = 124.0;
    plant.store = None;
    plant
}

/// Nuts that wait wet in the heap bring mould with them into a bin in which none would grow.
#[test]
fn mould_lives_in_the_heap() {
    let heating = electric(Placement::Outdoors, 400.0);
    let run = |bins| run_option(&quick(bins), &heating, &at_once(&[3.0; 4]), &year(10, 60));
    let (none_waits, wait) = (run(4), run(1));
    assert_eq!(guard(&none_waits, GuardKind::MouldInBin), None);
    assert_eq!(guard(&none_waits, GuardKind::WaitedTooLong), None);
    let first = wait.batches.first().expect("a batch");
    let last = wait.batches.last().expect("a batch");
    assert!(first.mould_index < 1.0, "{first:?}");
    let waited_h = (last.loaded_hour - first.loaded_hour) as f64;
    assert!(last.mould_growing_hours > waited_h + 0.8 * first.mould_growing_hours, "{last:?}");
    assert!(last.mould_index > 2.0, "{last:?}");
    let fired = wait.guards.iter().find(|guard| guard.kind == GuardKind::MouldInBin);
    let fired = fired.expect("mould is seen");
    assert_eq!((fired.worst_batch, fired.limit), (Some(wait.batches.len() - 1), 1.0));
    assert!((fired.worst - last.mould_index).abs() < 0.05 * fired.worst);
}

/// The longest wait is told in the hours of its limit, as the season has it, with the most nuts at once.
#[test]
fn nuts_that_wait_too_long_are_told_in_hours() {
    let heating = electric(Placement::Outdoors, 400.0);
    let run = |safe_h: f64| {
        let mut plant = quick(1);
        plant.crops[0].stay.safe_waiting_hours = safe_h;
        run_option(&plant, &heating, &at_once(&[3.0; 4]), &year(10, 60))
    };
    let book = run(48.0);
    let waits: Vec<f64> = book.batches.iter().map(|batch| batch.loaded_hour as f64).collect();
    let [first, second, .., last] = waits[..] else { panic!("four batches: {waits:?}") };
    let fired = |book: &Book| book.guards.iter().find(|guard| guard.kind == GuardKind::WaitedTooLong).cloned();
    let guard = fired(&book).expect("three loads wait for the one bin");
    assert_eq!((guard.worst, guard.limit), (last - first, 48.0));
    assert_eq!(guard.worst, book.tonnage.longest_wait_h);
    // From the 48th hour of waiting until the last load is in the bin, one hour each.
    assert_eq!(guard.hours, last - first - 48.0);
    assert!(second - first > 48.0);
    assert!((guard.most_t.unwrap() - 9.0).abs() < 1e-9);
    // Nuts that wait no longer than is safe, to the hour, break nothing.
    assert_eq!(fired(&run(last - first)), None);
    assert!(fired(&run(last - first - 1.0)).is_some_and(|guard| guard.hours == 1.0));
}

/// A path is followed while all that is asked on it is answered so that it goes no other way: bit for bit what the
/// option does alone. Heat that is ample, just short, from condensers in the intake and in the room.
#[test]
fn options_go_along_a_path_that_is_there() {
    let heatings = [
        electric(Placement::Outdoors, 160.0),
        electric(Placement::Outdoors, 150.0),
        electric(Placement::FreshAir, 160.0),
        electric(Placement::Room, 160.0),
        electric(Placement::Outdoors, 30.0),
        electric(Placement::Outdoors, 31.0),
    ];
    let (plant, intake, year) = (plant(), intake(60.0), Arc::new(year(20, 30)));
    let site = Site { plant: &plant, intake: &intake, year: &year };
    let along = |taken: usize, other: usize| {
        let (_, path) = site.march_and_record(&heatings[taken], Detail::Site);
        site.follow(&path, &heatings[other], Detail::Site).ok()
    };
    let alone = |option: usize| Some(site.march(&heatings[option], Detail::Site));
    for followed in [(0, 1), (0, 2), (0, 3), (1, 0), (3, 3), (4, 4)] {
        assert_eq!(along(followed.0, followed.1), alone(followed.1), "{followed:?}");
    }
    // Too little heat, and other heat where it is short, go another way.
    for other in [(0, 4), (4, 0), (4, 5)] {
        assert_eq!(along(other.0, other.1), None, "{other:?}");
    }
}

/// Heat that is short from the hour of the largest need on, weeks into the season, and condensers in the room, whose
/// heat is too much at some hour: the path is left at the mark before, and the books are those of the option alone.
/// Others follow the way that branches off.
#[test]
fn a_path_is_left_at_the_mark_before_another_way() {
    let (plant, intake, year) = (plant(), intake(120.0), Arc::new(year(40, 30)));
    let site = Site { plant: &plant, intake: &intake, year: &year };
    let ample = electric(Placement::Outdoors, 1000.0);
    let (book, path) = site.march_and_record(&ample, Detail::Site);
    let peak_kw = book.hours.iter().map(|hour| hour.heat_asked_kwh).fold(0.0, f64::max);
    for heating in [electric(Placement::Outdoors, 0.97 * peak_kw), electric(Placement::Room, 0.99 * peak_kw)] {
        let left = site.follow(&path, &heating, Detail::Site).expect_err("short, or too warm");
        assert!(left.from_hour > 14 * 24, "{left:?}");
        let (book, own) = site.leave(&path, left, &heating, Detail::Site).expect("a mark");
        assert_eq!(book, site.march(&heating, Detail::Site));
        assert_eq!(site.follow(&own, &heating, Detail::Site), Ok(book));
    }
    // Before the first mark there is none to leave at.
    let poor = electric(Placement::Outdoors, 1.0);
    let left = site.follow(&path, &poor, Detail::Site).expect_err("short at once");
    assert!(site.leave(&path, left, &poor, Detail::Site).is_none());
}

/// Nuts and rooms know nothing of the store: who has one goes along the path of who has none, and on after its end.
#[test]
fn a_path_outlasts_its_nuts() {
    let (with_store, intake, year) = (plant(), intake(60.0), Arc::new(year(20, 60)));
    let without = Plant { store: None, ..plant() };
    let heating = electric(Placement::Outdoors, 1000.0);
    let site = |plant| Site { plant, intake: &intake, year: &year };
    let (short, path) = site(&without).march_and_record(&heating, Detail::Site);
    let long = site(&with_store).follow(&path, &heating, Detail::Site);
    assert_eq!(long, Ok(site(&with_store).march(&heating, Detail::Site)));
    assert!(long.is_ok_and(|long| long.hours.len() > short.hours.len()));
}

/// Wet nuts that are left are told of in the last hour, which is another where a store is in use: such a path is of one
/// store alone, and the reference of a plant that leaves nuts is none of its options' paths.
#[test]
fn wet_nuts_that_are_left_are_told_of_in_the_same_hour_alone_and_beside_others() {
    // More nuts than there are bins for: those that got dry are in the store yet when time is up.
    let (mut plant, intake, year) = (plant(), intake(600.0), year(20, 80));
    plant.crops[0].stay.store_hours = 60.0 * 24.0;
    let references = References::default();
    let without = Plant { store: None, ..plant.clone() };
    for heating in [electric(Placement::Outdoors, 20.0), electric(Placement::Outdoors, 1000.0)] {
        for plant in [&plant, &without, &plant] {
            let beside = references.run_beside_others(plant, &heating, &intake, &year);
            assert!(beside.tonnage.left_kg > 0.0 && beside.tonnage.dried_kg > 0.0);
            assert_eq!(beside, run_option(plant, &heating, &intake, &year));
        }
    }
}
