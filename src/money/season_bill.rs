//! The site's bill for one option in one weather year: fans, heat and cool store together, because the
//! meter sees one site.

use super::standing::Reached;
use super::{Amount, BillingDays, Carrier, Carriers, Currency, MonthBill, NoAmount, StandingCharges};
use crate::ledger::Book;
use chrono::NaiveDateTime;
use std::collections::BTreeMap;

/// A fuel over one month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FuelMonth {
    /// Energy used, on the lower heating value, kWh.
    pub kwh: f64,
    /// Of which the plant's own, kWh.
    pub own_kwh: f64,
    /// Quantity used, in the carrier's unit.
    pub quantity: f64,
    /// Of which the plant's own.
    pub own_quantity: f64,
    /// Of the quantity what is billed at what the own supply would have fetched, in the carrier's unit.
    pub at_own_worth: f64,
    /// Cost, fixed charge included.
    pub cost: Amount,
}

/// One month of a site.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteMonth {
    /// Year.
    pub year: i32,
    /// Month, 1..12.
    pub month: u32,
    /// Electricity.
    pub electricity: MonthBill,
    /// Fuels by name.
    pub fuels: BTreeMap<String, FuelMonth>,
    /// What recovered heat was worth at the hour's prices, less its penalty; not rounded.
    pub credit_money: f64,
}

impl SiteMonth {
    /// Energy: electricity and fuels, before tax on electricity.
    pub fn energy_cost(&self) -> Amount {
        self.electricity.energy_cost() + self.fuels.values().map(|fuel| fuel.cost).sum()
    }

    /// Fixed charges and tax.
    pub fn other_cost(&self) -> Amount {
        self.electricity.fixed + self.electricity.tax
    }

    /// All of it.
    pub fn total(&self) -> Amount {
        self.energy_cost() + self.electricity.demand_cost() + self.other_cost()
    }
}

/// What the season's energy was for, at the hour's prices with tax, demand and fixed charges left out;
/// not rounded.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ByPurpose {
    /// Fuel and electricity of the sources, and the penalty of recovery.
    pub heat: f64,
    /// Of which electricity: of the sources, and the penalty of recovery.
    pub heat_electricity: f64,
    /// Drying fans and lights.
    pub fans: f64,
    /// Cool store as if its condensers stood outdoors.
    pub cool_store: f64,
}

/// A season's bill.
#[derive(Clone, Debug, PartialEq)]
pub struct SeasonBill {
    /// By month.
    pub months: Vec<SiteMonth>,
    /// By purpose.
    pub purposes: ByPurpose,
    /// To which month an hour belongs.
    pub days: BillingDays,
    /// What the rest of the year is billed; in none of the months.
    pub standing: StandingCharges,
}

