//! What a season is run on: the plant, its nuts, the options to heat it, and the nuts that come.

use super::setback::RoomSetback;
use crate::calendar::TimeOfUse;
use crate::cool_store::{Condensers, Keeping, StoreSpec};
use crate::crop::MouldLaw;
use crate::dryer::{Delivery, Finish, Grade, IntakeShape, NutBed, Nuts, RoomSpec, Setback, Sort, daily_tonnes};
use crate::heat::{Dispatch, Prices, Source};
use crate::weather::Hour;
use crate::weather::solar::Place;
use chrono::{Datelike, NaiveDate, NaiveDateTime, Weekday};

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
    /// The wettest nuts of a batch may be this much above it, dry basis.
    pub spread: f64,
    /// Hours of cooling with outside air after drying.
    pub cooling_hours: f64,
    /// True if drying ends when cooling will take the rest.
    pub foresees_cooling: bool,
    /// Nuts are loaded, even if they do not fill a bin, when the first have waited this long, h.
    pub fill_within_hours: f64,
    /// A bin is not begun with less than this while its nuts can wait and more is to come, kg.
    pub least_load_kg: f64,
    /// Nuts are loaded, however few they are, before the first have waited longer than this, h.
    pub load_within_hours: f64,
    /// Nuts may be put on top of a batch that is not full and dries, so many hours from its loading, h;
    /// zero where a bin is filled once.
    pub fill_over_hours: f64,
    /// Nuts may wait this long without harm, h.
    pub safe_waiting_hours: f64,
    /// Water activity above which mould grows in the warmth.
    pub mould_activity: f64,
    /// Hours in which mould is first seen on saturated nuts at 30 °C, h.
    pub mould_hours: f64,
    /// Hours that dried nuts stay in the cool store.
    pub store_hours: f64,
    /// How they behave there.
    pub keeping: Keeping,
    /// The crop's limits to hot air.
    pub hot_limits: Vec<HotLimit>,
}

impl StayRules {
    /// When drying ends.
    pub(super) fn finish(&self) -> Finish {
        Finish {
            moisture: self.dried_moisture,
            spread: self.spread,
            cooling_hours: self.cooling_hours,
            foresees_cooling: self.foresees_cooling,
        }
    }

    /// When mould grows on these nuts, and how fast.
    pub fn mould_law(&self) -> MouldLaw {
        MouldLaw { critical_activity: self.mould_activity, hours_to_first_growth: self.mould_hours }
    }

    /// The hottest air that nuts of this moisture (dry basis) bear, °C; infinite where any is borne.
    pub fn hottest_air_c(&self, moisture: f64) -> f64 {
        self.hot_limits
            .iter()
            .filter(|limit| moisture > limit.above_moisture)
            .map(|limit| limit.air_max_c)
            .fold(f64::INFINITY, f64::min)
    }
}

/// One site: what stands there and how it is run.
#[derive(Clone, Debug, PartialEq)]
pub struct Plant {
    /// The drying rooms in the order in which batches pass them; one at least.
    pub rooms: Vec<RoomSpec>,
    /// How batches go on from each room to the next; one fewer than rooms.
    pub hand_overs: Vec<HandOver>,
    /// Hours in which rooms are set back; the first that holds counts.
    pub setbacks: Vec<RoomSetback>,
    /// The crops; one at least. A bin holds one of them at a time; the fans of bins are given for the first.
    pub crops: Vec<PlantCrop>,
    /// The cool store; `None` where dried nuts leave the site.
    pub store: Option<StoreSpec>,
    /// Air that condensers in a fresh-air intake draw, kg of dry air per second and kW given off.
    pub condenser_air_kg_per_s_per_kw: f64,
    /// Where it stands, for the sun on collectors; without it they give nothing.
    pub place: Option<Place>,
    /// Steps in an hour; 1 unless finer is asked for.
    pub steps_per_hour: u32,
}

/// How a batch goes on from a room to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandOver {
    /// Mean moisture at which it goes, dry basis.
    pub at_moisture: f64,
    /// Whole hours that moving it takes: both its bins are taken, and no air passes it.
    pub hours: f64,
}

/// A crop as the plant dries it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantCrop {
    /// Its nuts.
    pub nuts: Nuts,
    /// When its batches move on.
    pub stay: StayRules,
    /// How its nuts stand in the way of the air; `None` of the crop that the fans are given for.
    pub in_the_way: Option<NutBed>,
}

impl Plant {
    /// True if nuts dry here as they do there, whatever the cool stores: rooms and nuts know nothing of a store.
    pub fn dries_as(&self, other: &Self) -> bool {
        let Self { rooms, hand_overs, setbacks, crops, store: _, condenser_air_kg_per_s_per_kw, place, steps_per_hour } =
            self;
        *rooms == other.rooms
            && *hand_overs == other.hand_overs
            && *setbacks == other.setbacks
            && *crops == other.crops
            && *condenser_air_kg_per_s_per_kw == other.condenser_air_kg_per_s_per_kw
            && *place == other.place
            && *steps_per_hour == other.steps_per_hour
    }

