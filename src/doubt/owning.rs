//! What heaters, power and fuels cost and hold, where a factor of a thousand or another unit is more likely than the
//! figure itself.

use super::Doubts;
use crate::money::{Fuel, HeatingBasis};
use crate::study::costs::OptionCost;
use crate::study::input::Input;

/// Capital of a heater, money about a dollar for each kW: from a burner of an old grain dryer to collectors and
/// heat pumps of a small plant (common practice, no published source, with a margin at both ends).
const CAPITAL_PER_KW: (f64, f64) = (3.0, 10_000.0);
/// Upkeep beyond this share of the capital, a year, is more often of the whole life (assumption).
const MUCH_UPKEEP: f64 = 0.5;
/// Upkeep below this share of the capital, a year, is more often in thousands: a cabinet of heaters takes some 1 to 10 %
/// (assumption, with a margin of ten).
const LITTLE_UPKEEP: f64 = 0.001;
/// A demand charge beyond this, money about a dollar for a kW and month, is more often one for a year (common practice,
/// no published source).
const DEAR_DEMAND: f64 = 60.0;
/// Carbon of a grid below this, kg/kWh, is more often t/kWh: that of water power alone is above it (life-cycle medians of
/// IPCC 2014, some 0.01 to 0.03 kg/kWh, from memory, not verified; with a margin).
const LITTLE_CARBON: f64 = 0.002;
/// Carbon of a grid above this, kg/kWh: one of nothing but old coal stays below it (common practice, no published source).
const MUCH_CARBON: f64 = 1.6;
/// Carbon of a fuel above this, kg for a kWh of its lower heating value: peat has some 0.39 (IPCC 2006, from memory, not
/// verified; with a margin).
const MUCH_CARBON_OF_FUEL: f64 = 0.5;
/// A heating value this far from the published one is of another unit, MJ for kWh above all (assumption).
const OTHER_HEAT: f64 = 1.5;
/// Efficiency of a burner or a boiler below this is that of an open fire, or a figure of another year's fuel (common
/// practice, no published source: old wood boilers reach some 0.6, burners in the air nearly 1).
const POOR_BURNER: f64 = 0.45;
/// An option that costs so many times what any other does, and so much for each kW of heat in money about a dollar, has
/// a digit too many more often than works so dear (assumption: collectors with their store cost some 2000 for each kW
/// of the heat beside them).
const TIMES_ANY_OTHER: f64 = 8.0;
const DEAR_WORKS_PER_KW: f64 = 2_500.0;
/// Efficiency of a fan below this is more often a percentage typed wrong (common practice, no published source).
const POOR_FAN: f64 = 0.15;

