//! Every figure of the report, with units in the keys: `figures.json` is this, and the page shows
//! nothing that is not in it or in the hourly books.
//!
//! Where an option has several weather years, its figures are the mean over them unless a name says
//! otherwise; each year's own stand in `years`.

use super::condensers::StackPlacements;
use super::cover::{MonthHours, SortedCover};
use super::crops::CropFigures;
use super::overdried::OverdriedFigures;
use super::phase::PhaseFigures;
use super::rooms::RoomFigures;
use serde::Serialize;
use std::collections::BTreeMap;

/// All figures of one report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// The program that computed them.
    pub tool: Tool,
    /// The question.
    pub study: StudyFigures,
    /// Every file read, with its digest.
    pub inputs: Vec<InputFile>,
    /// The weather used.
    pub weather: WeatherFigures,
    /// What is common to all options: nuts, water, time (of the baseline option).
    pub season: SeasonFigures,
    /// The options in the order of the study.
    pub options: Vec<OptionFigures>,
    /// Every input, given or default.
    pub assumptions: Vec<Assumption>,
    /// Phases of growth, for the baseline and the recommended option; empty if the study has none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub phases: Vec<PhaseFigures>,
    /// What the condensers are worth at every place they may stand, beside the sources of the baseline and
    /// of the recommended option; empty without a cool store.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub condensers: Vec<StackPlacements>,
}

/// The program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Tool {
    /// `dryledger`.
    pub name: String,
    /// Its version.
    pub version: String,
}

/// The question and its frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StudyFigures {
    /// Title as given.
    pub title: String,
    /// Option that savings are measured against.
    pub baseline: String,
    /// Option with the lowest net present cost among those that meet the heat need.
    pub recommended: String,
    /// ISO 4217 code.
    pub currency: String,
    /// First day of the season, `MM-DD`.
    pub season_starts: String,
    /// Last day of the season, `MM-DD`.
    pub season_ends: String,
    /// Name of the crop; the names of several.
    pub crop: String,
    /// Where the air goes: `recirculating` or `once-through`.
    pub air: String,
    /// Set air temperature, °C (the wettest stage's).
    pub air_temperature_c: f64,
    /// Received moisture, % w.b. (mean of the intake).
    pub received_moisture_pct_wb: f64,
    /// Dried moisture asked for, % w.b.; of several crops the first's.
    pub dried_moisture_pct_wb: f64,
    /// Latitude, degrees north.
    pub latitude: Option<f64>,
    /// Longitude, degrees east.
    pub longitude: Option<f64>,
    /// Altitude, m.
    pub altitude_m: Option<f64>,
    /// Analysis period, years.
    pub money_years: u32,
    /// Discount rate, fraction.
    pub discount_rate: f64,
    /// Share of capital that a grant pays, fraction.
    pub grant_share: f64,
}

/// A file that was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct InputFile {
    /// Path relative to the study.
    pub file: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
}

/// The weather used.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WeatherFigures {
    /// Paths relative to the study.
    pub files: Vec<String>,
    /// Formats found, in words.
    pub format: String,
    /// Station or place as the files name it.
    pub station: Option<String>,
    /// Hours read.
    pub hours: usize,
    /// Hours in which something was filled in.
    pub gaps_filled_hours: usize,
    /// Share of the season's heat that fell in such hours, percent (baseline option).
    pub heat_in_filled_hours_pct: f64,
    /// True if the files declare themselves invented or synthetic.
    pub synthetic: bool,
    /// One row a weather year.
    pub years: Vec<WeatherYearFigures>,
    /// Problems found in the files and how they were met, in sentences.
    pub notes: Vec<String>,
}

/// One weather year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeatherYearFigures {
    /// `2031`, `2031/32`, `typical year`.
    pub label: String,
    /// Hours of the season.
    pub season_hours: usize,
    /// Mean outside dry bulb over the season, °C.
    pub mean_dry_bulb_c: f64,
    /// Mean outside relative humidity over the season, %.
    pub mean_relative_humidity_pct: f64,
    /// Mean outside humidity ratio over the season, g/kg.
    pub mean_humidity_ratio_g_per_kg: f64,
    /// Heat to bring 1 kg/s of outside air to the set temperature all season, kWh.
    pub heat_to_set_kwh_per_kg_per_s: f64,
    /// Hours after the season borrowed from another year.
    pub borrowed_hours: usize,
}

