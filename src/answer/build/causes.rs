//! What a year of an option costs by what it is for, and why the recommended option costs less than others.

use crate::answer::figures::{DifferenceFigures, OptionFigures, YearByCause};
use crate::answer::ranking::Ranking;

/// A year of this option. Heat, fans and cool store are energy at the hour's prices; charges are the rest of the bill.
pub(super) fn by_cause(option: &OptionFigures) -> YearByCause {
    let life = &option.life_cycle;
    let (heat, fans, cool_store) = (option.heat_cost, option.fan_cost, option.cool_store_cost);
    YearByCause {
        heat,
        fans,
        cool_store,
        charges: option.total_cost - heat - fans - cool_store,
        owning: life.owning_per_year,
        price_growth: life.price_growth_per_year,
        total: life.annual_equivalent,
    }
}

/// The recommended option against the next best and against the baseline; nothing where none is recommended.
pub(super) fn differences(options: &[OptionFigures], ranking: &Ranking, base: usize) -> Vec<DifferenceFigures> {
    let Some(best) = ranking.best() else {
        return Vec::new();
    };
    let mut others: Vec<usize> = ranking.runner_up().into_iter().chain([base]).filter(|other| *other != best).collect();
    others.dedup();
    let held_against = |other: usize| DifferenceFigures {
        option: options[best].name.clone(),
        against: options[other].name.clone(),
        above: options[best].by_cause.above(options[other].by_cause),
    };
    others.into_iter().map(held_against).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::figures::LifeCycleFigures;

    #[test]
    fn the_causes_of_a_year_add_up_to_its_cost() {
        let option = OptionFigures {
            heat_cost: 50.0,
            fan_cost: 5.0,
            cool_store_cost: 10.0,
            total_cost: 90.0,
            life_cycle: LifeCycleFigures {
                owning_per_year: 20.0,
                price_growth_per_year: 3.0,
                annual_equivalent: 113.0,
                ..LifeCycleFigures::default()
            },
            ..OptionFigures::default()
        };
        let year = by_cause(&option);
        assert_eq!(year.charges, 25.0);
        let parts = [year.heat, year.fans, year.cool_store, year.charges, year.owning, year.price_growth];
        assert_eq!(parts.iter().sum::<f64>(), year.total);
        let none = year.above(year);
        assert_eq!(none, YearByCause::default());
    }
}
