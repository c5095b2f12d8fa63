//! The owner's sheet: the decision, what it rests on, what could go wrong and what to do next, all from figures that
//! are there. Said last, once draws, levels and growth are known.

use super::figures::{
    CarrierFigures, Figures, FreeHeatFrom, GuardFigures, LEAST_CASES, Measures, OptionFigures, PointFigures,
    SampledFigures, SheetFigures, SourceFigures, YearlyFigures,
};
use super::guards::spoiling;
use super::level::{level_sentence, mostly_undone};
use super::over_years::{GrowthTurn, growth_sentence, growth_turn};
use super::screened::first_to_price;
use super::targets::TargetFigures;
use super::unmeasured::{Moves, UnmeasuredFigures};
use super::warnings::weather_doubts;
use crate::number::{Measure, Money, apart, fixed, percent, three, with_unit};
use std::cmp::Ordering;

/// What could go wrong, points at most: more is no sheet.
const MOST_POINTS: usize = 5;
/// How the path of a drying rate ends.
const DRYING_RATE: &str = ".drying_rate";

/// Puts the sheet into the figures.
pub(crate) fn tell_sheet(figures: &mut Figures) {
    figures.sheet = told_sheet(figures);
}

/// The sheet, to whom it is told.
pub(crate) fn told_sheet(figures: &Figures) -> SheetFigures {
    About::of(figures).map(|about| about.sheet()).unwrap_or_default()
}

/// What all parts look at.
struct About<'a> {
    figures: &'a Figures,
    money: Money,
    base: &'a OptionFigures,
    /// The recommended option; `None` where no option does the work.
    best: Option<&'a OptionFigures>,
    runner_up: Option<&'a OptionFigures>,
}

impl<'a> About<'a> {
    fn of(figures: &'a Figures) -> Option<Self> {
        let study = &figures.study;
        let find = |name: &str| figures.options.iter().find(|option| option.name == name);
        Some(Self {
            figures,
            money: Money::of(&study.currency),
            base: find(&study.baseline).or(figures.options.first())?,
            best: study.recommended.as_deref().and_then(find),
            runner_up: study.runner_up.as_deref().and_then(find),
        })
    }

    fn sheet(&self) -> SheetFigures {
        SheetFigures {
            headline: self.headline(),
            support: self.support(),
            yearly: self.yearly(),
            could_go_wrong: self.could_go_wrong(),
            next: self.next(),
        }
    }

