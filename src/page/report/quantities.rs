//! Quantities of the options, by theme: options as rows, and what is the same for all said once.

use super::view::View;
use crate::answer::figures::OptionFigures;
use crate::number::{self, Measure, Unit};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, listed, one_behind_the_other};
use std::borrow::Cow;

/// What is told of every option.
pub(super) struct Quantity {
    name: Cow<'static, str>,
    unit: Unit,
    of: fn(&OptionFigures) -> Option<f64>,
    /// Decimals; as many as the column can bear where there are none.
    decimals: Option<usize>,
    missing: Missing,
    told: Told,
}

/// Why a number is missing.
pub(super) enum Missing {
    /// The same reason for every option.
    Because(&'static str),
    /// The baseline has none by its nature, others for this reason.
    BesideBaseline(&'static str),
}

/// When a quantity is told.
#[derive(PartialEq)]
pub(super) enum Told {
    Always,
    /// Where any option has any of it.
    WhereAny,
    /// Where there is a cool store, or any option has any of it all the same.
    OfStore,
}

/// Why a payback is missing.
pub(super) const NO_PAYBACK: Missing = Missing::BesideBaseline("never");

impl Quantity {
    /// A quantity that is always told.
    pub(super) fn new(name: impl Into<Cow<'static, str>>, unit: Unit, of: fn(&OptionFigures) -> Option<f64>) -> Self {
        let missing = Missing::BesideBaseline("nothing dried");
        Self { name: name.into(), unit, of, decimals: None, missing, told: Told::Always }
    }

    /// The same, told only then.
    pub(super) fn told(self, told: Told) -> Self {
        Self { told, ..self }
    }

    /// The same with so many decimals.
    pub(super) fn decimals(self, decimals: usize) -> Self {
        Self { decimals: Some(decimals), ..self }
    }

    /// The same with a reason where there is no number.
    pub(super) fn missing(self, missing: Missing) -> Self {
        Self { missing, ..self }
    }

    /// Its column beside the options; `None` where it is left out.
    fn column(&self, view: &View<'_>) -> Option<Vec<Cell>> {
        let values: Vec<Option<f64>> = view.figures.options.iter().map(self.of).collect();
        let none_has_any = values.iter().all(|value| value.is_none_or(|value| value == 0.0));
        let left_out = match self.told {
            Told::Always => false,
            Told::WhereAny => none_has_any,
            Told::OfStore => none_has_any && !view.has_cool_store(),
        };
        if left_out {
            return None;
        }
        let decimals = self.decimals.unwrap_or_else(|| column_decimals(values.iter().flatten().copied()));
        let cell = |(place, value): (usize, &Option<f64>)| {
            let why = match self.missing {
                Missing::BesideBaseline(_) if place == view.base => "baseline",
                Missing::Because(why) | Missing::BesideBaseline(why) => why,
            };
            Cell::number_or(*value, decimals, why)
        };
        Some(values.iter().enumerate().map(cell).collect())
    }

    fn measure(&self, view: &View<'_>) -> Measure {
        self.unit.measure(view.money.code())
    }

    /// `heat need 175 MWh`: what it comes to where it is the same for all.
    fn said(&self, view: &View<'_>, cell: &Cell) -> String {
        let (measure, mut cell) = (self.measure(view), cell.clone());
        cell.measured_in(&measure);
        format!("{} {}", self.name, number::with_unit(&cell.text, measure.sign()))
    }
}

/// A table of the options by these quantities; `None` where all of them are left out. A quantity that is the same for
/// every option takes no column: it is said below, before the note.
pub(super) fn table(view: &View<'_>, caption: &str, quantities: &[Quantity], note: &str) -> Option<Table> {
    let told: Vec<(&Quantity, Vec<Cell>)> =
        quantities.iter().filter_map(|quantity| Some((quantity, quantity.column(view)?))).collect();
    let is_same =
        |cells: &[Cell]| cells.len() > 1 && cells[0].number && cells.iter().all(|cell| cell.text == cells[0].text);
    let (same, unlike): (Vec<_>, Vec<_>) = told.into_iter().partition(|(_, cells)| is_same(cells));
    let (same, unlike) = if unlike.is_empty() { (unlike, same) } else { (same, unlike) };
    if unlike.is_empty() {
        return None;
    }
    let heads =
        unlike.iter().map(|(quantity, _)| Head::number(quantity.name.clone(), quantity.measure(view))).collect();
    let columns: Vec<Vec<Cell>> = unlike.into_iter().map(|(_, cells)| cells).collect();
    let once = if same.is_empty() {
        String::new()
    } else {
        let said: Vec<String> = same.iter().map(|(quantity, cells)| quantity.said(view, &cells[0])).collect();
        format!("The same for every option: {}.", listed(&said))
    };
    Some(Table::new(caption, "option", heads, rows(view, &columns)).note(one_behind_the_other(&[&once, note])))
}

/// A row for each option, the recommended one and the baseline marked.
pub(super) fn rows(view: &View<'_>, columns: &[Vec<Cell>]) -> Vec<Row> {
    let row = |place: usize| {
        let cells = columns.iter().map(|column| column[place].clone()).collect();
        Row::new(view.name_of(place), cells).class(view.class_of(place))
    };
    (0..view.figures.options.len()).map(row).collect()
}
