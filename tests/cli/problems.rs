//! Every command tells programs of problems in one shape.

use crate::case::{data, dryledger};
use serde_json::Value;

const SHAPE: [&str; 9] = ["severity", "code", "file", "line", "column", "what", "expected", "cure", "message"];

fn is_of_the_shape(problem: &Value) {
    let keys: Vec<&String> = problem.as_object().expect("an object").keys().collect();
    assert_eq!(keys, SHAPE, "{problem}");
}

/// What a refused request says on stderr to one who asked for JSON.
fn refused(arguments: &[&str]) -> Vec<Value> {
    let ran = dryledger(arguments).run();
    assert_eq!(ran.code, 2, "{}", ran.stderr);
    assert!(ran.stdout.is_empty(), "{}", ran.stdout);
    let last = ran.stderr.lines().last().expect("a line");
    let told: Value = serde_json::from_str(last).expect("JSON");
    told["problems"].as_array().expect("a list").clone()
}

#[test]
fn a_refused_request_is_told_as_json_by_every_command_that_prints_json() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let study = write("study.toml", "[study]\ntitle = 3\n");
    let log = write("log.csv", "# crop = walnut\ntime,moisture_pct\nx,20\n1,y\n");
    let weather = write("weather.csv", "no weather\n");
    for arguments in [
        &["check", study.as_str()][..],
        &["report", &study],
        &["size", &study],
        &["air", "--dry-bulb", "20", "--rh", "300"],
        &["crops", "macademia"],
        &["heat", &weather, "--to", "300"],
        &["log", &log],
        &["weather", &weather],
    ] {
        let told = refused(&[arguments, &["--json"]].concat());
        assert!(!told.is_empty(), "{arguments:?}");
        told.iter().for_each(is_of_the_shape);
        assert!(told.iter().all(|problem| problem["severity"] == "error"), "{arguments:?}");
    }
    // All at once, each at its place, with its cure apart.
    let told = refused(&["log", &log, "--json"]);
    let lines: Vec<&Value> = told.iter().map(|problem| &problem["line"]).collect();
    assert_eq!(lines, [3, 4]);
    assert!(told.iter().all(|problem| problem["cure"].is_string() && problem["file"] == log.as_str()));
}

#[test]
fn doubts_of_an_answer_have_the_same_shape() {
    let report = dryledger(&["check", "reports/demo/study.toml", "--json"]).run().json();
    let findings = [&report["warnings"], &report["notes"]];
    let findings: Vec<&Value> = findings.into_iter().flat_map(|list| list.as_array().unwrap()).collect();
    assert!(!findings.is_empty());
    findings.into_iter().for_each(is_of_the_shape);

    let log = data("log/thin_38.csv").display().to_string();
    let fitted = dryledger(&["log", &log, "--json"]).run().json();
    let (doubts, problems) = (fitted["doubts"].as_array().unwrap(), fitted["problems"].as_array().unwrap());
    assert_eq!(doubts.len(), problems.len());
    assert!(!problems.is_empty());
    problems.iter().for_each(is_of_the_shape);
}
