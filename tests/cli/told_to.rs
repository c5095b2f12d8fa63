//! A report is told in the units and in the writing of numbers of those who read it; files stay plain.

use super::faults::{replace, small};
use super::in_other_units::{same, twin};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// What parts words; the narrow space within numbers does not.
const PARTED: [char; 3] = [' ', '\n', '\u{a0}'];
const SHOWN_AS: &str = "[study]\n";

/// Units that an American grower has no use for. Electricity is in kW and kWh, carbon in kg and metric tons of CO₂e.
const SI_ONLY: [&str; 23] = [
    "°C",
    "K",
    "K\u{a0}h",
    "kelvin",
    "kelvin-hours",
    "t",
    "kg/t",
    "tonne",
    "tonnes",
    "tonne-days",
    "kilogram",
    "g/kg",
    "MJ/kg",
    "kWh/t",
    "USD/t",
    "USD/L",
    "USD/kg",
    "L",
    "m",
    "m²",
    "m³",
    "m³/s",
    "Pa",
];

fn shown_in_us(folder: &TempDir) {
    replace(folder.path(), "study.toml", SHOWN_AS, "[study]\nunits = \"us\"\n");
}

fn report(folder: &Path) -> (Value, String, String) {
    let ran = dryledger(&["report", "study.toml", "--samples", "3"]).in_folder(folder).run();
    ran.ends_well();
    let json = fs::read_to_string(folder.join("figures.json")).expect("the figures");
    let page = fs::read_to_string(folder.join("report.html")).expect("the page");
    (serde_json::from_str(&json).expect("JSON"), page, ran.stdout)
}

/// What a reader sees of a page, tags and style aside.
fn words_of(page: &str) -> String {
    let body = without_blocks(page.rsplit_once("</style>").map_or(page, |(_, body)| body));
    let mut words = String::new();
    let mut is_tag = false;
    for c in body.chars() {
        match c {
            '<' => is_tag = true,
            '>' => {
                is_tag = false;
                words.push(' ');
            }
            _ if is_tag => {}
            other => words.push(other),
        }
    }
    words
}

/// A page without the blocks that are to be pasted into a study, which are as files are.
fn without_blocks(page: &str) -> String {
    let mut parts = page.split("<pre");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |all, part| all + part.split_once("</pre>").map_or("", |(_, after)| after))
}

/// Figures without the files read, the list of inputs and how many they are.
fn without_inputs(figures: &Value) -> Value {
    let mut figures = figures.as_object().expect("an object").clone();
    figures.remove("inputs");
    figures.remove("assumptions");
    figures.remove("input_counts");
    Value::Object(figures)
}

#[test]
fn a_study_wholly_in_us_units_has_the_figures_of_its_twin_and_no_unit_of_si_before_a_grower() {
    let (us, si) = (twin(|twin| twin.1), twin(|twin| twin.2));
    shown_in_us(&us);
    let ((us_figures, page, summary), (si_figures, si_page, _)) = (report(us.path()), report(si.path()));
    let mut count = 0;
    same("", &without_inputs(&us_figures), &without_inputs(&si_figures), &mut count);
    assert!(count > 1000, "{count} numbers were compared");

    for (what, text) in [("page", page.as_str()), ("terminal", summary.as_str())] {
        // Formulas have signs of their own, and the appendix behind them shows SI: reasons and sources.
        let before = text.split("<section id=\"application\"").next().expect("a part");
        let words = if what == "page" { words_of(before) } else { before.to_owned() };
        let said: Vec<&str> = words.split(|c: char| c.is_whitespace() || "(),;:".contains(c)).collect();
        for (at, word) in said.iter().enumerate() {
            let beside = || said[at.saturating_sub(8)..(at + 8).min(said.len())].join(" ");
            assert!(!SI_ONLY.contains(&word.trim_end_matches('.')), "{what} has {word} in: {}", beside());
        }
    }
    for wanted in
        ["short tons", "lb/short ton", "MMBtu", "kBtu/h", "°F", "Btu/lb", "USD/gal", "gal", "outside dry bulb, °F"]
    {
        assert!(page.contains(wanted), "no {wanted}");
    }
    // SI stands beside each input.
    assert!(page.contains("104\u{a0}°F (40 °C) (written 104 F)"), "{}", around(&page, "temperature_c"));
    assert!(page.contains("2.1\u{a0}USD/gal (0.5548 USD/L) (written 2.10 USD/gal)"));
    assert!(summary.contains("13 short tons macadamia received") && summary.contains("MMBtu"), "{summary}");
    assert!(si_page.contains("outside dry bulb, °C") && !si_page.contains("°F"));
}

fn around(text: &str, word: &str) -> String {
    let at = text.find(word).unwrap_or(0);
    text.chars().skip(text[..at].chars().count().saturating_sub(80)).take(200).collect()
}

