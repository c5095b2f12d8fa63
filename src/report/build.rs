//! From books and bills to figures: sums, means over weather years, comparison with the baseline.

mod frame;
mod life_cycle;
mod months;
mod option;
mod reckoned;
mod recovered;
mod season;
mod spread;
mod words;

use super::figures::{Figures, GuardFigures, InputFile, OptionFigures, Tool, WeatherFigures};
use crate::ledger::{Book, GuardKind};
use crate::money::{BadPlan, CashPlan, NoAmount};
use crate::study::Study;
use crate::study::input::Input;
use crate::weather::WeatherYear;
use frame::{study_figures, weather_year};
use life_cycle::{life_cycle, plan};
use months::sum_carriers;
use option::option_figures;
use reckoned::{Reckoned, reckon};
use season::season_figures;

/// Why figures cannot be made of a season that was computed.
#[derive(Debug, thiserror::Error)]
pub enum Unreckoned {
    /// A sum of money is too large to hold.
    #[error("the bill cannot be reckoned: {0}")]
    Amount(#[from] NoAmount),
    /// The life-cycle reckoning refuses its inputs.
    #[error("the life-cycle cost cannot be reckoned: {0}")]
    Plan(#[from] BadPlan),
}

/// All that figures are made of.
#[derive(Clone, Copy, Debug)]
pub struct Season<'a> {
    /// The study.
    pub study: &'a Study,
    /// Every value the study used.
    pub inputs: &'a [Input],
    /// Weather years.
    pub years: &'a [WeatherYear],
    /// Books by option, then year.
    pub books: &'a [Vec<Book>],
}

/// Makes the figures. `files` are the files read with their digests and `weather` says what was found
/// in the weather files; its `years` are filled in here.
pub fn figures(
    season: &Season<'_>,
    files: Vec<InputFile>,
    weather: WeatherFigures,
) -> Result<Figures, Unreckoned> {
    let Season { study, years, .. } = *season;
    let reckoned = season
        .books
        .iter()
        .map(|books| reckon(study, books))
        .collect::<Result<Vec<_>, _>>()?;
    let base = study
        .heatings
        .iter()
        .position(|heating| heating.name == study.baseline)
        .unwrap_or(0);
    let plans: Vec<CashPlan> = reckoned
        .iter()
        .enumerate()
        .map(|(place, option)| plan(study, base, place, sum_carriers(&option.months)))
        .collect();
    let mut options = Vec::new();
    for (place, option) in reckoned.iter().enumerate() {
        let life_cycle = life_cycle(study, &plans, base, place, option)?;
        options.push(option_figures(study, &reckoned, base, place, life_cycle));
    }
    let recommended = recommend(&options, &reckoned, &study.baseline);
    let baseline = &reckoned[base];
    let filled_share = {
        let all = baseline.mean(|account| account.heat_delivered_kwh);
        let filled = baseline.mean(|account| account.heat_in_mended_hours_kwh);
        if all > 0.0 { filled / all * 100.0 } else { 0.0 }
    };
    Ok(Figures {
        tool: Tool {
            name: env!("CARGO_PKG_NAME").to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        },
        study: study_figures(study, recommended),
        inputs: files,
        weather: WeatherFigures {
            heat_in_filled_hours_pct: filled_share,
            years: years.iter().map(|year| weather_year(study, year)).collect(),
            ..weather
        },
        season: season_figures(study, years, baseline),
        options,
        assumptions: season.inputs.iter().map(super::assumption).collect(),
        phases: Vec::new(),
        condensers: Vec::new(),
    })
}

/// Lowest net present cost among the options that dry everything and meet the heat need to within
/// 1 %; if none does, lowest of all.
fn recommend(options: &[OptionFigures], reckoned: &[Reckoned<'_>], baseline: &str) -> String {
    let able = |place: usize| {
        let unfinished = reckoned[place]
            .books
            .iter()
            .flat_map(|book| &book.guards)
            .any(|guard| guard.kind == GuardKind::Unfinished);
        !unfinished && options[place].heat_short_kwh <= 0.01 * options[place].heat_need_kwh
    };
    let cheapest = |places: &mut dyn Iterator<Item = usize>| {
        places.min_by(|&a, &b| {
            let cost = |place: usize| options[place].life_cycle.net_present_cost;
            cost(a).total_cmp(&cost(b))
        })
    };
    cheapest(&mut (0..options.len()).filter(|&place| able(place)))
        .or_else(|| cheapest(&mut (0..options.len())))
        .map_or_else(|| baseline.to_owned(), |place| options[place].name.clone())
}

/// Files read, for a list of digests.
pub fn input_file(file: impl Into<String>, sha256: impl Into<String>) -> InputFile {
    InputFile {
        file: file.into(),
        sha256: sha256.into(),
    }
}

/// Guards of all years of an option, for the exit code under `--strict`.
pub fn guards_fired(figures: &Figures) -> Vec<&GuardFigures> {
    figures
        .options
        .iter()
        .flat_map(|option| &option.guards)
        .collect()
}
