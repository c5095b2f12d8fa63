//! Uncertain inputs: what moves the answer, how often which option is the better one, and how far the
//! figures range.

use super::odds;
use super::view::View;
use crate::answer::figures::{
    Asked, DrawnInputFigures, RankingChangeFigures, SampledFigures, SwingFigures, TornadoFigures,
};
use crate::number::{Measure, Reader, fixed, percent, three};
use crate::page::chart::{Pen, Tornado, TornadoRow};
use crate::page::kit::cell::Cell;
use crate::page::parts::{
    Figure, Head, Key, Of, Row, Table, column, counted, figure, in_draws, label, listed, quoted, rows_of,
};
use serde::Serialize;
use std::fmt::Write;

/// The part of the eighth section that rests on draws; empty where nothing was drawn.
#[derive(Debug, Default, Serialize)]
pub(super) struct Sensitivity {
    drawn: bool,
    lead: Vec<String>,
    figures: Vec<Figure>,
    /// How it was drawn: stands in the appendix.
    how_drawn: Vec<String>,
    /// How the crop goes with what was drawn: stands in the appendix, as all that follows but what changes the ranking.
    crop_changes: Vec<String>,
    /// What else moves: charts of the appendix.
    more_figures: Vec<Figure>,
    /// The numbers behind the figures.
    swings: Vec<Table>,
    /// Inputs that would change the ranking.
    ranking: Vec<String>,
    /// What would narrow the ranges.
    narrowing: Vec<String>,
    odds: Option<Table>,
    tables: Vec<Table>,
    not_in_it: String,
}

/// Bars of a chart at most; a table has all inputs.
const MOST_BARS: usize = 8;

/// Builds it.
pub(super) fn sensitivity(view: &View<'_>) -> Sensitivity {
    let Some(sampled) = &view.figures.uncertainty else {
        return Sensitivity {
            not_in_it: "No input was drawn, because the study or the command asked for none: prices, nuts, plant and crop constants stand at the study’s values, and what is uncertain about them is in no range shown here.".to_owned(),
            ..Sensitivity::default()
        };
    };
    let about = About { view, sampled };
    Sensitivity {
        drawn: true,
        lead: about.lead(),
        how_drawn: about.how_drawn(),
        figures: about.drawn_tornados(Asked::NetSaving).map(|tornado| about.tornado(tornado)).collect(),
        more_figures: about.drawn_tornados(Asked::TotalCost).map(|tornado| about.tornado(tornado)).collect(),
        crop_changes: sampled.crop_changes.iter().map(|change| change.sentence.to_string()).collect(),
        narrowing: about.narrowing(),
        swings: vec![about.inputs(), about.swings()],
        ranking: about.ranking(),
        odds: (view.figures.options.len() > 1).then(|| odds::odds_table(view, sampled)),
        tables: odds::ranges_of_options(view, sampled),
        not_in_it: "The ranges hold the weather years and the inputs above, each drawn on its own; not prices and other inputs that are not named, the nuts’ sorption isotherm, inputs that go together, growth, and what the model leaves out.".to_owned(),
    }
}

/// What all parts look at.
struct About<'a> {
    view: &'a View<'a>,
    sampled: &'a SampledFigures,
}

/// In which weather years each draw was computed.
pub(super) fn through_years(sampled: &SampledFigures) -> String {
    let years = counted(sampled.weather_years, "weather year", "weather years");
    if sampled.in_turn.is_some() { format!("one of {years}, which they take in turn") } else { years }
}

