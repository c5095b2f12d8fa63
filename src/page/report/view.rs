//! What every section looks at: figures, and which options stand out.

use crate::answer::figures::{Figures, OptionFigures, SeasonFigures};
use crate::number::Money;

/// Figures of one report.
#[derive(Clone, Debug)]
pub(super) struct View<'a> {
    /// The figures.
    pub figures: &'a Figures,
    /// How money reads.
    pub money: Money,
    /// Place of the baseline.
    pub base: usize,
    /// Place of the recommended option; `None` where no option does the work.
    pub best: Option<usize>,
    /// Place of the option that charts and budget show: the recommended one, else the baseline.
    pub shown: usize,
}

impl<'a> View<'a> {
    /// Finds the options that stand out. `None` if there is no option.
    pub(super) fn of(figures: &'a Figures) -> Option<Self> {
        let base = figures.baseline_place();
        figures.options.get(base)?;
        let best = figures.study.recommended.as_deref().and_then(|name| figures.place_of(name));
        let money = Money::of(&figures.study.currency);
        Some(Self { figures, money, base, best, shown: best.unwrap_or(base) })
    }

    /// True if there is a cool store; without one nothing is said of condensers.
    pub(super) fn has_cool_store(&self) -> bool {
        self.figures.study.has_cool_store
    }

    /// The baseline.
    pub(super) fn baseline(&self) -> &'a OptionFigures {
        &self.figures.options[self.base]
    }

    /// The recommended option; `None` where no option does the work.
    pub(super) fn recommended(&self) -> Option<&'a OptionFigures> {
        self.best.map(|best| &self.figures.options[best])
    }

    /// The best after the recommended option; `None` where fewer than two do the work.
    pub(super) fn runner_up(&self) -> Option<&'a OptionFigures> {
        self.option(self.figures.study.runner_up.as_ref()?)
    }

    /// The option of this name.
    pub(super) fn option(&self, name: &str) -> Option<&'a OptionFigures> {
        self.figures.options.iter().find(|option| option.name == name)
    }

    /// Class of a table's row for the option at this place: the recommended one and the baseline are marked.
    pub(super) fn class_of(&self, place: usize) -> &'static str {
        if Some(place) == self.best {
            "chosen"
        } else if place == self.base {
            "base"
        } else {
            ""
        }
    }

    /// Name of the option at this place as tables and charts have it: the baseline is marked.
    pub(super) fn name_of(&self, place: usize) -> String {
        let name = &self.figures.options[place].name;
        if place == self.base { format!("{name} (baseline)") } else { name.clone() }
    }

    /// The option that charts and budget show: the recommended one, else the baseline.
    pub(super) fn shown(&self) -> &'a OptionFigures {
        &self.figures.options[self.shown]
    }

    /// True if an option changes the plant or its nuts.
    pub(super) fn plants_differ(&self) -> bool {
        self.figures.options.iter().any(|option| option.own_season.is_some())
    }

    /// Nuts, water and time of the option that charts and budget show.
    pub(super) fn shown_season(&self) -> &'a SeasonFigures {
        self.shown().own_season.as_ref().unwrap_or(&self.figures.season)
    }

    /// Whose plant is meant, before a sentence about it; nothing where all options have one plant.
    pub(super) fn shown_plant_words(&self) -> String {
        if self.plants_differ() { format!("On the plant of “{}”: ", self.shown().name) } else { String::new() }
    }

    /// True if an option other than the baseline is recommended.
    pub(super) fn something_beats_the_baseline(&self) -> bool {
        self.best.is_some_and(|best| best != self.base)
    }

    /// The option that an application would propose; `None` if there is none.
    pub(super) fn proposal(&self) -> Option<&'a OptionFigures> {
        self.option(self.figures.study.proposal.as_ref()?)
    }

    /// Weather years behind the figures.
    pub(super) fn weather_years(&self) -> usize {
        self.figures.weather.years.len()
    }

    /// What the drawn year is called, in a sentence.
    pub(super) fn year_words(&self) -> String {
        let label = &self.figures.course.weather_year;
        match self.weather_years() {
            0 | 1 => format!("weather year {label}"),
            2 => format!("weather year {label}, of two the one of more heat need"),
            years if years % 2 == 1 => {
                format!("weather year {label}, the middle one by heat need")
            }
            _ => format!("weather year {label}, of the middle two by heat need the higher"),
        }
    }

    /// Names of the options.
    pub(super) fn names(&self) -> impl Iterator<Item = String> + 'a {
        self.figures.options.iter().map(|option| option.name.clone())
    }
}
