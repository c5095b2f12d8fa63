//! Every month of every weather year's bill, in the lines of the tariff.

use super::fault::NoWorkbook;
use super::live::{Live, Span};
use super::prices::Prices;
use super::sheet::{Column, Look, Sheet, Styles, column_at, row_at};
use crate::answer::{BilledMonth, Figures, OptionFigures};

/// A month of an option in one weather year: the cells that the mean is made of.
pub(super) struct BilledRow {
    pub option: usize,
    /// Months since the season's first.
    pub place: u32,
    /// Energy, demand, and fixed charges with tax of electricity; then each fuel of the study.
    pub lines: Vec<Option<Live>>,
}

/// The bills, and the columns that other sheets sum.
pub(super) struct Bills {
    pub rows: Vec<BilledRow>,
    pub option_column: Span,
    /// Cost of each period's energy.
    pub energy_columns: Vec<Span>,
    /// Cost of each demand charge.
    pub demand_columns: Vec<Span>,
}

/// Months since the season's first.
fn place(months: &[BilledMonth], month: &BilledMonth) -> u32 {
    let count = |month: &BilledMonth| month.year * 12 + month.month;
    months.first().map_or(0, |first| count(month).saturating_sub(count(first)))
}

/// Where what is billed stands in a row. A quantity has its cost beside it.
#[derive(Clone, Copy)]
struct Columns {
    /// The first of the tariff's periods.
    energy: u16,
    /// The first of the demand charges.
    demand: u16,
    /// Energy, demand, fixed charges, tax and the last two together.
    sums: u16,
    /// The first of the fuels: used, own and cost of each.
    fuels: u16,
    bill: u16,
}

impl Columns {
    fn of(figures: &Figures) -> Self {
        let (given, energy) = (&figures.prices, 6);
        let demand = column_at(energy, 2 * given.electricity.energy.len());
        let sums = column_at(demand, 2 * given.electricity.demand.len());
        let fuels = sums + 5;
        Self { energy, demand, sums, fuels, bill: column_at(fuels, 3 * given.fuels.len()) }
    }
}

/// Fills the sheet of the bills.
pub(super) fn bills<'s>(
    figures: &Figures,
    styles: &'s Styles,
    prices: &Prices,
) -> Result<(Sheet<'s>, Bills), NoWorkbook> {
    let note = "Each line is rounded as a bill is. Energy and demand are the plant’s, computed hour by hour; costs follow the prices.";
    let mut sheet = Sheet::new("Bills", styles, "Bills by option, weather year and month", note)?;
    let heads = heads(figures);
    let columns: Vec<Column<'_>> = heads
        .iter()
        .zip([9.0, 24.0].into_iter().chain(std::iter::repeat(13.0)))
        .map(|((head, unit), width)| (head.as_str(), unit.as_str(), width))
        .collect();
    let first = sheet.heads(3, &columns, 5)?;
    let columns = Columns::of(figures);
    let (mut rows, mut energy, mut demand) = (Vec::new(), Vec::new(), Vec::new());
    for (at, option) in figures.options.iter().enumerate() {
        for year in &option.years {
            for month in &year.bill {
                let keys = (at, option, year.label.as_str());
                let billed =
                    billed_row(&mut sheet, row_at(first, rows.len()), keys, month, (figures, prices, columns))?;
                rows.push(BilledRow { option: at, place: place(&year.bill, month), lines: billed.lines });
                energy.push(billed.energy);
                demand.push(billed.demand);
            }
        }
    }
    let span = |column: u16, values: Vec<f64>| sheet.down((first, column), values);
    // The cost of each quantity, down all rows.
    let costs = |from: u16, count: usize, rows: &[Vec<Live>]| -> Vec<Span> {
        let column = |at: usize| span(column_at(from, 2 * at) + 1, rows.iter().map(|row| row[at].value()).collect());
        (0..count).map(column).collect()
    };
    let energy_columns = costs(columns.energy, prices.energy.len(), &energy);
    let demand_columns = costs(columns.demand, prices.demand.len(), &demand);
    let option_column = span(0, rows.iter().map(|row| row.option as f64 + 1.0).collect());
    Ok((sheet, Bills { rows, option_column, energy_columns, demand_columns }))
}

/// Heads and units of the columns.
fn heads(figures: &Figures) -> Vec<(String, String)> {
    let given = &figures.prices;
    let code = figures.study.currency.as_str();
    let mut heads: Vec<(String, String)> = ["option no.", "option", "weather year", "year of the season", "month"]
        .map(|head| (head.to_owned(), String::new()))
        .into();
    heads.push(("days billed".to_owned(), "d".to_owned()));
    for price in &given.electricity.energy {
        heads.push((format!("electricity, {}", price.period), "kWh".to_owned()));
        heads.push((format!("cost, {}", price.period), code.to_owned()));
    }
    for charge in &given.electricity.demand {
        heads.push((charge.charge.clone(), charge.unit.clone()));
        heads.push((format!("cost, {}", charge.charge), code.to_owned()));
    }
    for head in ["electricity: energy", "electricity: demand", "fixed charges", "tax", "fixed charges and tax"] {
        heads.push((head.to_owned(), code.to_owned()));
    }
    for fuel in &given.fuels {
        heads.push((fuel.carrier.clone(), fuel.unit.clone()));
        heads.push((format!("{}: of which own", fuel.carrier), fuel.unit.clone()));
        heads.push((format!("cost, {}", fuel.carrier), code.to_owned()));
    }
    heads.push(("bill".to_owned(), code.to_owned()));
    heads
}

/// The cells of a month's row that other sheets ask.
struct Billed {
    /// Cost of each period's energy, and of each demand charge.
    energy: Vec<Live>,
    demand: Vec<Live>,
    /// The lines that the mean is made of.
    lines: Vec<Option<Live>>,
}

