//! An energy carrier as it is sold: unit, energy in a unit, price, carbon.

use super::fuel::{BurnerClass, Fuel, HeatingBasis, Unit};
use super::own_supply::OwnSupply;

/// A fuel, or heat at one flat price. Electricity is a [`super::Tariff`].
#[derive(Clone, Debug, PartialEq)]
pub struct Carrier {
    /// How the study names it.
    pub name: String,
    /// What burns, by the name of a published fuel where it is one.
    pub fuel: String,
    /// What it is sold by.
    pub unit: Unit,
    /// kWh in one unit, of a fuel on the lower heating value; above 0.
    pub kwh_per_unit: f64,
    /// Price of one unit, tax included; at least 0.
    pub price_per_unit: f64,
    /// Fixed charge for each month begun, tax included; at least 0.
    pub fixed_per_month: f64,
    /// Greenhouse gases, kg CO₂-equivalent per kWh, biogenic CO₂ left out; at least 0.
    pub carbon_kg_per_kwh: f64,
    /// Biogenic CO₂, kg per kWh, reported apart; at least 0.
    pub biogenic_kg_per_kwh: f64,
    /// What the plant has of it itself, burnt before any is purchased.
    pub own: Option<OwnSupply>,
}

/// A carrier that cannot be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{carrier}: {what} is {found}, expected {expected}")]
pub struct BadCarrier {
    /// Its name.
    pub carrier: String,
    /// Which figure.
    pub what: &'static str,
    /// What it is.
    pub found: f64,
    /// What it may be.
    pub expected: &'static str,
}

impl Carrier {
    /// The same with every price times a factor: of the unit, and the fixed charge. What an own supply would fetch
    /// elsewhere is no price of the carrier's.
    #[must_use]
    pub fn times_dearer(self, factor: f64) -> Self {
        Self { price_per_unit: self.price_per_unit * factor, fixed_per_month: self.fixed_per_month * factor, ..self }
    }

    /// A fuel of the table at this price, with the table's heating value, and its carbon in this class of
    /// burner. `None` where the fuel is not sold by that unit.
    pub fn of_fuel(
        fuel: &Fuel,
        unit: Unit,
        basis: HeatingBasis,
        burner: BurnerClass,
        price_per_unit: f64,
    ) -> Option<Self> {
        Some(Self {
            name: fuel.name.to_owned(),
            fuel: fuel.name.to_owned(),
            unit,
            kwh_per_unit: fuel.lower_kwh_per(unit, basis)?,
            price_per_unit,
            fixed_per_month: 0.0,
            carbon_kg_per_kwh: fuel.carbon_kg_per_kwh(burner),
            biogenic_kg_per_kwh: fuel.biogenic_kg_per_kwh(),
            own: None,
        })
    }

    /// The carrier, if its figures can be.
    pub fn checked(self) -> Result<Self, BadCarrier> {
        let positive = self.kwh_per_unit.is_finite() && self.kwh_per_unit > 0.0;
        let figures = [
            ("price_per_unit", self.price_per_unit),
            ("fixed_per_month", self.fixed_per_month),
            ("carbon_kg_per_kwh", self.carbon_kg_per_kwh),
            ("biogenic_kg_per_kwh", self.biogenic_kg_per_kwh),
        ];
        let bad = figures.into_iter().find(|(_, value)| !value.is_finite() || *value < 0.0);
        let (what, found, expected) = match (positive, bad) {
            (false, _) => ("kwh_per_unit", self.kwh_per_unit, "more than 0"),
            (true, Some((what, found))) => (what, found, "0 or more"),
            (true, None) => return Ok(self),
        };
        Err(BadCarrier { carrier: self.name, what, found, expected })
    }

    /// Units that hold so many kWh.
    pub fn quantity(&self, kwh: f64) -> f64 {
        kwh / self.kwh_per_unit
    }

    /// Price of one kWh purchased, on the lower heating value for a fuel.
    pub fn price_per_kwh(&self) -> f64 {
        self.price_per_unit / self.kwh_per_unit
    }

    /// Price of the next kWh when so many units of the own supply are left: what it would fetch elsewhere, and the
    /// price at which it is purchased when none is left.
    pub fn next_price_per_kwh(&self, own_left: f64) -> f64 {
        let own = self.own.filter(|_| own_left > 0.0);
        own.map_or(self.price_per_kwh(), |own| own.worth_per_unit / self.kwh_per_unit)
    }

    /// Price of the first kWh of a season, whose nuts leave some of the own supply if there is one at all.
    pub fn first_price_per_kwh(&self) -> f64 {
        self.next_price_per_kwh(f64::INFINITY)
    }

    /// Of so many units, what the own supply gives when so much of it is left.
    pub fn own_units(&self, units: f64, own_left: f64) -> f64 {
        self.own.map_or(0.0, |_| units.min(own_left.max(0.0)))
    }

    /// What so many units cost when so much of the own supply is left, fixed charges left out.
    pub fn cost(&self, units: f64, own_left: f64) -> f64 {
        let own = self.own_units(units, own_left);
        let worth = self.own.map_or(0.0, |supply| supply.worth_per_unit);
        own * worth + (units - own) * self.price_per_unit
    }

    /// Greenhouse gases of so many kWh, kg CO₂-equivalent.
    pub fn carbon_kg(&self, kwh: f64) -> f64 {
        self.carbon_kg_per_kwh * kwh
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lpg() -> Carrier {
        let fuel = Fuel::named("lpg").unwrap();
        let burner = BurnerClass::Industry;
        Carrier::of_fuel(fuel, Unit::Kilogram, HeatingBasis::Lower, burner, 1.35).unwrap()
    }

    #[test]
    fn a_fuel_is_sold_by_its_unit_and_costs_the_same_either_way() {
        let lpg = lpg().checked().unwrap();
        let kg = lpg.quantity(1287.22);
        assert!((kg - 100.0).abs() < 0.01, "{kg}");
        let cost = lpg.price_per_kwh() * 1287.22;
        assert!((cost - kg * 1.35).abs() < 1e-9);
        assert!((lpg.carbon_kg(1287.22) - 298.7).abs() < 0.2);
    }

    #[test]
    fn figures_that_cannot_be_are_refused_by_name() {
        let free = Carrier { kwh_per_unit: 0.0, ..lpg() };
        let said = free.checked().unwrap_err().to_string();
        assert_eq!(said, "lpg: kwh_per_unit is 0, expected more than 0");
        let odd = Carrier { price_per_unit: f64::NAN, ..lpg() };
        assert!(odd.checked().is_err());
    }
}
