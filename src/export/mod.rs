//! Results in, bytes out: JSON, CSV and a workbook.

mod batches;
mod column;
mod figures_schema;
mod finite;
mod hour;
mod hourly;
mod hourly_rooms;
mod hourly_store;
mod json;
mod keys_schema;
mod mark;
mod monthly;
mod workbook;

pub(crate) use batches::batches_csv;
pub(crate) use figures_schema::figures_schema;
pub(crate) use finite::NotFinite;
pub(crate) use hourly::{Purchase, hourly_columns_csv, hourly_csv};
pub(crate) use hourly_rooms::hourly_rooms_csv;
pub(crate) use json::{by_money_json, differences_json, figures_json, size_json};
pub(crate) use keys_schema::keys_schema;
pub(crate) use mark::{LIST, TELLING, Wrote, wrote};
pub(crate) use monthly::monthly_csv;
pub(crate) use workbook::{NoWorkbook, workbook};
