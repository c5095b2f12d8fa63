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
    AirState, CP_DRY_AIR, CP_VAPOUR, LATENT_AT_ZERO, RATIO_OF_MOLAR_MASSES, SATURATION_RANGE_C, enthalpy_kj_per_kg,
    saturation_humidity_ratio, saturation_humidity_ratios, saturation_pressures_pa, slope_of_ln_saturation,
    vapour_pressure_pa,
};
use crate::crop::RH_CEILING;
use crate::lanes::{Lanes, any, each, exp};
use crate::solve::{Rising, nearly_rising_roots, rising_root};

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
    /// For a step of `hours` with so much air, kg per kg of dry matter, of several layers of one bed.
    #[inline(always)]
    pub(super) fn of<const N: usize>(
        layers: [&Layer; N],
        nuts: &Nuts,
        air_per_dry_matter: f64,
        pressure_pa: f64,
        hours: f64,
    ) -> [Self; N] {
        let state = States::of(layers);
        let activity = nuts.water_activities(&state.temperature_c, &state.moisture);
        let binding = nuts.bindings_at_activity_kj_per_kg(&state.temperature_c, &state.moisture, &activity);
        let lost_share = lost_shares(&state, nuts, hours);
        let pull = pulls_used_up(&state, nuts, (&activity, &binding), air_per_dry_matter, pressure_pa);
        let leaving_share: Lanes<N> = each!(i => share_of_leaving(lost_share[i] * pull[i], lost_share[i]));
        std::array::from_fn(|i| Self { binding_kj_per_kg: binding[i], leaving_share: leaving_share[i] })
    }
}

/// Layers side by side.
struct States<const N: usize> {
    moisture: Lanes<N>,
    temperature_c: Lanes<N>,
    received_moisture: Lanes<N>,
}

impl<const N: usize> States<N> {
    #[inline(always)]
    fn of(layers: [&Layer; N]) -> Self {
        Self {
            moisture: each!(i => layers[i].moisture),
            temperature_c: each!(i => layers[i].temperature_c),
            received_moisture: each!(i => layers[i].received_moisture),
        }
    }
}

/// Share of its water that each layer loses in the step to perfectly dry air.
#[inline(always)]
fn lost_shares<const N: usize>(state: &States<N>, nuts: &Nuts, hours: f64) -> Lanes<N> {
    // Bone dry nuts have none: a trace of it tells as much.
    let moisture: Lanes<N> = each!(i => state.moisture[i].max(1e-9));
    let after = nuts.moistures_after(&moisture, &state.received_moisture, &[0.0; N], &state.temperature_c, &[hours; N]);
    each!(i => 1.0 - after[i] / moisture[i])
}

/// Relative humidity of half-damp air, fraction.
const HALF_DAMP: f64 = 0.5;

/// Moisture per humidity on the straight line from bone dry to a point of the isotherm.
#[inline(always)]
fn chord_to(moisture: f64, activity: f64) -> f64 {
    moisture / activity.max(f64::MIN_POSITIVE)
}

/// How fast a layer whose water could all be lost would use up the pull of the air that crosses it: the drop of
/// the pull across the layer over the pull of the leaving air, to first order. What a rise of the air's
/// humidity takes off the pull is the chord of the isotherm, to the nuts or to half-damp air where they are
/// drier: the upper end of what happens, which keeps thick layers stable.
#[inline(always)]
fn pulls_used_up<const N: usize>(
    state: &States<N>,
    nuts: &Nuts,
    (activity, binding_kj_per_kg): (&Lanes<N>, &Lanes<N>),
    air_per_dry_matter: f64,
    pressure_pa: f64,
) -> Lanes<N> {
    if air_per_dry_matter <= 0.0 {
        return [0.0; N];
    }
    let t_c: Lanes<N> = each!(i => within_saturation(state.temperature_c[i]));
    let saturation = saturation_pressures_pa(&t_c);
    let half_damp = nuts.equilibrium_moistures(&state.temperature_c, &[HALF_DAMP; N]);
    each!(i => {
        let moisture = state.moisture[i];
        let capacity = air_per_dry_matter * CP_DRY_AIR + nuts.heat_capacity(moisture);
        // Rise of the air's relative humidity per kg of water given up: by the water, and by the cooling.
        let by_water = pressure_pa / (RATIO_OF_MOLAR_MASSES * air_per_dry_matter * saturation[i]);
        let by_cooling =
            activity[i] * slope_of_ln_saturation(t_c[i]) * (LATENT_AT_ZERO + binding_kj_per_kg[i]) / capacity;
        let held_per_humidity = chord_to(moisture, activity[i]).max(chord_to(half_damp[i], HALF_DAMP));
        held_per_humidity * (by_water + by_cooling)
    })
}

