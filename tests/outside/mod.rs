//! Checks against published sources and independent libraries.

mod air;
mod bed;
mod bed_fronts;
mod bed_march;
