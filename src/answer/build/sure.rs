//! How sure: from draws of uncertain inputs to what they say about the answer.

use super::crop_change::crop_changes;
use super::drawn::{Posed, answers, answers_of, ranking, runs_anew};
use super::in_turn::{HELD_AGAINST_ANOTHER, Within, held, turn_of};
use super::made_of::{Season, Unreckoned, baseline_place};
use super::point_answer::{Answer, SeasonSums};
use super::saved_in_draws::saved_in_draws;
use crate::answer::figures::{
    Asked, DrawnInputFigures, Figures, InTurnFigures, OddsFigures, OptionFigures, RankCorrelationFigures,
    RankingChangeFigures, SampledFigures, SwingFigures, TornadoFigures, UncertaintyFigures, WeatherSpread, range_left,
};
use crate::ledger::middle_year;
use crate::study::{Drawn, DrawnStudy, Study};
use crate::uncertainty::{
    Cases, DrawOdds, Quantiles, STEADY_RANGE, Which, blocks, noise_of_partial, partial_rank_correlations,
    rank_correlation, share_below, steady_from,
};
use std::collections::BTreeSet;

/// Computes every option at every draw and puts what the draws say into the figures. `done` is called as
/// each option of a draw ends.
pub(crate) fn sample(
    season: &Season<'_>,
    drawn: &Drawn,
    figures: &mut Figures,
    done: impl Fn() + Sync,
) -> Result<(), Unreckoned> {
    let (draws, ends): (Vec<&DrawnStudy>, Vec<&DrawnStudy>) =
        drawn.studies.iter().partition(|one| matches!(one.point.which, Which::Draw(_)));
    let studies: Vec<&Study> = draws.iter().map(|one| &one.study).collect();
    let years = season.years.len();
    // Where prices alone are drawn, every year is at hand.
    let in_turn = years > 1 && runs_anew(season.study, &studies);
    let turn = |draw: usize| if in_turn { turn_of(draw, years) } else { Within::EveryYear };
    let own = Posed { study: season.study, within: Within::EveryYear };
    let Some(own) = answers(season, &[own], &done)?.pop() else {
        return Ok(());
    };
    let base = baseline_place(season.study);
    let mut all: Vec<Vec<Answer>> = Vec::with_capacity(studies.len());
    for size in blocks(studies.len()) {
        let block = studies.iter().enumerate().skip(all.len()).take(size);
        let posed: Vec<Posed<'_>> = block.map(|(draw, &study)| Posed { study, within: turn(draw) }).collect();
        all.extend(answers(season, &posed, &done)?);
        let running = Running { own: &own, draws: &all, base };
        if running.is_steady() {
            break;
        }
    }
    let most = studies.len();
    let (draws, studies) = (&draws[..all.len()], &studies[..all.len()]);
    let rivals = rivals(&own, &all, base);
    // All inputs in the same year, so that they can be held against each other.
    let for_ends = match middle_year(&season.books[base]) {
        Some(year) if in_turn => Within::OneYear(year),
        _ => Within::EveryYear,
    };
    let posed: Vec<Posed<'_>> = ends.iter().map(|one| Posed { study: &one.study, within: for_ends }).collect();
    let at_ends = answers_of(season, &posed, &rivals, &done)?;
    let in_turn = in_turn.then(|| held_against_another_year(season, studies, &own, &all, base)).transpose()?;
    let sampled = Sampled {
        drawn,
        base,
        own,
        in_turn,
        most,
        draws: all,
        values: draws.iter().map(|one| one.point.values.iter().map(|(_, value)| *value).collect()).collect(),
        ends: ends.iter().zip(at_ends).map(|(one, answers)| (one.point.which, answers)).collect(),
        rivals,
    };
    for (place, option) in figures.options.iter_mut().enumerate() {
        option.uncertainty = sampled.spread(place, &option.uncertainty);
    }
    let place_of = |name: &str| figures.options.iter().position(|option| option.name == *name);
    for application in figures.application.iter_mut().chain(&mut figures.more_applications) {
        if let Some(proposal) = place_of(&application.proposal) {
            saved_in_draws(&mut application.of_both, (base, proposal), &sampled.draws, sampled.cases());
        }
    }
    figures.uncertainty = Some(SampledFigures {
        crop_changes: crop_changes(season, &drawn.ask.inputs),
        ..sampled.figures(&figures.options, season.years.len())
    });
    Ok(())
}