    /// True where the best is another than the baseline.
    fn beats_the_baseline(&self) -> Option<&'a OptionFigures> {
        self.best.filter(|best| best.name != self.base.name)
    }

    fn sampled(&self) -> Option<&'a SampledFigures> {
        self.figures.uncertainty.as_ref()
    }

    fn headline(&self) -> String {
        let Some(best) = self.best else {
            return match self.figures.options.as_slice() {
                [one] => format!("“{}” does not do the work, so its cost says nothing yet.", one.name),
                _ => "No option does the work, so none can be recommended by its cost.".to_owned(),
            };
        };
        let sure = self.sure_words(best);
        let about = self.money.prose(best.total_cost);
        let years = self.figures.study.money_years;
        // Planned growth may ask for another: then this is the best of the plant as it stands.
        let as_it_stands = match growth_turn(self.figures) {
            Some(GrowthTurn::AnotherOption | GrowthTurn::OutgrowsAll) => "as the plant stands, ",
            Some(GrowthTurn::BreaksGuards | GrowthTurn::Keeps) | None => "",
        };
        let spoiling = spoiling(best);
        if !spoiling.is_empty() {
            let costs = match self.figures.options.as_slice() {
                [_] => "",
                _ => &format!(" costs least over {years} years, but"),
            };
            let guards = spoiling.join(", ");
            return format!(
                "“{}”{costs} is no plan yet: nuts may spoil ({guards}). It takes about {about} of energy a season.",
                best.name
            );
        }
        match self.beats_the_baseline() {
            None if self.figures.options.len() == 1 => format!("“{}”: about {about} of energy a season.", best.name),
            None => format!(
                "{} “{}”: {as_it_stands}over {years} years, energy and owning, no other costs less{sure}; about {about} of energy a season.",
                if self.figures.study.baseline_installed { "Stay with" } else { "Choose" },
                best.name
            ),
            Some(best) => {
                format!(
                    "Choose “{}”: {as_it_stands}energy and owning cost least over {years} years{sure}; about {about} of energy a season{}.",
                    best.name,
                    self.less_than_baseline(best)
                )
            }
        }
    }

    /// How its energy stands to the baseline's; empty where that leaves work undone, for then nothing is saved.
    fn less_than_baseline(&self, best: &OptionFigures) -> String {
        if !self.base.does_the_work {
            return String::new();
        }
        let less = self.base.total_cost - best.total_cost;
        let word = if less >= 0.0 { "less" } else { "more" };
        format!(", {} {word} than with “{}”", self.money.prose(less.abs()), self.base.name)
    }

    /// How often it is the best, in brackets; empty where nothing was drawn, there is no rival, or it hardly ever is.
    fn sure_words(&self, best: &OptionFigures) -> String {
        let odds = best.uncertainty.best_in_draws.filter(|_| self.figures.options.len() > 1);
        let odds = odds.filter(|odds| odds.share() >= 0.5);
        odds.map_or_else(String::new, |odds| {
            let bound = if odds.in_draws == odds.of_draws {
                format!(", at least {}", percent(odds.low * 100.0))
            } else {
                format!(", {} to {}", percent(odds.low * 100.0), percent(odds.high * 100.0))
            };
            format!(" (in {} of {} draws{bound})", odds.in_draws, odds.of_draws)
        })
    }

    fn support(&self) -> Vec<String> {
        let Some(best) = self.best else {
            let options = self.figures.options.iter();
            let left = options.filter_map(|option| Some((option, option.work_left.first()?)));
            return left.take(3).map(|(option, left)| format!("“{}” {}.", option.name, left.sentence)).collect();
        };
        let mut said = vec![self.range(best)];
        let done_pct = best.uncertainty.does_the_work_in_draws_pct.filter(|done_pct| *done_pct < 100.0);
        said.extend(
            done_pct.map(|done_pct| format!("In {} of the draws it leaves work undone.", percent(100.0 - done_pct))),
        );
        // What is no plan yet pays nothing back.
        if let Some(better) = self.beats_the_baseline().filter(|better| spoiling(better).is_empty()) {
            said.push(if self.base.does_the_work {
                self.investment(better)
            } else {
                format!(
                    "“{}”, the baseline, does not do the work, so that nothing is saved against it for equal work.",
                    self.base.name
                )
            });
        }
        said.extend(level_sentence(self.figures));
        said
    }

    /// On what basis the figures stand, and how far its energy cost may lie, own supply at its worth in it.
    fn range(&self, best: &OptionFigures) -> String {
        let money = &self.money;
        let cost = &best.uncertainty.total_cost;
        let Some(sampled) = self.sampled() else {
            return "How far its energy cost may be off was not asked: nothing was drawn.".to_owned();
        };
        if mostly_undone(self.figures, &best.name) {
            return "In most draws it leaves work undone, so that its cost is no measure.".to_owned();
        }
        let known = if sampled.inputs.iter().all(|input| input.standing) {
            "prices and the size of the crop"
        } else {
            "what is not named among the inputs in doubt"
        };
        let ends = if cost.has_tenths() { "P10 to P90" } else { "lowest to highest" };
        let (low, high) = (money.prose(cost.low()), money.prose(cost.high()));
        let beyond = match cost.side_of(best.total_cost) {
            Ordering::Less => ", above what it costs as studied",
            Ordering::Greater => ", below what it costs as studied",
            Ordering::Equal => "",
        };
        let middle = money.prose(cost.p50);
        format!(
            "Figures are those of the study as written, ranges {ends} of the draws ({known} taken as known): its energy costs {low} to {high}, in the middle {middle}{beyond}."
        )
    }

    /// What must be invested, and when what is more than the baseline's comes back.
    fn investment(&self, better: &OptionFigures) -> String {
        let money = &self.money;
        let net = |option: &OptionFigures| option.life_cycle.capital - option.life_cycle.grant;
        let (whole, extra) = (net(better), net(better) - net(self.base));
        let after = if better.life_cycle.grant > 0.0 { " after grant" } else { "" };
        let asks = format!("It asks for {}{after}", money.prose(whole));
        let (extra_words, life) = (money.prose(extra), &better.life_cycle);
        match (life.simple_payback_years, life.saved_per_year) {
            _ if extra <= 0.0 => format!("{asks}, no more than the baseline."),
            (Some(years), Some(saved)) => format!(
                "{asks}, {extra_words} more than the baseline; {} a year less for energy and upkeep brings that back in {}.",
                money.prose(saved),
                with_unit(&three(years), "years")
            ),
            _ => format!("{asks}, {extra_words} more than the baseline; that does not come back from savings."),
        }
    }

    fn yearly(&self) -> Vec<YearlyFigures> {
        let level = self.figures.ranking.first().map_or(&[][..], |best| best.level_with.as_slice());
        let mut all: Vec<YearlyFigures> = self
            .figures
            .options
            .iter()
            .map(|option| {
                let life = &option.life_cycle;
                // Both are one sum in two forms, so that their ratio turns one range into the other.
                let a_year = life.annual_equivalent / life.net_present_cost;
                let range = option.uncertainty.net_present_cost.filter(|_| a_year.is_finite());
                YearlyFigures {
                    option: option.name.clone(),
                    energy: option.carriers.keys().map(|name| (name.clone(), option.energy_cost_of(name))).collect(),
                    charges: option.demand_cost + option.other_cost,
                    owning: life.owning_per_year,
                    price_growth: life.price_growth_per_year,
                    total: life.annual_equivalent,
                    range: range.map(|range| range.times(a_year)),
                    does_the_work: option.does_the_work,
                    level_with_best: level.contains(&option.name),
                }
            })
            .collect();
        all.sort_by(|a, b| b.does_the_work.cmp(&a.does_the_work).then(a.total.total_cmp(&b.total)));
        all
    }

    fn could_go_wrong(&self) -> Vec<PointFigures> {
        let shown = self.best.unwrap_or(self.base);
        let mut points = Vec::new();
        let doubts = weather_doubts(self.figures).filter(|doubt| !doubt.is_note);
        points.extend(doubts.take(1).map(|doubt| point("The weather is in doubt.", doubt.sentence.to_string())));
        points.extend(shown.guards.iter().take(3).map(|guard| self.broken(guard)));
        points.extend(may_spoil(shown, self.figures.season.mould_index_max));
        points.extend(self.placeholder());
        points.extend(own_supply(shown, &self.money));
        points.extend(self.growth());
        points.extend(self.scenario());
        points.extend(self.grant());
        let season = shown.own_season.as_ref().unwrap_or(&self.figures.season);
        let damp = season.targets.iter().find(|target| target.mould_can_grow);
        points.extend(damp.map(damp_target));
        points.extend(self.turned());
        points.truncate(MOST_POINTS);
        points
    }

    /// A placeholder among the crop's values, and what it moves.
    fn placeholder(&self) -> Option<PointFigures> {
        let value = self.figures.unmeasured.iter().find(|value| value.is_placeholder)?;
        let text = format!("Nobody measured it for {}: it moves {}.", value.crop, value.moves.words());
        Some(point(&format!("{} is a placeholder.", capital(&value.value)), text))
    }

    /// A guard that fired in the option that is shown, and the best of those that keep it.
    fn broken(&self, guard: &GuardFigures) -> PointFigures {
        let mut told = broken(guard);
        let keeps = |name: &&String| {
            let option = self.figures.options.iter().find(|option| option.name == **name);
            option.is_some_and(|option| option.guards.iter().all(|other| other.key != guard.key))
        };
        let ranked = self.figures.ranking.iter().map(|one| &one.option);
        if let Some(name) = ranked.into_iter().find(keeps).filter(|_| self.best.is_some()) {
            told.text = format!("{} “{name}” keeps it.", told.text);
        }
        told
    }

    /// Growth that asks for another option, or that breaks guards.
    fn growth(&self) -> Option<PointFigures> {
        let head = match growth_turn(self.figures)? {
            GrowthTurn::OutgrowsAll => "Growth outgrows every option.",
            GrowthTurn::AnotherOption => "Growth asks for another option.",
            GrowthTurn::BreaksGuards => "Growth breaks guards.",
            GrowthTurn::Keeps => return None,
        };
        Some(point(head, growth_sentence(self.figures)?))
    }

    /// A scenario in which another option than the recommended costs least.
    fn scenario(&self) -> Option<PointFigures> {
        let best = &self.best?.name;
        let all = &self.figures.scenarios.as_ref()?.scenarios;
        let (scenario, other) =
            all.iter().find_map(|scenario| Some((scenario, scenario.best.as_ref().filter(|other| *other != best)?)))?;
        Some(point("A scenario turns the order.", format!("In “{}” it is “{other}” that costs least.", scenario.name)))
    }

    /// What becomes of the order without any grant, or why none is paid.
    fn grant(&self) -> Option<PointFigures> {
        let best = self.best?;
        if let Some(refused) = &best.life_cycle.grant_refused {
            return Some(point("The scheme pays nothing.", refused.clone()));
        }
        if best.life_cycle.grant <= 0.0 {
            return None;
        }
        let without = |option: &OptionFigures| option.life_cycle.net_present_cost + option.life_cycle.grant;
        let able = self.figures.options.iter().filter(|option| option.does_the_work);
        let least = able.min_by(|a, b| without(a).total_cmp(&without(b)))?;
        let then = if least.name == best.name {
            "Without any grant it still costs least.".to_owned()
        } else {
            format!("Without any grant “{}” costs least.", least.name)
        };
        let grant = self.money.prose(best.life_cycle.grant);
        Some(point("A grant is counted on.", format!("It is to pay {grant}. {then}")))
    }

    /// An input that alone puts another option first.
    fn turned(&self) -> Option<PointFigures> {
        let sampled = self.sampled().filter(|_| self.best.is_some())?;
        let change = sampled.ranking_changes.first()?;
        let unit = sampled.inputs.iter().find(|input| input.path == change.input).map_or("", |input| &input.unit);
        let name = sampled.name_of(&change.input);
        let what = if name == change.input { format!("“{name}”") } else { format!("the {name}") };
        let text = format!(
            "With {what} at {}, “{}” costs least.",
            Measure::of_input(&change.input, unit, self.money.code()).three(change.value),
            change.recommended
        );
        Some(point("One input can turn the order.", text))
    }

    fn next(&self) -> Vec<String> {
        let shown = self.best.unwrap_or(self.base);
        let mut said = Vec::new();
        if self.best.is_none() {
            said.push("Find a plant that does the work: dryledger size tries heaters, bins and air.".to_owned());
        }
        if self.best.is_some_and(|best| !spoiling(best).is_empty()) {
            said.push(
                "Make a plan of it first: dryledger size tries bins, air and heaters that keep the nuts.".to_owned(),
            );
        }
        if self.figures.weather.synthetic {
            said.push("Put in the weather of the site, ten years of it if they can be had.".to_owned());
        } else if self.figures.weather.years.len() < LEAST_CASES {
            said.push(format!(
                "Put in more weather years: {} say little of wet and cold seasons.",
                self.figures.weather.years.len()
            ));
        }
        // The drying of a placeholder is logged whatever the bill gains by it: bins and waiting hang on it.
        let is_rate = |value: &UnmeasuredFigures| value.is_placeholder && value.moves == Moves::Drying;
        let logs = self.figures.unmeasured.iter().any(is_rate);
        let mut worth_most = None;
        if let Some(sampled) = self.sampled() {
            let worth = sampled.bill_of(&shown.name).into_iter().flat_map(|bill| sampled.worth_knowing(bill));
            let mut others = worth.filter(|(input, _)| !(logs && input.path.ends_with(DRYING_RATE)));
            worth_most = others.next().map(|(input, gone)| match input.cure {
                Some(cure) => capital(cure),
                None => format!("Settle “{}”: knowing it takes {} off the range", input.path, percent(gone * 100.0)),
            });
        }
        let log = logs.then_some("log the drying of a few batches, so that the drying rate is your own");
        said.extend(match (worth_most, log) {
            (Some(most), Some(log)) => Some(format!("{most}; {log}.")),
            (Some(most), None) => Some(format!("{most}.")),
            (None, log) => log.map(|log| format!("{}.", capital(log))),
        });
        said.extend(self.quotes());
        said.extend(self.to_price());
        said.push(self.connection(shown));
        said.extend(shown.sources.iter().find_map(designed));
        said
    }

    /// The measure that screening ranks first, where no option tries it yet.
    fn to_price(&self) -> Option<String> {
        // Where nothing does the work, a measure that saves is none to begin with.
        let first = first_to_price(self.figures).filter(|_| self.best.is_some())?;
        Some(format!(
            "Price “{}”: alone it saves {} a season, and is worth up to {} over {} years.",
            first.name,
            self.money.prose(first.bill_saved),
            self.money.prose(first.most_capital),
            self.figures.study.money_years
        ))
    }

    /// Quotes for what the two best need and the baseline does not have.
    fn quotes(&self) -> Option<String> {
        let has = |source: &SourceFigures| self.base.sources.iter().any(|own| own.name == source.name);
        let mut wanted: Vec<String> = Vec::new();
        for option in [self.beats_the_baseline(), self.runner_up].into_iter().flatten() {
            let new = option.sources.iter().filter(|source| !has(source));
            let heaters =
                new.map(|source| format!("{} of {}", source.name, Measure::heat("kW").three(source.capacity_kw)));
            let works = (!option.set.is_empty()).then(|| format!("the works of “{}”", option.name));
            for words in heaters.chain(works) {
                if !wanted.contains(&words) {
                    wanted.push(words);
                }
            }
        }
        (!wanted.is_empty()).then(|| format!("Get two quotes each: {}.", wanted.join("; ")))
    }

    /// What the peak grows to where growth is planned; empty where it does not.
    fn grown_peak(&self, shown: &OptionFigures) -> String {
        let planned = self.figures.phases.iter().filter(|phase| phase.year.is_some() && phase.option == shown.name);
        let most = planned.max_by(|a, b| a.electric_peak_kw.total_cmp(&b.electric_peak_kw));
        let most = most.filter(|phase| phase.electric_peak_kw > shown.electric_peak_kw);
        most.map_or_else(String::new, |phase| {
            format!(", {} with “{}”,", with_unit(&three(phase.electric_peak_kw), "kW"), phase.name)
        })
    }

    fn connection(&self, shown: &OptionFigures) -> String {
        // How often is said once: with the first.
        let kw = |option: &OptionFigures, is_first: bool| {
            let peak = &option.uncertainty.electric_peak_kw;
            let how_often = match (is_first, peak.has_tenths()) {
                (false, _) => "",
                (true, true) => " in nine draws of ten",
                (true, false) => " in any draw",
            };
            let may = if option.uncertainty.draws > 0 && peak.high() > option.electric_peak_kw {
                format!(" (at most {}{how_often})", three(peak.high()))
            } else {
                String::new()
            };
            with_unit(&three(option.electric_peak_kw), "kW") + &may
        };
        let grown = self.grown_peak(shown);
        let own = format!("Check the supply: a peak of {}{grown} with “{}”", kw(shown, true), shown.name);
        if shown.name == self.base.name {
            format!("{own}.")
        } else {
            format!("{own}, {} with “{}”.", kw(self.base, false), self.base.name)
        }
    }
}

