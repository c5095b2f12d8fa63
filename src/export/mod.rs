//! Results in, bytes out: JSON and CSV.

mod batches;
mod column;
mod finite;
mod hour;
mod hourly;
mod hourly_rooms;
mod hourly_store;
mod json;
mod monthly;

pub use batches::batches_csv;
pub use hourly::{Purchase, hourly_columns_csv, hourly_csv};
pub use hourly_rooms::hourly_rooms_csv;
pub use json::{figures_json, size_json};
pub use monthly::monthly_csv;
