//! Options that go along a path which another took get the books that they would have alone, bit for bit.

use super::season::{climates, heatings, plants, year};
use dryledger::dryer::IntakeShape;
use dryledger::season::{Intake, run_all, run_option};
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
        let capacity_t: f64 = plant.first_room().bins.iter().map(|bin| bin.capacity_t).sum();
        let intake = Intake::Shaped {
            tonnes: capacity_t * loads,
            shape: IntakeShape::Bell,
            moisture,
            load_t: 0.7,
            truck_days: Vec::new(),
        };
        let mut years = [year(&climate, 20), year(&other, 20)];
        years[1].label = "another".into();
        let together = run_all(&plant, &options, &intake, &years, || ());
        for (heating, books) in options.iter().zip(&together) {
            for (year, book) in years.iter().zip(books) {
                let alone = run_option(&plant, heating, &intake, year);
                prop_assert_eq!(&alone.hours, &book.hours);
                prop_assert_eq!(&alone, book);
            }
        }
    }
}
