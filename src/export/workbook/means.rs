//! The mean bill over the weather years, rounded so that the cells add; and the months that are made of it.

use super::bills::{BilledRow, Bills};
use super::fault::NoWorkbook;
use super::live::{Live, Span};
use super::sheet::{Look, Sheet, Styles};
use crate::answer::Figures;

/// A month of an option, the mean over the weather years.
pub(super) struct MeanMonth {
    pub energy: Live,
    pub demand: Live,
    pub other: Live,
    /// Fuels in the order of the study; nothing for one that the option does not burn.
    pub fuels: Vec<Option<Live>>,
}

/// The means by option and month, and the columns that other sheets sum.
pub(super) struct Means {
    pub months: Vec<Vec<MeanMonth>>,
    pub option_column: Span,
    /// 1 energy, 2 demand, 3 fixed charges and tax of electricity, 4 the first fuel.
    pub line_column: Span,
    pub cost_column: Span,
}

/// Fills the sheet of the means: a cell is what the mean of all cells so far, rounded, lies above that of those before
/// it, so that the cells add to the mean of the years' bills.
pub(super) fn means<'s>(
    figures: &Figures,
    styles: &'s Styles,
    bills: &Bills,
) -> Result<(Sheet<'s>, Means), NoWorkbook> {
    let note = "Mean over the weather years. Each cell is the mean of all cells of the option so far, rounded, less that \
                of those before it: so the cells add to the mean bill to the last digit.";
    let mut sheet = Sheet::new("Means", styles, "The mean bill by option, month and line", note)?;
    let code = figures.study.currency.as_str();
    let columns = [
        ("option no.", "", 9.0),
        ("option", "", 24.0),
        ("line no.", "", 9.0),
        ("line", "", 24.0),
        ("year of the season", "", 9.0),
        ("month", "", 9.0),
        ("sum over weather years", code, 16.0),
        ("of all lines so far", code, 16.0),
        ("their mean", code, 16.0),
        ("cost", code, 16.0),
    ];
    let mut row = sheet.heads(3, &columns, 4)?;
    let first = row;
    let fuels = figures.prices.fuels.iter().map(|fuel| fuel.carrier.as_str());
    let names: Vec<&str> = ["energy", "demand", "fixed charges and tax"].into_iter().chain(fuels).collect();
    let (mut months, mut keys, mut costs) = (Vec::new(), (Vec::new(), Vec::new()), Vec::new());
    for (at, option) in figures.options.iter().enumerate() {
        let of_option: Vec<&BilledRow> = bills.rows.iter().filter(|row| row.option == at).collect();
        let mut places: Vec<u32> = of_option.iter().map(|row| row.place).collect();
        places.sort_unstable();
        places.dedup();
        let weather_years = Live::number(option.years.len().max(1) as f64);
        let mut before: Option<(Live, Live)> = None;
        let mut of_months = Vec::new();
        for (month, place) in option.months.iter().zip(places) {
            let mut lines = Vec::new();
            for (line, name) in names.iter().enumerate() {
                let in_years = of_option.iter().filter(|row| row.place == place);
                let cells: Vec<Live> = in_years.filter_map(|row| row.lines[line].clone()).collect();
                if cells.is_empty() {
                    lines.push(None);
                    continue;
                }
                sheet.number((row, 0), at as f64 + 1.0, Look::Whole)?;
                sheet.text((row, 1), &option.name, Look::Text)?;
                sheet.number((row, 2), line as f64 + 1.0, Look::Whole)?;
                sheet.text((row, 3), name, Look::Text)?;
                sheet.number((row, 4), f64::from(month.year), Look::Whole)?;
                sheet.number((row, 5), f64::from(month.month), Look::Whole)?;
                let sum = sheet.live((row, 6), &Live::sum(&cells), Look::Money)?;
                let so_far = before.as_ref().map_or_else(|| sum.clone(), |(so_far, _)| so_far.plus(&sum));
                let so_far = sheet.live((row, 7), &so_far, Look::Money)?;
                let mean = so_far.over(&weather_years).half_to_even(figures.prices.decimals);
                let mean = sheet.live((row, 8), &mean, Look::Money)?;
                let cost = before.as_ref().map_or_else(|| mean.clone(), |(_, before)| mean.less(before));
                let cost = sheet.live((row, 9), &cost, Look::Money)?;
                keys.0.push(at as f64 + 1.0);
                keys.1.push(line as f64 + 1.0);
                costs.push(cost.value());
                before = Some((so_far, mean));
                lines.push(Some(cost));
                row += 1;
            }
            let mut lines = lines.into_iter();
            let mut next = || lines.next().flatten().unwrap_or_else(|| Live::number(0.0));
            let (energy, demand, other) = (next(), next(), next());
            of_months.push(MeanMonth { energy, demand, other, fuels: lines.collect() });
        }
        months.push(of_months);
    }
    let span = |column: u16, values: Vec<f64>| sheet.down((first, column), values);
    let means =
        Means { months, option_column: span(0, keys.0), line_column: span(2, keys.1), cost_column: span(9, costs) };
    Ok((sheet, means))
}

/// Rows of figures of every option in its months.
pub(super) fn months<'s>(figures: &Figures, styles: &'s Styles, means: &Means) -> Result<Sheet<'s>, NoWorkbook> {
    let note = "Mean over the weather years, by the tariff’s months. Costs follow the prices.";
    let mut sheet = Sheet::new("Months", styles, "Months of every option", note)?;
    let code = figures.study.currency.as_str();
    let columns = [
        ("option", "", 24.0),
        ("year of the season", "", 9.0),
        ("month", "", 8.0),
        ("water evaporated", "kg", 12.0),
        ("heat need", "kWh", 12.0),
        ("heat given", "kWh", 12.0),
        ("drying fans", "kWh", 12.0),
        ("cool store", "kWh", 12.0),
        ("electricity of the site", "kWh", 12.0),
        ("peak demand", "kW", 10.0),
        ("energy used", "kWh", 12.0),
        ("of which own", "kWh", 12.0),
        ("energy purchased", "kWh", 12.0),
        ("energy", code, 12.0),
        ("demand charges", code, 12.0),
        ("fixed charges and tax", code, 12.0),
        ("bill", code, 13.0),
    ];
    let mut row = sheet.heads(3, &columns, 3)?;
    for (option, means) in figures.options.iter().zip(&means.months) {
        for (month, mean) in option.months.iter().zip(means) {
            sheet.text((row, 0), &option.name, Look::Text)?;
            sheet.number((row, 1), f64::from(month.year), Look::Whole)?;
            sheet.number((row, 2), f64::from(month.month), Look::Whole)?;
            let energies = [
                month.water_kg,
                month.heat_need_kwh,
                month.heat_delivered_kwh,
                month.fan_kwh,
                month.cool_store_kwh,
                month.electricity_kwh,
                month.electric_peak_kw,
                month.used_kwh,
                month.own_kwh,
                month.purchased_kwh,
            ];
            for (column, value) in (3..).zip(energies) {
                sheet.number((row, column), value, Look::Tenths)?;
            }
            let fuels: Vec<Live> = mean.fuels.iter().flatten().cloned().collect();
            let energy = fuels.iter().fold(mean.energy.clone(), |sum, fuel| sum.plus(fuel));
            let energy = sheet.live((row, 13), &energy, Look::Money)?;
            let demand = sheet.live((row, 14), &mean.demand, Look::Money)?;
            let other = sheet.live((row, 15), &mean.other, Look::Money)?;
            sheet.live((row, 16), &energy.plus(&demand).plus(&other), Look::Money)?;
            row += 1;
        }
    }
    Ok(sheet)
}
