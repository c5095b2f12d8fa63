//! What a value is expected to be, in the words that follow "expected".

use super::keys::{Range as Bounds, Takes};
use super::measured::{Scale, what_fits};

/// What is wrong with a value decides how the expectation is worded.
pub(super) enum Fault {
    Kind,
    /// Text that is no quantity of the key's kind.
    Unit,
    Outside(Bound),
}

/// A condition on the value that completes "expected ...".
#[derive(Clone)]
pub(super) enum Bound {
    /// `0 to 60`, to be followed by the unit.
    Quantity(String, Bounds),
    /// `two entries`.
    Form(String),
}

impl Bound {
    /// As it is said of a key in this unit.
    pub(super) fn worded(&self, scale: &Scale) -> String {
        match self {
            Self::Quantity(range, _) => format!("{range} {}", scale.unit).trim_end().to_owned(),
            Self::Form(form) => form.clone(),
        }
    }
}

/// What would have been right.
pub(super) fn expected(takes: &Takes, bounds: &[Bound], scale: &Scale, fault: &Fault) -> String {
    match fault {
        Fault::Outside(bound) => bound.worded(scale),
        Fault::Kind if bounds.is_empty() => {
            // Bounds of its own would say more than where counting begins.
            let from = if *takes == Takes::Count { " from 0" } else { "" };
            let unit = if scale.unit.is_empty() { "" } else { " in " };
            format!("{takes}{from}{unit}{}", scale.unit)
        }
        Fault::Unit => {
            let fits = what_fits(scale);
            let plain = expected(takes, bounds, scale, &Fault::Kind);
            if fits.is_empty() { plain } else { format!("{plain}, {fits}") }
        }
        Fault::Kind => {
            let parts = bounds.iter().map(|bound| bound.worded(scale));
            let all: Vec<_> = std::iter::once(takes.to_string()).chain(parts).collect();
            all.join(", ")
        }
    }
}
