//! The season: the hour loop of one option in one weather year, and all of them in parallel.

mod plant;
mod reach;
mod run;
mod supply;
mod watch;

pub use plant::{Heating, HotLimit, Intake, IntakeRow, Plant, StayRules};
pub use reach::{Unreachable, check_reach};
pub use run::{TAIL_DRYING_HOURS, run_all, run_option};

#[cfg(test)]
mod tests;
