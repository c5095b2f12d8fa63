//! Nuts in store drift to the moisture that the store's air asks for, and wet or dry that air meanwhile.

use crate::air::{humidity_ratio_of_vapour, saturation_pressure_pa, vapour_pressure_pa};
use crate::crop::Isotherm;
use crate::solve::rising_root;

/// How stored nuts follow the store's air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Sorption isotherm of the nuts.
    pub isotherm: Isotherm,
    /// Time constant of the approach to equilibrium, h: first order, `dM/dt = (M_e - M)/τ`.
    pub time_constant_h: f64,
}

/// Nuts that exchange water with the store's air in a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Exchanging {
    /// Dry matter, kg.
    pub dry_kg: f64,
    /// Water in it, kg.
    pub water_kg: f64,
    /// Share of the gap to equilibrium that closes in the step.
    pub share: f64,
    /// The step, s.
    pub seconds: f64,
}

impl Drift {
    /// Share of the gap to equilibrium that closes in a step.
    pub(super) fn share(&self, hours: f64) -> f64 {
        1.0 - (-hours / self.time_constant_h).exp()
    }

    /// Water that nuts give to air of this temperature and relative humidity, kg/s.
    pub(super) fn gives_kg_per_s(&self, nuts: &Exchanging, t: f64, relative_humidity: f64) -> f64 {
        let equilibrium = self.isotherm.equilibrium_moisture(t, relative_humidity);
        (nuts.water_kg - equilibrium * nuts.dry_kg) * nuts.share / nuts.seconds
    }
}

/// Humidity that a store settles at in a step, and the water that holding its band takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Held {
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
    /// Relative humidity, fraction.
    pub relative_humidity: f64,
    /// Water the nuts give, kg/s; less than zero where they take it up.
    pub nuts_kg_per_s: f64,
    /// Water to be taken out, kg/s; less than zero where it must be given.
    pub taken_kg_per_s: f64,
}

/// Finds where the store's humidity settles: outside air brings and takes water, nuts give or take it, and
/// beyond the band a coil or a humidifier does, each kind of nuts by a drift of its own. Quasi-steady: the
/// air itself holds next to nothing.
pub(super) fn held_humidity(
    (t, pressure_pa): (f64, f64),
    (low, high): (f64, f64),
    (air_kg_per_s, outside_ratio): (f64, f64),
    drifting: &[(Drift, Exchanging)],
) -> Held {
    let saturated = saturation_pressure_pa(t);
    let at = |relative_humidity: f64| {
        let ratio = humidity_ratio_of_vapour(relative_humidity * saturated, pressure_pa);
        let gives = |(drift, nuts): &(Drift, Exchanging)| drift.gives_kg_per_s(nuts, t, relative_humidity);
        let nuts_kg_per_s = drifting.iter().map(gives).sum();
        Held {
            humidity_ratio: ratio,
            relative_humidity,
            nuts_kg_per_s,
            taken_kg_per_s: air_kg_per_s * (outside_ratio - ratio) + nuts_kg_per_s,
        }
    };
    // What is left over falls as the air becomes damper: one root, or an end of the band.
    let (damp, dry) = (at(high), at(low));
    if damp.taken_kg_per_s >= 0.0 {
        return damp;
    }
    if dry.taken_kg_per_s <= 0.0 {
        return dry;
    }
    if drifting.is_empty() {
        let relative_humidity = vapour_pressure_pa(outside_ratio, pressure_pa) / saturated;
        return Held { humidity_ratio: outside_ratio, relative_humidity, ..Held::default() };
    }
    let found = settled(dry, damp, at);
    Held {
        // Nothing is taken: what the search left over is the nuts'.
        nuts_kg_per_s: found.nuts_kg_per_s - found.taken_kg_per_s,
        taken_kg_per_s: 0.0,
        ..found
    }
}

