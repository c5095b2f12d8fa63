//! Growth: the same study with more nuts and a larger plant.

use super::plant::{Heating, Intake, Plant};
use crate::dryer::BinSpec;

/// One step of growth, always told against the study as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct GrowthPhase {
    /// Name in the study.
    pub name: String,
    /// Received tonnes of each day times this.
    pub intake_factor: f64,
    /// Bins that are built besides those there are, each with the place of its room, from 0.
    pub bins_added: Vec<(usize, BinSpec)>,
    /// Heat capacity of sources times this: names of the study's sources, and the factor for all that
    /// are not named.
    pub capacity_factors: CapacityFactors,
    /// Most fresh air of every recirculating room times this.
    pub fresh_air_factor: f64,
    /// The cool store times this, as if so many stood side by side: volume, envelope, doors, units, fans
    /// and lights.
    pub store_factor: f64,
    /// A source's own supply of fuel times this; shell and husk come with the nuts.
    pub own_supply_factor: f64,
}

/// How much larger the sources of heat become.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacityFactors {
    /// For every source that is not named.
    pub others: f64,
    /// By the name of a source.
    pub named: Vec<(String, f64)>,
}

impl CapacityFactors {
    fn of(&self, source: &str) -> f64 {
        self.named.iter().find(|(name, _)| name == source).map_or(self.others, |(_, factor)| *factor)
    }
}

/// A plant, its options and its nuts after a phase of growth.
#[derive(Clone, Debug, PartialEq)]
pub struct Grown {
    /// The plant.
    pub plant: Plant,
    /// The options, in the order in which they were given.
    pub heatings: Vec<Heating>,
    /// The nuts that come.
    pub intake: Intake,
}

impl GrowthPhase {
    /// Plant, options and intake after it.
    pub fn grow(&self, plant: &Plant, heatings: &[Heating], intake: &Intake) -> Grown {
        Grown {
            plant: self.grow_plant(plant),
            heatings: heatings.iter().map(|heating| self.grow_heating(heating)).collect(),
            intake: intake.times(self.intake_factor),
        }
    }

    fn grow_plant(&self, plant: &Plant) -> Plant {
        let mut grown = plant.clone();
        for (place, room) in plant.rooms().enumerate() {
            let added = self.bins_added.iter().filter(|(in_room, _)| *in_room == place);
            let there_are = room.bins.iter().copied();
            let bins: Vec<BinSpec> = there_are.chain(added.map(|(_, bin)| *bin)).collect();
            if let Some(grown) = grown.room_mut(place) {
                *grown = room.with_bins(bins);
                grown.fresh_air_max_m3_per_s *= self.fresh_air_factor;
            }
        }
        if let Some(store) = &mut grown.store {
            let factor = self.store_factor;
            store.envelope_ua_w_per_k *= factor;
            store.volume_m3 *= factor;
            store.gains_kw *= factor;
            store.fan_kw *= factor;
            store.lights_kw *= factor;
            store.fabric_kj_per_k *= factor;
            if let Some(doors) = &mut store.doors {
                doors.area_m2 *= factor;
            }
            // Larger units rather than a fraction of one more.
            store.units.performance = store.units.performance.times(factor);
        }
        grown
    }

    fn grow_heating(&self, heating: &Heating) -> Heating {
        let mut grown = heating.clone();
        for source in &mut grown.sources {
            source.grow(self.capacity_factors.of(&source.name));
            source.grow_own_supply(self.own_supply_factor);
        }
        grown
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::MoistAir;
    use crate::cool_store::{Doors, Placement};
    use crate::heat::{Biomass, Kind, Resistance, Source};
    use crate::season::Calling;

    #[test]
    fn bins_are_built_in_the_room_that_is_named_and_all_rooms_get_the_air() {
        let mut plant = crate::season::tests::plant();
        let mut second = plant.rooms[0].clone();
        second.bins.truncate(1);
        plant.rooms.push(second);
        plant.hand_overs.push(crate::season::HandOver { at_moisture: 0.15, hours: 0.0 });
        let bin = BinSpec { capacity_t: 2.5, floor_area_m2: 3.0 };
        let phase = GrowthPhase {
            name: "more".into(),
            intake_factor: 1.0,
            bins_added: vec![(1, bin), (1, bin), (0, bin)],
            capacity_factors: CapacityFactors { others: 1.0, named: Vec::new() },
            fresh_air_factor: 1.5,
            store_factor: 1.0,
            own_supply_factor: 1.0,
        };
        let grown = phase.grow_plant(&plant);
        let added: Vec<usize> =
            plant.rooms().zip(grown.rooms()).map(|(before, after)| after.bins.len() - before.bins.len()).collect();
        assert_eq!(added, [1, 2]);
        for (before, after) in plant.rooms().zip(grown.rooms()) {
            assert_eq!(after.bins.last(), Some(&bin));
            let times = after.fresh_air_max_m3_per_s / before.fresh_air_max_m3_per_s;
            assert!((times - 1.5).abs() < 1e-12);
        }
    }

    /// Twice the store is two side by side: all that warms, cools or airs it is there twice, doors too.
    #[test]
    fn a_store_grows_with_its_doors() {
        let mut plant = crate::season::tests::plant();
        let doors = Doors { area_m2: 9.0, height_m: 3.0, open_share: 0.05, held_back: 0.5 };
        if let Some(store) = &mut plant.store {
            store.doors = Some(doors);
        }
        let phase = GrowthPhase {
            name: "twice".into(),
            intake_factor: 2.0,
            bins_added: Vec::new(),
            capacity_factors: CapacityFactors { others: 1.0, named: Vec::new() },
            fresh_air_factor: 1.0,
            store_factor: 2.0,
            own_supply_factor: 1.0,
        };
        let grown = phase.grow_plant(&plant).store.and_then(|store| store.doors);
        let air = |t: f64| MoistAir::from_relative_humidity(t, 0.5, 95_000.0).expect("air");
        let through = |doors: Doors| doors.exchange_kg_per_s(&air(30.0), &air(20.0));
        let times = through(grown.expect("doors")) / through(doors);
        assert!((times - 2.0).abs() < 1e-12, "{times}");
    }

    #[test]
    fn a_named_source_grows_by_its_own_factor_and_its_fuel_with_the_nuts() {
        let phase = GrowthPhase {
            name: "twice".into(),
            intake_factor: 2.0,
            bins_added: Vec::new(),
            capacity_factors: CapacityFactors { others: 1.5, named: vec![("shell".into(), 3.0)] },
            fresh_air_factor: 1.0,
            store_factor: 1.0,
            own_supply_factor: 2.0,
        };
        let source = |name: &str, kind| Source::new(name, 40.0, kind);
        let grown = phase.grow_heating(&Heating {
            name: "both".into(),
            condensers: Placement::Outdoors.into(),
            condensers_room: 0,
            calling: Calling::Ordered,
            sources: vec![
                source(
                    "shell",
                    Kind::Biomass(Biomass {
                        carrier: "shell".into(),
                        efficiency: 0.7,
                        electricity_share: 0.0,
                        own_supply_kwh: Some(1000.0),
                    }),
                ),
                source("top-up", Kind::Resistance(Resistance)),
            ],
        });
        assert_eq!(grown.sources[0].capacity_kw, 120.0);
        assert_eq!(grown.sources[1].capacity_kw, 60.0);
        let Kind::Biomass(shell) = &grown.sources[0].kind else { panic!("still shell") };
        assert_eq!(shell.own_supply_kwh, Some(2000.0));
    }
}
