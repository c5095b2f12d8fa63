//! `units` of the cool store: its cooling units and where their figures come from.

use super::companions::{Companions, named_text};
use super::cursor::{Cursor, Kind};
use crate::cool_store::{
    BadTable, Compressor, CoolingUnits, Duty, MakerTable, Performance, Rating, Refrigerant,
    TablePoint, TenCoefficients,
};
use crate::problem::Problem;

/// How a rating is carried to other air.
#[derive(Clone, Copy, PartialEq)]
enum Curve {
    Default,
    Cycle,
}

pub(super) fn read(store: &Cursor<'_>, companions: &dyn Companions) -> Option<CoolingUnits> {
    let units = store
        .required_table("units", "add units = { count = 3, capacity_kw = 16.0, cop = 3.3 }")?;
    let count = units.count("count").within(1, 100).default(1, "one unit");
    let performance = if units.kind("table").is_some() {
        read_table(&units, companions).map(Performance::Table)
    } else if units.kind("compressor").is_some() {
        read_compressor(&units).map(Performance::Compressor)
    } else {
        read_rated(&units)
    };
    let trip = units.number("condenser_air_max_c").unit("°C").within(25.0, 60.0).default(
        43.0,
        "lock-out of a T1 unit (ISO 5151 maximum test at 43 °C, from memory, not verified)",
    );
    let restart = units.number("restart_below_k").unit("K").within(0.0, 20.0).default(
        3.0,
        "assumption: a tripped unit starts again when its air is this far below the limit",
    );
    let cycling = units.number("cycling_loss").within(0.0, 0.5).default(
        0.25,
        "degradation of a cycling unit as in AHRI 210/240 (from memory, not verified)",
    );
    units.finish();
    Some(CoolingUnits {
        count,
        performance: performance?,
        condenser_air_max_c: trip,
        restart_below_k: restart,
        cycling_loss: cycling,
    })
}

/// `capacity_kw` and `cop`, with `curve` and `refrigerant`.
fn read_rated(units: &Cursor<'_>) -> Option<Performance> {
    let capacity = units
        .number("capacity_kw")
        .unit("kW")
        .within(0.1, 1e4)
        .hint("give the cooling of one unit at ISO 5151 T1: 27/19 °C inside, 35 °C outside; or a table of its own")
        .required();
    let cop = units
        .number("cop")
        .within(1.0, 8.0)
        .hint("give cooling over electricity at the same conditions")
        .required();
    let curve = units
        .choice("curve", &[("default", Curve::Default), ("cycle", Curve::Cycle)])
        .default(
            Curve::Default,
            "generic air-cooled direct-expansion curve, reprinted in public building-energy libraries",
        );
    let refrigerant = (curve == Curve::Cycle).then(|| {
        units
            .choice(
                "refrigerant",
                &Refrigerant::ALL.map(|refrigerant| (refrigerant.name(), refrigerant)),
            )
            .default(Refrigerant::R32, "assumption: usual in new units")
    });
    let rating = Rating { capacity_kw: capacity?, cop: cop? };
    Some(match refrigerant {
        None => Performance::Curve(rating),
        Some(refrigerant) => Performance::Cycle(rating, refrigerant),
    })
}

/// `table = "units.csv"`, or `table = { condenser_air_c = [...], store_air_c = [...], capacity_kw =
/// [...], power_kw = [...] }` with a row for each condenser-air temperature.
fn read_table(units: &Cursor<'_>, companions: &dyn Companions) -> Option<MakerTable> {
    if units.kind("table") != Some(Kind::Table) {
        let cure = "give condenser_air_c,store_air_c,capacity_kw,power_kw";
        let (path, text) = named_text(units, "table", companions, cure)?;
        return parse(&path, &text).map_err(|problem| units.report(*problem)).ok();
    }
    let table = units.table("table");
    let list = |key: &str, unit: &str, low: f64, high: f64| {
        table
            .numbers(key)
            .unit(unit)
            .each_within(low, high)
            .hint("give one figure for each pair of temperatures, a row for each condenser air")
            .required()
    };
    let condenser = list("condenser_air_c", "°C", -30.0, 70.0);
    let store = list("store_air_c", "°C", -40.0, 45.0);
    let capacity = list("capacity_kw", "kW", 0.01, 1e4);
    let power = list("power_kw", "kW", 0.01, 1e4);
    table.finish();
    match MakerTable::new(condenser?, store?, &capacity?, &power?) {
        Ok(table) => Some(table),
        Err(error) => {
            complain(units, &error);
            None
        }
    }
}

fn complain(units: &Cursor<'_>, error: &BadTable) {
    units.complain(
        "table",
        &format!("cannot be used: {error}"),
        "capacity and power for each pair of temperatures",
        "copy them from the unit's data sheet, power with the condenser's fan",
    );
}

const COLUMNS: [&str; 4] = ["condenser_air_c", "store_air_c", "capacity_kw", "power_kw"];

