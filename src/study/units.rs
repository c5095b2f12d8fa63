//! `units` of the cool store: its cooling units and where their figures come from.

use super::companions::{Companions, named_table};
use super::cursor::{Cursor, Kind};
use crate::cool_store::{
    BadTable, Compressor, CoolingUnits, Duty, MakerTable, Performance, Rating, Refrigerant, TablePoint, TenCoefficients,
};
use crate::problem::Problem;
use crate::table::{Column, OtherUnit, Sheet};

/// How a rating is carried to other air.
#[derive(Clone, Copy, PartialEq)]
enum Curve {
    Default,
    Cycle,
}

pub(super) fn read(store: &Cursor<'_>, companions: &dyn Companions) -> Option<CoolingUnits> {
    let units = store.required_table("units", "add units = { count = 3, capacity_kw = 16.0, cop = 3.3 }")?;
    let count = units.count("count").within(1, 100).default(1, "one unit");
    let performance = if units.kind("table").is_some() {
        read_table(&units, companions).map(Performance::Table)
    } else if units.kind("compressor").is_some() {
        read_compressor(&units).map(Performance::Compressor)
    } else {
        read_rated(&units)
    };
    let trip = units
        .number("condenser_air_max_c")
        .unit("°C")
        .within(25.0, 60.0)
        .default(43.0, "lock-out of a T1 unit (ISO 5151 maximum test at 43 °C, from memory, not verified)");
    let restart = units
        .number("restart_below_k")
        .unit("K")
        .within(0.0, 20.0)
        .default(3.0, "assumption: a tripped unit starts again when its air is this far below the limit");
    let cycling = units
        .number("cycling_loss")
        .within(0.0, 0.5)
        .default(0.25, "degradation of a cycling unit as in AHRI 210/240 (from memory, not verified)");
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
    let cop =
        units.number("cop").within(1.0, 8.0).hint("give cooling over electricity at the same conditions").required();
    let curve = units.choice("curve", &[("default", Curve::Default), ("cycle", Curve::Cycle)]).default(
        Curve::Default,
        "generic air-cooled direct-expansion curve, reprinted in public building-energy libraries",
    );
    let refrigerant = (curve == Curve::Cycle).then(|| {
        units
            .choice("refrigerant", &Refrigerant::ALL.map(|refrigerant| (refrigerant.name(), refrigerant)))
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
        let (path, text) = named_table(units, "table", companions, cure)?;
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

const CELSIUS: &[&str] = &["°C", "C", "degC"];
const KILOWATT: &[&str] = &["kW"];
const COLUMNS: [Column; 4] = [
    Column { name: "condenser_air_c", units: CELSIUS },
    Column { name: "store_air_c", units: CELSIUS },
    Column { name: "capacity_kw", units: KILOWATT },
    Column { name: "power_kw", units: KILOWATT },
];

/// Reads rows of the four columns, in any order of columns and rows.
fn parse(path: &str, text: &str) -> Result<MakerTable, Box<Problem>> {
    let names = COLUMNS.map(|column| column.name).join(",");
    let refuse = |line: usize, what: String| {
        let problem = Problem::of_file(path, what).moved_to(line, 1);
        Box::new(problem.cure(format!("one row for each pair of temperatures: {names}")))
    };
    let sheet = Sheet::of(text);
    let places = sheet.places(&COLUMNS);
    let head = sheet.head.number.max(1);
    if let Some(second) = places.twice {
        let name = sheet.head.cells[second];
        return Err(refuse(head, format!("two columns are called `{name}`")));
    }
    if let Some(OtherUnit { line, column, found, expected }) = &places.other_unit {
        return Err(refuse(*line, format!("{column} is in {found}, expected {expected}")));
    }
    let mut at = [0; 4];
    for ((at, column), known) in at.iter_mut().zip(&COLUMNS).zip(0..) {
        *at = places.of(known).ok_or_else(|| refuse(head, format!("there is no column `{}`", column.name)))?;
    }
    let mut points = Vec::new();
    for line in &sheet.rows {
        let (found, named) = (line.cells.len(), sheet.head.cells.len());
        if found != named {
            let what = format!("the row has {found} cells, expected {named} as there are columns");
            return Err(refuse(line.number, what));
        }
        let mut row = [0.0; 4];
        for ((value, place), column) in row.iter_mut().zip(at).zip(&COLUMNS) {
            let written = line.cell(place);
            *value = sheet
                .number(written, column)
                .ok_or_else(|| refuse(line.number, format!("`{written}` is not a number")))?;
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
    let kelvin = |key: &str, value: f64, why: &str| table.number(key).unit("K").within(0.0, 40.0).default(value, why);
    let below = kelvin("evaporating_below_store_k", 10.0, "assumption: suction dew point below the store's air");
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

    #[test]
    fn one_table_of_units_in_every_writing_is_one_table() {
        use crate::table::text_of;
        use crate::table::writings::{Cell::Number, Meant};
        let row = |figures: [f64; 4]| figures.map(Number).to_vec();
        let meant = Meant {
            remarks: vec!["# condenser's air at 25 and 35 °C"],
            names: COLUMNS.map(|column| column.name).to_vec(),
            units: vec!["°C", "°C", "kW", "kW"],
            rows: [[25.0, 20.0, 11.25, 2.5], [35.0, 20.0, 10.5, 3.0]].map(row).to_vec(),
        };
        let mut first: Option<MakerTable> = None;
        for (what, bytes) in meant.in_every_writing() {
            let table = parse("units.csv", &text_of(&bytes).expect("a table"));
            let table = table.unwrap_or_else(|problem| panic!("{what}: {problem}"));
            assert_eq!(*first.get_or_insert_with(|| table.clone()), table, "{what}");
        }
        let watts = "condenser_air_c,store_air_c,capacity_kw,power_kw\n°F,°C,kW,kW\n77,20,11,2\n";
        let told = parse("units.csv", watts).expect_err("°F").sentence();
        assert!(told.contains("condenser_air_c is in °f, expected °C"), "{told}");
    }

    fn read_from(text: &str) -> Result<CoolingUnits, String> {
        use crate::study::companions::{Companions, NoText};
        use crate::study::document::Document;
        struct Beside;
        impl Companions for Beside {
            fn text(&self, _path: &str) -> Result<String, NoText> {
                Ok("condenser_air_c,store_air_c,capacity_kw,power_kw\n25,20,11,2.5\n35,20,10,3\n".to_owned())
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
        let cycle = read_from("units = { capacity_kw = 16, cop = 3.3, curve = \"cycle\", refrigerant = \"R290\" }");
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
        let table =
            "[units.table]\ncondenser_air_c = [25, 35]\nstore_air_c = [20]\npower_kw = [2.5, 3]\ncapacity_kw = ";
        let said = read_from(&format!("{table}[11]\n")).unwrap_err();
        assert!(said.contains("1 figures stand for 2"), "{said}");
        let said = read_from("units = { table = \"units.csv\", cop = 3 }").unwrap_err();
        assert!(said.contains("cop"), "{said}");
    }
}
