//! `batches.csv`: one row for each batch of each option and weather year.

use super::column::Adds::{End, Mean, Sum};
use super::column::{Adds, Column, write_head, write_row};
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::{BatchEnergy, BatchRecord, Book};
use crate::study::StudyCrop;

/// A batch in its book.
struct BatchRow<'a> {
    book: &'a Book,
    at: usize,
    batch: &'a BatchRecord,
    energy: BatchEnergy,
    crop: Option<&'a StudyCrop>,
}

type BatchColumn<'a> = Column<'a, BatchRow<'a>>;

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
pub(crate) fn batches_csv(books: &[Vec<Book>], crops: &[StudyCrop]) -> String {
    let columns = columns();
    let mut text = String::new();
    write_head(&mut text, &columns);
    for book in books.iter().flatten() {
        let energy = book.energy_by_batch();
        for (at, (batch, energy)) in book.batches.iter().zip(energy).enumerate() {
            let crop = crops.get(batch.crop);
            write_row(&mut text, &columns, &BatchRow { book, at, batch, energy, crop });
        }
    }
    text
}

fn columns<'a>() -> Vec<BatchColumn<'a>> {
    let mut columns = way_through();
    columns.extend(nuts_and_energy());
    columns.extend(kernel_and_spread());
    columns.extend(guards());
    columns
}

fn way_through<'a>() -> Vec<BatchColumn<'a>> {
    let when = |head: &str, says: &'static str, hour: fn(&BatchRecord) -> Option<f64>| {
        Column::key(head, says, move |row: &BatchRow<'_>| {
            hour(row.batch)
                .and_then(|hour| row.book.moment(hour))
                .map_or_else(String::new, |moment| moment.format("%Y-%m-%dT%H:%M").to_string())
        })
    };
    vec![
        Column::key("option", "option of the study", |row: &BatchRow<'_>| row.book.option.clone()),
        Column::key("weather_year", "weather year", |row: &BatchRow<'_>| row.book.year.clone()),
        Column::key("batch", "from 1", |row: &BatchRow<'_>| (row.at + 1).to_string()),
        Column::key("bin", "from 1", |row: &BatchRow<'_>| (row.batch.bin + 1).to_string()),
        when("loaded", "when it was loaded", |batch| Some(batch.loaded_hour as f64)),
        when("dry", "when it was dry", |batch| batch.dry_hour),
        when("out", "when it was cool", |batch| batch.out_hour),
        Column::maybe("hours_to_dry", (Sum, 2), "from loading on", |row: &BatchRow<'_>| row.batch.hours_to_dry()),
        Column::number("hours_in_bin", (Sum, 2), "from loading on", |row: &BatchRow<'_>| {
            row.book.left_bin_hour(row.batch) - row.batch.loaded_hour as f64
        }),
    ]
}

fn nuts_and_energy<'a>() -> Vec<BatchColumn<'a>> {
    vec![
        of_batch("received_kg", (Sum, 1), "nuts loaded", |batch| batch.received_kg),
        on_leaving("out_kg", 1, "nuts on leaving", |batch| batch.out_kg),
        of_batch("received_moisture_pct_wb", (Mean, 2), "moisture as loaded", |batch| {
            percent_of_dry_basis(batch.received_moisture)
        }),
        on_leaving("out_moisture_pct_wb", 2, "moisture on leaving", |batch| percent_of_dry_basis(batch.out_moisture)),
        on_leaving("out_spread_points_wb", 2, "wettest less driest nuts", spread_points_wb),
        of_batch("fan_kwh", (Sum, 1), "its fan", |batch| batch.fan_kwh),
        Column::number("heat_share_kwh", (Sum, 1), "of the heat", |row: &BatchRow<'_>| row.energy.heat_kwh),
        of_batch("airflow_m3_per_s_per_t", (Mean, 4), "mean over a received tonne", |batch| {
            batch.mean_airflow_m3_per_s / (batch.received_kg / 1000.0)
        }),
        Column::key("moves", "rooms and bins that it went to", |row: &BatchRow<'_>| moves(row.book, row.batch)),
        Column::key("grade", "of the intake table", |row: &BatchRow<'_>| {
            row.batch.grade.as_deref().unwrap_or_default().to_owned()
        }),
        on_leaving("overdried_kg", 1, "weight lost below the target", |batch| batch.overdried_kg),
    ]
}

fn kernel_and_spread<'a>() -> Vec<BatchColumn<'a>> {
    vec![
        Column::key("crop", "crop of the study", |row: &BatchRow<'_>| {
            row.crop.map_or_else(String::new, |crop| crop.name.clone())
        }),
        Column::maybe("kernel_moisture_out_pct_wb", (End, 2), "kernel", |row: &BatchRow<'_>| {
            let rested = row.crop?.rested(row.batch.out_moisture)?;
            row.batch.out_hour.map(|_| percent_of_dry_basis(rested.kernel))
        }),
        of_batch("fan_hours", (Sum, 2), "hours of its fan", |batch| batch.fan_hours),
        of_batch("fill", (Mean, 3), "of what the bin is named for", |batch| batch.fill),
        of_batch("spread_hours", (Sum, 2), "for its wettest nuts", BatchRecord::spread_hours),
        Column::number("spread_kwh", (Sum, 1), "the same as energy", |row: &BatchRow<'_>| {
            row.energy.heat_for_spread_kwh + row.energy.fan_for_spread_kwh
        }),
    ]
}

fn guards<'a>() -> Vec<BatchColumn<'a>> {
    vec![
        of_batch("mould_index", (End, 3), "growth index on leaving", |batch| batch.mould_index),
        of_batch("mould_growing_hours", (Sum, 2), "hours of growth", |batch| batch.mould_growing_hours),
        of_batch("mould_seen_hours", (Sum, 2), "past the limit", |batch| batch.mould_seen_hours),
        of_batch("hot_air_hours", (Sum, 2), "in air too hot", |batch| batch.hot_air_hours),
        of_batch("late_hours", (Sum, 0), "waited too long", |batch| batch.late_hours),
    ]
}

/// A number of the batch.
fn of_batch<'a>(head: &str, adds: (Adds, usize), says: &'static str, of: fn(&BatchRecord) -> f64) -> BatchColumn<'a> {
    Column::number(head, adds, says, move |row: &BatchRow<'_>| of(row.batch))
}

/// A number of the batch on leaving: what was never out has none.
fn on_leaving<'a>(head: &str, decimals: usize, says: &'static str, of: fn(&BatchRecord) -> f64) -> BatchColumn<'a> {
    Column::maybe(head, (End, decimals), says, move |row: &BatchRow<'_>| row.batch.out_hour.map(|_| of(row.batch)))
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
    percent_of_dry_basis(batch.out_moisture + half) - percent_of_dry_basis((batch.out_moisture - half).max(0.0))
}