/// What all options share.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonFigures {
    /// Hours of the drying season.
    pub hours: usize,
    /// Nuts received, t.
    pub received_t: f64,
    /// Nuts dried, t.
    pub dried_t: f64,
    /// Water evaporated, kg.
    pub water_kg: f64,
    /// Water evaporated per received tonne, kg/t.
    pub water_kg_per_received_t: f64,
    /// Water evaporated per dried tonne, kg/t.
    pub water_kg_per_dried_t: f64,
    /// Waiting, tonne-days.
    pub waiting_tonne_days: f64,
    /// Batches dried.
    pub batches: f64,
    /// Mean hours a batch dries.
    pub mean_drying_hours: f64,
    /// Mean moisture on leaving, % w.b.
    pub dried_moisture_reached_pct_wb: f64,
    /// Weight that the nuts lost to the cool store's air, kg; less than zero where they gained.
    pub stored_nuts_lost_kg: f64,
    /// What that weight would have sold for; nothing where the study gives no price of dried nuts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stored_nuts_lost_money: Option<f64>,
    /// Mean moisture on leaving the cool store, % w.b.; as dried without one.
    pub stored_moisture_reached_pct_wb: f64,
    /// Most bins in use at once.
    pub bins_in_use_max: u32,
    /// Bins there are.
    pub bins: u32,
    /// What drying below the target lost (baseline option).
    pub overdried: OverdriedFigures,
    /// The crops in the order of the study, where there are two or more (baseline option).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub crops: Vec<CropFigures>,
    /// The rooms in the order in which batches pass them (baseline option).
    pub rooms: Vec<RoomFigures>,
    /// Guards that fired in the baseline option.
    pub guards: Vec<GuardFigures>,
}

/// A guard that fired, over all weather years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GuardFigures {
    /// Stable key, such as `waited-too-long`.
    pub key: String,
    /// One sentence: what happened, the worst of it, what to do.
    pub sentence: String,
    /// Hours per season (batch-hours where it watches batches), mean over weather years.
    pub hours: f64,
    /// The worst, in `worst_unit`.
    pub worst: f64,
    /// Unit of `worst`.
    pub worst_unit: String,
}

/// Energy bought of one carrier.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct CarrierFigures {
    /// Energy, kWh (net heating value for fuels).
    pub kwh: f64,
    /// Quantity in `unit`.
    pub quantity: f64,
    /// Of which the plant's own supply.
    pub own_quantity: f64,
    /// Unit it is bought in.
    pub unit: String,
    /// Cost, in the study's currency.
    pub cost: f64,
    /// Carbon dioxide equivalent, kg.
    pub carbon_kg: f64,
}

/// What recovered condenser heat was worth.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct RecoveredFigures {
    /// All heat the condensers gave off where it could be used, kWh.
    pub gross_kwh: f64,
    /// What displaced need, kWh.
    pub useful_kwh: f64,
    /// Electricity above the same store's with condensers outdoors, kWh.
    pub penalty_kwh: f64,
    /// Purchased energy displaced less penalty, kWh.
    pub net_kwh: f64,
    /// The same at the hour's prices.
    pub net_money: f64,
    /// Useful heat over penalty electricity; null without penalty.
    pub cop_of_recovery: Option<f64>,
    /// Useful heat over heat need, percent.
    pub share_of_need_pct: f64,
    /// Credited per hour of day (mean over the season), kWh: 24 values.
    pub useful_by_hour_of_day_kwh: Vec<f64>,
    /// Heat given off per hour of day, kWh: 24 values.
    pub gross_by_hour_of_day_kwh: Vec<f64>,
    /// Heat needed per hour of day, kWh: 24 values.
    pub need_by_hour_of_day_kwh: Vec<f64>,
    /// Need and what recovered heat met of it, by month and hour of day; empty where nothing is recovered.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub by_month_and_hour: Vec<MonthHours>,
}

/// One source of an option.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SourceFigures {
    /// Name.
    pub name: String,
    /// Kind in words.
    pub kind: String,
    /// Rated heat, kW.
    pub capacity_kw: f64,
    /// Heat given, kWh.
    pub heat_kwh: f64,
    /// Highest hour, kW.
    pub peak_kw: f64,
    /// Electricity taken, kWh.
    pub electricity_kwh: f64,
    /// Fuel taken, kWh (net heating value).
    pub fuel_kwh: f64,
    /// Hours in which it worked.
    pub hours: f64,
}

