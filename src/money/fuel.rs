//! Fuels: heating value on both bases, density, carbon; each figure with its source and standing.
//!
//! Energy of a fuel is counted here on its **lower** heating value (water leaves as vapour), as boiler
//! and heater efficiencies and carbon factors are. A figure on the higher basis says so.

use std::fmt;

/// How far a published figure was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Read in the source named.
    Read,
    /// Quoted from memory; the source named is believed right but was not read.
    FromMemory,
    /// Computed from the sources named.
    Derived,
    /// Computed from figures of which at least one is quoted from memory.
    DerivedFromMemory,
}

/// A figure with its source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sourced {
    /// The figure, in the unit its field states.
    pub value: f64,
    /// How far it was checked.
    pub standing: Standing,
    /// Where it comes from.
    pub source: &'static str,
}

impl fmt::Display for Sourced {
    /// The source and its standing, as a report prints them.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let standing = match self.standing {
            Standing::Read => "",
            Standing::FromMemory => " (from memory, not verified)",
            Standing::Derived => " (derived)",
            Standing::DerivedFromMemory => " (derived from figures from memory, not verified)",
        };
        write!(f, "{}{standing}", self.source)
    }
}

/// Which heating value a quantity of energy is counted on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeatingBasis {
    /// Lower (net): the water of combustion leaves as vapour.
    Lower,
    /// Higher (gross): the water of combustion is condensed. Gas is mostly billed so.
    Higher,
}

/// What a carrier is sold by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Kilowatt-hour.
    KilowattHour,
    /// Gigajoule.
    Gigajoule,
    /// Kilogram.
    Kilogram,
    /// Tonne.
    Tonne,
    /// Litre of liquid.
    Litre,
    /// Cubic metre of gas at 15 °C and 101.325 kPa.
    CubicMetre,
}

impl Unit {
    /// Every unit with how it is written.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("kWh", Self::KilowattHour),
        ("GJ", Self::Gigajoule),
        ("kg", Self::Kilogram),
        ("t", Self::Tonne),
        ("L", Self::Litre),
        ("m3", Self::CubicMetre),
    ];

    /// How the unit is shown.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::KilowattHour => "kWh",
            Self::Gigajoule => "GJ",
            Self::Kilogram => "kg",
            Self::Tonne => "t",
            Self::Litre => "L",
            Self::CubicMetre => "m³",
        }
    }
}

/// A fuel with published figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuel {
    /// How a study names it.
    pub name: &'static str,
    /// Lower heating value, MJ/kg as burnt.
    pub lower_mj_per_kg: Sourced,
    /// Higher heating value, MJ/kg as burnt.
    pub higher_mj_per_kg: Sourced,
    /// Density as sold, kg/L of liquid or kg/m³ of gas at 15 °C and 101.325 kPa, where it is sold so.
    pub density: Option<Density>,
    /// Greenhouse gases of combustion, kg CO₂-equivalent per GJ on the lower heating value, biogenic
    /// CO₂ left out.
    pub carbon_kg_per_gj: ByBurner,
    /// Biogenic CO₂, kg per GJ on the lower heating value; 0 for fossil fuels. Reported apart.
    pub biogenic_kg_per_gj: Sourced,
}

/// What kind of burner a fuel is burnt in: how much methane is left over depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BurnerClass {
    /// Agricultural and commercial burners (IPCC 2006 guidelines, vol. 2, tables 2.4 and 2.5).
    Agriculture,
    /// Burners of energy and manufacturing industries (tables 2.2 and 2.3).
    Industry,
}

impl BurnerClass {
    /// Every class with how it is written.
    pub const WORDS: [(&'static str, Self); 2] = [("agriculture", Self::Agriculture), ("industry", Self::Industry)];
}

/// A figure for each class of burner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ByBurner {
    /// Of [`BurnerClass::Agriculture`].
    pub agriculture: Sourced,
    /// Of [`BurnerClass::Industry`].
    pub industry: Sourced,
}

impl ByBurner {
    /// The figure of a class.
    pub const fn of(&self, class: BurnerClass) -> &Sourced {
        match class {
            BurnerClass::Agriculture => &self.agriculture,
            BurnerClass::Industry => &self.industry,
        }
    }
}

/// How much a volume sold weighs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Density {
    /// kg/L.
    Liquid(Sourced),
    /// kg/m³ at 15 °C and 101.325 kPa.
    Gas(Sourced),
}

