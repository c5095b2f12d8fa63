//! `dryledger keys`: one list of keys, from which the reference and the schema are made, and that every study keeps to.

use crate::case::{dryledger, root};
use dryledger::keys::{File, Need, Shape, Tables, all_keys};
use serde_json::Value;
use std::fs;

const STUDIES: [&str; 6] = [
    "templates/study/study.toml",
    "reports/demo/study.toml",
    "reports/walnut/study.toml",
    "reports/two-rooms/study.toml",
    "tests/cases/small/study.toml",
    "tests/cases/peanut/study.toml",
];
const TARIFFS: [&str; 3] = ["templates/study/tariff.toml", "reports/demo/tariff.toml", "tests/cases/small/tariff.toml"];

fn read(path: &str) -> Value {
    let text = fs::read_to_string(root().join(path)).expect(path);
    let table: toml::Table = text.parse().expect(path);
    serde_json::to_value(table).expect(path)
}

/// The name by which a key is listed: its own, or that of the names which may stand there.
fn listed<'t>(tables: &'t Tables, table: &str, key: &str) -> Option<&'t str> {
    let keys = &tables.find(table)?.keys;
    let own = keys.iter().find(|listed| listed.key.name == key);
    own.or_else(|| keys.iter().find(|listed| listed.key.is_name)).map(|k| k.key.name.as_str())
}

