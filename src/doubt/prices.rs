//! Prices of energy and the terms of money: a price for another unit, a percentage for a share.

use super::Doubts;
use crate::money::{Carrier, Currency, Tariff};
use crate::problem::Matter;
use crate::study::input::Input;
use std::ops::RangeInclusive;

/// What a bought kWh of fossil fuel costs, against a kWh of electricity, in any currency: from a fifteenth
/// where gas is at its well, to eight times where electricity is of water power (common practice, no published
/// source).
const FOSSIL_TO_ELECTRICITY: (f64, f64) = (0.03, 10.0);
/// The same of wood and shell: a waste may be nearly free.
const GROWN_TO_ELECTRICITY: (f64, f64) = (0.001, 10.0);
/// Electricity in money of which a unit buys a coffee at most, per kWh (common practice, no published source).
const USUAL_ELECTRICITY: (f64, f64) = (0.01, 1.5);
/// What a kWh costs anywhere but on an island or at a weir, in the same money: by it other money is told (common practice, no
/// published source).
const KWH_ANYWHERE: (f64, f64) = (1.0 / 75.0, 0.8);
/// What a kWh of a fuel costs on its lower heating value, in money of which a unit is about a dollar: from a contract of
/// industry beside a gas field to bottles carried to an island (common practice, no published source).
const USUAL_FUEL: [(&str, f64, f64); 3] = [("natural gas", 0.006, 0.3), ("lpg", 0.015, 0.4), ("diesel", 0.02, 0.5)];
/// Wood and shell may be had for the carting, and pellets in bags are dearest (common practice, no published source).
const DEAREST_GROWN: f64 = 0.3;
/// A fixed charge beyond this, a month, in the same money, is more often one of a year, or cents: a connection of some
/// hundred kW has one of tens to hundreds (common practice, no published source, with a margin).
const DEAR_FIXED: f64 = 4_000.0;
/// What all prices of a carrier are multiplied by, to ask what if: beyond this it is more often a percentage (assumption).
const USUAL_FACTOR: (f64, f64) = (0.2, 4.0);
/// Money of which a unit is about a dollar.
const LIKE_A_DOLLAR: [&str; 8] = ["USD", "EUR", "GBP", "CHF", "CAD", "AUD", "NZD", "SGD"];
/// Money of which a unit is worth a cent of a dollar or less: no kWh, of whatever carrier, costs less than one everywhere at
/// once (orders of magnitude of the rates of the 2020s, from memory, not verified).
const SMALL_UNITS: [&str; 21] = [
    "JPY", "KRW", "VND", "IDR", "CLP", "COP", "HUF", "PYG", "LAK", "KHR", "MMK", "UZS", "TZS", "UGX", "NGN", "IQD",
    "IRR", "LBP", "MGA", "MNT", "RWF",
];
/// What a tonne of dried nuts in shell sells for, in money about a dollar: from peanuts off the field to the best grades
/// (from memory, not verified: some 400 to 12 000, with a margin at both ends).
const USUAL_NUTS: (f64, f64) = (120.0, 40_000.0);
/// What a unit of own fuel would fetch, against what the same costs to buy: little where it must be carried away, and
/// hardly more than its price (assumption).
const WORTH_TO_PRICE: (f64, f64) = (0.005, 2.5);
/// A real rate above this, a year, is a lender's of last resort (assumption).
const HIGH_RATE: f64 = 0.2;
/// Prices that outrun or lag all others by more than this a year do not do so for a life of a heater
/// (assumption).
const STEEP_RISE: f64 = 0.08;
/// Schemes that pay more of an outlay than this are rare (common practice, no published source).
const HIGH_GRANT: f64 = 0.8;

