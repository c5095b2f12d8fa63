//! Which options do the work, and what the others leave undone.

use super::view::View;
use crate::answer::figures::OptionFigures;
use crate::answer::guards::guards_of_options;
use crate::answer::judgement::LeftKind;
use crate::number;
use crate::page::parts::{in_words, listed, quoted};

/// Of what the recommended option is the best: `the four options`, `the two options that do the work`.
pub(super) fn contest(options: &[OptionFigures]) -> String {
    let able = options.iter().filter(|option| option.does_the_work).count();
    if able == options.len() {
        format!("the {} options", in_words(options.len()))
    } else if able == 1 {
        "the one option that does the work".to_owned()
    } else {
        format!("the {} options that do the work", in_words(able))
    }
}

/// What each option that does not do the work leaves undone; nothing if all do.
pub(super) fn warnings(view: &View<'_>) -> Vec<String> {
    let unable = view.figures.options.iter().filter(|option| !option.does_the_work);
    unable
        .map(|option| {
            let left: Vec<&str> = option.work_left.iter().map(|left| &*left.sentence).collect();
            let so = if left_wet(option) { "; its costs are not those of a whole season" } else { "" };
            format!("{} does not do the work: it {}{so}.", quoted(&option.name), listed(&left))
        })
        .collect()
}

/// Every guard that fired in any option, each once with the options in which it did.
pub(super) fn guards(options: &[OptionFigures]) -> Vec<String> {
    let said = guards_of_options(options).into_iter().map(|fired| {
        let names: Vec<String> = fired.options.iter().map(|name| quoted(name)).collect();
        let who = match (options.len(), fired.in_all) {
            (1, _) => String::new(),
            (_, true) => "In every option".to_owned(),
            (_, false) => format!("With {}", listed(&names)),
        };
        let worst = fired.worst_in.map_or_else(String::new, |name| format!(", at worst with {}", quoted(name)));
        let range = fired.range().map_or_else(String::new, |range| format!(" ({range})"));
        let sentence = &fired.guard.sentence;
        if who.is_empty() { sentence.to_string() } else { format!("{who}{range}{worst}: {sentence}") }
    });
    said.collect()
}

/// True if its work left undone is nuts: what it cost dried only a part of the crop.
fn left_wet(option: &OptionFigures) -> bool {
    option.work_left.iter().any(|left| left.key == LeftKind::NutsWet)
}

/// What is said of options that do not do the work in some draws; nothing if all do in every one.
pub(super) fn undone_in_draws(options: &[OptionFigures]) -> Option<String> {
    let unable: Vec<String> = options
        .iter()
        .filter_map(|option| {
            let done_pct = option.uncertainty.does_the_work_in_draws_pct?;
            (done_pct < 100.0).then(|| format!("“{}” in {}", option.name, number::percent(100.0 - done_pct)))
        })
        .collect();
    (!unable.is_empty()).then(|| {
        format!(
            "The work is left undone by {} of draws; there a low cost is not that of a whole season, and what is saved against it means little.",
            listed(&unable)
        )
    })
}
