//! One layer of nuts crossed by air for one step.
//!
//! Nuts and leaving air share one temperature. The layer's unknown is the water it gives up; leaving
//! humidity follows from the water balance, leaving temperature from the heat balance, and the
//! drying rate from the thin-layer law integrated over the step towards the equilibrium with the air
//! *within* the layer. The residual rises monotonically with the water given up, so a safeguarded secant
//! finds it; water and heat close to rounding whatever its tolerance, because they are not iterated.
//!
//! The air within is the entering and the leaving air, mixed so that a layer in which the air's pull
//! falls off exponentially dries exactly ([`share_of_leaving`]): half and half where a layer takes up little
//! of that pull, all leaving where it takes up all. Against the leaving air alone, which dries every
//! layer too slowly, this takes the first order of the error of thick layers away. The share is fixed
//! before the search, and no less than a half: the scheme is implicit in the air and exact in the
//! exponential, hence stable at any step.

use super::nuts::Nuts;
use crate::air::{
    AirState, CP_DRY_AIR, CP_VAPOUR, LATENT_AT_ZERO, RATIO_OF_MOLAR_MASSES, SATURATION_RANGE_C,
    saturation_humidity_ratio, saturation_pressure_pa, slope_of_ln_saturation, vapour_pressure_pa,
};
use crate::crop::RH_CEILING;
use crate::solve::{nearly_rising_root, rising_root};

/// State of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Moisture, dry basis (fraction).
    pub moisture: f64,
    /// Temperature of nuts and leaving air, °C.
    pub temperature_c: f64,
    /// Moisture the nuts arrived with, dry basis; the thin-layer law may need it.
    pub received_moisture: f64,
    /// Where the last search ended: where the next one starts.
    pub(super) trace: Trace,
}

/// What a search for the water given up leaves behind for the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Trace {
    /// Water given up, kg/kg.
    given_up: f64,
    /// Slope of the residual there.
    slope: f64,
}

impl Trace {
    /// The same with so much more water given up, kg/kg.
    pub(super) fn moved_by(self, more: f64) -> Self {
        Self { given_up: self.given_up + more, ..self }
    }

    /// Water given up beyond another trace's, kg/kg.
    pub(super) fn ahead_by(&self, other: &Self) -> f64 {
        self.given_up - other.given_up
    }

    /// Where the next step's search may start: as far on from here as this is from the step `before`.
    pub(super) fn ahead_of(self, before: &Self) -> Self {
        Self { given_up: 2.0 * self.given_up - before.given_up, ..self }
    }
}

/// The rate law is met to this moisture (dry basis), and to this humidity ratio of the leaving air
/// where little air makes that the stricter of the two.
const RATE_TOLERANCE: f64 = 1e-8;

/// What is known of a layer's step before it is tried: it follows from the layer as it stands and from how
/// much air comes, not from the state of that air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ahead {
    /// Heat that frees bound water, over free water's, kJ per kg of water.
    pub(super) binding_kj_per_kg: f64,
    /// Share of the leaving air in the air that the nuts are taken to meet.
    leaving_share: f64,
}

impl Ahead {
    /// For a step of `hours` with so much air, kg per kg of dry matter.
    pub(super) fn of(layer: &Layer, nuts: &Nuts, air_per_dry_matter: f64, pressure_pa: f64, hours: f64) -> Self {
        let activity = nuts.water_activity(layer.temperature_c, layer.moisture);
        let binding_kj_per_kg = nuts.binding_at_activity_kj_per_kg(layer.temperature_c, layer.moisture, activity);
        let lost_share = lost_share(layer, nuts, hours);
        let pull = pull_used_up(layer, nuts, (activity, binding_kj_per_kg), air_per_dry_matter, pressure_pa);
        let units = lost_share * pull;
        Self { binding_kj_per_kg, leaving_share: share_of_leaving(units, lost_share) }
    }
}

/// Share of its water that the layer loses in the step to perfectly dry air.
fn lost_share(layer: &Layer, nuts: &Nuts, hours: f64) -> f64 {
    let Layer { moisture, temperature_c, received_moisture, .. } = *layer;
    // Bone dry nuts have none: a trace of it tells as much.
    let moisture = moisture.max(1e-9);
    1.0 - nuts.moisture_after(moisture, received_moisture, 0.0, temperature_c, hours) / moisture
}

/// Relative humidity of half-damp air, fraction.
const HALF_DAMP: f64 = 0.5;

