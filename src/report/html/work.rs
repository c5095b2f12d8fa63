//! Which options do the work at all: what does not is no rival, and its costs are not a season's.

use super::parts::{in_words, listed};
use super::view::View;
use crate::report::figures::OptionFigures;
use crate::report::number;

/// Of what the recommended option is the best: `the four options`, `the two options that do the work`.
pub fn contest(view: &View<'_>) -> String {
    let options = &view.figures.options;
    let able = options.iter().filter(|o| o.does_the_work).count();
    if able == 0 || able == options.len() {
        format!("the {} options", in_words(options.len()))
    } else if able == 1 {
        "the one option that does the work".to_owned()
    } else {
        format!("the {} options that do the work", in_words(able))
    }
}

/// What is said of options that do not do the work; nothing if all do.
pub fn warnings(view: &View<'_>) -> Vec<String> {
    let options = &view.figures.options;
    let unable: Vec<String> =
        options.iter().filter(|o| !o.does_the_work).map(|o| format!("“{}”", o.name)).collect();
    let mut said = Vec::new();
    let best = view.recommended();
    if let Some(left_t) = left_wet_t(best) {
        said.push(format!(
            "It leaves up to {} of the season’s nuts undried, so that its costs are not those of a whole season.",
            number::with_unit(&number::fixed(left_t, 1), "t")
        ));
    }
    if unable.is_empty() {
        return said;
    }
    let why = "nuts are left wet, or more than 1\u{a0}% of the heat need is not met; see Sizing";
    said.push(if unable.len() == options.len() && unable.len() > 1 {
        format!("None of the options does the work: {why}. Their costs do not rank them.")
    } else {
        let verb = if unable.len() == 1 { "does" } else { "do" };
        format!("{} {verb} not do the work: {why}.", listed(&unable))
    });
    said
}

/// What is said of options that do not do the work in some draws; nothing if all do in every one.
pub fn undone_in_draws(options: &[OptionFigures]) -> Option<String> {
    let unable: Vec<String> = options
        .iter()
        .filter_map(|option| {
            let done_pct = option.uncertainty.does_the_work_in_draws_pct?;
            (done_pct < 100.0)
                .then(|| format!("“{}” in {}", option.name, number::percent(100.0 - done_pct)))
        })
        .collect();
    (!unable.is_empty()).then(|| {
        format!(
            "The work is left undone by {} of draws; there a low cost is not that of a whole season, and what is saved against it means little.",
            listed(&unable)
        )
    })
}

/// Nuts that an option leaves undried in its worst weather year, t.
fn left_wet_t(option: &OptionFigures) -> Option<f64> {
    option.guards.iter().find(|guard| guard.key == "unfinished").map(|guard| guard.worst)
}
