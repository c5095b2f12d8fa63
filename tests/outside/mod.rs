//! Checks against published sources and independent libraries.

mod air;
mod normals;
mod solar;
