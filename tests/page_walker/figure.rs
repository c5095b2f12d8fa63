//! The numbers of `figures.json`, each with its path, what it is measured in by its name, and the names around it.

use serde_json::Value;
use std::collections::BTreeSet;

/// What a figure is measured in, as far as its key says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    Energy,
    Power,
    Mass,
    Tonnes,
    Percent,
    Celsius,
    Kelvin,
    Hours,
    Days,
    Years,
    /// So much of one for each of another.
    Per,
    /// An input, or what says its unit beside it.
    Told,
    /// Money, counts and shares: their keys name no unit.
    Bare,
}

/// A number of the figures.
#[derive(Clone, Debug)]
pub(super) struct Figure {
    pub value: f64,
    pub measure: Measure,
    pub path: Vec<String>,
    pub names: BTreeSet<String>,
}

pub(super) const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Keys that say which of several a number is: its measure stands further up.
const WHICH: [&str; 7] = ["p10", "p50", "p90", "lowest", "highest", "value", "as_studied"];

fn measure(path: &[String]) -> Measure {
    let is_place = |key: &str| key.bytes().all(|byte| byte.is_ascii_digit());
    let Some(key) = path.iter().rev().find(|key| !is_place(key) && !WHICH.contains(&key.as_str())) else {
        return Measure::Bare;
    };
    if key.contains("_per_") || key.starts_with("mj_") {
        return Measure::Per;
    }
    let words: Vec<&str> = key.split('_').collect();
    match *words.last().expect("a word") {
        "kwh" => Measure::Energy,
        "kw" => Measure::Power,
        "kg" => Measure::Mass,
        "t" => Measure::Tonnes,
        "pct" => Measure::Percent,
        "c" => Measure::Celsius,
        "k" => Measure::Kelvin,
        "h" | "hours" => Measure::Hours,
        "d" | "days" => Measure::Days,
        "years" => Measure::Years,
        _ if words.contains(&"kwh") => Measure::Energy,
        _ if words.contains(&"kw") => Measure::Power,
        _ if words.contains(&"pct") => Measure::Percent,
        _ => Measure::Bare,
    }
}

/// All numbers of some figures, and of the inputs among them.
pub(super) fn figures(all: &Value) -> Vec<Figure> {
    let mut found = Vec::new();
    gather(all, &mut Vec::new(), &BTreeSet::new(), &mut found);
    // Factors of gases stand in a sentence.
    let gases = all["study"]["warming_potentials"].as_str().unwrap_or_default();
    for part in gases.split(|c: char| !c.is_ascii_digit()).filter_map(|part| part.parse().ok()) {
        let path = vec!["study".to_owned(), "warming_potentials".to_owned()];
        found.push(Figure { value: part, measure: Measure::Told, path, names: BTreeSet::new() });
    }
    for input in all["assumptions"].as_array().expect("inputs") {
        let (path, value) = (input["path"].as_str().expect("a path"), input["value"].as_str().expect("a value"));
        for part in value.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')) {
            if let Ok(value) = part.parse::<f64>() {
                let path = vec!["assumptions".to_owned(), path.to_owned(), "value".to_owned()];
                let names = BTreeSet::from([path[1].clone()]);
                found.push(Figure { value, measure: Measure::Told, path, names });
            }
        }
    }
    found
}

fn gather(value: &Value, path: &mut Vec<String>, names: &BTreeSet<String>, found: &mut Vec<Figure>) {
    match value {
        Value::Object(parts) => {
            let mut names = names.clone();
            for (key, part) in parts {
                if let Some(text) = part.as_str()
                    && !["sentence", "text", "source", "why", "unit"].contains(&key.as_str())
                {
                    names.insert(text.to_owned());
                }
            }
            if let Some(month) = parts.get("month").and_then(Value::as_u64) {
                names.insert(MONTHS[usize::try_from(month).expect("a month") - 1].to_owned());
            }
            if let Some(year) = parts.get("year").and_then(Value::as_u64) {
                names.insert(if year == 0 { "start".to_owned() } else { year.to_string() });
            }
            let unit = parts.get("unit").and_then(Value::as_str);
            for (key, part) in parts {
                path.push(key.clone());
                let mut own = names.clone();
                own.extend(path.iter().rev().nth(1).filter(|of| *of == "carriers").map(|_| key.clone()));
                let begin = found.len();
                gather(part, path, &own, found);
                if unit.is_some() && ["sum", "value"].contains(&key.as_str()) {
                    found[begin..].iter_mut().for_each(|figure| figure.measure = Measure::Told);
                }
                // Of what is saved the unit stands beside the range.
                if unit.is_some_and(|unit| unit.starts_with("kg")) && key == "saved_in_draws" {
                    found[begin..].iter_mut().for_each(|figure| figure.measure = Measure::Mass);
                }
                path.pop();
            }
        }
        Value::Array(parts) => {
            let mut own = names.clone();
            if parts.len() < 5 {
                own.extend(parts.iter().filter_map(Value::as_str).map(str::to_owned));
            }
            if parts.first().is_some_and(Value::is_object) {
                path.push("#".to_owned());
                let (value, measure) = (parts.len() as f64, Measure::Bare);
                found.push(Figure { value, measure, path: path.clone(), names: names.clone() });
                path.pop();
            }
            for (at, part) in parts.iter().enumerate() {
                path.push(at.to_string());
                gather(part, path, &own, found);
                path.pop();
            }
        }
        Value::Number(number) => {
            let value = number.as_f64().expect("a number");
            found.push(Figure { value, measure: measure(path), path: path.clone(), names: names.clone() });
        }
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

/// All texts of some figures, one behind the other.
pub(super) fn texts(all: &Value) -> String {
    fn gather(value: &Value, said: &mut String) {
        match value {
            Value::String(text) => {
                said.push_str(&text.replace('\u{a0}', " ").replace('\u{202f}', ""));
                said.push('\n');
            }
            Value::Object(parts) => parts.values().for_each(|part| gather(part, said)),
            Value::Array(parts) => parts.iter().for_each(|part| gather(part, said)),
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }
    let mut said = String::new();
    gather(all, &mut said);
    said
}
