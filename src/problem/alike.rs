//! "Did you mean": the one rule by which a name that is not known is taken for a slip of one that is.

/// Names less alike than this are not taken for a slip of the hand (chosen so that every single slip in the names
/// of crops and keys is found, and no two crops are taken for each other).
const LIKE_ENOUGH: f64 = 0.8;
/// One slip of the hand in a short name counts as this much.
const ONE_SLIP: f64 = 0.9;

/// The known name most like the one that was written, if any is like it at all.
pub(crate) fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|name| (likeness(written, name), name))
        .filter(|(likeness, _)| *likeness >= LIKE_ENOUGH)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, name)| name)
}

/// How alike two names are, 0..1.
fn likeness(written: &str, name: &str) -> f64 {
    let slip = name.chars().count() > 2 && strsim::osa_distance(written, name) == 1;
    strsim::jaro_winkler(written, name).max(if slip { ONE_SLIP } else { 0.0 })
}

/// The cure for a name that is not known: the one that was probably meant, or else what to do.
pub(crate) fn meant_or<'a>(written: &str, known: impl IntoIterator<Item = &'a str>, otherwise: &str) -> String {
    match nearest(written, known) {
        Some(name) => format!("did you mean \"{name}\"?"),
        None => otherwise.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_another_word_none() {
        let known = ["capacity_kw", "dry", "price"];
        assert_eq!(nearest("capacty_kw", known), Some("capacity_kw"));
        assert_eq!(nearest("dyr", known), Some("dry"));
        assert_eq!(nearest("zzz", known), None);
        assert_eq!(meant_or("prise", known, "look it up"), "did you mean \"price\"?");
        assert_eq!(meant_or("zzz", known, "look it up"), "look it up");
    }
}
