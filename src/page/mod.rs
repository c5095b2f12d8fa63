//! Pages: figures in, HTML out. Nothing is computed here that is said anywhere else.

mod bins;
mod chart;
mod parts;
mod report;

pub use bins::bin_calendar;
pub use report::{NoPage, html};