/// Global warming potential of methane and of nitrous oxide over 100 years, IPCC Fifth Assessment
/// Report (2013), without climate feedback (from memory, not verified).
const WARMING_OF_METHANE: f64 = 28.0;
const WARMING_OF_NITROUS_OXIDE: f64 = 265.0;

/// The set of warming potentials, as a report names it.
pub const WARMING_POTENTIALS: &str =
    "100-year warming potentials of the IPCC's Fifth Assessment Report (AR5): methane 28, nitrous oxide 265";

/// kg CO₂-equivalent per GJ from the three factors of IPCC 2006 guidelines, vol. 2, tables 2.2 to 2.5,
/// in kg/TJ on the lower heating value. Give 0 for biogenic CO₂.
pub const fn carbon_kg_per_gj(co2: f64, methane: f64, nitrous_oxide: f64) -> f64 {
    (co2 + methane * WARMING_OF_METHANE + nitrous_oxide * WARMING_OF_NITROUS_OXIDE) / 1000.0
}

/// Latent heat of water at 25 °C, MJ/kg.
const LATENT_MJ_PER_KG: f64 = 2.443;

/// Lower heating value of a solid biomass as burnt, MJ/kg: the dry matter's share less the heat that
/// its water takes away, `H_dry (1 - w) - 2.443 w`: the form of ISO 18125 and EN 14918 (the standards were
/// not read; the form was, in public source files). `lower_dry_mj_per_kg` is on dry matter, `moisture` a
/// wet-basis fraction 0..1. Above some 0.89 nothing is left.
pub const fn biomass_lower_mj_per_kg(lower_dry_mj_per_kg: f64, moisture: f64) -> f64 {
    lower_dry_mj_per_kg * (1.0 - moisture) - LATENT_MJ_PER_KG * moisture
}

/// Lower heating value on dry matter, MJ/kg, from the higher one: less the latent heat of the water that its
/// hydrogen (mass fraction of dry matter) burns to, 8.94 kg/kg.
pub const fn dry_lower_mj_per_kg(higher_dry_mj_per_kg: f64, hydrogen_dry: f64) -> f64 {
    higher_dry_mj_per_kg - LATENT_MJ_PER_KG * 8.94 * hydrogen_dry
}

/// Higher heating value of a solid biomass as burnt, MJ/kg: the lower one and the latent heat of its
/// water and of the water its hydrogen (mass fraction of dry matter) burns to, 8.94 kg/kg.
const fn biomass_higher_mj_per_kg(lower_mj_per_kg: f64, hydrogen_dry: f64, moisture: f64) -> f64 {
    lower_mj_per_kg + LATENT_MJ_PER_KG * (8.94 * hydrogen_dry * (1.0 - moisture) + moisture)
}

/// Lower heating value of oven-dry wood, MJ/kg (from memory, not verified).
pub const OVEN_DRY_WOOD_MJ_PER_KG: f64 = 18.8;

const HEAT_OF_COMBUSTION: &str = "heats of formation at 25 °C, package chemicals 1.5.2 (pure compound)";
const IPCC: &str = "IPCC 2006 guidelines vol. 2 tables 2.2 and 2.3, GWP 28 and 265";
const IPCC_FARM: &str = "IPCC 2006 guidelines vol. 2 tables 2.4 and 2.5, GWP 28 and 265";
const FOSSIL: Sourced = Sourced { value: 0.0, standing: Standing::Derived, source: "fossil fuel" };