/// Units below which the series of 1/(1 - e⁻ᴺ) - 1/N is exact to rounding, and the form itself is not.
const FEW_UNITS: f64 = 0.3;

/// Share of the leaving air in the mean air of a layer that uses up the pull of its air exponentially, by so
/// many units: y' = -N y has the mean y_in (1 - e⁻ᴺ)/N and leaves with y_in e⁻ᴺ. From a half (N = 0) to one.
///
/// Nuts that come to balance with the air within the step have no pull left, but the one state of the layer:
/// theirs is the balance with the leaving air. The square of the share lost leads there without touching
/// nuts that dry over many steps.
#[inline(always)]
fn share_of_leaving(units: f64, lost_share: f64) -> f64 {
    let few = if units > 0.0 { units } else { 0.0 };
    let square = few * few;
    // The terms B₂ₖ N²ᵏ⁻¹/(2k)! of Bernoulli's numbers.
    let higher = square * (1.0 / 30_240.0 - square * (1.0 / 1_209_600.0 - square / 47_900_160.0));
    let by_series = 0.5 + few * (1.0 / 12.0 - square * (1.0 / 720.0 - higher));
    let by_form = (1.0 / (1.0 - exp(-units)) - 1.0 / units).min(1.0);
    let by_pull = if units < FEW_UNITS { by_series } else { by_form };
    1.0 - (1.0 - by_pull) * (1.0 - lost_share * lost_share)
}

/// A layer, the air that enters it, and how much of it, for one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// The layer as it stands, with the place where the search for the water given up starts.
    pub(super) start: Layer,
    pub(super) ahead: Ahead,
    pub(super) inlet: AirState,
    /// kg of dry air in the step per kg of dry matter; more than none.
    pub(super) air_per_dry_matter: f64,
    pub(super) pressure_pa: f64,
    /// More than none.
    pub(super) hours: f64,
}

/// Crosses layers of like nuts that do not depend on each other: the air that leaves each, and the layer after it.
#[inline(always)]
pub(super) fn cross_abreast<const N: usize>(nuts: &Nuts, layers: &[Crossing; N]) -> [(AirState, Layer); N] {
    let step = Step::of(nuts, layers);
    let (given_up, slope) = step.water_given_up();
    let outlet = step.leaving_air(&given_up);
    std::array::from_fn(|i| {
        let start = layers[i].start;
        let after = Layer {
            moisture: start.moisture - given_up[i],
            temperature_c: outlet.dry_bulb_c[i],
            received_moisture: start.received_moisture,
            trace: Trace { given_up: given_up[i], slope: slope[i] },
        };
        (outlet.at(i), after)
    })
}

impl Layer {
    /// Share of the leaving air in the air that the nuts are taken to meet in a step of `hours`, the rest being
    /// entering air; half to one. `air_per_dry_matter` is kg of dry air in it per kg of dry matter.
    pub fn leaving_share(&self, nuts: &Nuts, air_per_dry_matter: f64, pressure_pa: f64, hours: f64) -> f64 {
        let [ahead] = Ahead::of([self], nuts, air_per_dry_matter, pressure_pa, hours);
        ahead.leaving_share
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
        if air_per_dry_matter <= 0.0 || hours <= 0.0 {
            return (inlet, *self);
        }
        let [ahead] = Ahead::of([self], nuts, air_per_dry_matter, pressure_pa, hours);
        let crossing = Crossing { start: *self, ahead, inlet, air_per_dry_matter, pressure_pa, hours };
        let [crossed] = cross_abreast(nuts, &[crossing]);
        crossed
    }
}

