//! Growth in figures: the same study with more nuts, phase beside phase.

use super::build::{Season, Unreckoned, by_site, figures, run_study};
use super::figures::{CarrierFigures, OptionFigures, PhaseFigures, WeatherFigures};
use crate::ledger::{Book, Detail};
use crate::number::{Unit, tonne};
use crate::season::{Grown, References};
use crate::study::{Phase, Study};
use crate::weather::WeatherYear;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A phase as a row of plain words and numbers, for a table.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PhaseRow {
    /// The phase: `twice the orchard`.
    pub phase: String,
    /// The option in it.
    pub option: String,
    /// Received t, bins, heat kW, bill, bill per dried t, peak kW, hours short, tonne-days of waiting
    /// for a bin and for a load.
    pub numbers: [f64; 9],
    /// Names of the guards that fired.
    pub guards: Vec<String>,
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
            phase: phase.name.clone(),
            option: phase.option.clone(),
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
        })
        .collect()
}

/// Name under which the study itself stands among its phases.
const AS_IT_STANDS: &str = "as it stands";

/// An option in a phase of growth, with what a year of it costs.
pub(crate) struct GrownOption {
    /// Place of the option.
    pub place: usize,
    /// Place of the phase in the study; nothing of the study as it stands.
    pub phase: Option<usize>,
    /// What is told of it.
    pub figures: PhaseFigures,
    /// A season's energy by carrier, and what it costs.
    pub carriers: BTreeMap<String, CarrierFigures>,
}

/// Runs the study as it stands and every phase of it in every weather year, each with the options that `asked` names.
/// Nothing if the study has no phases.
pub(crate) fn grown_options(
    study: &Study,
    references: &References,
    years: &[WeatherYear],
    asked: impl Fn(Option<&Phase>) -> Vec<usize>,
) -> Result<Vec<GrownOption>, Unreckoned> {
    if study.phases.is_empty() {
        return Ok(Vec::new());
    }
    let phases = std::iter::once(None).chain(study.phases.iter().enumerate().map(Some));
    let mut all = Vec::new();
    for phase in phases {
        let mut of_phase = Vec::new();
        let before = phase.and_then(|(_, phase)| phase.study.as_ref()).map_or(study, |changed| &changed.study);
        // Each plant grows by itself.
        for site in by_site(before, asked(phase.map(|(_, phase)| phase))) {
            let own = before.with_options(&site);
            let own = match phase {
                Some((_, phase)) => {
                    let Grown { plant, heatings, intake } = phase.growth.grow(&own.plant, &own.heatings, &own.intake);
                    Study { intake, plant, heatings, ..own }
                }
                None => own,
            };
            let books = run_study(&own, references, years, Detail::Site, || ());
            let season = Season { study: &own, inputs: &[], years, books: &books, references };
            let figures = figures(&season, Vec::new(), WeatherFigures::default())?;
            of_phase.extend(site.iter().zip(&figures.options).zip(&books).map(|((&place, option), books)| {
                GrownOption {
                    place,
                    phase: phase.map(|(at, _)| at),
                    figures: tell(phase.map(|(_, phase)| phase), &own, option, books),
                    carriers: option.carriers.clone(),
                }
            }));
        }
        of_phase.sort_by_key(|option| option.place);
        all.extend(of_phase);
    }
    Ok(all)
}

fn tell(phase: Option<&Phase>, study: &Study, option: &OptionFigures, books: &[Book]) -> PhaseFigures {
    let mean = |of: &dyn Fn(&Book) -> f64| books.iter().map(of).sum::<f64>() / books.len() as f64;
    let planned = phase.and_then(|phase| phase.planned.as_ref());
    PhaseFigures {
        name: phase.map_or(AS_IT_STANDS, |phase| &phase.growth.name).to_owned(),
        option: option.name.clone(),
        is_grown: phase.is_some(),
        year: planned.map(|planned| planned.year),
        capital: planned.map(|planned| planned.capital_of(&option.name)),
        does_the_work: option.does_the_work,
        received_t: mean(&|book| book.tonnage.received_kg / 1000.0),
        dried_t: mean(&|book| book.tonnage.dried_kg / 1000.0),
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
}
