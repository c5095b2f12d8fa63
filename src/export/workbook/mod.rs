//! `report.xlsx`: the answer as a workbook in which prices, rates, grant and lifetimes can be changed.
//!
//! What is physical stands as it was computed. Money is worked by the sheets' own formulas, from the lines of the bills
//! to net present cost and payback; each formula carries what it gives ([`live::Live`]), so that a viewer which works
//! nothing shows the same.

mod application;
mod bills;
mod charts;
mod fault;
mod live;
mod means;
mod names;
mod options;
mod owner;
mod prices;
mod sheet;
mod years;

use crate::answer::Figures;
use chrono::{Datelike, NaiveDate};
pub(crate) use fault::NoWorkbook;
use names::Names;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};
use sheet::Styles;

/// The workbook of a report of this day.
pub(crate) fn workbook(figures: &Figures, day: NaiveDate) -> Result<Vec<u8>, NoWorkbook> {
    let styles = Styles::of(figures.prices.decimals);
    let mut names = Names::default();
    let (prices_sheet, prices) = prices::prices(figures, &styles, &mut names)?;
    let (bills_sheet, bills) = bills::bills(figures, &styles, &prices)?;
    let (means_sheet, means) = means::means(figures, &styles, &bills)?;
    let (years_sheet, years) = years::years(figures, &styles, &prices)?;
    let (mut options_sheet, cells) = options::options(figures, &styles, (&prices, &means, &years))?;
    let (cash_sheet, paybacks) = options::cash(figures, &styles, (&prices, &years), (&mut options_sheet, &cells))?;
    let applications = application::applications(figures, &styles, (&prices, &years), (&cells, &paybacks))?;
    let (owner_sheet, yearly) = owner::owner(figures, &styles, (&prices, &cells))?;
    let months = means::months(figures, &styles, &means)?;
    let periods = bills::periods(figures, &styles, (&prices, &bills))?;
    let recovery = owner::recovery(figures, &styles)?;
    let charts = charts::charts(figures, &styles, (&means, &yearly))?;
    let inputs = owner::inputs(figures, &styles)?;

    let mut book = Workbook::new();
    book.set_properties(&properties(figures, day)?);
    let first = vec![owner_sheet, options_sheet, months, periods, recovery];
    let later = vec![prices_sheet, bills_sheet, means_sheet, years_sheet, cash_sheet, charts, inputs];
    for sheet in first.into_iter().chain(applications).chain(later) {
        book.push_worksheet(sheet.page());
    }
    names.define(&mut book)?;
    Ok(book.save_to_buffer()?)
}

/// What a file manager shows of it; the day is the report's, so that same inputs give the same bytes.
fn properties(figures: &Figures, day: NaiveDate) -> Result<DocProperties, XlsxError> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within what a spreadsheet knows as dates
    let year = day.year().clamp(1900, 9999) as u16;
    #[allow(clippy::cast_possible_truncation)] // at most 31
    let made = ExcelDateTime::from_ymd(year, day.month() as u8, day.day() as u8)?;
    let tool = format!("{} {}", figures.tool.name, figures.tool.version);
    Ok(DocProperties::new().set_title(&figures.study.title).set_author(tool).set_creation_datetime(&made))
}