/// A season of 12 t is 13.2 short tons, water of 1 t is 2205 lb, and 40 °C is 104 °F: read off the page itself.
#[test]
fn figures_of_the_page_are_those_of_si_converted() {
    let folder = small();
    let (_, si, _) = report(folder.path());
    shown_in_us(&folder);
    let (figures, us, _) = report(folder.path());
    let row = |page: &str, name: &str, unit: &str| -> f64 {
        let head = format!("{name} <span class=\"u\">{unit}</span></th><td class=\"n");
        let (_, rest) = page.split_once(&head).unwrap_or_else(|| panic!("no {head}"));
        let cell = rest.split_once('>').expect("a cell").1.split_once('<').expect("its end").0;
        cell.replace(['\u{202f}', ','], "").parse().unwrap_or_else(|_| panic!("{cell}"))
    };
    for (name, si_unit, us_unit, factor) in
        [("nuts received", "t", "short tons", 1.102_311), ("water evaporated", "t", "lb", 2204.623)]
    {
        let (was, is) = (row(&si, name, si_unit), row(&us, name, us_unit));
        assert!((is / (was * factor) - 1.0).abs() < 0.03, "{name}: {was} {si_unit} and {is} {us_unit}");
    }
    // What is the same for every option is said in a sentence.
    let said = |page: &str, name: &str, unit: &str| -> f64 {
        let (words, name) = (words_of(page), format!("{name} "));
        let after = words.split(&name).skip(1);
        let mut found = after.filter_map(|rest| rest.split_once('\u{a0}').filter(|(_, rest)| rest.starts_with(unit)));
        let (number, _) = found.next().unwrap_or_else(|| panic!("no {name} in {unit}"));
        number.replace(['\u{202f}', ','], "").parse().unwrap_or_else(|_| panic!("{number}"))
    };
    for (name, si_unit, us_unit, factor) in
        [("heat need", "MWh", "MMBtu", 3.412_142), ("peak heat need", "kW", "kBtu/h", 3.412_142)]
    {
        let (was, is) = (said(&si, name, si_unit), said(&us, name, us_unit));
        assert!((is / (was * factor) - 1.0).abs() < 0.03, "{name}: {was} {si_unit} and {is} {us_unit}");
    }
    assert!(us.contains("peak demand <span class=\"u\">kW</span>"), "electricity stays what it is");
    let heat_kwh = figures["options"][0]["heat_need_kwh"].as_f64().expect("the need");
    let shown = said(&us, "heat need", "MMBtu");
    assert!((shown - heat_kwh * 3.412_141_633e-3).abs() < 0.006, "{shown} of {heat_kwh} kWh");
}

#[test]
fn numbers_are_written_as_their_readers_write_them_and_files_stay_plain() {
    let folder = small();
    let run = |writing: &str| {
        let line = if writing.is_empty() { String::new() } else { format!("language_of_numbers = \"{writing}\"\n") };
        fs::copy(small().path().join("study.toml"), folder.path().join("study.toml")).expect("the study");
        replace(folder.path(), "study.toml", SHOWN_AS, &format!("[study]\n{line}"));
        let (figures, page, summary) = report(folder.path());
        let csv = fs::read_to_string(folder.path().join("monthly.csv")).expect("the months");
        // What follows prints formulas and quotes the study, and the list of inputs has one more.
        let before = page.split("<section id=\"application\"").next().expect("a part");
        (without_inputs(&figures), csv, words_of(before), summary)
    };
    let (figures, csv, plain, summary) = run("");
    assert!(plain.contains("9\u{202f}4") || plain.contains("10\u{202f}"), "thousands are parted");
    for (writing, thousands, decimals) in [
        ("comma and point", ',', '.'),
        ("point and comma", '.', ','),
        ("space and comma", '\u{202f}', ','),
        ("apostrophe and point", '\u{2019}', '.'),
    ] {
        let (own_figures, own_csv, page, own_summary) = run(writing);
        assert_eq!((&own_figures, &own_csv), (&figures, &csv), "{writing}");
        // The same page, but for the marks: no number is left in the other writing.
        let mut count = 0;
        for (own, was) in page.split(PARTED).zip(plain.split(PARTED)) {
            let Some(number) = formatted(was) else { continue };
            let expected = number.replace('.', "\u{1}").replace('\u{202f}', &thousands.to_string());
            let expected = expected.replace('\u{1}', &decimals.to_string());
            assert!(own.contains(&expected), "{writing}: {own} where {was} stood");
            count += 1;
        }
        assert!(count > 150, "{count} numbers were compared");
        let bill = |summary: &str| summary.lines().find(|line| line.starts_with("electric ")).map(str::to_owned);
        let was = bill(&summary).expect("a line");
        assert_eq!(bill(&own_summary), Some(was.replace('.', &decimals.to_string())), "{writing}");
    }
}

/// A word that is a number as the page writes it: with a decimal or parted thousands.
fn formatted(word: &str) -> Option<&str> {
    let number = word.trim_matches(|c: char| !c.is_ascii_digit());
    let is_number = number.chars().all(|c| c.is_ascii_digit() || c == '.' || c == '\u{202f}');
    let has_marks = number.contains('\u{202f}') || number.matches('.').count() == 1;
    // A version is no number, and neither is a path such as `room.1`.
    (is_number && has_marks && word == number && number.split('.').count() <= 2).then_some(number)
}

#[test]
fn a_reader_who_is_not_known_is_told_whom_there_are() {
    for (line, words) in [
        ("units = \"imperial\"", &["units", "si or us"][..]),
        ("language_of_numbers = \"german\"", &["language_of_numbers", "point and comma", "1.234,5"]),
    ] {
        let folder = small();
        replace(folder.path(), "study.toml", SHOWN_AS, &format!("[study]\n{line}\n"));
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(words);
    }
}
