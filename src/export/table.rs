//! `monthly.csv`: a plain table with units in its headings.

use crate::report::{Digits, Figures};
use std::collections::BTreeSet;
use std::fmt::Write;

/// One row for each option and month of its bill, the mean over the weather years. `year` is 1 for months in the
/// calendar year of the season's first, 2 in the next. A carrier's `NAME_kwh` is what was used, the plant's own
/// supply with it.
pub fn monthly_csv(figures: &Figures) -> String {
    let carriers: BTreeSet<&String> =
        figures.options.iter().flat_map(|option| option.carriers.keys()).collect();
    let currency = &figures.study.currency;
    let mut text = String::from(
        "option,year,month,in_season,water_kg,heat_need_kwh,heat_delivered_kwh,fan_kwh,cool_store_kwh,heat_electricity_kwh,electricity_kwh,electric_peak_kw,used_kwh,own_kwh,purchased_kwh",
    );
    for (carrier, name) in carriers.iter().zip(column_names(&carriers)) {
        // Electricity has its column already, and is all purchased.
        if *carrier != crate::money::ELECTRICITY {
            let _ = write!(text, ",{name}_kwh,{name}_own_kwh,{name}_purchased_kwh");
        }
        let _ = write!(text, ",{name}_cost_{currency}");
    }
    let _ = writeln!(
        text,
        ",energy_cost_{currency},demand_cost_{currency},other_cost_{currency},total_cost_{currency},recovered_gross_kwh,recovered_useful_kwh,recovered_penalty_kwh,recovered_net_kwh,recovered_net_{currency}"
    );
    for option in &figures.options {
        for month in &option.months {
            let _ = write!(
                text,
                "{},{},{},{}",
                quoted(&option.name),
                month.year,
                month.month,
                month.in_season
            );
            cells(
                &mut text,
                &[
                    (month.water_kg, 1),
                    (month.heat_need_kwh, 1),
                    (month.heat_delivered_kwh, 1),
                    (month.fan_kwh, 1),
                    (month.cool_store_kwh, 1),
                    (month.heat_electricity_kwh, 1),
                    (month.electricity_kwh, 1),
                    (month.electric_peak_kw, 2),
                    (month.used_kwh, 1),
                    (month.own_kwh, 1),
                    (month.purchased_kwh, 1),
                ],
            );
            for carrier in &carriers {
                let line = month.carriers.get(*carrier).cloned().unwrap_or_default();
                if *carrier != crate::money::ELECTRICITY {
                    cells(
                        &mut text,
                        &[(line.used_kwh, 1), (line.own_kwh, 1), (line.purchased_kwh, 1)],
                    );
                }
                cells(&mut text, &[(line.cost, 2)]);
            }
            cells(
                &mut text,
                &[
                    (month.energy_cost, 2),
                    (month.demand_cost, 2),
                    (month.other_cost, 2),
                    (month.total_cost, 2),
                    (month.recovered_gross_kwh, 1),
                    (month.recovered_useful_kwh, 1),
                    (month.recovered_penalty_kwh, 1),
                    (month.recovered_net_kwh, 1),
                    (month.recovered_net_money, 2),
                ],
            );
            text.push('\n');
        }
    }
    text
}

/// Numbers as further cells of a row, each with its decimals.
fn cells(text: &mut String, numbers: &[(f64, usize)]) {
    for &(value, decimals) in numbers {
        let _ = write!(text, ",{:.decimals$}", Digits(value));
    }
}

/// Signs with which a spreadsheet takes a cell for a formula.
const BEGINS_A_FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A name as a CSV cell. One that a spreadsheet would run gets an apostrophe before it, the spreadsheets' own
/// mark of a text; numbers never pass through here.
pub(super) fn quoted(name: &str) -> String {
    let harmless =
        if name.starts_with(BEGINS_A_FORMULA) { format!("'{name}") } else { name.to_owned() };
    if harmless.contains([',', '"', '\n', '\r', '\t', '\'']) {
        format!("\"{}\"", harmless.replace('"', "\"\""))
    } else {
        harmless
    }
}

/// Carriers as parts of headings, each its own: `wood chips` and `wood-chips` are `wood_chips` and `wood_chips_2`.
fn column_names(carriers: &BTreeSet<&String>) -> Vec<String> {
    /// What the table's other energies are called.
    const TAKEN: [&str; 8] = [
        "heat_need",
        "heat_delivered",
        "fan",
        "cool_store",
        "heat_electricity",
        "used",
        "own",
        "purchased",
    ];
    let mut names: Vec<String> = Vec::new();
    for carrier in carriers {
        let name = plain(carrier);
        let numbered = (2..).map(|at| format!("{name}_{at}"));
        let is_free = |name: &String| !names.contains(name) && !TAKEN.contains(&name.as_str());
        let free = std::iter::once(name.clone()).chain(numbered).find(is_free);
        names.extend(free);
    }
    names
}

/// A name as part of a heading.
fn plain(name: &str) -> String {
    name.chars().map(|c| if c.is_alphanumeric() { c } else { '_' }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_is_a_formula() {
        for (name, cell) in [
            ("electric", "electric"),
            ("a, b", "\"a, b\""),
            ("say \"go\"", "\"say \"\"go\"\"\""),
            ("=cmd|' /C calc'!A1", "\"'=cmd|' /C calc'!A1\""),
            ("@SUM(1+1)", "\"'@SUM(1+1)\""),
            ("+1+1", "\"'+1+1\""),
            ("-2+3", "\"'-2+3\""),
            ("\t=1", "\"'\t=1\""),
        ] {
            assert_eq!(quoted(name), cell);
        }
    }

    #[test]
    fn carriers_that_read_alike_have_columns_of_their_own() {
        let names = ["wood chips", "wood-chips", "wood_chips", "lpg", "fan"].map(str::to_owned);
        let columns = column_names(&names.iter().collect());
        assert_eq!(columns, ["fan_2", "lpg", "wood_chips", "wood_chips_2", "wood_chips_3"]);
    }

    #[test]
    fn what_rounds_to_nothing_has_no_sign() {
        let mut text = String::new();
        let numbers = [(-0.0, 4), (-0.004, 2), (-0.006, 2), (0.0, 0), (-12.0, 1)];
        cells(&mut text, &numbers);
        assert_eq!(text, ",0.0000,0.00,-0.01,0,-12.0");
    }
}
