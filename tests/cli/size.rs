//! `size`, growth phases and `batches.csv`, through the binary, on the demo cut to what each test needs.

use super::faults::{replace, small};
use crate::case::{DemoStudy, dryledger, number_at};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// The demo with one weather year and the electric option alone, changed, in a folder of its own.
fn small_demo(folder: &Path, changes: &[(&str, &str)]) -> PathBuf {
    peak_weeks().changes(changes).write(folder)
}

/// Its growth stands at the end and has tests of its own.
fn peak_weeks() -> DemoStudy {
    DemoStudy::new().peak().up_to("\n[[phase]]")
}

fn dryer_alone(changes: &[(&str, &str)]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let study = DemoStudy::new().peak().dryer_alone().changes(changes).write(folder.path());
    dryledger(&["report", study.to_str().expect("UTF-8"), "--json"]).run().json()
}

/// The figures of a report of it, and the folder it was written to.
fn report(changes: &[(&str, &str)]) -> (Value, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = small_demo(folder.path(), changes);
    let ran = dryledger(&["report", study.to_str().expect("UTF-8"), "--json"]).run();
    (ran.json(), folder)
}

fn size(changes: &[(&str, &str)], waiting_days: &str) -> Value {
    size_with(changes, waiting_days, &[])
}

fn size_with(changes: &[(&str, &str)], waiting_days: &str, more: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let study = small_demo(folder.path(), changes);
    let study = study.to_str().expect("UTF-8");
    let arguments = ["size", study, "--waiting-days", waiting_days, "--json"];
    dryledger(&[&arguments, more].concat()).run().json()
}

fn guard_hours(figures: &Value, key: &str) -> f64 {
    figures
        .pointer("/options/0/guards")
        .and_then(Value::as_array)
        .expect("guards")
        .iter()
        .find(|guard| guard["key"] == key)
        .map_or(0.0, |guard| number_at(guard, "/hours"))
}

const BINS: &str = "count = 8";
const HEAT: &str = "capacity_kw = 95.0";

#[test]
fn half_the_bins_make_nuts_wait_past_the_mould_guard() {
    let (whole, half) = (dryer_alone(&[]), dryer_alone(&[(BINS, "count = 4")]));
    assert_eq!(guard_hours(&whole, "waited-too-long"), 0.0);
    assert!(guard_hours(&half, "waited-too-long") > 100.0);
    let waiting = |figures: &Value| number_at(figures, "/season/waiting_tonne_days");
    assert!(waiting(&half) > 5.0 * waiting(&whole));
    let sentence = half["options"][0]["guards"].to_string();
    assert!(sentence.contains("a mould risk"), "{sentence}");
}

#[test]
fn half_the_heater_stretches_every_batch_and_a_third_the_season() {
    let with = |kw: &str| dryer_alone(&[(HEAT, kw)]);
    let (whole, half, third) = (with(HEAT), with("capacity_kw = 47.5"), with("capacity_kw = 32.0"));
    let hours = |figures: &Value| number_at(figures, "/season/mean_drying_hours");
    assert!(hours(&half) > 1.3 * hours(&whole));
    assert!(hours(&third) > 2.0 * hours(&whole));
    for short in [&half, &third] {
        assert!(number_at(short, "/options/0/hours_short") > 400.0);
    }
    let last = |figures: &Value| {
        let day = &figures["options"][0]["years"][0]["last_dry"];
        day.as_str().expect("a day").to_owned()
    };
    // ISO days sort as text.
    assert!(last(&third) > last(&whole), "{} {}", last(&third), last(&whole));
}

