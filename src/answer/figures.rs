//! Every figure of the report, with units in the keys: `figures.json` is this, and the page shows
//! nothing that is not in it or in the hourly books.
//!
//! Where an option has several weather years, its figures are the mean over them unless a name says
//! otherwise; each year's own stand in `years`.

mod application;
mod cash;
mod cause;
mod course;
mod deciding;
mod flow;
mod formula;
mod guard;
mod loads;
mod option;
mod placements;
mod prices;
mod scenario;
mod scheme;
mod screening;
mod sheet;
mod told;
mod uncertainty;
mod way;

/// The carrier that is billed by tariffs, by its name in the figures.
pub(crate) use crate::money::ELECTRICITY;
pub(crate) use application::{ApplicationFigures, ComparedFigure, ProposalFigure};
pub(crate) use cash::{
    CashFigures, CashYearFigures, LoanFigures, OptionCashFigures, PlannedFigures, ProfitTaxFigures, PurchaseFigures,
};
pub(crate) use cause::{BreakEvenFigures, DifferenceFigures, YearByCause};
pub(crate) use course::{
    BinCourse, CourseFigures, DailyCourse, DayFigures, GuardDays, HeaviestHours, HourFigures, RoomBins, SourceByDay,
    Stay,
};
pub(crate) use deciding::Deciding;
pub(crate) use flow::FlowFigures;
pub(crate) use formula::{BothKey, CarrierSign, Formula, Joint, ProposalKey, Term, Whose};
pub(crate) use guard::{GuardFigures, Measures};
pub(crate) use loads::{CoverFigures, HourlyLoad, PeakWeekFigures, SortedLoad};
pub(crate) use option::{
    CarrierFigures, FreeHeatFrom, LifeCycleFigures, MeanDayFigures, MeanHour, MonthFigures, OptionFigures, OptionLoads,
    OptionYearFigures, PeriodFigures, RecoveredFigures, ResidualFigures, SourceFigures, UncertaintyFigures,
    WeatherSpread, is_fuel,
};

pub(crate) use placements::{PlacedMonthFigures, PlacementFigures, PriceFlip, StackPlacements, TemperatureFlip};
pub(crate) use prices::{
    BilledFuel, BilledMonth, DemandPriceFigures, ElectricityPrices, EnergyPriceFigures, FuelPrices, GrantTerms,
    OwnedFigures, PriceFigures,
};
pub(crate) use scenario::{InScenarioFigures, RegretFigures, ScenarioFigures, ScenariosFigures};
pub(crate) use scheme::{CostItemFigures, MeterFigures, OfferFigures, SchemeTestFigures, SpecificationFigures};
pub(crate) use screening::{ScreenedFigures, ScreeningFigures, ScreeningVerdict, UntriedFigures};
pub(crate) use sheet::{PointFigures, SheetFigures, YearlyFigures};
pub(crate) use told::{About, PhaseFigures, RankedFigures, WarningFigures};
pub(crate) use uncertainty::{
    Asked, CropChangeFigures, DrawnInputFigures, InTurnFigures, OddsFigures, RankCorrelationFigures,
    RankingChangeFigures, SampledFigures, SwingFigures, TornadoFigures, range_left,
};
pub(crate) use way::{CauseFigures, StepFigures, WayCause, WayFigures, WaySums};

use super::crops::CropFigures;
use super::judgement::JudgementFigures;
use super::kernels::KernelFigures;
use super::overdried::OverdriedFigures;
use super::rooms::RoomFigures;
use super::set::SetFigures;
use super::targets::TargetFigures;
use super::unmeasured::UnmeasuredFigures;
pub(crate) use crate::ledger::SHARES;
use crate::number::Sentence;
pub(crate) use crate::uncertainty::Quantiles;
pub(crate) use crate::uncertainty::{DrawOdds, LEAST_CASES};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

