//! What an option's season and year go to: heat, fans and lights, cool store and charges; and what lies between two
//! options by cause, of a season's energy, carbon and bill and of what a year costs.

use super::months::sum_money;
use super::reckoned::{Reckoned, mean};
use crate::answer::figures::{CauseFigures, DifferenceFigures, LifeCycleFigures, OptionFigures, WayCause, YearByCause};
use crate::answer::ranking::Ranking;
use crate::money::ByPurpose;
use crate::study::Study;

/// What of an option's season belongs to which use, the mean of the weather years.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Uses {
    /// Need for heat, kWh.
    pub need_kwh: f64,
    /// Fuel and electricity of the sources, and the recovery's penalty.
    pub heat: Amounts,
    /// Drying fans and lights.
    pub fans_and_lights: Amounts,
    /// Cool store, as if its condensers were outdoors.
    pub cool_store: Amounts,
    /// Demand charges.
    pub demand: f64,
    /// The rest of the bill: demand and fixed charges and tax.
    pub charges: f64,
}

/// Purchased energy, carbon and money at the hour's prices.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Amounts {
    pub kwh: f64,
    pub carbon_kg: f64,
    pub bill: f64,
}

impl Uses {
    pub(super) fn of(study: &Study, option: &Reckoned<'_>) -> Self {
        let grid = study.carriers.electricity_carbon_kg_per_kwh;
        let purpose = |of: fn(&ByPurpose) -> f64| mean(option.bills.iter().map(|bill| of(&bill.purposes)));
        let electric = |kwh: f64, bill: f64| Amounts { kwh, carbon_kg: kwh * grid, bill };
        let fans_and_lights =
            electric(option.mean(|account| account.fan_kwh() + account.lights_kwh), purpose(|purposes| purposes.fans));
        let cool_store = electric(
            option.mean(|account| account.store_kwh - account.credit.penalty_kwh),
            purpose(|purposes| purposes.cool_store),
        );
        let heat = Amounts {
            kwh: option.mean_energy().purchased_kwh() - fans_and_lights.kwh - cool_store.kwh,
            carbon_kg: option.carbon_kg() - fans_and_lights.carbon_kg - cool_store.carbon_kg,
            bill: purpose(|purposes| purposes.heat),
        };
        Self {
            need_kwh: option.mean(|account| account.heat_need_kwh),
            heat,
            fans_and_lights,
            cool_store,
            demand: sum_money(&option.months, |month| month.demand_cost),
            charges: option.bill() - heat.bill - fans_and_lights.bill - cool_store.bill,
        }
    }

    /// A year of an option with these uses and this life.
    pub(super) fn year(&self, life: &LifeCycleFigures) -> YearByCause {
        YearByCause {
            heat: self.heat.bill,
            fans: self.fans_and_lights.bill,
            cool_store: self.cool_store.bill,
            charges: self.charges,
            owning: life.owning_per_year,
            price_growth: life.price_growth_per_year,
            total: life.annual_equivalent,
        }
    }

    /// What is billed for no use of energy, and no demand.
    fn standing(&self) -> f64 {
        self.charges - self.demand
    }

    /// What a season of this saves of another, by cause; each column sums to what is saved.
    pub(super) fn saved_of(&self, before: &Self) -> Vec<CauseFigures> {
        let heat =
            |of: fn(&Amounts) -> f64| split([before.need_kwh, self.need_kwh], [of(&before.heat), of(&self.heat)]);
        let (kwh, carbon, bill) = (heat(|one| one.kwh), heat(|one| one.carbon_kg), heat(|one| one.bill));
        let cause = |cause, purchased_kwh, carbon_kg, bill| CauseFigures { cause, purchased_kwh, carbon_kg, bill };
        let of_use = |which, one: &Amounts, other: &Amounts| {
            cause(which, one.kwh - other.kwh, one.carbon_kg - other.carbon_kg, one.bill - other.bill)
        };
        vec![
            cause(WayCause::HeatNeed, kwh[0], carbon[0], bill[0]),
            cause(WayCause::Conversion, kwh[1], carbon[1], bill[1]),
            of_use(WayCause::FansAndLights, &before.fans_and_lights, &self.fans_and_lights),
            of_use(WayCause::Store, &before.cool_store, &self.cool_store),
            cause(WayCause::Demand, 0.0, 0.0, before.demand - self.demand),
            cause(WayCause::Standing, 0.0, 0.0, before.standing() - self.standing()),
        ]
    }
}

/// What a lower need saves of something that heat takes, at what a kilowatt-hour took before, and what is saved at the
/// need that is left.
fn split(need_kwh: [f64; 2], taken: [f64; 2]) -> [f64; 2] {
    let each = if need_kwh[0] > 0.0 { taken[0] / need_kwh[0] } else { 0.0 };
    let by_need = (need_kwh[0] - need_kwh[1]) * each;
    [by_need, taken[0] - taken[1] - by_need]
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

    fn of_bill(bill: f64) -> Amounts {
        Amounts { bill, ..Amounts::default() }
    }

    #[test]
    fn the_causes_of_a_year_add_up_to_its_cost() {
        let uses = Uses {
            heat: of_bill(50.0),
            fans_and_lights: of_bill(5.0),
            cool_store: of_bill(10.0),
            charges: 25.0,
            ..Uses::default()
        };
        let life = LifeCycleFigures {
            owning_per_year: 20.0,
            price_growth_per_year: 3.0,
            annual_equivalent: 113.0,
            ..LifeCycleFigures::default()
        };
        let year = uses.year(&life);
        let parts = [year.heat, year.fans, year.cool_store, year.charges, year.owning, year.price_growth];
        assert_eq!(parts.iter().sum::<f64>(), year.total);
        assert_eq!(year.above(year), YearByCause::default());
    }

    /// The year's charges are what the way tells apart as demand and the rest: by hand, 25 of which 15 are demand; the
    /// other pays 12, of which 9.
    #[test]
    fn charges_of_the_year_and_of_the_way_are_one_sum() {
        let before = Uses { demand: 15.0, charges: 25.0, ..Uses::default() };
        let after = Uses { demand: 9.0, charges: 12.0, ..Uses::default() };
        let saved = |which| {
            let all = after.saved_of(&before);
            all.iter().find(|one| one.cause == which).map(|one| one.bill)
        };
        assert_eq!((saved(WayCause::Demand), saved(WayCause::Standing)), (Some(6.0), Some(7.0)));
    }

    /// By hand: 100 kWh of need take 120; 60 of need take 30. Forty kWh less need spare 48, and the sixty left take 42
    /// less than the 72 that they took.
    #[test]
    fn need_and_conversion_share_what_heat_saves() {
        assert_eq!(split([100.0, 60.0], [120.0, 30.0]), [48.0, 42.0]);
        assert_eq!(split([0.0, 60.0], [0.0, 30.0]), [0.0, -30.0]);
    }
}
