//! The binary, driven as people drive it: one file a command.

mod check;
mod crops;
mod faults;
mod heat;
mod main_job;
mod new;
mod small;
mod weather;
