//! The three main pictures as charts of the spreadsheet's own, with the data behind them.

use super::fault::NoWorkbook;
use super::live::Live;
use super::means::Means;
use super::owner::{YearlyPart, YearlyTable};
use super::sheet::{Look, Sheet, Styles, column_at, row_at};
use crate::answer::{Deciding, Figures, HourlyLoad, OptionFigures};
use crate::palette::{self, Fill};
use rust_xlsxwriter::{Chart, ChartFormat, ChartLegendPosition, ChartSolidFill, ChartType, Color};

/// Size of a chart, pixels.
const SIZE: (u32, u32) = (860, 380);

/// Colour of a part of the yearly cost: a carrier's is that of the page.
fn part_fill(part: YearlyPart, figures: &Figures) -> Fill {
    match part {
        YearlyPart::Electricity => palette::ELECTRICITY,
        YearlyPart::Fuel(at) => {
            let name = &figures.prices.fuels[at].carrier;
            palette::of_fuel(figures.paid_fuels().into_iter().position(|fuel| fuel == name))
        }
        YearlyPart::Charges => palette::CHARGES,
        YearlyPart::Owning => palette::OWNING,
        // The page draws it hollow.
        YearlyPart::PriceGrowth => Fill::Band,
    }
}

/// Colour of an option beside others: the page's lines of the first and the last; it draws no line of the second.
fn option_fill(what: Deciding) -> Fill {
    match what {
        Deciding::Recommended | Deciding::NoPlanYet => Fill::Accent,
        Deciding::NextBest => Fill::Green,
        Deciding::Baseline => Fill::Quiet,
    }
}

fn filled(fill: Fill) -> ChartFormat {
    let mut format = ChartFormat::new();
    format.set_solid_fill(ChartSolidFill::new().set_color(Color::RGB(fill.rgb())));
    format
}

/// Fills the sheet.
pub(super) fn charts<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (means, yearly): (&Means, &YearlyTable),
) -> Result<Sheet<'s>, NoWorkbook> {
    let note = "The first two follow the prices. Their data: the table of the owner’s sheet, and the tables beside.";
    let mut sheet = Sheet::new("Charts", styles, "Charts", note)?;
    let code = figures.study.currency.as_str();
    sheet.page_mut().insert_chart(3, 0, &yearly_chart(yearly, figures))?;
    let shown = figures.deciding();
    let column = 14;
    let bills = month_bills(&mut sheet, column, figures, means, &shown)?;
    sheet.page_mut().insert_chart(23, 0, &bills_chart(&bills, &shown, code))?;
    let loads = loads(&mut sheet, column_at(column, shown.len() + 3), figures, &shown)?;
    sheet.page_mut().insert_chart(43, 0, &loads_chart(&loads))?;
    Ok(sheet)
}

fn yearly_chart(table: &YearlyTable, figures: &Figures) -> Chart {
    let mut chart = Chart::new(ChartType::BarStacked);
    for (column, part) in (1..).zip(&table.parts) {
        chart
            .add_series()
            .set_name(("Owner", table.head_row, column))
            .set_categories(("Owner", table.first_row, 0, table.last_row, 0))
            .set_values(("Owner", table.first_row, column, table.last_row, column))
            .set_format(&mut filled(part_fill(*part, figures)));
    }
    chart.title().set_name("What each option costs in a year");
    // Of bars the axis of values is the level one; the option that costs least stands on top.
    chart.x_axis().set_name(&format!("{} a year", figures.study.currency));
    chart.y_axis().set_reverse();
    finished(chart, "Stacked bars: what each option costs in a year, by cause")
}

/// A block of data: its first row and column, and how many rows and series it has.
struct Block {
    head_row: u32,
    column: u16,
    rows: u32,
    series: u16,
}

