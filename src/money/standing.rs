//! Fixed charges of the months of a year that a season's bill does not reach: the connection and the tank stand there
//! all the same.

use super::Carriers;
use std::collections::{BTreeMap, BTreeSet};

/// Months of a year.
const MONTHS: usize = 12;
/// Days of a year; that a leap year has one more is let pass.
const DAYS: u32 = 365;

/// What a season's bill reaches of a year.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Reached<'a> {
    /// Months, 1..12: months of two years that have one name are one month of a year.
    pub months: BTreeSet<u32>,
    /// Days that are billed.
    pub days: u32,
    /// Fuels whose burners stand in the plant.
    pub fuels: BTreeSet<&'a str>,
}

/// What stands to be paid beside a season's bill until a year is full, though nothing is used; not rounded. Charges on
/// demand are none of it: nothing is taken, and no tariff here bills a month by another month's demand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StandingCharges {
    /// Months of a year that the bill does not reach.
    pub months: u32,
    /// Fixed charges of electricity in them, and of every day that is not billed; tax included.
    pub electricity: f64,
    /// Fixed charges in them of the fuels whose burners stand in the plant.
    pub fuels: BTreeMap<String, f64>,
}

impl StandingCharges {
    /// Of the rest of the year.
    pub(super) fn beside(reached: &Reached<'_>, carriers: &Carriers) -> Self {
        let months = u32::try_from(MONTHS.saturating_sub(reached.months.len())).unwrap_or(0);
        let (count, days) = (f64::from(months), f64::from(DAYS.saturating_sub(reached.days)));
        let tariff = &carriers.electricity;
        let fixed = tariff.fixed_per_month * count + tariff.fixed_per_day * days;
        let stands = carriers.fuels.iter().filter(|(name, _)| reached.fuels.contains(name.as_str()));
        Self {
            months,
            electricity: fixed * (1.0 + tariff.tax),
            fuels: stands.map(|(name, carrier)| (name.clone(), carrier.fixed_per_month * count)).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Tariff;
    use super::super::{BurnerClass, Carrier, Fuel, HeatingBasis, Unit};
    use super::*;

    /// 30 a month and 0.5 a day before a tax of a tenth, and a tank at 20 a month.
    fn carriers() -> Carriers {
        let (fuel, burner) = (Fuel::named("lpg").unwrap(), BurnerClass::Industry);
        let lpg = Carrier::of_fuel(fuel, Unit::Kilogram, HeatingBasis::Lower, burner, 1.35).unwrap();
        Carriers {
            electricity: Tariff { fixed_per_month: 30.0, fixed_per_day: 0.5, tax: 0.1, ..Tariff::flat(0.2) },
            electricity_carbon_kg_per_kwh: 0.0,
            fuels: [("lpg".to_owned(), Carrier { fixed_per_month: 20.0, ..lpg })].into(),
        }
    }

    /// By hand: 8 months and 240 days are billed. The other 4 months are 120, the other 125 days 62.5, and a tenth of
    /// 182.5 is 18.25. The tank is 4 x 20.
    #[test]
    fn connection_and_tank_are_billed_all_year() {
        let reached = Reached { months: (3..=10).collect(), days: 240, fuels: BTreeSet::from(["lpg"]) };
        let standing = StandingCharges::beside(&reached, &carriers());
        assert_eq!(standing.months, 4);
        assert!((standing.electricity - 200.75).abs() < 1e-9, "{standing:?}");
        assert_eq!(standing.fuels["lpg"], 80.0);
    }

    #[test]
    fn a_tank_that_does_not_stand_there_costs_nothing() {
        let reached = Reached { months: (3..=10).collect(), days: 240, ..Reached::default() };
        assert!(StandingCharges::beside(&reached, &carriers()).fuels.is_empty());
    }

    /// A store kept for fourteen months leaves no month of a year without a bill.
    #[test]
    fn a_bill_of_more_than_a_year_leaves_nothing() {
        let reached = Reached { months: (1..=12).collect(), days: 420, fuels: BTreeSet::from(["lpg"]) };
        let standing = StandingCharges::beside(&reached, &carriers());
        assert_eq!((standing.months, standing.electricity, standing.fuels["lpg"]), (0, 0.0, 0.0));
    }
}
