//! What a season is run on: the plant, its nuts, the options to heat it, and the nuts that come.

use crate::cool_store::{Condensers, StoreSpec};
use crate::dryer::{Delivery, IntakeShape, Nuts, RoomSpec, daily_tonnes};
use crate::heat::{Dispatch, Kind, Prices, Source};
use crate::weather::Hour;
use crate::weather::solar::Place;
use chrono::{Datelike, NaiveDate, NaiveDateTime};
use std::fmt;
use std::sync::Arc;

/// Air no hotter than this for nuts wetter than that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotLimit {
    /// Applies above this moisture, dry basis.
    pub above_moisture: f64,
    /// Hottest air, °C.
    pub air_max_c: f64,
}

/// When batches are loaded, when they are dry, and what is safe meanwhile.
#[derive(Clone, Debug, PartialEq)]
pub struct StayRules {
    /// Mean moisture at which a batch is dry, dry basis.
    pub dried_moisture: f64,
    /// The wettest layer may be this much above it, dry basis.
    pub spread: f64,
    /// Hours of cooling with outside air after drying.
    pub cooling_hours: f64,
    /// Nuts are loaded, even if they do not fill a bin, when the first have waited this long, h.
    pub fill_within_hours: f64,
    /// Nuts may wait this long without harm, h.
    pub safe_waiting_hours: f64,
    /// Water activity above which mould can grow.
    pub mould_activity: f64,
    /// Hours a batch may stand above it in moving air before the guard counts.
    pub mould_hours: f64,
    /// Hours that dried nuts stay in the cool store.
    pub store_hours: f64,
    /// The crop's limits to hot air.
    pub hot_limits: Vec<HotLimit>,
}

/// One site: what stands there and how it is run.
#[derive(Clone, Debug, PartialEq)]
pub struct Plant {
    /// The drying room.
    pub room: RoomSpec,
    /// The nuts.
    pub nuts: Nuts,
    /// When batches move on.
    pub stay: StayRules,
    /// The cool store; `None` where dried nuts leave the site.
    pub store: Option<StoreSpec>,
    /// Air that condensers in a fresh-air intake draw, kg of dry air per second and kW given off.
    pub condenser_air_kg_per_s_per_kw: f64,
    /// Where it stands, for the sun on collectors; without it they give nothing.
    pub place: Option<Place>,
    /// Steps in an hour; 1 unless finer is asked for.
    pub steps_per_hour: u32,
}

/// One way of heating the plant.
#[derive(Clone, Debug, PartialEq)]
pub struct Heating {
    /// Name of the option.
    pub name: String,
    /// Where the cool store's condensers stand.
    pub condensers: Condensers,
    /// Its sources.
    pub sources: Vec<Source>,
    /// Who of them is called on first.
    pub calling: Calling,
}

/// Who of an option's sources is called on first. Passive ones always are.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Calling {
    /// In the order of the list.
    #[default]
    Ordered,
    /// In the order of the list, by sources some of which go by the price of electricity.
    OrderedByHour(HeatPrices),
    /// By what a kilowatt-hour of heat costs in that hour, cheapest first.
    CheapestFirst(HeatPrices),
}

/// What energy costs, as far as the order of sources goes by it; plain numbers in any one currency.
#[derive(Clone, Debug)]
pub struct HeatPrices {
    /// Of a kilowatt-hour of electricity in each hour.
    pub electricity: Arc<dyn ElectricityPrice>,
    /// Of a kilowatt-hour (lower heating value) of each source's fuel; zero for one that burns none.
    pub fuel_per_kwh: Vec<f64>,
}

impl PartialEq for HeatPrices {
    /// True of prices that come from the same place.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.electricity, &other.electricity)
            && self.fuel_per_kwh == other.fuel_per_kwh
    }
}

/// What one more kilowatt-hour of electricity costs by the hour.
pub trait ElectricityPrice: fmt::Debug + Send + Sync {
    /// In the hour that starts then, local standard time.
    fn per_kwh(&self, hour_starts: NaiveDateTime) -> f64;
}

