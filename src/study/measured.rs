//! A number that is written with its unit, `"110 F"` or `"2.10 USD/gal"`, as one in the unit of its key.

use super::value::{Checked, Raw, describe, list, list_text, number, whole};
use crate::money::Currency;
use crate::table::{DecimalMark, parse_either};
use crate::unit::{Dimension, MoneyName, Unit, parse};
use toml::de::DeValue;

/// What a key is measured in, as far as its reader has said it.
#[derive(Clone, Debug, Default)]
pub(super) struct Scale {
    /// The key's unit as it is shown to people; empty if it has none.
    pub unit: String,
    /// The currency of the study's prices, if it is known.
    pub currency: Option<Currency>,
    /// Mass of a volume, kg/m³: with it, what is asked for each mass may be given for each volume.
    pub density: Option<f64>,
    /// Entries of a list that are set from outside, in its order.
    pub set: Vec<Option<f64>>,
}

impl Scale {
    /// Puts what is set from outside in the place of what the file gives.
    pub(super) fn set_entries(&self, values: &mut [f64]) {
        for (value, set) in values.iter_mut().zip(&self.set) {
            *value = set.unwrap_or(*value);
        }
    }
}

/// A number, and the text it was written as if it came with a unit.
pub(super) type Measured = (f64, Option<String>);

/// True of what stands there with a unit of its own.
pub(super) fn is_written(raw: &Raw<'_>) -> bool {
    match raw.get_ref() {
        DeValue::String(_) => true,
        DeValue::Array(entries) => entries.iter().any(is_written),
        _ => false,
    }
}

/// True if other units fit at a key of this unit.
pub(super) fn takes_units(unit: &str) -> bool {
    !unit.is_empty() && parse(unit).is_ok()
}

/// The number at this place, in the scale's unit.
pub(super) fn measured(raw: &Raw<'_>, scale: &Scale) -> Checked<Measured> {
    let DeValue::String(text) = raw.get_ref() else {
        return Ok((number(raw)?, None));
    };
    let text = text.trim();
    let wrong = |why: String| Err((raw.span(), format!("is {}{why}", describe(raw.get_ref()))));
    // What has no unit, or one that nobody can compute with, is a plain number.
    let Some(to) = parse(&scale.unit).ok().filter(|_| takes_units(&scale.unit)) else {
        return wrong(String::new());
    };
    let Some((value, unit)) = split(text) else {
        let why = if text.contains(|c: char| c.is_ascii_digit()) {
            ", which does not begin with a number (thousands have no mark: 1250 or 1_250)"
        } else {
            ""
        };
        return wrong(why.to_owned());
    };
    if unit.is_empty() {
        return wrong(", which names no unit; leave the quotes out, or say the unit".to_owned());
    }
    let from = match parse(&unit) {
        Ok(from) => from,
        Err(unknown) => return wrong(format!(", and `{unknown}` is {}", not_known(&unknown))),
    };
    if let Some(other) = from.qualifiers.iter().find(|word| !to.qualifiers.contains(word)) {
        return wrong(format!(", and what is asked for is not \"{other}\""));
    }
    if let Some(why) = other_money(&from, &to, scale.currency) {
        return wrong(why);
    }
    let value = if from.fits(&to) {
        from.convert(value, &to)
    } else if let Some(density) = scale.density.filter(|_| is_by_volume(&from, &to)) {
        let by_volume = Unit { dimension: from.dimension, ..to.clone() };
        from.convert(value, &by_volume) / density
    } else {
        return wrong(format!(", which is not measured in {}", scale.unit));
    };
    // What a conversion adds in the last digit of a double is noise.
    let value = if from.is_same(&to) { value } else { format!("{value:.14e}").parse().unwrap_or(value) };
    if !value.is_finite() {
        return wrong(String::new());
    }
    let told = match scale.density {
        Some(density) if !from.fits(&to) => format!("{text}, at {density:.0} kg/m³"),
        _ => text.to_owned(),
    };
    Ok((value, Some(told)))
}

/// A whole number that may come with a unit of its own.
pub(super) fn measured_count(raw: &Raw<'_>, scale: &Scale) -> Checked<(u32, Option<String>)> {
    let (value, written) = measured(raw, scale)?;
    let count = whole(value).ok_or_else(|| (raw.span(), format!("is {value} {}", scale.unit)))?;
    Ok((count, written))
}

