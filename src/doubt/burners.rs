//! How much of its fuel a burner turns into heat: less than an open fire, or more than the flue leaves.

use super::Doubts;
use crate::money::Fuel;

/// Efficiency of a burner or a boiler below this is that of an open fire, or a figure of another year's fuel (common
/// practice, no published source: old wood boilers reach some 0.6, burners in the air nearly 1).
const POOR: f64 = 0.45;
/// All of the lower heating value: what a burner gives whose flue is cold and dry (by the definition of that value). Given
/// as just this it is more often a figure that nobody looked up, or one of the higher value.
const ALL_OF_LOWER: f64 = 1.0;
/// A burner of wood or shell above this share loses less through its flue and its ash than any without a condenser (common
/// practice, no published source: 0.70 to 0.92).
const BEST_OF_SOLID: f64 = 0.95;

/// What burns, by how its heat reaches the air.
#[derive(Clone, Copy, PartialEq)]
enum Fire {
    /// In the drying air itself, where nothing but unburnt fuel is lost.
    Open,
    /// Of gas or oil behind a heat exchanger or in a boiler.
    Flued,
    /// Of wood or shell.
    Solid,
}

impl Doubts<'_> {
    /// Burners and boilers that turn hardly any of their fuel into heat, or all of it.
    pub(super) fn efficiencies(&mut self) {
        let fires = self.fires();
        for (path, share) in fires {
            let (key, fire) = (path.rsplit('.').next().unwrap_or_default(), self.fire_of(&path));
            if share < POOR {
                let what = format!(
                    "{key} is {share}; boilers reach 0.6 to 0.95 of the lower heating value, burners in the air nearly 1"
                );
                self.doubt("source.efficiency", &path, what, "85 % is 0.85");
            } else if fire == Fire::Solid && share > BEST_OF_SOLID {
                let what = format!(
                    "{key} is {share} of the lower heating value; a furnace or boiler of wood or shell reaches 0.70 to 0.92, and 1 is a fire without flue losses"
                );
                let cure = "give what its test says on the lower heating value; only one that condenses the water of its flue gas passes 0.95";
                self.doubt("source.efficiency", &path, what, cure);
            } else if fire == Fire::Flued {
                self.flued(&path, key, share);
            }
        }
    }

    /// Efficiencies that the study gives or takes, by their path.
    fn fires(&self) -> Vec<(String, f64)> {
        let keys = [".efficiency", ".boiler_efficiency"].into_iter();
        let each = keys.flat_map(|key| {
            let of_key = self.of_each("source.", key).into_iter();
            of_key.map(move |(name, share)| (format!("source.{name}{key}"), share))
        });
        each.collect()
    }

    fn fire_of(&self, path: &str) -> Fire {
        let source = path.rsplit_once('.').map_or(path, |(source, _)| source);
        match self.word(&format!("{source}.kind")) {
            Some("direct-burner") => Fire::Open,
            Some("biomass") => Fire::Solid,
            _ if self.burnt_in(source).is_some_and(|fuel| fuel.biogenic_kg_per_kwh() > 0.0) => Fire::Solid,
            _ => Fire::Flued,
        }
    }

    /// What is known of the fuel that a source burns.
    fn burnt_in(&self, source: &str) -> Option<&'static Fuel> {
        let carrier = self.word(&format!("{source}.carrier"))?;
        Fuel::named(&self.study.carriers.fuels.get(carrier)?.fuel)
    }

    fn flued(&mut self, path: &str, key: &str, share: f64) {
        let source = path.rsplit_once('.').map_or(path, |(source, _)| source);
        let fuel = self.burnt_in(source);
        let most = fuel.map(|fuel| (fuel, fuel.higher_mj_per_kg.value / fuel.lower_mj_per_kg.value));
        if let Some((fuel, most)) = most.filter(|(_, most)| share > *most) {
            let what = format!(
                "{key} is {share} of the lower heating value; {} holds {most:.2} times that with all the water of its flue gas condensed",
                fuel.name
            );
            let cure =
                "give heat over the lower heating value: a plain heater 0.75 to 0.9, one that condenses 0.95 to 1.05";
            self.doubt("source.efficiency", path, what, cure);
        } else if (share - ALL_OF_LOWER).abs() < 1e-9 {
            let what = format!(
                "{key} is 1: all of the lower heating value, which only a heater or boiler reaches that condenses the water of its flue gas"
            );
            let cure = "give what its test says on the lower heating value: a plain heater 0.75 to 0.9, one that condenses 0.95 to 1.05, such as 0.99";
            self.doubt("source.efficiency", path, what, cure);
        }
    }
}