/// What of the saving hangs on the plant's own supply.
fn own_supply(shown: &OptionFigures, money: &Money) -> Option<PointFigures> {
    let (name, carrier): (&String, &CarrierFigures) =
        shown.carriers.iter().find(|(_, carrier)| carrier.own_quantity > 0.0)?;
    let amount = Measure::fuel(&carrier.unit).three(carrier.own_quantity);
    let worth = if carrier.own_worth > 0.0 {
        format!(", in the cost at its worth of {}", money.prose(carrier.own_worth))
    } else {
        String::new()
    };
    let text = format!(
        "{amount} of {name} a season, {} of what it burns{worth}.",
        percent(carrier.own_quantity / carrier.quantity * 100.0)
    );
    Some(point("It burns an own supply.", text))
}

/// A guard that fired: how far beyond its limit, and for how long. Its whole sentence stands in the answer.
fn broken(guard: &GuardFigures) -> PointFigures {
    let amount = |value: f64, unit: &str| Measure::heat(unit).fixed(value, guard.decimals);
    let (worst, limit) = (amount(guard.worst, &guard.worst_unit), amount(guard.limit, &guard.limit_unit));
    let how = match guard.measures {
        Measures::Value => format!("At worst {worst}; the limit is {limit}"),
        Measures::Excess => format!("At worst {worst} above its limit of {limit}"),
    };
    point(&headed(&guard.name), format!("{how} ({} a season).", with_unit(&fixed(guard.hours, 0), "h")))
}

