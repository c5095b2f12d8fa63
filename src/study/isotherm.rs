//! An isotherm that a study gives in place of the library's.

use super::cursor::{Cursor, Kind};
use crate::crop::Isotherm;

/// The isotherm that the study gives at a key, and its source.
pub(super) fn isotherm_at(cursor: &Cursor<'_>, key: &str) -> Option<(Isotherm, String)> {
    let table = cursor.optional_table(key)?;
    let form = table.text("form").hint("such as \"modified-henderson\"").required();
    let mut coefficients = Vec::new();
    for name in ["k", "n", "c", "a", "b", "monolayer", "monolayer_kj_per_mol", "c_kj_per_mol", "k_kj_per_mol"] {
        if table.kind(name) == Some(Kind::Number) {
            coefficients.extend(table.number(name).optional().map(|value| (name.to_owned(), value)));
        }
    }
    let source = table.text("source").default("given in the study".to_owned(), "none was named");
    table.finish();
    match Isotherm::of_form(&form?, &coefficients) {
        Ok(isotherm) => Some((isotherm, source)),
        Err(error) => {
            table.complain("form", "and its coefficients make no isotherm", &error.to_string(), "");
            None
        }
    }
}
