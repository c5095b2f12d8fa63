//! Checks against published sources and independent libraries.

mod air;
mod airflow;
mod bed;
mod bed_fronts;
mod bed_lines;
mod bed_march;
mod cool_store;
mod crop;
mod duration;
mod log;
mod money;
mod mould;
mod normals;
mod solar;
mod sources;
mod weather;
mod weather_dirty;
mod weather_formats;
mod weather_robust;
mod weather_years;
