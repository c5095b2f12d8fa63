//! Parts that the page is made of: tables and drawn figures, every word of them decided.

use crate::answer::figures::{DrawOdds, MonthFigures, Quantiles, SHARES};
use crate::number::{self, Measure};
use crate::page::chart::{Draw, Label, Pen, Width};
use crate::page::kit::cell::{Cell, align, column_decimals, tell_in_millions};
use crate::page::kit::months;
use serde::Serialize;

/// Heading of a column.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Head {
    /// What stands below it.
    pub text: String,
    /// Its unit; empty if it has none or the rows have their own.
    pub unit: String,
    /// True if numbers stand below it.
    pub number: bool,
    /// What the numbers below it are told in; nothing where they stay as they are.
    #[serde(skip)]
    measure: Option<Measure>,
}

impl Head {
    /// A column of numbers, in SI; the table tells them in their reader's unit.
    pub(super) fn number(text: impl Into<String>, measure: impl Into<Measure>) -> Self {
        let measure = measure.into();
        Self { text: text.into(), unit: measure.sign().to_owned(), number: true, measure: Some(measure) }
    }

    /// A column of heat, or of energy of several kinds together.
    pub(super) fn heat(text: impl Into<String>, unit: &str) -> Self {
        Self::number(text, Measure::heat(unit))
    }

    /// What a column of numbers in SI reads below it.
    pub(super) fn told(&self, column: &[f64]) -> Vec<f64> {
        self.measure.as_ref().map_or_else(|| column.to_vec(), |measure| measure.values(column))
    }

    /// A column of words.
    pub(super) fn words(text: impl Into<String>) -> Self {
        Self { text: text.into(), unit: String::new(), number: false, measure: None }
    }
}

/// A row: its name and its cells.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Row {
    /// What it is about.
    pub name: String,
    /// Its unit where rows have units of their own.
    pub unit: String,
    /// The cells, one for each heading.
    pub cells: Vec<Cell>,
    /// A class of the style sheet: empty, `sum`, `chosen`, `base` or `part`.
    pub class: &'static str,
}

impl Row {
    /// A plain row.
    pub(super) fn new(name: impl Into<String>, cells: Vec<Cell>) -> Self {
        Self { name: name.into(), unit: String::new(), cells, class: "" }
    }

    /// The same row with a unit: its numbers, in SI, are told in their reader's.
    pub(super) fn unit(mut self, measure: impl Into<Measure>) -> Self {
        let measure = measure.into();
        self.cells.iter_mut().for_each(|cell| cell.measured_in(&measure));
        measure.sign().clone_into(&mut self.unit);
        if tell_in_millions(&mut self.cells.iter_mut().collect::<Vec<_>>()) {
            self.unit = millions_of(&self.unit);
        }
        self
    }

    /// The same row in another class.
    pub(super) fn class(mut self, class: &'static str) -> Self {
        self.class = class;
        self
    }
}

/// A table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Table {
    /// What it shows.
    pub caption: String,
    /// Heading of the rows' names.
    pub first: String,
    /// Headings of the other columns.
    pub heads: Vec<Head>,
    /// The rows.
    pub rows: Vec<Row>,
    /// What a reader must know to use it; empty if nothing.
    pub note: String,
}

impl Table {
    /// A table whose decimal points stand in line.
    pub(super) fn new(caption: impl Into<String>, first: impl Into<String>, heads: Vec<Head>, rows: Vec<Row>) -> Self {
        let mut table = Self::of_unlike_rows(caption, first, heads, rows);
        align(table.rows.iter_mut().map(|row| &mut row.cells));
        table
    }

    /// A table whose rows differ in unit, so that their decimals have nothing to stand in line with.
    pub(super) fn of_unlike_rows(
        caption: impl Into<String>,
        first: impl Into<String>,
        mut heads: Vec<Head>,
        mut rows: Vec<Row>,
    ) -> Self {
        for row in &mut rows {
            for (head, cell) in heads.iter().zip(&mut row.cells) {
                head.measure.iter().for_each(|measure| cell.measured_in(measure));
            }
        }
        for (at, head) in heads.iter_mut().enumerate().filter(|(_, head)| !head.unit.is_empty()) {
            let mut column: Vec<&mut Cell> = rows.iter_mut().filter_map(|row| row.cells.get_mut(at)).collect();
            if tell_in_millions(&mut column) {
                head.unit = millions_of(&head.unit);
            }
        }
        Self { caption: caption.into(), first: first.into(), heads, rows, note: String::new() }
    }

    /// The same table with a note below it.
    pub(super) fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }
}

/// A unit of which millions are told, as on the axes of charts.
pub(super) fn millions_of(unit: &str) -> String {
    number::with_unit("M", unit)
}

/// Numbers of one column, all with the decimals that the largest can bear.
pub(super) fn column(values: &[f64]) -> Vec<Cell> {
    let decimals = column_decimals(values.iter().copied());
    values.iter().map(|&value| Cell::number(value, decimals)).collect()
}

