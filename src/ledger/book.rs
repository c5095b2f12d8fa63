//! The whole of one option in one weather year.

use super::entry::Entry;
use super::hours::{Blocks, Hours, cells};
use super::reference::Reference;
use super::room_entry::RoomEntry;
use crate::heat::Drawn;
use chrono::{Duration, NaiveDateTime};
use std::sync::Arc;

/// One option in one weather year: its hours, its sources, its batches and its guards.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Book {
    /// Name of the option.
    pub option: String,
    /// Label of the weather year.
    pub year: String,
    /// The hours, season first.
    pub hours: Hours<Entry>,
    /// What each source gave, in the order of the option's stack.
    pub sources: Vec<SourceBook>,
    /// The rooms in the order in which batches pass them.
    pub rooms: Vec<RoomBook>,
    /// Each room's hours: all rooms of the first hour, then of the second; empty unless they were asked for
    /// ([`Detail::Rooms`](super::Detail::Rooms)).
    pub room_hours: Vec<RoomEntry>,
    /// The batches in the order in which they were loaded.
    pub batches: Vec<BatchRecord>,
    /// Nuts and water over the season.
    pub tonnage: Tonnage,
    /// Weight that stored nuts of each crop lost to the store's air, kg, in the order of the plant's crops;
    /// less than zero where they gained.
    pub store_lost_kg: Vec<f64>,
    /// Guards that fired, each once.
    pub guards: Vec<Guard>,
    /// Where the weather ended before the time to dry was over and nuts were left wet.
    pub weather_ended: Option<WeatherEnd>,
    /// What it is held against.
    pub reference: Arc<Reference>,
}

/// Weather that ended while nuts were still wet and had time left to dry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeatherEnd {
    /// The first hour without weather.
    pub at: NaiveDateTime,
    /// The hour until which the nuts may dry.
    pub wanted_until: NaiveDateTime,
}

/// One source over the season; `given[i]` and `displaced[i]` belong to `hours[i]`, in kWh.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceBook {
    /// Name of the source.
    pub name: String,
    /// Carrier of its fuel; `None` if it takes electricity alone.
    pub fuel: Option<String>,
    /// True if its fuel is the plant's own and none is purchased: it stands still when that is burnt.
    pub burns_own_alone: bool,
    /// What it gave and took, kWh in the hour.
    pub given: Hours<Drawn>,
    /// What it would have given and taken on top had there been no recovered heat, kWh in the hour.
    pub displaced: Hours<Drawn>,
}

cells!(Drawn { heat_kwh, electricity_kwh, fuel_kwh, water_kg, charged_kwh });

impl SourceBook {
    /// An hour in which it gives nothing.
    pub(super) fn stand_still(&mut self) {
        if self.displaced.len() == self.given.len() {
            self.displaced.open_mut().push(Drawn::default());
        }
        self.given.open_mut().push(Drawn::default());
    }
}

/// An hour with what the sources did in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HourOfBook {
    /// Its place in the season, from 0.
    pub at: usize,
    /// The hour.
    pub hour: Entry,
    /// What each source gave and took, in the order of the option's stack.
    pub given: Vec<Drawn>,
    /// What each would have given and taken on top had there been no recovered heat.
    pub displaced: Vec<Drawn>,
}

/// One room over the season. Means are over the hours in which batches dry in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoomBook {
    /// Name of the room.
    pub name: String,
    /// Its bins.
    pub bins: usize,
    /// Batches that began to dry in it.
    pub batches: usize,
    /// Bin-hours blocked by batches that were dry enough to go on, with no free bin in the next room.
    pub blocked_bin_hours: f64,
    /// Bin-hours in which damp air stopped the fans of drying bins.
    pub damp_bin_hours: f64,
    /// Hours in which batches dried.
    pub hours_drying: usize,
    /// Hours in which heat was short.
    pub hours_short: usize,
    /// Mean of the drying air, °C.
    pub mean_air_c: f64,
    /// Mean relative humidity of the same air, fraction.
    pub mean_relative_humidity: f64,
    /// Heat need: what it asks for in the same plant with ample heat, kWh.
    pub heat_need_kwh: f64,
    /// Heat lacking at the set temperature hour by hour, before any source, kWh.
    pub heat_asked_kwh: f64,
    /// Heat given by sources and recovery, kWh.
    pub heat_delivered_kwh: f64,
    /// Bin fans, kWh.
    pub bin_fan_kwh: f64,
    /// Extraction fan, kWh.
    pub extraction_fan_kwh: f64,
    /// Water evaporated, kg.
    pub evaporated_kg: f64,
}