/// How fast a layer whose water could all be lost would use up the pull of the air that crosses it: the drop of
/// the pull across the layer over the pull of the leaving air, to first order. What a rise of the air's
/// humidity takes off the pull is the chord of the isotherm, to the nuts or to half-damp air where they are
/// drier: the upper end of what happens, which keeps thick layers stable.
fn pull_used_up(
    layer: &Layer,
    nuts: &Nuts,
    (activity, binding_kj_per_kg): (f64, f64),
    air_per_dry_matter: f64,
    pressure_pa: f64,
) -> f64 {
    let Layer { moisture, temperature_c, .. } = *layer;
    if air_per_dry_matter <= 0.0 {
        return 0.0;
    }
    let t_c = within_saturation(temperature_c);
    let capacity = air_per_dry_matter * CP_DRY_AIR + nuts.heat_capacity(moisture);
    // Rise of the air's relative humidity per kg of water given up: by the water, and by the cooling.
    let by_water = pressure_pa / (RATIO_OF_MOLAR_MASSES * air_per_dry_matter * saturation_pressure_pa(t_c));
    let by_cooling = activity * slope_of_ln_saturation(t_c) * (LATENT_AT_ZERO + binding_kj_per_kg) / capacity;
    let chord_to = |moisture: f64, activity: f64| moisture / activity.max(f64::MIN_POSITIVE);
    let held_per_humidity =
        chord_to(moisture, activity).max(chord_to(nuts.equilibrium_moisture(temperature_c, HALF_DAMP), HALF_DAMP));
    held_per_humidity * (by_water + by_cooling)
}

/// Units below which the series of 1/(1 - e⁻ᴺ) - 1/N is exact to rounding, and the form itself is not.
const FEW_UNITS: f64 = 0.05;

/// Share of the leaving air in the mean air of a layer that uses up the pull of its air exponentially, by so
/// many units: y' = -N y has the mean y_in (1 - e⁻ᴺ)/N and leaves with y_in e⁻ᴺ. From a half (N = 0) to one.
///
/// Nuts that come to balance with the air within the step have no pull left, but the one state of the layer:
/// theirs is the balance with the leaving air. The square of the share lost leads there without touching
/// nuts that dry over many steps.
fn share_of_leaving(units: f64, lost_share: f64) -> f64 {
    let by_pull = if units < FEW_UNITS {
        let units = units.max(0.0);
        let square = units * units;
        0.5 + units * (1.0 / 12.0 - square * (1.0 / 720.0 - square / 30240.0))
    } else {
        (1.0 / (1.0 - (-units).exp()) - 1.0 / units).min(1.0)
    };
    1.0 - (1.0 - by_pull) * (1.0 - lost_share * lost_share)
}

/// A layer, the air that enters it, and how much of it, for one step.
struct Step<'a> {
    nuts: &'a Nuts,
    start: Layer,
    inlet: AirState,
    /// kg of dry air in the step per kg of dry matter.
    air_per_dry_matter: f64,
    pressure_pa: f64,
    hours: f64,
    ahead: Ahead,
    /// Enthalpy that air and nuts bring in, kJ per kg of dry matter.
    brought_kj: f64,
}

impl Layer {
    /// Share of the leaving air in the air that the nuts are taken to meet in a step of `hours`, the rest being
    /// entering air; half to one. `air_per_dry_matter` is kg of dry air in it per kg of dry matter.
    pub fn leaving_share(&self, nuts: &Nuts, air_per_dry_matter: f64, pressure_pa: f64, hours: f64) -> f64 {
        Ahead::of(self, nuts, air_per_dry_matter, pressure_pa, hours).leaving_share
    }

    /// A layer of nuts as they are loaded.
    pub fn new(moisture: f64, temperature_c: f64) -> Self {
        Self { moisture, temperature_c, received_moisture: moisture, trace: Trace { given_up: 0.0, slope: 1.5 } }
    }

    /// Crosses the layer with air for one step and returns the leaving air and the layer after it.
    ///
    /// `air_per_dry_matter` is kg of dry air in the step per kg of dry matter of the layer; zero
    /// leaves everything as it is.
    pub fn cross(
        &self,
        nuts: &Nuts,
        inlet: AirState,
        air_per_dry_matter: f64,
        pressure_pa: f64,
        hours: f64,
    ) -> (AirState, Self) {
        let ahead = Ahead::of(self, nuts, air_per_dry_matter, pressure_pa, hours);
        self.cross_ahead(nuts, ahead, inlet, air_per_dry_matter, pressure_pa, hours)
    }

    /// The same where what can be known before is known: a bed tries a step many times from one state.
    pub(super) fn cross_ahead(
        &self,
        nuts: &Nuts,
        ahead: Ahead,
        inlet: AirState,
        air_per_dry_matter: f64,
        pressure_pa: f64,
        hours: f64,
    ) -> (AirState, Self) {
        if air_per_dry_matter <= 0.0 || hours <= 0.0 {
            return (inlet, *self);
        }
        let step = Step {
            nuts,
            start: *self,
            inlet,
            air_per_dry_matter,
            pressure_pa,
            hours,
            ahead,
            brought_kj: air_per_dry_matter * inlet.enthalpy() + nuts.enthalpy(self.moisture, self.temperature_c),
        };
        let (given_up, slope) = step.water_given_up();
        let outlet = step.leaving_air(given_up);
        let after = Self {
            moisture: self.moisture - given_up,
            temperature_c: outlet.dry_bulb_c,
            received_moisture: self.received_moisture,
            trace: Trace { given_up, slope },
        };
        (outlet, after)
    }
}

