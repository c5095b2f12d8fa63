//! `batches.csv`: one row for each batch of each option and weather year.

use super::table::quoted;
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::{BatchRecord, Book};
use crate::number::Digits;
use crate::study::StudyCrop;
use std::fmt::Write;

/// The batches of every option and weather year; `crops` are the plant's crops.
///
/// The fan of a bin runs from loading until the batch is cool, but for the hours in which it is set back to
/// nothing. Batches are dry and cool to the minute; their bins are emptied on the next whole hour. The heat
/// column is a share of the season's heat, not a measurement, and adds up to it
/// ([`Book::energy_by_batch`]). The spread columns say for how long, and with what heat and fan, a batch
/// dried on for its wettest nuts when its mean was as dry as it has to be. The kernel's moisture is that of a nut whose
/// shell and kernel have come to one water activity; empty where the pair of isotherms does not reach. Fill is
/// the received mass over what the batch's first bin is named for.
///
/// The last five columns are what the guards saw of the batch: the growth index of mould on leaving (1 is the
/// first growth, the guard's limit), the hours since its nuts arrived in which mould could grow on them, the hours
/// in bins with the index past that limit, the hours in air hotter than the crop's limit at that moisture, and
/// the hours in which the first of its nuts had waited to be loaded longer than is safe. Of an option and a weather
/// year, `mould_seen_hours` and `hot_air_hours` add up to the batch-hours of their guards; hours of waiting
/// overlap, for nuts of many batches wait at once.
pub fn batches_csv(books: &[Vec<Book>], crops: &[StudyCrop]) -> String {
    let mut text = String::from(
        "option,weather_year,batch,bin,loaded,dry,out,hours_to_dry,hours_in_bin,received_kg,out_kg,received_moisture_pct_wb,out_moisture_pct_wb,out_spread_points_wb,fan_kwh,heat_share_kwh,airflow_m3_per_s_per_t,moves,grade,overdried_kg,crop,kernel_moisture_out_pct_wb,fan_hours,fill,spread_hours,spread_kwh,mould_index,mould_growing_hours,mould_seen_hours,hot_air_hours,late_hours\n",
    );
    for book in books.iter().flatten() {
        let (option, year) = (quoted(&book.option), quoted(&book.year));
        let energy = book.energy_by_batch();
        for (at, batch) in book.batches.iter().enumerate() {
            let stay_h = book.left_bin_hour(batch) - batch.loaded_hour as f64;
            let when = |hour: Option<f64>| {
                hour.and_then(|hour| book.moment(hour))
                    .map_or_else(String::new, |moment| moment.format("%Y-%m-%dT%H:%M").to_string())
            };
            let to_dry =
                batch.hours_to_dry().map_or_else(String::new, |hours| format!("{hours:.2}"));
            // What was never out has no mass, moisture or spread on leaving.
            let out = |value: String| batch.out_hour.map_or_else(String::new, |_| value);
            let crop = crops.get(batch.crop);
            let rested = crop.and_then(|crop| crop.rested(batch.out_moisture));
            let kernel_pct = rested.map(|nut| percent_of_dry_basis(nut.kernel));
            let _ = writeln!(
                text,
                "{option},{year},{},{},{},{},{},{to_dry},{stay_h:.2},{:.1},{},{:.2},{},{},{:.1},{:.1},{:.4},{},{},{},{},{},{:.2},{:.3},{:.2},{:.1},{:.3},{:.2},{:.2},{:.2},{:.0}",
                at + 1,
                batch.bin + 1,
                when(Some(batch.loaded_hour as f64)),
                when(batch.dry_hour),
                when(batch.out_hour),
                batch.received_kg,
                out(format!("{:.1}", batch.out_kg)),
                percent_of_dry_basis(batch.received_moisture),
                out(format!("{:.2}", percent_of_dry_basis(batch.out_moisture))),
                out(format!("{:.2}", Digits(spread_points_wb(batch)))),
                batch.fan_kwh,
                Digits(energy[at].heat_kwh),
                batch.mean_airflow_m3_per_s / (batch.received_kg / 1000.0),
                quoted(&moves(book, batch)),
                quoted(batch.grade.as_deref().unwrap_or("")),
                out(format!("{:.1}", Digits(batch.overdried_kg))),
                quoted(crop.map_or("", |crop| crop.name.as_str())),
                out(kernel_pct.map_or_else(String::new, |pct| format!("{pct:.2}"))),
                batch.fan_hours,
                batch.fill,
                batch.spread_hours(),
                energy[at].heat_for_spread_kwh + energy[at].fan_for_spread_kwh,
                batch.mould_index,
                batch.mould_growing_hours,
                batch.mould_seen_hours,
                batch.hot_air_hours,
                batch.late_hours,
            );
        }
    }
    text
}

/// Where a batch was moved: room, bin and the hour at which it was there, for each move.
fn moves(book: &Book, batch: &BatchRecord) -> String {
    let told: Vec<String> = batch
        .moves
        .iter()
        .map(|way| {
            let room = book.rooms.get(way.room).map_or("", |room| &room.name);
            let when = book
                .hours
                .get(way.arrived_hour)
                .map_or_else(String::new, |hour| hour.starts.format(" %Y-%m-%dT%H:%M").to_string());
            format!("{room} {}{when}", way.bin + 1)
        })
        .collect();
    told.join("; ")
}

/// Wettest less driest nuts in points of % w.b., taken about the mean.
fn spread_points_wb(batch: &BatchRecord) -> f64 {
    let half = batch.out_spread / 2.0;
    percent_of_dry_basis(batch.out_moisture + half)
        - percent_of_dry_basis((batch.out_moisture - half).max(0.0))
}
