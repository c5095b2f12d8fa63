//! What the screening comes to, in a sentence.

use super::figures::{Figures, ScreenedFigures, ScreeningFigures};
use crate::number::Money;

/// A measure is a step for the first page where it saves this share of what its option costs in a year, energy and owning
/// (assumption: less is not worth a line beside what decides).
const STEP_SHARE: f64 = 0.01;

/// The measure that ranks first, of those worth pricing that no option of the study goes the way of, on the recommended
/// option, or on the baseline where none is recommended: what helps another option may cost beside it. Nothing where all
/// save little beside what that option costs in a year.
pub(crate) fn first_to_price(figures: &Figures) -> Option<&ScreenedFigures> {
    let on = figures.study.recommended.as_ref().unwrap_or(&figures.study.baseline);
    let of_it = figures.screening.iter().filter(|screening| screening.tried_on == *on);
    let of_year = figures.options.iter().find(|option| option.name == *on)?.life_cycle.annual_equivalent;
    let mut measures = of_it.flat_map(|screening| &screening.measures);
    let is_untried = |measure: &ScreenedFigures| measure.worth_pricing && measure.like_option.is_none();
    measures.find(|measure| is_untried(measure) && measure.bill_saved >= STEP_SHARE * of_year)
}

/// Of each option that they were tried on, how many were, and what the first three save and may cost.
pub(crate) fn screening_sentences(figures: &Figures) -> Vec<String> {
    figures.screening.iter().map(|screening| sentence(figures, screening)).collect()
}

fn sentence(figures: &Figures, screening: &ScreeningFigures) -> String {
    let money = Money::of(&figures.study.currency);
    let tried = screening.measures.len();
    let worth: Vec<&ScreenedFigures> = screening.measures.iter().filter(|measure| measure.worth_pricing).collect();
    let of_each = |measure: &&ScreenedFigures| {
        let like = measure
            .like_option
            .as_ref()
            .map_or_else(String::new, |name| format!(" (\"{name}\" is an option of its kind)"));
        format!(
            "\"{}\"{like} saves {} a season, worth up to {}",
            measure.name,
            money.prose(measure.bill_saved),
            money.prose(measure.most_capital)
        )
    };
    let first: Vec<String> = worth.iter().take(3).map(of_each).collect();
    if first.is_empty() {
        format!(
            "where to look: of {tried} measures tried alone on \"{}\" none saves enough to be worth pricing",
            screening.tried_on
        )
    } else {
        format!(
            "where to look, of {tried} measures tried alone on \"{}\", worth over {} years: {}",
            screening.tried_on,
            figures.study.money_years,
            first.join("; ")
        )
    }
}