/// The humidity between a drier and a damper one at which nothing is left over.
fn settled(dry: Held, damp: Held, at: impl Fn(f64) -> Held) -> Held {
    /// Of the water left over, kg/s.
    const CLOSE_ENOUGH: f64 = 1e-10;
    let bounds = (dry.relative_humidity, damp.relative_humidity);
    // Nearly a straight line: where that crosses is the first guess.
    let slope = (dry.taken_kg_per_s - damp.taken_kg_per_s) / (bounds.1 - bounds.0);
    let guess = bounds.0 + dry.taken_kg_per_s / slope;
    let mut found = dry;
    rising_root(guess, slope, bounds, CLOSE_ENOUGH, |relative_humidity| {
        found = at(relative_humidity);
        -found.taken_kg_per_s
    });
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn drift() -> Drift {
        Drift {
            isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
            time_constant_h: 720.0,
        }
    }

    /// Another crop, which holds less water at the same humidity.
    fn oily() -> Drift {
        Drift { isotherm: Isotherm::ModifiedHenderson { k: 6.0e-4, n: 1.45, c: 60.0 }, time_constant_h: 720.0 }
    }

    fn nuts(moisture: f64) -> Exchanging {
        Exchanging { dry_kg: 100_000.0, water_kg: moisture * 100_000.0, share: drift().share(1.0), seconds: 3600.0 }
    }

    const AIR: (f64, f64) = (20.0, 95_000.0);
    const BAND: (f64, f64) = (0.4, 0.7);

    #[test]
    fn nuts_wetter_than_the_air_asks_for_damp_it() {
        let drift = drift();
        let outside = humidity_ratio_of_vapour(0.5 * saturation_pressure_pa(20.0), 95_000.0);
        let at = |moisture: f64| held_humidity(AIR, BAND, (0.1, outside), &[(drift, nuts(moisture))]);
        let even = drift.isotherm.equilibrium_moisture(20.0, 0.5);
        assert_relative_eq!(at(even).relative_humidity, 0.5, epsilon = 1e-6);
        assert!(at(even + 0.01).relative_humidity > 0.505);
        assert!(at(even - 0.01).relative_humidity < 0.495);
        assert!(at(even + 0.01).nuts_kg_per_s > 0.0);
    }

    /// In still air the wetter nuts give what the others take up: two halves of one crop settle at what the
    /// whole does, and another crop at the same humidity holds less.
    #[test]
    fn kinds_of_nuts_share_one_air() {
        let half = |moisture: f64| Exchanging { dry_kg: 50_000.0, water_kg: moisture * 50_000.0, ..nuts(moisture) };
        let still = (0.0, 0.005);
        let whole = held_humidity(AIR, BAND, still, &[(drift(), nuts(0.08))]);
        let halves = [(drift(), half(0.075)), (drift(), half(0.085))];
        let halves = held_humidity(AIR, BAND, still, &halves);
        assert_relative_eq!(whole.relative_humidity, halves.relative_humidity, epsilon = 1e-6);
        let moisture = 0.08;
        let both = [(drift(), half(moisture)), (oily(), half(moisture))];
        let mixed = held_humidity(AIR, BAND, still, &both).relative_humidity;
        let even = |drift: Drift| drift.isotherm.equilibrium_moisture(AIR.0, mixed);
        assert!(even(oily()) < moisture && moisture < even(drift()));
        // What the one gives the other takes: as much above balance as below, at equal dry matter.
        assert_relative_eq!(moisture - even(oily()), even(drift()) - moisture, epsilon = 1e-6);
    }

    #[test]
    fn water_that_comes_goes_or_is_taken_in_every_case() {
        let drift = drift();
        for moisture in [0.02, 0.06, 0.1, 0.2] {
            for outside_ratio in [0.003, 0.008, 0.015] {
                for air in [0.0, 0.05, 1.0] {
                    let nuts = [(drift, nuts(moisture)), (oily(), nuts(0.05))];
                    let held = held_humidity(AIR, BAND, (air, outside_ratio), &nuts);
                    let brought = air * (outside_ratio - held.humidity_ratio);
                    let left = brought + held.nuts_kg_per_s - held.taken_kg_per_s;
                    assert!(left.abs() < 1e-15, "{left}");
                    assert!((BAND.0..=BAND.1).contains(&held.relative_humidity));
                }
            }
        }
    }
}