/// Reads rows of the four columns, in any order of columns and rows.
fn parse(path: &str, text: &str) -> Result<MakerTable, Box<Problem>> {
    let refuse = |line: u64, what: String| {
        let problem = Problem::of_file(path, what);
        let line = usize::try_from(line).unwrap_or(usize::MAX);
        Box::new(
            problem
                .moved_to(line, 1)
                .cure(format!("one row for each pair of temperatures: {}", COLUMNS.join(","))),
        )
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let headers = reader.headers().map_err(|error| refuse(1, error.to_string()))?.clone();
    let mut places = [0; 4];
    for (place, name) in places.iter_mut().zip(COLUMNS) {
        *place = headers
            .iter()
            .position(|header| header.eq_ignore_ascii_case(name))
            .ok_or_else(|| refuse(1, format!("there is no column `{name}`")))?;
    }
    let mut points = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            refuse(error.position().map_or(0, csv::Position::line), error.to_string())
        })?;
        let line = record.position().map_or(0, csv::Position::line);
        let mut row = [0.0; 4];
        for (cell, place) in row.iter_mut().zip(places) {
            let written = record.get(place).unwrap_or("");
            *cell = written
                .parse()
                .ok()
                .filter(|value: &f64| value.is_finite())
                .ok_or_else(|| refuse(line, format!("`{written}` is not a number")))?;
        }
        points.push(TablePoint {
            condenser_air_c: row[0],
            store_air_c: row[1],
            duty: Duty { capacity_kw: row[2], power_kw: row[3] },
        });
    }
    MakerTable::of_points(&points).map_err(|error| refuse(1, error.to_string()))
}

/// `compressor = { capacity_kw = [ten], power_kw = [ten], ... }`.
fn read_compressor(units: &Cursor<'_>) -> Option<Compressor> {
    let table = units.table("compressor");
    let ten = |key: &str| {
        let list = table
            .numbers(key)
            .exactly(10)
            .hint("give C1 to C10 of AHRI 540 for kW, with dew points in °C")
            .required()?;
        let mut coefficients = [0.0; 10];
        coefficients.copy_from_slice(&list);
        Some(TenCoefficients(coefficients))
    };
    let (capacity, power) = (ten("capacity_kw"), ten("power_kw"));
    let kelvin = |key: &str, value: f64, why: &str| {
        table.number(key).unit("K").within(0.0, 40.0).default(value, why)
    };
    let below = kelvin(
        "evaporating_below_store_k",
        10.0,
        "assumption: suction dew point below the store's air",
    );
    let above = kelvin(
        "condensing_above_air_k",
        12.0,
        "discharge dew point above the condenser's air (common practice, no published source)",
    );
    let least = table
        .number("condensing_min_c")
        .unit("°C")
        .within(0.0, 60.0)
        .default(30.0, "assumption: head-pressure control");
    let fan = table
        .number("fan_kw")
        .unit("kW")
        .within(0.0, 100.0)
        .default(0.0, "none given: the condenser's fan must be in power_kw");
    table.finish();
    Some(Compressor {
        capacity_kw: capacity?,
        power_kw: power?,
        evaporating_below_store_k: below,
        condensing_above_air_k: above,
        condensing_min_c: least,
        fan_kw: fan,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_from_rows_and_faults_are_placed() {
        let rows = "store_air_c,condenser_air_c,power_kw,capacity_kw\n20,35,3,10\n20,25,2.5,11\n";
        assert!(parse("units.csv", rows).is_ok());
        for (text, words) in [
            ("condenser_air_c,store_air_c,power_kw\n", "`capacity_kw`"),
            (&rows.replace("2.5", "much"), "`much` is not a number"),
            (&rows.replace("2.5", "-2.5"), "kilowatts above zero"),
            (&rows.replace("20,25", "21,25"), "every pair needs one row"),
            ("store_air_c,condenser_air_c,power_kw,capacity_kw\n", "do not rise"),
        ] {
            let problem = parse("units.csv", text).expect_err(text);
            assert!(problem.sentence().contains(words), "{}", problem.sentence());
        }
    }

    fn read_from(text: &str) -> Result<CoolingUnits, String> {
        use crate::study::companions::{Companions, NoText};
        use crate::study::document::Document;
        struct Beside;
        impl Companions for Beside {
            fn text(&self, _path: &str) -> Result<String, NoText> {
                Ok("condenser_air_c,store_air_c,capacity_kw,power_kw\n25,20,11,2.5\n35,20,10,3\n"
                    .to_owned())
            }
        }
        Document::new("s.toml", text)
            .read(|root| {
                let units = read(root, &Beside);
                root.finish();
                units
            })
            .map(|reading| reading.value)
            .map_err(|problems| problems.to_string())
    }

    #[test]
    fn figures_come_from_a_rating_a_cycle_a_table_or_a_compressor() {
        let rated = read_from("units = { capacity_kw = 16.0, cop = 3.3 }").unwrap();
        assert!(matches!(rated.performance, Performance::Curve(_)));
        let cycle = read_from(
            "units = { capacity_kw = 16, cop = 3.3, curve = \"cycle\", refrigerant = \"R290\" }",
        );
        assert!(matches!(cycle.unwrap().performance, Performance::Cycle(_, Refrigerant::R290)));
        let inline = read_from(
            "[units.table]\ncondenser_air_c = [25, 35]\nstore_air_c = [20]\ncapacity_kw = [11, 10]\npower_kw = [2.5, 3]\n",
        );
        let beside = read_from("units = { table = \"units.csv\" }");
        assert_eq!(inline.unwrap(), beside.unwrap());
        let ten = "[1, 0, 0, 0, 0, 0, 0, 0, 0, 0]";
        let compressor = format!("[units.compressor]\ncapacity_kw = {ten}\npower_kw = {ten}\n");
        assert!(matches!(read_from(&compressor).unwrap().performance, Performance::Compressor(_)));
    }

    #[test]
    fn figures_that_cannot_be_used_are_refused() {
        let table = "[units.table]\ncondenser_air_c = [25, 35]\nstore_air_c = [20]\npower_kw = [2.5, 3]\ncapacity_kw = ";
        let said = read_from(&format!("{table}[11]\n")).unwrap_err();
        assert!(said.contains("1 figures stand for 2"), "{said}");
        let said = read_from("units = { table = \"units.csv\", cop = 3 }").unwrap_err();
        assert!(said.contains("cop"), "{said}");
    }
}
