//! At what price of a carrier another option becomes the best.

use super::life_cycle::present_of_yearly;
use super::made_of::Unreckoned;
use crate::answer::figures::{BreakEvenFigures, OptionFigures, is_fuel};
use crate::answer::ranking::Ranking;
use crate::money::uniform_present_value;
use crate::study::Study;
use std::collections::BTreeSet;

/// What one option costs over the period, and what of it one carrier's bills are.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Line {
    /// Net present cost.
    whole: f64,
    /// Of which the carrier's bills.
    of_carrier: f64,
}

impl Line {
    /// How many times the carrier's price makes this option cost as much as the other; nothing where no price does.
    fn meets(self, other: Self) -> Option<f64> {
        let slope = self.of_carrier - other.of_carrier;
        let times = 1.0 + (other.whole - self.whole) / slope;
        (slope.abs() > 1e-9 && times.is_finite() && times >= 0.0).then_some(times)
    }
}

/// For every carrier, the nearest price above its own and the nearest below at which another option that does the work
/// costs as little as the recommended one. A carrier's price is all of its bill: electricity with demand and fixed
/// charges and tax, a fuel with its standing charge, the plant's own supply at what it would have fetched.
pub(super) fn break_even(
    study: &Study,
    options: &[OptionFigures],
    ranking: &Ranking,
) -> Result<Vec<BreakEvenFigures>, Unreckoned> {
    let Some(best) = ranking.best() else {
        return Ok(Vec::new());
    };
    let carriers: BTreeSet<&String> = options.iter().flat_map(|option| option.carriers.keys()).collect();
    let mut found = Vec::new();
    for carrier in carriers {
        let mut crossings: Vec<(f64, usize)> = Vec::new();
        let line = |place: usize| -> Result<Line, Unreckoned> {
            let known = options[place].carriers.get(carrier);
            let of_carrier = present_of_yearly(study, carrier, known.map_or(0.0, |known| known.cost))?;
            let standing = known.filter(|_| is_fuel(carrier)).and_then(|known| known.fixed_outside_bill).unwrap_or(0.0);
            let of_standing = standing * uniform_present_value(study.money.discount_rate, study.money.years);
            Ok(Line { whole: options[place].life_cycle.net_present_cost, of_carrier: of_carrier + of_standing })
        };
        let own = line(best)?;
        for place in (0..options.len()).filter(|place| *place != best && options[*place].does_the_work) {
            crossings.extend(own.meets(line(place)?).map(|times| (times, place)));
        }
        let above = crossings.iter().filter(|(times, _)| *times > 1.0).min_by(|a, b| a.0.total_cmp(&b.0));
        let below = crossings.iter().filter(|(times, _)| *times < 1.0).max_by(|a, b| a.0.total_cmp(&b.0));
        for (times, place) in [below, above].into_iter().flatten() {
            found.push(figures(carrier, &options[best], &options[*place], *times));
        }
    }
    Ok(found)
}

fn figures(carrier: &str, best: &OptionFigures, other: &OptionFigures, times: f64) -> BreakEvenFigures {
    let used = |option: &OptionFigures| option.carriers.get(carrier).filter(|known| known.quantity > 0.0).cloned();
    let known = used(best).or_else(|| used(other)).unwrap_or_default();
    let price = if known.quantity > 0.0 { known.cost / known.quantity } else { 0.0 };
    BreakEvenFigures {
        carrier: carrier.to_owned(),
        unit: known.unit,
        price,
        times,
        price_there: price * times,
        becomes: other.name.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_lines_meet_where_they_cost_the_same() {
        let (best, other) = (Line { whole: 100.0, of_carrier: 50.0 }, Line { whole: 130.0, of_carrier: 20.0 });
        let times = best.meets(other).expect("a price");
        let cost = |line: Line| line.whole + (times - 1.0) * line.of_carrier;
        assert!((cost(best) - cost(other)).abs() < 1e-9 && times == 2.0);
        // The one that takes more of it is the better only where it is cheaper.
        assert_eq!(other.meets(best), Some(2.0));
        assert_eq!(best.meets(Line { whole: 130.0, of_carrier: 50.0 }), None);
        assert_eq!(best.meets(Line { whole: 300.0, of_carrier: 90.0 }), None, "below nothing");
    }
}
