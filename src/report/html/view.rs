//! What every section looks at: figures, books, and which options stand out.

use crate::ledger::{Book, middle_year};
use crate::report::figures::{Figures, OptionFigures};
use crate::report::number::Money;

/// Figures and books of one report.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// The figures.
    pub figures: &'a Figures,
    /// The books by option, then weather year.
    pub books: &'a [Vec<Book>],
    /// How money reads.
    pub money: Money,
    /// Place of the baseline.
    pub base: usize,
    /// Place of the recommended option.
    pub chosen: usize,
    /// Place of the weather year that is drawn: the middle one by the heat need of the chosen option.
    pub year: usize,
}

impl<'a> View<'a> {
    /// Finds the options that stand out. `None` if there is no option with a book.
    pub fn of(figures: &'a Figures, books: &'a [Vec<Book>]) -> Option<Self> {
        let place = |name: &str| figures.options.iter().position(|o| o.name == name);
        let base = place(&figures.study.baseline).unwrap_or(0);
        let chosen = place(&figures.study.recommended).unwrap_or(base);
        if books.len() != figures.options.len() {
            return None;
        }
        let year = middle_year(books.get(chosen)?)?;
        books.get(base)?.get(year)?;
        Some(Self { figures, books, money: Money::of(&figures.study.currency), base, chosen, year })
    }

    /// The baseline.
    pub fn baseline(&self) -> &'a OptionFigures {
        &self.figures.options[self.base]
    }

    /// The recommended option.
    pub fn recommended(&self) -> &'a OptionFigures {
        &self.figures.options[self.chosen]
    }

    /// The book of the recommended option that is drawn.
    pub fn book(&self) -> &'a Book {
        &self.books[self.chosen][self.year]
    }

    /// True if an option other than the baseline is recommended.
    pub fn something_beats_the_baseline(&self) -> bool {
        self.base != self.chosen
    }

    /// The option that an application would propose: the recommended one, or if that is the baseline,
    /// the best of the others. `None` if there are no others.
    pub fn proposal(&self) -> Option<&'a OptionFigures> {
        if self.something_beats_the_baseline() {
            return Some(self.recommended());
        }
        self.figures
            .options
            .iter()
            .enumerate()
            .filter(|(place, _)| *place != self.base)
            .map(|(_, option)| option)
            .min_by(|a, b| {
                let cost = |option: &OptionFigures| option.life_cycle.net_present_cost;
                cost(a).total_cmp(&cost(b))
            })
    }

    /// Weather years behind the figures.
    pub fn weather_years(&self) -> usize {
        self.figures.weather.years.len()
    }

    /// What the drawn year is called, in a sentence.
    pub fn year_words(&self) -> String {
        let label = &self.book().year;
        if self.weather_years() > 1 {
            format!("weather year {label}, the middle one by heat need")
        } else {
            format!("weather year {label}")
        }
    }

    /// Names of the options.
    pub fn names(&self) -> impl Iterator<Item = String> + 'a {
        self.figures.options.iter().map(|option| option.name.clone())
    }
}
