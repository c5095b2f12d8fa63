//! What differs between reports: in their inputs, and in what comes of them. Finished reports are read as the figures
//! that they were written with, so that an old report can be held beside a new one.

use crate::number::Digits;
use serde::Serialize;
use serde_json::Value;

/// Reports beside each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Differences {
    /// What is compared, in the order asked for; the first is what the others are held against.
    pub subjects: Vec<Subject>,
    /// True if their money is not of one currency: no headline in money is told then.
    pub currencies_differ: bool,
    /// Values of the studies that are not the same in all of them.
    pub inputs: Vec<InputDifference>,
    /// Files that are not the same in all of them.
    pub files: Vec<InputDifference>,
    /// Headlines of the study, then of every option, whether they differ or not.
    pub headlines: Vec<Headline>,
}

/// A report that is compared.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Subject {
    /// What it was asked for by.
    pub name: String,
    /// Title of the study.
    pub title: String,
    /// Code of its money.
    pub currency: String,
}

/// A value that differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct InputDifference {
    /// Its path in the study, or the file's name.
    pub path: String,
    /// Its unit, or empty.
    pub unit: String,
    /// In each; nothing where it is not there.
    pub values: Vec<Option<String>>,
}

impl InputDifference {
    /// In each, as `tell` has a value, with its unit: `22 -> 26 % w.b.`.
    pub(crate) fn told(&self, arrow: &str, tell: impl Fn(&str) -> String) -> String {
        let values = self.values.iter().map(|value| value.as_deref().map_or_else(|| "-".to_owned(), &tell));
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        values.collect::<Vec<String>>().join(arrow) + &unit
    }

    /// Of a file: who reads it, or that all read another.
    pub(crate) fn whose_file(&self) -> String {
        let has = |at: &usize| self.values[*at].is_some();
        let whose: Vec<String> = (0..self.values.len()).filter(has).map(letter).collect();
        if whose.len() == self.values.len() {
            "not the same file".to_owned()
        } else {
            format!("read by {} alone", whose.join(", "))
        }
    }
}

/// One figure in each of the reports.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Headline {
    /// The option that it is of; nothing of what is the study's.
    pub option: Option<String>,
    /// What it is, in words.
    pub name: String,
    /// Its unit; empty of words.
    pub unit: String,
    /// In each, as a number or as words; nothing where it is not there.
    pub values: Vec<Option<Told>>,
}

/// A figure as a number or as words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub(crate) enum Told {
    /// A number.
    Number(f64),
    /// Words.
    Words(String),
}

impl Headline {
    /// True if it is not the same in all.
    pub(crate) fn differs(&self) -> bool {
        self.values.iter().any(|value| *value != self.values[0])
    }

    /// What it is in one of the reports.
    pub(crate) fn told(&self, at: usize) -> String {
        match &self.values[at] {
            Some(Told::Number(number)) => in_digits(*number),
            Some(Told::Words(words)) => words.clone(),
            None => "-".to_owned(),
        }
    }

    /// By how much it differs there from the first.
    pub(crate) fn changed(&self, at: usize) -> String {
        if at == 0 { String::new() } else { change(self.values[0].as_ref(), self.values[at].as_ref()) }
    }
}

/// As many digits as a headline bears.
fn in_digits(number: f64) -> String {
    let decimals = usize::from(number.abs() < 1000.0);
    format!("{:.decimals$}", Digits(number))
}

/// Percent of the first.
fn change(first: Option<&Told>, other: Option<&Told>) -> String {
    match (first, other) {
        (Some(Told::Number(first)), Some(Told::Number(other))) if first == other => "=".to_owned(),
        (Some(Told::Number(first)), Some(Told::Number(other))) if first.abs() > 1e-9 => {
            let percent = (other / first - 1.0) * 100.0;
            if percent.abs() < 0.05 { "=".to_owned() } else { format!("{percent:+.1} %") }
        }
        _ => String::new(),
    }
}

/// What a report is called among those that are compared: A, B, ...
pub(crate) fn letter(at: usize) -> String {
    u8::try_from(at)
        .ok()
        .filter(|at| *at < 26)
        .map_or_else(|| (at + 1).to_string(), |at| char::from(b'A' + at).to_string())
}

