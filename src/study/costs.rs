//! What options and their sources cost to own.

use crate::season::Heating;

/// What a source costs to build and keep.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceCost {
    /// Name of the source, or what else it is for.
    pub name: String,
    /// Capital.
    pub capital: f64,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// Life, years; replaced at its end.
    pub life_years: f64,
}

/// What an option costs to build and keep.
#[derive(Clone, Debug, PartialEq)]
pub struct OptionCost {
    /// Its sources, and its own extra as the last item if it has any.
    pub items: Vec<SourceCost>,
    /// True if a grant may pay a share of the capital.
    pub grant: bool,
}

/// Options with their costs, in the order of the file.
pub(super) type Options = (Vec<Heating>, Vec<OptionCost>);
