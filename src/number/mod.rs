//! How numbers read: three significant figures in prose, aligned decimals in tables, thousands
//! grouped by a narrow no-break space, a true minus sign, and never `NaN` or `-0`.
//!
//! So they stand in files. Where they are told to people they are written their way, and in their units: `number/reader`.

mod amount;
mod digits;
mod measure;
mod money;
mod reader;
mod sentence;

pub(crate) use amount::{carbon, energy, for_a_tonne, heat, kilogram, tonne, unit_of_energy, water};
pub(crate) use digits::{Digits, UNKNOWN, apart, decimals_for, fixed, not_nothing, percent, plain, three, with_unit};
pub(crate) use measure::{Measure, Unit, unit_words};
pub(crate) use money::Money;
pub(crate) use reader::{NumberWriting, Reader, Units, telling};
pub(crate) use sentence::Sentence;
