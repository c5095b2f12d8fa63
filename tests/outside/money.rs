//! Money against ISO 4217, NIST Handbook 135 and independent libraries.

use crate::case::data;
use dryledger::money::Currency;

fn table(name: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(data(name)).expect("the table");
    reader.records().map(|row| row.expect("a row")).collect()
}

/// ISO 4217 decimals from the maintenance agency's list (package `iso4217`), and signs from Unicode
/// CLDR, locale `en` (package `Babel`). File: `tests/data/money/currencies.csv`. Every code known here
/// is in the list; the codes of the list unknown here are units of account, metals, tests, bonds and
/// units without decimals of a coin.
#[test]
fn currencies_have_the_decimals_of_iso_4217_and_the_signs_of_cldr() {
    let (mut known, mut unknown) = (0, Vec::new());
    for row in table("money/currencies.csv") {
        let (code, decimals, symbol) = (&row[0], &row[1], &row[2]);
        let Ok(currency) = code.parse::<Currency>() else {
            unknown.push(code.to_owned());
            continue;
        };
        known += 1;
        assert_eq!(currency.decimals().to_string(), decimals, "{code}");
        // A code in place of a sign is always right.
        let shown = currency.symbol();
        assert!(shown == symbol || shown == code, "{code}: {shown} {symbol}");
    }
    assert_eq!(known, 155);
    assert_eq!(
        unknown.join(" "),
        "BOV CHE CHW CLF COU MXV USN UYI UYW XAD XAG XAU XBA XBB XBC XBD XDR XPD XPT XSU XTS XUA XXX"
    );
}
