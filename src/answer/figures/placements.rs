//! What the condensers are worth at every place they may stand.

use crate::answer::judgement::LeftFigures;
use crate::answer::places::Place;
use schemars::JsonSchema;
use serde::Serialize;

/// The condensers at every place, beside one option's sources.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct StackPlacements {
    /// Option whose sources heat.
    pub option: String,
    /// Place that saves most over the period among those with which as much work is done as with the condensers
    /// outdoors, or a simpler one that saves as much to within `simpler_within_pct`.
    pub best: Place,
    /// Place that saves most over the period, whatever a damper may cost, of those in question.
    pub saves_most: Place,
    /// How much more, in percent of it, a less simple place must save to be preferred: less would not pay for
    /// a damper.
    pub simpler_within_pct: f64,
    /// The places, outdoors first.
    pub placements: Vec<PlacementFigures>,
    /// Price of electricity at which another place is best; none where no price changes that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_flip: Option<PriceFlip>,
    /// Air temperature at which another place is best; none within the temperatures tried.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_flip: Option<TemperatureFlip>,
    /// Set temperatures of all stages of all rooms, each once, °C.
    pub set_temperatures_c: Vec<f64>,
    /// Lowest and highest shift of all of them that was tried, K.
    pub shifts_tried_k: (f64, f64),
    /// Lowest and highest set temperature that were tried, °C (the wettest stage's of the condensers' room).
    pub temperatures_tried_c: (f64, f64),
}

/// Condensers at one place: means over the weather years.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PlacementFigures {
    /// Where they stand.
    pub place: Place,
    /// Name of the room in which they stand, or whose fresh air they warm, where the study has several rooms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// All heat the condensers gave off where it could be used, kWh.
    pub gross_kwh: f64,
    /// What met a need, kWh.
    pub useful_kwh: f64,
    /// Electricity of the units above what the same cooling takes with the condensers outdoors, kWh.
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
    /// Bills saved over the period of the life cycle, with its growth of prices and its discount rate: what the
    /// installation may cost after grant. Places are ranked by this.
    pub present_saved: f64,
    /// Of which electricity.
    pub present_electricity_saved: f64,
    /// Of which fuel.
    pub present_fuel_saved: f64,
    /// Useful heat per kWh of penalty; none where there is no penalty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cop_of_recovery: Option<f64>,
    /// Electricity that an air-source heat pump would have taken for the useful heat, hour by hour, kWh.
    pub heat_pump_kwh: f64,
    /// What that would have cost at the hour's prices.
    pub heat_pump_money: f64,
    /// Month by month, from the season's first.
    pub by_month: Vec<PlacedMonthFigures>,
    /// Cooling that the store asked for and did not get, kWh.
    pub unmet_cooling_kwh: f64,
    /// True if all nuts became dry.
    pub all_dry: bool,
    /// True if no work is left undone that is done with the condensers outdoors.
    pub keeps_up: bool,
    /// The work that is left undone.
    pub work_left: Vec<LeftFigures>,
}

/// Condensers at one place in a calendar month: means over the weather years, kWh.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlacedMonthFigures {
    /// 1..12.
    pub month: u32,
    /// Heat given off where it could be used.
    pub gross_kwh: f64,
    /// What met a need.
    pub useful_kwh: f64,
    /// Electricity above what the same cooling takes with the condensers outdoors.
    pub penalty_kwh: f64,
    /// Electricity and fuel displaced, less penalty.
    pub net_kwh: f64,
    /// The same by hour of the day: 24 sums over the month.
    pub net_by_hour_kwh: Vec<f64>,
}

/// Electricity this many times as dear, fuels as they are.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PriceFlip {
    /// Times the present price.
    pub electricity_factor: f64,
    /// What is best beyond it.
    pub becomes: Place,
}

/// Air set warmer or cooler, in every stage of every room alike.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct TemperatureFlip {
    /// Set temperature that was tried at which the best is still the best, °C (the wettest stage's of the
    /// condensers' room).
    pub still_c: f64,
    /// The next one tried, at which it is not, °C.
    pub no_more_c: f64,
    /// How far all set temperatures were shifted then, K.
    pub still_shift_k: f64,
    /// How far they were where it is not, K.
    pub no_more_shift_k: f64,
    /// What is best there.
    pub becomes: Place,
}
