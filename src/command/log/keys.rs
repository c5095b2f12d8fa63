//! What is known of a batch beside its samples: `# key = value` lines at the head of a log, or options.

use crate::problem::{Problem, Problems};
use crate::table::{DecimalMark, parse_either};
use std::collections::BTreeMap;

/// A fact of a batch that is a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    Airflow,
    Tonnes,
    FloorArea,
    Layers,
    NutsC,
    AirC,
    RelativeHumidity,
    Altitude,
}

struct Row(Key, &'static str, &'static str, &'static str, f64, f64);

/// Key, its name in a log, its option, unit, and the lowest and highest value that can be meant.
#[rustfmt::skip]
const TABLE: [Row; 8] = [
    Row(Key::Airflow, "airflow_m3_per_s_per_tonne", "--airflow", "m³/s per tonne", 1e-4, 10.0),
    Row(Key::Tonnes, "tonnes", "--tonnes", "t", 1e-3, 1000.0),
    Row(Key::FloorArea, "floor_area_m2", "--floor-area", "m²", 1e-3, 1000.0),
    Row(Key::Layers, "layers", "--layers", "", 1.0, 60.0),
    Row(Key::NutsC, "nuts_c", "--nuts-c", "°C", 0.0, 60.0),
    Row(Key::AirC, "air_c", "--air-c", "°C", 0.0, 100.0),
    Row(Key::RelativeHumidity, "relative_humidity_pct", "--rh", "%", 0.0, 100.0),
    Row(Key::Altitude, "altitude_m", "--altitude", "m", -500.0, 5500.0),
];

impl Key {
    fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }

    pub(super) fn name(self) -> &'static str {
        self.row().1
    }

    pub(super) fn option(self) -> &'static str {
        self.row().2
    }

    /// The value, if it can be meant; otherwise what is wrong with it and what would do. It is `called` so where it
    /// was written.
    fn checked(self, called: &str, value: f64) -> Result<f64, Problems> {
        let Row(_, _, _, unit, low, high) = *self.row();
        let whole = self != Self::Layers || value.fract() == 0.0;
        if (low..=high).contains(&value) && whole {
            return Ok(value);
        }
        let kind = if self == Self::Layers { "a whole number" } else { "a number" };
        let range = format!("{low}..{high} {unit}");
        let what = format!("{called} is {value}, where {kind} of {} is expected", range.trim_end());
        Err(Problem::said(what).cure("correct it").into())
    }
}

/// The facts given.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Facts {
    pub crop: Option<String>,
    numbers: BTreeMap<Key, f64>,
}

impl Facts {
    pub(super) fn get(&self, key: Key) -> Option<f64> {
        self.numbers.get(&key).copied()
    }

    /// Takes a fact that was `called` so where it was written.
    pub(super) fn set(&mut self, key: Key, called: &str, value: f64) -> Result<(), Problems> {
        self.numbers.insert(key, key.checked(called, value)?);
        Ok(())
    }

    /// These facts, with those of `over` in place of them.
    pub(super) fn under(&self, over: &Self) -> Self {
        let mut all = self.clone();
        all.numbers.extend(&over.numbers);
        if over.crop.is_some() {
            all.crop.clone_from(&over.crop);
        }
        all
    }

    /// Takes a line without its `#`: a fact if it has the form `key = value`, else a remark.
    pub(super) fn take(&mut self, line: &str) -> Result<(), Problems> {
        let Some((name, value)) = line.split_once('=').map(|(name, value)| (name.trim(), value.trim())) else {
            return Ok(());
        };
        if name == "crop" {
            self.crop = Some(value.to_owned());
            return Ok(());
        }
        let Some(Row(key, ..)) = TABLE.iter().find(|row| row.1 == name) else {
            let cure = format!("use one of {}, or write the remark without '='", names().join(", "));
            return Err(Problem::said(format!("there is no key '{name}'")).cure(cure).into());
        };
        let number = parse_either(value.as_bytes(), DecimalMark::Point).ok_or_else(|| {
            Problem::said(format!("{name} is '{value}', where a number is expected"))
                .cure(format!("write it as {name} = 1.5, with a point"))
        })?;
        self.set(*key, name, number)
    }
}

fn names() -> Vec<&'static str> {
    std::iter::once("crop").chain(TABLE.iter().map(|row| row.1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_keys() {
        for (at, row) in TABLE.iter().enumerate() {
            assert_eq!(row.0 as usize, at);
        }
    }

    #[test]
    fn facts_are_taken_and_remarks_passed_over() {
        let mut facts = Facts::default();
        for line in
            [" crop = pecan", "airflow_m3_per_s_per_tonne=0,1", " an invented log", " tonnes: about four", " note: dry"]
        {
            facts.take(line).unwrap();
        }
        assert_eq!(facts.crop.as_deref(), Some("pecan"));
        assert_eq!((facts.get(Key::Airflow), facts.get(Key::Tonnes)), (Some(0.1), None));
        for (line, words) in [
            ("airflow = 0.1", "airflow_m3_per_s_per_tonne"),
            ("tonnes = six", "with a point"),
            ("layers = 2.5", "whole number"),
            ("air_c = 101", "0..100 °C"),
            ("air_c = NaN", "a number"),
        ] {
            let told = facts.take(line).unwrap_err().to_string();
            assert!(told.contains(words), "{told}");
        }
    }
}
