//! What sizing by money says, in figures.

use super::limits::BrokenFigures;
use super::seasons::SeasonCounts;
use super::tries::Tried;
use crate::answer::figures::GuardFigures;
use crate::trial::{MaySize, NotSized, SizedNumber};
use schemars::JsonSchema;
use serde::Serialize;

/// Everything that sizing by money says.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ByMoneyFigures {
    /// Title of the study.
    pub study: String,
    /// The option that was sized.
    pub option: String,
    /// Currency of all money.
    pub currency: String,
    /// Labels of the weather years, in all of which the limits are kept.
    pub weather_years: Vec<String>,
    /// Years over which cost is present cost.
    pub years: u32,
    /// Nuts wait at most so long to be loaded, days.
    pub waiting_limit_days: f64,
    /// True if less of the rooms than as they stand gives money back: the plant is still to be built.
    pub less_gives_money_back: bool,
    /// The plant as it stands.
    pub as_it_stands: Option<SizedPlant>,
    /// The plant of least net present cost that keeps the limits; null where none that was tried keeps them.
    pub best: Option<SizedPlant>,
    /// Guards that fire longer at the best plant than as it stands.
    pub guards_longer: Vec<GuardLonger>,
    /// True if they were limits, but for those on what has a limit of its own (waiting, heat).
    pub guards_are_limits: bool,
    /// Its numbers, in the order in which plants list their sizes.
    pub numbers: Vec<SizedFigures>,
    /// Of the plants that were tried and keep the limits, those that none beats in both investment and bill; the least
    /// investment first.
    pub frontier: Vec<SizedPlant>,
    /// What was not sized, and why.
    pub not_sized: Vec<NotSizedFigures>,
    /// Seasons that were run.
    pub seasons: SeasonCounts,
    /// True if the search ended because no season was left; the best may then not be the best there is.
    pub ran_out_of_seasons: bool,
    /// The best as an option to be written into the study; null where there is none.
    pub option_to_paste: Option<String>,
}

/// A plant that was tried in all weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SizedPlant {
    /// Its sizes, in the order of the numbers.
    pub sizes: Vec<f64>,
    /// Capital, as the option's life cycle has it.
    pub capital: f64,
    /// Grant.
    pub grant: f64,
    /// Capital after grant.
    pub investment: f64,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// Mean bill over the weather years.
    pub bill: f64,
    /// Net present cost.
    pub net_present_cost: f64,
    /// The longest that any nuts waited to be loaded in any weather year, h.
    pub longest_wait_h: f64,
    /// Heat short, percent of the need, mean of the weather years.
    pub heat_short_pct: f64,
    /// Limits that it breaks.
    pub broken: Vec<BrokenFigures>,
}

/// A guard that fires longer at the best plant than as it stands.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct GuardLonger {
    /// As it fires at the best.
    pub guard: GuardFigures,
    /// Its hours as it stands, mean over the weather years.
    pub hours_as_it_stands: f64,
}

/// A number of the plant.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SizedFigures {
    /// What it is: `bins of "drying room"`.
    pub what: String,
    /// Its unit.
    pub unit: String,
    /// What its price is for: a `kW`, a `bin`, a `m³/s`, a `halving`.
    pub priced_by: String,
    /// The price.
    pub price: f64,
    /// As it stands.
    pub as_it_stands: f64,
    /// Of the best plant; of the last that the search stood at where none keeps the limits.
    pub best: f64,
    /// The least and the largest size that may be tried.
    pub least_tried: f64,
    /// The largest.
    pub most_tried: f64,
    /// The best plant with the next smaller size; null where there is none, or no season was left for it.
    pub smaller: Option<NextSize>,
    /// The best plant with the next larger size.
    pub larger: Option<NextSize>,
}

/// A plant that differs from the best in one size.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct NextSize {
    /// The size.
    pub size: f64,
    /// Net present cost above that of the best; null where a limit was broken before all years were run.
    pub net_present_cost_more: Option<f64>,
    /// Limits that it breaks.
    pub broken: Vec<BrokenFigures>,
}

/// What was not sized.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct NotSizedFigures {
    /// What.
    pub what: String,
    /// Why, and what the study would have to say.
    pub why: String,
}

impl SizedFigures {
    /// Of a number whose size in the best plant is at this place.
    pub(super) fn of(number: &SizedNumber, at: usize, smaller: Option<NextSize>, larger: Option<NextSize>) -> Self {
        Self {
            what: number.what(),
            unit: number.of.unit().to_owned(),
            priced_by: number.of.priced_by().to_owned(),
            price: number.price,
            as_it_stands: number.as_it_stands(),
            best: number.sizes[at],
            least_tried: number.sizes.first().copied().unwrap_or_default(),
            most_tried: number.sizes.last().copied().unwrap_or_default(),
            smaller,
            larger,
        }
    }
}

impl From<&NotSized> for NotSizedFigures {
    fn from(other: &NotSized) -> Self {
        Self { what: other.what.clone(), why: other.why.clone() }
    }
}

/// A plant in figures; nothing of one that was not run in all weather years.
pub(super) fn plant_figures(plant: &MaySize, tried: Option<&Tried>) -> Option<SizedPlant> {
    let tried = tried?;
    let money = tried.money?;
    Some(SizedPlant {
        sizes: plant.numbers.iter().zip(&tried.at).map(|(number, &place)| number.sizes[place]).collect(),
        capital: money.capital,
        grant: money.grant,
        investment: money.capital - money.grant,
        upkeep_per_year: money.upkeep_per_year,
        bill: money.bill,
        net_present_cost: money.net_present_cost,
        longest_wait_h: money.longest_wait_h,
        heat_short_pct: money.heat_short_pct,
        broken: tried.broken.clone(),
    })
}

/// A plant that differs from the best in this size.
pub(super) fn next_size(size: f64, tried: &Tried, best: Option<&Tried>) -> NextSize {
    let cost = |tried: &Tried| tried.money.map(|money| money.net_present_cost);
    let more = cost(tried).zip(best.and_then(cost)).map(|(own, best)| own - best);
    NextSize { size, net_present_cost_more: more, broken: tried.broken.clone() }
}

/// The guards that fire longer in one plant than in another.
pub(super) fn guards_longer(best: Option<&Tried>, as_it_stands: Option<&Tried>) -> Vec<GuardLonger> {
    let hours_before = |key: &str| {
        let before = as_it_stands.into_iter().flat_map(|tried| &tried.guards).find(|guard| guard.key == key);
        before.map_or(0.0, |guard| guard.hours)
    };
    let own = best.into_iter().flat_map(|tried| &tried.guards);
    let all = own.map(|guard| GuardLonger { guard: guard.clone(), hours_as_it_stands: hours_before(&guard.key) });
    all.filter(|longer| longer.guard.hours > longer.hours_as_it_stands).collect()
}