/// All figures of one report.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct Figures {
    /// The program that computed them.
    pub tool: Tool,
    /// What the first page says.
    pub sheet: SheetFigures,
    /// The question.
    pub study: StudyFigures,
    /// What was set for this run in place of the study's own values; empty of a study as it is written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<SetFigures>,
    /// Every file read, with its digest.
    pub inputs: Vec<InputFile>,
    /// The weather used.
    pub weather: WeatherFigures,
    /// What is common to all options: nuts, water, time (of the baseline option).
    pub season: SeasonFigures,
    /// What the charts of the season show: one option in one weather year.
    pub course: CourseFigures,
    /// What is let pass before an option is said to leave work undone.
    pub judgement: JudgementFigures,
    /// The options that do the work, the least net present cost first; empty where none does.
    pub ranking: Vec<RankedFigures>,
    /// Baseline against proposal, with formulas; nothing where there is no proposal.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub application: Option<ApplicationFigures>,
    /// The same of each further proposal that the study names, in its order; empty where it names one or none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub more_applications: Vec<ApplicationFigures>,
    /// The prices and terms that bills and life-cycle money are made of.
    pub prices: PriceFigures,
    /// Why the recommended option costs less in a year than the next best and than the baseline; empty where none is
    /// recommended, or there is no other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub differences: Vec<DifferenceFigures>,
    /// Prices at which another option becomes the best; empty where none is recommended or no price changes that.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub break_even: Vec<BreakEvenFigures>,
    /// The options in the order of the study.
    pub options: Vec<OptionFigures>,
    /// What is possible in the study, or in its weather, but more often a slip.
    pub warnings: Vec<WarningFigures>,
    /// Values of the crops that are placeholders or remembered, and move bins, waiting or mould.
    pub unmeasured: Vec<UnmeasuredFigures>,
    /// Every input, given or default.
    pub assumptions: Vec<Assumption>,
    /// How many there are, and what they rest on.
    pub input_counts: InputCounts,
    /// Phases of growth, of every option where growth is planned, else of the baseline and the recommended option; empty if
    /// the study has none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub phases: Vec<PhaseFigures>,
    /// What each option pays year by year, over planned growth and with loan and tax; nothing until that is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cash: Option<CashFigures>,
    /// What the condensers are worth at every place they may stand, beside the sources of the baseline and
    /// of the recommended option; empty without a cool store.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub condensers: Vec<StackPlacements>,
    /// Every option in every scenario; nothing where the study has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scenarios: Option<ScenariosFigures>,
    /// The way from the baseline to every package, by cause and measure by measure, and to the proposal by cause.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ways: Vec<WayFigures>,
    /// Where to look: a standing list of measures, each tried alone on the baseline, and then on the recommended option
    /// where that is another; empty where it was not asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub screening: Vec<ScreeningFigures>,
    /// What the uncertain inputs make of the answer; nothing where none were drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<SampledFigures>,
}

/// The program.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct Tool {
    /// `dryledger`.
    pub name: String,
    /// Its version.
    pub version: String,
}

/// The question and its frame.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct StudyFigures {
    /// Title as given.
    pub title: String,
    /// The day that the study gives its report, ISO 8601; `null` where the report bears the day of the run, and
    /// then differs from day to day in that alone.
    pub dated: Option<NaiveDate>,
    /// True if the study has a cool store; without one nothing is said of condensers.
    pub has_cool_store: bool,
    /// Option that savings are measured against.
    pub baseline: String,
    /// Option with the lowest net present cost among those that do the work; nothing where none does.
    pub recommended: Option<String>,
    /// The one after it; nothing where fewer than two do the work.
    pub runner_up: Option<String>,
    /// What an application would propose: the option that the study names for it, or else the best option other than
    /// the baseline that does the work and saves purchased energy or carbon against it; nothing where there is none.
    pub proposal: Option<String>,
    /// True if the baseline stands already: what it has costs no capital.
    pub baseline_installed: bool,
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
    /// Where the air of every room goes and what its stages are set to, in words.
    pub air_words: Sentence,
    /// Set air temperature of the first room, °C (the wettest heated stage's); nothing where none is heated.
    /// `season.rooms[].stages` has all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_temperature_c: Option<f64>,
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
    /// Carbon of purchased electricity, kg CO₂-equivalent per kWh; held constant over the analysis period.
    pub grid_carbon_kg_per_kwh: f64,
    /// The set of warming potentials by which gases are added up.
    pub warming_potentials: String,
}

