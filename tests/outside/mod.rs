//! Checks against published sources and independent libraries.

mod air;
mod airflow;
mod crop;
mod money;
mod normals;
mod solar;
mod weather;