/// The answers, written into the study and run again: the least keeps the limit, and a step less of it does not. The limit
/// is set as the crop's safe waiting time, so that the guard is the judge.
#[test]
fn the_least_keeps_the_limit_and_a_step_less_does_not() {
    let crop = "kind = \"macadamia\"";
    let limit = "kind = \"macadamia\"\nsafe_wait = 48.0";
    let sized = size(&[], "2");
    let answer = |what: &str| -> (f64, f64) {
        let all = sized["least"].as_array().expect("answers");
        let answer = all.iter().find(|answer| answer["what"] == what).expect("the answer");
        (number_at(answer, "/least"), number_at(answer, "/step"))
    };
    let late = |from: &str, key: &str, value: f64| {
        let figures = dryer_alone(&[(crop, limit), (from, &format!("{key} = {value}"))]);
        guard_hours(&figures, "waited-too-long") + guard_hours(&figures, "unfinished")
    };
    for (what, from) in [
        ("heat", HEAT),
        ("bins", BINS),
        ("airflow", "airflow_m3_per_s_per_tonne = 0.10"),
        ("extraction", "fresh_air_max_m3_per_s = 5.0"),
    ] {
        let (key, stands) = from.split_once(" = ").expect("a key");
        let (least, step) = answer(what);
        assert!(least < stands.parse().expect("a number"), "{what}");
        // To nine digits, as a person would write it.
        let less = ((least - step) * 1e9).round() / 1e9;
        assert_eq!(late(from, key, least), 0.0, "{what} of {least}");
        assert!(late(from, key, less) > 0.0, "{what} of {less}");
    }
    let (kw, _) = answer("heat");

    // What the curve says of the least is what the report says of it.
    let (figures, _folder) = report(&[(HEAT, &format!("capacity_kw = {kw:?}"))]);
    let curve = sized["heat_curve"].as_array().expect("a curve");
    let point = curve.iter().find(|point| point["value"] == kw);
    let point = point.expect("the least is on the curve");
    assert!((number_at(point, "/total_cost") - number_at(&figures, "/options/0/total_cost")).abs() < 0.02);
    assert_eq!(number_at(point, "/hours_short"), number_at(&figures, "/options/0/hours_short"));
}

/// A plant with three bins where five are needed: more heat or air alone does not help, and it is said so.
#[test]
fn where_bins_are_short_no_heat_is_enough() {
    let sized = size(&[(BINS, "count = 3")], "2");
    for answer in sized["least"].as_array().expect("answers") {
        let found = answer["least"].as_f64();
        match answer["what"].as_str().expect("a name") {
            "bins" => assert_eq!(found, Some(5.0)),
            _ => assert_eq!(found, None, "{answer}"),
        }
    }
    assert_eq!(sized["as_it_stands"][0]["meets"], false);
}

/// Less heat than a quarter of the need: four times as much, the most that is tried, is still too little, and
/// nothing else need be short.
#[test]
fn where_four_times_the_heat_is_too_little_more_heat_is_not_ruled_out() {
    let folder = quick(&[("kind = \"resistance\"\ncapacity_kw = 30.0", "kind = \"resistance\"\ncapacity_kw = 0.5")]);
    let ran = dryledger(&["size", "study.toml", "--waiting-days", "1"]).in_folder(folder.path()).run();
    ran.ends_well();
    for words in ["at most 1 day to be loaded and all", "it takes more than that, or something else is short"] {
        assert!(ran.stdout.contains(words), "no '{words}': {}", ran.stdout);
    }
    for left in ran.stdout.split(" t never dried").map(|part| part.split(", ").last()) {
        let decimals = left.and_then(|left| left.split_once('.')).map(|(_, end)| end);
        assert!(decimals.is_none_or(|end| end.len() == 1 || end.contains(' ')), "{left:?}");
    }
}

#[test]
fn an_option_that_is_not_there_and_a_limit_that_is_none_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = small_demo(folder.path(), &[]);
    let study = study.to_str().expect("UTF-8");
    dryledger(&["size", study, "--option", "steam"]).run().refused(&["\"steam\"", "\"electric\""]);
    for days in ["0", "-1", "nan", "soon"] {
        let ran = dryledger(&["size", study, &format!("--waiting-days={days}")]).run();
        ran.refused(&["--waiting-days"]);
    }
}

const PHASES: &str = "
[[phase]]
name = \"twice, nothing built\"
intake_factor = 2.0