/// A batch's way into another room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BatchMove {
    /// Hour of the season at which it left its bin.
    pub left_hour: usize,
    /// Hour at which it was in the next.
    pub arrived_hour: usize,
    /// The room it went to, from 0.
    pub room: usize,
    /// The bin of that room, from 0.
    pub bin: usize,
}

/// Hours of the season between two looks at the moisture of batches.
pub const HOURS_BETWEEN_LOOKS: usize = 6;

/// One batch from loading to store.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BatchRecord {
    /// Bin of the first room, from 0.
    pub bin: usize,
    /// Its moves to further rooms.
    pub moves: Vec<BatchMove>,
    /// Place of its crop among the plant's, from 0.
    pub crop: usize,
    /// Its grade, where the intake tells grades apart.
    pub grade: Option<Arc<str>>,
    /// Hour of the season at which it was loaded.
    pub loaded_hour: usize,
    /// Hour at which it was dry, to the minute; `None` if it never was.
    pub dry_hour: Option<f64>,
    /// Hour at which its mean was as dry as it has to be, where its wettest nuts made it dry on.
    pub mean_dry_hour: Option<f64>,
    /// Hour at which it was cool, to the minute; its bin is emptied on the next whole hour.
    pub out_hour: Option<f64>,
    /// Received mass, kg.
    pub received_kg: f64,
    /// Received mass over what its first bin is named for.
    pub fill: f64,
    /// Mass on leaving, kg.
    pub out_kg: f64,
    /// Moisture on loading, dry basis.
    pub received_moisture: f64,
    /// Mean moisture on leaving, dry basis.
    pub out_moisture: f64,
    /// Mean moisture, dry basis, in every hour of the season that [`HOURS_BETWEEN_LOOKS`] divides, from the first at which
    /// it was loaded to the last before it left. Options that dry it alike share the list.
    pub moistures: Arc<Vec<f64>>,
    /// Wettest less driest layer on leaving, dry basis.
    pub out_spread: f64,
    /// Water that a batch at its target would have held above what it left with, kg; zero for one that
    /// left no drier.
    pub overdried_kg: f64,
    /// Electricity of the bin's fan while the batch was in it, kWh.
    pub fan_kwh: f64,
    /// Hours in which that fan ran.
    pub fan_hours: f64,
    /// Air through it, mean while the batch was in the bin, m³/s.
    pub mean_airflow_m3_per_s: f64,
    /// Mould's growth index on leaving, of its wettest nuts since they arrived.
    pub mould_index: f64,
    /// Hours since they arrived in which mould could grow on the wettest.
    pub mould_growing_hours: f64,
    /// Hours since it was loaded in which mould was to be seen under the microscope.
    pub mould_seen_hours: f64,
    /// Hours in air hotter than the crop allows at that moisture.
    pub hot_air_hours: f64,
    /// Hours in which its nuts that came first had waited to be loaded longer than is safe.
    pub late_hours: f64,
}

impl BatchRecord {
    /// Hours from loading until it was dry; `None` if it never was.
    pub fn hours_to_dry(&self) -> Option<f64> {
        self.dry_hour.map(|dry| dry - self.loaded_hour as f64)
    }

    /// Hours for which it dried on for its wettest nuts, when its mean was as dry as it has to be.
    pub fn spread_hours(&self) -> f64 {
        self.dry_hour.zip(self.mean_dry_hour).map_or(0.0, |(dry, mean)| (dry - mean).max(0.0))
    }