/// Methane and nitrous oxide of burning wood; its CO₂ is biogenic. Shell stands beside it: for nut shell the IPCC
/// has no factor of its own.
const BURNING_WOOD: ByBurner = ByBurner {
    agriculture: Sourced {
        value: carbon_kg_per_gj(0.0, 300.0, 4.0),
        standing: Standing::Read,
        source: "wood in commercial and agricultural burning: 300 kg CH4 and 4 kg N2O per TJ, a public copy of the IPCC emission factor database (\"expert judgement by the authors of chapter 2, volume 2\"); GWP 28 and 265",
    },
    industry: Sourced {
        value: carbon_kg_per_gj(0.0, 30.0, 4.0),
        standing: Standing::FromMemory,
        source: "wood in industry: 30 kg CH4 and 4 kg N2O per TJ, IPCC 2006 guidelines vol. 2 tables 2.2 and 2.3; GWP 28 and 265",
    },
};

/// Fuels a study may name without saying more than their price.
pub const FUELS: &[Fuel] = &[
    Fuel {
        name: "lpg",
        lower_mj_per_kg: Sourced { value: 46.34, standing: Standing::Derived, source: HEAT_OF_COMBUSTION },
        higher_mj_per_kg: Sourced { value: 50.33, standing: Standing::Derived, source: HEAT_OF_COMBUSTION },
        density: Some(Density::Liquid(Sourced {
            value: 0.51,
            standing: Standing::FromMemory,
            source: "liquid propane near 15 °C",
        })),
        // The IPCC's own heating value for LPG, 47.3 MJ/kg, lies above that of propane and of butane.
        // What is conserved is carbon per kg: the factor is carried over by mass, 2.99 kg/kg, as
        // stoichiometry gives for propane.
        carbon_kg_per_gj: ByBurner {
            // Methane 5 kg/TJ was read in a public copy of the IPCC's emission factor database (category I.6.1).
            agriculture: Sourced {
                value: carbon_kg_per_gj(63_100.0, 5.0, 0.1) * 47.3 / 46.34,
                standing: Standing::DerivedFromMemory,
                source: "IPCC 2006 guidelines vol. 2 tables 1.2, 2.4 and 2.5, GWP 28 and 265, carried over by mass",
            },
            industry: Sourced {
                value: carbon_kg_per_gj(63_100.0, 1.0, 0.1) * 47.3 / 46.34,
                standing: Standing::DerivedFromMemory,
                source: "IPCC 2006 guidelines vol. 2 tables 1.2, 2.2 and 2.3, GWP 28 and 265, carried over by mass",
            },
        },
        biogenic_kg_per_gj: FOSSIL,
    },
    Fuel {
        name: "natural gas",
        lower_mj_per_kg: Sourced {
            value: 50.03,
            standing: Standing::Derived,
            source: "methane in its place; heats of formation at 25 °C, package chemicals 1.5.2",
        },
        higher_mj_per_kg: Sourced {
            value: 55.51,
            standing: Standing::Derived,
            source: "methane in its place; heats of formation at 25 °C, package chemicals 1.5.2",
        },
        density: Some(Density::Gas(Sourced {
            // p M / (R T) = 101325 x 0.016043 / (8.314463 x 288.15)
            value: 0.6785,
            standing: Standing::Derived,
            source: "methane in its place, as a perfect gas at 15 °C and 101.325 kPa",
        })),
        carbon_kg_per_gj: ByBurner {
            agriculture: Sourced {
                value: carbon_kg_per_gj(56_100.0, 5.0, 0.1),
                standing: Standing::FromMemory,
                source: IPCC_FARM,
            },
            industry: Sourced {
                value: carbon_kg_per_gj(56_100.0, 1.0, 0.1),
                standing: Standing::FromMemory,
                source: IPCC,
            },
        },
        biogenic_kg_per_gj: FOSSIL,
    },
    Fuel {
        name: "diesel",
        lower_mj_per_kg: Sourced {
            value: 43.0,
            standing: Standing::FromMemory,
            source: "IPCC 2006 guidelines vol. 2 table 1.2",
        },
        higher_mj_per_kg: Sourced { value: 45.6, standing: Standing::FromMemory, source: "engineering handbooks" },
        density: Some(Density::Liquid(Sourced {
            value: 0.84,
            standing: Standing::FromMemory,
            source: "engineering handbooks",
        })),
        carbon_kg_per_gj: ByBurner {
            agriculture: Sourced {
                value: carbon_kg_per_gj(74_100.0, 10.0, 0.6),
                standing: Standing::FromMemory,
                source: IPCC_FARM,
            },
            industry: Sourced {
                value: carbon_kg_per_gj(74_100.0, 3.0, 0.6),
                standing: Standing::Read,
                source: "public files quoting IPCC 2006 guidelines vol. 2 tables 2.2 and 2.3; GWP 28 and 265",
            },
        },
        biogenic_kg_per_gj: FOSSIL,
    },
    Fuel {
        name: "wood",
        lower_mj_per_kg: Sourced {
            value: biomass_lower_mj_per_kg(OVEN_DRY_WOOD_MJ_PER_KG, 0.20),
            standing: Standing::DerivedFromMemory,
            source: "oven-dry wood of 18.8 MJ/kg at 20 % moisture w.b.",
        },
        higher_mj_per_kg: Sourced {
            value: biomass_higher_mj_per_kg(biomass_lower_mj_per_kg(OVEN_DRY_WOOD_MJ_PER_KG, 0.20), 0.06, 0.20),
            standing: Standing::DerivedFromMemory,
            source: "oven-dry wood of 18.8 MJ/kg and 6 % hydrogen at 20 % moisture w.b.",
        },
        density: None,
        carbon_kg_per_gj: BURNING_WOOD,
        biogenic_kg_per_gj: Sourced { value: 112.0, standing: Standing::FromMemory, source: IPCC },
    },
    Fuel {
        name: "shell",
        lower_mj_per_kg: Sourced {
            value: 18.0,
            standing: Standing::Derived,
            source: "macadamia shell as burnt, 18 ± 1.5: between published 21.12 (JKUAT thesis, basis not stated) \
                     and 19.64 MJ/kg (SAIMM 2015) less the heat of vaporisation",
        },
        higher_mj_per_kg: Sourced {
            value: biomass_higher_mj_per_kg(18.0, 0.05, 0.131),
            standing: Standing::Derived,
            source: "the lower value, with 5 % hydrogen and 13.1 % moisture w.b. (JKUAT thesis)",
        },
        density: None,
        carbon_kg_per_gj: BURNING_WOOD,
        biogenic_kg_per_gj: Sourced {
            value: 112.0,
            standing: Standing::FromMemory,
            source: "IPCC 2006 guidelines vol. 2 table 2.2, wood in its place",
        },
    },
];

