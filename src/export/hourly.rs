//! `hourly.csv`: the site in every hour; and the list of what the hourly files' columns say.

use super::column::Adds::{End, Mean, Sum};
use super::column::{Cell, Column, write_head, write_list, write_row};
use super::hour::{CELSIUS, KG, KWH, OfHour, RATIO, flag_of_hour, keys, maybe_of_hour, of_hour};
use super::{hourly_rooms, hourly_store};
use crate::heat::Drawn;
use crate::ledger::{Book, Entry};
use crate::money::Tariff;

/// The file's name.
const FILE: &str = "hourly.csv";

/// What electricity is purchased by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Purchase<'a> {
    /// The tariff.
    pub tariff: &'a Tariff,
    /// Its currency's code.
    pub currency: &'a str,
}

/// An hour in its book.
struct SiteRow<'a> {
    book: &'a Book,
    at: usize,
    hour: Entry,
}

impl OfHour for SiteRow<'_> {
    fn book(&self) -> &Book {
        self.book
    }

    fn hour(&self) -> &Entry {
        &self.hour
    }
}

type SiteColumn<'a> = Column<'a, SiteRow<'a>>;

/// One row for each option, weather year and hour.
pub(crate) fn hourly_csv(books: &[Vec<Book>], purchase: Purchase<'_>) -> String {
    let columns = columns(books, purchase);
    let mut text = String::new();
    write_head(&mut text, &columns);
    for book in books.iter().flatten() {
        for (at, hour) in book.hours.iter().enumerate() {
            write_row(&mut text, &columns, &SiteRow { book, at, hour });
        }
    }
    text
}

/// The columns of `hourly.csv` and `hourly_rooms.csv`: how each adds over rows, and what it says.
pub(crate) fn hourly_columns_csv(books: &[Vec<Book>], purchase: Purchase<'_>) -> String {
    let mut text = String::from("file,column,adds,says\n");
    write_list(&mut text, FILE, &columns(books, purchase));
    hourly_rooms::list(&mut text);
    text
}

fn columns<'a>(books: &'a [Vec<Book>], purchase: Purchase<'a>) -> Vec<SiteColumn<'a>> {
    let mut columns: Vec<SiteColumn<'_>> = keys().into();
    columns.extend(weather());
    columns.extend(nuts_and_air());
    columns.extend(heat());
    columns.extend(electricity(purchase));
    columns.extend(hourly_store::columns());
    columns.extend(rest());
    columns.extend(sources(books));
    columns
}

fn weather<'a>() -> Vec<SiteColumn<'a>> {
    vec![
        flag_of_hour("in_season", "true inside the drying season", |hour| hour.in_season),
        of_hour("outside_c", (Mean, CELSIUS), "outside dry bulb", |hour| hour.outside_c),
        of_hour("outside_rh_pct", (Mean, 5), "outside relative humidity", |hour| {
            hour.outside_relative_humidity * 100.0
        }),
        of_hour("outside_humidity_ratio", (Mean, RATIO), "the same as humidity ratio, kg/kg", |hour| {
            hour.outside_humidity_ratio
        }),
        of_hour("pressure_pa", (Mean, 1), "station pressure", |hour| hour.pressure_pa),
        maybe_of_hour(
            "irradiance_w_per_m2",
            (Mean, 1),
            "global horizontal irradiance; empty where the weather has none",
            |hour| hour.irradiance_w_per_m2,
        ),
        flag_of_hour("mended", "true if the hour's weather was mended", |hour| hour.mended),
    ]
}

fn nuts_and_air<'a>() -> Vec<SiteColumn<'a>> {
    vec![
        of_hour("air_c", (End, 2), "drying air, mean over batches that dry", |hour| hour.air_c),
        of_hour("air_rh_pct", (End, 1), "its relative humidity", |hour| hour.air_relative_humidity * 100.0),
        of_hour("bins_drying", (Mean, 0), "batches drying", |hour| f64::from(hour.bins_drying)),
        of_hour("bins_cooling", (Mean, 0), "batches cooling", |hour| f64::from(hour.bins_cooling)),
        of_hour("waiting_t", (Mean, 3), "nuts that wait to be loaded", |hour| hour.waiting_t),
        of_hour("waiting_for_bin_t", (Mean, 3), "of which for a free bin", |hour| hour.waiting_for_bin_t),
        of_hour("stored_t", (End, 4), "nuts in the cool store", |hour| hour.stored_t),
        of_hour("evaporated_kg", (Sum, KG), "water evaporated, drying and cooling", |hour| hour.evaporated_kg),
        of_hour("fresh_air_kg_per_s", (Mean, 5), "fresh air of all rooms, dry air", |hour| hour.fresh_air_kg_per_s),
    ]
}

