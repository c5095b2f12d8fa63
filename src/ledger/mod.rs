//! The hour-by-hour account of water, energy and recovered heat of one option in one weather year.

mod account;
mod book;
mod entry;

pub use account::{Account, Credit, month_of};
pub use book::{BatchRecord, Book, Guard, GuardKind, Residuals, SourceBook, Tonnage};
pub use entry::Entry;
