//! Kernel moisture through the binary: a target said of the kernel, its refusals, and the library's kernels.

use crate::case::{DemoStudy, Ran, dryledger, number_at, root};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// Modified Henderson, solved for moisture, as a wet-basis percentage: worked here anew, apart from the
/// program, from [-ln(1 - a)/(K (T + C))]^(1/N) in % dry basis.
fn henderson_pct_wb((k, n, c): (f64, f64, f64), temperature_c: f64, activity: f64) -> f64 {
    let dry_basis = (-f64::ln(1.0 - activity) / (k * (temperature_c + c))).powf(1.0 / n);
    100.0 * dry_basis / (100.0 + dry_basis)
}

/// The activity at which that curve holds this moisture.
fn activity((k, n, c): (f64, f64, f64), temperature_c: f64, pct_wb: f64) -> f64 {
    let dry_basis = 100.0 * pct_wb / (100.0 - pct_wb);
    1.0 - f64::exp(-k * (temperature_c + c) * dry_basis.powf(n))
}

/// Macadamia in shell: the library's fit of the composite.
const IN_SHELL: (f64, f64, f64) = (2.694697e-4, 1.520222, 113.7452);
/// The same of pecan.
const PECAN: (f64, f64, f64) = (3.72127e-4, 1.516809, 97.9288);

/// Peanut kernel of ASAE D245.5 (from memory, not verified) for kernels of this oil.
fn kernel(oil: f64) -> (f64, f64, f64) {
    let scale: f64 = (1.0 - oil) / (1.0 - 0.49);
    (65.0413e-5 * scale.powf(-1.4984), 1.4984, 50.561)
}

/// The demo with one option, one weather year and these crops; without its store if told.
fn run(folder: &Path, command: &str, crops: &str, stored: bool) -> Ran {
    let mut study = DemoStudy::new().middle().part("[crop]", "[[room]]", &format!("{crops}\n"));
    if !stored {
        study = study.part("[cool_store]", "[carrier.electricity]", "");
    }
    let study = study.write(folder);
    let out = folder.join("out");
    let mut arguments = vec![command, study.to_str().expect("UTF-8")];
    if command == "report" {
        arguments.extend(["--json", "--out", out.to_str().expect("UTF-8")]);
    }
    dryledger(&arguments).run()
}

fn figures(crops: &str, stored: bool) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), "report", crops, stored).json()
}

fn refused(crops: &str, words: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), "check", crops, true).refused(words);
}

fn crop(table: &str, target: &str) -> String {
    format!("{table}\nkind = \"macadamia\"\nreceived_moisture = 22.0\n{target}\nseason_tonnes = 160.0\n")
}

fn assumed(figures: &Value, path: &str) -> Value {
    let all = figures["assumptions"].as_array().expect("assumptions");
    let found = all.iter().find(|one| one["path"] == path);
    found.unwrap_or_else(|| panic!("no {path}")).clone()
}

/// Tolerance 0.001 % w.b., to which the target is rounded. The store of the demo is held at 20 °C.
#[test]
fn a_kernel_target_is_dried_to_what_the_pair_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = crop("[crop]", "dried_kernel_moisture = 3.0");
    let figures = run(folder.path(), "report", &study, true).json();
    let at = activity(kernel(0.76), 20.0, 3.0);
    let expected = henderson_pct_wb(IN_SHELL, 20.0, at);
    let target = number_at(&figures, "/study/dried_moisture_pct_wb");
    assert!((target - expected).abs() < 1e-3, "{target} {expected}");

    let nut = &figures["season"]["kernels"][0];
    assert!((number_at(nut, "/dried_kernel_moisture_pct_wb") - 3.0).abs() < 1e-3);
    assert!((number_at(nut, "/water_activity") - at).abs() < 1e-3);
    // The balance of water on dry matter, the kernel 0.35 of it.
    let dry_basis = |pct: f64| pct / (100.0 - pct);
    let shell = number_at(nut, "/dried_shell_moisture_pct_wb");
    let whole = 0.35 * dry_basis(3.0) + 0.65 * dry_basis(shell);
    assert!((whole - dry_basis(target)).abs() < 1e-4, "{whole}");

    let words = nut["sentence"].as_str().expect("a sentence");
    assert!(words.contains("about 3.0 % in the kernel"), "{words}");
    assert!(words.contains("derived"), "{words}");
    let page = fs::read_to_string(folder.path().join("out/report.html")).expect("the page");
    assert!(page.contains(words));
    let given = assumed(&figures, "crop.dried_kernel_moisture");
    assert_eq!(given["origin"], "given");
    let told = assumed(&figures, "crop.dried_moisture");
    assert_eq!(told["origin"], "default");
    let source = told["source"].as_str().expect("a source");
    assert!(source.contains("dried_kernel_moisture"), "{source}");
    assert_eq!(assumed(&figures, "crop.kernel_temperature")["value"], "20");
}