[[phase]]
name = \"twice the plant\"
intake_factor = 2.0
bins_added = [{ count = 8, tonnes = 6.0, floor_area_m2 = 5.0 }]
capacity_factor = { heaters = 2.0 }
fresh_air_factor = 2.0
store_factor = 2.0

[money]";

/// Twice the nuts in twice the plant: twice the tonnes and no nuts that wait; with nothing built they wait
/// and guards fire. The bill grows by less than twice: the room's envelope takes 0.9 kW/K x some 20 K = 18 kW
/// of the 43 kW that are needed on average, and does not double, which leaves 2 - 18/43 = 1.6.
#[test]
fn phases_stand_side_by_side() {
    let (figures, _folder) = report(&[("[money]", PHASES)]);
    let phases = figures["phases"].as_array().expect("phases");
    let names: Vec<&str> = phases.iter().map(|phase| phase["name"].as_str().expect("a name")).collect();
    assert_eq!(names, ["as it stands", "twice, nothing built", "twice the plant"]);
    let of = |place: usize, key: &str| number_at(&phases[place], &format!("/{key}"));
    assert_eq!(of(0, "total_cost"), number_at(&figures, "/options/0/total_cost"));
    for place in [1, 2] {
        assert!((of(place, "received_t") - 2.0 * of(0, "received_t")).abs() < 1e-6);
    }
    let fired = |place: usize| phases[place]["guards"].to_string();
    assert!(fired(1).contains("waited-too-long"));
    assert!(of(1, "waiting_tonne_days") > 10.0 * of(0, "waiting_tonne_days"));
    assert!(!fired(2).contains("waited-too-long"));
    let bill = of(2, "total_cost") / of(0, "total_cost");
    assert!((1.5..1.7).contains(&bill), "{bill}");
    let peak = of(2, "electric_peak_kw") / of(0, "electric_peak_kw");
    assert!((1.3..2.0).contains(&peak), "{peak}");
}

#[test]
fn a_phase_is_read_as_strictly_as_the_rest_of_a_study() {
    let folder = tempfile::tempdir().expect("a folder");
    let wrong = "
[[phase]]
name = \"twice\"
intake_factor = -2.0
capacity_factor = { heeters = 2.0 }

[money]";
    let study = small_demo(folder.path(), &[("[money]", wrong)]);
    dryledger(&["check", study.to_str().expect("UTF-8")]).run().refused(&["intake_factor", "-2", "heeters", "heaters"]);
}

/// One row a batch; the columns add up to what `figures.json` says of the season.
#[test]
fn batches_add_up_to_the_season() {
    let (figures, folder) = report(&[]);
    let mut reader = csv::Reader::from_path(folder.path().join("batches.csv")).expect("batches");
    let heads = reader.headers().expect("a head").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let column = |name: &str| -> Vec<f64> {
        let at = heads.iter().position(|head| head == name);
        let at = at.unwrap_or_else(|| panic!("no column {name}"));
        rows.iter().map(|row| row[at].parse().expect("a number")).collect()
    };
    let sum = |name: &str| column(name).iter().sum::<f64>();
    assert_eq!(rows.len() as f64, number_at(&figures, "/season/batches"));
    // Cells are rounded to 0.1, so that sums over 107 rows are good to about 1.
    let close = |a: f64, b: f64| assert!((a - b).abs() < 6.0, "{a} {b}");
    close(sum("received_kg"), number_at(&figures, "/season/received_t") * 1000.0);
    close(sum("out_kg"), number_at(&figures, "/season/dried_t") * 1000.0);
    close(sum("fan_kwh"), number_at(&figures, "/options/0/bin_fan_kwh"));
    close(sum("heat_share_kwh"), number_at(&figures, "/options/0/heat_delivered_kwh"));
    for (moisture, spread) in column("out_moisture_pct_wb").into_iter().zip(column("out_spread_points_wb")) {
        // What cooling will take is foreseen with the air as it then is; the night's is another.
        assert!(moisture <= 10.05 && (0.0..6.0).contains(&spread), "{moisture} {spread}");
    }
}

