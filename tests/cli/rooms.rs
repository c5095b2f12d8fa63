//! Rooms in a row, through the binary: the demo's eight bins as one room, and as a wet and a dry one.

use super::faults::{replace, small};
use crate::case::{DemoStudy, dryledger, number_at};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

const ROOM: &str = r#"
[[room]]
name = "NAME"
air = "recirculating"
bins = [{ count = 4, tonnes = 6.0, floor_area_m2 = 5.0 }]
airflow_m3_per_s_per_tonne = 0.10
temperature_c = 38.0
relative_humidity_max = HUMIDITY
fresh_air_min_m3_per_s = 0.15
fresh_air_max_m3_per_s = 2.5
envelope_ua_w_per_k = 450.0
lights_kw = 0.2
people = 0.5
FURTHER
[room.bin_fan]
duct_pressure_pa = 350.0

[room.extraction]
pressure_pa = 120.0

"#;

fn room(name: &str, humidity: &str, further: &str) -> String {
    ROOM.replace("NAME", name).replace("HUMIDITY", humidity).replace("FURTHER", further)
}

/// The demo with one weather year and two options, its room in halves.
fn two_rooms(folder: &Path, hand_over: &str, options: &str) -> PathBuf {
    let rooms = room("wet", "60.0", hand_over) + &room("dry", "45.0", "");
    DemoStudy::new()
        .middle()
        .part("[[room]]", "[cool_store]", &rooms)
        .change("[money]", &format!("{options}[money]"))
        .write(folder)
}

const HAND_OVER: &str = "transfer_at_moisture = 14.0\ntransfer_hours = 3.0\n";

fn figures(hand_over: &str, options: &str) -> (Value, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = two_rooms(folder.path(), hand_over, options);
    let ran = dryledger(&["report", study.to_str().expect("UTF-8"), "--json"]).run();
    (ran.json(), folder)
}

/// Wet nuts give up water in damper air, which carries more of it out for each kilogram that is heated:
/// the wet room takes a third less energy per kilogram of water than the dry one, and the row less than
/// the demo's one room at 45 % RH (8.2 MJ/kg). The price is time: a batch dries longer.
#[test]
fn a_wet_room_before_a_dry_one_saves_energy_and_takes_time() {
    let (row, folder) = figures(HAND_OVER, "");
    let (wet, dry) = ("/season/rooms/0", "/season/rooms/1");
    let of = |room: &str, key: &str| number_at(&row, &format!("{room}/{key}"));
    assert!(of(wet, "mj_per_kg_water") < 0.7 * of(dry, "mj_per_kg_water"));
    assert!(of(wet, "mean_relative_humidity_pct") > of(dry, "mean_relative_humidity_pct") + 8.0);
    assert!(number_at(&row, "/options/0/mj_per_kg_water") < 7.7);
    let hours = number_at(&row, "/season/mean_drying_hours");
    assert!((125.0..140.0).contains(&hours), "{hours}");
    // Every batch passes both rooms, and the rooms together are the option.
    assert_eq!(of(wet, "batches"), of(dry, "batches"));
    let heat = of(wet, "heat_delivered_kwh") + of(dry, "heat_delivered_kwh");
    assert!((heat / number_at(&row, "/options/0/heat_delivered_kwh") - 1.0).abs() < 1e-9);
    let water = of(wet, "water_kg") + of(dry, "water_kg");
    assert!((water / number_at(&row, "/season/water_kg") - 1.0).abs() < 1e-9);
    assert!(number_at(&row, "/options/0/residuals/energy") < 1e-6);
    assert_eq!(number_at(&row, "/season/bins"), 8.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("Rooms in a row"));
    let batches = fs::read_to_string(folder.path().join("batches.csv")).expect("batches");
    assert!(batches.lines().nth(1).expect("a batch").contains(",dry 1 20"));
}

#[test]
fn batches_that_find_no_bin_stay_and_block_theirs() {
    // Too early: the dry room has to do nearly all the drying.
    let (row, _folder) = figures("transfer_at_moisture = 20.0\n", "");
    assert!(number_at(&row, "/season/rooms/0/blocked_bin_hours") > 100.0);
    assert_eq!(number_at(&row, "/season/rooms/1/blocked_bin_hours"), 0.0);
}