/// Lower heating value of a biomass on dry matter, MJ/kg, where one is known.
pub const fn dry_matter(fuel: &str) -> Option<Sourced> {
    match fuel.as_bytes() {
        b"wood" => {
            Some(Sourced { value: OVEN_DRY_WOOD_MJ_PER_KG, standing: Standing::FromMemory, source: "oven-dry wood" })
        }
        b"shell" => Some(Sourced {
            value: dry_lower_mj_per_kg(21.12, 0.05),
            standing: Standing::Derived,
            source: "macadamia shell: 21.12 MJ/kg higher and 5 % hydrogen (JKUAT thesis), taken as on dry matter, \
                     which it does not state",
        }),
        _ => None,
    }
}

impl Fuel {
    /// The fuel of this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        FUELS.iter().find(|fuel| fuel.name == name)
    }

    /// kWh on the lower heating value in one unit as sold. `basis` is the one a sale by energy counts
    /// on; it has no bearing on a sale by mass or volume. `None` where the fuel is not sold by that
    /// unit.
    pub fn lower_kwh_per(&self, unit: Unit, basis: HeatingBasis) -> Option<f64> {
        const MJ_PER_KWH: f64 = 3.6;
        let kwh_per_kg = self.lower_mj_per_kg.value / MJ_PER_KWH;
        let lower_share = match basis {
            HeatingBasis::Lower => 1.0,
            HeatingBasis::Higher => self.lower_mj_per_kg.value / self.higher_mj_per_kg.value,
        };
        match (unit, self.density) {
            (Unit::KilowattHour, _) => Some(lower_share),
            (Unit::Gigajoule, _) => Some(lower_share * 1000.0 / MJ_PER_KWH),
            (Unit::Kilogram, _) => Some(kwh_per_kg),
            (Unit::Tonne, _) => Some(1000.0 * kwh_per_kg),
            (Unit::Litre, Some(Density::Liquid(density))) | (Unit::CubicMetre, Some(Density::Gas(density))) => {
                Some(density.value * kwh_per_kg)
            }
            _ => None,
        }
    }

    /// Greenhouse gases, kg CO₂-equivalent per kWh on the lower heating value.
    pub fn carbon_kg_per_kwh(&self, burner: BurnerClass) -> f64 {
        self.carbon_kg_per_gj.of(burner).value * 0.0036
    }

    /// Biogenic CO₂, kg per kWh on the lower heating value.
    pub fn biogenic_kg_per_kwh(&self) -> f64 {
        self.biogenic_kg_per_gj.value * 0.0036
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_higher_heating_value_lies_above_the_lower() {
        for fuel in FUELS {
            let ratio = fuel.higher_mj_per_kg.value / fuel.lower_mj_per_kg.value;
            assert!((1.03..1.15).contains(&ratio), "{}: {ratio}", fuel.name);
        }
    }

    #[test]
    fn gas_billed_on_the_higher_value_holds_less_heat_on_the_lower() {
        let gas = Fuel::named("natural gas").unwrap();
        let kwh = gas.lower_kwh_per(Unit::KilowattHour, HeatingBasis::Higher);
        assert!((kwh.unwrap() - 50.03 / 55.51).abs() < 1e-12);
        assert_eq!(gas.lower_kwh_per(Unit::KilowattHour, HeatingBasis::Lower), Some(1.0));
        assert_eq!(gas.lower_kwh_per(Unit::Litre, HeatingBasis::Lower), None);
    }

    /// Published worked values of the form: 18.8 MJ/kg dry gives 17.1 at 8 %, 14.6 at 20 %, 12.4 at 30 %,
    /// 8.2 at 50 % w.b.
    #[test]
    fn wet_biomass_holds_less() {
        for (moisture, mj_per_kg) in [(0.08, 17.1), (0.20, 14.6), (0.30, 12.4), (0.50, 8.2)] {
            let found = biomass_lower_mj_per_kg(OVEN_DRY_WOOD_MJ_PER_KG, moisture);
            assert!((found - mj_per_kg).abs() < 0.05, "{found}");
        }
    }

    /// Worked by hand from the factors of the IPCC's emission factor database: 300 kg of methane and 4 kg of nitrous
    /// oxide per TJ are (300 x 28 + 4 x 265) kg/TJ = 9.46 kg/GJ; in industry 1.9 kg/GJ.
    #[test]
    fn a_farm_burner_leaves_more_methane() {
        let shell = Fuel::named("shell").unwrap();
        let (farm, industry) = (BurnerClass::Agriculture, BurnerClass::Industry);
        assert!((shell.carbon_kg_per_kwh(farm) - 9.46 * 0.0036).abs() < 1e-12);
        assert!((shell.carbon_kg_per_kwh(industry) - 1.9 * 0.0036).abs() < 1e-12);
        for fuel in FUELS {
            assert!(fuel.carbon_kg_per_kwh(farm) > fuel.carbon_kg_per_kwh(industry), "{}", fuel.name);
        }
    }

    #[test]
    fn a_source_from_memory_says_so() {
        let diesel = Fuel::named("diesel").unwrap();
        assert!(diesel.lower_mj_per_kg.to_string().ends_with("(from memory, not verified)"));
        assert!(Fuel::named("peat").is_none());
    }
}