/// Runs the first draws through another weather year than their own.
fn held_against_another_year(
    season: &Season<'_>,
    studies: &[&Study],
    own: &[Answer],
    draws: &[Vec<Answer>],
    base: usize,
) -> Result<InTurnFigures, Unreckoned> {
    let years = season.years.len();
    let again = studies.iter().take(HELD_AGAINST_ANOTHER).enumerate();
    let posed: Vec<Posed<'_>> = again.map(|(draw, &study)| Posed { study, within: turn_of(draw + 1, years) }).collect();
    let place = ranking(own).best().unwrap_or(base);
    let again = answers_of(season, &posed, &[place], || {})?;
    let once: Vec<Vec<Answer>> = draws.iter().take(again.len()).map(|answers| vec![answers[place].clone()]).collect();
    Ok(held(&once, &again, &own[place], 0))
}

/// How far the running P10 and P90 of a bill may move, as a share of the last, for the draws to end.
pub(crate) const ENDS_WITHIN: f64 = 0.05;

/// Draws so far.
struct Running<'a> {
    own: &'a [Answer],
    draws: &'a [Vec<Answer>],
    base: usize,
}

impl Running<'_> {
    /// True if the bill's range and the odds of the leading pair hardly moved through the second half of the draws.
    fn is_steady(&self) -> bool {
        self.bill_steady_from(ENDS_WITHIN).is_some() && self.odds_are_steady()
    }

    fn bill_steady_from(&self, within: f64) -> Option<usize> {
        let place = ranking(self.own).best().unwrap_or(self.base);
        let bills = |draws: usize| -> Vec<f64> {
            let seasons = self.draws[..draws].iter().flat_map(|answers| &answers[place].seasons);
            seasons.map(|season| season.total_cost).collect()
        };
        let ranges: Vec<Quantiles> =
            (1..=self.draws.len()).map(|draws| Quantiles::of(bills(draws), Cases::Draws(draws))).collect();
        let of = |end: fn(&Quantiles) -> f64| {
            let running: Vec<f64> = ranges.iter().map(end).collect();
            let last = running.last().copied().unwrap_or_default();
            steady_from(&running, within * last.abs())
        };
        Some(of(Quantiles::low)?.max(of(Quantiles::high)?))
    }

    /// The best option of the study against the next; nothing to be steady where there are no two.
    fn odds_are_steady(&self) -> bool {
        let first = ranking(self.own);
        let Some((best, next)) = first.best().zip(first.runner_up()) else {
            return true;
        };
        let cost = |answers: &[Answer], place: usize| to_mills(answers[place].judged.net_present_cost);
        let cheaper = self.draws.iter().map(|answers| cost(answers, best) < cost(answers, next));
        DrawOdds::of(&cheaper.collect::<Vec<_>>()).steady_from.is_some()
    }
}

/// Answers at the study's own values, at every draw, and at each input's ends.
struct Sampled<'a> {
    drawn: &'a Drawn,
    base: usize,
    own: Vec<Answer>,
    in_turn: Option<InTurnFigures>,
    /// Draws that were to be made at most.
    most: usize,
    /// By draw, then option.
    draws: Vec<Vec<Answer>>,
    /// By draw, then input.
    values: Vec<Vec<f64>>,
    /// Of the rivals alone, in their order.
    ends: Vec<(Which, Vec<Answer>)>,
    /// Places of the options that one input alone could put first.
    rivals: Vec<usize>,
}

/// Options that one input alone could put first, or that are asked for: the baseline, the best two of the study, and
/// all that are the best in some draw of all inputs together, which go further than one input does.
fn rivals(own: &[Answer], draws: &[Vec<Answer>], base: usize) -> Vec<usize> {
    let first = ranking(own);
    let firsts = draws.iter().filter_map(|answers| ranking(answers).best());
    let asked = [Some(base), first.best(), first.best_instead_of(base), first.runner_up()];
    let all: BTreeSet<usize> = firsts.chain(asked.into_iter().flatten()).collect();
    all.into_iter().collect()
}

impl Asked {
    /// Of one option among all at one point.
    fn of(self, answers: &[Answer], base: usize, place: usize) -> f64 {
        let present = |place: usize| answers[place].judged.net_present_cost;
        match self {
            Self::NetSaving => to_mills(present(base) - present(place)),
            Self::TotalCost => answers[place].total_cost,
        }
    }
}