/// A search may try temperatures at which there is no saturation pressure; it meets the one at the end
/// of the range there, and turns back.
#[inline(always)]
fn within_saturation(temperature_c: f64) -> f64 {
    temperature_c.clamp(SATURATION_RANGE_C.0, SATURATION_RANGE_C.1)
}

/// Air at several places.
struct Airs<const N: usize> {
    dry_bulb_c: Lanes<N>,
    humidity_ratio: Lanes<N>,
}

impl<const N: usize> Airs<N> {
    #[inline(always)]
    fn at(&self, lane: usize) -> AirState {
        AirState { dry_bulb_c: self.dry_bulb_c[lane], humidity_ratio: self.humidity_ratio[lane] }
    }
}

/// Layers side by side in a step.
struct Step<'a, const N: usize> {
    nuts: &'a Nuts,
    start: States<N>,
    guess: Lanes<N>,
    slope: Lanes<N>,
    binding_kj_per_kg: Lanes<N>,
    leaving_share: Lanes<N>,
    inlet: Airs<N>,
    air_per_dry_matter: Lanes<N>,
    pressure_pa: Lanes<N>,
    hours: Lanes<N>,
    /// Enthalpy that air and nuts bring in, kJ per kg of dry matter.
    brought_kj: Lanes<N>,
}

impl<'a, const N: usize> Step<'a, N> {
    #[inline(always)]
    fn of(nuts: &'a Nuts, layers: &[Crossing; N]) -> Self {
        let start: States<N> = States::of(std::array::from_fn(|i| &layers[i].start));
        let inlet = Airs {
            dry_bulb_c: each!(i => layers[i].inlet.dry_bulb_c),
            humidity_ratio: each!(i => layers[i].inlet.humidity_ratio),
        };
        let air_per_dry_matter: Lanes<N> = each!(i => layers[i].air_per_dry_matter);
        let brought_kj = each!(i => {
            air_per_dry_matter[i] * enthalpy_kj_per_kg(inlet.dry_bulb_c[i], inlet.humidity_ratio[i])
                + nuts.enthalpy(start.moisture[i], start.temperature_c[i])
        });
        Self {
            nuts,
            guess: each!(i => layers[i].start.trace.given_up),
            slope: each!(i => layers[i].start.trace.slope),
            binding_kj_per_kg: each!(i => layers[i].ahead.binding_kj_per_kg),
            leaving_share: each!(i => layers[i].ahead.leaving_share),
            pressure_pa: each!(i => layers[i].pressure_pa),
            hours: each!(i => layers[i].hours),
            start,
            inlet,
            air_per_dry_matter,
            brought_kj,
        }
    }

    /// Air that leaves a layer that gives up `x` kg of water per kg of dry matter: the water balance,
    /// then the heat balance, which is linear in the leaving temperature.
    #[inline(always)]
    fn air_leaving(&self, lane: usize, x: f64) -> AirState {
        let a = self.air_per_dry_matter[lane];
        // All vapour taken is none left; rounding would leave less.
        let humidity_ratio = (self.inlet.humidity_ratio[lane] + x / a).max(0.0);
        let dry_bulb_c = (self.brought_kj[lane]
            - a * humidity_ratio * LATENT_AT_ZERO
            - x * self.binding_kj_per_kg[lane])
            / (a * (CP_DRY_AIR + CP_VAPOUR * humidity_ratio) + self.nuts.heat_capacity(self.start.moisture[lane] - x));
        AirState { dry_bulb_c, humidity_ratio }
    }

    /// The same of every layer.
    #[inline(always)]
    fn leaving_air(&self, x: &Lanes<N>) -> Airs<N> {
        Airs {
            dry_bulb_c: each!(i => self.air_leaving(i, x[i]).dry_bulb_c),
            humidity_ratio: each!(i => self.air_leaving(i, x[i]).humidity_ratio),
        }
    }

    /// The air that the nuts are taken to meet, where air leaves in these states.
    #[inline(always)]
    fn air_within(&self, leaving: &Airs<N>) -> Airs<N> {
        Airs {
            dry_bulb_c: self.mixed(&self.inlet.dry_bulb_c, &leaving.dry_bulb_c),
            humidity_ratio: self.mixed(&self.inlet.humidity_ratio, &leaving.humidity_ratio),
        }
    }