/// Headings of the capacities that cover shares of the hours, as a load's covers stand in the figures.
pub(super) fn cover_heads(measure: &Measure) -> Vec<Head> {
    let head = |share: &f64| format!("{} % of hours", number::fixed(share * 100.0, 0));
    SHARES.iter().map(|share| Head::number(head(share), measure.clone())).collect()
}

/// Sentences one behind the other, without those that say nothing.
pub(super) fn one_behind_the_other(sentences: &[&str]) -> String {
    let said: Vec<&str> = sentences.iter().copied().filter(|one| !one.is_empty()).collect();
    said.join(" ")
}

/// A word why columns do not add as printed, where any does not: the last number of each is the sum of those
/// before it. Empty where all add.
pub(super) fn rounding_note(columns: impl IntoIterator<Item = impl AsRef<[f64]>>) -> &'static str {
    let adds = |column: &[f64]| {
        let Some((sum, parts)) = column.split_last() else {
            return true;
        };
        let decimals = column_decimals(column.iter().copied());
        let unit = 10.0_f64.powi(-i32::try_from(decimals).unwrap_or(0));
        let printed = |value: f64| (value / unit).round();
        let parts: f64 = parts.iter().map(|part| printed(*part)).sum();
        (parts - printed(*sum)).abs() < 0.5
    };
    if columns.into_iter().all(|column| adds(column.as_ref())) {
        ""
    } else {
        "Each number is rounded by itself; a sum may differ in the last digit."
    }
}

/// Rows from names and columns of cells.
pub(super) fn rows_of(names: impl IntoIterator<Item = String>, columns: &[Vec<Cell>]) -> Vec<Row> {
    names
        .into_iter()
        .enumerate()
        .map(|(at, name)| {
            let cells = columns.iter().map(|column| column[at].clone()).collect();
            Row::new(name, cells)
        })
        .collect()
}

/// One entry of the key below a chart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Key {
    /// Class of its colour.
    pub class: &'static str,
    /// True if it is drawn as a line.
    pub line: bool,
    /// What it stands for.
    pub name: String,
}

impl Key {
    /// A filled shape.
    pub(super) fn fill(pen: Pen, name: impl Into<String>) -> Self {
        Self { class: pen.class(), line: false, name: name.into() }
    }

    /// A line.
    pub(super) fn line(pen: Pen, name: impl Into<String>) -> Self {
        Self { class: pen.class(), line: true, name: name.into() }
    }
}

/// What a figure is drawn of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// One weather year of the option shown.
    DrawnYear,
    /// The mean of the weather years.
    MeanOfYears,
    /// All weather years together, or each beside the others.
    AllYears,
    /// Draws of the uncertain inputs.
    Draws,
}

impl Of {
    /// As a sentence.
    fn sentence(self) -> &'static str {
        match self {
            Self::DrawnYear => "One weather year.",
            Self::MeanOfYears => "Mean of the weather years.",
            Self::AllYears => "All weather years.",
            Self::Draws => "Draws of the uncertain inputs.",
        }
    }
}

/// A drawn figure with its caption.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Figure {
    /// Its id in the page, so that it can be linked.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What to see in it.
    pub caption: String,
    /// For a page.
    pub wide: String,
    /// For a narrow screen.
    pub narrow: String,
    /// What its colours stand for.
    pub key: Vec<Key>,
    /// True if it takes half the width, and stands beside another where there is room.
    pub half: bool,
    /// What it is drawn of.
    #[serde(skip)]
    pub of: Of,
}

/// Figures below words that say what they are drawn of: those that are of something else say so themselves.
pub(super) fn below(said: Of, figures: impl IntoIterator<Item = Figure>) -> Vec<Figure> {
    let told_apart = |mut figure: Figure| {
        if figure.of != said {
            figure.caption = one_behind_the_other(&[&figure.caption, figure.of.sentence()]);
        }
        figure
    };
    figures.into_iter().map(told_apart).collect()
}

/// Draws a chart whose label gives title and caption.
pub(super) fn figure(of: Of, chart: &impl Draw, label: &Label, key: Vec<Key>) -> Figure {
    Figure {
        of,
        id: format!("figure-{}", label.id),
        title: label.title.clone(),
        caption: label.desc.clone(),
        wide: chart.draw(Width::Wide),
        narrow: chart.draw(Width::Narrow),
        key,
        half: false,
    }
}

/// Draws a chart that takes half the width of a page: one drawing serves wide screens and narrow ones.
pub(super) fn half_figure(of: Of, chart: &impl Draw, label: &Label, key: Vec<Key>) -> Figure {
    Figure {
        of,
        id: format!("figure-{}", label.id),
        title: label.title.clone(),
        caption: label.desc.clone(),
        wide: chart.draw(Width::Narrow),
        narrow: String::new(),
        key,
        half: true,
    }
}