fn heat<'a>() -> Vec<SiteColumn<'a>> {
    vec![
        of_hour("heat_need_kwh", (Sum, KWH), "heat need: of the same plant with ample heat", |hour| hour.heat_need_kwh),
        of_hour("heat_asked_kwh", (Sum, KWH), "heat lacking at the set temperature here", |hour| hour.heat_asked_kwh),
        of_hour("heat_short_kwh", (Sum, KWH), "of what was asked and not given, what no rewarming adds to", |hour| {
            hour.heat_short_kwh
        }),
        of_hour("heat_delivered_kwh", (Sum, KWH), "heat given towards it", |hour| hour.heat_delivered_kwh),
        of_hour("recovered_kwh", (Sum, KWH), "of which recovered from condensers: useful", |hour| hour.recovered_kwh),
        of_hour("purged_kwh", (Sum, KWH), "recovered heat beyond the need", |hour| hour.purged_kwh),
        of_hour("ventilation_kwh", (Sum, KWH), "heat that left with air, all rooms", |hour| hour.ventilation_kwh),
        of_hour("envelope_kwh", (Sum, KWH), "heat lost through envelopes", |hour| hour.envelope_kwh),
        of_hour("warming_kwh", (Sum, KWH), "warming of nuts and steel", |hour| hour.warming_kwh),
        of_hour("desorption_kwh", (Sum, KWH), "heat that freed bound water", |hour| hour.binding_kwh),
        of_hour("fan_heat_kwh", (Sum, KWH), "fan heat kept by the air", |hour| hour.fan_heat_kwh),
        of_hour("gains_kwh", (Sum, KWH), "lights and people in rooms", |hour| hour.gains_kwh),
    ]
}

fn electricity(purchase: Purchase<'_>) -> Vec<SiteColumn<'_>> {
    let Purchase { tariff, currency } = purchase;
    let fuel_kwh = |row: &SiteRow<'_>| -> f64 {
        row.book.sources.iter().filter_map(|source| Some(source.given.get(row.at)?.fuel_kwh)).sum()
    };
    vec![
        of_hour("bin_fan_kwh", (Sum, KWH), "bin fans", |hour| hour.bin_fan_kwh),
        of_hour("extraction_fan_kwh", (Sum, KWH), "extraction fans", |hour| hour.extraction_fan_kwh),
        of_hour("lights_kwh", (Sum, KWH), "lights of rooms", |hour| hour.lights_kwh),
        of_hour("source_electricity_kwh", (Sum, KWH), "electricity of all sources", |hour| hour.source_electricity_kwh),
        of_hour("store_units_kwh", (Sum, KWH), "compressors and condenser fans", |hour| hour.store_units_kwh),
        of_hour("store_fans_kwh", (Sum, KWH), "the store's own fans and lights", |hour| hour.store_fans_kwh),
        of_hour("site_electricity_kwh", (Sum, KWH), "all six together: the meter", Entry::site_electricity_kwh),
        Column::number(
            format!("electricity_price_{currency}_per_kwh"),
            (Mean, 7),
            "price of energy in the hour, before tax, demand and fixed charges",
            |row: &SiteRow<'_>| tariff.energy_price_per_kwh(row.hour.starts),
        ),
        Column::number("source_fuel_kwh", (Sum, KWH), "fuel of all sources, lower value", fuel_kwh),
    ]
}

fn rest<'a>() -> Vec<SiteColumn<'a>> {
    let residual = |head: &str, says: &'static str, of: fn(&Entry) -> f64| {
        Column::new(head, Sum, says, move |row: &SiteRow<'_>| Cell::Tiny(of(&row.hour)))
    };
    vec![
        residual("water_residual_kg", "water in less water out, as computed", |hour| hour.water_residual_kg),
        residual("energy_residual_kwh", "energy in less energy out, as computed", |hour| hour.energy_residual_kwh),
        of_hour("heat_store_kwh", (End, KWH), "heat in heat stores", |hour| hour.heat_store_kwh),
        of_hour("heat_store_charged_kwh", (Sum, KWH), "heat that went into them", |hour| hour.heat_store_charged_kwh),
        of_hour("heat_store_lost_kwh", (Sum, KWH), "heat that they lost", |hour| hour.heat_store_lost_kwh),
    ]
}

