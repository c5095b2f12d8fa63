//! Doors that stand open: the air that warm and cold air's weights exchange through them.

use crate::air::MoistAir;

const GRAVITY_M_PER_S2: f64 = 9.81;

/// Doors of a store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doors {
    /// Free area of all doors that stand open together, m².
    pub area_m2: f64,
    /// Height of a door, m.
    pub height_m: f64,
    /// Share of the time that they stand open, 0..1.
    pub open_share: f64,
    /// Share of the flow that curtains keep back, 0..1.
    pub held_back: f64,
}

impl Doors {
    /// Air exchanged, kg/s, averaged over the time that the doors are open and shut.
    ///
    /// Gosney & Olama 1975: `0.221 A ρ_c √(1 - ρ_w/ρ_c) √(g H) F_m` with the density factor `F_m = [2/(1 +
    /// (ρ_c/ρ_w)^(1/3))]^1.5`, ρ_c and ρ_w the densities of the colder and the warmer air; times the share of
    /// the time, a flow factor of 1.1 for a difference up to 11 K and 0.8 above, and what curtains let through
    /// (as public texts and source files quote it; the paper was not read). Cold air outside flows in as warm
    /// air does. The kilograms count as dry air, 1 % more than they are.
    pub fn exchange_kg_per_s(&self, outside: &MoistAir, inside: &MoistAir) -> f64 {
        let (a, b) = (outside.density_kg_per_m3(), inside.density_kg_per_m3());
        let (cold, warm) = (a.max(b), a.min(b));
        let density_factor = (2.0 / (1.0 + (cold / warm).cbrt())).powf(1.5);
        let open = 0.221
            * self.area_m2
            * cold
            * (1.0 - warm / cold).sqrt()
            * (GRAVITY_M_PER_S2 * self.height_m).sqrt()
            * density_factor;
        let difference_k = (outside.dry_bulb_c() - inside.dry_bulb_c()).abs();
        let flow_factor = if difference_k <= 11.0 { 1.1 } else { 0.8 };
        open * self.open_share * flow_factor * (1.0 - self.held_back)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn air(t: f64) -> MoistAir {
        MoistAir::from_relative_humidity(t, 0.5, 101_325.0).expect("air")
    }

    fn doors() -> Doors {
        Doors { area_m2: 9.0, height_m: 3.0, open_share: 0.05, held_back: 0.0 }
    }

    #[test]
    fn no_air_goes_through_where_both_sides_are_alike_or_the_doors_are_shut() {
        assert!(doors().exchange_kg_per_s(&air(20.0), &air(20.0)) < 1e-9);
        let shut = Doors { open_share: 0.0, ..doors() };
        assert_eq!(shut.exchange_kg_per_s(&air(30.0), &air(20.0)), 0.0);
    }

    #[test]
    fn curtains_keep_their_share_back_and_cold_outside_air_comes_in_too() {
        let strips = Doors { held_back: 0.9, ..doors() };
        let open = doors().exchange_kg_per_s(&air(30.0), &air(20.0));
        let held = strips.exchange_kg_per_s(&air(30.0), &air(20.0));
        assert!((held / open - 0.1).abs() < 1e-12);
        assert!(doors().exchange_kg_per_s(&air(10.0), &air(20.0)) > 0.5 * open);
    }
}
