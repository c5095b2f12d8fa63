//! From readings to years of hours: joined, mended, cut into seasons, put together to a typical year; heat and means of
//! them; where the sun stands.

mod fill;
mod heat_to;
mod mend;
mod rules;
mod seasons;
mod series;
mod slots;
pub mod solar;
mod summary;
pub mod typical;
mod written;

pub use heat_to::{HeatSum, MonthOfHeat, heat_of_hours, heat_of_reading};
pub use mend::mend;
pub use rules::MendRules;
pub use seasons::{SeasonWindow, YearRules, seasons, years};
pub use series::{Gap, Mends, Series};
pub use summary::{Means, MonthOfRows, Summary, summarise};
pub use written::to_csv;
