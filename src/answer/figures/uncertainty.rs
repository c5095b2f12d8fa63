//! What uncertain inputs make of the answer.

use crate::number::Sentence;
use crate::uncertainty::DrawOdds;
use schemars::JsonSchema;
use serde::Serialize;

/// The draws, and what they say.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SampledFigures {
    /// Draws of all inputs together, each computed for every option: in every weather year, or in one of them in turn.
    pub samples: usize,
    /// Draws that were to be made at most: they end, at the end of a block of 32 or more, where through their second
    /// half the running P10 and P90 of the bill stayed within 5 % of the last and the odds of the best option against
    /// the next within five points.
    pub most_samples: usize,
    /// Where the draws begin.
    pub seed: u32,
    /// Weather years that the draws were computed in.
    pub weather_years: usize,
    /// What taking the weather years in turn costs in sureness; nothing where every draw was run through every year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_turn: Option<InTurnFigures>,
    /// The uncertain inputs, in the order of the study.
    pub inputs: Vec<DrawnInputFigures>,
    /// Each input alone at its P10 and its P90, all others at the study's own values.
    pub tornado: Vec<TornadoFigures>,
    /// Each option against each other one, draw by draw.
    pub odds: Vec<OddsFigures>,
    /// How answers go with inputs over the draws.
    pub rank_correlation: Vec<RankCorrelationFigures>,
    /// Partial rank correlation, without its sign, that chance alone passes in one case of twenty; null with too
    /// few draws.
    pub rank_correlation_noise: Option<f64>,
    /// The draw from which on the running P10 and P90 of the recommended option's bill (of the baseline's, where
    /// none is recommended) stay within 2 % of the last; null where they still moved in the second half of the
    /// draws, or there are fewer than 20.
    pub bill_steady_from: Option<usize>,
    /// Inputs that make another option the recommended one, alone at their P10 or P90.
    pub ranking_changes: Vec<RankingChangeFigures>,
    /// Received moistures among the inputs that change the crop with it, since the received tonnes are fixed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub crop_changes: Vec<CropChangeFigures>,
}

/// How far the answers of draws lie apart that were run through two weather years, each by itself.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct InTurnFigures {
    /// So many were.
    pub held_draws: usize,
    /// The furthest of the mean bill of the recommended option (of the baseline, where none is), % of the study's own.
    pub bill_apart_pct: f64,
    /// The same of its net present cost, %.
    pub net_present_cost_apart_pct: f64,
}

/// A received moisture that changes how much is dried: at fixed received tonnes wetter nuts are less crop.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CropChangeFigures {
    /// Path of the moisture.
    pub input: String,
    /// Path of the received tonnes that stay the same.
    pub fixed: String,
    /// The study's value of them, t.
    pub received_t: f64,
    /// Of these the dried tonnes at the target with the moisture at its P10, t.
    pub dried_t_at_low: f64,
    /// The same with the moisture at its P90, t.
    pub dried_t_at_high: f64,
    /// What that means and what to do, in a sentence.
    pub sentence: Sentence,
}

/// One uncertain input.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct DrawnInputFigures {
    /// Path in the study.
    pub path: String,
    /// What people call it; its path where the study names it.
    pub name: String,
    /// Its unit; empty if it has none.
    pub unit: String,
    /// The distribution in words.
    pub distribution: String,
    /// The study's own value.
    pub own_value: f64,
    /// True if it stands in doubt without the study saying so.
    pub standing: bool,
    /// What its spread rests on, where it stands in doubt without being named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// What would take the doubt away, where it stands in doubt without being named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cure: Option<&'static str>,
    /// One value in ten lies below.
    pub p10: f64,
    /// The median.
    pub p50: f64,
    /// One value in ten lies above.
    pub p90: f64,
}

/// What is asked of an option, as inputs move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Asked {
    /// Net present cost saved against the baseline.
    NetSaving,
    /// A season's bill.
    TotalCost,
}

/// An answer, and what each input alone makes of it.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct TornadoFigures {
    /// The option.
    pub option: String,
    /// What is asked of it, money.
    pub answer: Asked,
    /// With the study's own values.
    pub as_studied: f64,
    /// The inputs, the one that moves the answer most first.
    pub inputs: Vec<SwingFigures>,
    /// Range between P10 and P90 that the swings make together, to first order, over that of the draws: near 1 where
    /// inputs simply add up. Null with too few draws for tenths, or where nothing moves.
    pub swings_over_draws: Option<f64>,
}

/// What one input alone makes of an answer.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SwingFigures {
    /// Path of the input.
    pub input: String,
    /// Its P10.
    pub low_value: f64,
    /// Its P90.
    pub high_value: f64,
    /// The answer with the input at its P10.
    pub at_low: f64,
    /// The answer with the input at its P90.
    pub at_high: f64,
    /// Range of the answer that is left once this input is known, as a share of the range while all are in doubt,
    /// 0..1: see [`range_left`].
    pub range_left: f64,
}

