//! Air through the bins against the energy that drying takes: less air stands longer, more air needs
//! more fan and is thrown away less moist.

use super::search::Grid;
use super::{Lever, Limit, Site, Trial};
use crate::ledger::{Account, Book};
use crate::season::{Intake, References};
use crate::weather::WeatherYear;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Airflows that are tried first, as multiples of the one that stands.
const FIRST_TRIED: [f64; 8] = [0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5];
/// Where the least is at an end, the next is tried so many times further out ...
const FURTHER: f64 = 1.25;
/// ... as far as this share of the airflow that stands.
const LEAST_TIMES: f64 = 0.1;
/// Rounds in which the space on both sides of the least is halved.
const ROUNDS: usize = 3;

/// Seasons at one airflow: sums and means over all weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct AirflowPoint {
    /// Air that is asked for, m³/s per received tonne.
    pub asked_m3_per_s_per_tonne: f64,
    /// Air that batches got, mean over their time in the bins, m³/s per received tonne: another than asked
    /// where fans are known by their curve.
    pub given_m3_per_s_per_tonne: f64,
    /// Heat delivered and electricity of bin and extraction fans, MJ per kg of water evaporated; `None`
    /// where nothing evaporated.
    pub mj_per_kg_water: Option<f64>,
    /// The same, kWh per received tonne.
    pub kwh_per_received_t: f64,
    /// Heat delivered, kWh a season.
    pub heat_kwh: f64,
    /// Electricity of bin and extraction fans, kWh a season.
    pub fan_kwh: f64,
    /// Waiting nuts summed over time, tonne-days a season.
    pub waiting_tonne_days: f64,
    /// Batch-hours in which the mould guard fired: the growth index on the wettest nuts past its limit, a season.
    pub mould_hours: f64,
    /// Days from the season's start until the last batch was dry, in the slowest year; `None` if none was.
    pub last_dry_days: Option<f64>,
    /// Received nuts never dried, t a season.
    pub left_t: f64,
    /// The season's cost.
    pub cost: f64,
    /// True if the limit was kept in every year.
    pub meets: bool,
}

/// A measure of a season's energy that may be least at some airflow.
type Measure = fn(&AirflowPoint) -> Option<f64>;

/// Per kg of water evaporated, and per received tonne.
const MEASURES: [Measure; 2] = [|point| point.mj_per_kg_water, |point| Some(point.kwh_per_received_t)];

/// Where a measure of energy is least among airflows that dry all nuts; `None` where none does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeastAt {
    /// Place among the points.
    pub of_all: Option<usize>,
    /// The same among those that keep the limit, too.
    pub within_limit: Option<usize>,
}

/// Energy over airflow.
#[derive(Clone, Debug, PartialEq)]
pub struct AirflowCurve {
    /// What was tried, least air first.
    pub points: Vec<AirflowPoint>,
    /// The least energy per kg of water evaporated. Too little air leaves the layers of a bed unlike, so
    /// that more water is dried out than is asked for: per kg of water that looks cheap.
    pub per_water: LeastAt,
    /// The least energy per received tonne.
    pub per_received_t: LeastAt,
}

impl AirflowCurve {
    /// False where the least is at an end of what was tried: it may fall on.
    pub fn is_bracketed(&self, least: LeastAt) -> bool {
        least.of_all.is_some_and(|at| at > 0 && at + 1 < self.points.len())
    }
}

/// Runs the seasons at airflows around the one that stands, and on around the least energy.
/// `cost` prices a season. The air is that of the room at this place. All else stays, but what [`Lever::Airflow`] changes with the air.
pub fn airflow_curve<E: Send>(
    site: &Site,
    intake: &Intake,
    years: &[WeatherYear],
    limit: Limit,
    room: usize,
    cost: impl Fn(&Book) -> Result<f64, E> + Sync,
) -> Result<AirflowCurve, E> {
    let site = site.clone().within(limit);
    let lever = Lever::Airflow(room);
    let Some(grid) = Grid::of(lever, &site) else {
        return Ok(AirflowCurve::of(BTreeMap::new()));
    };
    let references = References::default();
    let try_on = |steps: u32| -> Result<(u32, AirflowPoint), E> {
        let airflow = grid.value(steps);
        let changed = lever.set(&site, airflow);
        let seasons = years
            .par_iter()
            .map(|year| {
                let trial = Trial::of(&references, &changed, airflow, intake, year, limit);
                Ok(Season::of(&trial, cost(&trial.book)?))
            })
            .collect::<Result<Vec<Season>, E>>()?;
        Ok((steps, AirflowPoint::of(airflow, &seasons)))
    };
    let first = FIRST_TRIED.map(|times| grid.nearest(grid.as_it_stands * times));
    let mut tried = first.into_par_iter().map(try_on).collect::<Result<BTreeMap<u32, AirflowPoint>, E>>()?;
    let lowest = grid.nearest(grid.as_it_stands * LEAST_TIMES).max(grid.low);
    while let Some(next) = further_out(&tried, &grid, lowest) {
        let (steps, point) = try_on(next)?;
        tried.insert(steps, point);
    }
    for _ in 0..ROUNDS {
        let between = on_both_sides(&tried);
        let found = between.into_par_iter().map(try_on).collect::<Result<Vec<_>, E>>()?;
        tried.extend(found);
    }
    Ok(AirflowCurve::of(tried))
}

