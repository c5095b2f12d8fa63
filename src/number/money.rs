//! Money of prose.

use super::digits::{UNKNOWN, three, with_unit};
use crate::money::Currency;

/// Money of one currency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Money {
    code: String,
    symbol: String,
}

impl Money {
    /// By ISO 4217 code; a code of no known currency is shown as it is.
    pub(crate) fn of(code: &str) -> Self {
        let symbol = code.parse::<Currency>().map_or(code, |currency| currency.symbol());
        Self { code: code.into(), symbol: symbol.into() }
    }

    /// The three letters, for headings.
    pub(crate) fn code(&self) -> &str {
        &self.code
    }

    /// Three significant figures with the sign: `A$48 300`, `−€1.25 million`.
    pub(crate) fn prose(&self, value: f64) -> String {
        if !value.is_finite() {
            return UNKNOWN.into();
        }
        let size = value.abs();
        let number = if size >= 999_500.0 { with_unit(&three(size / 1e6), "million") } else { three(size) };
        let sign = if value < 0.0 { "\u{2212}" } else { "" };
        let space = if self.symbol.ends_with(char::is_alphabetic) { "\u{a0}" } else { "" };
        format!("{sign}{}{space}{number}", self.symbol)
    }
}
