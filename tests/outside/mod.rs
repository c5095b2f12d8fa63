//! Checks against published sources and independent libraries.

mod air;
mod weather;
mod weather_dirty;
mod weather_formats;
mod weather_robust;
mod weather_years;
