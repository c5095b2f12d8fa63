//! The binary, driven as people drive it: one file a command.

mod application;
mod batch_guards;
mod billing;
mod biomass;
mod charts;
mod check;
mod compare;
mod cool_store;
mod crops;
mod doubt;
mod ending;
mod fans;
mod faults;
mod flow;

mod figures_schema;
mod files;
mod formula;
mod growth_plan;
mod guard_words;
mod guards;
mod heat;
mod heat_store;
mod in_other_units;
mod in_turn;
mod intake;
mod judgement;
mod kernel;
mod keys;
mod level;
mod loads;
mod log;
mod log_slips;
mod main_job;
mod measures;
mod need;
mod new;
mod new_cures;
mod new_kit;
mod once_through;
mod outputs;
mod own_plant;
mod own_supply;
mod owning;
mod page_tables;
mod pdf;
mod placing;
mod problems;
mod proposal;
mod proposals;
mod pump_table;
mod recompute;
mod report_page;
mod roof;
mod rooms;
mod scenarios;
mod scheme;
mod screening;
mod set;
mod setback;
mod sheet;
mod size;
mod size_by_money;
mod slips;
mod small;
mod sorted_loads;
mod spreadsheet;
mod stages;
mod standing_doubt;
mod told_in_units;
mod told_to;
mod trips;
mod two_crops;
mod uncertainty;
mod watch;
mod ways;
mod weather;
mod weather_made;
mod whose;
mod words;
pub(crate) mod workbook;
mod workbook_worked;

/// The small study, for tests outside this folder.
pub(crate) fn small_study() -> tempfile::TempDir {
    faults::small()
}
