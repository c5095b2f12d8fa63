//! What a source makes of what it takes: heat that nobody pays for comes in, and some of what was paid for is
//! lost on the way.

use super::{Drawn, FreeHeat, Origin, Source};

/// Free heat and loss of a source over some time: heat + loss = electricity + fuel + free heat.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Conversion {
    /// Heat that came in free, kWh; at least 0.
    pub free_kwh: f64,
    /// What was taken and did not become heat for the air, kWh; at least 0. Of a heat store also what it
    /// lost and what it still holds.
    pub lost_kwh: f64,
}

impl Source {
    /// Where its free heat comes from; `None` for one that has none. `others` are the sources of its stack:
    /// a heat store has its heat from the one that charges it.
    pub fn free_heat(&self, others: &[Self]) -> Option<FreeHeat> {
        match self.kind.says().origin() {
            Origin::Nowhere => None,
            Origin::Of(free) => Some(free),
            Origin::OfCharger(charger) => others
                .iter()
                .find(|other| other.name == charger && other.name != self.name)
                .and_then(|charger| charger.free_heat(&[])),
        }
    }

    /// What it made of what it took over some time;
    pub fn conversion(&self, sum: &Drawn) -> Conversion {
        let taken_kwh = sum.electricity_kwh + sum.fuel_kwh;
        if self.is_passive() {
            // What it takes drives a fan and warms nothing.
            return Conversion { free_kwh: sum.heat_kwh, lost_kwh: taken_kwh };
        }
        if self.kind.says().is_store() {
            return Conversion {
                free_kwh: (sum.charged_kwh - taken_kwh).max(0.0),
                lost_kwh: taken_kwh.max(sum.charged_kwh) - sum.heat_kwh,
            };
        }
        Conversion { free_kwh: (sum.heat_kwh - taken_kwh).max(0.0), lost_kwh: (taken_kwh - sum.heat_kwh).max(0.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Burner, Collector, Effectiveness, Exchanger, HeatPump, HeatStore, Kind, Resistance};
    use super::*;

    fn source(name: &str, kind: Kind) -> Source {
        Source::new(name, 30.0, kind)
    }

    fn exchanger() -> Source {
        let exchanger = Exchanger {
            effectiveness: Effectiveness::Stated(0.6),
            leak: 0.0,
            fan_kw_per_kg_per_s: 0.3,
            frost_limit_c: 0.0,
        };
        source("exchanger", Kind::Exchanger(exchanger))
    }

    fn burner() -> Source {
        let burner = Burner { carrier: "lpg".into(), efficiency: 0.8, electricity_share: 0.01 };
        source("burner", Kind::Burner(burner))
    }

    fn tank(charged_by: &str) -> Source {
        let store = HeatStore {
            capacity_kwh: 100.0,
            charge_kw: 10.0,
            loss_per_hour: 0.01,
            temperature_c: 70.0,
            charged_by: charged_by.into(),
            fuel: None,
            charge_up_to_price: 0.1,
            discharge_from_price: 0.2,
        };
        source("tank", Kind::HeatStore(store))
    }

    fn drawn(heat_kwh: f64, electricity_kwh: f64, fuel_kwh: f64, charged_kwh: f64) -> Drawn {
        Drawn { heat_kwh, electricity_kwh, fuel_kwh, charged_kwh, water_kg: 0.0 }
    }

    #[test]
    fn each_source_closes_its_own_balance() {
        let pump = || source("pump", Kind::HeatPump(HeatPump::USUAL));
        let cases = [
            (exchanger(), drawn(624.0, 90.0, 0.0, 0.0), 624.0, 90.0),
            (burner(), drawn(800.0, 8.0, 1000.0, 0.0), 0.0, 208.0),
            (pump(), drawn(300.0, 100.0, 0.0, 0.0), 200.0, 0.0),
            (source("rods", Kind::Resistance(Resistance)), drawn(70.0, 70.0, 0.0, 0.0), 0.0, 0.0),
            // A tank charged by a heat pump with 90 from 30; it gave 70 and lost or holds 20.
            (tank("pump"), drawn(70.0, 30.0, 0.0, 90.0), 60.0, 20.0),
            // A tank charged by a boiler with 80 from 100: the boiler's loss is the tank's too.
            (tank("burner"), drawn(70.0, 0.0, 100.0, 80.0), 0.0, 30.0),
        ];
        for (source, sum, free_kwh, lost_kwh) in cases {
            let found = source.conversion(&sum);
            assert_eq!(found, Conversion { free_kwh, lost_kwh }, "{}", source.name);
            let into = sum.electricity_kwh + sum.fuel_kwh + found.free_kwh;
            assert!((into - sum.heat_kwh - found.lost_kwh).abs() < 1e-9, "{}", source.name);
        }
    }

    #[test]
    fn a_tank_has_its_free_heat_from_what_charges_it() {
        let stack = [source("pump", Kind::HeatPump(HeatPump::USUAL)), tank("pump"), burner()];
        assert_eq!(stack[1].free_heat(&stack), Some(FreeHeat::OutsideAir));
        assert_eq!(tank("burner").free_heat(&stack), None);
        assert_eq!(tank("tank").free_heat(&stack), None);
        let roof = Collector {
            area_m2: 100.0,
            effective_absorptance: 0.6,
            loss_w_per_m2_k: 6.0,
            tilt_deg: 15.0,
            azimuth_deg: 0.0,
            fan_kw: 0.4,
        };
        assert_eq!(source("roof", Kind::Collector(roof)).free_heat(&stack), Some(FreeHeat::Sun));
        assert_eq!(exchanger().free_heat(&stack), Some(FreeHeat::LeavingAir));
    }
}
