//! What a plant with ample heat asks for: the need that every option of the plant is held against.

/// The season of the same plant, nuts and weather with ample heat: no condensers in the room, no source that
/// brings water or takes it, and never short.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reference {
    /// Heat need of all rooms in each hour of the season, kWh; up to the last hour with a need.
    pub need_kwh: Vec<f64>,
    /// Heat need of each room over the season, kWh.
    pub room_need_kwh: Vec<f64>,
    /// Hour of the season at which the last batch was dry; `None` if none was.
    pub last_dry_hour: Option<f64>,
    /// Mean hours from loading to dry; `None` if no batch was dried.
    pub mean_drying_hours: Option<f64>,
}

/// Rewarming what grew cold is counted up to the most that the reference asks for within so many hours.
const SHORT_WINDOW_HOURS: usize = 24;

impl Reference {
    /// Heat need of an hour of the season, kWh.
    pub fn need_of_kwh(&self, hour: usize) -> f64 {
        self.need_kwh.get(hour).copied().unwrap_or(0.0)
    }

    /// The highest hour within a day of this one, kWh.
    pub(super) fn most_around_kwh(&self, hour: usize) -> f64 {
        let from = hour.saturating_sub(SHORT_WINDOW_HOURS).min(self.need_kwh.len());
        let to = (hour + SHORT_WINDOW_HOURS + 1).min(self.need_kwh.len());
        self.need_kwh[from..to].iter().copied().fold(0.0, f64::max)
    }
}
