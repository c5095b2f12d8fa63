//! What works and power cost, and carbon and fans, where a factor of a thousand or another unit is more likely than the
//! figure itself.

use super::Doubts;
use crate::study::costs::OptionCost;
use crate::study::input::Input;

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
/// An option that costs so many times what any other does, and so much for each kW of heat in money about a dollar, has
/// a digit too many more often than works so dear (assumption: collectors with their store cost some 2000 for each kW
/// of the heat beside them).
const TIMES_ANY_OTHER: f64 = 8.0;
const DEAR_WORKS_PER_KW: f64 = 2_500.0;
/// Works of an option that cost less than this, money about a dollar, are more often told in thousands: a clock that switches
/// a fan costs more with the man who fits it (common practice, no published source, with a margin).
const CHEAP_WORKS: f64 = 50.0;
/// Efficiency of a fan below this is more often a percentage typed wrong (common practice, no published source).
const POOR_FAN: f64 = 0.15;

impl Doubts<'_> {
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

    /// Options whose own works cost next to nothing; what costs nothing is 0, and what another plant spares is below it.
    pub(super) fn cheap_options(&mut self) {
        let Some((least, _)) = self.in_own_money(CHEAP_WORKS..=CHEAP_WORKS) else { return };
        let all = self.of_each("option.", ".capital").into_iter();
        for (name, works) in all.filter(|(_, works)| *works > 0.0 && *works < least).collect::<Vec<_>>() {
            let what = format!(
                "capital of option \"{name}\" is {works} {}, less than any work costs that a person is called for",
                self.study.currency.code()
            );
            let cure = "give whole money, not thousands; works that cost nothing are 0";
            self.doubt("option.capital", &format!("option.{name}.capital"), what, cure);
        }
    }
}
