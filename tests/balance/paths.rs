//! Options that go along a path which another took get the books that they would have alone, bit for bit.

use super::season::{climates, heatings, plants, year};
use dryledger::dryer::IntakeShape;
use dryledger::season::{Heating, Intake, Plant, run_all, run_option};
use dryledger::weather::WeatherYear;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(12),
        max_shrink_iters: 30,
        ..ProptestConfig::default()
    })]

    /// Any four options of any plant in two weather years: some are short of heat, some have their condensers in
    /// the room, some bring water or take it, and some go along the path of another.
    #[test]
    fn a_shared_path_gives_the_same_books(
        plant in plants(),
        options in prop::collection::vec(heatings(), 4),
        climate in climates(),
        other in climates(),
        loads in 0.5..4.0_f64,
        moisture in 0.13..0.40_f64,
    ) {
        let mut years = [year(&climate, 20), year(&other, 20)];
        years[1].label = "another".into();
        assert_same_books(&plant, &options, &intake(&plant, loads, moisture), &years)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 6,
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
    let together = run_all(plant, options, intake, years, || ());
    for (heating, books) in options.iter().zip(&together) {
        for (year, book) in years.iter().zip(books) {
            let alone = run_option(plant, heating, intake, year);
            prop_assert_eq!(&alone.hours, &book.hours);
            prop_assert_eq!(&alone, book);
        }
    }
    Ok(())
}
