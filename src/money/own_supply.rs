//! Fuel of the plant's own: shells and husks that a season leaves, before any is bought.

/// A season's own supply of a fuel. It is burnt first; what is needed beyond it is bought.
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

impl OwnSupply {
    /// Units that a season of so many kg leaves.
    pub fn units(&self, received_kg: f64, dried_kg: f64) -> f64 {
        self.units_per_received_kg * received_kg + self.units_per_dried_kg * dried_kg
    }
}
