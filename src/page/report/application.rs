//! Figures for an application: baseline against proposal, with the formulas beside them.

use super::view::View;
use crate::answer::figures::{ApplicationFigures, BothKey, ComparedFigure, OptionFigures, ProposalFigure, ProposalKey};
use crate::number;
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, listed, quoted};
use serde::Serialize;

/// The ninth section.
#[derive(Debug, Serialize)]
pub(super) struct Application {
    /// One for every proposal; one alone where there is none, which says why.
    parts: Vec<Part>,
    /// True if anything is proposed.
    is_in_full: bool,
}

/// What is said of one proposal.
#[derive(Debug, Serialize)]
struct Part {
    /// The proposal, where there are several.
    name: Option<String>,
    lead: String,
    table: Option<Table>,
    savings: Option<Table>,
}

/// By which rule something is proposed, and paid a grant.
const RULE: &str =
    "Proposed, and paid a grant, is only what does the work and saves purchased energy or carbon against the baseline.";

/// By which rule a grant is paid for what the study itself proposes.
const GRANT_RULE: &str =
    "Paid a grant is only what does the work and saves purchased energy or carbon against the baseline.";

/// Builds it.
pub(super) fn application(view: &View<'_>) -> Application {
    let is_one = view.figures.more_applications.is_empty();
    let part = |figures: &ApplicationFigures| {
        let proposal = &figures.proposal;
        Some(Part {
            name: (!is_one).then(|| proposal.clone()),
            lead: lead(view, figures, view.option(proposal)?),
            table: Some(side_by_side(figures, is_one)),
            savings: Some(savings(view, figures, is_one)),
        })
    };
    let mut parts: Vec<Part> = view.figures.applications().filter_map(part).collect();
    let is_in_full = !parts.is_empty();
    if !is_in_full {
        parts.push(Part { name: None, lead: no_proposal(view), table: None, savings: None });
    }
    Application { parts, is_in_full }
}

fn lead(view: &View<'_>, figures: &ApplicationFigures, proposal: &OptionFigures) -> String {
    let base = view.baseline();
    let named = format!(
        "Baseline: “{}” ({}). Proposal: “{}” ({}).",
        base.name, base.description, proposal.name, proposal.description
    );
    let mut words = vec![named];
    words.extend(figures.remarks.iter().cloned());
    words.push(standing(view));
    // Of work left undone the remarks have said so.
    let refused = proposal.life_cycle.grant_refused.clone();
    words.extend(refused.filter(|_| proposal.does_the_work));
    words.push(if figures.named_by_study { GRANT_RULE } else { RULE }.to_owned());
    words.extend(saved_in_draws(view, figures).or_else(|| not_drawn(view)));
    words.join(" ")
}

/// How far what is saved lies apart in the draws; nothing where nothing was drawn.
fn saved_in_draws(view: &View<'_>, figures: &ApplicationFigures) -> Option<String> {
    let of = |key: &BothKey| figures.of_both.iter().find(|figure| figure.key == *key)?.saved_in_draws;
    let range = |key: BothKey, told: &dyn Fn(f64) -> String| {
        of(&key).map(|saved| format!("{} to {}", told(saved.low()), told(saved.high())))
    };
    let purchased = of(&BothKey::Purchased)?;
    let all = [
        range(BothKey::Purchased, &number::heat).map(|saved| format!("{saved} purchased")),
        range(BothKey::PeakDemand, &|kw| number::Measure::of("kW").three(kw))
            .map(|saved| format!("{saved} of peak demand")),
        range(BothKey::Carbon, &number::carbon).map(|saved| format!("{saved} of CO₂e")),
        range(BothKey::Bill, &|sum| view.money.prose(sum)),
    ];
    let saved: Vec<String> = all.into_iter().flatten().collect();
    let which = if purchased.p10.is_some() { "Eight draws of ten save" } else { "Draws save" };
    Some(format!("{which} {} a season.", listed(&saved)))
}

/// That nothing is known of how far what is saved may be off, where nothing was drawn.
fn not_drawn(view: &View<'_>) -> Option<String> {
    let said = "How far these savings may be off is not known: nothing was drawn.";
    view.figures.uncertainty.is_none().then(|| said.to_owned())
}

/// Whether the baseline stands already, and what would change if it did.
fn standing(view: &View<'_>) -> String {
    let capital = view.baseline().life_cycle.capital;
    if view.figures.study.baseline_installed {
        "The baseline stands already: what it has costs no capital, and is taken to last the period.".to_owned()
    } else if capital > 0.0 {
        format!(
            "The baseline is taken to be built new as well, for {}. Where it stands already, the study can say so, and it costs no capital.",
            view.money.prose(capital)
        )
    } else {
        "The baseline costs no capital in this study.".to_owned()
    }
}