    /// Hours of the season at which its moisture was looked at, each with what was seen, dry basis.
    pub fn looks(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let first = self.loaded_hour.next_multiple_of(HOURS_BETWEEN_LOOKS);
        self.moistures
            .iter()
            .enumerate()
            .map(move |(at, &moisture)| ((first + at * HOURS_BETWEEN_LOOKS) as f64, moisture))
    }

    /// The whole hour by which its bin was empty; `None` if it never was.
    pub fn bin_empty_hour(&self) -> Option<usize> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // an hour of the season
        self.out_hour.map(|out| (out - 1e-9).ceil().max(0.0) as usize)
    }
}

/// Nuts and water of a season, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tonnage {
    /// Nuts received.
    pub received_kg: f64,
    /// Water in them.
    pub received_water_kg: f64,
    /// Dried nuts that left the bins.
    pub dried_kg: f64,
    /// Water in them.
    pub dried_water_kg: f64,
    /// Water the air carried off.
    pub evaporated_kg: f64,
    /// Nuts left in bins or waiting at the end.
    pub left_kg: f64,
    /// Water in them.
    pub left_water_kg: f64,
    /// Waiting nuts summed over time, tonne-days.
    pub waiting_tonne_days: f64,
    /// Of which nuts that would have been loaded had a bin been free, tonne-days.
    pub waiting_for_bin_tonne_days: f64,
    /// The longest that any nuts waited to be loaded, h; nuts that were never loaded waited to the end.
    pub longest_wait_h: f64,
}

impl Tonnage {
    /// Of the waiting, nuts for which no load had come together, tonne-days.
    pub fn waiting_for_load_tonne_days(&self) -> f64 {
        self.waiting_tonne_days - self.waiting_for_bin_tonne_days
    }
}

/// What a guard watches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GuardKind {
    /// Nuts waited longer than is safe at that moisture.
    WaitedTooLong,
    /// By the growth law, mould is to be seen on the wettest nuts of a batch.
    MouldInBin,
    /// Air hotter than the crop's limit for the nuts that it met.
    HotWhenWet,
    /// The sources could not hold the set temperature.
    HeatShort,
    /// The room's humidity stood above its limit.
    RoomTooHumid,
    /// Bins resisted more than their fans can push against: fans stall.
    FanStalled,
    /// Fans were held back at the last point of their curve.
    FanThrottled,
    /// The store asked for cooling that the units could not give.
    CoolingUnmet,
    /// The condensers' air was above the units' trip limit.
    UnitsTripped,
    /// Nuts were not dry when time or weather ran out.
    Unfinished,
}

impl GuardKind {
    /// True if it watches every batch by itself: its hours are batch-hours.
    pub fn watches_batches(self) -> bool {
        match self {
            Self::MouldInBin | Self::HotWhenWet => true,
            Self::WaitedTooLong
            | Self::HeatShort
            | Self::RoomTooHumid
            | Self::FanStalled
            | Self::FanThrottled
            | Self::CoolingUnmet
            | Self::UnitsTripped
            | Self::Unfinished => false,
        }
    }

    /// True if nuts may be lost where it fires: a plant in which it does is no plan, however little it costs.
    pub fn spoils_nuts(self) -> bool {
        match self {
            Self::WaitedTooLong | Self::MouldInBin => true,
            Self::HotWhenWet
            | Self::HeatShort
            | Self::RoomTooHumid
            | Self::FanStalled
            | Self::FanThrottled
            | Self::CoolingUnmet
            | Self::UnitsTripped
            | Self::Unfinished => false,
        }
    }
}