#[test]
fn condensers_stand_in_the_first_room_or_in_the_one_that_is_named() {
    let option = |name: &str, further: &str| {
        format!("[[option]]\nname = \"{name}\"\ncondensers = \"room\"\nsources = [\"heaters\"]\n{further}\n")
    };
    let options = option("first", "") + &option("second", "condensers_room = \"dry\"\n");
    let (row, _folder) = figures(HAND_OVER, &options);
    let useful = |option: usize| number_at(&row, &format!("/options/{option}/recovered/useful_kwh"));
    assert!(useful(1) > 1000.0 && useful(2) > 1000.0);
    // The wet room takes more heat, and so has more use for it.
    assert!(useful(1) > useful(2));
}

/// The study has condensers in the dry room: every place that is tried is there too, whether the study lists
/// it or not.
#[test]
fn places_are_tried_in_the_room_where_the_study_has_its_condensers() {
    let option = |place: &str| {
        format!(
            "[[option]]\nname = \"{place}\"\ncondensers = \"{place}\"\nsources = [\"heaters\"]\ncondensers_room = \"dry\"\n"
        )
    };
    let useful = |options: &str| {
        let folder = tempfile::tempdir().expect("a folder");
        let study = two_rooms(folder.path(), HAND_OVER, options);
        let text = fs::read_to_string(&study).expect("the study");
        let (wet, dry) = text.split_once("name = \"dry\"").expect("the dry room");
        let dry = dry.replacen("temperature_c = 38.0", "temperature_c = 41.0", 1);
        fs::write(&study, format!("{wet}name = \"dry\"{dry}")).expect("the study");
        let row = dryledger(&["report", study.to_str().expect("UTF-8"), "--json"]).run().json();
        let places = row["condensers"][0]["placements"].as_array().expect("places").clone();
        let of = |name: &str| {
            let found = places.iter().find(|place| place["place"] == name);
            number_at(found.unwrap_or_else(|| panic!("no {name}")), "/useful_kwh")
        };
        // What is told of warmer or cooler air is told of that room's.
        let tried = &row["condensers"][0]["temperatures_tried_c"];
        assert!([0, 1].iter().any(|end| tried[end] == 41.0), "{tried}");
        (of("room"), of("fresh-air"))
    };
    let tried = useful(&option("room"));
    let listed = useful(&(option("room") + &option("fresh-air")));
    assert!(tried.1 > 1000.0);
    assert!((tried.0 / listed.0 - 1.0).abs() < 1e-9, "{tried:?} {listed:?}");
    assert!((tried.1 / listed.1 - 1.0).abs() < 1e-9, "{tried:?} {listed:?}");
}

/// A heater that serves the dry room alone leaves the wet one cold; one for each room serves both.
#[test]
fn a_source_serves_the_room_that_it_names() {
    let source = "\n[[source]]\nname = \"small\"\nkind = \"resistance\"\ncapacity_kw = 60.0\nroom = \"dry\"\n\n";
    let options = source.to_owned()
        + "[[option]]\nname = \"dry alone\"\nsources = [\"small\"]\n\n[[option]]\nname = \"both\"\nsources = [\"small\", \"heaters\"]\n\n";
    let (row, _folder) = figures(HAND_OVER, &options);
    let short = |option: usize| number_at(&row, &format!("/options/{option}/heat_short_kwh"));
    let given = |option: usize, source: usize| number_at(&row, &format!("/options/{option}/sources/{source}/heat_kwh"));
    assert!(short(1) > 10_000.0 && short(2) < 1.0, "{} {}", short(1), short(2));
    // The dry room's need is the small heater's, the wet one's the large one's.
    let dry_kwh = number_at(&row, "/season/rooms/1/heat_delivered_kwh");
    assert!((given(2, 0) / dry_kwh - 1.0).abs() < 1e-6);
    assert!(given(2, 1) > 10_000.0);
}

