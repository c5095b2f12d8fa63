//! `dryledger size --by-money`: the plant of least net present cost, as it is found and as it is printed.

use super::lines::{number, or_dash, width_of};
use crate::answer::{ByMoneyFigures, NextSize, PosedByMoney, SizedFigures, SizedPlant, least_seasons, size_by_money};
use crate::command::answer::answer;
use crate::command::answering::progress;
use crate::command::{Failure, folder};
use crate::export;
use crate::number::Digits;
use crate::season::References;
use crate::trial::{MaySize, may_size};
use std::fmt::Write;

/// Seasons that are run at most where nobody says how many: a minute or two on a usual computer.
const USUAL_SEASONS: usize = 1000;
/// Lines of the frontier that are printed at most.
const MOST_LINES: usize = 12;

/// What is asked of it.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct Asked {
    /// Find the plant of least net present cost that keeps the limits, of what the study tells prices for
    #[arg(long, conflicts_with_all = ["airflow", "room"])]
    pub(super) by_money: bool,
    /// Run at most so many seasons (an option in a weather year) to find it
    #[arg(long, value_name = "N", requires = "by_money", default_value_t = USUAL_SEASONS)]
    seasons: usize,
    /// Let guards fire longer than as it stands that are none of the limits: hot air on wet nuts, a damp room, fans and cooling
    /// units; they are named
    #[arg(long, requires = "by_money")]
    let_guards_fire: bool,
}

/// Sizes the option at this place, with nuts that wait so long at most, h.
pub(super) fn run(
    opened: &folder::Opened,
    option: usize,
    asked: &Asked,
    (waiting_h, json): (f64, bool),
) -> Result<(), Failure> {
    let (study, years, most_seasons) = (opened.study(), opened.weather.years.as_slice(), asked.seasons);
    let inputs = study.changed_by(option).map_or(opened.inputs(), |changed| &changed.inputs);
    let plant = may_size(study, option, inputs);
    if plant.numbers.is_empty() {
        return Err(nothing_priced(&plant));
    }
    let least = least_seasons(plant.numbers.len(), years.len());
    if most_seasons < least {
        let what = format!("--seasons {most_seasons} is too few");
        let cure = format!(
            "give {least} at least: the baseline, the plant as it stands, and a step each way of {} numbers, in {} weather years",
            plant.numbers.len(),
            years.len()
        );
        return Err(Failure::asked(what, cure));
    }
    let references = References::default();
    let read = |block: &str| opened.written.with_option(block);
    let base = study.heatings.iter().position(|heating| heating.name == study.baseline).unwrap_or(0);
    let posed = PosedByMoney {
        study,
        base,
        plant: &plant,
        years,
        waiting_h,
        keeps_guards: !asked.let_guards_fire,
        references: &references,
        read: &read,
    };
    let bar = progress(most_seasons, "seasons at most");
    let figures = size_by_money(&posed, most_seasons, &|seasons| bar.inc(seasons as u64))?;
    bar.finish_and_clear();
    let said = if json { export::by_money_json(&figures)? } else { summary(&figures) };
    answer(&said)
}

fn nothing_priced(plant: &MaySize) -> Failure {
    let what = format!("nothing of option \"{}\" has a price, so that --by-money has nothing to size", plant.on);
    let missing: Vec<String> = plant.not_sized.iter().map(|other| format!("{}: {}", other.what, other.why)).collect();
    let cure = format!(
        "say what more of it costs, in the study: {}; `dryledger keys room.prices` and `dryledger keys source` tell more",
        missing.join("; ")
    );
    Failure::asked(what, cure)
}

fn summary(figures: &ByMoneyFigures) -> String {
    let mut text = format!("{}\n", figures.study);
    let days = number(figures.waiting_limit_days);
    let _ = writeln!(
        text,
        "option {}: the plant of least net present cost over {} years; money in {}; weather {}\n\
         kept in every weather year: nuts wait at most {days} {} to be loaded, all are dried, mould on the wettest nuts no \
         longer than as it stands, the store as with its condensers outdoors; heat short as little as a report lets pass",
        figures.option,
        figures.years,
        figures.currency,
        figures.weather_years.join(", "),
        if days == "1" { "day" } else { "days" },
    );
    say_sizes(&mut text, figures);
    say_money(&mut text, figures);
    say_guards(&mut text, figures);
    say_binding(&mut text, figures);
    say_frontier(&mut text, figures);
    say_seasons(&mut text, figures);
    if !figures.not_sized.is_empty() {
        text.push_str("\nNot sized\n");
        for other in &figures.not_sized {
            let _ = writeln!(text, "  {}: {}", other.what, other.why);
        }
    }
    if let Some(option) = &figures.option_to_paste {
        let _ = write!(text, "\nThe option to paste into the study; a report says of it what is said here\n\n{option}");
    }
    text
}

