//! Outside air, hour by hour: what a weather file holds, what is wrong with it, what was mended.

mod hour;
pub mod normals;
pub mod picture;
pub mod solar;
pub mod typical;

pub use hour::{Hour, WeatherYear};