/// Some columns for each source that any option has; empty in options without it.
fn sources(books: &[Vec<Book>]) -> Vec<SiteColumn<'_>> {
    /// A column's beginning, what it says, which of a source's lists it is of, and what of it.
    type Part = (&'static str, &'static str, bool, fn(&Drawn) -> f64);
    const PARTS: [Part; 7] = [
        ("heat_kwh", "heat that this source gave to the air", false, |draw| draw.heat_kwh),
        ("electricity_kwh", "electricity that it took", false, |draw| draw.electricity_kwh),
        ("fuel_kwh", "fuel that it burnt, lower heating value", false, |draw| draw.fuel_kwh),
        ("charged_kwh", "heat that went into it, if it is a heat store", false, |draw| draw.charged_kwh),
        ("spared_heat_kwh", "heat that recovery spared it", true, |draw| draw.heat_kwh),
        ("spared_electricity_kwh", "electricity that recovery spared it", true, |draw| draw.electricity_kwh),
        ("spared_fuel_kwh", "fuel that recovery spared it", true, |draw| draw.fuel_kwh),
    ];
    let mut names: Vec<&str> = Vec::new();
    for source in books.iter().flatten().flat_map(|book| &book.sources) {
        if !names.contains(&source.name.as_str()) {
            names.push(&source.name);
        }
    }
    let of_source = |name: &str, (head, says, spared, of): Part| {
        let owned = name.to_owned();
        Column::maybe(format!("{head}:{name}"), (Sum, KWH), says, move |row: &SiteRow<'_>| {
            let source = row.book.sources.iter().find(|source| source.name == owned)?;
            let draws = if spared { &source.displaced } else { &source.given };
            draws.get(row.at).map(|draw| of(&draw))
        })
    };
    names.iter().flat_map(|name| PARTS.map(|part| of_source(name, part))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Cells;

    /// An hour whose every number is one, but for one of them.
    fn hour_with(at: usize, other: u64) -> (Entry, usize) {
        let mut taken = 0;
        let hour = Entry::take(&mut || {
            taken += 1;
            if taken - 1 == at { other } else { 1.0_f64.to_bits() }
        });
        (hour, taken)
    }

    /// The field in which two hours differ; one of the store's with that before it.
    fn field(one: &Entry, other: &Entry) -> String {
        let of_store = if one.store == other.store { "" } else { "store_" };
        let (one, other) = (format!("{one:?}"), format!("{other:?}"));
        let unlike = one.split(", ").zip(other.split(", ")).find(|(one, other)| one != other);
        let name =
            unlike.and_then(|(one, _)| one.rsplit_once(": ")).and_then(|(name, _)| name.split_whitespace().last());
        format!("{of_store}{}", name.unwrap_or_default())
    }

    /// What is kept for the sums of a season alone: no balance of the hour has it. The list may only shrink.
    const OF_THE_SEASON: [&str; 7] = [
        "below_set_k",
        "store_above_set_kh",
        "outdoors_unmet_kwh",
        "outdoors_above_set_kh",
        "unearned_hours",
        "unearned_useful_kwh",
        "unearned_displaced_kwh",
    ];

    /// Whatever else the book keeps of an hour stands in a column, below its own name where a column bears it.
    #[test]
    fn every_number_of_an_hour_is_told_below_its_name() {
        let (book, tariff) = (Book::default(), Tariff::flat(0.2));
        let columns = columns(&[], Purchase { tariff: &tariff, currency: "USD" });
        let cells = |hour: Entry| -> Vec<String> {
            let row = SiteRow { book: &book, at: 0, hour };
            let written = columns.iter().map(|column| {
                let mut text = String::new();
                write_row(&mut text, std::slice::from_ref(column), &row);
                text
            });
            written.collect()
        };
        let (whole, count) = hour_with(usize::MAX, 0);
        let plain = cells(whole);
        assert!(count > 60, "{count} numbers of an hour");
        for at in 0..count {
            let (hour, _) = hour_with(at, 0);
            let name = field(&whole, &hour);
            let told: Vec<&str> = columns
                .iter()
                .zip(plain.iter().zip(cells(hour)))
                .filter(|(_, (before, now))| *before != now)
                .map(|(column, _)| column.head())
                .collect();
            assert_eq!(told.is_empty(), OF_THE_SEASON.contains(&name.as_str()), "{name} stands below {told:?}");
            let bears_it = columns.iter().any(|column| column.head() == name);
            assert!(!bears_it || told.contains(&name.as_str()), "{name} stands below {told:?}");
        }
    }
}