/// A figure that is told: its name, its unit, where it stands, and by what it is divided.
type Place = (&'static str, &'static str, &'static str, f64);

/// The unit of what is in the study's own currency.
const MONEY: &str = "money";

/// Of the study.
const OF_STUDY: [Place; 8] = [
    ("best option", "", "/study/recommended", 1.0),
    ("proposal", "", "/study/proposal", 1.0),
    ("received", "t", "/season/received_t", 1.0),
    ("dried", "t", "/season/dried_t", 1.0),
    ("water out of the nuts", "t", "/season/water_kg", 1000.0),
    ("mean time to dry", "h", "/season/mean_drying_hours", 1.0),
    ("most bins in use", "", "/season/bins_in_use_max", 1.0),
    ("waiting for a bin", "t d", "/season/waiting_for_bin_tonne_days", 1.0),
];

/// Of every option; money is in the study's own.
const OF_OPTION: [Place; 14] = [
    ("net present cost", MONEY, "/life_cycle/net_present_cost", 1.0),
    ("bill", MONEY, "/total_cost", 1.0),
    ("capital", MONEY, "/life_cycle/capital", 1.0),
    ("purchased energy", "MWh", "/purchased_kwh", 1000.0),
    ("electric peak", "kW", "/electric_peak_kw", 1.0),
    ("carbon", "t", "/carbon_kg", 1000.0),
    ("heat need", "MWh", "/heat_need_kwh", 1000.0),
    ("heat out with air", "MWh", "/heat_exits_kwh/air", 1000.0),
    ("heat through the envelope", "MWh", "/heat_exits_kwh/envelope", 1000.0),
    ("drying fans", "MWh", "/fan_kwh", 1000.0),
    ("cool store", "MWh", "/cool_store_kwh", 1000.0),
    ("recovered heat used", "MWh", "/recovered/useful_kwh", 1000.0),
    ("heat short", "h", "/hours_short", 1.0),
    ("does the work", "", "/does_the_work", 1.0),
];

/// Holds figures beside each other: `reports` are names with the figures as they stand in `figures.json`.
pub(crate) fn differences(reports: &[(String, Value)]) -> Differences {
    let text =
        |figures: &Value, place: &str| figures.pointer(place).and_then(Value::as_str).unwrap_or_default().to_owned();
    let subjects: Vec<Subject> = reports
        .iter()
        .map(|(name, figures)| Subject {
            name: name.clone(),
            title: text(figures, "/study/title"),
            currency: text(figures, "/study/currency"),
        })
        .collect();
    let money = subjects.first().map_or_else(String::new, |first| first.currency.clone());
    let currencies_differ = subjects.iter().any(|subject| subject.currency != money);
    let is_told = |place: &&Place| !(currencies_differ && place.1 == MONEY);
    let all: Vec<&Value> = reports.iter().map(|(_, figures)| figures).collect();
    let mut headlines: Vec<Headline> = OF_STUDY.iter().map(|place| headline(None, place, &all, &money)).collect();
    for name in names(&all, "options", "name") {
        let of_name: Vec<&Value> = all.iter().map(|figures| entry(figures, "options", "name", &name)).collect();
        headlines.extend(OF_OPTION.iter().filter(is_told).map(|place| headline(Some(&name), place, &of_name, &money)));
    }
    Differences {
        subjects,
        currencies_differ,
        inputs: differing(&all, "assumptions", "path", "value"),
        files: differing(&all, "inputs", "file", "sha256"),
        headlines,
    }
}

fn headline(option: Option<&str>, place: &Place, all: &[&Value], money: &str) -> Headline {
    let &(name, unit, pointer, divided_by) = place;
    let told = |figures: &&Value| match figures.pointer(pointer)? {
        Value::Number(number) => Some(Told::Number(number.as_f64()? / divided_by)),
        Value::String(words) => Some(Told::Words(words.clone())),
        Value::Bool(is_so) => Some(Told::Words(if *is_so { "yes" } else { "no" }.to_owned())),
        Value::Null | Value::Array(_) | Value::Object(_) => None,
    };
    Headline {
        option: option.map(str::to_owned),
        name: name.to_owned(),
        unit: if unit == MONEY { money.to_owned() } else { unit.to_owned() },
        values: all.iter().map(told).collect(),
    }
}

/// What entries of a list are called in any of the reports, in the order in which each first comes.
fn names(all: &[&Value], list: &str, key: &str) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in all.iter().flat_map(|figures| entries(figures, list)).filter_map(|entry| entry[key].as_str()) {
        if !names.iter().any(|known| known == name) {
            names.push(name.to_owned());
        }
    }
    names
}

