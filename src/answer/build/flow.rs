//! Where each kWh of an option goes, from its accounts and its sources.

use super::reckoned::Reckoned;
use crate::air::LATENT_AT_ZERO;
use crate::answer::figures::{FlowFigures, FreeHeatFrom, SourceFigures};
use crate::ledger::Account;

/// Sums of a mean season, kWh, as the ledger signs them.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    fans: f64,
    fan_heat: f64,
    lights: f64,
    gains: f64,
    store: f64,
    rejected: f64,
    into_air: f64,
    ventilation: f64,
    envelope: f64,
    warming: f64,
    binding: f64,
    evaporated_kg: f64,
}

pub(super) fn flow(option: &Reckoned<'_>, sources: &[SourceFigures]) -> FlowFigures {
    Sums {
        fans: option.mean(Account::fan_kwh),
        fan_heat: option.mean(|account| account.fan_heat_kwh),
        lights: option.mean(|account| account.lights_kwh),
        gains: option.mean(|account| account.gains_kwh),
        store: option.mean(|account| account.store_kwh),
        rejected: option.mean(|account| account.store_units_kwh + account.store_cooling_kwh),
        into_air: option.mean(|account| account.credit.useful_kwh + account.purged_kwh),
        ventilation: option.mean(|account| account.ventilation_kwh),
        envelope: option.mean(|account| account.envelope_kwh),
        warming: option.mean(|account| account.warming_kwh),
        binding: option.mean(|account| account.binding_kwh),
        evaporated_kg: option.mean(|account| account.evaporated_kg),
    }
    .placed(sources)
}

impl Sums {
    /// Each sum on the side of the drying air on which it stands.
    fn placed(self, sources: &[SourceFigures]) -> FlowFigures {
        let source_heat: f64 = sources.iter().map(|source| source.heat_kwh).sum();
        let from_water = |source: &&SourceFigures| source.free_heat_from == Some(FreeHeatFrom::CondenserWater);
        let to_pumps: f64 = sources.iter().filter(from_water).map(|source| source.free_heat_kwh).sum();
        let evaporation = self.evaporated_kg * LATENT_AT_ZERO / 3600.0;
        let extracted = self.ventilation - evaporation;
        let (out, into) = (|kwh: f64| kwh.max(0.0), |kwh: f64| (-kwh).max(0.0));
        let mut flow = FlowFigures {
            fans_kwh: self.fans,
            fan_heat_kwh: self.fan_heat,
            fan_loss_kwh: out(self.fans - self.fan_heat),
            lights_kwh: self.lights,
            people_kwh: out(self.gains - self.lights),
            store_electricity_kwh: self.store,
            store_load_kwh: out(self.rejected - self.store),
            rejected_kwh: self.rejected,
            rejected_to_air_kwh: self.into_air,
            rejected_to_pumps_kwh: to_pumps,
            rejected_to_outdoors_kwh: out(self.rejected - self.into_air - to_pumps),
            nuts_cooling_kwh: into(self.warming),
            envelope_gain_kwh: into(self.envelope),
            outside_air_kwh: into(extracted),
            evaporation_kwh: evaporation,
            extracted_air_kwh: out(extracted),
            envelope_kwh: out(self.envelope),
            warming_kwh: out(self.warming),
            desorption_kwh: out(self.binding),
            air_in_kwh: 0.0,
            air_out_kwh: 0.0,
        };
        flow.air_in_kwh = source_heat
            + flow.fan_heat_kwh
            + self.gains
            + flow.rejected_to_air_kwh
            + flow.nuts_cooling_kwh
            + flow.envelope_gain_kwh
            + flow.outside_air_kwh;
        flow.air_out_kwh =
            flow.evaporation_kwh + flow.extracted_air_kwh + flow.envelope_kwh + flow.warming_kwh + flow.desorption_kwh;
        flow
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 100 kWh of evaporation at 0 °C.
    const WATER_KG: f64 = 100.0 * 3600.0 / LATENT_AT_ZERO;

    fn sums() -> Sums {
        Sums {
            fans: 8.0,
            fan_heat: 7.0,
            lights: 0.8,
            gains: 1.0,
            store: 20.0,
            rejected: 60.0,
            into_air: 40.0,
            ventilation: 130.0,
            envelope: 10.0,
            warming: 5.0,
            binding: 3.0,
            evaporated_kg: WATER_KG,
        }
    }

    fn heater() -> SourceFigures {
        SourceFigures { heat_kwh: 100.0, electricity_kwh: 100.0, ..SourceFigures::default() }
    }

    #[test]
    fn evaporation_stands_apart_from_the_heat_of_extracted_air() {
        let flow = sums().placed(&[heater()]);
        assert!((flow.evaporation_kwh - 100.0).abs() < 1e-9);
        assert!((flow.extracted_air_kwh - 30.0).abs() < 1e-9);
        assert!((flow.air_in_kwh - 148.0).abs() < 1e-9);
        assert!((flow.air_out_kwh - 148.0).abs() < 1e-9);
        assert_eq!(flow.outside_air_kwh, 0.0);
    }

    /// Air that leaves colder than it came has given its warmth to the water; nuts that leave colder gave theirs.
    #[test]
    fn what_leaves_colder_than_it_came_has_given_heat() {
        let sums = Sums { ventilation: 62.0, warming: -5.0, envelope: -1.0, ..sums() };
        let flow = sums.placed(&[SourceFigures { heat_kwh: 11.0, ..heater() }]);
        assert!((flow.outside_air_kwh - 38.0).abs() < 1e-9);
        assert_eq!(flow.extracted_air_kwh, 0.0);
        assert_eq!((flow.nuts_cooling_kwh, flow.warming_kwh), (5.0, 0.0));
        assert_eq!((flow.envelope_gain_kwh, flow.envelope_kwh), (1.0, 0.0));
        assert!((flow.air_in_kwh - flow.air_out_kwh).abs() < 1e-9);
    }

    #[test]
    fn heat_that_a_pump_takes_from_the_condensers_water_does_not_go_outdoors() {
        let pump = SourceFigures {
            heat_kwh: 20.0,
            electricity_kwh: 5.0,
            free_heat_kwh: 15.0,
            free_heat_from: Some(FreeHeatFrom::CondenserWater),
            ..SourceFigures::default()
        };
        let flow = sums().placed(&[pump]);
        assert_eq!(flow.rejected_to_pumps_kwh, 15.0);
        assert_eq!(flow.rejected_to_outdoors_kwh, 5.0);
        assert_eq!(flow.store_electricity_kwh + flow.store_load_kwh, flow.rejected_kwh);
    }
}
