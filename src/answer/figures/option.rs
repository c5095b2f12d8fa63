//! The figures of one option: its energy, its bill, its months and years, and its life-cycle money.

use super::{BilledMonth, FlowFigures, GuardFigures, HourlyLoad, SeasonFigures, YearByCause};
use crate::answer::cover::{MonthHours, SortedCover};
use crate::answer::judgement::LeftFigures;
use crate::answer::set::SetFigures;
use crate::cool_store::Place;
use crate::money::ELECTRICITY;
use crate::number::Sentence;
use crate::uncertainty::{DrawOdds, Quantiles};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// One option.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OptionFigures {
    /// Name.
    pub name: String,
    /// One line in words: what heats, where the condensers stand.
    pub description: Sentence,
    /// Options that it includes, those that these include first; empty of an option that includes none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub includes: Vec<String>,
    /// What it sets in place of the study's own values; empty of an option that sets nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<SetFigures>,
    /// Nuts, water and time on its own plant, in the form of `season`; nothing where its plant and its nuts are the
    /// baseline's. Longest wait and growth of mould are those of this option.
    #[serde(rename = "season", skip_serializing_if = "Option::is_none")]
    pub own_season: Option<SeasonFigures>,
    /// Nuts dried, t.
    pub dried_t: f64,
    /// Where the condensers stand: `outdoors`, `room`, `fresh-air`, `switched-room` or `switched-fresh-air`;
    /// `outdoors` where there is no cool store.
    pub condensers: Place,
    /// Heat need, kWh: what the same plant with ample heat asks for in the same weather, without condensers in
    /// the room and without sources that bring water or take it. One figure for all options of a plant; an option that
    /// changes the plant has that of its own.
    pub heat_need_kwh: f64,
    /// Heat given, kWh.
    pub heat_delivered_kwh: f64,
    /// Peak of the heat need, kW.
    pub heat_need_peak_kw: f64,
    /// What sources that take water out of the air spare of the need, kWh: less outside air must be heated.
    /// Less than zero where a flame's water must be carried out. Nothing where no source moves water.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat_spared_kwh: Option<f64>,
    /// Heat capacity of its sources, kW.
    pub heat_capacity_kw: f64,
    /// Hours in which heat was short, mean over years.
    pub hours_short: f64,
    /// Heat not given, kWh: in each hour short what lacked at the set temperature above what was given. A room
    /// that grew cold asks for its rewarming in every hour anew; that is counted no higher than the largest
    /// need within a day before or after, so that no heat is missed that no plant needs. At least what of the
    /// need lies above the heat to be had. Need less delivered is something else: a season that is short of
    /// heat goes on for longer, in other weather.
    pub heat_short_kwh: f64,
    /// Kelvin-hours below the set temperature because heat was short, mean over the batches that dry, K h.
    pub below_set_kh: f64,
    /// Mean hours from loading to dry above those of the same plant with ample heat, h; less than zero where
    /// drier air dries sooner. Nothing where no batch became dry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drying_hours_longer: Option<f64>,
    /// Days from the last dry batch of the same plant with ample heat to the last here. Nothing where none was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_dry_days_later: Option<f64>,
    /// True if it dries everything, meets the heat need to within 1 % and keeps the cool store as its
    /// condensers outdoors would: others are never recommended.
    pub does_the_work: bool,
    /// What it leaves undone, if it does not.
    pub work_left: Vec<LeftFigures>,
    /// Its place among the options that do the work, from 1; nothing if it does not.
    pub place: Option<usize>,
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
    /// Energy by carrier: used, own and purchased.
    pub carriers: BTreeMap<String, CarrierFigures>,
    /// Highest hour of the site over all weather years, kW.
    pub electric_peak_kw: f64,
    /// Energy used in a season, kWh: own and purchased.
    pub used_kwh: f64,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: f64,
    /// Of which purchased, kWh: without the plant's own supply.
    pub purchased_kwh: f64,
    /// Cost of energy; the plant's own supply at what it would have fetched.
    pub energy_cost: f64,
    /// Demand charges.
    pub demand_cost: f64,
    /// Fixed charges and tax.
    pub other_cost: f64,
    /// The site's bill for the season.
    pub total_cost: f64,
    /// Of which what the plant's own supply would have fetched: the rest is to be paid.
    pub own_worth: f64,
    /// Months of a year that the season's bill does not reach, the mean of the weather years.
    pub months_outside_bill: f64,
    /// Fixed charges of all carriers in them, with tax; not in `total_cost`. Those of fuels are in `upkeep_per_year` of
    /// the life cycle, for a plant without the burner does not pay them; those of electricity are the same whatever
    /// heats, and in no cost.
    pub fixed_outside_bill: f64,
    /// What a year is billed: `total_cost` and `fixed_outside_bill`.
    pub billed_in_year: f64,
    /// Of which heat: fuel and electricity of the sources, and the recovery's penalty, at the hour's
    /// prices, demand charge left out.
    pub heat_cost: f64,
    /// Of which drying fans and lights, demand charge left out.
    pub fan_cost: f64,
    /// Of which cool store (as if its condensers were outdoors), demand charge left out.
    pub cool_store_cost: f64,
    /// Bill per dried tonne.
    pub cost_per_dried_t: f64,
    /// Purchased energy per dried tonne, kWh/t.
    pub kwh_per_dried_t: f64,
    /// Energy used per dried tonne, kWh/t.
    pub used_kwh_per_dried_t: f64,
    /// Heat delivered and drying fans per kg of water, MJ/kg.
    pub mj_per_kg_water: Option<f64>,
    /// The same from the energy used for drying, own and purchased, MJ/kg.
    pub used_mj_per_kg_water: Option<f64>,
    /// The same from purchased energy alone, MJ/kg.
    pub purchased_mj_per_kg_water: Option<f64>,
    /// Water evaporated per kWh of purchased drying energy, kg/kWh.
    pub kg_water_per_purchased_kwh: Option<f64>,
    /// Carbon dioxide equivalent, kg: scopes 1 and 2, biogenic carbon dioxide left out.
    pub carbon_kg: f64,
    /// Of which scope 1, emitted on the site: every fuel that is burnt, the plant's own too.
    pub carbon_scope1_kg: f64,
    /// Of which scope 2: purchased electricity at the grid's factor.
    pub carbon_scope2_kg: f64,
    /// Biogenic carbon dioxide of wood and shell, kg; beside the two scopes and not in them.
    pub biogenic_co2_kg: f64,
    /// Residuals, largest over the years.
    pub residuals: ResidualFigures,
    /// Where the drying room's heat went, kWh: ventilation, envelope, warming, freeing bound water.
    pub heat_exits_kwh: BTreeMap<String, f64>,
    /// Where it came from besides sources, kWh: fan heat, lights and people, recovered (all released).
    pub heat_entries_kwh: BTreeMap<String, f64>,
    /// Where each kWh goes.
    pub flow: FlowFigures,
    /// What covered the need through the hours sorted by it.
    pub cover: SortedCover,
    /// Its loads through the hours of all weather years.
    pub loads: OptionLoads,
    /// By month of the bill, from the season's first; months of two years are two rows.
    pub months: Vec<MonthFigures>,
    /// Electricity hour by hour on the mean day of the drying season.
    pub mean_day: MeanDayFigures,
    /// Electricity by the periods of its tariff, in the tariff's order.
    pub periods: Vec<PeriodFigures>,
    /// Each weather year.
    pub years: Vec<OptionYearFigures>,
    /// Life-cycle money.
    pub life_cycle: LifeCycleFigures,
    /// What a year costs, by what it is for.
    pub by_cause: YearByCause,
    /// How sure.
    pub uncertainty: UncertaintyFigures,
    /// Guards that fired.
    pub guards: Vec<GuardFigures>,
}