/// The curve of airflow against energy: its least is no more than what stands beside it, and a report of the
/// study with that airflow says the same.
#[test]
fn the_airflow_of_least_energy_is_what_a_report_of_it_says() {
    let sized = size_with(&[], "2", &["--airflow"]);
    let points = sized["airflow"]["points"].as_array().expect("points");
    let airflow = |point: &Value| number_at(point, "/airflow_m3_per_s_per_tonne");
    assert!(points.is_sorted_by(|a, b| airflow(a) < airflow(b)));
    for (least, measure) in
        [("least_per_kg_water", "/mj_per_kg_water"), ("least_per_received_t", "/kwh_per_received_t")]
    {
        let least = &sized["airflow"][least];
        let best = number_at(least, "/within_limit_m3_per_s_per_tonne");
        let of_kept = points
            .iter()
            .filter(|point| point["meets"] == true)
            .min_by(|a, b| number_at(a, measure).total_cmp(&number_at(b, measure)))
            .expect("one that keeps the limit");
        assert_eq!(airflow(of_kept), best);
        assert_eq!(number_at(of_kept, "/left_t"), 0.0);
    }
    // With the least air tried, waiting and mould are worse and the fans take less than with the most.
    let (first, last) = (&points[0], &points[points.len() - 1]);
    for worse in ["/waiting_tonne_days", "/mould_hours", "/last_dry_days"] {
        assert!(number_at(first, worse) >= number_at(last, worse), "{worse}");
    }
    assert!(number_at(first, "/fan_kwh") < number_at(last, "/fan_kwh"));

    let best = number_at(&sized, "/airflow/least_per_received_t/within_limit_m3_per_s_per_tonne");
    let of_best = points.iter().find(|point| airflow(point) == best);
    let of_best = of_best.expect("its point");
    let changed = format!("airflow_m3_per_s_per_tonne = {best:?}");
    let (figures, _folder) = report(&[("airflow_m3_per_s_per_tonne = 0.10", &changed)]);
    let option = &figures["options"][0];
    let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
    close(number_at(of_best, "/mj_per_kg_water"), number_at(option, "/mj_per_kg_water"));
    close(number_at(of_best, "/fan_kwh"), number_at(option, "/fan_kwh"));
    close(number_at(of_best, "/total_cost"), number_at(option, "/total_cost"));
    let energy = number_at(option, "/heat_delivered_kwh") + number_at(option, "/fan_kwh");
    close(number_at(of_best, "/kwh_per_received_t"), energy / number_at(&figures, "/season/received_t"));
}

#[test]
fn the_airflow_table_says_where_energy_is_least() {
    let folder = quick(&[]);
    let ran = dryledger(&["size", "study.toml", "--waiting-days", "2", "--airflow"]).in_folder(folder.path()).run();
    ran.ends_well();
    for words in [
        "Air through the bins against energy",
        "least energy per kg of water: at ",
        "least energy per received tonne: at ",
        "with the limit kept",
    ] {
        assert!(ran.stdout.contains(words), "no {words}: {}", ran.stdout);
    }
}

/// The quick small study in a folder of its own, changed.
fn quick(changes: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = small();
    for (old, new) in changes {
        replace(folder.path(), "study.toml", old, new);
    }
    folder
}

fn quick_size(changes: &[(&str, &str)], more: &[&str]) -> Value {
    let folder = quick(changes);
    let arguments = ["size", "study.toml", "--waiting-days", "2", "--json"];
    let ran = dryledger(&[&arguments, more].concat()).in_folder(folder.path()).run();
    ran.json()
}

/// Lines of the small study that hold its numbers.
const QUICK_HEAT: &str = "capacity_kw = 30.0\ncapital = 5000.0";
const QUICK_BINS: &str = "bins = [{ count = 2, tonnes = 4.0, floor_area_m2 = 4.0 }]";
const QUICK_AIR: &str = "airflow_m3_per_s_per_tonne = 0.15";
const QUICK_FRESH: &str = "fresh_air_max_m3_per_s = 1.2";

