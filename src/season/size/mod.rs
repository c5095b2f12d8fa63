//! Sizing: the least heat, bins, air and extraction that bring the season's intake in, found by running
//! the season.

mod airflow;
mod joint;
mod least;
mod lever;
mod search;
mod site;
mod sizing;
mod trial;

pub use airflow::{AirflowCurve, AirflowPoint, LeastAt, airflow_curve};
pub use joint::{Joint, JointNumber};
pub use lever::Lever;
pub use search::{Answer, BinsPoint};
pub use site::{Limit, Site};
pub use sizing::{Sizing, size};
pub use trial::{Trial, mould_hours};

#[cfg(test)]
mod tests;