fn say_sizes(text: &mut String, figures: &ByMoneyFigures) {
    let names: Vec<String> = figures.numbers.iter().map(|one| one.what.clone()).collect();
    let wide = width_of(&names);
    let found = if figures.best.is_some() { "best" } else { "ended at" };
    let _ = writeln!(
        text,
        "\n  {:<wide$}{:<12}{:>13}{:>10}   {:<36}   {:<36}   price",
        "", "unit", "as it stands", found, "a step smaller: net present cost", "a step larger: net present cost"
    );
    for (name, one) in names.iter().zip(&figures.numbers) {
        let _ = writeln!(
            text,
            "  {name:<wide$}{:<12}{:>13}{:>10}   {:<36}   {:<36}   {} a {}",
            one.unit,
            number(one.as_it_stands),
            number(one.best),
            step_words(one.smaller.as_ref()),
            step_words(one.larger.as_ref()),
            number(one.price),
            one.priced_by
        );
    }
}

/// `70: +1250`, with the limits that it breaks.
fn step_words(next: Option<&NextSize>) -> String {
    let Some(next) = next else { return "none".to_owned() };
    let size = number(next.size);
    match (next.net_present_cost_more, next.broken.is_empty()) {
        (Some(more), true) => format!("{size}: {}", more_or_less(more)),
        (Some(more), false) => format!("{size}: {}, breaks a limit", more_or_less(more)),
        (None, _) => format!("{size}: breaks a limit"),
    }
}

fn more_or_less(money: f64) -> String {
    let digits = format!("{:.0}", Digits(money));
    if digits.starts_with(['-', '\u{2212}', '0']) { digits } else { format!("+{digits}") }
}

