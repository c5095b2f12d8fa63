//! `monthly.csv`: every month of every option's bill.

use super::column::Adds::{Mean, Sum};
use super::column::{Cell, Column, write_head, write_row};
use crate::answer::{CarrierFigures, Figures, MonthFigures, OptionFigures};
use std::collections::BTreeSet;

/// A month of an option.
type MonthRow<'a> = (&'a OptionFigures, &'a MonthFigures);
type MonthColumn<'a> = Column<'a, MonthRow<'a>>;

/// One row for each option and month of its bill, the mean over the weather years. `year` is 1 for months in the
/// calendar year of the season's first, 2 in the next. A carrier's `NAME_kwh` is what was used, the plant's own
/// supply with it.
pub(crate) fn monthly_csv(figures: &Figures) -> String {
    let columns = columns(figures);
    let mut text = String::new();
    write_head(&mut text, &columns);
    for option in &figures.options {
        for month in &option.months {
            write_row(&mut text, &columns, &(option, month));
        }
    }
    text
}

fn columns(figures: &Figures) -> Vec<MonthColumn<'_>> {
    let currency = &figures.study.currency;
    let mut columns = vec![
        Column::key("option", "option of the study", |row: &MonthRow<'_>| row.0.name.clone()),
        Column::key("year", "1 or 2", |row: &MonthRow<'_>| row.1.year.to_string()),
        Column::key("month", "1..12", |row: &MonthRow<'_>| row.1.month.to_string()),
        Column::new("in_season", Mean, "true in the season", |row: &MonthRow<'_>| {
            Cell::Text(row.1.in_season.to_string())
        }),
        kwh("water_kg", "water evaporated", |month| month.water_kg),
        kwh("heat_need_kwh", "heat need", |month| month.heat_need_kwh),
        kwh("heat_delivered_kwh", "heat given", |month| month.heat_delivered_kwh),
        kwh("fan_kwh", "drying fans", |month| month.fan_kwh),
        kwh("cool_store_kwh", "cool store", |month| month.cool_store_kwh),
        kwh("heat_electricity_kwh", "of sources", |month| month.heat_electricity_kwh),
        kwh("electricity_kwh", "of the site", |month| month.electricity_kwh),
        of_month("electric_peak_kw", 2, "peak demand", |month| month.electric_peak_kw),
        kwh("used_kwh", "energy used", |month| month.used_kwh),
        kwh("own_kwh", "of which the plant's own", |month| month.own_kwh),
        kwh("purchased_kwh", "of which purchased", |month| month.purchased_kwh),
    ];
    columns.extend(carriers(figures));
    let money = |name: &str, of: fn(&MonthFigures) -> f64| of_month(&format!("{name}_{currency}"), 2, "money", of);
    columns.extend([
        money("energy_cost", |month| month.energy_cost),
        money("demand_cost", |month| month.demand_cost),
        money("other_cost", |month| month.other_cost),
        money("total_cost", |month| month.total_cost),
        kwh("recovered_gross_kwh", "rejected where usable", |month| month.recovered_gross_kwh),
        kwh("recovered_useful_kwh", "of which useful", |month| month.recovered_useful_kwh),
        kwh("recovered_penalty_kwh", "penalty", |month| month.recovered_penalty_kwh),
        kwh("recovered_net_kwh", "net", |month| month.recovered_net_kwh),
        money("recovered_net", |month| month.recovered_net_money),
    ]);
    columns
}

/// Columns of each carrier that any option has; of electricity its cost alone, since it has its column already and
/// is all purchased.
fn carriers(figures: &Figures) -> Vec<MonthColumn<'_>> {
    let carriers: BTreeSet<&String> = figures.options.iter().flat_map(|option| option.carriers.keys()).collect();
    let mut columns = Vec::new();
    for (carrier, name) in carriers.iter().copied().zip(column_names(&carriers)) {
        let of = |head: String, decimals: usize, of: fn(&CarrierFigures) -> f64| {
            Column::number(head, (Sum, decimals), "of a carrier", move |row: &MonthRow<'_>| {
                row.1.carriers.get(carrier).map_or(0.0, of)
            })
        };
        if carrier != "electricity" {
            columns.push(of(format!("{name}_kwh"), 1, |line| line.used_kwh));
            columns.push(of(format!("{name}_own_kwh"), 1, |line| line.own_kwh));
            columns.push(of(format!("{name}_purchased_kwh"), 1, |line| line.purchased_kwh));
        }
        columns.push(of(format!("{name}_cost_{}", figures.study.currency), 2, |line| line.cost));
    }
    columns
}

/// A number of the month.
fn of_month<'a>(head: &str, decimals: usize, says: &'static str, of: fn(&MonthFigures) -> f64) -> MonthColumn<'a> {
    Column::number(head, (Sum, decimals), says, move |row: &MonthRow<'_>| of(row.1))
}

fn kwh<'a>(head: &str, says: &'static str, of: fn(&MonthFigures) -> f64) -> MonthColumn<'a> {
    of_month(head, 1, says, of)
}

/// Carriers as parts of headings, each its own: `wood chips` and `wood-chips` are `wood_chips` and `wood_chips_2`.
fn column_names(carriers: &BTreeSet<&String>) -> Vec<String> {
    /// What the table's other energies are called.
    const TAKEN: [&str; 8] =
        ["heat_need", "heat_delivered", "fan", "cool_store", "heat_electricity", "used", "own", "purchased"];
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
    fn carriers_that_read_alike_have_columns_of_their_own() {
        let names = ["wood chips", "wood-chips", "wood_chips", "lpg", "fan"].map(str::to_owned);
        let columns = column_names(&names.iter().collect());
        assert_eq!(columns, ["fan_2", "lpg", "wood_chips", "wood_chips_2", "wood_chips_3"]);
    }
}