fn quick_heat(kw: f64) -> String {
    format!("capacity_kw = {kw:?}\ncapital = 5000.0")
}

fn quick_bins(count: f64) -> String {
    format!("bins = [{{ count = {count:.0}, tonnes = 4.0, floor_area_m2 = 4.0 }}]")
}

fn together(sized: &Value, what: &str) -> f64 {
    let numbers = sized["together"]["numbers"].as_array().expect("numbers");
    let one = numbers.iter().find(|number| number["what"] == what);
    number_at(one.expect("the number"), "/value")
}

/// True if the plant of a report brings all in, and no nuts wait for more than two days.
fn keeps_the_limit(figures: &Value) -> bool {
    number_at(figures, "/season/longest_wait_h") <= 48.0 && guard_hours(figures, "unfinished") == 0.0
}

fn mould_hours(point: &Value) -> f64 {
    let guards = point["guards"].as_array().expect("guards");
    let mould = guards.iter().find(|guard| guard["key"] == "mould-in-bin");
    mould.map_or(0.0, |guard| number_at(guard, "/hours"))
}

/// The plant with all numbers together, written into the study and reported: it keeps the limit with no more mould than
/// it may have, it costs what was said, and with a tenth less of a number (or a bin less) that was made smaller it does
/// not.
fn holds_together(sized: &Value, changes: &[(&str, &str)], mould_allowed_h: f64) {
    let of = |what: &str| together(sized, what);
    let written = |heat: f64, bins: f64, air: f64, fresh: f64| {
        let (heat, bins) = (quick_heat(heat), quick_bins(bins));
        let air = format!("airflow_m3_per_s_per_tonne = {air:?}");
        let fresh = format!("fresh_air_max_m3_per_s = {fresh:?}");
        let mut all: Vec<(&str, &str)> =
            vec![(QUICK_HEAT, &heat), (QUICK_BINS, &bins), (QUICK_AIR, &air), (QUICK_FRESH, &fresh)];
        // What was changed before and is no number of the plant.
        all.extend(changes.iter().filter(|(old, _)| !old.contains("count") && !old.contains("capacity")));
        let folder = quick(&all);
        dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json()
    };
    let (heat, bins) = (of("heat"), of("bins"));
    let (air, fresh) = (of("airflow"), of("extraction"));
    let stands = written(heat, bins, air, fresh);
    assert!(keeps_the_limit(&stands) && guard_hours(&stands, "mould-in-bin") <= mould_allowed_h);
    let said = &sized["together"]["seasons"][0];
    for (key, pointer) in [
        ("/total_cost", "/options/0/total_cost"),
        ("/longest_wait_h", "/season/longest_wait_h"),
        ("/hours_short", "/options/0/hours_short"),
    ] {
        assert!((number_at(said, key) - number_at(&stands, pointer)).abs() < 0.02, "{key}");
    }
    for less in [
        written(0.9 * heat, bins, air, fresh),
        written(heat, bins - 1.0, air, fresh),
        written(heat, bins, 0.9 * air, fresh),
    ] {
        assert!(!keeps_the_limit(&less) || guard_hours(&less, "mould-in-bin") > mould_allowed_h);
    }
}

#[test]
fn all_numbers_together_keep_the_limit_and_less_does_not() {
    let sized = quick_size(&[], &[]);
    assert_eq!(sized["together"]["began_as_it_stands"], true);
    assert!(together(&sized, "heat") < 15.0);
    holds_together(&sized, &[], mould_hours(&sized["as_it_stands"][0]));
}

