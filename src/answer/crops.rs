//! Several crops in one plant: what each brought, lost and took.

use crate::crop::water::percent_of_dry_basis;
use crate::ledger::{BatchRecord, Book};
use crate::study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// One crop over a season, the mean over the weather years. What was left wet is in none of its dried
/// figures.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CropFigures {
    /// Name in the study.
    pub name: String,
    /// Nuts put into bins, t as received.
    pub received_t: f64,
    /// Dried nuts that left the bins, t.
    pub dried_t: f64,
    /// Water that the nuts lost from loading until they left, kg.
    pub water_kg: f64,
    /// Batches begun.
    pub batches: f64,
    /// Hours from loading until dry, mean over the batches of all weather years.
    pub mean_drying_hours: f64,
    /// Moisture to which it is dried, % w.b.
    pub target_pct_wb: f64,
    /// Moisture that its dried nuts left with, % w.b.; the target where none left.
    pub reached_pct_wb: f64,
    /// Weight that they lost in the cool store, kg; less than zero where they gained, zero without one.
    pub stored_lost_kg: f64,
    /// The same at their price; nothing where the study gives none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stored_lost_money: Option<f64>,
    /// Moisture that they left the cool store with, % w.b.; as dried where there is none.
    pub stored_reached_pct_wb: f64,
}

/// Each crop, from the books of one option; nothing for a plant of one crop, which is the season's.
pub(super) fn figures(study: &Study, books: &[Book]) -> Vec<CropFigures> {
    if study.crops.len() < 2 {
        return Vec::new();
    }
    let crops = study.crops.iter().zip(study.plant.stays());
    crops
        .enumerate()
        .map(|(place, (crop, stay))| {
            let batches = || of_crop(books, place);
            let sum = |of: &dyn Fn(&BatchRecord) -> f64| batches().map(of).sum::<f64>();
            let years = books.len().max(1) as f64;
            let left = |batch: &BatchRecord| f64::from(batch.out_hour.is_some());
            let dried_kg = sum(&|batch| batch.out_kg);
            let dry_kg = sum(&|batch| batch.out_kg / (1.0 + batch.out_moisture));
            let lost_kg = lost_in_store_kg(books, place);
            let reached_pct_wb = |out_kg: f64| {
                if out_kg > 0.0 { (1.0 - dry_kg / out_kg) * 100.0 } else { percent_of_dry_basis(stay.dried_moisture) }
            };
            let hours: Vec<f64> = batches().filter_map(BatchRecord::hours_to_dry).collect();
            CropFigures {
                name: crop.name.clone(),
                received_t: sum(&|batch| batch.received_kg) / 1000.0 / years,
                dried_t: dried_kg / 1000.0 / years,
                water_kg: sum(&|batch| left(batch) * (batch.received_kg - batch.out_kg)) / years,
                batches: batches().count() as f64 / years,
                mean_drying_hours: hours.iter().sum::<f64>() / hours.len().max(1) as f64,
                target_pct_wb: percent_of_dry_basis(stay.dried_moisture),
                reached_pct_wb: reached_pct_wb(dried_kg),
                stored_lost_kg: lost_kg / years,
                stored_lost_money: crop.price_per_dried_t.map(|price| price * lost_kg / 1000.0 / years),
                stored_reached_pct_wb: reached_pct_wb(dried_kg - lost_kg),
            }
        })
        .collect()
}

/// Weight that nuts of a crop lost in the cool store, all weather years together, kg.
fn lost_in_store_kg(books: &[Book], crop: usize) -> f64 {
    let lost_kg = books.iter().filter_map(|book| book.store_lost_kg.get(crop));
    lost_kg.sum()
}

/// What the nuts lost in the cool store would have sold for in a season, each crop's at its own price. `None`
/// unless the study prices every crop.
pub(super) fn stored_lost_money(study: &Study, books: &[Book]) -> Option<f64> {
    let mut worth = 0.0;
    for (place, crop) in study.crops.iter().enumerate() {
        worth += crop.price_per_dried_t? * lost_in_store_kg(books, place) / 1000.0;
    }
    Some(worth / books.len().max(1) as f64)
}

/// The batches of a crop in all weather years.
pub(super) fn of_crop(books: &[Book], crop: usize) -> impl Iterator<Item = &BatchRecord> {
    let batches = books.iter().flat_map(|book| &book.batches);
    batches.filter(move |batch| batch.crop == crop)
}
