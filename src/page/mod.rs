//! Pages: figures in, HTML out. Nothing is computed here that is said anywhere else.

mod chart;
mod compared;
mod kit;
mod log;
mod parts;
mod report;
mod stand_alone;
mod weather;

pub(crate) use compared::compared_page;
pub(crate) use log::{FittedLog, FittedSample, FoundConstant, LogFit, log_page};
pub(crate) use report::{NoPage, report_page};
pub(crate) use stand_alone::stand_alone;
pub(crate) use weather::{Subject, weather_page};
