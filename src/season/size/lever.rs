//! The numbers of a plant that can be sized. Heat is the whole plant's; bins, airflow and extraction are a
//! room's, told by its place in the row, from 0.

use super::site::Site;
use crate::dryer::{AirPath, BinSpec, RoomSpec};

/// A number of the plant that is sized.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lever {
    /// Heat capacity of all the option's sources together, kW; each keeps its share.
    Heat,
    /// Number of bins of a room. Bins are taken from the end of its list and added like its last.
    Bins(usize),
    /// Air through a bin of a room, m³/s per received tonne. Floor, ducts and heater keep the drop that
    /// they have at full flow; fans of a known curve are taken so many times as large.
    Airflow(usize),
    /// Most fresh air of a recirculating room, m³/s.
    Extraction(usize),
}

impl Lever {
    /// All that a site has: heat, then those of each room.
    pub fn all(site: &Site) -> Vec<Self> {
        let rooms = 0..site.plant.rooms().count();
        let of_rooms = rooms.flat_map(|room| [Self::Bins(room), Self::Airflow(room), Self::Extraction(room)]);
        let all = std::iter::once(Self::Heat).chain(of_rooms);
        all.filter(|lever| lever.value(site).is_some()).collect()
    }

    /// Place of the room whose number it is; `None` of the whole plant's.
    pub fn room(self) -> Option<usize> {
        match self {
            Self::Heat => None,
            Self::Bins(room) | Self::Airflow(room) | Self::Extraction(room) => Some(room),
        }
    }

    /// The value at this site; `None` where the site has no such number.
    pub fn value(self, site: &Site) -> Option<f64> {
        let room = |place: usize| site.plant.rooms().nth(place);
        match self {
            Self::Heat => Some(site.heat_kw()),
            Self::Bins(place) => Some(room(place)?.bins.len() as f64),
            Self::Airflow(place) => Some(room(place)?.airflow_m3_per_s_per_tonne),
            Self::Extraction(place) => {
                room(place).filter(|room| room.air == AirPath::Recirculating).map(|room| room.fresh_air_max_m3_per_s)
            }
        }
    }

    /// The least value that makes sense at this site.
    pub(super) fn floor(self, site: &Site) -> f64 {
        match self {
            Self::Extraction(place) => {
                let room = site.plant.rooms().nth(place);
                room.map_or(0.0, |room| room.fresh_air_min_m3_per_s)
            }
            Self::Heat | Self::Bins(_) | Self::Airflow(_) => 0.0,
        }
    }

    /// Steps in which it is sized: one bin, else a round number of at most 1 % of `value`.
    pub fn step(self, value: f64) -> f64 {
        if matches!(self, Self::Bins(_)) {
            return 1.0;
        }
        let hundredth = value / 100.0;
        let decade = 10f64.powf(hundredth.log10().floor());
        [5.0, 2.0, 1.0]
            .into_iter()
            .map(|times| times * decade)
            .find(|step| *step <= hundredth * (1.0 + 1e-9))
            .unwrap_or(decade)
    }

    /// The site with this number set to `value`, above zero. A room that the site has not got is left out.
    pub fn set(self, site: &Site, value: f64) -> Site {
        let mut changed = site.clone();
        let Some(place) = self.room() else {
            let factor = value / site.heat_kw();
            for source in &mut changed.heating.sources {
                source.grow(factor);
            }
            return changed;
        };
        if let Some(room) = changed.plant.room_mut(place) {
            self.set_in(room, value);
        }
        changed
    }

    fn set_in(self, room: &mut RoomSpec, value: f64) {
        match self {
            Self::Heat => {}
            Self::Bins(_) => {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count
                let count = value.round().max(1.0) as usize;
                let mut bins: Vec<BinSpec> = room.bins.clone();
                if let Some(last) = bins.last().copied() {
                    bins.resize(count, last);
                }
                *room = room.with_bins(bins);
            }
            Self::Airflow(_) => *room = room.with_airflow(value),
            Self::Extraction(_) => room.fresh_air_max_m3_per_s = value,
        }
    }
}
