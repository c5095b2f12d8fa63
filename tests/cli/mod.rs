//! The binary, driven as people drive it: one file a command.

mod crops;
mod faults;
mod heat;
mod main_job;
mod weather;
