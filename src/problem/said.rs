//! Words in which quantities stand: plain in SI, and told in the units of whoever reads them.

use std::cell::RefCell;
use std::fmt;
use std::ops::Deref;

/// A quantity in a sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// Its figure in the unit.
    pub si: f64,
    /// The unit's sign, of SI.
    pub unit: &'static str,
    /// Its decimals; `None` of one that is told as it was given.
    pub decimals: Option<usize>,
    /// As it stands in files.
    plain: String,
}

#[derive(Clone, Debug, PartialEq)]
enum Part {
    Words(String),
    Quantity(Quantity),
}

/// Words with quantities. It reads as it stands in files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Said {
    plain: String,
    parts: Vec<Part>,
}

/// Around the number of a quantity in words that are being said: Unicode keeps them for a program's own use, and no text
/// holds them.
const MARKS: (char, char) = ('\u{fdd0}', '\u{fdd1}');

/// The quantities of a sentence that is being said.
#[derive(Debug, Default)]
pub struct Quantities(RefCell<Vec<Quantity>>);

impl Quantities {
    fn put(&self, quantity: Quantity) -> String {
        let mut all = self.0.borrow_mut();
        all.push(quantity);
        format!("{}{}{}", MARKS.0, all.len() - 1, MARKS.1)
    }

    /// As it was given, with its unit.
    pub fn given(&self, si: f64, unit: &'static str) -> String {
        self.put(Quantity { si, unit, decimals: None, plain: format!("{si} {unit}") })
    }

    /// As it was given; in files its unit stands behind another.
    pub fn bare(&self, si: f64, unit: &'static str) -> String {
        self.put(Quantity { si, unit, decimals: None, plain: si.to_string() })
    }

    /// With so many decimals.
    pub fn fixed(&self, si: f64, decimals: usize, unit: &'static str) -> String {
        self.put(Quantity { si, unit, decimals: Some(decimals), plain: format!("{si:.decimals$} {unit}") })
    }

    /// The pressure of outside air, in files in Pa.
    pub fn air_pressure(&self, pa: f64) -> String {
        self.put(Quantity { si: pa / 100.0, unit: "hPa", decimals: Some(1), plain: format!("{pa:.0} Pa") })
    }

    /// A way over land, in files to two figures where it is far.
    pub fn distance(&self, km: f64) -> String {
        let km = if km < 1_000.0 { km } else { (km / 100.0).round() * 100.0 };
        self.put(Quantity { si: km, unit: "km", decimals: Some(0), plain: format!("{km:.0} km") })
    }
}

impl Said {
    /// Words whose quantities are told by [`Quantities`].
    pub fn of(say: impl FnOnce(&Quantities) -> String) -> Self {
        let quantities = Quantities::default();
        let words = say(&quantities);
        let quantities = quantities.0.into_inner();
        let mut parts = Vec::new();
        for (at, piece) in words.split(MARKS.0).enumerate() {
            let marked = piece.split_once(MARKS.1).filter(|_| at > 0);
            let quantity =
                marked.and_then(|(number, rest)| Some((quantities.get(number.parse::<usize>().ok()?)?, rest)));
            match quantity {
                Some((quantity, rest)) => {
                    parts.push(Part::Quantity(quantity.clone()));
                    parts.push(Part::Words(rest.to_owned()));
                }
                None => parts.push(Part::Words(piece.to_owned())),
            }
        }
        let mut said = Self { plain: String::new(), parts };
        said.plain = said.told(|quantity| quantity.plain.clone());
        said
    }

    /// As it is told by whoever tells the quantities.
    pub fn told(&self, tell: impl Fn(&Quantity) -> String) -> String {
        let pieces = self.parts.iter().map(|part| match part {
            Part::Words(words) => words.clone(),
            Part::Quantity(quantity) => tell(quantity),
        });
        pieces.collect()
    }

    /// The same, and these words.
    #[must_use]
    pub fn and(mut self, words: &str) -> Self {
        self.plain.push_str(words);
        self.parts.push(Part::Words(words.to_owned()));
        self
    }
}

impl From<String> for Said {
    /// Words without quantities.
    fn from(words: String) -> Self {
        Self { plain: words.clone(), parts: vec![Part::Words(words)] }
    }
}

impl From<&str> for Said {
    /// Words without quantities.
    fn from(words: &str) -> Self {
        words.to_owned().into()
    }
}

impl Deref for Said {
    type Target = str;

    fn deref(&self) -> &str {
        &self.plain
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_stand_in_their_words_and_are_told_as_one_likes() {
        let file = "odd \u{fdd0}7\u{fdd1} name";
        let said = Said::of(|q| {
            let (low, high) = (q.bare(-60.0, "°C"), q.given(60.0, "°C"));
            format!("{file}: {low} to {high} at {}, {}", q.air_pressure(101_325.0), q.distance(12_345.0))
        });
        assert_eq!(&*said, "odd 7\u{fdd1} name: -60 to 60 °C at 101325 Pa, 12300 km");
        assert_eq!(
            said.told(|quantity| format!("<{}>", quantity.unit)),
            "odd 7\u{fdd1} name: <°C> to <°C> at <hPa>, <km>"
        );
        assert_eq!(said.and("; look").split(", ").last(), Some("12300 km; look"));
        assert_eq!(Said::from("plain").told(|_| String::new()), "plain");
    }
}
