//! Whose the energy is that a site uses: the plant's own (shells and husks that a season leaves), or purchased.

/// A season's own supply of a fuel. It is burnt first; what is needed beyond it is purchased.
///
/// Counted by the season: what the season's nuts leave is there from its first day, since the stock of the
/// season before is burnt while this one's grows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnSupply {
    /// Fuel, units of the carrier per kg of nuts received; at least 0.
    pub units_per_received_kg: f64,
    /// Fuel, units of the carrier per kg of nuts dried; at least 0.
    pub units_per_dried_kg: f64,
    /// What a unit would have fetched otherwise, handling left out: the price at which it is burnt; at
    /// least 0.
    pub worth_per_unit: f64,
}

/// Energy of a site or of one carrier over some time: used = own + purchased, kWh, of a fuel on the lower
/// heating value.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EnergyUse {
    /// All that was used.
    pub used_kwh: f64,
    /// Of which the plant's own supply: at least 0 and at most what was used.
    pub own_kwh: f64,
}

impl EnergyUse {
    /// What was purchased.
    pub fn purchased_kwh(&self) -> f64 {
        self.used_kwh - self.own_kwh
    }
}

impl OwnSupply {
    /// Units that a season of so many kg leaves.
    pub fn units(&self, received_kg: f64, dried_kg: f64) -> f64 {
        self.units_per_received_kg * received_kg + self.units_per_dried_kg * dried_kg
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_the_plants_own_is_purchased() {
        let energy = EnergyUse { used_kwh: 286.0, own_kwh: 236.5 };
        assert_eq!(energy.purchased_kwh(), 49.5);
        assert_eq!(EnergyUse::default().purchased_kwh(), 0.0);
    }
}
