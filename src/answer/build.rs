//! From books and bills to figures: sums, means over weather years, comparison with the baseline.

mod application;
mod beside_baseline;
mod break_even;
mod capital;
mod cash;
mod causes;
mod course;
mod crop_change;
mod drawn;
mod flow;
mod frame;
mod grants;
mod in_turn;
mod life_cycle;
mod loads;
mod made_of;
mod marches;
mod mean_day;
mod months;
mod option;
mod periods;
mod point_answer;
mod prices;
mod reckoned;
mod recovered;
mod saved_in_draws;
mod scenarios;
mod screening;
mod season;
mod spread;
mod stays;
mod sure;
mod ways;
mod words;

use super::figures::{Assumption, CourseFigures, Figures, InputFile, SheetFigures, Tool, WeatherFigures};
use super::input_counts::input_counts;
use super::judgement::JudgementFigures;
use super::ranking::{Judged, Ranking};
use super::set::set_figures;
use crate::ledger::middle_year;
use crate::money::{Bid, CashPlan};
use crate::study::Study;
use application::Proposed;
pub(super) use beside_baseline::{Told, beside_baseline};
pub(crate) use cash::cash;
use frame::{study_figures, weather_year};
pub(super) use life_cycle::{PresentBills, present_bills};
use life_cycle::{life_cycle, plan};
pub(super) use loads::{covers, peak_week_of_heat, peak_week_of_water};
use made_of::baseline_place;
pub(crate) use made_of::{Season, Unreckoned};
pub(crate) use marches::run_study;
pub(super) use marches::{by_site, is_same_site};
use option::option_figures;
pub(super) use reckoned::Tally;
use reckoned::reckon;
pub(crate) use scenarios::scenarios;
pub(crate) use screening::{Tried, screening};
use season::season_figures;
pub(crate) use sure::sample;
pub(crate) use ways::{Joined, WayAsked, ways};

/// Makes the figures. `files` are the files read with their digests and `weather` says what was found
/// in the weather files; its `years` are filled in here.
pub(crate) fn figures(
    season: &Season<'_>,
    files: Vec<InputFile>,
    weather: WeatherFigures,
) -> Result<Figures, Unreckoned> {
    let Season { study, years, .. } = *season;
    let reckoned = season.books.iter().map(|books| reckon(study, books)).collect::<Result<Vec<_>, _>>()?;
    let base = baseline_place(study);
    let scheme = grants::Scheme::of(study, base, &reckoned);
    let grants: Vec<_> = (0..reckoned.len()).map(|place| scheme.decision(place)).collect();
    let plans: Vec<CashPlan> = reckoned
        .iter()
        .enumerate()
        .map(|(place, option)| plan(study, base, place, grants[place].is_paid(), option.carriers()))
        .collect();
    let mut options = Vec::new();
    let mut judged = Vec::new();
    for (place, option) in reckoned.iter().enumerate() {
        let mut life_cycle = life_cycle(study, &plans, &grants[place], base, place, option)?;
        let work = scheme.works[place];
        life_cycle.may_have_grant = scheme.may_pay(place);
        judged.push(Judged { work, net_present_cost: life_cycle.net_present_cost });
        options.push(option_figures(study, &reckoned, base, place, (work, life_cycle)));
    }
    for (place, option) in options.iter_mut().enumerate() {
        let own = study.of_option(place);
        option.set = study.measures[place].set.iter().map(|change| set_figures(change, season.inputs)).collect();
        option.own_season = (!is_same_site(own, study.of_option(base)))
            .then(|| season_figures(own, years, &reckoned[place], &season.books[place..=place]));
    }
    let ranking = Ranking::of(&judged);
    for (place, option) in options.iter_mut().enumerate() {
        option.place = ranking.place_of(place);
    }
    let proposed = proposals(study, &ranking, base, &scheme.bids);
    let shown_place = ranking.best().unwrap_or(base);
    let shown = &season.books[shown_place];
    let shown_bins = study.of_option(shown_place).plant.bins();
    let shown_year = middle_year(shown);
    let course = shown_year.map_or_else(CourseFigures::default, |year| course::course(&shown[year], shown_bins));
    let baseline = &reckoned[base];
    let filled_share = {
        let all = baseline.mean(|account| account.heat_delivered_kwh);
        let filled = baseline.mean(|account| account.heat_in_mended_hours_kwh);
        if all > 0.0 { filled / all * 100.0 } else { 0.0 }
    };
    let of_proposal = |&place: &usize| {
        let terms = Proposed {
            base: &options[base],
            proposal: &options[place],
            recommended: ranking.best().map(|best| &options[best]),
            named: study.application.proposals.len(),
            bid: scheme.bids[place],
            options: &options,
            base_place: base,
            place,
            books: &season.books[place],
        };
        application::application(study, &terms)
    };
    let applications: Vec<_> = proposed.iter().map(of_proposal).collect();
    let mut applications = applications.into_iter();
    let assumptions: Vec<Assumption> = season.inputs.iter().map(super::assumption).collect();
    Ok(Figures {
        tool: Tool { name: env!("CARGO_PKG_NAME").to_owned(), version: env!("CARGO_PKG_VERSION").to_owned() },
        study: study_figures(study, base, &ranking, proposed.first().copied()),
        judgement: JudgementFigures::in_use(),
        ranking: ranking.figures(&options),
        set: Vec::new(),
        inputs: files,
        weather: WeatherFigures {
            heat_in_filled_hours_pct: filled_share,
            years: years.iter().map(|year| weather_year(study.of_option(base), year)).collect(),
            ..weather
        },
        season: season_figures(study.of_option(base), years, baseline, season.books),
        course,
        application: applications.next(),
        more_applications: applications.collect(),
        prices: prices::price_figures(study, base),
        differences: causes::differences(&options, &ranking, base),
        break_even: break_even::break_even(study, &options, &ranking)?,
        options,
        warnings: Vec::new(),
        unmeasured: super::unmeasured::figures(study),
        input_counts: input_counts(study, &assumptions),
        assumptions,
        phases: Vec::new(),
        cash: None,
        condensers: Vec::new(),
        scenarios: None,
        ways: Vec::new(),
        screening: Vec::new(),
        uncertainty: None,
        sheet: SheetFigures::default(),
    })
}

/// Places of what applications would propose: the options that the study names, whatever they do, or else the best
/// option other than the baseline that does the work and saves purchased energy or carbon against it.
fn proposals(study: &Study, ranking: &Ranking, base: usize, bids: &[Bid]) -> Vec<usize> {
    let place = |name: &String| study.heatings.iter().position(|heating| heating.name == *name);
    let named: Vec<usize> = study.application.proposals.iter().filter_map(place).collect();
    if named.is_empty() {
        let saves = |option: usize| option != base && bids[option].saved.saves_something();
        return ranking.best_of(saves).into_iter().collect();
    }
    named
}

/// Files read, for a list of digests.
pub(crate) fn input_file(file: impl Into<String>, sha256: impl Into<String>) -> InputFile {
    InputFile { file: file.into(), sha256: sha256.into() }
}
