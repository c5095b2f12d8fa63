//! Where to look: measures tried alone on the baseline and on the recommended option, those worth pricing as a block to
//! paste. What was found is said in the body, and how stands in the appendix.

use super::view::View;
use crate::answer::figures::{ScreenedFigures, ScreeningFigures, ScreeningVerdict};
use crate::number;
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, counted, listed, quoted};
use serde::Serialize;

/// Where to look; only where the list was tried.
#[derive(Debug, Serialize)]
pub(super) struct Screening {
    /// What came of it, a sentence for each option that it was tried on.
    found: Vec<String>,
    lead: String,
    /// Each option that it was tried on.
    tried: Vec<OnOption>,
}

/// The list on one option: stands in the appendix.
#[derive(Debug, Serialize)]
struct OnOption {
    name: String,
    table: Option<Table>,
    /// Those that do not rank, and those that the plant cannot have.
    others: Vec<String>,
    /// Options to paste into the study; empty where none is worth pricing.
    block: String,
}

/// Builds it.
pub(super) fn screening(view: &View<'_>) -> Option<Screening> {
    let all = &view.figures.screening;
    (!all.is_empty()).then(|| Screening {
        found: all.iter().map(|screening| found(view, screening)).collect(),
        lead: LEAD.to_owned(),
        tried: all.iter().map(|screening| on_option(view, screening)).collect(),
    })
}

fn on_option(view: &View<'_>, screening: &ScreeningFigures) -> OnOption {
    let ranked: Vec<&ScreenedFigures> = of(screening, ScreeningVerdict::Ranked).collect();
    OnOption {
        name: screening.tried_on.clone(),
        table: (!ranked.is_empty()).then(|| table(view, screening, &ranked)),
        others: others(screening),
        block: screening.to_price.clone(),
    }
}

fn of(screening: &ScreeningFigures, verdict: ScreeningVerdict) -> impl Iterator<Item = &ScreenedFigures> {
    screening.measures.iter().filter(move |measure| measure.verdict == verdict)
}

const LEAD: &str = "Unasked, a standing list of measures is tried, each alone, in one weather year, the middle one by heat need (of two, the one of more). They say where to look, and are no designs: how far each goes is a round step. Savings do not add: half the walls’ loss saves less once less air is let out. What two bring together is answered by an option that includes both.";

/// How many were tried, and what those save and may cost that are worth pricing and that no option tries yet.
fn found(view: &View<'_>, screening: &ScreeningFigures) -> String {
    let tried = counted(screening.measures.len(), "measure", "measures");
    let worth = screening.measures.iter().filter(|measure| measure.worth_pricing && measure.like_option.is_none());
    let said: Vec<String> = worth
        .take(MOST_SAID)
        .map(|measure| {
            let (saved, most) = (view.money.prose(measure.bill_saved), view.money.prose(measure.most_capital));
            format!("{} would save {saved} a season and is worth up to {most}", quoted(&measure.name))
        })
        .collect();
    let on = quoted(&screening.tried_on);
    if said.is_empty() {
        format!("Of {tried} tried alone on {on}, none is worth pricing that no option tries yet.")
    } else {
        format!("Of {tried} tried alone on {on}, {}.", listed(&said))
    }
}

/// So many are named in the body.
const MOST_SAID: usize = 2;

