//! Water, energy and heat of two crops in the bins of one plant, for random plants.

use super::season::{audit, climates, heatings, plants, year};
use dryledger::airflow::BedResistance;
use dryledger::cool_store::{Drift, Keeping};
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{IntakeShape, NutBed};
use dryledger::ledger::Book;
use dryledger::season::{Intake, Plant, PlantCrop, run_option};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// The plant with a second crop that dries at another rate to another target, behind which the fans see
/// another bed.
fn beside(plant: Plant, rate_per_h: f64, dried_moisture: f64) -> Plant {
    let (mut nuts, mut stay) = (plant.crops[0].nuts, plant.crops[0].stay.clone());
    nuts.thin_layer = ThinLayer::Newton { rate_per_h, reference_c: 40.0, activation_kj_per_mol: 30.0 };
    nuts.dry_matter_kj_per_kg_k = 1.9;
    stay.dried_moisture = dried_moisture;
    stay.store_hours = 5.0 * 24.0;
    stay.keeping = Keeping {
        respiration_w_per_t: 25.0,
        drift: Some(Drift {
            isotherm: Isotherm::ModifiedHenderson { k: 6.0e-4, n: 1.45, c: 60.0 },
            time_constant_h: 300.0,
        }),
    };
    let second = PlantCrop {
        nuts,
        stay,
        in_the_way: Some(NutBed {
            resistance: BedResistance::Ergun { diameter_m: 0.018, porosity: 0.40, shape_factor: 1.5 },
            bulk_density_kg_per_m3: 480.0,
        }),
    };
    let mut plant = plant;
    plant.crops.push(second);
    plant
}

/// Batches of one bin follow each other, whatever their crop, and each is as dry as its crop is to be.
fn keeps_crops_apart(book: &Book, plant: &Plant) -> Result<(), TestCaseError> {
    let end = book.hours.len();
    let mut stays: Vec<(usize, usize, usize)> = Vec::new();
    for batch in &book.batches {
        stays.push((batch.bin, batch.loaded_hour, batch.bin_empty_hour().unwrap_or(end)));
        if batch.out_hour.is_some() {
            let stay = plant.stay_of(batch.crop);
            // Outside air may give a little water back while the nuts cool.
            prop_assert!(batch.dry_hour.is_some());
            prop_assert!(batch.out_moisture <= stay.dried_moisture + 0.02, "{batch:?}");
        }
    }
    stays.sort_unstable();
    for pair in stays.windows(2) {
        prop_assert!(pair[0].0 != pair[1].0 || pair[1].1 >= pair[0].2, "{pair:?}");
    }
    Ok(())
}

/// Weight that the crops lost in store is what the store's hours tell, crop by crop.
fn store_books_close(book: &Book) -> bool {
    let hourly: f64 = book.hours.iter().map(|hour| hour.store_nuts_lost_kg).sum();
    let by_crop: f64 = book.store_lost_kg.iter().sum();
    let gross: f64 = book.hours.iter().map(|hour| hour.store_nuts_lost_kg.abs()).sum();
    book.store_lost_kg.len() == 2 && (hourly - by_crop).abs() <= 1e-9 * gross.max(1.0)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 60,
        failure_persistence: None,
        // The same seasons each time; change the seed to hunt for others.
        rng_seed: RngSeed::Fixed(33),
        max_shrink_iters: 60,
        ..ProptestConfig::default()
    })]

    /// With two crops water and energy close as with one, no source gives more than it has, and what came
    /// of each is loaded or left.
    #[test]
    fn a_season_of_two_crops_closes(
        plant in plants(),
        heating in heatings(),
        climate in climates(),
        second in (0.005..0.3_f64, 0.09..0.13_f64),
        loads in (0.5..3.0_f64, 0.5..3.0_f64),
        moisture in (0.13..0.40_f64, 0.14..0.40_f64),
        fill_over_hours in prop_oneof![Just(0.0), 24.0..150.0_f64],
    ) {
        let mut plant = beside(plant, second.0, second.1);
        plant.crops[1].stay.fill_over_hours = fill_over_hours;
        let capacity: f64 = plant.rooms[0].bins.iter().map(|bin| bin.capacity_t).sum();
        let of = |loads: f64, moisture: f64, shape: IntakeShape| Intake::Shaped {
            tonnes: capacity * loads,
            shape,
            moisture,
            load_t: 0.7,
        truck_days: Vec::new(),
        };
        let intake = Intake::ByCrop(vec![
            of(loads.0, moisture.0, IntakeShape::Bell),
            of(loads.1, moisture.1, IntakeShape::Even),
        ]);
        let book = run_option(&plant, &heating, &intake, &year(&climate, 20));
        let residuals = book.residuals();
        prop_assert!(
            residuals.water < 1e-6 && residuals.energy < 1e-6,
            "{residuals:?}"
        );
        prop_assert!(book.season_water_residual().abs() < 1e-9);
        audit(&book, &plant, &heating)?;
        prop_assert!(store_books_close(&book), "{:?}", book.store_lost_kg);
        keeps_crops_apart(&book, &plant)?;
        let received_kg = book.tonnage.received_kg;
        prop_assert!((received_kg / 1000.0 - intake.received_t()).abs() < 1e-6 * received_kg);
        for (crop, loads) in [loads.0, loads.1].into_iter().enumerate() {
            let of_crop = book.batches.iter().filter(|batch| batch.crop == crop);
            let loaded_t = of_crop.map(|batch| batch.received_kg).sum::<f64>() / 1000.0;
            prop_assert!(loaded_t <= capacity * loads * (1.0 + 1e-9));
            if book.tonnage.left_kg <= 0.0 {
                prop_assert!((loaded_t - capacity * loads).abs() < 1e-6 * loaded_t);
            }
        }
    }
}