impl Doubts<'_> {
    pub(super) fn prices(&mut self) {
        let study = self.study;
        let electricity = mean_price(&study.carriers.electricity);
        self.price_of_electricity(electricity, study.currency);
        if electricity <= 0.0 {
            let what = "electricity costs nothing, so that any heat by it is free";
            let cure = "give the price of one kWh; of the plant's own, give what a kWh would have fetched";
            let path = self.electricity_price();
            self.doubt("price.electricity", &path, what.to_owned(), cure);
            return;
        }
        for (name, carrier) in &study.carriers.fuels {
            self.price_of_fuel(name, carrier, electricity);
        }
    }

    fn price_of_electricity(&mut self, price: f64, currency: Currency) {
        let (low, high) = USUAL_ELECTRICITY;
        if price <= 0.0 || !self.is_in_dollars() || (low..=high).contains(&price) {
            return;
        }
        let key = self.electricity_price();
        let what = format!(
            "electricity costs {price:.3} {} a kWh on average; {low} to {high} is what it costs anywhere",
            currency.code()
        );
        let cure = "give it in whole money for a kWh, not in cents or for a MWh";
        self.doubt("price.electricity", &key, what, cure).is_about = &[Matter::ElectricityPrice];
    }

    /// The path of what electricity costs.
    fn electricity_price(&self) -> String {
        let price = "carrier.electricity.price";
        let is_given = self.inputs.iter().any(|input| input.path == price);
        if is_given { price } else { "carrier.electricity.tariff" }.to_owned()
    }

    /// What own fuel would fetch, held beside what the same fuel costs to buy.
    pub(super) fn worth_of_own_fuel(&mut self) {
        let odd: Vec<(String, f64, f64)> = self
            .study
            .carriers
            .fuels
            .iter()
            .filter_map(|(name, carrier)| {
                let worth = carrier.own.as_ref()?.worth_per_unit;
                let price = carrier.price_per_unit;
                let is_odd =
                    worth > 0.0 && price > 0.0 && !(WORTH_TO_PRICE.0..=WORTH_TO_PRICE.1).contains(&(worth / price));
                is_odd.then(|| (name.clone(), worth, price))
            })
            .collect();
        for (name, worth, price) in odd {
            let what = format!("own {name} would have fetched {:.3} times what it costs to buy", worth / price);
            let path = format!("carrier.{name}.own_supply.worth_otherwise");
            self.doubt(
                "fuel.worth",
                &path,
                what,
                "give money for the unit that the price is for, a tonne and not a kilogram, and look at its digits",
            );
        }
    }

    fn price_of_fuel(&mut self, name: &str, carrier: &Carrier, electricity: f64) {
        let price = carrier.price_per_kwh();
        let (low, high) = if carrier.biogenic_kg_per_kwh > 0.0 || carrier.own.is_some() {
            GROWN_TO_ELECTRICITY
        } else {
            FOSSIL_TO_ELECTRICITY
        };
        let against = price / electricity;
        if price <= 0.0 {
            return;
        }
        if (low..=high).contains(&against) {
            self.price_of_known_fuel(name, carrier);
            return;
        }
        let times =
            if against < 1.0 { format!("{:.0} times less", 1.0 / against) } else { format!("{against:.0} times more") };
        let what = format!(
            "{} a {} makes {price:.5} a kWh of {name}, {times} than electricity",
            carrier.price_per_unit,
            carrier.unit.symbol()
        );
        let cure = "look whether the price is for this unit, and in whole money";
        self.doubt("price.fuel", &format!("carrier.{name}.price"), what, cure).follows_from =
            &[Matter::ElectricityPrice];
    }

    /// The same beside what is usual of that fuel.
    fn price_of_known_fuel(&mut self, name: &str, carrier: &Carrier) {
        let usual = USUAL_FUEL.iter().find(|(fuel, ..)| *fuel == carrier.fuel).map(|(_, low, high)| (*low, *high));
        let grown = (carrier.biogenic_kg_per_kwh > 0.0).then_some((0.0, DEAREST_GROWN));
        let (Some((low, high)), true) = (usual.or(grown), self.is_in_dollars()) else {
            return;
        };
        let price = carrier.price_per_kwh();
        if (low..=high).contains(&price) {
            return;
        }
        let what = format!(
            "{} a {} makes {price:.4} a kWh of {name}; {low} to {high} is usual",
            carrier.price_per_unit,
            carrier.unit.symbol()
        );
        let cure = "look at the point of the price, and whether it is for this unit";
        self.doubt("price.fuel", &format!("carrier.{name}.price"), what, cure);
    }

    /// Charges of a month that are of a year, or in cents.
    pub(super) fn fixed_charges(&mut self) {
        if !self.is_in_dollars() {
            return;
        }
        let carriers = &self.study.carriers;
        let electricity =
            ("carrier.electricity.tariff.fixed_per_month".to_owned(), carriers.electricity.fixed_per_month);
        let fuels = carriers
            .fuels
            .iter()
            .map(|(name, carrier)| (format!("carrier.{name}.fixed_per_month"), carrier.fixed_per_month));
        let dear: Vec<(String, f64)> =
            std::iter::once(electricity).chain(fuels).filter(|(_, charge)| *charge > DEAR_FIXED).collect();
        for (path, charge) in dear {
            let what =
                format!("fixed_per_month is {charge}; beyond {DEAR_FIXED} it is rare for a plant that dries nuts");
            self.doubt("tariff.fixed", &path, what, "give the charge of one month, in whole money");
        }
    }

    /// Prices of a tonne of nuts that are those of a kilogram, or in cents.
    pub(super) fn prices_of_nuts(&mut self) {
        let Some((low, high)) = self.in_own_money(USUAL_NUTS.0..=USUAL_NUTS.1) else { return };
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Some(price) = crop.price_per_dried_t.filter(|price| *price > 0.0) else { continue };
            if (low..=high).contains(&price) {
                continue;
            }
            let path = self.crop_path(&crop.name, "price_per_dried_t");
            let what = format!(
                "price_per_dried_t is {price}; nuts in shell sell for {low:.0} to {high:.0} {} a tonne",
                self.study.currency.code()
            );
            found.push((path, what));
        }
        for (path, what) in found {
            let cure = "give whole money for a tonne of dried nuts in shell: 2.8 for a kilogram is 2800 for a tonne";
            self.doubt("crop.price", &path, what, cure);
        }
    }

    /// Money of small units with prices of large ones: every kWh costs less than one of them.
    pub(super) fn small_money(&mut self) {
        let code = self.study.currency.code();
        if !SMALL_UNITS.contains(&code) {
            return;
        }
        let carriers = &self.study.carriers;
        let fuels = carriers.fuels.values().map(Carrier::price_per_kwh);
        let dearest = fuels.fold(mean_price(&carriers.electricity), f64::max);
        if dearest > 0.0 && dearest < 1.0 {
            let what = format!(
                "the dearest kWh of this study costs {dearest:.3} {code}, and one {code} is worth a cent of a dollar or less"
            );
            let cure = "look whether prices are in this money";
            self.doubt("price.currency", "study.currency", what, cure).is_about = &[Matter::ElectricityPrice];
        }
    }

    /// Factors on prices that are percentages.
    pub(super) fn price_factors(&mut self) {
        let (low, high) = USUAL_FACTOR;
        let is_odd = |input: &&Input| {
            input.path.starts_with("carrier.")
                && input.path.ends_with(".price_factor")
                && input.number.is_some_and(|factor| factor > 0.0 && !(low..=high).contains(&factor))
        };
        let odd: Vec<(String, f64)> =
            self.inputs.iter().filter(is_odd).filter_map(|input| Some((input.path.clone(), input.number?))).collect();
        for (path, factor) in odd {
            let what = format!("price_factor is {factor}: every price of it times that");
            self.doubt("carrier.price_factor", &path, what, "a tenth dearer is 1.1, a tenth cheaper 0.9");
        }
    }

    /// True where prices are in money of which a unit is about a dollar.
    pub(super) fn is_in_dollars(&self) -> bool {
        LIKE_A_DOLLAR.contains(&self.study.currency.code())
    }

    /// What lies between so many dollars at least and at most, in the study's money: as it is where that is about a dollar,
    /// and else by what electricity costs, as wide as its price is anywhere. `None` where that costs nothing.
    pub(super) fn in_own_money(&self, dollars: RangeInclusive<f64>) -> Option<(f64, f64)> {
        let (least, most) = (*dollars.start(), *dollars.end());
        if self.is_in_dollars() {
            return Some((least, most));
        }
        let (cheapest, dearest) = KWH_ANYWHERE;
        let kwh = mean_price(&self.study.carriers.electricity);
        (kwh > 0.0).then(|| (least / dearest * kwh, most / cheapest * kwh))
    }

    pub(super) fn terms(&mut self) {
        let money = &self.study.money;
        if money.discount_rate > HIGH_RATE {
            self.doubt(
                "money.discount_rate",
                "money.discount_rate",
                format!(
                    "discount_rate is {}, that is {:.0} % a year above inflation",
                    money.discount_rate,
                    money.discount_rate * 100.0
                ),
                "6 % is 0.06; prices here have no general inflation in them, so the rate has none either",
            );
        }
        if money.grant_share > HIGH_GRANT {
            self.doubt(
                "money.grant_share",
                "money.grant_share",
                format!(
                    "grant_share is {}: a grant pays {:.0} % of every outlay",
                    money.grant_share,
                    money.grant_share * 100.0
                ),
                "25 % is 0.25",
            );
        }
        let steep: Vec<(String, f64)> = money
            .escalation
            .iter()
            .filter(|(_, rise)| rise.abs() > STEEP_RISE)
            .map(|(name, rise)| (name.clone(), *rise))
            .collect();
        for (name, rise) in steep {
            let times = (1.0 + rise).powi(i32::try_from(money.years).unwrap_or(15));
            self.doubt(
                "money.escalation",
                &format!("money.escalation.{name}"),
                format!(
                    "{name} rises by {:.0} % a year above inflation, to {times:.1} times its price after {} years",
                    rise * 100.0,
                    money.years
                ),
                "2 % is 0.02; give the rise above general inflation alone",
            );
        }
    }
}

/// Mean of the prices that a tariff names, with its tax: it need be right to a factor only.
fn mean_price(tariff: &Tariff) -> f64 {
    let prices = tariff.periods.iter().map(|period| period.per_kwh);
    let all: Vec<f64> = prices.chain([tariff.otherwise.per_kwh]).collect();
    all.iter().sum::<f64>() / all.len() as f64 * (1.0 + tariff.tax)
}