    #[inline(always)]
    fn mixed(&self, entering: &Lanes<N>, leaving: &Lanes<N>) -> Lanes<N> {
        each!(i => entering[i] + self.leaving_share[i] * (leaving[i] - entering[i]))
    }

    /// The water given up, kg per kg of dry matter (negative when the nuts take water up), and the
    /// slope of the residual there.
    #[inline(always)]
    fn water_given_up(&self) -> (Lanes<N>, Lanes<N>) {
        // The layer cannot give more than it holds, nor the air more than it carries.
        let low = each!(i => -self.inlet.humidity_ratio[i] * self.air_per_dry_matter[i]);
        let tolerance = each!(i => RATE_TOLERANCE * self.air_per_dry_matter[i].min(1.0));
        let bounds = (&low, &self.start.moisture);
        let (x, slope) = nearly_rising_roots(&self.guess, &self.slope, bounds, &tolerance, self);
        (self.saturating(x), slope)
    }

    /// The water given up at which the leaving air is just saturated, where it is less than `x`:
    /// beyond that, water condenses on the nuts instead.
    #[inline(always)]
    fn saturating(&self, x: Lanes<N>) -> Lanes<N> {
        let air = self.leaving_air(&x);
        let t_c: Lanes<N> = each!(i => within_saturation(air.dry_bulb_c[i]));
        let saturated = saturation_humidity_ratios(&t_c, &self.pressure_pa);
        if !any!(i => air.humidity_ratio[i] > saturated[i]) {
            return x;
        }
        each!(i => if air.humidity_ratio[i] > saturated[i] { self.saturating_in(i, x[i]) } else { x[i] })
    }

    /// The same of one layer whose air would be more than saturated at `x`.
    #[inline(never)]
    fn saturating_in(&self, lane: usize, x: f64) -> f64 {
        let a = self.air_per_dry_matter[lane];
        let given_up = |humidity_ratio: f64| a * (humidity_ratio - self.inlet.humidity_ratio[lane]);
        let over = |humidity_ratio: f64| {
            let air = self.air_leaving(lane, given_up(humidity_ratio));
            let saturated = saturation_humidity_ratio(within_saturation(air.dry_bulb_c), self.pressure_pa[lane]);
            air.humidity_ratio - saturated
        };
        let highest = self.inlet.humidity_ratio[lane] + x / a;
        given_up(rising_root(highest, 2.0, (0.0, highest), 1e-14, over).x)
    }
}

impl<const N: usize> Rising<N> for &Step<'_, N> {
    /// How far the water given up runs ahead of the thin-layer law in the air within each layer. Its relative
    /// humidity may exceed 1 while the search goes on.
    #[inline(always)]
    fn of(&mut self, x: &Lanes<N>) -> Lanes<N> {
        let within = self.air_within(&self.leaving_air(x));
        let t_c: Lanes<N> = each!(i => within_saturation(within.dry_bulb_c[i]));
        let saturation = saturation_pressures_pa(&t_c);
        let humidity: Lanes<N> = each!(i => {
            let vapour = vapour_pressure_pa(within.humidity_ratio[i], self.pressure_pa[i]);
            (vapour / saturation[i]).clamp(0.0, RH_CEILING)
        });
        let equilibrium = self.nuts.equilibrium_moistures(&within.dry_bulb_c, &humidity);
        let by_law = self.nuts.moistures_after(
            &self.start.moisture,
            &self.start.received_moisture,
            &equilibrium,
            &within.dry_bulb_c,
            &self.hours,
        );
        each!(i => by_law[i] - (self.start.moisture[i] - x[i]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both forms of the share meet, and are those of the closed form by exp(N) - 1.
    #[test]
    fn the_share_of_the_leaving_air_has_no_step() {
        for units in [1e-6, 1e-3, 0.01, 0.05, 0.2999999, 0.3000001, 2.0, 30.0] {
            let closed = 1.0 / -f64::exp_m1(-units) - 1.0 / units;
            let share = share_of_leaving(units, 0.0);
            assert!((share - closed).abs() < 1e-15 / units + 1e-14, "{units}: {share} {closed}");
        }
        assert_eq!(share_of_leaving(0.0, 0.0), 0.5);
        assert_eq!(share_of_leaving(0.0, 1.0), 1.0);
    }
}
