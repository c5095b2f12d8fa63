//! Checks against published sources and independent libraries.

mod air;
mod money;
mod airflow;
mod crop;