impl Calling {
    /// The same for a stack.
    pub(super) fn dispatch(&self) -> Dispatch {
        match self {
            Self::Ordered | Self::OrderedByHour(_) => Dispatch::Ordered,
            Self::CheapestFirst(_) => Dispatch::CheapestFirst,
        }
    }

    /// What a stack must know of an hour's prices; `None` if it goes by the list alone.
    pub(super) fn prices(&self, hour_starts: NaiveDateTime) -> Option<Prices> {
        match self {
            Self::Ordered => None,
            Self::OrderedByHour(prices) | Self::CheapestFirst(prices) => Some(Prices {
                electricity_per_kwh: prices.electricity.per_kwh(hour_starts),
                fuel_per_kwh: prices.fuel_per_kwh.clone(),
            }),
        }
    }
}

impl Heating {
    /// True if heat from the cool store can reach the plant: from condensers that stand in it, or by a
    /// heat pump on their water.
    pub fn uses_store_heat(&self) -> bool {
        let lifts = |source: &Source| matches!(source.kind, Kind::WaterHeatPump(_));
        self.condensers.place.recovers() || self.sources.iter().any(lifts)
    }
}

/// One row of an intake file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IntakeRow {
    /// Day of arrival; the year is ignored, so that one file serves every weather year.
    pub date: NaiveDate,
    /// Received mass, t.
    pub tonnes: f64,
    /// Moisture, dry basis.
    pub moisture: f64,
}

/// The nuts that come.
#[derive(Clone, Debug, PartialEq)]
pub enum Intake {
    /// A season's tonnage, spread by a shape.
    Shaped {
        /// Received mass of the season, t.
        tonnes: f64,
        /// How it spreads.
        shape: IntakeShape,
        /// Moisture, dry basis.
        moisture: f64,
    },
    /// Day by day.
    Daily(Vec<IntakeRow>),
}

/// Nuts arrive at noon of their day.
const ARRIVAL_HOUR: usize = 12;

impl Intake {
    /// The same intake with every day's tonnes times a factor.
    pub fn times(&self, factor: f64) -> Self {
        let mut scaled = self.clone();
        match &mut scaled {
            Self::Shaped { tonnes, .. } => *tonnes *= factor,
            Self::Daily(rows) => rows.iter_mut().for_each(|row| row.tonnes *= factor),
        }
        scaled
    }

    /// Deliveries by hour of the season.
    pub fn deliveries(&self, season: &[Hour]) -> Vec<Delivery> {
        let first_hours: Vec<usize> = (0..season.len()).step_by(24).collect();
        let at = |day: usize| (first_hours[day] + ARRIVAL_HOUR).min(season.len() - 1);
        match self {
            Self::Shaped {
                tonnes,
                shape,
                moisture,
            } => {
                let months: Vec<u32> = first_hours
                    .iter()
                    .map(|&hour| season[hour].starts.month())
                    .collect();
                daily_tonnes(*tonnes, &months, shape)
                    .into_iter()
                    .enumerate()
                    .map(|(day, tonnes)| Delivery {
                        hour: at(day),
                        tonnes,
                        moisture: *moisture,
                    })
                    .collect()
            }
            Self::Daily(rows) => {
                let days: Vec<(u32, u32)> = first_hours
                    .iter()
                    .map(|&hour| (season[hour].starts.month(), season[hour].starts.day()))
                    .collect();
                let mut all: Vec<Delivery> = rows
                    .iter()
                    .filter_map(|row| {
                        let wanted = (row.date.month(), row.date.day());
                        let day = days.iter().position(|&day| day == wanted)?;
                        Some(Delivery {
                            hour: at(day),
                            tonnes: row.tonnes,
                            moisture: row.moisture,
                        })
                    })
                    .collect();
                all.sort_by_key(|delivery| delivery.hour);
                all
            }
        }
    }
}
