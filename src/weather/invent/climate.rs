//! What a climate table says of a site.

use crate::weather::year::solar::Place;

/// Twelve values, January first.
pub type Monthly = [f64; 12];

/// What a climate table says of a site, checked: finite, possible, complete.
#[derive(Clone, Debug, PartialEq)]
pub struct Normals {
    /// What the table calls the site, if it says so.
    pub site: Option<String>,
    /// Where the site is and what its clock shows.
    pub place: Place,
    /// Height above the sea, m, -500..5000; gives the pressure.
    pub altitude_m: f64,
    /// Mean daily minimum of the dry bulb, °C.
    pub min_c: Monthly,
    /// Mean daily maximum of the dry bulb, °C, above the minimum.
    pub max_c: Monthly,
    /// Humidity, as the table gives it.
    pub humidity: Humidity,
    /// Mean global irradiation of the horizontal, kWh/m² a day; without it the hours have none.
    pub global_horizontal_kwh_per_m2_day: Option<Monthly>,
    /// Mean wind speed, m/s; without it the hours have none.
    pub wind_m_per_s: Option<Monthly>,
}

/// Relative humidity (fraction 0..1) as climate tables give it.
#[derive(Clone, Debug, PartialEq)]
pub enum Humidity {
    /// Mean over all hours of the month.
    Mean(Monthly),
    /// Mean at two clock hours.
    TwiceDaily {
        /// Clock hour of the morning reading, 0..23.
        morning_hour: u32,
        /// Humidity then.
        morning: Monthly,
        /// Clock hour of the afternoon reading, 0..23.
        afternoon_hour: u32,
        /// Humidity then.
        afternoon: Monthly,
    },
}
