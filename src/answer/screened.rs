//! What the screening comes to, in a sentence.

use super::figures::{Figures, ScreenedFigures};
use crate::number::Money;

/// The measure that ranks first of those worth pricing that no option of the study goes the way of.
pub(crate) fn first_to_price(figures: &Figures) -> Option<&ScreenedFigures> {
    let mut measures = figures.screening.iter().flat_map(|screening| &screening.measures);
    measures.find(|measure| measure.worth_pricing && measure.like_option.is_none())
}

/// How many were tried, and what the first three save and may cost.
pub(crate) fn screening_sentence(figures: &Figures) -> Option<String> {
    let screening = figures.screening.as_ref()?;
    let money = Money::of(&figures.study.currency);
    let tried = screening.measures.len();
    let worth: Vec<&ScreenedFigures> = screening.measures.iter().filter(|measure| measure.worth_pricing).collect();
    let of_each = |measure: &&ScreenedFigures| {
        let like = measure.like_option.as_ref().map_or_else(String::new, |name| format!(", as \"{name}\" does"));
        format!(
            "\"{}\" saves {} a season{like}, and may cost {}",
            measure.name,
            money.prose(measure.bill_saved),
            money.prose(measure.most_capital)
        )
    };
    let first: Vec<String> = worth.iter().take(3).map(of_each).collect();
    Some(if first.is_empty() {
        format!(
            "where to look: of {tried} measures tried alone on \"{}\" none saves enough to be worth pricing",
            screening.baseline
        )
    } else {
        format!("where to look, of {tried} measures tried alone on \"{}\": {}", screening.baseline, first.join("; "))
    })
}
