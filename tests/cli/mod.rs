//! The binary, driven as people drive it: one file a command.

mod crops;
mod faults;
mod heat;
mod log;
mod main_job;
mod report_page;
mod weather;