/// A line of the money: what, of which plant, with how many decimals.
type Row = (&'static str, fn(&SizedPlant) -> f64, usize);

fn say_money(text: &mut String, figures: &ByMoneyFigures) {
    let plants = [("as it stands", &figures.as_it_stands), ("best", &figures.best)];
    let plants: Vec<(&str, &SizedPlant)> =
        plants.into_iter().filter_map(|(name, plant)| Some((name, plant.as_ref()?))).collect();
    let _ = write!(text, "\n  {:<34}", "");
    for (name, _) in &plants {
        let _ = write!(text, "{name:>14}");
    }
    text.push('\n');
    let rows: [Row; 8] = [
        ("capital", |plant| plant.capital, 0),
        ("grant", |plant| plant.grant, 0),
        ("investment after grant", |plant| plant.investment, 0),
        ("upkeep a year", |plant| plant.upkeep_per_year, 0),
        ("seasonal energy cost", |plant| plant.bill, 0),
        ("net present cost", |plant| plant.net_present_cost, 0),
        ("longest wait, h", |plant| plant.longest_wait_h, 0),
        ("heat short, % of the need", |plant| plant.heat_short_pct, 2),
    ];
    for (name, of, decimals) in rows {
        let _ = write!(text, "  {name:<34}");
        for (_, plant) in &plants {
            let _ = write!(text, "{:>14}", or_dash(Some(of(plant)), decimals));
        }
        text.push('\n');
    }
    if let Some(plant) = figures.as_it_stands.as_ref().filter(|plant| !plant.broken.is_empty()) {
        let _ = writeln!(
            text,
            "  as it stands: {}",
            broken_words(&plant.broken.iter().map(|broken| broken.sentence.as_str()).collect::<Vec<_>>())
        );
    }
    if figures.less_gives_money_back {
        text.push_str(
            "  capital: sources whole, rooms by what is more or less than as it stands; less gives money back, for the plant is still \
             to be built (where it stands: baseline_installed = true in [application])\n",
        );
    } else {
        text.push_str(
            "  capital: the plant stands ([application] baseline_installed), so that less of its rooms gives no money back; a source of \
             another size is bought new and whole\n",
        );
    }
    if figures.best.is_none() {
        text.push_str(
            "\nNone of the plants that were tried keeps the limits. Nearest by is the one above that the search ended at.\n",
        );
    }
}

fn broken_words(sentences: &[&str]) -> String {
    format!("breaks a limit ({})", sentences.join("; "))
}

/// What fires longer than it did, so that nobody takes the best for better in all.
fn say_guards(text: &mut String, figures: &ByMoneyFigures) {
    if figures.guards_longer.is_empty() {
        return;
    }
    let all = figures.guards_longer.iter().map(|longer| {
        let (guard, before) = (&longer.guard, longer.hours_as_it_stands);
        format!("{} {:.0} h a season ({before:.0} h as it stands)", guard.name, guard.hours)
    });
    let all: Vec<String> = all.collect();
    let how = if figures.guards_are_limits { "within the limits above" } else { "no limit, with --let-guards-fire" };
    let _ = writeln!(text, "  guards that fire longer at the best ({how}): {}", all.join(", "));
}

/// What binds at the best: a limit, the end of what is tried, or money alone.
fn say_binding(text: &mut String, figures: &ByMoneyFigures) {
    text.push_str("\nWhat binds\n");
    for one in &figures.numbers {
        let _ = writeln!(text, "  {}: {}", one.what, binding(one));
    }
    text.push_str("  limits are kept in these weather years with nothing to spare: what is ordered wants a margin for a worse one\n");
}

fn binding(one: &SizedFigures) -> String {
    let breaks = |next: Option<&NextSize>, way: &str| {
        let next = next.filter(|next| !next.broken.is_empty())?;
        let all: Vec<&str> = next.broken.iter().map(|broken| broken.sentence.as_str()).collect();
        Some(format!("at {}, a step {way}, {}", number(next.size), all.join("; ")))
    };
    let mut said: Vec<String> = Vec::new();
    said.extend(breaks(one.smaller.as_ref(), "smaller"));
    said.extend(breaks(one.larger.as_ref(), "larger"));
    if said.is_empty() {
        said.push("money alone".to_owned());
    }
    if one.best <= one.least_tried {
        said.push("no smaller size is tried".to_owned());
    }
    if one.best >= one.most_tried {
        said.push("no larger size is tried".to_owned());
    }
    said.join("; ")
}

fn say_frontier(text: &mut String, figures: &ByMoneyFigures) {
    let all = &figures.frontier;
    if all.is_empty() {
        return;
    }
    let _ = write!(
        text,
        "\nInvestment against seasonal energy cost: of the plants that were tried and keep the limits, those that no other beats in both\n  {:>14}{:>14}{:>18}",
        "investment", "energy cost", "net present cost"
    );
    text.push_str("   sizes, in the order above\n");
    for place in shown(all, figures.best.as_ref()) {
        let plant = &all[place];
        let sizes: Vec<String> = plant.sizes.iter().map(|size| number(*size)).collect();
        let is_best = figures.best.as_ref() == Some(plant);
        let _ = writeln!(
            text,
            "  {:>14.0}{:>14.0}{:>18.0}   {}{}",
            Digits(plant.investment),
            Digits(plant.bill),
            Digits(plant.net_present_cost),
            sizes.join(", "),
            if is_best { "   the best" } else { "" }
        );
    }
    if all.len() > MOST_LINES {
        let _ =
            writeln!(text, "  {} of {} are shown; --json has all", shown(all, figures.best.as_ref()).len(), all.len());
    }
}

/// Places of the lines that are printed: evenly spread, with both ends and the best.
fn shown(all: &[SizedPlant], best: Option<&SizedPlant>) -> Vec<usize> {
    let last = all.len() - 1;
    let spread = (0..MOST_LINES).map(|line| line * last / (MOST_LINES - 1));
    let best = best.and_then(|best| all.iter().position(|plant| plant == best));
    let mut places: Vec<usize> = spread.chain(best).collect();
    places.sort_unstable();
    places.dedup();
    places
}

fn say_seasons(text: &mut String, figures: &ByMoneyFigures) {
    let seasons = &figures.seasons;
    let _ = writeln!(
        text,
        "\n{} seasons were run of {} at most, for {} plants; {} times a plant was asked for again, and {} seasons were spared where another weather year broke a limit already",
        seasons.run, seasons.most, seasons.plants, seasons.asked_again, seasons.spared
    );
    if figures.ran_out_of_seasons {
        text.push_str(
            "the search ended for want of seasons, and there may be a better plant: give more with --seasons\n",
        );
    }
}