#[test]
fn batches_say_what_their_kernels_hold_once_rested() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = crop("[crop]", "dried_moisture = 10.0");
    run(folder.path(), "report", &study, true).json();
    let path = folder.path().join("out/batches.csv");
    let mut table = csv::Reader::from_path(path).expect("CSV");
    let names = table.headers().expect("a header").clone();
    let place = |name: &str| names.iter().position(|found| found == name).expect(name);
    let (of_nut, of_kernel) = (place("out_moisture_pct_wb"), place("kernel_moisture_out_pct_wb"));
    let mut count = 0;
    for row in table.records() {
        let row = row.expect("a row");
        let cell = |at: usize| row[at].parse::<f64>().expect("a number");
        let at = activity(IN_SHELL, 20.0, cell(of_nut));
        let expected = henderson_pct_wb(kernel(0.76), 20.0, at);
        // Both columns are rounded to 0.01.
        assert!((cell(of_kernel) - expected).abs() < 0.011, "{row:?}");
        count += 1;
    }
    assert!(count > 5, "{count} batches");
}

#[test]
fn without_a_store_nuts_rest_at_room_temperature_unless_told() {
    let study = crop("[crop]", "dried_kernel_moisture = 3.0");
    let of_room = figures(&study, false);
    let expected = henderson_pct_wb(IN_SHELL, 25.0, activity(kernel(0.76), 25.0, 3.0));
    let target = number_at(&of_room, "/study/dried_moisture_pct_wb");
    assert!((target - expected).abs() < 1e-3, "{target} {expected}");
    let temperature = assumed(&of_room, "crop.kernel_temperature");
    assert_eq!(temperature["value"], "25");
    assert!(temperature["source"].as_str().expect("why").contains("assumption"));

    let told = crop("[crop]", "dried_kernel_moisture = 3.0\nkernel_temperature = 40");
    let expected = henderson_pct_wb(IN_SHELL, 40.0, activity(kernel(0.76), 40.0, 3.0));
    let target = number_at(&figures(&told, false), "/study/dried_moisture_pct_wb");
    assert!((target - expected).abs() < 1e-3, "{target} {expected}");
}

#[test]
fn each_of_several_crops_has_its_own_kernel_target() {
    let pecan = "[[crop]]\nname = \"late pecan\"\nkind = \"pecan\"\nreceived_moisture = 20.0\n\
                 dried_kernel_moisture = 4.5\nseason_tonnes = 60.0\nintake_shape = \"even\"\n";
    let first = crop("[[crop]]\nname = \"macadamia\"", "dried_moisture = 10.0");
    let figures = figures(&format!("{first}{pecan}"), true);
    let expected = henderson_pct_wb(PECAN, 20.0, activity(kernel(0.72), 20.0, 4.5));
    let target = number_at(&figures, "/season/crops/1/target_pct_wb");
    assert!((target - expected).abs() < 1e-3, "{target} {expected}");
    assert_eq!(figures["season"]["kernels"][1]["crop"], "late pecan");
    let kernel_of_first = number_at(&figures, "/season/kernels/0/dried_kernel_moisture_pct_wb");
    let expected = henderson_pct_wb(kernel(0.76), 20.0, activity(IN_SHELL, 20.0, 10.0));
    assert!((kernel_of_first - expected).abs() < 1e-3);
}

#[test]
fn an_isotherm_of_ones_own_takes_the_place_of_the_librarys() {
    let own = "dried_kernel_moisture = 3.0\nkernel_isotherm = { form = \"modified-henderson\", k = 0.0015, n = 1.5, \
               c = 60.0, source = \"a laboratory (invented)\" }";
    let figures = figures(&crop("[crop]", own), true);
    let expected = henderson_pct_wb(IN_SHELL, 20.0, activity((0.0015, 1.5, 60.0), 20.0, 3.0));
    let target = number_at(&figures, "/study/dried_moisture_pct_wb");
    assert!((target - expected).abs() < 1e-3, "{target} {expected}");
    let status = &figures["season"]["kernels"][0]["kernel_isotherm_status"];
    assert_eq!(status, "given for this study");
}