/// A search may try temperatures at which there is no saturation pressure; it meets the one at the end
/// of the range there, and turns back.
#[inline]
fn within_saturation(temperature_c: f64) -> f64 {
    temperature_c.clamp(SATURATION_RANGE_C.0, SATURATION_RANGE_C.1)
}

impl Step<'_> {
    /// Leaving air if the layer gives up `x` kg of water per kg of dry matter: the water balance,
    /// then the heat balance, which is linear in the leaving temperature.
    #[inline]
    fn leaving_air(&self, x: f64) -> AirState {
        let a = self.air_per_dry_matter;
        // All vapour taken is none left; rounding would leave less.
        let humidity_ratio = (self.inlet.humidity_ratio + x / a).max(0.0);
        let dry_bulb_c = (self.brought_kj - a * humidity_ratio * LATENT_AT_ZERO - x * self.ahead.binding_kj_per_kg)
            / (a * (CP_DRY_AIR + CP_VAPOUR * humidity_ratio) + self.nuts.heat_capacity(self.start.moisture - x));
        AirState { dry_bulb_c, humidity_ratio }
    }

    /// How far the water given up runs ahead of the thin-layer law in the air within the layer. Its relative
    /// humidity may exceed 1 while the search goes on.
    #[inline]
    fn residual(&self, x: f64) -> f64 {
        let within = self.air_within(self.leaving_air(x));
        let relative_humidity = vapour_pressure_pa(within.humidity_ratio, self.pressure_pa)
            / saturation_pressure_pa(within_saturation(within.dry_bulb_c));
        let equilibrium = self.nuts.equilibrium_moisture(within.dry_bulb_c, relative_humidity.clamp(0.0, RH_CEILING));
        let by_law = self.nuts.moisture_after(
            self.start.moisture,
            self.start.received_moisture,
            equilibrium,
            within.dry_bulb_c,
            self.hours,
        );
        by_law - (self.start.moisture - x)
    }

    /// The air that the nuts are taken to meet, where air leaves in this state.
    #[inline]
    fn air_within(&self, leaving: AirState) -> AirState {
        let share = self.ahead.leaving_share;
        let mix = |entering: f64, leaving: f64| entering + share * (leaving - entering);
        AirState {
            dry_bulb_c: mix(self.inlet.dry_bulb_c, leaving.dry_bulb_c),
            humidity_ratio: mix(self.inlet.humidity_ratio, leaving.humidity_ratio),
        }
    }

    /// The water given up, kg per kg of dry matter (negative when the nuts take water up), and the
    /// slope of the residual there.
    fn water_given_up(&self) -> (f64, f64) {
        // The layer cannot give more than it holds, nor the air more than it carries.
        let bounds = (-self.inlet.humidity_ratio * self.air_per_dry_matter, self.start.moisture);
        let root = nearly_rising_root(
            self.start.trace.given_up,
            self.start.trace.slope,
            bounds,
            RATE_TOLERANCE * self.air_per_dry_matter.min(1.0),
            |x| self.residual(x),
        );
        (self.saturating(root.x), root.slope)
    }

    /// The water given up at which the leaving air is just saturated, if it is less than `x`:
    /// beyond that, water condenses on the nuts instead.
    fn saturating(&self, x: f64) -> f64 {
        let a = self.air_per_dry_matter;
        let given_up = |humidity_ratio: f64| a * (humidity_ratio - self.inlet.humidity_ratio);
        let over = |humidity_ratio: f64| {
            let air = self.leaving_air(given_up(humidity_ratio));
            let saturated = saturation_humidity_ratio(within_saturation(air.dry_bulb_c), self.pressure_pa);
            air.humidity_ratio - saturated
        };
        let highest = self.inlet.humidity_ratio + x / a;
        if over(highest) <= 0.0 {
            return x;
        }
        given_up(rising_root(highest, 2.0, (0.0, highest), 1e-14, over).x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both forms of the share meet, and are those of the closed form by exp(N) - 1.
    #[test]
    fn the_share_of_the_leaving_air_has_no_step() {
        for units in [1e-6, 1e-3, 0.01, 0.0499999, 0.0500001, 0.3, 2.0, 30.0] {
            let closed = 1.0 / -f64::exp_m1(-units) - 1.0 / units;
            let share = share_of_leaving(units, 0.0);
            assert!((share - closed).abs() < 1e-15 / units + 1e-14, "{units}: {share} {closed}");
        }
        assert_eq!(share_of_leaving(0.0, 0.0), 0.5);
        assert_eq!(share_of_leaving(0.0, 1.0), 1.0);
    }
}