impl About<'_> {
    fn lead(&self) -> Vec<String> {
        let Self { view, sampled } = *self;
        let draws = counted(sampled.samples, "draw", "draws");
        let mut said = vec![format!(
            "{} of {}: options are compared within a draw, so that what moves all alike says nothing about which is better.",
            draws,
            counted(sampled.inputs.len(), "uncertain input", "uncertain inputs"),
        )];
        if let (Some(best), Some(rival)) = (view.recommended(), view.runner_up())
            && let Some(odds) = odds::between(sampled, &best.name, &rival.name)
        {
            said.push(format!(
                "{} has a lower net present cost than {}, the runner-up, {}.",
                quoted(&best.name),
                quoted(&rival.name),
                in_draws(&odds.in_draws)
            ));
        }
        said
    }

    /// How the draws were made, and of what.
    fn how_drawn(&self) -> Vec<String> {
        let sampled = self.sampled;
        let mut said = vec![format!(
            "Drawn by Latin hypercube (seed {}), paired so that no input goes with another (Iman and Conover).",
            sampled.seed
        )];
        said.extend(sampled.in_turn.as_ref().map(|apart| {
            format!(
                "What a draw changes in its weather year, it is taken to change in all, in proportion to what they cost. To see what that is worth, {} went through a second year: the mean bill of the option that is shown then differed by up to {} of it, its net present cost by up to {}.",
                counted(apart.held_draws, "draw", "draws"),
                percent(apart.bill_apart_pct),
                percent(apart.net_present_cost_apart_pct),
            )
        }));
        if sampled.samples < sampled.most_samples {
            said.push(format!(
                "Up to {} were to be made; they ended when the low and the high of the bill had stayed within 5\u{a0}%, and the odds of the leading pair within five points, through the second half of them.",
                sampled.most_samples
            ));
        }
        let standing = sampled.inputs.iter().filter(|input| input.standing).count();
        if standing > 0 {
            said.push(format!(
                "{} in doubt without the study naming them: each has its reason in the table below. A distribution of the study’s own takes the place of such a doubt, and the word \"known\" takes it away.",
                counted(standing, "input stands", "inputs stand")
            ));
        }
        said
    }

    /// The answers that are drawn as charts: what is saved, and the baseline's bill.
    fn drawn_tornados(&self, answer: Asked) -> impl Iterator<Item = &TornadoFigures> {
        let base = &self.view.baseline().name;
        self.sampled.tornado.iter().filter(move |tornado| {
            tornado.answer == answer
                && match answer {
                    Asked::NetSaving => true,
                    Asked::TotalCost => tornado.option == *base,
                }
        })
    }

    /// What would narrow the range of each answer most, if somebody found out.
    fn narrowing(&self) -> Vec<String> {
        let told = self.sampled.tornado.iter().filter_map(|tornado| {
            let each: Vec<String> = self.sampled.worth_knowing(tornado).map(worth_words).collect();
            let more = match tornado.swings_over_draws {
                Some(ratio) if !(0.7..=1.4).contains(&ratio) => format!(
                    " Inputs do not simply add up here (their swings make {} of the range of the draws), so take these shares as a ranking.",
                    percent(ratio * 100.0)
                ),
                _ => String::new(),
            };
            (!each.is_empty()).then(|| {
                format!("What would narrow the range of the {}: {}.{more}", self.answer_words(tornado), each.join("; "))
            })
        });
        told.collect()
    }

    /// What an answer is called.
    fn answer_words(&self, tornado: &TornadoFigures) -> String {
        match tornado.answer {
            Asked::NetSaving => format!(
                "net present cost that {} saves against {}",
                quoted(&tornado.option),
                quoted(&self.view.baseline().name)
            ),
            Asked::TotalCost => format!("seasonal energy cost of {}", quoted(&tornado.option)),
        }
    }

    fn tornado(&self, tornado: &TornadoFigures) -> Figure {
        let money = &self.view.money;
        let answer = self.answer_words(tornado);
        let moves = |input: &&SwingFigures| input.reach(tornado.as_studied) > 0.0;
        let mut sentence = match tornado.inputs.first().filter(moves) {
            None => "No input alone moves it.".to_owned(),
            Some(first) => format!(
                "What moves it most is {}: from {} at {} to {} at {}.",
                self.input_words(&first.input),
                money.prose(first.at_low),
                self.value(&first.input, first.low_value),
                money.prose(first.at_high),
                self.value(&first.input, first.high_value),
            ),
        };
        if tornado.inputs.len() > MOST_BARS {
            let _ = write!(sentence, " The {MOST_BARS} that move it most are drawn.");
        }
        let chart = Tornado {
            label: label(
                match tornado.answer {
                    Asked::NetSaving => "tornado-net-saving",
                    Asked::TotalCost => "tornado-total-cost",
                },
                format!("What each input alone makes of the {answer}"),
                sentence,
            ),
            unit: format!(
                "{}, {}",
                match tornado.answer {
                    Asked::NetSaving => "saved",
                    Asked::TotalCost => "a season",
                },
                money.code()
            ),
            middle: tornado.as_studied,
            middle_words: format!("as studied: {}", money.prose(tornado.as_studied)),
            rows: tornado
                .inputs
                .iter()
                .take(MOST_BARS)
                .map(|input| TornadoRow {
                    name: self.named(&input.input),
                    at_low: input.at_low,
                    at_high: input.at_high,
                    low: three(self.measure(&input.input).value(input.low_value)),
                    high: three(self.measure(&input.input).value(input.high_value)),
                })
                .collect(),
        };
        let key = vec![
            Key::fill(Pen::Fill6, "input at its P10"),
            Key::fill(Pen::Lack, "input at its P90"),
            Key::line(Pen::Level, "all inputs at the study’s values"),
        ];
        figure(Of::Draws, &chart, &chart.label, key)
    }

    /// Unit of an input as people read it.
    fn measure(&self, path: &str) -> Measure {
        let input = self.sampled.inputs.iter().find(|input| input.path == path);
        Measure::of_input(path, input.map_or("", |input| &input.unit), self.view.money.code())
    }

    /// An input's name with its unit.
    fn named(&self, path: &str) -> String {
        let name = self.sampled.name_of(path);
        match self.measure(path).sign() {
            "" => name.to_owned(),
            unit => format!("{name}, {unit}"),
        }
    }

    /// An input in a sentence: by its path in quotes where the study names it.
    fn input_words(&self, path: &str) -> String {
        let name = self.sampled.name_of(path);
        if name == path { quoted(path) } else { format!("the {name}") }
    }

    /// A value of an input with its unit.
    fn value(&self, path: &str, value: f64) -> String {
        self.measure(path).three(value)
    }

    fn inputs(&self) -> Table {
        let inputs = self.sampled.inputs.iter();
        let rows = inputs
            .map(|input| {
                let measure = self.measure(&input.path);
                let number = |value: f64| Cell::digits(three(measure.value(value)));
                let values = [input.own_value, input.p10, input.p50, input.p90];
                let mut cells = vec![Cell::words(input.distribution.clone())];
                cells.extend(values.map(number));
                let why = input.reason.as_deref().unwrap_or("the study says so");
                cells.push(Cell::words(why.to_owned()));
                Row::new(input.path.clone(), cells).unit(measure)
            })
            .collect();
        let heads = ["study’s value", "P10", "P50", "P90"].map(|head| Head::number(head, ""));
        let heads =
            std::iter::once(Head::words(if Reader::now().is_us() { "distribution, in SI" } else { "distribution" }))
                .chain(heads)
                .chain([Head::words("why in doubt")]);
        Table::of_unlike_rows("What is known of the uncertain inputs", "input", heads.collect(), rows)
    }

    /// The numbers behind the charts, and how the answers go with the inputs over the draws.
    fn swings(&self) -> Table {
        let code = self.view.money.code();
        let (mut heads, mut columns) = (Vec::new(), Vec::new());
        for tornado in &self.sampled.tornado {
            let swing = |path: &str| tornado.inputs.iter().find(|input| input.input == path);
            let line = |of: fn(&SwingFigures) -> f64| -> Vec<f64> {
                let paths = self.sampled.inputs.iter();
                paths.map(|input| swing(&input.path).map_or(f64::NAN, of)).collect()
            };
            let mut add = |end: &str, line: Vec<f64>| {
                let head = format!("{}, {end}", short_answer(tornado));
                heads.push(Head::number(head, code));
                columns.push(column(&line));
            };
            add("at P10", line(|input| input.at_low));
            add("at P90", line(|input| input.at_high));
            heads.push(Head::number("partial rank correlation", ""));
            columns.push(self.correlations(tornado));
        }
        let names = self.sampled.inputs.iter().map(|input| input.path.clone());
        let tornados = self.sampled.tornado.iter();
        let middles: Vec<String> = tornados
            .map(|tornado| {
                format!("the {} is {}", self.answer_words(tornado), self.view.money.prose(tornado.as_studied))
            })
            .collect();
        Table::new(
            "Each input alone at its P10 and at its P90, all others at the study’s values; and how the answer goes with it over the draws",
            "input",
            heads,
            rows_of(names, &columns),
        )
        .note(format!(
            "With all inputs at the study’s values {}. Partial rank correlation: how the answer goes with an input over the draws once what the other inputs do is taken from both, 1 where they rise together, −1 where one falls as the other rises. None is told where the input alone does not move the answer, and where chance alone gives as much: {} (5\u{a0}%, two-sided). Where both ends lie on one side of the studied answer, the study’s value is near the best or the worst.",
            listed(&middles),
            self.sampled.rank_correlation_noise.map_or_else(
                || "any value at so few draws for so many inputs".to_owned(),
                |noise| format!("below {} at so many draws and inputs", fixed(noise, 2)),
            )
        ))
    }

    fn correlations(&self, tornado: &TornadoFigures) -> Vec<Cell> {
        let inputs = self.sampled.inputs.iter();
        inputs
            .map(|input| {
                let mut all = self.sampled.rank_correlation.iter();
                let found = all.find(|found| {
                    found.input == input.path && found.option == tornado.option && found.answer == tornado.answer
                });
                match found {
                    Some(found) if found.moves => Cell::number_or(found.partial, 2, "below its noise"),
                    _ => Cell::number_or(None, 2, "does not move it"),
                }
            })
            .collect()
    }

    fn ranking(&self) -> Vec<String> {
        if self.view.figures.options.len() < 2 {
            return Vec::new();
        }
        let Some(best) = self.view.recommended().map(|best| quoted(&best.name)) else {
            return Vec::new();
        };
        if self.sampled.ranking_changes.is_empty() {
            return vec![format!(
                "No input alone, at its P10 or its P90, puts another option that does the work before {best}."
            )];
        }
        let told = |change: &RankingChangeFigures| {
            format!(
                "With {} alone at its {}, {}, {} comes before {best}.",
                self.input_words(&change.input),
                change.end.to_uppercase(),
                self.value(&change.input, change.value),
                quoted(&change.recommended)
            )
        };
        self.sampled.ranking_changes.iter().map(told).collect()
    }
}

/// What finding out about an input is worth: how, and the share of the range that goes.
pub(super) fn worth_words((input, gone): (&DrawnInputFigures, f64)) -> String {
    let off = format!("takes {} off it", percent(gone * 100.0));
    match input.cure {
        Some(cure) => format!("{} ({cure}) {off}", input.name),
        None => format!("knowing {} {off}", quoted(&input.path)),
    }
}

/// What an answer is called in a heading.
fn short_answer(tornado: &TornadoFigures) -> String {
    match tornado.answer {
        Asked::NetSaving => format!("saved by {}", tornado.option),
        Asked::TotalCost => format!("bill, {}", tornado.option),
    }
}