/// The bill by month of the options that are shown.
fn month_bills(
    sheet: &mut Sheet<'_>,
    column: u16,
    figures: &Figures,
    means: &Means,
    shown: &[(Deciding, usize)],
) -> Result<Block, NoWorkbook> {
    let head_row = 4;
    sheet.text((head_row - 1, column), &format!("Bill by month, {}", figures.study.currency), Look::Group)?;
    sheet.text((head_row, column), "year and month", Look::Group)?;
    let mut months: Vec<(u32, u32)> = shown
        .iter()
        .flat_map(|(_, place)| figures.options[*place].months.iter().map(|month| (month.year, month.month)))
        .collect();
    months.sort_unstable();
    months.dedup();
    for (at, (year, month)) in months.iter().enumerate() {
        sheet.text((row_at(head_row + 1, at), column), &format!("{year}-{month:02}"), Look::Text)?;
    }
    for (series, (_, place)) in shown.iter().enumerate() {
        let option = &figures.options[*place];
        let column = column_at(column + 1, series);
        sheet.text((head_row, column), &option.name, Look::Head)?;
        sheet.page_mut().set_column_width(column, 16.0)?;
        for (month, mean) in option.months.iter().zip(&means.months[*place]) {
            let at = months.iter().position(|known| *known == (month.year, month.month)).unwrap_or(0);
            let fuels: Vec<Live> = mean.fuels.iter().flatten().cloned().collect();
            let bill = mean.energy.plus(&mean.demand).plus(&mean.other);
            let bill = fuels.iter().fold(bill, |sum, fuel| sum.plus(fuel));
            sheet.live((row_at(head_row + 1, at), column), &bill, Look::Money)?;
        }
    }
    Ok(Block { head_row, column, rows: row_at(0, months.len()), series: column_at(0, shown.len()) })
}

fn bills_chart(block: &Block, shown: &[(Deciding, usize)], code: &str) -> Chart {
    let mut chart = Chart::new(ChartType::Column);
    let (first, last) = (block.head_row + 1, block.head_row + block.rows.max(1));
    for (series, (what, _)) in (1..=block.series).zip(shown) {
        chart
            .add_series()
            .set_name(("Charts", block.head_row, block.column + series))
            .set_categories(("Charts", first, block.column, last, block.column))
            .set_values(("Charts", first, block.column + series, last, block.column + series))
            .set_format(&mut filled(option_fill(*what)));
    }
    chart.title().set_name("The bill by month");
    chart.y_axis().set_name(code);
    finished(chart, "Columns: the bill by month of the recommended option, the next best and the baseline")
}

/// A sorted load with its name.
type Sorted<'a> = (String, &'a HourlyLoad);

/// Hours sorted by load: heat need, and the site's electricity of the options that are shown.
fn loads(
    sheet: &mut Sheet<'_>,
    column: u16,
    figures: &Figures,
    shown: &[(Deciding, usize)],
) -> Result<Vec<Block>, NoWorkbook> {
    let head_row = 4;
    sheet.text((head_row - 1, column), "Hours sorted by load, mean season", Look::Group)?;
    let electricity = |option: &'_ OptionFigures| format!("electricity, {}", option.name);
    let mut all: Vec<Sorted<'_>> = vec![("heat need".to_owned(), &figures.season.heat_need)];
    for (_, place) in shown {
        let option = &figures.options[*place];
        all.push((electricity(option), &option.loads.site_electricity));
    }
    let mut blocks = Vec::new();
    for (series, (name, load)) in all.iter().enumerate() {
        let column = column_at(column, 2 * series);
        sheet.text((head_row, column), "hours, h", Look::Head)?;
        sheet.text((head_row, column + 1), &format!("{name}, kW"), Look::Head)?;
        for (at, (hours, kw)) in load.sorted.hours.iter().zip(&load.sorted.kw).enumerate() {
            sheet.number((row_at(head_row + 1, at), column), *hours, Look::Tenths)?;
            sheet.number((row_at(head_row + 1, at), column + 1), *kw, Look::Tenths)?;
        }
        blocks.push(Block { head_row, column, rows: row_at(0, load.sorted.hours.len()), series: 1 });
    }
    Ok(blocks)
}

fn loads_chart(blocks: &[Block]) -> Chart {
    let mut chart = Chart::new(ChartType::ScatterStraight);
    for block in blocks.iter().filter(|block| block.rows > 0) {
        let (first, last) = (block.head_row + 1, block.head_row + block.rows);
        chart
            .add_series()
            .set_name(("Charts", block.head_row, block.column + 1))
            .set_categories(("Charts", first, block.column, last, block.column))
            .set_values(("Charts", first, block.column + 1, last, block.column + 1));
    }
    chart.title().set_name("Hours sorted by load");
    chart.x_axis().set_name("hours of a mean season");
    chart.y_axis().set_name("kW");
    finished(chart, "Lines: loads through the hours sorted by them")
}

fn finished(mut chart: Chart, words: &str) -> Chart {
    chart.set_width(SIZE.0).set_height(SIZE.1).set_alt_text(words);
    chart.legend().set_position(ChartLegendPosition::Bottom);
    chart
}