/// Every key of a file that is not in the list.
fn unlisted(tables: &Tables, table: &str, value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Array(entries) => {
            for entry in entries {
                unlisted(tables, table, entry, found);
            }
        }
        Value::Object(keys) => {
            for (key, value) in keys {
                let Some(name) = listed(tables, table, key) else {
                    found.push(format!("{table}: {key}"));
                    continue;
                };
                if table.rsplit('.').next() == Some("set") {
                    // Any value of the study may stand at a path, and is listed where it belongs.
                    continue;
                }
                let below = if table.is_empty() { name.to_owned() } else { format!("{table}.{name}") };
                unlisted(tables, &below, value, found);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

#[test]
fn every_key_of_every_study_of_the_project_is_listed() {
    for (file, paths) in [(File::Study, &STUDIES[..]), (File::Tariff, &TARIFFS)] {
        let tables = all_keys(file);
        for path in paths {
            let mut found = Vec::new();
            unlisted(&tables, "", &read(path), &mut found);
            assert!(found.is_empty(), "{path}: {found:?}");
        }
    }
}

#[test]
fn every_key_is_shown_with_unit_bounds_and_the_reason_of_its_default() {
    let ran = dryledger(&["keys"]).run();
    ran.ends_well();
    for table in all_keys(File::Study).0 {
        let own = table.keys.iter().filter(|key| !key.is_table());
        let own: Vec<&str> = own.map(|key| key.key.name.as_str()).collect();
        assert!(own.is_empty() || ran.stdout.contains(&table.heading()), "{}", table.heading());
        for key in own {
            assert!(ran.stdout.contains(&format!("  {key} ")), "{key} of {}", table.name());
        }
    }
    let fan = dryledger(&["keys", "room.bin_fan"]).run().stdout;
    for (table, told) in [
        ("phase", "a number, 0.05 to 100 times the study's, or a table"),
        ("source", "by what else is known: the tariff's lowest price"),
        ("site", "weather file says"),
    ] {
        let told_of = dryledger(&["keys", table]).run().stdout;
        let words: Vec<&str> = told_of.split_whitespace().collect();
        assert!(words.join(" ").contains(told), "{told_of}");
    }
    assert!(fan.contains("0 to 5000 Pa") && fan.contains("floor, ducts"), "{fan}");
    assert!(!fan.contains("[cool_store]"), "{fan}");
    dryledger(&["keys", "cool_stor"]).run().refused(&["no table", "did you mean \"cool_store\"?"]);
    let tariff = dryledger(&["keys", "--tariff"]).run().stdout;
    assert!(tariff.contains("[[period]]") && tariff.contains("power_factor"), "{tariff}");
}

/// The README explains keys; those it names in the first column of its table are keys that there are.
#[test]
fn the_readme_explains_keys_that_there_are() {
    let readme = fs::read_to_string(root().join("README.md")).expect("the README");
    let (_, table) = readme.split_once("| key | says |").expect("the table of keys");
    let (table, _) = table.split_once("\n\n").expect("its end");
    let tables = all_keys(File::Study);
    let names: Vec<&str> =
        tables.0.iter().flat_map(|table| table.keys.iter().map(|key| key.key.name.as_str())).collect();
    let mut seen = 0;
    for row in table.lines().filter(|row| row.starts_with("| `")) {
        let cell = row.trim_start_matches('|').split('|').next().unwrap_or_default();
        for quoted in cell.split('`').skip(1).step_by(2) {
            // Values stand in double quotes or braces; tables in brackets.
            let bare: String = quoted.split('"').step_by(2).collect();
            let words = bare.split(|c: char| !(c.is_ascii_lowercase() || c == '_'));
            for word in words.filter(|word| word.len() > 2) {
                seen += 1;
                assert!(names.contains(&word), "`{word}` in: {row}");
            }
        }
    }
    assert!(seen > 40, "{seen} keys");
}

/// True if a path of inputs is of the table at this path: `source.heaters` of `[[source]]`.
fn is_at(table: &[(String, Shape)], path: &str) -> bool {
    let Some(((name, shape), below)) = table.split_first() else {
        return path.is_empty();
    };
    let after = match shape {
        Shape::One | Shape::List => {
            path.strip_prefix(name.as_str()).filter(|rest| rest.is_empty() || rest.starts_with('.'))
        }
        Shape::Named => Some(path),
    };
    let Some(after) = after.map(|rest| rest.trim_start_matches('.')) else {
        return false;
    };
    // The name of an entry may hold dots; a crop that is the only one has none in its path.
    let names_end = after.match_indices('.').map(|(at, _)| at).chain([after.len()]);
    is_at(below, after)
        || *shape != Shape::One && names_end.into_iter().any(|end| is_at(below, after[end..].trim_start_matches('.')))
}

/// Where the list gives one value for a key that is left out, every study of the project takes that value.
#[test]
fn no_default_is_a_number_of_one_study() {
    let tables = all_keys(File::Study);
    let (mut held, mut wrong) = (0, Vec::new());
    // The template stands without its weather.
    for path in &STUDIES[1..] {
        let checked = dryledger(&["check", path, "--json"]).run().json();
        for default in checked["defaults"].as_array().expect("defaults") {
            let whole = default["path"].as_str().expect("a path");
            let (at, name) = whole.rsplit_once('.').unwrap_or(("", whole));
            let listed = tables.0.iter().filter(|table| is_at(&table.path, at)).flat_map(|table| &table.keys);
            for key in listed.filter(|key| key.key.name == name && key.default_follows.is_empty()) {
                if let Need::Default { value, .. } = &key.key.need {
                    held += 1;
                    if default["value"] != value.as_str() {
                        wrong.push(format!("{path}: {whole} is {}, listed as {value}", default["value"]));
                    }
                }
            }
        }
    }
    assert!(held > 200, "{held} defaults");
    assert!(wrong.is_empty(), "state the rule, or reach it by every_kind.toml: {wrong:#?}");
}

/// What a schema of the words that ours uses says against a value; nothing if it is right.
fn against(schema: &Value, value: &Value) -> Option<String> {
    let all = |key: &str| schema[key].as_array().cloned().unwrap_or_default();
    let kind = match schema["type"].as_str() {
        Some("object") => value.is_object(),
        Some("array") => value.is_array(),
        Some("string") => value.is_string(),
        Some("boolean") => value.is_boolean(),
        Some("integer") => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        Some("number") => value.is_number(),
        Some(other) => return Some(format!("a kind that no study has: {other}")),
        None => true,
    };
    if !kind {
        return Some(format!("{value} is not of the kind {}", schema["type"]));
    }
    if !schema["enum"].is_null() && !all("enum").contains(value) {
        return Some(format!("{value} is none of {}", schema["enum"]));
    }
    if let (Some(form), Some(text)) = (schema["pattern"].as_str(), value.as_str()) {
        // The one form there is: a number near the beginning, with at most a sign of money before it.
        assert_eq!(form, "^[^0-9]{0,5}[-+]?[0-9.]");
        if text.find(|c: char| c.is_ascii_digit()).is_none_or(|at| text[..at].chars().count() > 7) {
            return Some(format!("{value} is not of the form {form}"));
        }
    }
    if let Some(number) = value.as_f64() {
        let at = |key: &str| schema[key].as_f64();
        let low =
            at("minimum").is_some_and(|low| number < low) || at("exclusiveMinimum").is_some_and(|low| number <= low);
        if low || at("maximum").is_some_and(|high| number > high) {
            return Some(format!("{number} is out of bounds"));
        }
    }
    let forms = all("anyOf");
    let told: Vec<String> = forms.iter().filter_map(|form| against(form, value)).collect();
    if !forms.is_empty() && told.len() == forms.len() {
        return Some(told.join(" / "));
    }
    if let Some(entries) = value.as_array()
        && let Some(told) = entries.iter().find_map(|entry| against(&schema["items"], entry))
    {
        return Some(told);
    }
    let lacks =
        |names: &[Value]| names.iter().find(|name| value.get(name.as_str().unwrap_or_default()).is_none()).cloned();
    if let Some(name) = lacks(&all("required")) {
        return Some(format!("{name} is missing"));
    }
    for rule in all("allOf") {
        if against(&rule["if"], value).is_none()
            && let Some(told) = against(&rule["then"], value)
        {
            return Some(told);
        }
    }
    value.as_object()?.iter().find_map(|(key, entry)| {
        let own = &schema["properties"][key];
        let other = &schema["additionalProperties"];
        match (own.is_null(), other) {
            (false, _) => against(own, entry),
            (true, Value::Bool(false)) => Some(format!("{key} is not known")),
            (true, other) => against(other, entry),
        }
        .map(|told| format!("{key}: {told}"))
    })
}

#[test]
fn the_schema_takes_every_study_of_the_project_and_refuses_slips() {
    let schema = dryledger(&["keys", "--schema"]).run().json();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    for path in STUDIES {
        assert_eq!(against(&schema, &read(path)), None, "{path}");
    }
    let tariff = dryledger(&["keys", "--tariff", "--schema"]).run().json();
    for path in TARIFFS {
        assert_eq!(against(&tariff, &read(path)), None, "{path}");
    }
    let good = fs::read_to_string(root().join(STUDIES[0])).unwrap();
    for (from, to, told) in [
        ("altitude_m = 540", "altitude_m = 54000", "out of bounds"),
        ("kind = \"burner\"", "kind = \"burnr\"", "none of"),
        ("carrier = \"lpg\"", "", "carrier\" is missing"),
        ("volume_m3 = 1000.0", "volume_m3 = \"big\"", "not of the form"),
        ("cop = 3.3", "cop = \"3.3\"", "not of the kind"),
        ("stay_days = 45.0", "stay_dais = 45.0", "not known"),
    ] {
        let text = good.replacen(from, to, 1);
        assert_ne!(text, good, "{from}");
        let study: toml::Table = text.parse().unwrap();
        let refused = against(&schema, &serde_json::to_value(study).unwrap());
        let refused = refused.unwrap_or_else(|| panic!("{to} is taken"));
        assert!(refused.contains(told), "{refused}");
    }
}

/// Parts that none of the project's studies has.
#[test]
fn the_schema_takes_what_a_study_may_say() {
    const PARTS: &str = r#"
[[source]]
name = "open flame"
kind = "direct-burner"
capacity_kw = 200.0
carrier = "lpg"

[[phase]]
name = "more bins in the dry room"
intake_factor = 2.0
bins_added = [{ room = "dry", count = 2, tonnes = 6.0, floor_area_m2 = 5.0 }]
capacity_factor = 1.5

[[room]]
name = "dry"
air = "once-through"
bins = [{ count = 2, tonnes = 6.0, floor_area_m2 = 5.0 }]
stages = [{ above_moisture = 15.0, heated = false }, { temperature_c = 38.0 }]
"#;
    let template = fs::read_to_string(root().join(STUDIES[0])).unwrap();
    let schema = dryledger(&["keys", "--schema"]).run().json();
    let said = |parts: &str| {
        let study: toml::Table = format!("{template}\n{parts}").parse().unwrap();
        against(&schema, &serde_json::to_value(study).unwrap())
    };
    assert_eq!(said(PARTS), None);
    let in_text = PARTS.replace("capacity_kw = 200.0", "capacity_kw = \"700 kBtu/h\"").replace("38.0", "\"100 F\"");
    assert_eq!(said(&in_text), None);
    let slip = said(&PARTS.replace("capacity_factor = 1.5", "capacity_factor = 1500.0"));
    assert!(slip.is_some_and(|told| told.contains("out of bounds")));
}

/// What a slip in the study of `dryledger new` is told, word for word.
#[test]
fn a_study_is_refused_as_the_readme_shows() {
    let folder = tempfile::tempdir().unwrap();
    let plant = folder.path().join("plant");
    dryledger(&["new", &plant.display().to_string()]).run().ends_well();
    let path = plant.join("study.toml");
    let mut text = fs::read_to_string(&path).unwrap();
    for (good, slip) in [("received_moisture = 22.0 ", "received_moisture = 150 "), ("stay_days =", "stay_dais =")] {
        assert!(text.contains(good), "{good}");
        text = text.replacen(good, slip, 1);
    }
    fs::write(&path, text).unwrap();
    let told = dryledger(&["check", &path.display().to_string()]).run();
    assert_eq!((told.code, told.stdout.as_str()), (2, ""));
    let told = told.stderr.replace(&path.display().to_string(), "study.toml");
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains(&format!("```text\n{told}```")), "{told}");
}

#[test]
fn a_study_that_is_not_there_is_told_with_its_cure() {
    for command in ["check", "report", "size"] {
        let ran = dryledger(&[command, "no-such-study.toml", "--json"]).run();
        assert_eq!((ran.code, ran.stdout.as_str()), (3, ""), "{command}");
        let told: Value = serde_json::from_str(&ran.stderr).expect("JSON");
        let problem = &told["problems"][0];
        assert_eq!(
            (&problem["what"], &problem["file"]),
            (&"there is no such file".into(), &"no-such-study.toml".into())
        );
        assert!(problem["cure"].as_str().is_some_and(|cure| cure.contains("dryledger new DIR")), "{problem}");
    }
    let plain = dryledger(&["weather", "no-such-weather.csv"]).run();
    assert_eq!((plain.code, plain.stderr.contains("os error")), (3, false), "{}", plain.stderr);
}
