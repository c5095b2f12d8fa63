//! Tables that people bring: from the bytes of a file to text, cells, numbers and times.
//!
//! Everything that reads a table reads it with this room, so that what one accepts, all accept: byte-order marks,
//! UTF-16 and old code pages; cells parted by `,` `;` `|`, tabs or blanks; decimal points and commas.

mod cells;
mod header;
mod number;
mod serial;
mod shape;
mod sheet;
mod stamp;
mod text;
#[cfg(test)]
pub(crate) mod writings;

pub use cells::Separator;
pub(crate) use cells::split;
pub(crate) use header::Header;
pub use number::DecimalMark;
pub(crate) use number::{parse, parse_either, parse_whole, parse_with_tail, thousands_mark, whole};
pub(crate) use serial::{parse_epoch, parse_pattern, parse_serial};
pub(crate) use shape::{Dates, decimal_of, filled, is_time, open_orders, separator_of, units_among};
pub(crate) use sheet::{Column, Line, OtherUnit, Places, Sheet, fact};
pub use stamp::DateOrder;
pub(crate) use stamp::{Stamp, WHOLE_DAY, offset_minutes, offset_text, parse_clock, parse_stamp};
pub(crate) use text::{Decoded, NulBytes, decode, lines, no_table, text_of};