/// Loads of an option by the hour.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OptionLoads {
    /// Heat that recovered heat leaves to the sources, in the hours with a heat need.
    pub heat_after_recovery: HourlyLoad,
    /// Electricity of the site, in the hours in which it takes any.
    pub site_electricity: HourlyLoad,
}

/// Electricity by hour of the day, mean over the drying season: 24 values each.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
#[allow(clippy::struct_field_names)] // names carry their unit
pub(crate) struct MeanDayFigures {
    /// Heat sources, kW.
    pub sources_kw: Vec<f64>,
    /// Drying fans, kW.
    pub fans_kw: Vec<f64>,
    /// Lights of the drying room, kW.
    pub lights_kw: Vec<f64>,
    /// Cool store, kW.
    pub cool_store_kw: Vec<f64>,
    /// The hour of most electricity, all of it together.
    pub most: MeanHour,
    /// The hour of least.
    pub least: MeanHour,
}

/// An hour of the mean day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub(crate) struct MeanHour {
    /// When it begins, from 0 to 23.
    pub hour: usize,
    /// Electricity, kW.
    pub kw: f64,
}

/// Electricity in one period of its tariff, mean over the weather years.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PeriodFigures {
    /// The period.
    pub name: String,
    /// Energy, kWh.
    pub kwh: f64,
    /// Of all electricity, percent.
    pub share_pct: f64,
    /// Cost of the energy, before tax.
    pub cost: f64,
}