#[test]
fn both_targets_are_refused_with_both_lines() {
    let text = crop("[crop]", "dried_moisture = 10.0\ndried_kernel_moisture = 1.5");
    let demo = fs::read_to_string(root().join("reports/demo/study.toml")).expect("the demo");
    let before = demo[..demo.find("[crop]").expect("it")].lines().count();
    let (line, other) = (format!("study.toml:{}:", before + 5), before + 4);
    refused(&text, &[&line, &format!("beside dried_moisture in line {other}"), "leave one out"]);
}

#[test]
fn what_kernels_cannot_hold_is_refused_with_what_they_can() {
    refused(
        &crop("[crop]", "dried_kernel_moisture = 10.0"),
        &["dried_kernel_moisture is 10", "expected 0.5 to 7.1 % w.b.", "not that in shell"],
    );
    refused(&crop("[crop]", "dried_kernel_moisture = 0.2"), &["dried_kernel_moisture is 0.2", "expected 0.5 to 7.1"]);
    refused(
        &crop("[crop]", "dried_kernel_moisture = \"dry\""),
        &["dried_kernel_moisture", "\"dry\"", "expected a number"],
    );
    // A kernel's isotherm far above that of the nut, as of coefficients for another unit.
    let own = "dried_kernel_moisture = 12.0\nkernel_share = 0.6\nkernel_isotherm = { form = \"modified-henderson\", \
               k = 0.0001, n = 1.5, c = 60.0 }";
    refused(&crop("[crop]", own), &["contradict each other", "less than no water", "kernel_isotherm"]);
    // Nuts that arrive drier than the target: the target that the study says is told.
    let wet = "received_moisture";
    let text = crop("[crop]", "dried_kernel_moisture = 6.9").replace("22.0", "12.0");
    refused(&text, &["dried_kernel_moisture", "% w.b. in shell", wet]);
    // Drier than any air of the season leaves them: told at the line of that target too.
    let text = crop("[crop]", "dried_kernel_moisture = 0.9");
    let demo = fs::read_to_string(root().join("reports/demo/study.toml")).expect("the demo");
    let before = demo[..demo.find("[crop]").expect("it")].lines().count();
    refused(&text, &[&format!("study.toml:{}:", before + 4), "never ends"]);
}

#[test]
fn the_library_shows_kernels_and_the_pair() {
    let with_kernel = dryledger::crop::all().iter().filter(|crop| crop.kernel_isotherm().is_some());
    let names: Vec<&str> = with_kernel.map(dryledger::crop::Crop::name).collect();
    assert!(names.contains(&"macadamia"));
    for name in names {
        let ran = dryledger(&["crops", name]).run();
        ran.ends_well();
        for words in [
            "sorption isotherm of the kernel alone",
            "[kernel_share]",
            "Shell and kernel at one water activity",
            "ASAE D245.5",
        ] {
            assert!(ran.stdout.contains(words), "{name}: no '{words}'");
        }
        assert!(ran.stdout.lines().all(|line| line.chars().count() <= 100));
    }
    let json = dryledger(&["crops", "macadamia", "--json"]).run().json();
    let rested = json["pair"]["rested"].as_array().expect("rows");
    assert_eq!(rested.len(), 7);
    for row in rested {
        let at = number_at(row, "/water_activity");
        let expected = henderson_pct_wb(kernel(0.76), 25.0, at);
        assert!((number_at(row, "/kernel_pct_wb") - expected).abs() < 1e-4);
        assert!(number_at(row, "/shell_pct_wb") > number_at(row, "/in_shell_pct_wb"));
    }
    assert_eq!(json["kernel_isotherm"]["status"], "derived");
}

#[test]
fn a_log_of_kernels_is_refused_with_the_reason() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = folder.path().join("log.csv");
    fs::write(&log, "time,kernel_moisture_pct,air_c,relative_humidity_pct\n0,8,38,25\n").expect("a log");
    let file = log.to_str().expect("UTF-8");
    dryledger(&["log", file, "--crop", "macadamia"]).run().refused(&[
        "log.csv:1:",
        "kernel_moisture_pct",
        "whole nuts",
        "kernel_share",
    ]);
}
