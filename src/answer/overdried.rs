//! What drying below the target costs: water that would have been sold as nuts.

use super::crops::of_crop;
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::Book;
use crate::number::{self, Digits, Measure, Sentence};
use crate::study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// Drying below the target over a season, the mean over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OverdriedFigures {
    /// Water that the batches at their target would have held above what they left with, kg.
    pub kg: f64,
    /// The same as a share of the dried mass, percent.
    pub pct_of_dried: f64,
    /// Batches that left drier than the target.
    pub batches: f64,
    /// What that mass would have sold for; nothing where the study gives no price of dried nuts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub money: Option<f64>,
    /// What of it, and what else, it cost to dry on for the wettest nuts.
    pub by_spread: SpreadFigures,
    /// All of it in a sentence or two.
    pub sentence: Sentence,
}

/// What it cost over a season that batches dried on for their wettest nuts when their mean was as dry as it
/// has to be; the mean over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SpreadFigures {
    /// Batches that did.
    pub batches: f64,
    /// Hours for which they did, all together.
    pub hours: f64,
    /// Heat and fans of those hours, by the batches' shares, kWh.
    pub kwh: f64,
    /// Water that they lost below the target, kg.
    pub overdried_kg: f64,
}

/// A batch that dried on for less than this did so for the grid of the computation, h.
const DRIED_ON_HOURS: f64 = 0.05;

fn by_spread(books: &[Book]) -> SpreadFigures {
    let mut all = SpreadFigures { batches: 0.0, hours: 0.0, kwh: 0.0, overdried_kg: 0.0 };
    let years = books.len().max(1) as f64;
    for book in books {
        for (batch, energy) in book.batches.iter().zip(book.energy_by_batch()) {
            if batch.spread_hours() > DRIED_ON_HOURS {
                all.batches += 1.0 / years;
                all.hours += batch.spread_hours() / years;
                all.kwh += (energy.heat_for_spread_kwh + energy.fan_for_spread_kwh) / years;
                all.overdried_kg += batch.overdried_kg / years;
            }
        }
    }
    all
}

/// What the spread cost in words; nothing where it cost nothing.
fn spread_words(spread: &SpreadFigures, batches: f64) -> String {
    if spread.batches <= 0.0 {
        return String::new();
    }
    format!(
        " In {} of {} batches of a mean season the mean moisture reached the target before the wettest nuts were within moisture_spread of it: these dried on for {:.1} h on average, which took {} of heat and fans and {} of that water.",
        number::plain(spread.batches),
        number::plain(batches),
        Digits(spread.hours / spread.batches),
        not_nothing(spread.kwh, &Measure::heat("kWh")),
        not_nothing(spread.overdried_kg, &Measure::water("kg")),
    )
}

/// Whole units of it, or less than one.
fn not_nothing(si: f64, measure: &Measure) -> String {
    number::not_nothing(measure.value(si), 0, measure.sign())
}

pub(super) fn figures(study: &Study, books: &[Book]) -> OverdriedFigures {
    let mean = |of: &dyn Fn(&Book) -> f64| books.iter().map(of).sum::<f64>() / books.len().max(1) as f64;
    let kg = mean(&|book| book.batches.iter().map(|batch| batch.overdried_kg).sum());
    let dried_kg = mean(&|book| book.tonnage.dried_kg);
    let batches = mean(&|book| {
        let drier = book.batches.iter().filter(|batch| batch.overdried_kg > 0.0);
        drier.count() as f64
    });
    let money = money(study, books, kg);
    let pct_of_dried = if dried_kg > 0.0 { kg / dried_kg * 100.0 } else { 0.0 };
    let by_spread = by_spread(books);
    let all_batches = mean(&|book| book.batches.len() as f64);
    let sentence = Sentence::of(|| {
        let target = match study.crops.as_slice() {
            [_] => {
                let target_pct = percent_of_dry_basis(study.plant.crops[0].stay.dried_moisture);
                format!("the target of {:.1} % w.b.", Digits(target_pct))
            }
            _ => "their crop's target".to_owned(),
        };
        let worth = money.map_or_else(String::new, |money| {
            let money = number::not_nothing(money, 0, study.currency.code());
            format!(", {money} at the price of dried nuts")
        });
        let lost = if batches > 0.0 {
            format!(
                "Batches that left drier than {target} lost {} of water that would have been sold as nuts, {} of the dried mass{worth}.",
                not_nothing(kg, &Measure::water("kg")),
                number::not_nothing(pct_of_dried, 2, "%"),
            )
        } else {
            format!("No batch left drier than {target}.")
        };
        lost + &spread_words(&by_spread, all_batches)
    });
    OverdriedFigures { kg, pct_of_dried, batches, money, by_spread, sentence }
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
