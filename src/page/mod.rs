//! Pages: figures in, HTML out. Nothing is computed here that is said anywhere else.

mod chart;
mod kit;
mod log;
mod parts;
mod report;
mod weather;

pub use log::{FittedLog, FittedSample, FoundConstant, LogFit, log_page};
pub use report::report_page;
pub use weather::{Subject, weather_page};
