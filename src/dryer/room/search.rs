//! Where the searches of a room's last step ended: where the next ones start.

use crate::solve::Jacobian;

/// Slopes and places where the last searches ended: where the next ones start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Search {
    /// Of the water balance: without the water of sources, and with it. The two end far from each other.
    water: [WaterSearch; 2],
    pub(super) temperature_slope: f64,
    pub(super) fresh_slope: f64,
    /// Humidity ratio at which a room short of heat last held its temperature, and heat saved per rise of
    /// it, kW.
    pub(super) throttled: (f64, f64),
    pub(super) shortfall: Option<Shortfall>,
    /// Where the last search of a room that cools by itself ended.
    pub(super) coasting: Option<Shortfall>,
    /// How a room short of heat gave way in the step before; `None` if it was not short.
    pub(super) gave_way: Option<GaveWay>,
}

/// Where the last search for a water balance ended.
#[derive(Clone, Copy, Debug)]
pub(super) struct WaterSearch {
    pub(super) humidity_ratio: f64,
    /// Humidity ratio at the set temperature in the last step.
    last_at_set: Option<f64>,
    pub(super) humidity_slope: f64,
    /// What set the fresh air last: at the humidity limit, and at the ceiling when heat was short.
    pub(super) rule: [FreshAir; 2],
}

impl Search {
    /// The search for a water balance, with the water of sources or without it.
    pub(super) fn water(&mut self, with_water: bool) -> &mut WaterSearch {
        &mut self.water[usize::from(with_water)]
    }
}

impl WaterSearch {
    /// The next step's humidity at the set temperature is looked for as far on from this step's as
    /// this is from the one before.
    pub(super) fn look_ahead(&mut self, at_set: f64) {
        self.humidity_ratio = 2.0 * at_set - self.last_at_set.unwrap_or(at_set);
        self.last_at_set = Some(at_set);
    }
}

impl Default for WaterSearch {
    fn default() -> Self {
        Self { humidity_ratio: 0.01, last_at_set: None, humidity_slope: 1.0, rule: [FreshAir::ByLimit; 2] }
    }
}

impl Default for Search {
    fn default() -> Self {
        Self {
            water: [WaterSearch::default(); 2],
            temperature_slope: 1.0,
            fresh_slope: 10.0,
            throttled: (0.02, 1e4),
            shortfall: None,
            coasting: None,
            gave_way: None,
        }
    }
}

/// What sets the flow of fresh air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FreshAir {
    /// The room's humidity limit.
    ByLimit,
    /// The least that is drawn.
    Least,
    /// The most that can be drawn.
    Most,
}

/// How a room short of heat gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum GaveWay {
    /// It holds its temperature and grows damper.
    Damper,
    /// It is as damp as it may be, and grows colder.
    Colder,
}

/// Where the last search for temperature and humidity together ended: temperature (°C) and humidity ratio (g/kg, so
/// that both unknowns are of one size), and the derivatives there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shortfall {
    pub(super) state: [f64; 2],
    /// The same in the step before: the search starts as far on as the last step went.
    pub(super) before: [f64; 2],
    pub(super) jacobian: Jacobian,
}
