use super::*;
use crate::study::keys::{Need, Shape, Takes};
use std::path::Path;

/// Every source of this room but tests.
fn sources(folder: &Path, found: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs")
            && path.file_name().is_none_or(|name| name != "tests.rs")
        {
            let text = std::fs::read_to_string(&path).expect("a source");
            let code = text.split("#[cfg(test)]").next().unwrap_or_default();
            // Examples in docs are no readers.
            let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
            found.push(lines.collect::<Vec<_>>().join("\n"));
        }
    }
}

/// Keys that readers ask for by a literal.
fn asked_by_literal() -> Vec<String> {
    const READERS: [&str; 14] = [
        ".number",
        ".count",
        ".numbers",
        ".text",
        ".texts",
        ".yes_no",
        ".choice",
        ".choices",
        ".table",
        ".optional_table",
        ".required_table",
        ".each",
        ".each_of_some",
        ".parsed",
    ];
    let mut texts = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/study"), &mut texts);
    let mut keys = Vec::new();
    for text in &texts {
        for (at, _) in text.match_indices('(') {
            let before = text[..at].trim_end_matches(|c: char| c == '>' || c.is_alphanumeric() || "_:<".contains(c));
            let called = &text[before.len()..at];
            let name = format!(".{}", called.split("::").next().unwrap_or(called));
            if !before.ends_with('.') || !READERS.contains(&name.as_str()) {
                continue;
            }
            if let Some(rest) = text[at + 1..].trim_start().strip_prefix('"') {
                keys.extend(rest.split('"').next().map(str::to_owned));
            }
        }
    }
    keys.sort();
    keys.dedup();
    keys
}

#[test]
fn every_key_that_is_read_is_listed() {
    let (study, tariff) = (all_keys(File::Study), all_keys(File::Tariff));
    let is_listed = |key: &String| {
        let tables = study.0.iter().chain(&tariff.0);
        tables.flat_map(|table| &table.keys).any(|listed| listed.key.name == *key)
    };
    let asked = asked_by_literal();
    assert!(asked.len() > 150, "{} keys found", asked.len());
    let missing: Vec<&String> = asked.iter().filter(|key| !is_listed(key)).collect();
    assert!(missing.is_empty(), "add to every_kind.toml what reaches {missing:?}");
}

#[test]
fn a_key_is_listed_as_its_reader_states_it() {
    let tables = all_keys(File::Study);
    let key = |table: &str, name: &str| {
        let table = tables.find(table).expect(table);
        table.keys.iter().find(|key| key.key.name == name).expect(name)
    };
    let life = key("source", "life_years");
    assert_eq!((life.key.range.low, life.key.range.high), (Some(1.0), Some(60.0)));
    assert!(matches!(&life.key.need, Need::Default { value, .. } if value == "15"));
    assert_eq!((&life.only_with, life.is_required), (&None, false));

    let kinds = &key("source", "kind").key.takes;
    assert!(matches!(&kinds[..], [Takes::Word(words)] if words.contains(&"dehumidifier")));
    let coil = key("source", "coil_air_kg_per_s");
    assert_eq!(coil.only_with, Some(("kind".to_owned(), vec!["dehumidifier".to_owned()])));
    assert!(coil.is_required);
    // One of the two is enough, so neither is needed.
    assert!(!key("source", "effectiveness").is_required);
    assert!(!key("source", "ua_w_per_k").is_required);

    assert!(!key("cool_store", "fabric_kj_per_k").default_follows.is_empty());
    let prices = ["charge_up_to_price", "discharge_from_price"].map(|name| key("source", name).if_left_out());
    for (price, told) in prices.iter().zip(["lowest", "highest"]) {
        let rule = format!("by what else is known: the tariff's {told} price, tax counted");
        assert_eq!(price.as_deref(), Some(rule.as_str()));
    }
    // Sea level, or the weather file's.
    assert_eq!(key("site", "altitude_m").default_follows.len(), 2);
    // Neither is needed of a fuel that is known, or of air that is not heated.
    assert!(!key("source", "water_kg_per_kwh").is_required);
    assert!(!key("room.stages", "temperature_c").is_required);
    assert!(tables.find("phase.bins_added").is_some_and(|bins| bins.keys.iter().any(|k| k.key.name == "room")));
    let factor = &key("phase", "capacity_factor").key;
    assert_eq!((factor.range.low, factor.range.high), (Some(0.05), Some(100.0)));
    assert_eq!(factor.takes, [Takes::Number, Takes::Table]);

    assert!(key("room", "setback").is_table());
    let setback = tables.find("room.setback").expect("a table");
    assert_eq!(setback.path[1].1, Shape::List);
    assert_eq!(setback.heading(), "[[room.setback]]");
    assert!(tables.find("carrier.FUEL").is_some());
}

/// A key whose unit nobody can compute with takes a plain number alone.
#[test]
fn nearly_every_unit_of_a_key_can_be_given_in_another() {
    let mut plain: Vec<String> = Vec::new();
    for file in [File::Study, File::Tariff] {
        for table in all_keys(file).0 {
            for key in table.keys.iter().filter(|key| !key.key.unit.is_empty() && !key.key.takes_units()) {
                plain.push(format!("{} {}", key.key.name, key.key.unit));
            }
        }
    }
    plain.sort();
    plain.dedup();
    // `-` is no unit; a factor on the study's own value, and units that the carrier alone knows, are none either.
    plain.retain(|key| !key.ends_with(" -") && !key.ends_with("times the study's"));
    assert_eq!(
        plain,
        ["activation_energy kJ/mol", "own_supply_per_season units of the carrier", "price_factor times its prices"]
    );
}