#[test]
fn what_cannot_be_is_refused_with_its_cure() {
    let folder = tempfile::tempdir().expect("a folder");
    let check = |hand_over: &str, options: &str| {
        let study = two_rooms(folder.path(), hand_over, options);
        dryledger(&["check", study.to_str().expect("UTF-8")]).run()
    };
    check("", "").refused(&["transfer_at_moisture is missing", "mean moisture"]);
    check("transfer_at_moisture = 9.0\n", "").refused(&["between 10.0, the target, and 22.0"]);
    let late = format!("{HAND_OVER}cooling_hours = 3.0\n");
    check(&late, "").refused(&["cooling_hours has no meaning in this room", "last room"]);
    let option =
        "[[option]]\nname = \"b\"\ncondensers = \"room\"\ncondensers_room = \"drx\"\nsources = [\"heaters\"]\n";
    check(HAND_OVER, option).refused(&["\"drx\", which no room is called", "\"dry\""]);
    let source = "[[source]]\nname = \"s\"\nkind = \"resistance\"\ncapacity_kw = 60.0\nroom = \"wett\"\n\n";
    check(HAND_OVER, source).refused(&["\"wett\", which no room is called", "\"wet\""]);
    let shown = check(HAND_OVER, "");
    shown.ends_well();
}

/// What is looked at in the first room is looked at in those behind it.
#[test]
fn a_deep_bed_and_much_air_are_warned_of_in_whichever_room() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = two_rooms(folder.path(), HAND_OVER, "");
    let text = fs::read_to_string(&study).expect("the study");
    let (first, second) = text.split_at(text.find("name = \"dry\"").expect("the second room"));
    let second = second.replacen("floor_area_m2 = 5.0", "floor_area_m2 = 2.0", 1).replacen(
        "airflow_m3_per_s_per_tonne = 0.10",
        "airflow_m3_per_s_per_tonne = 0.65",
        1,
    );
    let lines_before = first.lines().count();
    fs::write(&study, first.to_owned() + &second).expect("the study");
    let ran = dryledger(&["check", study.to_str().expect("UTF-8")]).run();
    ran.ends_well();
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["m deep; beyond 3 m", "dryers of in-shell nuts move 0.02 to 0.6"] {
        assert_eq!(said.matches(words).count(), 1, "{words}: {said}");
        let before = said.split(words).next().expect("its place");
        let place = before.rsplit("study.toml:").next().expect("a place");
        let line: usize = place.split(':').next().expect("a line").parse().expect("a number");
        assert!(line >= lines_before, "{words} at line {line}: {said}");
    }
}

/// An option whose sources leave a heated room cold is told of before it is run.
#[test]
fn a_room_that_no_source_serves_is_remarked() {
    let source = "\n[[source]]\nname = \"small\"\nkind = \"resistance\"\ncapacity_kw = 900.0\nroom = \"dry\"\n\n";
    let options = source.to_owned() + "[[option]]\nname = \"dry alone\"\nsources = [\"small\"]\n\n";
    let folder = tempfile::tempdir().expect("a folder");
    let study = two_rooms(folder.path(), HAND_OVER, &options);
    let ran = dryledger(&["check", study.to_str().expect("UTF-8")]).run();
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    let words = "option \"dry alone\" has no source that serves the room \"wet\"";
    assert_eq!(said.matches(words).count(), 1, "{said}");
    assert_eq!(said.matches("[heat.room]").count(), 1, "{said}");
}

/// A slip in tonnes or floor makes air that no fan drives: it is refused before any season is run with fans of
/// thousands of kilowatts; what is merely hard to buy is remarked.
#[test]
fn a_bed_that_no_fan_blows_through_is_refused() {
    let said = |bins: &str| {
        let folder = small();
        replace(folder.path(), "study.toml", "count = 2, tonnes = 4.0, floor_area_m2 = 4.0", bins);
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run()
    };
    said("count = 2, tonnes = 80.0, floor_area_m2 = 4.0").refused(&[
        "makes fans blow against",
        "at most 20 kPa",
        "look at tonnes and floor_area_m2",
    ]);
    let hard = said("count = 2, tonnes = 6.0, floor_area_m2 = 1.0");
    hard.ends_well();
    // What fans blow against follows from how deep the nuts lie: the depth is told, and what follows is counted.
    assert!(hard.stdout.contains("lie 8.6 m deep"), "{}", hard.stdout);
    assert!(hard.stdout.contains("follows from it is left out"), "{}", hard.stdout);
    let usual = said("count = 2, tonnes = 4.0, floor_area_m2 = 4.0");
    assert!(!usual.stdout.contains("makes fans blow against"), "{}", usual.stdout);
}
