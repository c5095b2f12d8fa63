//! The numbers of a plant that can be sized, one at a time. Where rooms stand in a row, bins, airflow and
//! extraction are the first room's.

use super::Site;
use crate::dryer::{AirPath, BinSpec};

/// A number of the plant that is sized while all others stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lever {
    /// Heat capacity of all the option's sources together, kW; each keeps its share.
    Heat,
    /// Number of bins. Bins are taken from the end of the study's list and added like its last.
    Bins,
    /// Air through a bin, m³/s per received tonne. Floor, ducts and heater keep the drop that they
    /// have at full flow; fans of a known curve are taken so many times as large.
    Airflow,
    /// Most fresh air of a recirculating room, m³/s.
    Extraction,
}

impl Lever {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Heat, Self::Bins, Self::Airflow, Self::Extraction];

    /// The value at this site; `None` where the site has no such number.
    pub fn value(self, site: &Site) -> Option<f64> {
        let room = &site.plant.room;
        match self {
            Self::Heat => Some(site.heat_kw()),
            Self::Bins => Some(room.bins.len() as f64),
            Self::Airflow => Some(room.airflow_m3_per_s_per_tonne),
            Self::Extraction => {
                (room.air == AirPath::Recirculating).then_some(room.fresh_air_max_m3_per_s)
            }
        }
    }

    /// The least value that makes sense at this site.
    pub(super) fn floor(self, site: &Site) -> f64 {
        match self {
            Self::Extraction => site.plant.room.fresh_air_min_m3_per_s,
            Self::Heat | Self::Bins | Self::Airflow => 0.0,
        }
    }

    /// Steps in which it is sized: one bin, else a round number of at most 1 % of `value`.
    pub fn step(self, value: f64) -> f64 {
        if self == Self::Bins {
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

    /// The site with this number set to `value`, above zero.
    pub fn set(self, site: &Site, value: f64) -> Site {
        let mut changed = site.clone();
        let room = &mut changed.plant.room;
        match self {
            Self::Heat => {
                let factor = value / site.heat_kw();
                for source in &mut changed.heating.sources {
                    source.grow(factor);
                }
            }
            Self::Bins => {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count
                let count = value.round().max(1.0) as usize;
                let mut bins: Vec<BinSpec> = room.bins.clone();
                if let Some(last) = bins.last().copied() {
                    bins.resize(count, last);
                }
                *room = room.with_bins(bins);
            }
            Self::Airflow => *room = room.with_airflow(value),
            Self::Extraction => room.fresh_air_max_m3_per_s = value,
        }
        changed
    }
}
