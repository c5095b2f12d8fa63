//! What all options share: nuts, water and time, as the baseline's books tell them.

use super::loads::{heat_need, peak_week_of_heat, store_cooling};
use super::reckoned::{Reckoned, mean, over};
use crate::answer::figures::{PeakWeekFigures, SeasonFigures};
use crate::answer::hours::drying_hours;
use crate::answer::{crops, guards, kernels, overdried, rooms, targets};
use crate::ledger::{BatchRecord, Book};
use crate::study::Study;
use crate::weather::WeatherYear;

pub(super) fn season_figures(
    study: &Study,
    years: &[WeatherYear],
    baseline: &Reckoned<'_>,
    of_all_options: &[Vec<Book>],
) -> SeasonFigures {
    let books = baseline.books;
    let of = |value: &dyn Fn(&Book) -> f64| mean(books.iter().map(value));
    let water_kg = of(&|book| book.tonnage.evaporated_kg);
    let received_t = of(&|book| book.tonnage.received_kg) / 1000.0;
    let dried_t = baseline.dried_t();
    let dried_dry = of(&|book| book.tonnage.dried_kg - book.tonnage.dried_water_kg);
    let dried_water = of(&|book| book.tonnage.dried_water_kg);
    let lost_kg = baseline.mean(|account| account.store_nuts_lost_kg);
    let hours_to_dry: Vec<f64> =
        books.iter().flat_map(|book| &book.batches).filter_map(BatchRecord::hours_to_dry).collect();
    let (peak_week_of_heat, peak_week_of_heat_year) = hottest_week(books).unzip();
    let all_books = || of_all_options.iter().flatten();
    SeasonFigures {
        hours: years.first().map_or(0, |year| year.season_hours),
        received_t,
        dried_t,
        water_kg,
        water_kg_per_received_t: over(water_kg, received_t),
        water_kg_per_dried_t: over(water_kg, dried_t),
        waiting_tonne_days: of(&|book| book.tonnage.waiting_tonne_days),
        waiting_for_bin_tonne_days: of(&|book| book.tonnage.waiting_for_bin_tonne_days),
        waiting_for_load_tonne_days: of(&|book| book.tonnage.waiting_for_load_tonne_days()),
        batches: of(&|book| book.batches.len() as f64),
        mean_drying_hours: mean(hours_to_dry.iter().copied()),
        dried_moisture_reached_pct_wb: over(dried_water, dried_dry + dried_water) * 100.0,
        stored_nuts_lost_kg: lost_kg,
        stored_nuts_lost_money: crops::stored_lost_money(study, books),
        stored_moisture_reached_pct_wb: over(dried_water - lost_kg, dried_dry + dried_water - lost_kg) * 100.0,
        bins_in_use_max: books
            .iter()
            .flat_map(|book| &book.hours)
            .map(|hour| hour.bins_drying + hour.bins_cooling)
            .max()
            .unwrap_or(0),
        bins: u32::try_from(study.plant.bins()).unwrap_or(u32::MAX),
        overdried: overdried::figures(study, books),
        kernels: kernels::figures(study, books),
        rooms: rooms::figures(&study.plant, books),
        targets: targets::figures(study),
        crops: crops::figures(study, books),
        heat_need: heat_need(books),
        store_cooling: store_cooling(books),
        peak_week_of_heat,
        peak_week_of_heat_year,
        mould_index_max: all_books().flat_map(|book| &book.batches).map(|batch| batch.mould_index).fold(0.0, f64::max),
        longest_wait_h: all_books().map(|book| book.tonnage.longest_wait_h).fold(0.0, f64::max),
        guards: guards::sentences(books),
    }
}

/// The week of most heat need in any weather year, and that year.
fn hottest_week(books: &[Book]) -> Option<(PeakWeekFigures, String)> {
    let weeks =
        books.iter().filter_map(|book| peak_week_of_heat(&drying_hours(book)).map(|week| (week, book.year.clone())));
    weeks.max_by(|(a, _), (b, _)| a.sum.total_cmp(&b.sum))
}
