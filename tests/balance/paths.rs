//! Options that go along a path which another took get the books that they would have alone, bit for bit, whatever
//! the number of threads.

use super::season::{climates, heatings, plants, year};
use crate::plants::{dear_by_day, place};
use dryledger::dryer::IntakeShape;
use dryledger::heat::{Collector, HeatStore, Kind, Source};
use dryledger::season::{Calling, HeatPrices, Heating, Intake, Plant, run_all, run_option};
use dryledger::weather::WeatherYear;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(12),
        max_shrink_iters: 30,
        ..ProptestConfig::default()
    })]

    /// Any four options of any plant in two weather years: some are short of heat, some have their condensers in
    /// the room, some bring water or take it, some draw on the sun or on what they have stored, and some go along the
    /// path of another.
    #[test]
    fn a_shared_path_gives_the_same_books(
        mut plant in plants(),
        options in prop::collection::vec(any_heatings(), 4),
        climate in climates(),
        other in climates(),
        loads in 0.5..4.0_f64,
        moisture in 0.13..0.40_f64,
    ) {
        let mut years = [year(&climate, 20), year(&other, 20)];
        years[1].label = "another".into();
        plant.place = Some(place());
        assert_same_books(&plant, &options, &intake(&plant, loads, moisture), &years)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 4,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(15),
        max_shrink_iters: 5,
        ..ProptestConfig::default()
    })]

    /// So many books that they are folded: what comes back is what went in.
    #[test]
    fn many_books_are_the_same_as_few(
        plant in plants(),
        options in prop::collection::vec(heatings(), 5),
        climate in climates(),
        loads in 0.5..2.0_f64,
    ) {
        let years = [&climate; 6].map(|climate| year(climate, 12));
        assert_same_books(&plant, &options, &intake(&plant, loads, 0.25), &years)?;
    }
}

/// Heatings with sources of every kind there is: with a roof before them or a tank that the first of them charges, too.
fn any_heatings() -> impl Strategy<Value = Heating> {
    let more = prop_oneof![2 => Just(None), 1 => Just(Some(true)), 1 => Just(Some(false))];
    (heatings(), more, 5.0..80.0_f64).prop_map(|(mut heating, more, capacity_kw)| {
        match more {
            Some(true) => heating.sources.insert(0, Source::new("roof", capacity_kw, Kind::Collector(roof()))),
            Some(false) => {
                let tank = Kind::HeatStore(tank(&heating.sources[0].name));
                heating.sources.insert(0, Source::new("tank", capacity_kw, tank));
                let fuel_per_kwh = vec![0.1; heating.sources.len()];
                heating.calling = Calling::OrderedByHour(HeatPrices { electricity: dear_by_day(), fuel_per_kwh });
            }
            None => {}
        }
        heating
    })
}

fn roof() -> Collector {
    Collector {
        area_m2: 60.0,
        effective_absorptance: 0.5,
        loss_w_per_m2_k: 8.0,
        tilt_deg: 20.0,
        azimuth_deg: 0.0,
        fan_kw: 0.2,
    }
}

fn tank(charged_by: &str) -> HeatStore {
    HeatStore {
        capacity_kwh: 150.0,
        charge_kw: 30.0,
        loss_per_hour: 0.01,
        temperature_c: 60.0,
        charged_by: charged_by.into(),
        fuel: None,
        charge_up_to_price: 0.10,
        discharge_from_price: 0.30,
    }
}

fn intake(plant: &Plant, loads: f64, moisture: f64) -> Intake {
    let capacity_t: f64 = plant.first_room().bins.iter().map(|bin| bin.capacity_t).sum();
    Intake::Shaped {
        tonnes: capacity_t * loads,
        shape: IntakeShape::Bell,
        moisture,
        load_t: 0.7,
        truck_days: Vec::new(),
    }
}

fn assert_same_books(
    plant: &Plant,
    options: &[Heating],
    intake: &Intake,
    years: &[WeatherYear],
) -> Result<(), TestCaseError> {
    let by_threads = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| run_all(plant, options, intake, years, || ()))
    };
    let together = by_threads(1);
    prop_assert_eq!(&together, &by_threads(4));
    for (heating, books) in options.iter().zip(&together) {
        for (year, book) in years.iter().zip(books) {
            let alone = run_option(plant, heating, intake, year);
            prop_assert_eq!(&alone.hours, &book.hours);
            prop_assert_eq!(&alone, book);
        }
    }
    Ok(())
}