/// One month of an option, by the tariff's clock: hours, energy and bill of a row are those of the same month.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct MonthFigures {
    /// Calendar year: 1 is that of the season's first month, 2 the next.
    pub year: u32,
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
    /// Energy used in the month, kWh: own and purchased.
    pub used_kwh: f64,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: f64,
    /// Of which purchased, kWh.
    pub purchased_kwh: f64,
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

impl OptionFigures {
    /// Fixed charges of fuels in the months that the season's bill does not reach.
    pub(crate) fn fuels_outside_bill(&self) -> f64 {
        let fuels = self.carriers.iter().filter(|(name, _)| is_fuel(name));
        fuels.filter_map(|(_, carrier)| carrier.fixed_outside_bill).sum()
    }

    /// What the energy of a carrier costs in a season, without demand and fixed charges and tax.
    pub(crate) fn energy_cost_of(&self, carrier: &str) -> f64 {
        energy_cost_of(&self.carriers, carrier, self.demand_cost + self.other_cost)
    }
}

impl MonthFigures {
    /// What the energy of a carrier costs in the month, without demand and fixed charges and tax.
    pub(crate) fn energy_cost_of(&self, carrier: &str) -> f64 {
        energy_cost_of(&self.carriers, carrier, self.demand_cost + self.other_cost)
    }
}

/// Whether a carrier is burnt, as all are but electricity.
pub(crate) fn is_fuel(carrier: &str) -> bool {
    carrier != ELECTRICITY
}

/// Charges are those of electricity and stand in its cost.
fn energy_cost_of(carriers: &BTreeMap<String, CarrierFigures>, carrier: &str, charges: f64) -> f64 {
    let cost = carriers.get(carrier).map_or(0.0, |carrier| carrier.cost);
    if is_fuel(carrier) { cost } else { cost - charges }
}

/// An option in one weather year.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OptionYearFigures {
    /// Label of the weather year.
    pub label: String,
    /// Heat need, kWh.
    pub heat_need_kwh: f64,
    /// Heat delivered, kWh.
    pub heat_delivered_kwh: f64,
    /// Energy used, kWh: own and purchased.
    pub used_kwh: f64,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: f64,
    /// Of which purchased, kWh.
    pub purchased_kwh: f64,
    /// Electricity of the site, kWh.
    pub electricity_kwh: f64,
    /// Highest hour, kW.
    pub electric_peak_kw: f64,
    /// Hours short.
    pub hours_short: usize,
    /// Heat not given, kWh.
    pub heat_short_kwh: f64,
    /// Kelvin-hours below the set temperature, K h.
    pub below_set_kh: f64,
    /// Mean hours from loading to dry above those with ample heat, h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drying_hours_longer: Option<f64>,
    /// Days from the last dry batch with ample heat to the last here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_dry_days_later: Option<f64>,
    /// Season's bill.
    pub total_cost: f64,
    /// Carbon dioxide equivalent, kg.
    pub carbon_kg: f64,
    /// Day on which the last batch was dry, `YYYY-MM-DD`.
    pub last_dry: Option<String>,
    /// Residuals of that year.
    pub residuals: ResidualFigures,
    /// Its bill by month, from the season's first: what is billed, in the lines of the tariff.
    pub bill: Vec<BilledMonth>,
}