fn table(view: &View<'_>, screening: &ScreeningFigures, ranked: &[&ScreenedFigures]) -> Table {
    let code = view.money.code();
    let column = |of: fn(&ScreenedFigures) -> f64| -> Vec<Cell> {
        let decimals = column_decimals(ranked.iter().map(|measure| of(measure)));
        ranked.iter().map(|measure| Cell::number(of(measure), decimals)).collect()
    };
    let columns = [
        column(|measure| measure.purchased_saved_kwh / 1000.0),
        column(|measure| measure.electric_peak_saved_kw),
        column(|measure| measure.carbon_saved_kg / 1000.0),
        column(|measure| measure.bill_saved),
        column(|measure| measure.most_capital),
        column(|measure| measure.drying_longer_h.unwrap_or(0.0)),
        column(|measure| measure.waiting_more_tonne_days),
    ];
    let heads = vec![
        Head::heat("energy saved", "MWh"),
        Head::number("peak saved", "kW"),
        Head::number("carbon saved", "t CO₂e"),
        Head::number("bill saved", code),
        Head::number("worth at most", code),
        Head::number("drying longer", "h"),
        Head::number("waiting more", "t d"),
        Head::words("what it does"),
    ];
    let rows = ranked.iter().enumerate().map(|(at, measure)| {
        let mut cells: Vec<Cell> = columns.iter().map(|column| column[at].clone()).collect();
        let like =
            measure.like_option.as_ref().map_or_else(String::new, |name| format!(" ({} goes that way)", quoted(name)));
        let longer: Vec<String> = measure.guards_longer.iter().map(|name| name.to_lowercase()).collect();
        let longer =
            if longer.is_empty() { String::new() } else { format!("; longer than without it: {}", listed(&longer)) };
        cells.push(Cell::words(format!("{}{like}{longer}", measure.does)));
        Row::new(measure.name.clone(), cells)
    });
    Table::new(
        format!("Measures tried alone on {}, a season", quoted(&screening.tried_on)),
        "measure",
        heads,
        rows.collect(),
    )
    .note(format!(
        "In the weather year {} (bill {} without any of them); below zero where there is more of it. Worth at most is what pays back within {} from lower bills alone, discounted and with the growth of prices as in the study: capital, works and all, without upkeep, replacement or grant.",
        screening.year,
        view.money.prose(screening.bill),
        counted(screening.money_years as usize, "year", "years")
    ))
}

/// What does not rank, and why.
fn others(screening: &ScreeningFigures) -> Vec<String> {
    let why = |measure: &ScreenedFigures| {
        let broken: Vec<String> = measure.guards_broken.iter().map(|name| name.to_lowercase()).collect();
        match measure.verdict {
            ScreeningVerdict::Ranked | ScreeningVerdict::SavesNothing => String::new(),
            ScreeningVerdict::BreaksGuard => format!("{} ({})", quoted(&measure.name), listed(&broken)),
            ScreeningVerdict::LeavesWork => {
                let left: Vec<&str> = measure.work_left.iter().map(|left| &**left).collect();
                format!("{} (it {})", quoted(&measure.name), left.join(", and it "))
            }
        }
    };
    let mut said = Vec::new();
    let left: Vec<String> = of(screening, ScreeningVerdict::LeavesWork).map(why).collect();
    if !left.is_empty() {
        said.push(format!(
            "Leave work undone that is done without them, so that what they save is not saved for equal work: {}.",
            left.join("; ")
        ));
    }
    let broken: Vec<String> = of(screening, ScreeningVerdict::BreaksGuard).map(why).collect();
    if !broken.is_empty() {
        said.push(format!("Break a guard that is kept without them, or break it further: {}.", broken.join("; ")));
    }
    let nothing: Vec<String> =
        of(screening, ScreeningVerdict::SavesNothing).map(|measure| quoted(&measure.name)).collect();
    if !nothing.is_empty() {
        said.push(format!("Save nothing: {}.", listed(&nothing)));
    }
    let cannot: Vec<String> =
        screening.left_out.iter().map(|left| format!("{} ({})", quoted(&left.name), left.why)).collect();
    if !cannot.is_empty() {
        said.push(format!("Could not be tried on this plant: {}.", cannot.join("; ")));
    }
    if screening.to_price.is_empty() {
        said.push(format!(
            "None that no option tries yet saves {} of the bill, which is the least that is worth pricing.",
            number::percent(screening.worth_pricing_pct)
        ));
    }
    said
}
