//! The binary, driven as people drive it: one file a command.

mod biomass;
mod check;
mod cool_store;
mod crops;
mod ending;
mod fans;
mod faults;
mod flow;

mod files;
mod heat;
mod heat_store;
mod intake;
mod judgement;
mod kernel;
mod loads;
mod log;
mod log_slips;
mod main_job;
mod new;
mod own_supply;
mod owning;
mod placing;
mod pump_table;
mod report_page;
mod roof;
mod rooms;
mod setback;
mod size;
mod slips;
mod small;
mod stages;
mod two_crops;
mod uncertainty;
mod weather;
mod weather_made;