/// Why there is no proposal.
fn no_proposal(view: &View<'_>) -> String {
    let (options, base) = (&view.figures.options, &view.baseline().name);
    if options.len() == 1 {
        return "The study has one option, so there is no proposal to compare with the baseline.".to_owned();
    }
    if options.iter().any(|option| option.does_the_work && option.name != *base) {
        return format!(
            "No option that does the work saves purchased energy or carbon against the baseline, so that none is proposed. {RULE}"
        );
    }
    let what = if options.iter().any(|option| option.does_the_work) {
        "No option but the baseline does the work"
    } else {
        "No option does the work"
    };
    format!("{what}, so that none can be proposed: what each leaves undone stands in the answer.")
}

/// A figure that no other is reckoned from has no symbol.
fn symbol(of: &str) -> Cell {
    Cell::words(if of.is_empty() { "–" } else { of })
}

fn side_by_side(figures: &ApplicationFigures, is_one: bool) -> Table {
    let row = |figure: &ComparedFigure| {
        let (a, b) = (figure.baseline, figure.proposal);
        let decimals = column_decimals([a, b].into_iter());
        let cells = vec![
            symbol(&figure.symbol),
            Cell::number(a, decimals),
            Cell::number(b, decimals),
            Cell::number(figure.saved, decimals),
            Cell::words(figure.formula.to_string()),
        ];
        Row::new(figure.name.to_string(), cells).unit(figure.unit.clone())
    };
    let heads = vec![
        Head::words("symbol"),
        Head::number(format!("baseline: {}", figures.baseline), ""),
        Head::number(format!("proposal: {}", figures.proposal), ""),
        Head::number("saved", ""),
        Head::words("formula"),
    ];
    Table::of_unlike_rows(
        if is_one {
            "Baseline against proposal, the whole site in a mean weather year".to_owned()
        } else {
            format!("Baseline against {}, the whole site in a mean weather year", quoted(&figures.proposal))
        },
        "figure",
        heads,
        figures.of_both.iter().map(row).collect(),
    )
    .note("A formula holds for both. Below, E0 is the baseline’s E, E1 the proposal’s, and ΔE = E0 − E1 what is saved.")
}

fn savings_decimals(figure: &ProposalFigure) -> usize {
    let by_its_size = column_decimals(figure.value.into_iter());
    match figure.key {
        // A factor of sums of money, which have more figures than three.
        ProposalKey::CarrierFactor(_) | ProposalKey::UpkeepFactor => 4,
        ProposalKey::Years | ProposalKey::SimplePayback | ProposalKey::DiscountedPayback => {
            if figure.value.is_some_and(|value| value.fract() == 0.0) { 0 } else { by_its_size }
        }
        ProposalKey::EnergySavedShare
        | ProposalKey::CarbonSavedShare
        | ProposalKey::EnergySavedOverPeriod
        | ProposalKey::CarbonSavedOverPeriod
        | ProposalKey::Eligible
        | ProposalKey::GrantShare
        | ProposalKey::GrantMost
        | ProposalKey::Grant
        | ProposalKey::ExtraInvestment
        | ProposalKey::SavedAYear
        | ProposalKey::PresentSaving
        | ProposalKey::PresentReplacements
        | ProposalKey::NetPresentSaving
        | ProposalKey::InternalReturn
        | ProposalKey::SavingsOverInvestment
        | ProposalKey::GrantPerTonneOfCarbon => by_its_size,
    }
}

fn savings(view: &View<'_>, figures: &ApplicationFigures, is_one: bool) -> Table {
    let study = &view.figures.study;
    let rate = number::plain(study.discount_rate * 100.0);
    let row = |figure: &ProposalFigure| {
        let decimals = savings_decimals(figure);
        let cells = vec![
            symbol(&figure.symbol),
            Cell::number_or(figure.value, decimals, &figure.why),
            Cell::words(figure.formula.to_string()),
        ];
        Row::new(figure.name.clone(), cells).unit(figure.unit.clone())
    };
    let note = format!(
        "Life-cycle money follows NIST Handbook 135 (Life-Cycle Costing Manual), in constant money of the first year; simple payback leaves out the growth of prices. Carbon over the period holds the factors of this season constant, the grid’s {} kg CO₂e/kWh too: a grid that grows cleaner saves less. Gases are added up by {}.",
        number::plain(study.grid_carbon_kg_per_kwh),
        study.warming_potentials
    );
    Table::of_unlike_rows(
        if is_one {
            format!("Savings over {} years, {rate} % a year real", study.money_years)
        } else {
            format!("Savings of {} over {} years, {rate} % a year real", quoted(&figures.proposal), study.money_years)
        },
        "figure",
        vec![Head::words("symbol"), Head::number("value", ""), Head::words("formula")],
        figures.of_the_proposal.iter().map(row).collect(),
    )
    .note(note)
}
