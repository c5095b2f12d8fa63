//! The answer: a paragraph and a table.

use super::odds;
use super::sensitivity;
use super::view::View;
use super::{whose, work};
use crate::answer::figures::{OptionFigures, SampledFigures};
use crate::answer::warnings::weather_doubts;
use crate::answer::{level_sentence, unmeasured_sentences};
use crate::number::{self, Measure, for_a_tonne, heat, percent, three, tonne, with_unit};
use crate::page::parts::{Table, counted, how_often, in_draws, in_words, steadiness};
use serde::Serialize;

/// The first section.
#[derive(Debug, Serialize)]
pub(super) struct Answer {
    sentences: Vec<String>,
    /// Guards that fired in any option, each once.
    guards: Vec<String>,
    /// Doubts about the weather that the figures rest on.
    doubts: Vec<String>,
    unmeasured: Vec<String>,
    sure: Vec<String>,
    table: Table,
}

/// What a spread over weather years does not say.
const WEATHER_ALONE: &str = "No input was drawn: prices, nuts, plant and crop values stand as the study has them, so that the true doubt is wider than the weather’s.";

/// Builds it.
pub(super) fn answer(view: &View<'_>) -> Answer {
    Answer {
        sentences: sentences(view),
        guards: work::guards(&view.figures.options),
        doubts: weather_doubts(view.figures).map(|doubt| doubt.sentence.to_string()).collect(),
        unmeasured: unmeasured_sentences(&view.figures.unmeasured),
        sure: how_sure(view),
        table: super::compared::money(view),
    }
}

fn sentences(view: &View<'_>) -> Vec<String> {
    let (money, shown) = (&view.money, view.shown());
    let mut said = vec![verdict(view)];
    let per_dried_tonne = if view.figures.season.dried_t > 0.0 {
        format!(", or {} for each {} of dry nuts", money.prose(for_a_tonne(shown.cost_per_dried_t)), tonne())
    } else {
        String::new()
    };
    said.push(format!(
        "With “{}” the site’s energy costs {} a season{}{}. The site {}; its peak demand is {}.",
        shown.name,
        money.prose(shown.total_cost),
        per_dried_tonne,
        to_be_paid(view, shown),
        whose::uses(shown),
        with_unit(&three(shown.electric_peak_kw), "kW"),
    ));
    if view.something_beats_the_baseline() {
        said.push(against_baseline(view, shown, view.baseline()));
        said.push(investment(view, shown, view.baseline()));
    }
    said.push(if shown.hours_short > 0.0 {
        format!(
            "It falls short of heat in {} of a season: what lacks then, hour by hour, adds up to {} of the heat need, and the air is {} below its set temperature{}.",
            with_unit(&number::plain((shown.hours_short * 10.0).round() / 10.0), "h"),
            percent(shown.heat_short_kwh / shown.heat_need_kwh.max(1e-9) * 100.0),
            Measure::of("kelvin-hours").three(shown.below_set_kh),
            shown.drying_hours_longer.filter(|hours| *hours > 0.05).map_or_else(String::new, |hours| {
                format!(
                    ", and a batch dries {} longer on average than with ample heat",
                    with_unit(&three(hours), "h")
                )
            }),
        )
    } else {
        "It gives all the heat that is asked for, in every hour.".to_owned()
    });
    said.extend(work::warnings(view));
    let targets = view.figures.season.targets.iter();
    said.extend(targets.filter(|target| target.mould_can_grow).map(|t| t.sentence.to_string()));
    said.extend(level_sentence(view.figures));
    said
}

/// What of the energy's cost is no bill, where an own supply stands in it.
fn to_be_paid(view: &View<'_>, option: &OptionFigures) -> String {
    if option.own_worth <= 0.0 {
        return String::new();
    }
    format!(
        "; {} of it is what the plant’s own supply would have fetched, and {} is to be paid",
        view.money.prose(option.own_worth),
        view.money.prose(option.total_cost - option.own_worth)
    )
}

/// Which option is recommended, or that none is.
fn verdict(view: &View<'_>) -> String {
    let (base, options) = (view.baseline(), &view.figures.options);
    let years = view.figures.study.money_years;
    let Some(best) = view.recommended() else {
        return match options.as_slice() {
            [one] => format!(
                "The only option, “{}”, does not do the work, so that nothing is recommended.",
                one.name
            ),
            _ => "None of the options does the work, so that none is recommended: what leaves work undone is not ranked by its cost.".to_owned(),
        };
    };
    let present_cost = view.money.prose(best.life_cycle.net_present_cost);
    let contest = work::contest(options);
    if view.something_beats_the_baseline() && base.does_the_work {
        format!(
            "Of {contest}, “{}” costs least over {years} years: a net present cost of {present_cost}, which is {} less than that of “{}”, the baseline.",
            best.name,
            view.money.prose(best.life_cycle.net_saving),
            base.name,
        )
    } else if view.something_beats_the_baseline() {
        format!(
            "Of {contest}, “{}” costs least over {years} years: a net present cost of {present_cost}. The baseline, “{}”, does not do the work, so that what is said to be saved against it is not saved for equal work.",
            best.name, base.name,
        )
    } else if options.len() > 1 {
        format!(
            "Of {contest}, none beats the baseline, “{}”: its net present cost over {years} years is {present_cost}.",
            base.name,
        )
    } else {
        format!("The only option, “{}”, has a net present cost of {present_cost} over {years} years.", base.name)
    }
}

