//! The hour-by-hour account of water, energy and recovered heat of one option in one weather year.

mod account;
mod batch_heat;
mod book;
mod duration;
mod entry;
mod held_against;
mod hours;
mod middle;
mod reference;
mod room_entry;
mod service;
mod store_entry;

pub use account::{Account, Credit, month_of};
pub use batch_heat::BatchEnergy;
pub use book::{
    BatchMove, BatchRecord, Book, Guard, GuardKind, HOURS_BETWEEN_LOOKS, HourOfBook, Residuals, RoomBook, SourceBook,
    Tonnage, WeatherEnd,
};
pub use duration::{Cover, DurationCurve, PeakWeek, SHARES, WEEK_HOURS, peak_week};
pub use entry::Entry;
pub use hours::{Blocks, Cells, EachHour, Folded, Hours};
pub use middle::{middle_of, middle_year};
pub use reference::Reference;
pub use room_entry::{Detail, PassedAir, RoomEntry};
pub use service::{StoreLack, StoreService};
pub use store_entry::StoreEntry;
