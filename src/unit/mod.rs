//! Units as people write them: the one table of names and factors, and what a text such as `1.2 cfm/ft3` or
//! `Btu/(h °F)` comes to.
//!
//! A unit is a factor and a dimension; two units fit one another where their dimensions are the same. Temperature has
//! two meanings: of a unit that stands alone and has a scale (`°C`, `°F`), [`Unit::convert`] to a unit written `°C`
//! takes the scale's zero into account; to `K`, and within any compound unit, it is a difference.

mod dimension;
mod names;
mod parse;

pub(crate) use dimension::Dimension;
pub(crate) use names::factor_of;
pub(crate) use parse::parse;

use names::EXAMPLES;

/// Which money a unit names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum MoneyName {
    /// `money`: that of the study, whichever it is.
    Any,
    /// An ISO 4217 code.
    Code(String),
    /// A sign such as `$`.
    Sign(char),
    /// A hundredth of it.
    Hundredth,
}

/// A unit as far as it can be computed with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Unit {
    /// How many of the base units it is.
    pub factor: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// Where water freezes on its scale, of a temperature that stands alone.
    pub freezes_at: Option<f64>,
    /// The money in it, if there is any.
    pub money: Option<MoneyName>,
    /// Words of the trade that say what is measured: `received`, `w.b.`.
    pub qualifiers: Vec<&'static str>,
}

impl Unit {
    /// A value in this unit as one in another of the same dimension.
    pub(crate) fn convert(&self, value: f64, to: &Self) -> f64 {
        // Sums and products of equals are left alone, so that a value in the key's own unit stays what it is.
        let scaled = |value: f64| {
            let (from, to) = (self.factor, to.factor);
            // A factor of whole numbers such as 60 divides more exactly than its inverse multiplies.
            if from >= to { value * (from / to) } else { value / (to / from) }
        };
        match (self.freezes_at, to.freezes_at) {
            // To K a temperature is a difference: that is what keys in K are.
            (Some(freezes_at), Some(0.0)) => scaled(value - freezes_at),
            _ => scaled(value),
        }
    }

    /// True if it measures the same.
    pub(crate) fn fits(&self, other: &Self) -> bool {
        self.dimension == other.dimension
    }

    /// True if the other is the same unit by another name, or by this one with fewer words.
    pub(crate) fn is_same(&self, other: &Self) -> bool {
        self.fits(other)
            && self.factor.total_cmp(&other.factor).is_eq()
            && self.freezes_at == other.freezes_at
            && self.money == other.money
            && other.qualifiers.iter().all(|word| self.qualifiers.contains(word))
    }

    /// A few ways to write a unit of this dimension: what to offer where another was written.
    pub(crate) fn examples(&self) -> Vec<&'static str> {
        let fits = |text: &&&str| parse(text).is_ok_and(|unit| self.fits(&unit));
        EXAMPLES.iter().filter(fits).copied().take(5).collect()
    }
}

/// How many of one unit another is; differences, where they are temperatures. NaN of what fits not: the tests of those
/// who show units try each.
pub(crate) fn slope(from: &str, to: &str) -> f64 {
    match (parse(from), parse(to)) {
        (Ok(from), Ok(to)) if from.fits(&to) => from.factor / to.factor,
        _ => f64::NAN,
    }
}

/// What a temperature of 0 in one unit reads in another; 0 of all else, and where either is a difference (K).
pub(crate) fn offset(from: &str, to: &str) -> f64 {
    let freezes_at = |text: &str| parse(text).ok().and_then(|unit| unit.freezes_at).filter(|_| text != "K");
    match (freezes_at(from), freezes_at(to)) {
        (Some(from_at), Some(to_at)) => to_at - from_at * slope(from, to),
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests;