/// Quantities from a column on, and beside each what it costs at its price: the costs.
fn priced(
    sheet: &mut Sheet<'_>,
    (row, from): (u32, u16),
    (all, prices): (&[f64], &[Live]),
    decimals: u8,
) -> Result<Vec<Live>, NoWorkbook> {
    let mut costs = Vec::new();
    for (at, (quantity, price)) in all.iter().zip(prices).enumerate() {
        let column = column_at(from, 2 * at);
        let quantity = sheet.number((row, column), *quantity, Look::Tenths)?;
        let cost = quantity.times(price).half_to_even(decimals);
        costs.push(sheet.live((row, column + 1), &cost, Look::Money)?);
    }
    Ok(costs)
}

/// Writes a month's row.
fn billed_row(
    sheet: &mut Sheet<'_>,
    row: u32,
    (at, option, label): (usize, &OptionFigures, &str),
    month: &BilledMonth,
    (figures, prices, columns): (&Figures, &Prices, Columns),
) -> Result<Billed, NoWorkbook> {
    let decimals = figures.prices.decimals;
    sheet.number((row, 0), at as f64 + 1.0, Look::Whole)?;
    sheet.text((row, 1), &option.name, Look::Text)?;
    sheet.text((row, 2), label, Look::Text)?;
    sheet.number((row, 3), f64::from(month.year), Look::Whole)?;
    sheet.number((row, 4), f64::from(month.month), Look::Whole)?;
    let days = sheet.number((row, 5), f64::from(month.days), Look::Whole)?;
    let energy_costs = priced(sheet, (row, columns.energy), (&month.energy_kwh, &prices.energy), decimals)?;
    let demand_costs = priced(sheet, (row, columns.demand), (&month.demand, &prices.demand), decimals)?;
    let mut column = columns.sums;
    let mut put = |sheet: &mut Sheet<'_>, live: &Live| {
        column += 1;
        sheet.live((row, column - 1), live, Look::Money)
    };
    let energy = put(sheet, &Live::sum(&energy_costs))?;
    let demand = put(sheet, &Live::sum(&demand_costs))?;
    let fixed = put(sheet, &prices.per_month.plus(&prices.per_day.times(&days)).half_to_even(decimals))?;
    let taxed = energy.plus(&demand).plus(&fixed);
    let tax = put(sheet, &taxed.times(&prices.tax).half_to_even(decimals))?;
    let other = put(sheet, &fixed.plus(&tax))?;
    let mut lines = vec![Some(energy), Some(demand), Some(other)];
    for (at, fuel) in prices.fuels.iter().enumerate() {
        let column = column_at(columns.fuels, 3 * at);
        let line = match month.fuels.iter().find(|line| line.carrier == fuel.carrier) {
            Some(line) => {
                let used = sheet.number((row, column), line.quantity, Look::Tenths)?;
                let own = sheet.number((row, column + 1), line.at_own_worth, Look::Tenths)?;
                let mut cost = used.less(&own).times(&fuel.price);
                if let Some(worth) = &fuel.own_worth {
                    cost = own.times(worth).plus(&cost);
                }
                let cost = cost.plus(&fuel.fixed).half_to_even(decimals);
                Some(sheet.live((row, column + 2), &cost, Look::Money)?)
            }
            None => None,
        };
        lines.push(line);
    }
    let known: Vec<Live> = lines.iter().flatten().cloned().collect();
    sheet.live((row, columns.bill), &Live::sum(&known), Look::Money)?;
    Ok(Billed { energy: energy_costs, demand: demand_costs, lines })
}

/// Rows of what each period and each demand charge of the tariff come to.
pub(super) fn periods<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, bills): (&Prices, &Bills),
) -> Result<Sheet<'s>, NoWorkbook> {
    let note = "Mean over the weather years, before tax. Costs follow the prices.";
    let mut sheet = Sheet::new("Periods", styles, "Electricity by period of the tariff", note)?;
    let code = figures.study.currency.as_str();
    let columns = [
        ("option", "", 24.0),
        ("period or charge", "", 24.0),
        ("energy", "kWh", 13.0),
        ("highest demand", "kW or kVA", 13.0),
        ("price", &format!("{code}/kWh or a month"), 15.0),
        ("cost a season", code, 14.0),
    ];
    let first = sheet.heads(3, &columns, 2)?;
    let mut row = first;
    for (at, option) in figures.options.iter().enumerate() {
        let years = option.years.len().max(1) as f64;
        let months = || option.years.iter().flat_map(|year| &year.bill);
        let is_own = [(&bills.option_column, at + 1)];
        let mut line = |name: &str, (column, value): (u16, f64), price: &Live, costs: &Span| {
            sheet.text((row, 0), &option.name, Look::Text)?;
            sheet.text((row, 1), name, Look::Text)?;
            sheet.number((row, column), value, Look::Tenths)?;
            sheet.live((row, 4), price, Look::Fine)?;
            sheet.live((row, 5), &costs.sum_where(&is_own).over(&Live::number(years)), Look::Money)?;
            row = row_at(row, 1);
            Ok::<(), NoWorkbook>(())
        };
        for (period, price) in figures.prices.electricity.energy.iter().enumerate() {
            let kwh: f64 = months().map(|month| month.energy_kwh[period]).sum::<f64>() / years;
            line(&price.period, (2, kwh), &prices.energy[period], &bills.energy_columns[period])?;
        }
        for (charge, price) in figures.prices.electricity.demand.iter().enumerate() {
            let highest = months().map(|month| month.demand[charge]).fold(0.0, f64::max);
            line(&price.charge, (3, highest), &prices.demand[charge], &bills.demand_columns[charge])?;
        }
    }
    Ok(sheet)
}
