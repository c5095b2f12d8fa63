//! Currencies by their ISO 4217 code: how many decimals, and which sign.

use std::fmt;
use std::str::FromStr;

/// A currency in use for payments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Currency {
    code: &'static str,
    decimals: u8,
}

/// A code that is no ISO 4217 currency.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is no ISO 4217 currency; write three letters such as USD, EUR or AUD")]
pub struct UnknownCurrency(pub String);

/// ISO 4217 currencies of two decimals. Units of account, metals and withdrawn codes are left out.
const TWO_DECIMALS: &str = "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN \
    BWP BYN BZD CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS \
    GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL \
    MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP \
    PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT \
    TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG";
/// ISO 4217 currencies without a minor unit.
const NO_DECIMALS: &str = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF";
/// ISO 4217 currencies of three decimals.
const THREE_DECIMALS: &str = "BHD IQD JOD KWD LYD OMR TND";

/// Signs that name one currency and no other to an English reader (Unicode CLDR, locale `en`). All
/// other currencies show their code.
const SYMBOLS: &[(&str, &str)] = &[
    ("AUD", "A$"),
    ("BRL", "R$"),
    ("CAD", "CA$"),
    ("CNY", "CN¥"),
    ("EUR", "€"),
    ("GBP", "£"),
    ("HKD", "HK$"),
    ("ILS", "₪"),
    ("INR", "₹"),
    ("JPY", "¥"),
    ("KRW", "₩"),
    ("MXN", "MX$"),
    ("NZD", "NZ$"),
    ("PHP", "₱"),
    ("TWD", "NT$"),
    ("USD", "$"),
    ("VND", "₫"),
    ("XCD", "EC$"),
];

impl Currency {
    /// The three letters.
    pub const fn code(self) -> &'static str {
        self.code
    }

    /// Decimals of the minor unit: 0, 2 or 3.
    pub const fn decimals(self) -> u8 {
        self.decimals
    }

    /// The sign, or the code where no sign is unmistakable.
    pub fn symbol(self) -> &'static str {
        let known = SYMBOLS.iter().find(|(code, _)| *code == self.code);
        known.map_or(self.code, |(_, symbol)| symbol)
    }

    /// Minor units in one major unit: 1, 100 or 1000.
    pub(super) fn minor_per_major(self) -> f64 {
        10f64.powi(i32::from(self.decimals))
    }
}

impl FromStr for Currency {
    type Err = UnknownCurrency;

    fn from_str(text: &str) -> Result<Self, UnknownCurrency> {
        [(TWO_DECIMALS, 2), (NO_DECIMALS, 0), (THREE_DECIMALS, 3)]
            .into_iter()
            .find_map(|(codes, decimals)| {
                let code = codes.split_whitespace().find(|code| *code == text)?;
                Some(Self { code, decimals })
            })
            .ok_or_else(|| UnknownCurrency(text.to_owned()))
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_three_capital_letters() {
        for wrong in ["", "usd", "US", "USD EUR", "XXX", "$"] {
            let refused = wrong.parse::<Currency>().unwrap_err().to_string();
            assert!(refused.contains("ISO 4217"), "{refused}");
        }
        let yen: Currency = "JPY".parse().unwrap();
        assert_eq!((yen.decimals(), yen.symbol()), (0, "¥"));
    }
}