/// A file that was read.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct InputFile {
    /// Path relative to the study.
    pub file: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
}

/// The weather used.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct WeatherFigures {
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
    /// How many of the hours read come from such files.
    pub invented_hours: usize,
    /// Why weather of another place was used on purpose; nothing where it is the site's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elsewhere: Option<String>,
    /// How much warmer than in the files every hour is taken to be, K.
    pub warmer_by_k: f64,
    /// One row a weather year.
    pub years: Vec<WeatherYearFigures>,
    /// Problems found in the files and how they were met, in sentences.
    pub notes: Vec<Sentence>,
}

/// One weather year.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct WeatherYearFigures {
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
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SeasonFigures {
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
    /// Waiting to be loaded, tonne-days: the two that follow together.
    pub waiting_tonne_days: f64,
    /// Waiting for a bin to fall free, tonne-days.
    pub waiting_for_bin_tonne_days: f64,
    /// Waiting until a load has come together, tonne-days.
    pub waiting_for_load_tonne_days: f64,
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
    /// What the kernels of each crop hold (baseline option).
    pub kernels: Vec<KernelFigures>,
    /// What each crop's target means for mould.
    pub targets: Vec<TargetFigures>,
    /// The crops in the order of the study, where there are two or more (baseline option).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub crops: Vec<CropFigures>,
    /// The rooms in the order in which batches pass them (baseline option).
    pub rooms: Vec<RoomFigures>,
    /// Heat need through the hours of all weather years (baseline option).
    pub heat_need: HourlyLoad,
    /// Cooling given to the store, likewise; nothing where none is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub store_cooling: Option<HourlyLoad>,
    /// The seven days in a row with most heat need in any weather year (baseline option); nothing of a season
    /// shorter than a week.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_week_of_heat: Option<PeakWeekFigures>,
    /// The weather year in which it lies.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_week_of_heat_year: Option<String>,
    /// Highest growth index of mould on any batch of any option and weather year.
    pub mould_index_max: f64,
    /// The longest that nuts waited to be loaded in any option and weather year, h.
    pub longest_wait_h: f64,
    /// Guards that fired in the baseline option.
    pub guards: Vec<GuardFigures>,
}

/// One input of the study, given or default.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct Assumption {
    /// Where in the study, such as `crop.received_moisture`.
    pub path: String,
    /// Value as text.
    pub value: String,
    /// Unit; empty if it has none.
    pub unit: String,
    /// As the study writes it, where it writes another unit: `110 F`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// `given` or `default`.
    pub origin: String,
    /// For a default: its source or reason; for a given value: the line of the study.
    pub source: String,
}

impl Assumption {
    /// True if the study gives it, or the command sets it.
    pub(crate) fn is_given(&self) -> bool {
        self.origin == GIVEN
    }
}

/// Origin of an input that the study gives.
pub(crate) const GIVEN: &str = "given";

/// How many inputs there are, and what they rest on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct InputCounts {
    /// Given by the study, or set for the run.
    pub given: usize,
    /// Taken for want of one.
    pub taken: usize,
    /// Values of the crop library in use that stand in for ones that were not found.
    pub placeholders: usize,
    /// Values of it that are from memory, not verified.
    pub from_memory: usize,
    /// Values of it that are common practice without a published source.
    pub common_practice: usize,
    /// Values of it that are derived from others.
    pub derived: usize,
    /// Values of it that were read in a public source.
    pub read: usize,
}