    /// The crops' nuts in their order.
    pub fn nuts_by_crop(&self) -> impl Iterator<Item = &Nuts> {
        self.crops.iter().map(|crop| &crop.nuts)
    }

    /// When batches of each crop move on, in the crops' order.
    pub fn stays(&self) -> impl Iterator<Item = &StayRules> {
        self.crops.iter().map(|crop| &crop.stay)
    }

    /// When batches of a crop move on; the first crop is 0.
    pub fn stay_of(&self, crop: usize) -> &StayRules {
        &self.crops[crop].stay
    }

    /// How a crop's nuts stand in the way of the air, where it is not the first, which the fans are given
    /// for.
    pub fn in_the_way_of(&self, crop: usize) -> Option<NutBed> {
        self.crops.get(crop)?.in_the_way
    }

    /// The room that nuts come into.
    pub fn first_room(&self) -> &RoomSpec {
        &self.rooms[0]
    }

    /// How long nuts wait for a bin, and what a bin is begun with: of the plant, the same for every crop.
    pub fn loading(&self) -> &StayRules {
        &self.crops[0].stay
    }

    /// What a room is set back to in the hour that starts then.
    pub fn setback(&self, room: usize, hour_starts: NaiveDateTime) -> Setback {
        self.setbacks
            .iter()
            .find(|setback| setback.room == room && setback.when.holds(hour_starts))
            .map_or(Setback::NONE, |setback| setback.to)
    }

    /// All rooms in the order in which batches pass them.
    pub fn rooms(&self) -> impl Iterator<Item = &RoomSpec> {
        self.rooms.iter()
    }

    /// The name of the room at this place where there are several, so that it must be told apart.
    pub fn named_room(&self, place: usize) -> Option<&str> {
        self.rooms.get(place).map(|room| room.name.as_str()).filter(|_| self.rooms.len() > 1)
    }

    /// The room at this place, to be changed.
    pub fn room_mut(&mut self, place: usize) -> Option<&mut RoomSpec> {
        self.rooms.get_mut(place)
    }

    /// Bins of all rooms.
    pub fn bins(&self) -> usize {
        self.rooms().map(|room| room.bins.len()).sum()
    }
}

/// One way of heating the plant.
#[derive(Clone, Debug, PartialEq)]
pub struct Heating {
    /// Name of the option.
    pub name: String,
    /// Where the cool store's condensers stand.
    pub condensers: Condensers,
    /// The room in which they stand, or whose fresh air they warm, from 0.
    pub condensers_room: usize,
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
#[derive(Clone, Debug, PartialEq)]
pub struct HeatPrices {
    /// Of a kilowatt-hour of electricity in each hour.
    pub electricity: HourPrices,
    /// Of a kilowatt-hour (lower heating value) of each source's fuel; zero for one that burns none.
    pub fuel_per_kwh: Vec<f64>,
}

/// What one more kilowatt-hour costs by the hour.
#[derive(Clone, Debug, PartialEq)]
pub struct HourPrices {
    /// Kinds of hour.
    pub times: TimeOfUse,
    /// Price of a kilowatt-hour in each kind of hour, and last at all other times.
    pub per_kwh: Vec<f64>,
}

impl HourPrices {
    /// In the hour that starts then, local standard time.
    pub fn per_kwh(&self, hour_starts: NaiveDateTime) -> f64 {
        self.times.mean(hour_starts, |kind| self.per_kwh.get(kind).copied().unwrap_or_default())
    }
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
        self.condensers.place.recovers() || self.sources.iter().any(Source::lifts_condenser_heat)
    }
}

/// One row of an intake file.
#[derive(Clone, Debug, PartialEq)]
pub struct IntakeRow {
    /// Day of arrival; the year is ignored, so that one file serves every weather year.
    pub date: NaiveDate,
    /// Received mass, t.
    pub tonnes: f64,
    /// Moisture, dry basis.
    pub moisture: f64,
    /// Grade, where the file tells grades apart.
    pub grade: Grade,
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
        /// A load holds at most this, received t; all loads of the season are alike.
        load_t: f64,
        /// Days of the week on which loads come, with all that fell due since the last; every day where
        /// none is named.
        truck_days: Vec<Weekday>,
    },
    /// Day by day.
    Daily(Vec<IntakeRow>),
    /// One of each crop, in the order of the plant's crops.
    ByCrop(Vec<Intake>),
}

impl Intake {
    /// Dry matter of the nuts of a season, t.
    pub fn dry_matter_t(&self) -> f64 {
        match self {
            Self::Shaped { tonnes, moisture, .. } => tonnes / (1.0 + moisture),
            Self::Daily(rows) => rows.iter().map(|row| row.tonnes / (1.0 + row.moisture)).sum(),
            Self::ByCrop(crops) => crops.iter().map(Self::dry_matter_t).sum(),
        }
    }
}

/// More loads than this are not told apart.
const MOST_LOADS: f64 = 10_000.0;