/// A label from its parts.
pub(super) fn label(id: impl Into<String>, title: impl Into<String>, desc: impl Into<String>) -> Label {
    Label { id: id.into(), title: title.into(), desc: desc.into() }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed<T: AsRef<str>>(words: &[T]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// A month as a row of a table or a word in a sentence; which year's, where its name stands for two of them.
pub(super) fn month_label(month: &MonthFigures, all: &[MonthFigures]) -> String {
    let name = months::name(month.month);
    let has_namesake = all.iter().filter(|other| other.month == month.month).count() > 1;
    if has_namesake { format!("{name}, year {}", month.year) } else { name.to_owned() }
}

/// A name as it stands in a sentence.
pub(super) fn quoted(name: &str) -> String {
    format!("“{name}”")
}

/// A share of the weather years in words.
pub(super) fn how_often(share_pct: f64) -> String {
    if share_pct >= 100.0 {
        "in every one".to_owned()
    } else if share_pct <= 0.0 {
        "in none".to_owned()
    } else {
        format!("in {} of them", number::percent(share_pct))
    }
}

/// `in 48 of 48 draws: at least 94 %`: how often, and what so many draws can know.
pub(super) fn in_draws(odds: &DrawOdds) -> String {
    let counted = format!("in {} of {} draws", odds.in_draws, odds.of_draws);
    let (low, high) = (number::percent(odds.low * 100.0), number::percent(odds.high * 100.0));
    if odds.in_draws == odds.of_draws {
        format!("{counted}: at least {low}")
    } else if odds.in_draws == 0 {
        format!("{counted}: at most {high}")
    } else {
        format!("{counted}: {low} to {high}")
    }
}

/// Whether odds or a range still moved as draws were added.
pub(super) fn steadiness(steady_from: Option<usize>, draws: usize, within: &str) -> String {
    match steady_from {
        Some(first) => format!("steady from draw {first} on to within ±{within}"),
        None => format!("not yet steady to within ±{within} after {draws} draws"),
    }
}

/// What the low, the middle and the high of a range are called.
pub(super) fn range_words(range: &Quantiles) -> [&'static str; 3] {
    if range.has_tenths() { ["P10", "P50", "P90"] } else { ["lowest", "middle", "highest"] }
}

/// Small numbers in words.
pub(super) fn in_words(count: usize) -> String {
    const WORDS: [&str; 13] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    WORDS.get(count).map_or_else(|| number::fixed(count as f64, 0), |word| (*word).to_owned())
}

/// `1 year`, `2 years`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    let word = if count == 1 { one } else { many };
    number::with_unit(&number::fixed(count as f64, 0), word)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_figure_of_something_else_than_the_words_above_it_says_so() {
        let figure = |of| Figure {
            id: String::new(),
            title: "Bill".into(),
            caption: "It rises.".into(),
            wide: String::new(),
            narrow: String::new(),
            key: Vec::new(),
            half: false,
            of,
        };
        let said = below(Of::DrawnYear, [figure(Of::DrawnYear), figure(Of::MeanOfYears)]);
        assert_eq!(said[0].caption, "It rises.");
        assert_eq!(said[1].caption, "It rises. Mean of the weather years.");
    }

    #[test]
    fn odds_are_told_with_their_draws_and_what_those_can_know() {
        let said = |hits: usize, draws: usize| {
            let held: Vec<bool> = (0..draws).map(|draw| draw < hits).collect();
            in_draws(&DrawOdds::of(&held)).replace('\u{a0}', " ")
        };
        assert_eq!(said(48, 48), "in 48 of 48 draws: at least 94 %");
        assert_eq!(said(45, 48), "in 45 of 48 draws: 85 % to 98 %");
        assert_eq!(said(0, 48), "in 0 of 48 draws: at most 6.1 %");
    }

    use super::*;

    #[test]
    fn a_column_that_does_not_add_as_printed_says_why() {
        assert_eq!(
            rounding_note([&[100.4, 200.4, 300.8][..]]),
            "Each number is rounded by itself; a sum may differ in the last digit."
        );
        assert_eq!(rounding_note([&[100.0, 200.0, 300.0][..], &[][..]]), "");
    }

    #[test]
    fn words_are_listed_as_people_do() {
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(listed(&["heat"]), "heat");
        assert_eq!(listed(&["heat", "fans"]), "heat and fans");
        assert_eq!(listed(&["heat", "fans", "store"]), "heat, fans and store");
        assert_eq!(in_words(6), "six");
        assert_eq!(in_words(20), "20");
        assert_eq!(how_often(100.0), "in every one");
        assert_eq!(how_often(87.5), "in 88\u{a0}% of them");
        assert_eq!(counted(1, "year", "years"), "1\u{a0}year");
        assert_eq!(counted(2, "year", "years"), "2\u{a0}years");
    }
}
