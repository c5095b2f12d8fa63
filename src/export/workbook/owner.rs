//! The owner's sheet: what decides, in words as computed and in sums that follow the prices.

use super::fault::NoWorkbook;
use super::live::Live;
use super::options::OptionCells;
use super::prices::Prices;
use super::sheet::{Look, Sheet, Styles, column_at, row_at};
use crate::answer::Figures;

/// Columns over which words go.
const WIDE: u16 = 9;

/// Where the table of yearly costs stands, for the chart that is drawn of it.
pub(super) struct YearlyTable {
    pub head_row: u32,
    pub first_row: u32,
    pub last_row: u32,
    /// What its columns are after the first, as far as they are stacked.
    pub parts: Vec<YearlyPart>,
}

/// A part of what an option costs in a year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum YearlyPart {
    Electricity,
    /// The fuel at this place among the study's.
    Fuel(usize),
    Charges,
    Owning,
    PriceGrowth,
}

impl YearlyPart {
    /// All of them in their order, of so many fuels.
    fn all(fuels: usize) -> Vec<Self> {
        let fuels = (0..fuels).map(Self::Fuel);
        std::iter::once(Self::Electricity)
            .chain(fuels)
            .chain([Self::Charges, Self::Owning, Self::PriceGrowth])
            .collect()
    }

    fn head(self, prices: &Prices) -> &str {
        match self {
            Self::Electricity => "electricity",
            Self::Fuel(at) => &prices.fuels[at].carrier,
            Self::Charges => "demand, fixed charges and tax",
            Self::Owning => "owning",
            Self::PriceGrowth => "growth of prices",
        }
    }

    fn of(self, cells: &OptionCells) -> Live {
        match self {
            Self::Electricity => cells.energy.clone(),
            Self::Fuel(at) => cells.fuels[at].clone(),
            Self::Charges => cells.demand.plus(&cells.other),
            Self::Owning => cells.owning.clone(),
            Self::PriceGrowth => cells.price_growth.clone(),
        }
    }
}

/// Fills the sheet.
pub(super) fn owner<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, cells): (&Prices, &[OptionCells]),
) -> Result<(Sheet<'s>, YearlyTable), NoWorkbook> {
    let said = &figures.sheet;
    let code = figures.study.currency.as_str();
    let note = "Words and ranks are those of the study as it was computed; sums follow the prices.";
    let mut sheet = Sheet::new("Owner", styles, &figures.study.title, note)?;
    for column in 1..WIDE {
        sheet.page_mut().set_column_width(column, 14.0)?;
    }
    sheet.page_mut().set_column_width(0, 30.0)?;
    sheet.page_mut().set_freeze_panes(2, 0)?;
    let mut row = 3;
    for text in std::iter::once(&said.headline).chain(&said.support) {
        sheet.paragraph(row, WIDE, text)?;
        row += 1;
    }
    row += 1;
    sheet.text((row, 0), &format!("What each option costs in a year, {code}"), Look::Group)?;
    row += 1;
    let head_row = row;
    let stacked = YearlyPart::all(prices.fuels.len());
    let heads = std::iter::once("option").chain(stacked.iter().map(|part| part.head(prices))).chain([
        "all of it",
        "season’s bill",
        "net present cost",
        "does the work",
    ]);
    for (column, head) in (0..).zip(heads) {
        sheet.text((head_row, column), head, Look::Head)?;
    }
    let first_row = row + 1;
    for yearly in &said.yearly {
        let Some(place) = figures.options.iter().position(|option| option.name == yearly.option) else {
            continue;
        };
        row += 1;
        let cells = &cells[place];
        sheet.text((row, 0), &yearly.option, Look::Text)?;
        let parts = stacked.iter().map(|part| part.of(cells));
        let sums = [&cells.total_a_year, &cells.bill, &cells.net_present_cost];
        for (column, live) in (1..).zip(parts.chain(sums.into_iter().cloned())) {
            sheet.live((row, column), &live, Look::Money)?;
        }
        let does = if yearly.does_the_work { "yes" } else { "no" };
        sheet.text((row, column_at(4, stacked.len())), does, Look::Text)?;
    }
    let table = YearlyTable { head_row, first_row, last_row: row, parts: stacked };
    row += 2;
    sheet.text((row, 0), "What could go wrong", Look::Group)?;
    for point in &said.could_go_wrong {
        row += 1;
        sheet.paragraph(row, WIDE, &format!("{}: {}", point.head, point.text))?;
    }
    row += 2;
    sheet.text((row, 0), "What to do next", Look::Group)?;
    for (at, next) in said.next.iter().enumerate() {
        row += 1;
        sheet.paragraph(row, WIDE, &format!("{}. {next}", at + 1))?;
    }
    Ok((sheet, table))
}