/// `12 300 less`, `400 more`.
fn less_or_more(difference: f64, words: impl Fn(f64) -> String) -> String {
    if difference >= 0.0 { format!("{} less", words(difference)) } else { format!("{} more", words(-difference)) }
}

fn against_baseline(view: &View<'_>, best: &OptionFigures, base: &OptionFigures) -> String {
    let money = &view.money;
    format!(
        "Against the baseline that is {} a season, {} of purchased energy and {} of carbon dioxide equivalent.",
        less_or_more(base.total_cost - best.total_cost, |x| money.prose(x)),
        less_or_more(base.purchased_kwh - best.purchased_kwh, heat),
        less_or_more(base.carbon_kg - best.carbon_kg, number::carbon),
    )
}

fn investment(view: &View<'_>, best: &OptionFigures, base: &OptionFigures) -> String {
    let net = |o: &OptionFigures| o.life_cycle.capital - o.life_cycle.grant;
    let extra = net(best) - net(base);
    let money = &view.money;
    if extra <= 0.0 {
        return format!(
            "It needs no more investment than the baseline ({} against {}, after grant).",
            money.prose(net(best)),
            money.prose(net(base))
        );
    }
    let back = match best.life_cycle.simple_payback_years {
        Some(years) => format!("comes back in {}", with_unit(&three(years), "years, upkeep counted")),
        None => "does not come back from savings within the period".to_owned(),
    };
    let grant = best.life_cycle.grant;
    let after = if grant > 0.0 {
        format!(" after a grant of {} that the study counts on", money.prose(grant))
    } else {
        String::new()
    };
    format!("The extra investment of {}{after} {back}.", money.prose(extra))
}

fn how_sure(view: &View<'_>) -> Vec<String> {
    let years = view.weather_years();
    let best = view.shown();
    let money = &view.money;
    if let Some(sampled) = &view.figures.uncertainty {
        return how_sure_of_draws(view, sampled);
    }
    if years < 2 {
        return vec![
            "How sure: one weather year stands behind these figures, so nothing can be said about the spread between years. More years of weather would give it.".to_owned(),
            WEATHER_ALONE.to_owned(),
        ];
    }
    let cost = &best.uncertainty.total_cost;
    let mut said = vec![if cost.has_tenths() {
        format!(
            "How sure: over {years} weather years the seasonal energy cost of “{}” lies between {} and {} in eight years of ten (P10 to P90; middle {}).",
            best.name,
            money.prose(cost.low()),
            money.prose(cost.high()),
            money.prose(cost.p50),
        )
    } else {
        format!(
            "How sure: in {} weather years the seasonal energy cost of “{}” runs from {} to {}; so few years give no odds.",
            in_words(years),
            best.name,
            money.prose(cost.lowest),
            money.prose(cost.highest),
        )
    }];
    said.push(WEATHER_ALONE.to_owned());
    if view.something_beats_the_baseline() {
        said.push(format!(
            "Year by year its bill is below the baseline’s {}.",
            how_often(best.uncertainty.cheaper_than_baseline_pct)
        ));
    }
    said
}

/// How sure where uncertain inputs were drawn: the range over draws and weather years, and paired odds.
fn how_sure_of_draws(view: &View<'_>, sampled: &SampledFigures) -> Vec<String> {
    let (best, money) = (view.shown(), &view.money);
    let cost = &best.uncertainty.total_cost;
    let range = if cost.has_tenths() {
        format!(
            "lies between {} and {} in eight cases of ten (P10 to P90; middle {})",
            money.prose(cost.low()),
            money.prose(cost.high()),
            money.prose(cost.p50),
        )
    } else {
        format!("runs from {} to {}", money.prose(cost.lowest), money.prose(cost.highest))
    };
    let mut said = vec![format!(
        "How sure: over {} of {}, each in {}, the seasonal energy cost of “{}” {range}.",
        counted(sampled.samples, "draw", "draws"),
        counted(sampled.inputs.len(), "uncertain input", "uncertain inputs"),
        sensitivity::through_years(sampled),
        best.name,
    )];
    if let Some((input, gone)) = sampled.bill_of(&best.name).and_then(|bill| sampled.worth_knowing(bill).next()) {
        said.push(format!("What would narrow that range most: {}.", sensitivity::worth_words((input, gone))));
    }
    if let Some(odds) = odds::between(sampled, &best.name, &view.baseline().name) {
        said.push(format!(
            "Its net present cost is below the baseline’s {}; what it saves lies between {} and {}.",
            in_draws(&odds.in_draws),
            money.prose(odds.net_saving.low()),
            money.prose(odds.net_saving.high()),
        ));
    }
    if let Some(best_of_all) = best.uncertainty.best_in_draws
        && view.figures.options.len() > 1
        && view.recommended().is_some()
    {
        said.push(format!(
            "It is the best of all {} options {}, {}.",
            in_words(view.figures.options.len()),
            in_draws(&best_of_all),
            steadiness(best_of_all.steady_from, best_of_all.of_draws, "5\u{a0}percentage points"),
        ));
    }
    if view.figures.options.len() > 1 {
        said.extend(work::undone_in_draws(&view.figures.options));
    }
    said
}