/// Half the bins and a sixth of the heat for twice the nuts: no number alone is enough, and both grow.
#[test]
fn a_plant_that_lacks_heat_and_bins_is_enlarged_in_both() {
    let (heat, bins) = (quick_heat(5.0), quick_bins(1.0));
    let changes: &[(&str, &str)] =
        &[(QUICK_HEAT, &heat), (QUICK_BINS, &bins), ("season_tonnes = 12.0", "season_tonnes = 24.0")];
    let sized = quick_size(changes, &[]);
    for answer in sized["least"].as_array().expect("answers") {
        assert!(answer["least"].is_null(), "{answer}");
    }
    assert_eq!(sized["together"]["began_as_it_stands"], false);
    assert!(together(&sized, "heat") > 5.0 && together(&sized, "bins") > 1.0);
    // Growth of extraction that is not needed was given back; what is left of the air’s is needed.
    assert!(together(&sized, "extraction") <= 1.2);
    let allowed = mould_hours(&sized["as_it_stands"][0]);
    holds_together(&sized, changes, allowed.max(mould_hours(&sized["together"]["seasons"][0])));
}

#[test]
fn one_number_that_is_enough_alone_grows_alone() {
    let heat = quick_heat(3.0);
    let sized = quick_size(&[(QUICK_HEAT, &heat)], &[]);
    assert_eq!(sized["as_it_stands"][0]["meets"], false);
    let least = &sized["least"][0];
    assert_eq!(least["what"], "heat");
    assert_eq!(together(&sized, "heat"), number_at(least, "/least"));
    assert_eq!(together(&sized, "bins"), 2.0);
}

#[test]
fn a_plant_that_no_size_helps_has_no_numbers_together() {
    let sized = quick_size(&[("season_tonnes = 12.0", "season_tonnes = 2000.0")], &[]);
    assert!(sized["together"].is_null());
}

/// A second room after the small study's, which then is the wet one.
const SECOND_ROOM: &str = "envelope_ua_w_per_k = 120.0
transfer_at_moisture = 15.0

[[room]]
name = \"dry room\"
air = \"recirculating\"
bins = [{ count = 2, tonnes = 4.0, floor_area_m2 = 4.5 }]
airflow_m3_per_s_per_tonne = 0.12
temperature_c = 40.0
relative_humidity_max = 35.0
fresh_air_min_m3_per_s = 0.1
fresh_air_max_m3_per_s = 1.1
envelope_ua_w_per_k = 121.0
";
const FIRST_ROOM: &str = "envelope_ua_w_per_k = 120.0\n";
const DRY_BINS: &str = "bins = [{ count = 2, tonnes = 4.0, floor_area_m2 = 4.5 }]";

/// Every room's numbers are sized, and what is said of the second room's holds when it is written down.
#[test]
fn the_numbers_of_every_room_are_sized() {
    // Nuts come on two days, so that the rooms are full.
    let nuts = ("season_tonnes = 12.0", "season_tonnes = 24.0");
    let second = SECOND_ROOM.replace("count = 2", "count = 3");
    let sized = quick_size(&[(FIRST_ROOM, &second), nuts], &[]);
    let names: Vec<String> = sized["least"]
        .as_array()
        .expect("answers")
        .iter()
        .map(|least| {
            let room = least["room"].as_str().unwrap_or("-");
            format!("{} {room}", least["what"].as_str().expect("a name"))
        })
        .collect();
    assert_eq!(
        names,
        [
            "heat -",
            "bins room",
            "airflow room",
            "extraction room",
            "bins dry room",
            "airflow dry room",
            "extraction dry room",
        ]
    );
    let of = |place: usize, key: &str| number_at(&sized["least"][place], key);
    let meets = |old: &str, new: String| {
        let folder = quick(&[(FIRST_ROOM, &second), nuts]);
        replace(folder.path(), "study.toml", old, &new);
        let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
        keeps_the_limit(&ran.json())
    };
    let bins = of(4, "/least");
    let dry_bins = DRY_BINS.replace("count = 2", "count = 3");
    let with = |count: f64| DRY_BINS.replace("count = 2", &format!("count = {count:.0}"));
    assert!(meets(&dry_bins, with(bins)));
    assert!(bins == 1.0 || !meets(&dry_bins, with(bins - 1.0)));
    let air = of(5, "/least");
    let with = |air: f64| format!("airflow_m3_per_s_per_tonne = {air:?}");
    assert!(meets(&with(0.12), with(air)));
    assert!(!meets(&with(0.12), with(air - of(5, "/step"))));
    let room = sized["bins_curve_room"].as_str().expect("a room");
    assert!(room == "room" || room == "dry room");
    assert_eq!(sized["together"]["numbers"].as_array().expect("all").len(), 7);
    assert_eq!(sized["together"]["seasons"][0]["meets"], true);
}