fn entries<'a>(figures: &'a Value, list: &str) -> &'a [Value] {
    figures[list].as_array().map_or(&[], Vec::as_slice)
}

fn entry<'a>(figures: &'a Value, list: &str, key: &str, name: &str) -> &'a Value {
    entries(figures, list).iter().find(|entry| entry[key] == name).unwrap_or(&Value::Null)
}

/// Entries of a list whose value is not the same in all.
fn differing(all: &[&Value], list: &str, key: &str, value: &str) -> Vec<InputDifference> {
    let of = |name: &String| {
        let found: Vec<&Value> = all.iter().map(|figures| entry(figures, list, key, name)).collect();
        let values: Vec<Option<String>> = found.iter().map(|entry| entry[value].as_str().map(str::to_owned)).collect();
        let unit = found.iter().find_map(|entry| entry["unit"].as_str()).unwrap_or_default();
        InputDifference { path: name.clone(), unit: unit.trim_matches('-').to_owned(), values }
    };
    let all = names(all, list, key);
    all.iter().map(of).filter(|input| input.values.iter().any(|value| *value != input.values[0])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_change_is_in_percent_of_the_first() {
        let number = |value| Some(Told::Number(value));
        let of = |first: Option<Told>, other: Option<Told>| change(first.as_ref(), other.as_ref());
        assert_eq!(of(number(200.0), number(230.0)), "+15.0 %");
        assert_eq!(of(number(200.0), number(190.0)), "-5.0 %");
        assert_eq!(of(number(0.0), number(3.0)), "");
        assert_eq!(of(number(2.0), number(2.0)), "=");
        assert_eq!(of(None, number(2.0)), "");
    }

    #[test]
    fn subjects_have_letters_as_long_as_there_are_any() {
        assert_eq!((letter(0), letter(25), letter(26)), ("A".to_owned(), "Z".to_owned(), "27".to_owned()));
    }

    fn report(moisture: &str, bill: f64, option: &str) -> Value {
        json!({
            "study": { "title": "t", "currency": "USD", "recommended": option },
            "season": { "received_t": 12.0 },
            "inputs": [{ "file": "a.csv", "sha256": "0" }],
            "assumptions": [
                { "path": "crop.received_moisture", "value": moisture, "unit": "% w.b." },
                { "path": "site.altitude_m", "value": "5", "unit": "m" },
            ],
            "options": [{ "name": option, "total_cost": bill, "purchased_kwh": 2000.0, "does_the_work": true }],
        })
    }

    #[test]
    fn what_differs_is_told_and_what_is_the_same_is_no_difference() {
        let found =
            differences(&[("a".to_owned(), report("22", 5.0, "gas")), ("b".to_owned(), report("26", 6.0, "gas"))]);
        assert_eq!(found.files, []);
        let values = vec![Some("22".to_owned()), Some("26".to_owned())];
        let moisture = InputDifference { path: "crop.received_moisture".to_owned(), unit: "% w.b.".to_owned(), values };
        assert_eq!(found.inputs, [moisture]);
        let headline = |name: &str| found.headlines.iter().find(|headline| headline.name == name).expect(name);
        assert_eq!(headline("bill").values, [Some(Told::Number(5.0)), Some(Told::Number(6.0))]);
        assert_eq!(headline("bill").unit, "USD");
        assert!(headline("bill").differs() && !headline("received").differs());
        assert_eq!(headline("purchased energy").values[0], Some(Told::Number(2.0)));
    }

    #[test]
    fn an_option_of_one_report_alone_stands_beside_nothing() {
        let found =
            differences(&[("a".to_owned(), report("22", 5.0, "gas")), ("b".to_owned(), report("22", 5.0, "oil"))]);
        let bills: Vec<_> = found.headlines.iter().filter(|headline| headline.name == "bill").collect();
        assert_eq!(bills.len(), 2);
        assert_eq!(bills[1].values, [None, Some(Told::Number(5.0))]);
    }
}