/// Balances: largest hourly |in - out| over the season's total.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct ResidualFigures {
    /// Of water.
    pub water: f64,
    /// Of energy.
    pub energy: f64,
}

/// One calendar month of an option.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MonthFigures {
    /// Month, 1..12.
    pub month: u32,
    /// True if any of its hours lie in the drying season.
    pub in_season: bool,
    /// Water evaporated, kg.
    pub water_kg: f64,
    /// Heat need, kWh.
    pub heat_need_kwh: f64,
    /// Heat delivered, kWh.
    pub heat_delivered_kwh: f64,
    /// Drying fans, kWh.
    pub fan_kwh: f64,
    /// Cool store, kWh.
    pub cool_store_kwh: f64,
    /// Electricity of the heat sources, kWh.
    pub heat_electricity_kwh: f64,
    /// Electricity of the site, kWh.
    pub electricity_kwh: f64,
    /// Highest hour of the site, kW (highest over the weather years).
    pub electric_peak_kw: f64,
    /// Energy by carrier.
    pub carriers: BTreeMap<String, CarrierFigures>,
    /// Cost of energy, without demand and fixed charges.
    pub energy_cost: f64,
    /// Demand charge.
    pub demand_cost: f64,
    /// Fixed charges and tax.
    pub other_cost: f64,
    /// All of it.
    pub total_cost: f64,
    /// Condenser heat given off where it could be used, kWh.
    pub recovered_gross_kwh: f64,
    /// Useful part, kWh.
    pub recovered_useful_kwh: f64,
    /// Penalty, kWh.
    pub recovered_penalty_kwh: f64,
    /// Net, kWh.
    pub recovered_net_kwh: f64,
    /// Net at the hour's prices.
    pub recovered_net_money: f64,
}

/// An option in one weather year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OptionYearFigures {
    /// Label of the weather year.
    pub label: String,
    /// Heat need, kWh.
    pub heat_need_kwh: f64,
    /// Heat delivered, kWh.
    pub heat_delivered_kwh: f64,
    /// Energy bought, kWh.
    pub purchased_kwh: f64,
    /// Electricity of the site, kWh.
    pub electricity_kwh: f64,
    /// Highest hour, kW.
    pub electric_peak_kw: f64,
    /// Hours short.
    pub hours_short: usize,
    /// Season's bill.
    pub total_cost: f64,
    /// Carbon dioxide equivalent, kg.
    pub carbon_kg: f64,
    /// Day on which the last batch was dry, `YYYY-MM-DD`.
    pub last_dry: Option<String>,
    /// Residuals of that year.
    pub residuals: ResidualFigures,
}

/// Life-cycle money of an option.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LifeCycleFigures {
    /// Capital before grant.
    pub capital: f64,
    /// Grant.
    pub grant: f64,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// Net present cost over the analysis period.
    pub net_present_cost: f64,
    /// The same as an equal yearly sum.
    pub annual_equivalent: f64,
    /// Against the baseline; null for the baseline and where nothing is saved.
    pub simple_payback_years: Option<f64>,
    /// Discounted; null where it never pays back.
    pub discounted_payback_years: Option<f64>,
    /// Internal rate of return, fraction; null where there is none.
    pub irr: Option<f64>,
    /// Present value of savings over extra investment; null without extra investment.
    pub savings_to_investment: Option<f64>,
    /// Levelised cost of the heat delivered, per kWh: sources, their upkeep and energy, recovery's
    /// penalty; demand charges left out. Null if no heat was delivered.
    pub levelised_heat_cost_per_kwh: Option<f64>,
    /// Net present cost saved against the baseline.
    pub net_saving: f64,
}

/// Quantiles over weather years.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Quantiles {
    /// 10 % of years lie below.
    pub p10: f64,
    /// Half of the years lie below.
    pub p50: f64,
    /// 90 % of years lie below.
    pub p90: f64,
}

/// How sure: over weather years.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct UncertaintyFigures {
    /// Weather years behind it.
    pub weather_years: usize,
    /// Season's bill.
    pub total_cost: Quantiles,
    /// Heat need, kWh.
    pub heat_need_kwh: Quantiles,
    /// Energy bought, kWh.
    pub purchased_kwh: Quantiles,
    /// Share of weather years in which the season's bill is below the baseline's, percent.
    pub cheaper_than_baseline_pct: f64,
}

