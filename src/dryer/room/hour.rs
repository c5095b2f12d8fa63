//! What a room did in a step, and the books of it.

use super::supply::Ask;
use crate::dryer::bin::Bin;
use crate::dryer::fan_bank::OffCurve;
use crate::dryer::passed::Passed;

/// What a room did in a step. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RoomHour {
    /// Batches drying.
    pub bins_drying: usize,
    /// Of which with fans that damp air stopped, as bins over the step or bin-hours.
    pub bins_stopped: f64,
    /// Bins whose fans are off their curve.
    pub off_curve: OffCurve,
    /// Temperature of the room (recirculating) or mean of the heated air (once-through), °C.
    pub air_c: f64,
    /// Hottest air that met nuts, °C.
    pub hottest_c: f64,
    /// Relative humidity of the same air, fraction.
    pub relative_humidity: f64,
    /// What the supply was asked, in the state that was settled on.
    pub asked: Ask,
    /// Heat lacking at the set temperature before any source and before recovered heat, kW.
    pub heat_need_kw: f64,
    /// Air that met nuts below its set temperature, mean over the air, K: heat was short.
    pub below_set_k: f64,
    /// Heat that sources and recovered heat gave towards it, kW.
    pub heat_given_kw: f64,
    /// Recovered heat released in the room beyond the need and purged with outside air, kW.
    pub purged_kw: f64,
    /// Fresh air, kg of dry air per second.
    pub fresh_air_kg_per_s: f64,
    /// Water evaporated, kg, in drying and in cooling bins.
    pub evaporated_kg: f64,
    /// Of which in cooling bins, kg.
    pub cooling_evaporated_kg: f64,
    /// Fresh air as it met the nuts that dry: in a recirculating room, the room's air.
    pub met_nuts: Passed,
    /// Fresh air as it left the plant.
    pub left: Passed,
    /// Outside air that cooled bins, as it left them.
    pub left_cooling: Passed,
    /// Of which settled on the surfaces of a saturated room, because no fresh air could carry it, kg.
    pub condensed_kg: f64,
    /// Electricity of the bin fans, kW.
    pub bin_fan_kw: f64,
    /// Electricity of the extraction fan, kW.
    pub extraction_fan_kw: f64,
    /// Electricity of the lights, kW.
    pub lights_kw: f64,
    /// Fan heat that stayed in the air that dries or cools, kW.
    pub fan_heat_kw: f64,
    /// Lights and people, kW.
    pub gains_kw: f64,
    /// Water that sources gave to the air, kg; less than zero where they condensed it out.
    pub source_water_kg: f64,
    /// Enthalpy of that water as vapour, kW.
    pub source_water_kw: f64,
    /// Enthalpy that extracted or exhausted air and condensed water carry off above the outside air's
    /// and that of the vapour which sources gave, kW.
    pub ventilation_kw: f64,
    /// Loss through the envelope, kW.
    pub envelope_kw: f64,
    /// Warming of nuts, held water and steel, kW (with the liquid water that left them).
    pub warming_kw: f64,
    /// Heat that freed bound water beyond free water's latent heat, kW.
    pub binding_kw: f64,
    /// Water in less water out of the step, kg; what the balance failed to close.
    pub water_residual_kg: f64,
    /// Energy in less energy out of the step, kWh; what the balance failed to close.
    pub energy_residual_kwh: f64,
}

/// Water and heat held by all batches: what an audit compares before and after a step.
pub(super) struct Held {
    water_kg: f64,
    enthalpy_kj: f64,
}

impl Held {
    pub(super) fn of(bins: &[Bin]) -> Self {
        let loads = || bins.iter().filter_map(|bin| bin.load.as_ref());
        Self {
            water_kg: loads().map(|load| load.bed.water_kg()).sum(),
            enthalpy_kj: loads().map(|load| load.bed.enthalpy_kj(&load.nuts)).sum(),
        }
    }
}

impl RoomHour {
    /// Adds a step of `hours` to an hour's account: powers weighted by time, masses summed, states as
    /// the last step left them.
    pub fn add(&mut self, step: &Self, hours: f64) {
        // All that there is, so that none is left out; what was asked is of a step alone.
        let Self {
            bins_drying,
            bins_stopped,
            off_curve,
            air_c,
            hottest_c,
            relative_humidity,
            asked: _,
            heat_need_kw,
            below_set_k,
            heat_given_kw,
            purged_kw,
            fresh_air_kg_per_s,
            evaporated_kg,
            cooling_evaporated_kg,
            met_nuts,
            left,
            left_cooling,
            condensed_kg,
            bin_fan_kw,
            extraction_fan_kw,
            lights_kw,
            fan_heat_kw,
            gains_kw,
            source_water_kg,
            source_water_kw,
            ventilation_kw,
            envelope_kw,
            warming_kw,
            binding_kw,
            water_residual_kg,
            energy_residual_kwh,
        } = *step;
        self.bins_drying = self.bins_drying.max(bins_drying);
        self.bins_stopped += bins_stopped * hours;
        self.off_curve = off_curve;
        self.air_c = air_c;
        self.hottest_c = self.hottest_c.max(hottest_c);
        self.relative_humidity = relative_humidity;
        self.heat_need_kw += heat_need_kw * hours;
        self.below_set_k += below_set_k * hours;
        self.heat_given_kw += heat_given_kw * hours;
        self.purged_kw += purged_kw * hours;
        self.fresh_air_kg_per_s += fresh_air_kg_per_s * hours;
        self.evaporated_kg += evaporated_kg;
        self.cooling_evaporated_kg += cooling_evaporated_kg;
        self.met_nuts.add(&met_nuts);
        self.left.add(&left);
        self.left_cooling.add(&left_cooling);
        self.source_water_kg += source_water_kg;
        self.source_water_kw += source_water_kw * hours;
        self.condensed_kg += condensed_kg;
        self.bin_fan_kw += bin_fan_kw * hours;
        self.extraction_fan_kw += extraction_fan_kw * hours;
        self.lights_kw += lights_kw * hours;
        self.fan_heat_kw += fan_heat_kw * hours;
        self.gains_kw += gains_kw * hours;
        self.ventilation_kw += ventilation_kw * hours;
        self.envelope_kw += envelope_kw * hours;
        self.warming_kw += warming_kw * hours;
        self.binding_kw += binding_kw * hours;
        self.water_residual_kg += water_residual_kg;
        self.energy_residual_kwh += energy_residual_kwh;
    }

    /// Closes the step's books from the states of the nuts themselves, not from what the solver
    /// believed: water and energy that came in less those found again.
    pub(super) fn audit(&mut self, before: &Held, after: &Held, hours: f64) {
        self.water_residual_kg += before.water_kg - after.water_kg - self.evaporated_kg;
        let nuts_kw = (after.enthalpy_kj - before.enthalpy_kj) / (hours * 3600.0);
        self.warming_kw += nuts_kw;
        let came_in = self.heat_given_kw + self.purged_kw + self.fan_heat_kw + self.gains_kw;
        let found = self.ventilation_kw + self.envelope_kw + self.warming_kw + self.binding_kw;
        self.energy_residual_kwh = (came_in - found) * hours;
    }
}