/// What recovered heat was worth, by option and by month.
pub(super) fn recovery<'s>(figures: &Figures, styles: &'s Styles) -> Result<Sheet<'s>, NoWorkbook> {
    let note = "Heat of the condensers, mean over the weather years; money at the hour’s prices of the study: it does not follow.";
    let mut sheet = Sheet::new("Recovery", styles, "Recovered heat", note)?;
    let code = figures.study.currency.as_str();
    let columns = [
        ("option", "", 28.0),
        ("year of the season; 0 for all of it", "", 12.0),
        ("month", "", 8.0),
        ("gross: given off where usable", "kWh", 14.0),
        ("useful: met a need", "kWh", 14.0),
        ("penalty: more electricity for cooling", "kWh", 14.0),
        ("net: spared less penalty", "kWh", 14.0),
        ("net", code, 14.0),
    ];
    let mut row = sheet.heads(3, &columns, 3)?;
    for option in figures.options.iter().filter(|option| option.recovered.gross_kwh > 0.0) {
        let all = &option.recovered;
        let months = option.months.iter().map(|month| {
            let energies = [
                month.recovered_gross_kwh,
                month.recovered_useful_kwh,
                month.recovered_penalty_kwh,
                month.recovered_net_kwh,
            ];
            (month.year, month.month, energies, month.recovered_net_money)
        });
        let whole = (0, 0, [all.gross_kwh, all.useful_kwh, all.penalty_kwh, all.net_kwh], all.net_money);
        for (year, month, energies, money) in std::iter::once(whole).chain(months) {
            sheet.text((row, 0), &option.name, Look::Text)?;
            sheet.number((row, 1), f64::from(year), Look::Whole)?;
            sheet.number((row, 2), f64::from(month), Look::Whole)?;
            for (column, value) in (3..).zip(energies) {
                sheet.number((row, column), value, Look::Tenths)?;
            }
            sheet.number((row, 7), money, Look::Money)?;
            row += 1;
        }
    }
    Ok(sheet)
}

/// Every input with where it comes from.
pub(super) fn inputs<'s>(figures: &Figures, styles: &'s Styles) -> Result<Sheet<'s>, NoWorkbook> {
    let note = "As the study has them: values here change nothing, those of the sheet Prices do.";
    let mut sheet = Sheet::new("Inputs", styles, "Inputs with their sources", note)?;
    let columns = [
        ("input", "", 46.0),
        ("value", "", 18.0),
        ("unit", "", 16.0),
        ("given or default", "", 12.0),
        ("source, reason or line of the study", "", 90.0),
    ];
    let first = sheet.heads(3, &columns, 1)?;
    for (at, input) in figures.assumptions.iter().enumerate() {
        let row = row_at(first, at);
        sheet.text((row, 0), &input.path, Look::Text)?;
        match input.value.parse::<f64>().ok().filter(|value| value.is_finite()) {
            Some(value) => {
                sheet.number((row, 1), value, Look::Plain)?;
            }
            None => sheet.text((row, 1), &input.value, Look::Text)?,
        }
        for (column, text) in [(2, &input.unit), (3, &input.origin), (4, &input.source)] {
            sheet.text((row, column), text, Look::Text)?;
        }
    }
    let mut row = row_at(first, figures.assumptions.len() + 1);
    sheet.text((row, 0), "Files that were read", Look::Group)?;
    for file in &figures.inputs {
        row += 1;
        sheet.text((row, 0), &file.file, Look::Text)?;
        sheet.text((row, 4), &format!("SHA-256 {}", file.sha256), Look::Note)?;
    }
    Ok(sheet)
}