/// The key of the least of a measure among points that dry all nuts and pass.
fn least(tried: &BTreeMap<u32, AirflowPoint>, measure: Measure, pass: impl Fn(&AirflowPoint) -> bool) -> Option<u32> {
    tried
        .iter()
        .filter(|(_, point)| point.left_t <= 0.0 && pass(point))
        .filter_map(|(steps, point)| Some((*steps, measure(point)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(steps, _)| steps)
}

/// Where to look next if a least is the first or the last that was tried.
fn further_out(tried: &BTreeMap<u32, AirflowPoint>, grid: &Grid, lowest: u32) -> Option<u32> {
    let (&first, &last) = (tried.keys().next()?, tried.keys().next_back()?);
    MEASURES.into_iter().find_map(|measure| {
        let best = least(tried, measure, |_| true)?;
        let value = grid.value(best);
        if best == first && first > lowest {
            return Some(grid.nearest(value / FURTHER).clamp(lowest, first - 1));
        }
        if best == last && last < grid.high {
            return Some(grid.nearest(value * FURTHER).clamp(last + 1, grid.high));
        }
        None
    })
}

/// Half way, in proportion, from each least to its neighbours.
fn on_both_sides(tried: &BTreeMap<u32, AirflowPoint>) -> Vec<u32> {
    let mut found = Vec::new();
    let bests = MEASURES
        .into_iter()
        .flat_map(|measure| [least(tried, measure, |_| true), least(tried, measure, |point| point.meets)]);
    for best in bests.flatten() {
        let below = tried.range(..best).next_back();
        let above = tried.range(best + 1..).next();
        for (neighbour, _) in below.into_iter().chain(above) {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between the two
            let middle = (f64::from(best) * f64::from(*neighbour)).sqrt().round() as u32;
            found.push(middle);
        }
    }
    found.retain(|steps| !tried.contains_key(steps));
    found.sort_unstable();
    found.dedup();
    found
}

impl AirflowCurve {
    fn of(tried: BTreeMap<u32, AirflowPoint>) -> Self {
        let place = |steps: Option<u32>| tried.keys().position(|key| Some(*key) == steps);
        let [per_water, per_received_t] = MEASURES.map(|measure| LeastAt {
            of_all: place(least(&tried, measure, |_| true)),
            within_limit: place(least(&tried, measure, |point| point.meets)),
        });
        Self { per_water, per_received_t, points: tried.into_values().collect() }
    }
}

impl AirflowPoint {
    fn of(asked: f64, seasons: &[Season]) -> Self {
        let sum = |of: fn(&Season) -> f64| seasons.iter().map(of).sum::<f64>();
        let years = seasons.len().max(1) as f64;
        let (heat_kwh, fan_kwh) = (sum(|s| s.heat_kwh), sum(|s| s.fan_kwh));
        let evaporated_kg = sum(|s| s.evaporated_kg);
        Self {
            asked_m3_per_s_per_tonne: asked,
            given_m3_per_s_per_tonne: sum(|s| s.given_m3_per_s_per_tonne) / years,
            mj_per_kg_water: (evaporated_kg > 0.0).then(|| (heat_kwh + fan_kwh) * 3.6 / evaporated_kg),
            kwh_per_received_t: (heat_kwh + fan_kwh) / sum(|s| s.received_t).max(f64::MIN_POSITIVE),
            heat_kwh: heat_kwh / years,
            fan_kwh: fan_kwh / years,
            waiting_tonne_days: sum(|s| s.waiting_tonne_days) / years,
            mould_hours: sum(|s| s.mould_hours) / years,
            last_dry_days: seasons.iter().filter_map(|season| season.last_dry_days).reduce(f64::max),
            left_t: sum(|s| s.left_t) / years,
            cost: sum(|s| s.cost) / years,
            meets: seasons.iter().all(|season| season.meets),
        }
    }
}

/// What a point keeps of one weather year.
struct Season {
    given_m3_per_s_per_tonne: f64,
    heat_kwh: f64,
    fan_kwh: f64,
    evaporated_kg: f64,
    received_t: f64,
    waiting_tonne_days: f64,
    mould_hours: f64,
    last_dry_days: Option<f64>,
    left_t: f64,
    cost: f64,
    meets: bool,
}

impl Season {
    fn of(trial: &Trial, cost: f64) -> Self {
        let book = &trial.book;
        let account = Account::of_all(book);
        let per_tonne = book.batches.iter().map(|batch| batch.mean_airflow_m3_per_s * 1000.0 / batch.received_kg);
        Self {
            given_m3_per_s_per_tonne: per_tonne.sum::<f64>() / book.batches.len().max(1) as f64,
            heat_kwh: account.heat_delivered_kwh,
            fan_kwh: account.fan_kwh(),
            evaporated_kg: account.evaporated_kg,
            received_t: book.tonnage.received_kg / 1000.0,
            waiting_tonne_days: book.tonnage.waiting_tonne_days,
            mould_hours: trial.mould_hours(),
            last_dry_days: book.last_dry_hour().map(|hour| hour / 24.0),
            left_t: book.tonnage.left_kg / 1000.0,
            cost,
            meets: trial.meets,
        }
    }
}