/// Energy of one carrier: used = own + purchased.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CarrierFigures {
    /// Energy used, kWh (net heating value for fuels); the same as `used_kwh`.
    pub kwh: f64,
    /// Energy used, kWh.
    pub used_kwh: f64,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: f64,
    /// Of which purchased, kWh.
    pub purchased_kwh: f64,
    /// Quantity used, in `unit`.
    pub quantity: f64,
    /// Of which the plant's own supply.
    pub own_quantity: f64,
    /// Of which purchased.
    pub purchased_quantity: f64,
    /// Unit it is sold in.
    pub unit: String,
    /// Cost, in the study's currency; the plant's own supply at what it would have fetched.
    pub cost: f64,
    /// Of which what the plant's own supply would have fetched: nobody is paid it.
    pub own_worth: f64,
    /// Fixed charges of the months of a year that the season's bill does not reach, with tax; not in `cost`. Nothing of
    /// a month.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fixed_outside_bill: Option<f64>,
    /// Carbon dioxide equivalent, kg.
    pub carbon_kg: f64,
    /// Biogenic carbon dioxide, kg; not in `carbon_kg`.
    pub biogenic_co2_kg: f64,
}

/// One source of an option.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SourceFigures {
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
    /// Carrier of its fuel; null for one that burns none.
    pub fuel: Option<String>,
    /// Heat that came in free, kWh: heat + loss = electricity + fuel + free heat.
    pub free_heat_kwh: f64,
    /// Where its free heat comes from; null for one that has none.
    pub free_heat_from: Option<FreeHeatFrom>,
    /// What it took and did not give to the drying air as heat, kWh; of a heat store also what it lost or
    /// still holds.
    pub loss_kwh: f64,
    /// Hours in which it worked.
    pub hours: f64,
    /// How often it began to work after an hour in which it had not.
    pub starts: f64,
    /// Heat given over the electricity and fuel it took: the seasonal COP of a heat pump, the efficiency of a burner.
    /// Nothing where it took none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seasonal_performance: Option<f64>,
}

/// Where free heat comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum FreeHeatFrom {
    /// Outside air, by a heat pump.
    OutsideAir,
    /// Air that leaves the plant, by an exchanger.
    LeavingAir,
    /// The sun, by a collector.
    Sun,
    /// The condensers' water, by a heat pump.
    CondenserWater,
    /// Vapour of the drying air, by a dehumidifier.
    Vapour,
}

impl FreeHeatFrom {
    /// True if a compressor brings it up to use, with its refrigerant.
    pub(crate) fn needs_a_compressor(self) -> bool {
        match self {
            Self::OutsideAir | Self::CondenserWater | Self::Vapour => true,
            Self::LeavingAir | Self::Sun => false,
        }
    }
}

/// What recovered condenser heat was worth.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RecoveredFigures {
    /// All heat the condensers gave off where it could be used, kWh.
    pub gross_kwh: f64,
    /// What met a need, kWh.
    pub useful_kwh: f64,
    /// Electricity above what the same cooling takes with condensers outdoors, kWh.
    pub penalty_kwh: f64,
    /// Electricity and fuel displaced, less penalty, kWh; what was displaced while the store was short of cooling is
    /// not counted.
    pub net_kwh: f64,
    /// Hours in which useful heat earned no credit, since the store got less cooling than with its condensers
    /// outdoors.
    pub unearned_hours: f64,
    /// Of `useful_kwh` what came in those hours, kWh.
    pub unearned_useful_kwh: f64,
    /// Electricity and fuel that it spared, and that is not in `net_kwh`, kWh.
    pub unearned_displaced_kwh: f64,
    /// Cooling that the store lacked above what it lacks with its condensers outdoors, kWh.
    pub cooling_short_kwh: f64,
    /// Of `gross_kwh` what was given off in a room in which no batch dried, where outside air carries it off,
    /// percent.
    pub gross_idle_pct: f64,
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

/// Balances: largest hourly |in - out| over the season's total.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ResidualFigures {
    /// Of water.
    pub water: f64,
    /// Of energy.
    pub energy: f64,
}