impl SeasonBill {
    /// Prices a book.
    pub fn of(book: &Book, carriers: &Carriers, currency: Currency) -> Result<Self, NoAmount> {
        let electricity: Vec<(NaiveDateTime, f64)> =
            book.hours.iter().map(|hour| (hour.starts, hour.site_electricity_kwh())).collect();
        let bill = carriers.electricity.bill(&electricity, currency)?;
        let starts = || book.hours.iter().map(|hour| hour.starts);
        let prices = carriers.electricity.prices_per_kwh(starts());
        let days = carriers.electricity.billing_days(starts());
        let mut months: Vec<SiteMonth> = bill
            .months
            .into_iter()
            .map(|electricity| SiteMonth {
                year: electricity.year,
                month: electricity.month,
                electricity,
                fuels: BTreeMap::new(),
                credit_money: 0.0,
            })
            .collect();
        let mut purposes = ByPurpose::default();
        let marginal = marginal_prices(book, carriers);
        book.each_hour(|now| {
            let hour = &now.hour;
            let price = prices[now.at];
            let wanted = days.month(hour.starts);
            let place = months.iter().position(|month| (month.year, month.month) == wanted);
            let Some(month) = place.map(|place| &mut months[place]) else {
                return;
            };
            purposes.heat_electricity += (hour.source_electricity_kwh + hour.penalty_kwh) * price;
            purposes.fans += (hour.fan_kwh() + hour.lights_kwh) * price;
            purposes.cool_store += (hour.store_kwh() - hour.penalty_kwh) * price;
            month.credit_money -= hour.penalty_kwh * price;
            for (source, (given, displaced)) in book.sources.iter().zip(now.given.iter().zip(&now.displaced)) {
                let fuel = source.fuel.as_ref().and_then(|name| carriers.fuels.get_key_value(name));
                if let Some((name, _)) = fuel {
                    let burnt = month.fuels.entry(name.clone()).or_default();
                    burnt.kwh += given.fuel_kwh;
                    if source.burns_own_alone {
                        burnt.own_kwh += given.fuel_kwh;
                    }
                }
                let fuel_price = fuel.map_or(0.0, |(name, _)| marginal[name.as_str()]);
                month.credit_money += displaced.electricity_kwh * price + displaced.fuel_kwh * fuel_price;
            }
        });
        purposes.heat = purposes.heat_electricity;
        let mut own_left: BTreeMap<&str, f64> =
            carriers.fuels.iter().map(|(name, carrier)| (name.as_str(), own_units(book, carrier))).collect();
        for month in &mut months {
            for (name, fuel) in &mut month.fuels {
                let carrier = &carriers.fuels[name];
                let left = own_left.entry(name.as_str()).or_default();
                fuel.quantity = carrier.quantity(fuel.kwh);
                let supplied = carrier.own_units(fuel.quantity, *left);
                let cost = carrier.cost(fuel.quantity, *left);
                *left -= supplied;
                fuel.at_own_worth = supplied;
                // A heater that burns nothing but the plant's own says so too, with no supply beside it.
                fuel.own_quantity = supplied.max(carrier.quantity(fuel.own_kwh));
                fuel.own_kwh =
                    if fuel.own_quantity < fuel.quantity { fuel.own_quantity * carrier.kwh_per_unit } else { fuel.kwh };
                purposes.heat += cost;
                fuel.cost = currency.amount(cost + carrier.fixed_per_month)?;
            }
        }
        let standing = StandingCharges::beside(&reached(&months), carriers);
        Ok(Self { months, purposes, days, standing })
    }

    /// Energy of the plant's own supply over all months, kWh.
    pub fn own_kwh(&self) -> f64 {
        self.months.iter().flat_map(|month| month.fuels.values()).map(|fuel| fuel.own_kwh).sum()
    }

    /// All months.
    pub fn total(&self) -> Amount {
        self.months.iter().map(SiteMonth::total).sum()
    }
}

/// What these months are of a year.
fn reached(months: &[SiteMonth]) -> Reached<'_> {
    Reached {
        months: months.iter().map(|month| month.month).collect(),
        days: months.iter().map(|month| month.electricity.days).sum(),
        fuels: months.iter().flat_map(|month| month.fuels.keys()).map(String::as_str).collect(),
    }
}

/// Units of a carrier that the book's own nuts leave.
fn own_units(book: &Book, carrier: &Carrier) -> f64 {
    carrier.own.map_or(0.0, |own| own.units(book.tonnage.received_kg, book.tonnage.dried_kg))
}

/// What one more kWh of each fuel would have cost at the season's end.
fn marginal_prices<'c>(book: &Book, carriers: &'c Carriers) -> BTreeMap<&'c str, f64> {
    let burnt_kwh = |name: &str| -> f64 {
        book.sources
            .iter()
            .filter(|source| source.fuel.as_deref() == Some(name))
            .flat_map(|source| &source.given)
            .map(|draw| draw.fuel_kwh)
            .sum()
    };
    carriers
        .fuels
        .iter()
        .map(|(name, carrier)| {
            let own_left = own_units(book, carrier) - carrier.quantity(burnt_kwh(name));
            (name.as_str(), carrier.next_price_per_kwh(own_left))
        })
        .collect()
}