/// What speaks against a target at which mould can grow.
fn damp_target(target: &TargetFigures) -> PointFigures {
    let text = format!(
        "At {} the water activity of {} is {}, above the {} at which mould begins; it keeps at {} or less.",
        with_unit(&fixed(target.dried_moisture_pct_wb, 1), "% w.b."),
        target.crop,
        fixed(target.target_water_activity, 2),
        fixed(target.mould_water_activity, 2),
        with_unit(&fixed(target.keeps_at_pct_wb, 1), "%"),
    );
    point("The target is damp.", text)
}

/// Who must design what a source brings with it.
fn designed(source: &SourceFigures) -> Option<String> {
    if source.fuel.is_some() {
        Some("Have flue, fuel store and fire protection designed by those licensed to.".to_owned())
    } else if source.free_heat_from.is_some_and(FreeHeatFrom::needs_a_compressor) {
        Some("Have the refrigerant circuit and its room designed by those licensed to.".to_owned())
    } else {
        None
    }
}

fn point(head: &str, text: String) -> PointFigures {
    PointFigures { head: head.to_owned(), text }
}

/// A growth index of mould from here on is near its limit, which is 1 (assumption).
const NEAR_MOULD: f64 = 0.9;

/// That nuts may spoil in some of the draws, where by the study's own values none do: in no option does the growth index
/// come above this.
fn may_spoil(option: &OptionFigures, mould_index_max: f64) -> Option<PointFigures> {
    let spoil_pct = option.uncertainty.nuts_spoil_in_draws_pct.filter(|spoil_pct| *spoil_pct > 0.0)?;
    let near = if (NEAR_MOULD..=1.0).contains(&mould_index_max) {
        format!(", with the growth index of mould at {} of 1", apart(mould_index_max, 1.0, 2).0)
    } else {
        String::new()
    };
    let text = format!(
        "In {} of the draws they wait too long or mould grows on the wettest; by the study’s own values none do{near}.",
        percent(spoil_pct)
    );
    spoiling(option).is_empty().then(|| point("Nuts may spoil.", text))
}

/// A name as the head of a point.
fn headed(name: &str) -> String {
    format!("{}.", capital(name))
}

/// The first letter large.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