impl Sampled<'_> {
    /// Spread of an option over draws and weather years; what was known over weather years alone is kept.
    fn spread(&self, place: usize, years: &UncertaintyFigures) -> UncertaintyFigures {
        let over_seasons = |of: fn(&SeasonSums) -> f64| Quantiles::of(self.seasons(place, of), self.cases());
        let is_able = |answers: &Vec<Answer>| answers[place].judged.work.is_done();
        let is_first = |answers: &Vec<Answer>| ranking(answers).best() == Some(place);
        let first = DrawOdds::of(&self.draws.iter().map(is_first).collect::<Vec<_>>());
        let share_pct = |of: &dyn Fn(&Vec<Answer>) -> bool| {
            let count = self.draws.iter().filter(|answers| of(answers)).count();
            Some(count as f64 / self.draws.len().max(1) as f64 * 100.0)
        };
        UncertaintyFigures {
            weather_years: years.weather_years,
            draws: self.draws.len(),
            total_cost: over_seasons(|sums| sums.total_cost),
            cost_per_dried_t: over_seasons(|sums| sums.cost_per_dried_t),
            heat_need_kwh: over_seasons(|sums| sums.heat_need_kwh),
            used_kwh: over_seasons(|sums| sums.energy.used_kwh),
            own_kwh: over_seasons(|sums| sums.energy.own_kwh),
            purchased_kwh: over_seasons(|sums| sums.energy.purchased_kwh()),
            electric_peak_kw: over_seasons(|sums| sums.electric_peak_kw),
            net_present_cost: Some(Quantiles::of(self.present_costs(place), self.cases())),
            does_the_work_in_draws_pct: share_pct(&is_able),
            nuts_spoil_in_draws_pct: share_pct(&|answers| answers[place].nuts_spoil),
            best_in_draws_pct: Some(first.share() * 100.0),
            best_in_draws: Some(first),
            cheaper_than_baseline_pct: years.cheaper_than_baseline_pct,
            weather_alone: Some(WeatherSpread {
                total_cost: years.total_cost,
                heat_need_kwh: years.heat_need_kwh,
                used_kwh: years.used_kwh,
                own_kwh: years.own_kwh,
                purchased_kwh: years.purchased_kwh,
            }),
        }
    }

    fn figures(&self, options: &[OptionFigures], weather_years: usize) -> SampledFigures {
        let asked = self.asked();
        let name = |place: usize| options[place].name.clone();
        SampledFigures {
            samples: self.draws.len(),
            most_samples: self.most,
            seed: self.drawn.ask.seed,
            weather_years,
            in_turn: self.in_turn,
            inputs: self.inputs(),
            tornado: asked.iter().map(|&(place, asked)| self.tornado(place, asked, name(place))).collect(),
            odds: (0..options.len())
                .flat_map(|own| (0..options.len()).map(move |other| (own, other)))
                .filter(|(own, other)| own != other)
                .map(|(own, other)| self.odds(own, other, options))
                .collect(),
            rank_correlation: asked
                .iter()
                .flat_map(|&(place, asked)| self.correlations(place, asked, &name(place)))
                .collect(),
            rank_correlation_noise: noise_of_partial(self.draws.len(), self.drawn.ask.inputs.len()),
            bill_steady_from: self.bill_steady_from(),
            ranking_changes: self.ranking_changes(options),
            crop_changes: Vec::new(),
        }
    }

    /// What ranges are over.
    fn cases(&self) -> Cases {
        Cases::Draws(self.draws.len())
    }

    /// From which draw on the P10 and the P90 of the chosen option's bill hardly move.
    fn bill_steady_from(&self) -> Option<usize> {
        Running { own: &self.own, draws: &self.draws, base: self.base }.bill_steady_from(STEADY_RANGE)
    }

    /// The saving of the recommended option against the baseline (of the best of the others where the
    /// baseline is recommended), the baseline's bill, and that of the recommended option.
    fn asked(&self) -> Vec<(usize, Asked)> {
        let proposal = ranking(&self.own).best_instead_of(self.base);
        let saving = proposal.map(|place| (place, Asked::NetSaving));
        let bill = ranking(&self.own).best().filter(|best| *best != self.base);
        let bills = [Some(self.base), bill].into_iter().flatten().map(|place| (place, Asked::TotalCost));
        saving.into_iter().chain(bills).collect()
    }

    fn inputs(&self) -> Vec<DrawnInputFigures> {
        let inputs = self.drawn.ask.inputs.iter();
        inputs
            .map(|input| DrawnInputFigures {
                path: input.path.clone(),
                name: input.standing.as_ref().map_or_else(|| input.path.clone(), |doubt| doubt.name.clone()),
                unit: input.unit.clone(),
                distribution: input.distribution.to_string(),
                own_value: input.own_value,
                standing: input.standing.is_some(),
                reason: input.standing.as_ref().map(|doubt| doubt.reason.clone()),
                cure: input.standing.as_ref().map(|doubt| doubt.cure),
                p10: input.distribution.low(),
                p50: input.distribution.quantile(0.5),
                p90: input.distribution.high(),
            })
            .collect()
    }

    fn tornado(&self, place: usize, asked: Asked, option: String) -> TornadoFigures {
        let of = |answers: &[Answer]| asked.of(answers, self.base, place);
        let as_studied = of(&self.own);
        let among = |place: usize| self.rivals.iter().position(|rival| *rival == place);
        let at = |which: Which| {
            let end = self.ends.iter().find(|(end, _)| *end == which);
            let places = among(self.base).zip(among(place));
            end.zip(places).map_or(as_studied, |((_, answers), (base, place))| asked.of(answers, base, place))
        };
        let mut inputs: Vec<SwingFigures> = self
            .drawn
            .ask
            .inputs
            .iter()
            .enumerate()
            .map(|(input, known)| SwingFigures {
                input: known.path.clone(),
                low_value: known.distribution.low(),
                high_value: known.distribution.high(),
                at_low: at(Which::Low(input)),
                at_high: at(Which::High(input)),
                range_left: 1.0,
            })
            .collect();
        let reaches: Vec<f64> = inputs.iter().map(|swing| swing.reach(as_studied)).collect();
        for (swing, reach) in inputs.iter_mut().zip(&reaches) {
            swing.range_left = range_left(*reach, reaches.iter().copied());
        }
        // Stable, so that inputs that do not move the answer keep the order of the study.
        inputs.sort_by(|a, b| b.reach(as_studied).total_cmp(&a.reach(as_studied)));
        let together = reaches.iter().map(|reach| reach * reach).sum::<f64>().sqrt();
        let drawn = Quantiles::of(self.draws.iter().map(|answers| of(answers)), self.cases());
        let range = drawn.high() - drawn.low();
        let swings_over_draws = (drawn.has_tenths() && range > 0.0 && together > 0.0).then(|| together / range);
        TornadoFigures { option, answer: asked, as_studied, inputs, swings_over_draws }
    }

    fn odds(&self, own: usize, other: usize, options: &[OptionFigures]) -> OddsFigures {
        let (costs, others) = (self.present_costs(own), self.present_costs(other));
        let bills = |place: usize| self.seasons(place, |sums| sums.total_cost);
        let cheaper: Vec<bool> = costs.iter().zip(&others).map(|(own, other)| own < other).collect();
        let in_draws = DrawOdds::of(&cheaper);
        OddsFigures {
            option: options[own].name.clone(),
            against: options[other].name.clone(),
            share_of_draws_cheaper: in_draws.share(),
            in_draws,
            share_of_seasons_cheaper: share_below(&bills(own), &bills(other)),
            net_saving: Quantiles::of(costs.iter().zip(&others).map(|(own, other)| other - own), self.cases()),
        }
    }

    fn correlations(&self, place: usize, asked: Asked, option: &str) -> Vec<RankCorrelationFigures> {
        let answers: Vec<f64> = self.draws.iter().map(|answers| asked.of(answers, self.base, place)).collect();
        let known = &self.drawn.ask.inputs;
        let columns: Vec<Vec<f64>> =
            (0..known.len()).map(|input| self.values.iter().map(|draw| draw[input]).collect()).collect();
        let partial = partial_rank_correlations(&columns, &answers);
        let noise = noise_of_partial(self.draws.len(), known.len()).unwrap_or(f64::INFINITY);
        let swings = self.tornado(place, asked, option.to_owned());
        known
            .iter()
            .zip(columns)
            .zip(partial)
            .map(|((known, values), partial)| {
                let moves = swings.moves(&known.path);
                RankCorrelationFigures {
                    option: option.to_owned(),
                    answer: asked,
                    input: known.path.clone(),
                    spearman: rank_correlation(&values, &answers),
                    partial: partial.filter(|partial| moves && partial.abs() > noise),
                    moves,
                }
            })
            .collect()
    }

    fn ranking_changes(&self, options: &[OptionFigures]) -> Vec<RankingChangeFigures> {
        let usual = ranking(&self.own).best();
        let mut changes = Vec::new();
        for (which, answers) in &self.ends {
            let now = ranking(answers).best().map(|rival| self.rivals[rival]);
            let Some(now) = now.filter(|now| Some(*now) != usual) else {
                continue;
            };
            let (input, end) = match *which {
                Which::Low(input) => (input, "p10"),
                Which::High(input) => (input, "p90"),
                Which::Draw(_) => continue,
            };
            let known = &self.drawn.ask.inputs[input];
            changes.push(RankingChangeFigures {
                input: known.path.clone(),
                end: end.to_owned(),
                value: known.distribution.quantile(if end == "p10" { 0.1 } else { 0.9 }),
                recommended: options[now].name.clone(),
            });
        }
        changes
    }

    fn present_costs(&self, place: usize) -> Vec<f64> {
        let costs = self.draws.iter();
        costs.map(|answers| to_mills(answers[place].judged.net_present_cost)).collect()
    }

    /// Every season of an option: each draw in the weather years it was run through, in one order for all options.
    fn seasons(&self, place: usize, of: fn(&SeasonSums) -> f64) -> Vec<f64> {
        self.draws.iter().flat_map(|answers| answers[place].seasons.iter().map(of)).collect()
    }
}

/// Money to a thousandth: what two sums differ by from rounding alone is no difference.
fn to_mills(money: f64) -> f64 {
    (money * 1000.0).round() / 1000.0
}
