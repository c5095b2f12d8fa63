//! Options that no person wrote: measures of a standing list, packages taken apart, plants of other sizes. Each is
//! written as a person would write it, to be read behind the study's own text.

mod may_size;
mod screened_heating;
mod screening;
mod size_grid;
mod sized_option;
mod standing_measure;
mod way;

pub(crate) use may_size::{MaySize, NotSized, SizedNumber, SizedOf, may_size};
pub(crate) use screening::standing_measures;
pub(crate) use standing_measure::StandingMeasure;
pub(crate) use way::{Join, PackageParts, joining, packages};
