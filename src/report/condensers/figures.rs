//! What condensers at one place come to.

use super::heat_pump_of;
use super::{
    Account, AirState, Book, Conditions, GuardKind, Placement, SeasonBill, Study, Unreckoned,
};
use serde::Serialize;

/// The condensers at every place, beside one option's sources.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StackPlacements {
    /// Option whose sources heat.
    pub option: String,
    /// Place that is worth most among those with which the store keeps up, or a simpler one worth as much to
    /// within 2 %.
    pub best: String,
    /// The places, outdoors first.
    pub placements: Vec<PlacementFigures>,
    /// Price of electricity at which another place is best; none where no price changes that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_flip: Option<PriceFlip>,
    /// Air temperature at which another place is best; none within the temperatures tried.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_flip: Option<TemperatureFlip>,
    /// Lowest and highest set temperature that were tried, °C (the wettest stage's).
    pub temperatures_tried_c: (f64, f64),
}

/// Condensers at one place: means over the weather years.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PlacementFigures {
    /// `outdoors`, `room`, `fresh-air`, `switched-room` or `switched-fresh-air`.
    pub place: String,
    /// All heat the condensers gave off where it could be used, kWh.
    pub gross_kwh: f64,
    /// What displaced need, kWh.
    pub useful_kwh: f64,
    /// Electricity of the units above the same store's with its condensers outdoors, kWh.
    pub penalty_kwh: f64,
    /// Electricity and fuel displaced, less penalty, kWh.
    pub net_kwh: f64,
    /// The same in money at the hour's prices, demand charges left out.
    pub net_money: f64,
    /// Of which electricity displaced.
    pub displaced_electricity_money: f64,
    /// Of which fuel displaced.
    pub displaced_fuel_money: f64,
    /// Of which the penalty, a cost.
    pub penalty_money: f64,
    /// The season's bill, demand charges and tax counted.
    pub bill: f64,
    /// The bill with condensers outdoors less this one.
    pub bill_saved: f64,
    /// Useful heat per kWh of penalty; none where there is no penalty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cop_of_recovery: Option<f64>,
    /// Electricity that an air-source heat pump would have taken for the useful heat, hour by hour, kWh.
    pub heat_pump_kwh: f64,
    /// What that would have cost at the hour's prices.
    pub heat_pump_money: f64,
    /// Cooling that the store asked for and did not get, kWh.
    pub unmet_cooling_kwh: f64,
    /// True if all nuts became dry.
    pub all_dry: bool,
    /// True if the store keeps up as well as with its condensers outdoors, and all nuts became dry.
    pub keeps_up: bool,
}

/// Electricity this many times as dear, fuels as they are.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PriceFlip {
    /// Times the present price.
    pub electricity_factor: f64,
    /// What is best beyond it.
    pub becomes: String,
}

/// Air set warmer or cooler.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TemperatureFlip {
    /// Set temperature that was tried at which the best is still the best, °C.
    pub still_c: f64,
    /// The next one tried, at which it is not, °C.
    pub no_more_c: f64,
    /// What is best there.
    pub becomes: String,
}

impl PlacementFigures {
    /// Electricity displaced less penalty, in money: what goes with the price of electricity.
    pub fn electricity_money(&self) -> f64 {
        self.displaced_electricity_money - self.penalty_money
    }

    /// True if the store got its cooling, and the nuts became dry, as they do with condensers outdoors.
    pub fn keeps_up_as_well_as(&self, outdoors: &Self) -> bool {
        // Within a hundredth, and a kilowatt-hour: rounding, and hours at a trip limit.
        let unmet_kwh = outdoors.unmet_cooling_kwh * 1.01 + 1.0;
        self.unmet_cooling_kwh <= unmet_kwh && (self.all_dry || !outdoors.all_dry)
    }
}

/// Key of a place.
pub(super) fn name_of(place: Placement) -> &'static str {
    match place {
        Placement::Outdoors => "outdoors",
        Placement::FreshAir => "fresh-air",
        Placement::Room => "room",
        Placement::SwitchedRoom(_) => "switched-room",
        Placement::SwitchedFreshAir(_) => "switched-fresh-air",
    }
}

/// The figures of one place from its books; compared with outdoors later.
pub(super) fn reckon(
    study: &Study,
    place: Placement,
    books: &[Book],
) -> Result<PlacementFigures, Unreckoned> {
    let years = books.len().max(1) as f64;
    let mut sum = PlacementFigures {
        place: name_of(place).to_owned(),
        all_dry: true,
        ..PlacementFigures::default()
    };
    let pump = heat_pump_of(study);
    for book in books {
        let credit = Account::of_all(book).credit;
        sum.gross_kwh += credit.gross_kwh / years;
        sum.useful_kwh += credit.useful_kwh / years;
        sum.penalty_kwh += credit.penalty_kwh / years;
        sum.net_kwh += credit.net_kwh() / years;
        let bill = SeasonBill::of(book, &study.carriers, study.currency)?;
        let net_money: f64 = bill.months.iter().map(|month| month.credit_money).sum();
        sum.net_money += net_money / years;
        sum.bill += study.currency.value(bill.total()) / years;
        sum.all_dry &= book.guards.iter().all(|guard| guard.kind != GuardKind::Unfinished);
        let prices =
            study.carriers.electricity.prices_per_kwh(book.hours.iter().map(|hour| hour.starts));
        for (at, (hour, price)) in book.hours.iter().zip(prices).enumerate() {
            let displaced: f64 = book
                .sources
                .iter()
                .filter_map(|source| source.displaced.get(at))
                .map(|draw| draw.electricity_kw)
                .sum();
            sum.displaced_electricity_money += displaced * price / years;
            sum.penalty_money += hour.penalty_kwh * price / years;
            sum.unmet_cooling_kwh += hour.store_unmet_kwh / years;
            if hour.recovered_kwh > 0.0 {
                let now = Conditions {
                    outside: AirState { dry_bulb_c: hour.outside_c, humidity_ratio: 0.0 },
                    outside_relative_humidity: hour.outside_relative_humidity,
                    supply_c: hour.air_c,
                    ..Conditions::default()
                };
                let kwh = hour.recovered_kwh / pump.cop(&now);
                sum.heat_pump_kwh += kwh / years;
                sum.heat_pump_money += kwh * price / years;
            }
        }
    }
    sum.displaced_fuel_money = sum.net_money - sum.electricity_money();
    sum.cop_of_recovery =
        (sum.penalty_kwh > 0.0 && sum.useful_kwh > 0.0).then(|| sum.useful_kwh / sum.penalty_kwh);
    Ok(sum)
}
