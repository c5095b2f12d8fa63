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

/// Fills the sheet of the bills.
pub(super) fn bills<'s>(
    figures: &Figures,
    styles: &'s Styles,
    prices: &Prices,
) -> Result<(Sheet<'s>, Bills), NoWorkbook> {
    let note = "Each line is rounded as a bill is. Energy and demand are the plant’s, computed hour by hour; costs follow the prices.";
    let mut sheet = Sheet::new("Bills", styles, "Bills by option, weather year and month", note)?;
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
    let columns: Vec<Column<'_>> = heads
        .iter()
        .zip([9.0, 24.0].into_iter().chain(std::iter::repeat(13.0)))
        .map(|((head, unit), width)| (head.as_str(), unit.as_str(), width))
        .collect();
    let first = sheet.heads(3, &columns, 5)?;
    let mut rows = Vec::new();
    let mut row = first;
    for (at, option) in figures.options.iter().enumerate() {
        for year in &option.years {
            for month in &year.bill {
                let keys = (at, option, year.label.as_str());
                let lines = billed_row(&mut sheet, row, keys, month, (figures, prices))?;
                rows.push(BilledRow { option: at, place: place(&year.bill, month), lines });
                row += 1;
            }
        }
    }
    let count = |at: usize| column_at(0, at);
    let all = || figures.options.iter().flat_map(|option| option.years.iter().flat_map(|year| &year.bill));
    let span = |column: u16, values: Vec<f64>| sheet.down((first, column), values);
    let energy_columns = given.electricity.energy.iter().enumerate().map(|(period, price)| {
        let cost = |month: &BilledMonth| {
            Live::number(month.energy_kwh[period] * price.per_kwh).half_to_even(given.decimals).value()
        };
        span(count(7 + 2 * period), all().map(cost).collect())
    });
    let energy_columns: Vec<Span> = energy_columns.collect();
    let after = 6 + 2 * energy_columns.len();
    let demand_columns = given.electricity.demand.iter().enumerate().map(|(charge, price)| {
        let cost =
            |month: &BilledMonth| Live::number(month.demand[charge] * price.price).half_to_even(given.decimals).value();
        span(count(after + 1 + 2 * charge), all().map(cost).collect())
    });
    let demand_columns = demand_columns.collect();
    let option_column = span(0, rows.iter().map(|row| row.option as f64 + 1.0).collect());
    Ok((sheet, Bills { rows, option_column, energy_columns, demand_columns }))
}

/// Writes a month's row; the lines that the mean is made of.
fn billed_row(
    sheet: &mut Sheet<'_>,
    row: u32,
    (at, option, label): (usize, &OptionFigures, &str),
    month: &BilledMonth,
    (figures, prices): (&Figures, &Prices),
) -> Result<Vec<Option<Live>>, NoWorkbook> {
    let decimals = figures.prices.decimals;
    sheet.number((row, 0), at as f64 + 1.0, Look::Whole)?;
    sheet.text((row, 1), &option.name, Look::Text)?;
    sheet.text((row, 2), label, Look::Text)?;
    sheet.number((row, 3), f64::from(month.year), Look::Whole)?;
    sheet.number((row, 4), f64::from(month.month), Look::Whole)?;
    let days = sheet.number((row, 5), f64::from(month.days), Look::Whole)?;
    let mut column = 6;
    // A quantity, and beside it what it costs at its price.
    let mut priced = |sheet: &mut Sheet<'_>, all: &[f64], prices: &[Live]| -> Result<Live, NoWorkbook> {
        let mut costs = Vec::new();
        for (quantity, price) in all.iter().zip(prices) {
            let quantity = sheet.number((row, column), *quantity, Look::Tenths)?;
            let cost = quantity.times(price).half_to_even(decimals);
            costs.push(sheet.live((row, column + 1), &cost, Look::Money)?);
            column += 2;
        }
        Ok(Live::sum(&costs))
    };
    let energy = priced(sheet, &month.energy_kwh, &prices.energy)?;
    let demand = priced(sheet, &month.demand, &prices.demand)?;
    let mut put = |sheet: &mut Sheet<'_>, live: &Live| {
        column += 1;
        sheet.live((row, column - 1), live, Look::Money)
    };
    let energy = put(sheet, &energy)?;
    let demand = put(sheet, &demand)?;
    let fixed = put(sheet, &prices.per_month.plus(&prices.per_day.times(&days)).half_to_even(decimals))?;
    let taxed = energy.plus(&demand).plus(&fixed);
    let tax = put(sheet, &taxed.times(&prices.tax).half_to_even(decimals))?;
    let other = put(sheet, &fixed.plus(&tax))?;
    let mut lines = vec![Some(energy), Some(demand), Some(other)];
    for fuel in &prices.fuels {
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
        column += 3;
        lines.push(line);
    }
    let known: Vec<Live> = lines.iter().flatten().cloned().collect();
    sheet.live((row, column), &Live::sum(&known), Look::Money)?;
    Ok(lines)
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
