//! Growth in figures: the same study with more nuts, phase beside phase.

use super::build::{Season, Unreckoned, by_site, figures, run_study};
use super::figures::{Figures, PhaseFigures, WeatherFigures};
use crate::ledger::{Book, Detail};
use crate::number::{Unit, tonne};
use crate::season::{Grown, References, phases};
use crate::study::Study;
use crate::weather::WeatherYear;
use std::borrow::Cow;

/// A phase as a row of plain words and numbers, for a table.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PhaseRow {
    /// Phase and option: `twice the orchard, electric`.
    pub name: String,
    /// Received t, bins, heat kW, bill, bill per dried t, peak kW, hours short, tonne-days of waiting
    /// for a bin and for a load.
    pub numbers: [f64; 9],
    /// Names of the guards that fired.
    pub guards: Vec<String>,
    /// True of a phase of growth, false of the study as it stands.
    pub is_grown: bool,
}

/// Headings and units of [`PhaseRow::numbers`].
pub(crate) fn phase_heads() -> [(Cow<'static, str>, Unit); 9] {
    let bill = format!("bill per dried {}", tonne());
    [
        ("received".into(), Unit::Of("t")),
        ("bins".into(), Unit::Count),
        ("heat capacity".into(), Unit::Heat("kW")),
        ("seasonal energy cost".into(), Unit::Money),
        (bill.into(), Unit::MoneyPer("t")),
        ("electric peak".into(), Unit::Of("kW")),
        ("heat short".into(), Unit::Of("h")),
        ("waiting for a bin".into(), Unit::Of("t d")),
        ("waiting for a load".into(), Unit::Of("t d")),
    ]
}

/// Rows for a table, in the order of the figures.
pub(crate) fn phase_rows(figures: &[PhaseFigures]) -> Vec<PhaseRow> {
    figures
        .iter()
        .map(|phase| PhaseRow {
            name: format!("{}, {}", phase.name, phase.option),
            numbers: [
                phase.received_t,
                phase.bins as f64,
                phase.heat_kw,
                phase.total_cost,
                phase.cost_per_dried_t,
                phase.electric_peak_kw,
                phase.hours_short,
                phase.waiting_for_bin_tonne_days,
                phase.waiting_for_load_tonne_days,
            ],
            guards: phase.guards.iter().map(|guard| guard.name.clone()).collect(),
            is_grown: phase.is_grown,
        })
        .collect()
}

/// Name under which the study itself stands among its phases.
const AS_IT_STANDS: &str = "as it stands";

/// Runs every phase of a study with these options in every weather year, and the study itself before
/// them. Nothing if the study has no phases.
pub(crate) fn phase_figures(
    study: &Study,
    references: &References,
    years: &[WeatherYear],
    options: &[&str],
) -> Result<Vec<PhaseFigures>, Unreckoned> {
    if study.phases.is_empty() {
        return Ok(Vec::new());
    }
    let wanted = |place: &usize| options.contains(&study.heatings[*place].name.as_str());
    let chosen: Vec<usize> = (0..study.heatings.len()).filter(wanted).collect();
    let mut told: Vec<(usize, usize, PhaseFigures)> = Vec::new();
    // Each plant grows by itself.
    for site in by_site(study, chosen) {
        let study = study.with_options(&site);
        for (phase, grown) in grown(&study).into_iter().enumerate() {
            let study = Study { plant: grown.plant, heatings: grown.heatings, intake: grown.intake, ..study.clone() };
            let books = run_study(&study, references, years, Detail::Site, || ());
            let season = Season { study: &study, inputs: &[], years, books: &books, references };
            let figures = figures(&season, Vec::new(), WeatherFigures::default())?;
            let rows = tell((&grown.name, phase > 0), &study, &figures, &books);
            told.extend(site.iter().zip(rows).map(|(&place, row)| (phase, place, row)));
        }
    }
    told.sort_by_key(|(phase, place, _)| (*phase, *place));
    Ok(told.into_iter().map(|(_, _, row)| row).collect())
}

/// The study as it stands, then in each of its phases.
fn grown(study: &Study) -> Vec<Grown> {
    let as_it_stands = Grown {
        name: AS_IT_STANDS.to_owned(),
        plant: study.plant.clone(),
        heatings: study.heatings.clone(),
        intake: study.intake.clone(),
    };
    let mut all = vec![as_it_stands];
    all.extend(phases(&study.plant, &study.heatings, &study.intake, &study.phases));
    all
}

fn tell((name, is_grown): (&str, bool), study: &Study, figures: &Figures, books: &[Vec<Book>]) -> Vec<PhaseFigures> {
    figures
        .options
        .iter()
        .zip(books)
        .map(|(option, books)| {
            let mean = |of: &dyn Fn(&Book) -> f64| books.iter().map(of).sum::<f64>() / books.len() as f64;
            PhaseFigures {
                name: name.to_owned(),
                option: option.name.clone(),
                is_grown,
                received_t: mean(&|book| book.tonnage.received_kg / 1000.0),
                bins: study.plant.bins(),
                heat_kw: option.heat_capacity_kw,
                total_cost: option.total_cost,
                cost_per_dried_t: option.cost_per_dried_t,
                electric_peak_kw: option.electric_peak_kw,
                hours_short: option.hours_short,
                waiting_tonne_days: mean(&|book| book.tonnage.waiting_tonne_days),
                waiting_for_bin_tonne_days: mean(&|book| book.tonnage.waiting_for_bin_tonne_days),
                waiting_for_load_tonne_days: mean(&|book| book.tonnage.waiting_for_load_tonne_days()),
                guards: option.guards.clone(),
            }
        })
        .collect()
}