/// A list of numbers of which any may come with a unit of its own; a bare one is in the key's.
pub(super) fn measured_list(raw: &Raw<'_>, scale: &Scale) -> Checked<(Vec<f64>, Option<String>)> {
    let (mut values, texts): (Vec<f64>, Vec<_>) = list(raw, |entry| measured(entry, scale))?.into_iter().unzip();
    let texts = values.iter().zip(texts).map(|(value, text)| text.unwrap_or_else(|| value.to_string()));
    let as_written = list_text(texts);
    scale.set_entries(&mut values);
    Ok((values, Some(as_written)))
}

/// What a price is for, if it says so: `"2.10 USD/gal"` is for a volume.
pub(super) fn sold_by(text: &str) -> Option<Dimension> {
    let (_, unit) = split(text.trim())?;
    let unit = parse(&unit).ok()?;
    let of_one = Dimension::MONEY.times(unit.dimension, -1);
    (unit.dimension.money == 1).then_some(of_one)
}

/// What else than a plain number fits at a key of this unit: `or text with a unit, such as "110 °F"`; empty where
/// nothing does.
pub(super) fn what_fits(scale: &Scale) -> String {
    let Some(unit) = parse(&scale.unit).ok().filter(|_| takes_units(&scale.unit)) else {
        return String::new();
    };
    let money = match &unit.money {
        Some(MoneyName::Code(code)) => code,
        _ => scale.currency.map_or("money", Currency::code),
    };
    let units: Vec<String> = unit.examples().into_iter().map(|example| example.replace("money", money)).collect();
    if units.is_empty() { String::new() } else { format!("or text with a unit such as {}", units.join(", ")) }
}

/// True if one is asked for each mass, and the other given for each volume.
fn is_by_volume(from: &Unit, to: &Unit) -> bool {
    from.dimension == to.dimension.times(Dimension::DENSITY, 1)
}

/// The number that a text begins with, and the rest of it. A sign or code of money may stand before the number.
fn split(text: &str) -> Option<(f64, String)> {
    let is_of_number = |c: char| c.is_ascii_digit() || "+-.,_eE".contains(c);
    let begins = text.find(|c: char| c.is_ascii_digit() || "+-.".contains(c))?;
    let (before, rest) = text.split_at(begins);
    let before = before.trim();
    let is_money = before.is_empty() || parse(before).is_ok_and(|unit| unit.money.is_some());
    let mut ends = rest.find(|c: char| !is_of_number(c)).unwrap_or(rest.len());
    // `12 e` is no number, but neither is the `E` of a unit part of one.
    while ends > 0 && !rest[..ends].ends_with(|c: char| c.is_ascii_digit() || c == '.') {
        ends -= 1;
    }
    let (digits, unit) = rest.split_at(ends);
    let value = parse_either(digits.replace('_', "").as_bytes(), DecimalMark::Point).filter(|_| is_money)?;
    Some((value, format!("{before} {}", unit.trim()).trim().to_owned()))
}

/// Why a unit is not read, where more can be said than that it is not known.
fn not_known(unit: &str) -> &'static str {
    match unit.to_lowercase().trim_end_matches('s') {
        "ton" => "a short ton (2000 lb), a long ton or a tonne (t): say which",
        "mbtu" => "a thousand Btu (kBtu) or a million (MMBtu): say which",
        "mcf" | "ccf" => "a volume of gas; give the price for the energy on the bill (therm, MMBtu, kWh), or for m³",
        _ => "no unit that is known",
    }
}

/// What is wrong with the money, if anything is.
fn other_money(from: &Unit, to: &Unit, currency: Option<Currency>) -> Option<String> {
    let asked = match &to.money {
        Some(MoneyName::Code(code)) => code.parse().ok().or(currency),
        _ => currency,
    };
    if to.dimension.money == 0 {
        return None;
    }
    let (written, asked) = (from.money.as_ref()?, asked?);
    let is_asked = match written {
        MoneyName::Any => true,
        MoneyName::Code(code) => code == asked.code(),
        MoneyName::Sign(sign) => asked.symbol().ends_with(*sign),
        MoneyName::Hundredth => asked.decimals() == 2,
    };
    (!is_asked).then(|| format!(", and prices of this study are in {}", asked.code()))
}