/// One option.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OptionFigures {
    /// Name.
    pub name: String,
    /// One line in words: what heats, where the condensers stand.
    pub description: String,
    /// `outdoors`, `fresh-air` or `room`.
    pub condensers: String,
    /// Heat lacking before any source, kWh.
    pub heat_need_kwh: f64,
    /// Heat given, kWh.
    pub heat_delivered_kwh: f64,
    /// Highest hour of heat need, kW.
    pub heat_need_peak_kw: f64,
    /// Heat capacity of its sources, kW.
    pub heat_capacity_kw: f64,
    /// Hours in which heat was short, mean over years.
    pub hours_short: f64,
    /// Heat not given, kWh.
    pub heat_short_kwh: f64,
    /// Drying fans, kWh.
    pub fan_kwh: f64,
    /// Bin fans, kWh.
    pub bin_fan_kwh: f64,
    /// Extraction fan, kWh.
    pub extraction_fan_kwh: f64,
    /// Cool store, all of it, kWh.
    pub cool_store_kwh: f64,
    /// The cool store's part after the drying season, kWh.
    pub cool_store_after_season_kwh: f64,
    /// Cooling given to the store, kWh.
    pub store_cooling_kwh: f64,
    /// Recovered heat.
    pub recovered: RecoveredFigures,
    /// Its sources in order.
    pub sources: Vec<SourceFigures>,
    /// Energy bought, by carrier.
    pub carriers: BTreeMap<String, CarrierFigures>,
    /// Highest hour of the site over all weather years, kW.
    pub electric_peak_kw: f64,
    /// Energy bought, kWh.
    pub purchased_kwh: f64,
    /// Cost of energy.
    pub energy_cost: f64,
    /// Demand charges.
    pub demand_cost: f64,
    /// Fixed charges and tax.
    pub other_cost: f64,
    /// The site's bill for the season.
    pub total_cost: f64,
    /// Of which heat: fuel and electricity of the sources, and the recovery's penalty, at the hour's
    /// prices, demand charge left out.
    pub heat_cost: f64,
    /// Of which drying fans, demand charge left out.
    pub fan_cost: f64,
    /// Of which cool store (as if its condensers were outdoors), demand charge left out.
    pub cool_store_cost: f64,
    /// Bill per dried tonne.
    pub cost_per_dried_t: f64,
    /// Energy bought per dried tonne, kWh/t.
    pub kwh_per_dried_t: f64,
    /// Heat delivered and drying fans per kg of water, MJ/kg.
    pub mj_per_kg_water: Option<f64>,
    /// The same from purchased energy, MJ/kg.
    pub purchased_mj_per_kg_water: Option<f64>,
    /// Water evaporated per kWh of purchased drying energy, kg/kWh.
    pub kg_water_per_purchased_kwh: Option<f64>,
    /// Carbon dioxide equivalent, kg.
    pub carbon_kg: f64,
    /// Residuals, largest over the years.
    pub residuals: ResidualFigures,
    /// Where the drying room's heat went, kWh: ventilation, envelope, warming, freeing bound water.
    pub heat_exits_kwh: BTreeMap<String, f64>,
    /// Where it came from besides sources, kWh: fan heat, lights and people, recovered (all released).
    pub heat_entries_kwh: BTreeMap<String, f64>,
    /// What covered the need through the hours sorted by it.
    pub cover: SortedCover,
    /// By calendar month, from the season's first.
    pub months: Vec<MonthFigures>,
    /// Each weather year.
    pub years: Vec<OptionYearFigures>,
    /// Life-cycle money.
    pub life_cycle: LifeCycleFigures,
    /// How sure.
    pub uncertainty: UncertaintyFigures,
    /// Guards that fired.
    pub guards: Vec<GuardFigures>,
}

/// One input of the study, given or default.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// Where in the study, such as `crop.received_moisture`.
    pub path: String,
    /// Value as text.
    pub value: String,
    /// Unit; empty if it has none.
    pub unit: String,
    /// `given` or `default`.
    pub origin: String,
    /// For a default: its source or reason; for a given value: the line of the study.
    pub source: String,
}
