//! Every option at every point at which uncertain inputs are answered: seasons are run where plant, nuts or
//! heating differ from the study's, and reckoned anew where prices alone do. Only sums are kept.

use super::life_cycle::{net_present_cost, plan};
use super::months::sum_carriers;
use super::reckoned::{over, reckon};
use super::{Season, Unreckoned, baseline_place};
use crate::ledger::{Account, Book};
use crate::money::EnergyUse;
use crate::report::judgement::Work;
use crate::report::ranking::Judged;
use crate::season::run_option;
use crate::study::Study;
use rayon::prelude::*;

/// One option at one point.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Answer {
    /// One a weather year.
    pub seasons: Vec<SeasonSums>,
    /// With the mean of the weather years.
    pub judged: Judged,
    /// Mean bill over the weather years.
    pub total_cost: f64,
}

/// A season in sums.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SeasonSums {
    pub total_cost: f64,
    pub cost_per_dried_t: f64,
    pub heat_need_kwh: f64,
    pub energy: EnergyUse,
    pub electric_peak_kw: f64,
}

/// Answers by study, then by option, whatever the order in which they were run. `done` is called as each
/// option of a study ends.
pub(super) fn answers(
    season: &Season<'_>,
    studies: &[&Study],
    done: impl Fn() + Sync,
) -> Result<Vec<Vec<Answer>>, Unreckoned> {
    let options = season.books.len();
    let all: Vec<Answer> = (0..studies.len() * options)
        .into_par_iter()
        .map(|at| {
            let answer = answer(season, studies[at / options], at % options);
            done();
            answer
        })
        .collect::<Result<_, _>>()?;
    Ok(all.chunks(options.max(1)).map(<[Answer]>::to_vec).collect())
}

fn answer(season: &Season<'_>, study: &Study, place: usize) -> Result<Answer, Unreckoned> {
    let own = season.study;
    let is_own_season = study.plant == own.plant
        && study.intake == own.intake
        && study.heatings[place] == own.heatings[place];
    if is_own_season {
        return sums(study, place, &season.books[place]);
    }
    let books: Vec<Book> = season
        .years
        .iter()
        .map(|year| run_option(&study.plant, &study.heatings[place], &study.intake, year))
        .collect();
    sums(study, place, &books)
}

fn sums(study: &Study, place: usize, books: &[Book]) -> Result<Answer, Unreckoned> {
    let option = reckon(study, books)?;
    let plan = plan(study, baseline_place(study), place, sum_carriers(&option.months));
    let judged = Judged {
        work: Work::of(option.books, &option.accounts),
        net_present_cost: net_present_cost(study, &plan)?,
    };
    let seasons: Vec<SeasonSums> = option
        .totals(study)
        .into_iter()
        .zip(option.accounts.iter().zip(&option.energy))
        .zip(books)
        .map(|((total_cost, (account, energy)), book)| {
            season_sums(total_cost, account, *energy, book)
        })
        .collect();
    Ok(Answer {
        total_cost: super::months::sum_money(&option.months, |month| month.total_cost),
        judged,
        seasons,
    })
}

fn season_sums(total_cost: f64, account: &Account, energy: EnergyUse, book: &Book) -> SeasonSums {
    SeasonSums {
        total_cost,
        cost_per_dried_t: over(total_cost, book.tonnage.dried_kg / 1000.0),
        heat_need_kwh: account.heat_need_kwh,
        energy,
        electric_peak_kw: account.electric_peak_kw,
    }
}
