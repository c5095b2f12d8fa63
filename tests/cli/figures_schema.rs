//! `dryledger figures`: the schema that the program publishes is that of every report.

use crate::bundled::{DEMO, TWO_ROOMS, WALNUT};
use crate::case::{dryledger, root};
use crate::cli::small_study;
use serde_json::{Value, json};

fn schema() -> Value {
    let ran = dryledger(&["figures", "--schema"]).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    serde_json::from_str(&ran.stdout).expect("JSON")
}

/// The same schema that lets no key pass which it does not list.
fn closed(mut schema: Value) -> Value {
    fn close(schema: &mut Value) {
        match schema {
            Value::Object(parts) => {
                parts.values_mut().for_each(close);
                // A form of several stands beside the others' keys.
                let is_whole = parts.get("type") == Some(&json!("object")) && parts.contains_key("properties");
                if is_whole && !parts.contains_key("additionalProperties") {
                    parts.insert("unevaluatedProperties".to_owned(), json!(false));
                }
            }
            Value::Array(parts) => parts.iter_mut().for_each(close),
            Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
        }
    }
    let flattened = |one: &mut Value| {
        for form in one.get_mut("oneOf").and_then(Value::as_array_mut).into_iter().flatten() {
            form.as_object_mut().map(|form| form.remove("unevaluatedProperties"));
        }
    };
    close(&mut schema);
    schema["$defs"].as_object_mut().expect("definitions").values_mut().for_each(flattened);
    schema
}

/// What is wrong with these figures by a schema: path and words of each fault.
fn faults(schema: &Value, figures: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(schema).expect("a schema");
    validator.iter_errors(figures).map(|fault| format!("{}: {fault}", fault.instance_path())).collect()
}

/// Figures of a study of `tests/cases` or `reports`, computed anew; few draws, so that it is quick.
fn computed(study: &str, samples: &str) -> Value {
    dryledger(&["report", root().join(study).to_str().expect("UTF-8"), "--json", "--samples", samples])
        .and("--out")
        .and(tempfile::tempdir().expect("a folder").path().to_str().expect("UTF-8"))
        .run()
        .json()
}

#[test]
fn new_figures_keep_to_the_schema_with_no_key_beside_it() {
    let schema = closed(schema());
    for (study, samples) in [("tests/cases/small/study.toml", "12"), ("tests/cases/peanut/study.toml", "0")] {
        assert_eq!(faults(&schema, &computed(study, samples)), Vec::<String>::new(), "{study}");
    }
}

#[test]
fn the_figures_of_every_bundled_study_keep_to_the_schema() {
    let schema = closed(schema());
    for (name, written) in [("demo", &DEMO), ("walnut", &WALNUT), ("two-rooms", &TWO_ROOMS)] {
        assert_eq!(faults(&schema, &written.figures), Vec::<String>::new(), "{name}");
    }
}

#[test]
fn what_is_no_figure_is_a_fault() {
    let schema = closed(schema());
    let figures = computed("tests/cases/small/study.toml", "0");
    let spoilt = |spoil: &dyn Fn(&mut Value)| {
        let mut other = figures.clone();
        spoil(&mut other);
        faults(&schema, &other)
    };
    let said = spoilt(&|figures| figures["options"][0]["fan_kwh"] = json!("12"));
    assert!(said.len() == 1 && said[0].starts_with("/options/0/fan_kwh"), "{said:?}");
    let said = spoilt(&|figures| figures["options"][0]["fan_mwh"] = json!(1.0));
    assert!(said.len() == 1 && said[0].contains("fan_mwh"), "{said:?}");
    let gone = |figures: &mut Value| {
        figures["season"].as_object_mut().expect("an object").remove("water_kg");
    };
    assert_eq!(spoilt(&gone).len(), 1);
}

#[test]
fn figures_are_listed_with_their_words() {
    let ran = dryledger(&["figures", "options.life_cycle"]).run();
    ran.ends_well();
    let lines: Vec<&str> = ran.stdout.lines().filter(|line| line.starts_with("options[]")).collect();
    assert!(lines.iter().all(|line| line.starts_with("options[].life_cycle")), "{lines:?}");
    let starts = |start: &str| lines.iter().any(|line| line.starts_with(start));
    assert!(starts("options[].life_cycle.net_present_cost  a number: Net present cost"), "{lines:?}");
    assert!(starts("options[].life_cycle.irr  a number, or nothing: "), "{lines:?}");
    dryledger(&["figures", "options.lifecycle"]).run().refused(&["no figure `options.lifecycle`", "options"]);
    let all = dryledger(&["figures"]).run().stdout;
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(small_study().path()).run().json();
    for key in figures.as_object().expect("an object").keys() {
        assert!(all.lines().any(|line| line.split_whitespace().next() == Some(key)), "{key}");
    }
}