/// Share of a range that is left once one of the swings it is made of is gone. Swings of inputs that do not go
/// together add as squares do: JCGM 100:2008, eq. (10), the law of propagation of uncertainty, to first order.
pub(crate) fn range_left(swing: f64, all: impl Iterator<Item = f64>) -> f64 {
    let whole: f64 = all.map(|swing| swing * swing).sum();
    if whole > 0.0 { (1.0 - swing * swing / whole).max(0.0).sqrt() } else { 1.0 }
}

impl SampledFigures {
    /// What people call an input.
    pub(crate) fn name_of<'a>(&'a self, path: &'a str) -> &'a str {
        self.inputs.iter().find(|input| input.path == path).map_or(path, |input| &input.name)
    }

    /// Of an answer, the inputs that would narrow its range most if they were known, and that are worth a
    /// sentence: what would settle each, and the share of the range that goes.
    pub(crate) fn worth_knowing<'a>(
        &'a self,
        tornado: &'a TornadoFigures,
    ) -> impl Iterator<Item = (&'a DrawnInputFigures, f64)> {
        let swings = tornado.inputs.iter().map(|swing| (swing, 1.0 - swing.range_left));
        swings
            .filter(|(_, gone)| *gone >= WORTH_A_SENTENCE)
            .take(MOST_WORTH_KNOWING)
            .filter_map(|(swing, gone)| Some((self.inputs.iter().find(|input| input.path == swing.input)?, gone)))
    }

    /// What is asked of the bill of an option, if it was asked.
    pub(crate) fn bill_of(&self, option: &str) -> Option<&TornadoFigures> {
        self.tornado.iter().find(|tornado| tornado.answer == Asked::TotalCost && tornado.option == option)
    }
}

/// Least share of a range that knowing an input must take away to be told.
const WORTH_A_SENTENCE: f64 = 0.03;
/// Inputs told at most.
const MOST_WORTH_KNOWING: usize = 3;

impl TornadoFigures {
    /// True if this input alone moves the answer.
    pub(crate) fn moves(&self, path: &str) -> bool {
        let swing = self.inputs.iter().find(|swing| swing.input == path);
        swing.is_some_and(|swing| swing.reach(self.as_studied) > 0.0)
    }
}

impl SwingFigures {
    /// How far apart the answers lie with the input at its low, at its high and as studied: both ends may lie
    /// on one side of the answer as studied.
    pub(crate) fn reach(&self, as_studied: f64) -> f64 {
        let ends = || [self.at_low, self.at_high].into_iter();
        ends().fold(as_studied, f64::max) - ends().fold(as_studied, f64::min)
    }
}

/// One option against another: same draw, same weather.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OddsFigures {
    /// The option.
    pub option: String,
    /// The other one.
    pub against: String,
    /// Share of draws in which its net present cost is below the other's, 0..1.
    pub share_of_draws_cheaper: f64,
    /// The same as so many of so many draws, with the bounds of the share and the draw from which it was steady.
    #[serde(flatten)]
    pub in_draws: DrawOdds,
    /// Share of drawn seasons (draws times weather years) in which its bill is below the other's, 0..1.
    pub share_of_seasons_cheaper: f64,
    /// Net present cost saved against the other, quantiles over draws.
    pub net_saving: super::Quantiles,
}

/// How an answer goes with an input.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RankCorrelationFigures {
    /// The option.
    pub option: String,
    /// What is asked of it.
    pub answer: Asked,
    /// Path of the input.
    pub input: String,
    /// Spearman's coefficient over the draws, -1..1; null where the answer never moves.
    pub spearman: Option<f64>,
    /// Partial rank correlation: what the other inputs do is taken from both first, -1..1; null where it is below
    /// its noise, where the input alone does not move the answer, or with too few draws.
    pub partial: Option<f64>,
    /// True if the input alone, at its P10 or its P90, moves the answer.
    pub moves: bool,
}

/// An input that makes another option the recommended one.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RankingChangeFigures {
    /// Path of the input.
    pub input: String,
    /// `p10` or `p90`.
    pub end: String,
    /// Its value there.
    pub value: f64,
    /// The option that is then recommended.
    pub recommended: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_input_whose_ends_agree_with_each_other_moves_the_answer_all_the_same() {
        let swing = |at_low, at_high| SwingFigures {
            input: String::new(),
            low_value: 0.0,
            high_value: 1.0,
            at_low,
            at_high,
            range_left: 1.0,
        };
        assert_eq!(swing(4.0, 7.0).reach(5.0), 3.0);
        assert_eq!(swing(4.0, 4.0).reach(5.0), 1.0);
        assert_eq!(swing(8.0, 7.0).reach(5.0), 3.0);
        assert_eq!(swing(5.0, 5.0).reach(5.0), 0.0);
    }

    #[test]
    fn swings_add_as_squares_do() {
        let all = [3.0, 4.0];
        let left = |swing| range_left(swing, all.into_iter());
        assert_eq!((left(3.0), left(4.0), left(0.0)), (0.8, 0.6, 1.0));
        assert_eq!(range_left(5.0, [5.0].into_iter()), 0.0);
        assert_eq!(range_left(0.0, [0.0].into_iter()), 1.0);
    }
}