#[test]
fn other_airflows_are_tried_in_the_room_that_is_named() {
    let changes: &[(&str, &str)] = &[(FIRST_ROOM, SECOND_ROOM), ("season_tonnes = 12.0", "season_tonnes = 6.0")];
    let sized = quick_size(changes, &["--airflow", "--room", "dry room"]);
    assert_eq!(sized["airflow"]["room"], "dry room");
    let points = sized["airflow"]["points"].as_array().expect("points");
    let as_it_stands =
        points.iter().find(|point| (number_at(point, "/airflow_m3_per_s_per_tonne") - 0.12).abs() < 1e-9);
    let cost = number_at(as_it_stands.expect("its point"), "/total_cost");
    assert!((cost - number_at(&sized, "/as_it_stands/0/total_cost")).abs() < 0.02);
    let folder = quick(changes);
    let run = |more: &[&str]| {
        let arguments = ["size", "study.toml"];
        dryledger(&[&arguments, more].concat()).in_folder(folder.path()).run()
    };
    run(&["--airflow", "--room", "attic"]).refused(&["attic", "\"room\", \"dry room\""]);
    run(&["--room", "dry room"]).refused(&["--airflow"]);
    let said = run(&["--airflow"]).stdout;
    for words in [
        "bins, dry room",
        "Air through the bins, room against energy",
        "One plant that keeps the limit with all numbers together, of many",
        "must not be combined",
    ] {
        assert!(said.contains(words), "no {words}: {said}");
    }
}

#[test]
fn bins_of_a_phase_are_built_in_the_room_that_they_name() {
    let phases = |room: &str| {
        format!(
            "[[phase]]\nname = \"more\"\nintake_factor = 1.0\nbins_added = [{{ count = 2, tonnes = 4.0, floor_area_m2 = 4.0{room} }}]\n\n[money]"
        )
    };
    let waiting = |room: &str| {
        let one = SECOND_ROOM.replace("count = 2", "count = 1");
        let phases = phases(room);
        let folder =
            quick(&[(FIRST_ROOM, &one), ("season_tonnes = 12.0", "season_tonnes = 36.0"), ("[money]", &phases)]);
        dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json()["phases"].clone()
    };
    let of = |phases: &Value, place: usize, key: &str| number_at(&phases[place], key);
    let electric_grown = |phases: &Value| {
        let all = phases.as_array().expect("phases");
        let at = all.iter().position(|phase| phase["name"] == "more");
        at.expect("the phase")
    };
    let (first, dry) = (waiting(""), waiting(", room = \"dry room\""));
    let named = waiting(", room = \"room\"");
    let at = electric_grown(&first);
    for phases in [&first, &dry] {
        assert_eq!(of(phases, at, "/bins"), 5.0);
    }
    assert_eq!(first, named, "the first room is meant where none is named");
    let waits = "/waiting_tonne_days";
    let (before, wet, dry) = (of(&first, 0, waits), of(&first, at, waits), of(&dry, at, waits));
    assert!(before > wet && before > dry && (wet - dry).abs() > 0.05 * wet, "{before} {wet} {dry}");
    let silent = quick(&[(FIRST_ROOM, SECOND_ROOM), ("[money]", &phases(""))]);
    let told = dryledger(&["check", "study.toml"]).in_folder(silent.path()).run();
    assert!(told.stdout.contains("the first of the rooms"), "{}", told.stdout);
    let wrong = phases(", room = \"dri room\"");
    let folder = quick(&[(FIRST_ROOM, SECOND_ROOM), ("[money]", &wrong)]);
    dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&[
        "dri room",
        "dry room",
        "study.toml:",
    ]);
}
