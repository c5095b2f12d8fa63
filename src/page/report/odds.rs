//! How often which option is the better one, and how far the figures of each range.

use super::view::View;
use crate::answer::figures::{OddsFigures, OptionFigures, Quantiles, SampledFigures};
use crate::number::{Measure, tonne};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, column, in_draws, listed, quoted, range_words, rows_of, steadiness};

/// How far bill, net present cost and other figures of each option range.
pub(super) fn ranges_of_options(view: &View<'_>, sampled: &SampledFigures) -> Vec<Table> {
    vec![ranges(view, sampled), more_ranges(view)]
}

/// One option against another.
pub(super) fn between<'a>(sampled: &'a SampledFigures, option: &str, against: &str) -> Option<&'a OddsFigures> {
    let mut all = sampled.odds.iter();
    all.find(|odds| odds.option == option && odds.against == against)
}

/// How often each option beats others, draw by draw.
pub(super) fn odds_table(view: &View<'_>, sampled: &SampledFigures) -> Table {
    let (base, best) = (view.baseline(), view.shown());
    let options = &view.figures.options;
    let savings: Vec<Option<&OddsFigures>> =
        options.iter().map(|option| between(sampled, &option.name, &base.name)).collect();
    let decimals =
        column_decimals(savings.iter().flatten().flat_map(|odds| [odds.net_saving.low(), odds.net_saving.high()]));
    let rows = options
        .iter()
        .zip(&savings)
        .map(|(option, odds)| {
            let share = |share: Option<f64>, why: &str| Cell::number_or(share.map(|share| share * 100.0), 0, why);
            let against_base = |of: fn(&OddsFigures) -> f64| odds.map(of);
            let saving = |of: fn(&Quantiles) -> f64| {
                Cell::number_or(odds.map(|odds| of(&odds.net_saving)), decimals, "baseline")
            };
            let beaten = between(sampled, &best.name, &option.name).map(|odds| odds.share_of_draws_cheaper);
            let first = option.uncertainty.best_in_draws_pct;
            let is_best = view.recommended().is_some_and(|best| best.name == option.name);
            let class = if is_best { "chosen" } else { "" };
            Row::new(
                option.name.clone(),
                vec![
                    share(against_base(|odds| odds.share_of_draws_cheaper), "baseline"),
                    share(against_base(|odds| odds.share_of_seasons_cheaper), "baseline"),
                    saving(Quantiles::low),
                    saving(|q| q.p50),
                    saving(Quantiles::high),
                    share(beaten, "itself"),
                    Cell::number_or(first, 0, "not drawn"),
                    Cell::number_or(option.uncertainty.does_the_work_in_draws_pct, 0, "not drawn"),
                ],
            )
            .class(class)
        })
        .collect();
    let code = view.money.code();
    let bounds: Vec<String> = options
        .iter()
        .zip(&savings)
        .filter_map(|(option, odds)| {
            let odds = odds.as_ref()?;
            let steady = steadiness(odds.in_draws.steady_from, odds.in_draws.of_draws, "5\u{a0}points");
            Some(format!("{} {} ({steady})", quoted(&option.name), in_draws(&odds.in_draws)))
        })
        .collect();
    let [low, middle, high] =
        savings.iter().flatten().next().map_or_else(Default::default, |odds| range_words(&odds.net_saving));
    Table::new(
        caption(&base.name, &best.name),
        "option",
        vec![
            Head::number("net present cost below the baseline’s", "% of draws"),
            Head::number("bill below the baseline’s", "% of seasons"),
            Head::number(format!("saved against it, {low}"), code),
            Head::number(middle, code),
            Head::number(high, code),
            Head::number(format!("{} costs less", best.name), "% of draws"),
            Head::number("best of all", "% of draws"),
            Head::number("does the work", "% of draws"),
        ],
        rows,
    )
    .note(format!(
        "Net present cost below the baseline’s: {}. Bounds are one-sided, at 95\u{a0}% each (Clopper and Pearson). A season is one draw in one weather year. Net present cost takes the mean of the weather years. Best of all: lowest net present cost among the options that do the work in that draw: all nuts dried, the heat need met to within 1\u{a0}%, and the cool store kept as with its condensers outdoors. What an option costs in draws in which it does not is counted all the same.",
        listed(&bounds)
    ))
}

/// Against whom the odds are: once where the baseline is the best.
fn caption(base: &str, best: &str) -> String {
    let against = if base == best { String::new() } else { format!(", and against {}", quoted(best)) };
    format!("Odds, draw by draw, against {}, the baseline{against}", quoted(base))
}

fn ranges(view: &View<'_>, sampled: &SampledFigures) -> Table {
    let options = &view.figures.options;
    let code = view.money.code();
    let bills = options.iter().map(|option| option.uncertainty.total_cost).collect();
    let present = options.iter().map(|option| option.uncertainty.net_present_cost.unwrap_or_default()).collect();
    quantile_table(
        view,
        "Range of the seasonal energy cost (seasons drawn) and of the net present cost (draws)",
        vec![("bill", Measure::of(code), bills), ("net present cost", Measure::of(code), present)],
    )
    .note(format!(
        "The low and the high of the bill of {} are {}.",
        quoted(&view.shown().name),
        steadiness(sampled.bill_steady_from, sampled.samples, "2\u{a0}%"),
    ))
}

fn more_ranges(view: &View<'_>) -> Table {
    let options = &view.figures.options;
    let of = |of: fn(&OptionFigures) -> Quantiles, times: f64| -> Vec<Quantiles> {
        options.iter().map(of).map(|range| range.times(times)).collect()
    };
    quantile_table(
        view,
        &format!(
            "Range of the bill per dried {}, the heat need and the site’s peak demand of electricity (seasons drawn)",
            tonne()
        ),
        vec![
            (
                &format!("per dried {}", tonne()),
                Measure::of(&format!("{}/t", view.money.code())),
                of(|option| option.uncertainty.cost_per_dried_t, 1.0),
            ),
            ("heat need", Measure::heat("MWh"), of(|option| option.uncertainty.heat_need_kwh, 1e-3)),
            ("peak demand", Measure::of("kW"), of(|option| option.uncertainty.electric_peak_kw, 1.0)),
        ],
    )
}

/// Low, middle and high of some figures of each option.
fn quantile_table(view: &View<'_>, caption: &str, parts: Vec<(&str, Measure, Vec<Quantiles>)>) -> Table {
    let (mut heads, mut columns) = (Vec::new(), Vec::new());
    for (name, unit, quantiles) in parts {
        let mut add = |end: &str, of: fn(&Quantiles) -> f64| {
            heads.push(Head::number(format!("{name}, {end}"), unit.clone()));
            columns.push(column(&quantiles.iter().map(of).collect::<Vec<_>>()));
        };
        let [low, middle, high] = range_words(&quantiles.first().copied().unwrap_or_default());
        add(low, Quantiles::low);
        add(middle, |quantiles| quantiles.p50);
        add(high, Quantiles::high);
    }
    Table::new(caption, "option", heads, rows_of(view.names(), &columns))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_baseline_that_is_the_best_is_named_once() {
        assert_eq!(caption("gas", "gas"), "Odds, draw by draw, against “gas”, the baseline");
        assert_eq!(caption("gas", "shell"), "Odds, draw by draw, against “gas”, the baseline, and against “shell”");
    }
}
