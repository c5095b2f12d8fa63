//! What a cool store's load is made of.

/// Heat into a store's air and out of it, kW as means of a step, kWh as sums of an hour.
///
/// What comes in (`envelope`, `air`, `gains`, `respiration`, `nuts`) less what the water takes to become vapour
/// (`evaporation`) is what cooling takes out (`sensible`) and what warms air and fabric (`fabric`).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreLoad {
    /// Through the envelope, with the sun on it.
    pub envelope: f64,
    /// With outside air through leaks and doors, without its water.
    pub air: f64,
    /// Fans, lights and people.
    pub gains: f64,
    /// Respiration of the nuts.
    pub respiration: f64,
    /// Given by nuts that cool down.
    pub nuts: f64,
    /// Taken by the water of nuts and humidifier to become vapour.
    pub evaporation: f64,
    /// Taken out by the coil as cooler air.
    pub sensible: f64,
    /// Taken out by the coil as water.
    pub latent: f64,
    /// Warming of air and fabric.
    pub fabric: f64,
}

impl StoreLoad {
    /// Adds a step of `hours`.
    pub fn add(&mut self, step: &Self, hours: f64) {
        let Self { envelope, air, gains, respiration, nuts, evaporation, sensible, latent, fabric } = *step;
        self.envelope += envelope * hours;
        self.air += air * hours;
        self.gains += gains * hours;
        self.respiration += respiration * hours;
        self.nuts += nuts * hours;
        self.evaporation += evaporation * hours;
        self.sensible += sensible * hours;
        self.latent += latent * hours;
        self.fabric += fabric * hours;
    }

    /// What came in less what is found again.
    pub fn unaccounted(&self) -> f64 {
        let came_in = self.envelope + self.air + self.gains + self.respiration + self.nuts;
        came_in - self.evaporation - self.sensible - self.fabric
    }
}