impl Doubts<'_> {
    /// Capital and upkeep of sources.
    pub(super) fn costs_of_sources(&mut self) {
        let is_like_a_dollar = self.is_in_dollars();
        let mut found: Vec<(&'static str, String, String, &str)> = Vec::new();
        for (name, fixed) in self.of_each("source.", ".capital") {
            let of = |key: &str| self.number(&format!("source.{name}.{key}"));
            let by_size = of("capital_per_kw").zip(of("capacity_kw")).map_or(0.0, |(per_kw, kw)| per_kw * kw);
            let capital = fixed + by_size;
            let path = |key: &str| format!("source.{name}.{key}");
            if capital <= 0.0 {
                continue;
            }
            if let Some(kw) = of("capacity_kw").filter(|kw| *kw > 0.0 && is_like_a_dollar)
                && !(CAPITAL_PER_KW.0..=CAPITAL_PER_KW.1).contains(&(capital / kw))
            {
                let (low, high) = CAPITAL_PER_KW;
                let what =
                    format!("capital is {capital} for {kw} kW, {:.3} a kW; {low} to {high} is usual", capital / kw);
                found.push(("source.capital", path("capital"), what, "give whole money, not thousands, and kW"));
            }
            let upkeep = of("upkeep_per_year").filter(|upkeep| *upkeep > 0.0);
            if let Some(upkeep) = upkeep
                && !(LITTLE_UPKEEP..=MUCH_UPKEEP).contains(&(upkeep / capital))
            {
                let what = format!("upkeep_per_year is {upkeep}, and the source costs {capital}");
                let cure = "give the upkeep of one year, without energy, in whole money; 0 is none";
                found.push(("source.upkeep", path("upkeep_per_year"), what, cure));
            }
        }
        for (code, path, what, cure) in found {
            self.doubt(code, &path, what, cure);
        }
    }

    /// A charge on the month's peak that is one of the year.
    pub(super) fn demand_charges(&mut self) {
        if !self.is_in_dollars() {
            return;
        }
        let dear: Vec<(String, f64)> = self
            .study
            .carriers
            .electricity
            .demand
            .iter()
            .filter(|charge| charge.price > DEAR_DEMAND)
            .map(|charge| (charge.name.clone(), charge.price))
            .collect();
        for (name, price) in dear {
            let what =
                format!("the demand charge \"{name}\" is {price} for a kW and month; {DEAR_DEMAND} is dear anywhere");
            let path = format!("carrier.electricity.tariff.demand.{name}.price");
            self.doubt("tariff.demand", &path, what, "give the price of a month, not of a year");
        }
    }

    /// Carbon of electricity in tonnes.
    pub(super) fn carbon_of_electricity(&mut self) {
        const PATH: &str = "carrier.electricity.carbon_kg_per_kwh";
        if let Some(kg) = self.number(PATH).filter(|kg| *kg > 0.0 && *kg < LITTLE_CARBON) {
            let what = format!("carbon_kg_per_kwh is {kg}, less than any grid's");
            self.doubt("carrier.carbon", PATH, what, "give kg for a kWh, as 0.7, not tonnes");
        }
        if let Some(kg) = self.number(PATH).filter(|kg| *kg > MUCH_CARBON) {
            let what = format!("carbon_kg_per_kwh is {kg}, more than any grid's");
            self.doubt("carrier.carbon", PATH, what, "give kg for a kWh of electricity, as 0.7");
        }
        let of_fuels: Vec<(String, f64)> = self
            .of_each("carrier.", ".carbon_kg_per_kwh")
            .into_iter()
            .filter(|(name, kg)| name != "electricity" && *kg > MUCH_CARBON_OF_FUEL)
            .collect();
        for (name, kg) in of_fuels {
            let what = format!("carbon_kg_per_kwh of {name} is {kg}; gas has some 0.2, diesel 0.27 and coal 0.35");
            let path = format!("carrier.{name}.carbon_kg_per_kwh");
            self.doubt(
                "carrier.carbon",
                &path,
                what,
                "give kg for a kWh of the lower heating value, not for a kg or a litre",
            );
        }
    }

    /// Heating values that a study gives of a fuel that is known.
    pub(super) fn heating_values(&mut self) {
        let far: Vec<(String, String)> = self
            .study
            .carriers
            .fuels
            .iter()
            .filter_map(|(name, carrier)| {
                let path = format!("carrier.{name}.heating_value_kwh_per_unit");
                let given = self.inputs.iter().any(|input| input.path == path && input.is_given());
                let known = Fuel::named(&carrier.fuel)?.lower_kwh_per(carrier.unit, HeatingBasis::Lower)?;
                let times = carrier.kwh_per_unit / known;
                let is_far = given && !(1.0 / OTHER_HEAT..=OTHER_HEAT).contains(&times);
                let what = format!(
                    "heating_value_kwh_per_unit is {}, and a {} of {} holds some {known:.1} kWh",
                    carrier.kwh_per_unit,
                    carrier.unit.symbol(),
                    carrier.fuel
                );
                is_far.then_some((path, what))
            })
            .collect();
        for (path, what) in far {
            let cure = "give kWh on the lower heating value, or text with its unit: \"46 MJ/kg\"";
            self.doubt("fuel.heating_value", &path, what, cure);
        }
    }

    /// Fans that turn hardly any of their power into air.
    pub(super) fn poor_fans(&mut self) {
        let is_poor = |input: &&Input| {
            input.path.starts_with("room.")
                && input.path.ends_with(".fan_efficiency")
                && input.number.is_some_and(|share| share < POOR_FAN)
        };
        let poor: Vec<(String, f64)> =
            self.inputs.iter().filter(is_poor).filter_map(|input| Some((input.path.clone(), input.number?))).collect();
        for (path, share) in poor {
            let what = format!("fan_efficiency is {share}; fans of dryers reach 0.4 to 0.75");
            self.doubt("room.fan_efficiency", &path, what, "60 % is 0.6");
        }
    }

    /// Burners and boilers that turn hardly any of their fuel into heat.
    pub(super) fn poor_burners(&mut self) {
        let is_poor = |input: &&Input| {
            let key = input.path.rsplit('.').next().unwrap_or_default();
            input.path.starts_with("source.")
                && ["efficiency", "boiler_efficiency"].contains(&key)
                && input.number.is_some_and(|share| share < POOR_BURNER)
        };
        let poor: Vec<(String, f64)> =
            self.inputs.iter().filter(is_poor).filter_map(|input| Some((input.path.clone(), input.number?))).collect();
        for (path, share) in poor {
            let key = path.rsplit('.').next().unwrap_or_default();
            let what = format!(
                "{key} is {share}; boilers reach 0.6 to 0.95 of the lower heating value, burners in the air nearly 1"
            );
            self.doubt("source.efficiency", &path, what, "85 % is 0.85");
        }
    }

    /// Options whose own works cost far more than all that any other costs.
    pub(super) fn dear_options(&mut self) {
        if !self.is_in_dollars() {
            return;
        }
        let study = self.study;
        let whole = |cost: &OptionCost| cost.items.iter().map(|item| item.capital).sum::<f64>();
        let mut found = Vec::new();
        for (place, heating) in study.heatings.iter().enumerate() {
            let own = whole(&study.costs[place]);
            let others = study.costs.iter().enumerate().filter(|(other, _)| *other != place);
            let dearest = others.map(|(_, cost)| whole(cost)).fold(0.0, f64::max);
            let path = format!("option.{}.capital", heating.name);
            let Some(works) = self.number(&path) else { continue };
            let kw: f64 = heating.sources.iter().map(|source| source.capacity_kw).sum();
            let is_dear = dearest > 0.0 && own > TIMES_ANY_OTHER * dearest && works > DEAR_WORKS_PER_KW * kw;
            if is_dear {
                let what = format!(
                    "capital of option \"{}\" is {works}, and no other option costs more than {dearest:.0} in all",
                    heating.name
                );
                found.push((path, what));
            }
        }
        for (path, what) in found {
            self.doubt("option.capital", &path, what, "give whole money, and look at its digits");
        }
    }

    /// A number that the study gives or takes by default.
    fn number(&self, path: &str) -> Option<f64> {
        self.inputs.iter().find(|input| input.path == path)?.number
    }

    /// Names between these two parts of a path, with the numbers there.
    fn of_each(&self, before: &str, after: &str) -> Vec<(String, f64)> {
        let named = self.inputs.iter().filter_map(|input| {
            let name = input.path.strip_prefix(before)?.strip_suffix(after)?;
            Some((name.to_owned(), input.number?))
        });
        named.collect()
    }
}