/// A guard that fired.
#[derive(Clone, Debug, PartialEq)]
pub struct Guard {
    /// What it watches.
    pub kind: GuardKind,
    /// Hours in which it was broken (batch-hours where it watches batches).
    pub hours: f64,
    /// The same hours by day of the season, up to the last day on which it was broken.
    pub hours_by_day: Vec<f64>,
    /// The worst of it, in the kind's own unit: h of the longest wait, growth index of mould, K too hot,
    /// kW short, percentage points too humid, bins behind such fans (twice), kW unmet, °C of condenser air, t left.
    pub worst: f64,
    /// The limit that was broken then: h that are safe to wait, growth index of the first growth, °C allowed, none
    /// (0 kW), % RH, none (0 bins, twice), none (0 kW), °C of condenser air, none (0 t).
    pub limit: f64,
    /// The most nuts at once for which it was broken, t, of the guard that watches waiting nuts.
    pub most_t: Option<f64>,
    /// Hour of the season in which it was worst.
    pub worst_hour: usize,
    /// The batch it was worst for, from 0, of guards that watch batches.
    pub worst_batch: Option<usize>,
}

/// Largest hourly |in - out| over the season's total, for water and for energy.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Residuals {
    /// Of water.
    pub water: f64,
    /// Of energy.
    pub energy: f64,
}

impl Book {
    /// The same, its hours folded: what many books hold alike stands once.
    #[must_use]
    pub fn folded(self, among: &Arc<Blocks>) -> Self {
        let fold = |source: SourceBook| SourceBook {
            given: source.given.folded(among),
            displaced: source.displaced.folded(among),
            ..source
        };
        Self { hours: self.hours.folded(among), sources: self.sources.into_iter().map(fold).collect(), ..self }
    }

    /// Goes through the hours in their order.
    pub fn each_hour(&self, mut seen: impl FnMut(&HourOfBook)) {
        let mut given: Vec<_> = self.sources.iter().map(|source| source.given.iter()).collect();
        let mut displaced: Vec<_> = self.sources.iter().map(|source| source.displaced.iter()).collect();
        let mut now = HourOfBook::default();
        for (at, hour) in self.hours.iter().enumerate() {
            (now.at, now.hour) = (at, hour);
            now.given.clear();
            now.given.extend(given.iter_mut().map(|rows| rows.next().unwrap_or_default()));
            now.displaced.clear();
            now.displaced.extend(displaced.iter_mut().map(|rows| rows.next().unwrap_or_default()));
            seen(&now);
        }
    }

    /// The moment that lies so many hours into the season, to the minute; `None` outside the book.
    pub fn moment(&self, hour: f64) -> Option<NaiveDateTime> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // an hour of the season
        let whole = hour.max(0.0).floor() as usize;
        let at = whole.min(self.hours.len().checked_sub(1)?);
        #[allow(clippy::cast_possible_truncation)] // an hour or little more
        let minutes = ((hour - at as f64) * 60.0).round() as i64;
        Some(self.hours.get(at)?.starts + Duration::minutes(minutes))
    }

    /// Hour at which the last batch was dry; `None` if none was.
    pub fn last_dry_hour(&self) -> Option<f64> {
        self.batches.iter().filter_map(|batch| batch.dry_hour).reduce(f64::max)
    }

    /// The residuals of the whole season.
    pub fn residuals(&self) -> Residuals {
        let (mut water, mut energy) = (0.0_f64, 0.0_f64);
        let (mut water_sum, mut energy_sum) = (0.0, 0.0);
        for hour in &self.hours {
            water = water.max(hour.water_residual_kg.abs());
            energy = energy.max(hour.energy_residual_kwh.abs());
            water_sum += hour.evaporated_kg.abs();
            energy_sum +=
                hour.heat_delivered_kwh + hour.purged_kwh + hour.fan_heat_kwh + hour.gains_kwh + hour.store_cooling_kwh;
        }
        let over = |worst: f64, sum: f64| if sum > 0.0 { worst / sum } else { worst };
        Residuals { water: over(water, water_sum), energy: over(energy, energy_sum) }
    }

    /// Water received less water found again at the season's end, over water received.
    pub fn season_water_residual(&self) -> f64 {
        let t = &self.tonnage;
        if t.received_water_kg <= 0.0 {
            return 0.0;
        }
        (t.received_water_kg - t.dried_water_kg - t.evaporated_kg - t.left_water_kg) / t.received_water_kg
    }
}