/// Life-cycle money of an option.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LifeCycleFigures {
    /// Capital before grant.
    pub capital: f64,
    /// Grant.
    pub grant: f64,
    /// Why a grant that was asked for is not paid, in a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grant_refused: Option<String>,
    /// True if a grant would be paid: one is asked for, the option does the work and passes the scheme's tests.
    pub may_have_grant: bool,
    /// What a grant may be a share of: the capital of what the baseline does not have, or the extra cost.
    pub eligible_capital: f64,
    /// Upkeep a year, and fixed charges of fuels in the months that the season's bill does not reach.
    pub upkeep_per_year: f64,
    /// Net present cost over the analysis period.
    pub net_present_cost: f64,
    /// The same as an equal yearly sum: the season's bill, owning and price growth.
    pub annual_equivalent: f64,
    /// Owning, as an equal yearly sum: capital after grant, upkeep, replacements less what is left at the end.
    pub owning_per_year: f64,
    /// What the growth of energy prices adds to the first year's bill, as an equal yearly sum; less than zero
    /// where prices fall.
    pub price_growth_per_year: f64,
    /// Bills and upkeep saved in a year against the baseline, at today's prices: what the extra investment is divided by
    /// for simple payback. Null for the baseline.
    pub saved_per_year: Option<f64>,
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
    /// The yearly equivalent that `levelised_heat_cost_per_kwh` is made of.
    pub heat_annual_equivalent: f64,
    /// Net present cost saved against the baseline: `running_saving` less `added_investment`.
    pub net_saving: f64,
    /// Present value of the bills and upkeep saved against the baseline.
    pub running_saving: f64,
    /// Present value of what is invested above the baseline: capital less grant, replacements, residuals.
    pub added_investment: f64,
}

/// How sure: over weather years, and over draws of uncertain inputs where the study names any.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct UncertaintyFigures {
    /// Weather years behind it.
    pub weather_years: usize,
    /// Draws of the uncertain inputs behind it, each computed in every weather year; 0 where nothing was
    /// drawn and the quantiles are over weather years with the study's own values.
    pub draws: usize,
    /// Season's bill.
    pub total_cost: Quantiles,
    /// The same per dried tonne.
    pub cost_per_dried_t: Quantiles,
    /// Heat need, kWh.
    pub heat_need_kwh: Quantiles,
    /// Energy used, kWh: own and purchased.
    pub used_kwh: Quantiles,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: Quantiles,
    /// Purchased energy, kWh.
    pub purchased_kwh: Quantiles,
    /// The site's highest hour, kW.
    pub electric_peak_kw: Quantiles,
    /// Net present cost, one a draw: each takes the mean of the weather years. Only where inputs were drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net_present_cost: Option<Quantiles>,
    /// Share of draws in which the option does the work: dries everything and meets the heat need to within
    /// 1 %, percent. In the others its cost is not that of a season.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub does_the_work_in_draws_pct: Option<f64>,
    /// Share of the draws in which nuts may spoil: they wait longer than is safe, or mould is to be seen on the wettest, %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nuts_spoil_in_draws_pct: Option<f64>,
    /// Share of draws in which the option would be the recommended one, and does the work, percent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_in_draws_pct: Option<f64>,
    /// The same as so many of so many draws, with the bounds of the share and the draw from which it was steady.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_in_draws: Option<DrawOdds>,
    /// Share of weather years in which the season's bill is below the baseline's, percent; with the study's
    /// own values.
    pub cheaper_than_baseline_pct: f64,
    /// The spread over weather years with the study's own values, where inputs were drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weather_alone: Option<WeatherSpread>,
}

/// The spread over weather years alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct WeatherSpread {
    /// Season's bill.
    pub total_cost: Quantiles,
    /// Heat need, kWh.
    pub heat_need_kwh: Quantiles,
    /// Energy used, kWh: own and purchased.
    pub used_kwh: Quantiles,
    /// Of which the plant's own supply, kWh.
    pub own_kwh: Quantiles,
    /// Purchased energy, kWh.
    pub purchased_kwh: Quantiles,
}

impl UncertaintyFigures {
    /// The season's bill over weather years with the study's own values.
    pub(crate) fn bill_over_years(&self) -> Quantiles {
        self.weather_alone.map_or(self.total_cost, |spread| spread.total_cost)
    }
}