/// The loads in which a season's daily tonnes come: how many on each day, and what one holds, t. Loads are
/// alike, as few as hold it all. A shape says how the season spreads, not what is picked on a day: a load
/// comes on the day by which half of it is due, so that loads are neither late nor early on average. Where
/// trucks come on some days alone, each brings what fell due since the last, and the rest comes on the
/// season's last day.
fn in_loads(daily: &[f64], most_t: f64, comes: impl Fn(usize) -> bool) -> (Vec<usize>, f64) {
    let all_t: f64 = daily.iter().sum();
    if all_t <= 0.0 {
        return (vec![0; daily.len()], 0.0);
    }
    // A hair less than a whole number of loads is that number.
    let count = (all_t / most_t - 1e-9).ceil().clamp(1.0, MOST_LOADS);
    let load_t = all_t / count;
    let last = daily.len() - 1;
    let (mut so_far_t, mut brought) = (0.0, 0);
    let by_day = daily
        .iter()
        .enumerate()
        .map(|(day, tonnes)| {
            so_far_t += tonnes;
            let all_due = if day == last { count } else { (so_far_t / load_t + 0.5).floor() };
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // few
            let due = all_due.min(count) as usize;
            let comes = comes(day) || day == last;
            if comes { due - std::mem::replace(&mut brought, due) } else { 0 }
        })
        .collect();
    (by_day, load_t)
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
            Self::ByCrop(all) => all.iter_mut().for_each(|one| *one = one.times(factor)),
        }
        scaled
    }

    /// Received mass of the season, t; of a file, all its rows.
    pub fn received_t(&self) -> f64 {
        match self {
            Self::Shaped { tonnes, .. } => *tonnes,
            Self::Daily(rows) => rows.iter().map(|row| row.tonnes).sum(),
            Self::ByCrop(all) => all.iter().map(Self::received_t).sum(),
        }
    }

    /// Deliveries by hour of the season.
    pub fn deliveries(&self, season: &[Hour]) -> Vec<Delivery> {
        let first_hours: Vec<usize> = (0..season.len()).step_by(24).collect();
        let at = |day: usize| (first_hours[day] + ARRIVAL_HOUR).min(season.len() - 1);
        match self {
            Self::Shaped { tonnes, shape, moisture, load_t, truck_days } => {
                let months: Vec<u32> = first_hours.iter().map(|&hour| season[hour].starts.month()).collect();
                let daily = daily_tonnes(*tonnes, &months, shape);
                let weekday = |day: usize| season[first_hours[day]].starts.weekday();
                let comes = |day| truck_days.is_empty() || truck_days.contains(&weekday(day));
                let (by_day, load_t) = in_loads(&daily, *load_t, comes);
                let load =
                    |day: usize| Delivery { hour: at(day), tonnes: load_t, moisture: *moisture, sort: Sort::default() };
                by_day.into_iter().enumerate().flat_map(|(day, loads)| std::iter::repeat_n(load(day), loads)).collect()
            }
            Self::Daily(rows) => {
                let days: Vec<(u32, u32)> =
                    first_hours.iter().map(|&hour| (season[hour].starts.month(), season[hour].starts.day())).collect();
                let mut all: Vec<Delivery> = rows
                    .iter()
                    .filter_map(|row| {
                        let wanted = (row.date.month(), row.date.day());
                        let day = days.iter().position(|&day| day == wanted)?;
                        Some(Delivery {
                            hour: at(day),
                            tonnes: row.tonnes,
                            moisture: row.moisture,
                            sort: Sort { crop: 0, grade: row.grade.clone() },
                        })
                    })
                    .collect();
                all.sort_by_key(|delivery| delivery.hour);
                all
            }
            Self::ByCrop(intakes) => {
                let mut all: Vec<Delivery> = Vec::new();
                for (crop, intake) in intakes.iter().enumerate() {
                    all.extend(intake.deliveries(season).into_iter().map(|mut delivery| {
                        delivery.sort.crop = crop;
                        delivery
                    }));
                }
                all.sort_by_key(|delivery| delivery.hour);
                all
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_season_comes_in_alike_loads_half_of_which_fell_due() {
        let (by_day, load_t) = in_loads(&[1.0; 12], 3.0, |_| true);
        assert_relative_eq!(load_t, 3.0);
        assert_eq!(by_day, [0, 1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0]);
        let (by_day, load_t) = in_loads(&[1.0; 12], 5.0, |day| day % 4 == 3);
        assert_relative_eq!(load_t, 4.0);
        assert_eq!(by_day, [0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1]);
    }

    #[test]
    fn few_nuts_come_as_one_load_and_many_a_day_as_several() {
        let (by_day, load_t) = in_loads(&[0.1, 0.2, 0.1], 3.0, |_| true);
        assert_eq!((by_day, load_t), (vec![0, 1, 0], 0.4));
        let (by_day, load_t) = in_loads(&[6.0, 9.0], 1.0, |_| true);
        assert_eq!((by_day, load_t), (vec![6, 9], 1.0));
        assert_eq!(in_loads(&[0.0, 0.0], 1.0, |_| true).0, [0, 0]);
        // The last day brings what is left, though no truck comes.
        assert_eq!(in_loads(&[1.0, 1.0, 1.0], 1.0, |day| day == 0).0, [1, 0, 2]);
    }
}
