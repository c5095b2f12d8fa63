//! Results in, bytes out: JSON and CSV.

mod batches;
mod json;
mod table;

pub use batches::batches_csv;
pub use json::{NotFinite, figures_json, size_json};
pub use table::{hourly_csv, monthly_csv};
