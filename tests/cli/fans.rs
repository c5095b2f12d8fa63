//! Fans known by their curve, through the binary, on the small study.

use super::faults::{replace, small};
use crate::case::{dryledger, number_at};
use serde_json::Value;
use std::path::Path;
use tempfile::TempDir;

const BEFORE: &str = "[cool_store]\n";

/// The small study with fans of these keys.
fn with_fans(keys: &str) -> TempDir {
    let folder = small();
    let fans = format!("[room.bin_fan]\n{keys}\n\n{BEFORE}");
    replace(folder.path(), "study.toml", BEFORE, &fans);
    folder
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn column(folder: &Path, name: &str) -> Vec<f64> {
    let mut reader = csv::Reader::from_path(folder.join("batches.csv")).expect("batches");
    let heads = reader.headers().expect("a head").clone();
    let at = heads.iter().position(|head| head == name).expect("a column");
    reader.records().map(|row| row.expect("a row")[at].parse().expect("a number")).collect()
}

const PARABOLA: &str = "shut_off_pa = 900.0\nfree_delivery_m3_per_s = 1.0";

/// Bins of 4 t whose bed hardly resists against 350 Pa of ducts at 0.6 m³/s: 900 (ρ/1.2) (1 - q²) = 350 (q/0.6)² + bed,
/// which without the bed is q = 0.68 m³/s and with it a little less.
#[test]
fn the_air_of_a_batch_is_where_the_curve_meets_bed_and_ducts() {
    let folder = with_fans(PARABOLA);
    let figures = report(folder.path());
    let air = column(folder.path(), "airflow_m3_per_s_per_t");
    assert!(!air.is_empty());
    let density_ratio: f64 = 1.05 / 1.2;
    let without_bed = (900.0 * density_ratio / (900.0 * density_ratio + 350.0 / 0.36)).sqrt();
    let tonnes: Vec<f64> = column(folder.path(), "received_kg").iter().map(|kg| kg / 1000.0).collect();
    for (air, tonnes) in air.iter().zip(&tonnes) {
        let flow = air * tonnes;
        assert!(flow < without_bed * 1.01 && flow > without_bed * 0.93, "{flow} against {without_bed} without a bed");
    }
    for at in ["water", "energy"] {
        let residual = number_at(&figures, &format!("/options/0/residuals/{at}"));
        assert!(residual < 1e-9, "{at}: {residual}");
    }
}

#[test]
fn variable_speed_holds_the_airflow_with_less_electricity() {
    let fixed = with_fans(PARABOLA);
    let one_speed = report(fixed.path());
    let variable = with_fans(&format!("{PARABOLA}\nspeed = \"variable\""));
    let held = report(variable.path());
    for air in column(variable.path(), "airflow_m3_per_s_per_t") {
        assert!((air - 0.15).abs() < 1e-4, "{air}");
    }
    let fans = |figures: &Value| number_at(figures, "/options/0/bin_fan_kwh");
    assert!(fans(&held) < fans(&one_speed));
    let hurried = with_fans(&format!("{PARABOLA}\nspeed = \"variable\"\nspeed_min = 1.0"));
    let full = report(hurried.path());
    // At full speed the converter's loss remains.
    assert!(fans(&full) > fans(&one_speed));
}

#[test]
fn on_a_plenum_a_bin_alone_gets_more_air_than_two_together() {
    let folder =
        with_fans(&format!("{PARABOLA}\nlayout = \"common-plenum\"\ncount = 2\nmain_duct_pressure_pa = 100.0"));
    report(folder.path());
    let air = column(folder.path(), "airflow_m3_per_s_per_t");
    let (least, most) =
        air.iter().fold((f64::INFINITY, 0.0_f64), |(least, most), &air| (least.min(air), most.max(air)));
    assert!(most > 1.05 * least, "{least} to {most}");
}

#[test]
fn the_defaults_of_fans_are_listed_with_their_reason() {
    let folder = with_fans(&format!("{PARABOLA}\nspeed = \"variable\""));
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    for words in [
        "layout = per-bin",
        "count = 1",
        "speed_min = 0.2",
        "converter_efficiency = 0.96",
        "curve_air_density_kg_per_m3 = 1.2",
        "standard air of fan testing",
    ] {
        assert!(ran.stdout.contains(words), "no {words} in {}", ran.stdout);
    }
}

#[test]
fn other_air_than_the_study_names_is_warned_of() {
    let folder = with_fans("shut_off_pa = 900.0\nfree_delivery_m3_per_s = 3.0");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    // Lines are broken at the width of a terminal.
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("with every bin full the fans give"), "{said}");
}

#[test]
fn fans_that_cannot_work_are_refused_with_a_cure() {
    let points = |points: &[(f64, f64)]| {
        let rows: Vec<String> = points
            .iter()
            .map(|(flow, pressure)| format!("{{ flow_m3_per_s = {flow:?}, pressure_pa = {pressure:?} }}"))
            .collect();
        format!("curve = [{}]", rows.join(", "))
    };
    for (keys, says) in [
        (points(&[(1.5, 900.0), (3.0, 200.0)]), ["fans that stall", "their curve begins at more air", "fewer fans"]),
        (points(&[(0.1, 900.0), (0.3, 800.0)]), ["ends too soon", "0.30 m³/s", "to a larger flow"]),
        (points(&[(0.1, 700.0), (0.4, 800.0), (1.0, 100.0)]), ["does not fall from point 1", "stalls", "peak first"]),
        (points(&[(0.4, 700.0)]), ["needs two points", "flow rising", "peak first"]),
        ("layout = \"common-plenum\"".to_owned(), ["layout", "without the fans' curve", "shut_off_pa"]),
        ("shut_off_pa = 900.0".to_owned(), ["free_delivery_m3_per_s is missing", "m³/s", "against no pressure"]),
        (format!("{PARABOLA}\nspeed = \"slow\""), ["speed", "fixed", "variable"]),
    ] {
        let folder = with_fans(&keys);
        for command in ["check", "report"] {
            dryledger(&[command, "study.toml"]).in_folder(folder.path()).run().refused(&says);
        }
    }
}

/// One fan for two bins, of which the study's last batches fill one alone: too little air for its curve.
#[test]
fn fans_that_stall_when_few_bins_are_open_fire_a_guard() {
    let folder = with_fans(
        "layout = \"common-plenum\"\n\
         curve = [{ flow_m3_per_s = 0.95, pressure_pa = 700.0 }, { flow_m3_per_s = 2.0, pressure_pa = 100.0 }]",
    );
    let figures = report(folder.path());
    let guards = figures["options"][0]["guards"].to_string();
    assert!(guards.contains("fan-stalled"), "{guards}");
}

#[test]
fn fans_of_one_speed_are_set_back_to_nothing_or_not_at_all() {
    let curve = "shut_off_pa = 1500\nfree_delivery_m3_per_s = 2.5";
    let check = |share: f64, speed: &str| {
        let keys = format!("{curve}\n{speed}\n\n[[room.setback]]\nhours = \"22-6\"\nfan_share = {share:?}");
        dryledger(&["check", "study.toml"]).in_folder(with_fans(&keys).path()).run()
    };
    check(0.5, "").refused(&["fan_share is 0.5", "have one speed", "speed = \"variable\""]);
    check(0.0, "").ends_well();
    check(0.5, "speed = \"variable\"").ends_well();
}
