//! `batches.csv`: one row for each batch of each option and weather year.

use super::table::quoted;
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::{BatchRecord, Book};
use crate::study::StudyCrop;
use std::fmt::Write;

/// The batches of every option and weather year; `crops` are the plant's crops.
///
/// The fan of a bin runs from loading until the batch is out, but for the hours in which it is set back to
/// nothing. The heat of an hour is shared among the
/// batches that dry in it by their received tonnes, since they share one air: the column is a share of
/// the season's heat, not a measurement, and adds up to it. The kernel's moisture is that of a nut whose
/// shell and kernel have come to one water activity; empty where the pair of isotherms does not reach. Fill is
/// the received mass over what the batch's first bin is named for.
pub fn batches_csv(books: &[Vec<Book>], crops: &[StudyCrop]) -> String {
    let mut text = String::from(
        "option,weather_year,batch,bin,loaded,dry,out,hours_to_dry,hours_in_bin,received_kg,out_kg,received_moisture_pct_wb,out_moisture_pct_wb,out_spread_points_wb,fan_kwh,heat_share_kwh,airflow_m3_per_s_per_t,moves,grade,overdried_kg,crop,kernel_moisture_out_pct_wb,fan_hours,fill\n",
    );
    for book in books.iter().flatten() {
        let (option, year) = (quoted(&book.option), quoted(&book.year));
        let heat = heat_shares_kwh(book);
        for (at, batch) in book.batches.iter().enumerate() {
            let stay_h = last_hour(book, batch) - batch.loaded_hour;
            let when = |hour: Option<usize>| {
                hour.and_then(|hour| book.hours.get(hour)).map_or_else(String::new, |hour| {
                    hour.starts.format("%Y-%m-%dT%H:%M").to_string()
                })
            };
            let to_dry = batch
                .dry_hour
                .map_or_else(String::new, |dry| (dry - batch.loaded_hour).to_string());
            // What was never out has no mass, moisture or spread on leaving.
            let out = |value: String| batch.out_hour.map_or_else(String::new, |_| value);
            let crop = crops.get(batch.crop);
            let rested = crop.and_then(|crop| crop.rested(batch.out_moisture));
            let kernel_pct = rested.map(|nut| percent_of_dry_basis(nut.kernel));
            let _ = writeln!(
                text,
                "{option},{year},{},{},{},{},{},{to_dry},{stay_h},{:.1},{},{:.2},{},{},{:.1},{:.1},{:.4},{},{},{},{},{},{},{:.3}",
                at + 1,
                batch.bin + 1,
                when(Some(batch.loaded_hour)),
                when(batch.dry_hour),
                when(batch.out_hour),
                batch.received_kg,
                out(format!("{:.1}", batch.out_kg)),
                percent_of_dry_basis(batch.received_moisture),
                out(format!("{:.2}", percent_of_dry_basis(batch.out_moisture))),
                out(format!("{:.2}", spread_points_wb(batch))),
                batch.fan_kwh,
                heat[at],
                batch.mean_airflow_m3_per_s / (batch.received_kg / 1000.0),
                quoted(&moves(book, batch)),
                quoted(batch.grade.as_deref().unwrap_or("")),
                out(format!("{:.1}", batch.overdried_kg)),
                quoted(crop.map_or("", |crop| crop.name.as_str())),
                out(kernel_pct.map_or_else(String::new, |pct| format!("{pct:.2}"))),
                batch.fan_hours,
                batch.fill,
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

/// The hour before which a batch left its bin: when it was out, or when drying was given up.
fn last_hour(book: &Book, batch: &BatchRecord) -> usize {
    batch.out_hour.unwrap_or_else(|| {
        // Given up: bins run until the last hour in which any dries or cools.
        book.hours
            .iter()
            .rposition(|hour| hour.bins_drying + hour.bins_cooling > 0)
            .map_or(batch.loaded_hour, |last| last + 1)
            .max(batch.loaded_hour)
    })
}

/// Each batch's share of the heat given, kWh.
fn heat_shares_kwh(book: &Book) -> Vec<f64> {
    let mut drying_kg = vec![0.0; book.hours.len()];
    let span = |batch: &BatchRecord| {
        batch.loaded_hour..batch.dry_hour.unwrap_or_else(|| last_hour(book, batch))
    };
    for batch in &book.batches {
        for kg in &mut drying_kg[span(batch)] {
            *kg += batch.received_kg;
        }
    }
    book.batches
        .iter()
        .map(|batch| {
            span(batch)
                .map(|hour| {
                    book.hours[hour].heat_delivered_kwh * batch.received_kg / drying_kg[hour]
                })
                .sum()
        })
        .collect()
}
