//! What drying below the target costs: water that would have been sold as nuts.

use super::crops::of_crop;
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::Book;
use crate::study::Study;
use serde::Serialize;

/// Drying below the target over a season, the mean over the weather years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OverdriedFigures {
    /// Water that the batches at their target would have held above what they left with, kg.
    pub kg: f64,
    /// The same as a share of the dried mass, percent.
    pub pct_of_dried: f64,
    /// Batches that left drier than the target.
    pub batches: f64,
    /// What that mass would have sold for; nothing where the study gives no price of dried nuts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub money: Option<f64>,
    /// All of it in a sentence.
    pub sentence: String,
}

pub(super) fn figures(study: &Study, books: &[Book]) -> OverdriedFigures {
    let mean =
        |of: &dyn Fn(&Book) -> f64| books.iter().map(of).sum::<f64>() / books.len().max(1) as f64;
    let kg = mean(&|book| book.batches.iter().map(|batch| batch.overdried_kg).sum());
    let dried_kg = mean(&|book| book.tonnage.dried_kg);
    let batches = mean(&|book| {
        let drier = book.batches.iter().filter(|batch| batch.overdried_kg > 0.0);
        drier.count() as f64
    });
    let money = money(study, books, kg);
    let pct_of_dried = if dried_kg > 0.0 { kg / dried_kg * 100.0 } else { 0.0 };
    let target = match study.crops.as_slice() {
        [_] => {
            let target_pct = percent_of_dry_basis(study.plant.stay.dried_moisture);
            format!("the target of {target_pct:.1} % w.b.")
        }
        _ => "their crop's target".to_owned(),
    };
    let worth = money.map_or_else(String::new, |money| {
        format!(", {} {money:.0} at the price of dried nuts", study.currency)
    });
    let sentence = if batches > 0.0 {
        format!(
            "Batches that left drier than {target} lost {kg:.0} kg of water that would have been sold as nuts, {pct_of_dried:.2} % of the dried mass{worth}."
        )
    } else {
        format!("No batch left drier than {target}.")
    };
    OverdriedFigures { kg, pct_of_dried, batches, money, sentence }
}

/// What the water would have sold for, each crop's at its own price.
fn money(study: &Study, books: &[Book], kg: f64) -> Option<f64> {
    if let [crop] = study.crops.as_slice() {
        return crop.price_per_dried_t.map(|price| price * kg / 1000.0);
    }
    let mut all = 0.0;
    for (place, crop) in study.crops.iter().enumerate() {
        let of_crop_kg: f64 = of_crop(books, place).map(|batch| batch.overdried_kg).sum();
        all += crop.price_per_dried_t? * of_crop_kg / 1000.0;
    }
    Some(all / books.len().max(1) as f64)
}
