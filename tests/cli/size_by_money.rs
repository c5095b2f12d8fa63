//! `size --by-money`: the plant of least net present cost, on the small study with prices.

use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const HEATERS: &str = "kind = \"resistance\"\ncapacity_kw = 30.0\ncapital = 5000.0";

/// The small study, with so much for a kW of the heaters, and these prices of its room.
fn priced(per_kw: f64, of_room: &str) -> TempDir {
    let folder = small();
    let by_size = format!("kind = \"resistance\"\ncapacity_kw = 30.0\ncapital = 500.0\ncapital_per_kw = {per_kw:?}");
    replace(folder.path(), "study.toml", HEATERS, &by_size);
    if !of_room.is_empty() {
        let prices = format!("[room.prices]\n{of_room}\n\n[cool_store]\n");
        replace(folder.path(), "study.toml", "[cool_store]\n", &prices);
    }
    folder
}

fn sized(folder: &Path, more: &[&str]) -> Ran {
    let arguments = [&["size", "study.toml", "--by-money"][..], more].concat();
    dryledger(&arguments).in_folder(folder).run()
}

fn sized_json(folder: &Path, more: &[&str]) -> Value {
    sized(folder, &[more, &["--json"]].concat()).json()
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn append(folder: &Path, more: &str) {
    let path = folder.join("study.toml");
    let text = fs::read_to_string(&path).expect("a study");
    fs::write(path, format!("{text}\n{more}")).expect("written");
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("no {pointer} in {value}"))
}

fn numbers(value: &Value, pointer: &str) -> Vec<f64> {
    let list = value.pointer(pointer).and_then(Value::as_array).unwrap_or_else(|| panic!("no {pointer}"));
    list.iter().map(|number| number.as_f64().expect("a number")).collect()
}

fn assert_close(one: f64, other: f64, what: &str) {
    assert!((one - other).abs() <= 1e-9 * one.abs().max(1.0), "{what}: {one} and {other}");
}

/// The option of a report that comes last.
fn last(figures: &Value) -> &Value {
    figures["options"].as_array().and_then(|options| options.last()).expect("an option")
}

fn guard_hours(option: &Value, key: &str) -> f64 {
    let guards = option["guards"].as_array().expect("guards");
    guards.iter().find(|guard| guard["key"] == key).map_or(0.0, |guard| number(guard, "/hours"))
}

/// What is said of the best plant, a report says of the option that is handed out: money, grant and work, by the one
/// reckoning of life cycles.
#[test]
fn the_pasted_option_is_what_was_said_of_it() {
    for (money, is_installed) in [("grant_share = 0.25", false), ("discount_rate = 0.04", true)] {
        let all =
            "bin = 2500.0\nair_m3_per_s = 900.0\nfresh_air_m3_per_s = 400.0\nhalf_envelope = 300.0\nlife_years = 7";
        let folder = priced(150.0, all);
        replace(folder.path(), "study.toml", "[money]\n", &format!("[money]\n{money}\n"));
        append(folder.path(), &format!("[application]\nbaseline_installed = {is_installed}\n"));
        let found = sized_json(folder.path(), &["--seasons", "150", "--let-guards-fire"]);
        assert_ne!(numbers(&found, "/best/sizes"), numbers(&found, "/as_it_stands/sizes"), "nothing was sized");
        append(folder.path(), found["option_to_paste"].as_str().expect("an option"));
        let figures = report(folder.path());
        let option = last(&figures);
        assert_eq!(option["name"], "electric, sized");
        assert_eq!(option["does_the_work"], true);
        for (ours, theirs) in [
            ("/best/net_present_cost", "/life_cycle/net_present_cost"),
            ("/best/capital", "/life_cycle/capital"),
            ("/best/grant", "/life_cycle/grant"),
            ("/best/upkeep_per_year", "/life_cycle/upkeep_per_year"),
            ("/best/bill", "/total_cost"),
        ] {
            assert_close(number(&found, ours), number(option, theirs), ours);
        }
        let stands = &figures["options"][0];
        for (ours, theirs) in
            [("/as_it_stands/net_present_cost", "/life_cycle/net_present_cost"), ("/as_it_stands/bill", "/total_cost")]
        {
            assert_close(number(&found, ours), number(stands, theirs), ours);
        }
        assert!(number(&found, "/best/net_present_cost") < number(&found, "/as_it_stands/net_present_cost"));
        assert_eq!(found["less_gives_money_back"], !is_installed);
        if is_installed {
            assert!(number(&found, "/best/capital") >= 0.0);
        }
    }
}

/// Heaters and bins, all of them in one report, by its own judgement and money: none is better.
#[test]
fn trying_every_plant_finds_no_better_one() {
    let folder = priced(150.0, "bin = 1800.0");
    let found = sized_json(folder.path(), &["--let-guards-fire"]);
    assert_eq!(found["ran_out_of_seasons"], false);
    let (mut options, mut sizes) = (String::new(), Vec::new());
    for kw in (16..=44).step_by(2).map(f64::from) {
        for bins in 1..=4 {
            let capital = f64::from(bins - 2) * 1800.0;
            let _ = write!(
                options,
                "[[option]]\nname = \"{kw} kW, {bins} bins\"\nset = {{ \"source.heaters.capacity_kw\" = {kw:?}, \
                 \"room.room.bins.1.count\" = {bins} }}\ncapital = {capital:?}\n"
            );
            sizes.push((kw, f64::from(bins)));
        }
    }
    append(folder.path(), &options);
    let figures = report(folder.path());
    let all = figures["options"].as_array().expect("options");
    let mould = guard_hours(&all[0], "mould-in-bin");
    let tried = &all[all.len() - sizes.len()..];
    let keeping = tried.iter().zip(&sizes).filter(|(option, _)| {
        option["does_the_work"] == true
            && guard_hours(option, "waited-too-long") == 0.0
            && guard_hours(option, "mould-in-bin") <= mould
    });
    let cost = |option: &Value| number(option, "/life_cycle/net_present_cost");
    let (best, sizes) = keeping.min_by(|a, b| cost(a.0).total_cmp(&cost(b.0))).expect("a plant that keeps the limits");
    assert_eq!(numbers(&found, "/best/sizes"), [sizes.0, sizes.1], "{}", best["name"]);
    assert_close(number(&found, "/best/net_present_cost"), cost(best), "net present cost");
}

/// Steps about the best are dearer or break a limit, and the frontier holds the best and falls.
#[test]
fn what_lies_about_the_best_is_no_better() {
    let folder = priced(150.0, "bin = 1800.0\nhalf_envelope = 200.0");
    let found = sized_json(folder.path(), &[]);
    for one in found["numbers"].as_array().expect("numbers") {
        for next in ["smaller", "larger"].map(|way| &one[way]).into_iter().filter(|next| !next.is_null()) {
            let breaks = !next["broken"].as_array().expect("a list").is_empty();
            assert!(breaks || number(next, "/net_present_cost_more") >= 0.0, "{one}");
        }
    }
    let frontier = found["frontier"].as_array().expect("a frontier");
    assert!(frontier.contains(&found["best"]), "the best is beaten in both");
    for pair in frontier.windows(2) {
        assert!(number(&pair[0], "/investment") < number(&pair[1], "/investment"));
        assert!(number(&pair[0], "/bill") > number(&pair[1], "/bill"));
    }
}

#[test]
fn a_plant_short_of_heat_is_never_the_best() {
    // Heat so dear that every kW less pays, were it not for the limit.
    let folder = priced(50_000.0, "");
    let found = sized_json(folder.path(), &["--let-guards-fire"]);
    assert!(number(&found, "/best/heat_short_pct") <= 1.0, "{found}");
    assert!(numbers(&found, "/best/sizes")[0] < 30.0);
    let smaller = &found["numbers"][0]["smaller"]["broken"];
    let keys: Vec<&str> = smaller.as_array().expect("a list").iter().filter_map(|one| one["key"].as_str()).collect();
    assert!(!keys.is_empty(), "money alone would go on: {found}");
    // A plant that is short as it stands gets more, though that costs.
    replace(folder.path(), "study.toml", "capacity_kw = 30.0\ncapital = 500.0", "capacity_kw = 8.0\ncapital = 500.0");
    let found = sized_json(folder.path(), &["--let-guards-fire"]);
    let broken = found["as_it_stands"]["broken"].to_string();
    assert!(broken.contains("heat-short") || broken.contains("waiting"), "{broken}");
    assert!(numbers(&found, "/best/sizes")[0] > 8.0 && number(&found, "/best/heat_short_pct") <= 1.0);
}

/// Less fresh air is cheaper and leaves the room damper than its limit: that is told, and kept where it is asked for.
#[test]
fn guards_that_fire_longer_are_told_or_kept() {
    let folder = priced(150.0, "fresh_air_m3_per_s = 400.0");
    let free = sized_json(folder.path(), &["--let-guards-fire"]);
    let longer = free["guards_longer"].as_array().expect("a list");
    assert!(longer.iter().any(|longer| longer["guard"]["key"] == "room-too-humid"), "{longer:?}");
    let kept = sized_json(folder.path(), &[]);
    // Hours short of heat have a limit of their own.
    let longer = kept["guards_longer"].as_array().expect("a list");
    assert!(longer.iter().all(|longer| longer["guard"]["key"] == "heat-short"), "{longer:?}");
    let cost = |found: &Value| number(found, "/best/net_present_cost");
    assert!(cost(&kept) > cost(&free));
    assert!(kept["numbers"].to_string().contains("\"key\":\"guard\""), "no guard binds: {}", kept["numbers"]);
}

#[test]
fn no_more_seasons_are_run_than_were_asked_for() {
    let folder = priced(150.0, "bin = 1800.0\nhalf_envelope = 200.0");
    for most in ["12", "25"] {
        let found = sized_json(folder.path(), &["--seasons", most]);
        assert!(number(&found, "/seasons/run") <= most.parse().expect("a number"));
        assert_eq!(found["ran_out_of_seasons"], true);
        assert!(!found["best"].is_null());
    }
    sized(folder.path(), &["--seasons", "7"]).refused(&["--seasons 7 is too few", "give 8 at least"]);
}

#[test]
fn the_same_question_gets_the_same_bytes_on_one_thread_and_on_two() {
    let folder = priced(150.0, "bin = 1800.0\nhalf_envelope = 200.0");
    let on = |threads: &str, more: &[&str]| {
        let arguments = [&["size", "study.toml", "--by-money"][..], more].concat();
        let ran = dryledger(&arguments).in_folder(folder.path()).with("RAYON_NUM_THREADS", threads).run();
        ran.ends_well();
        ran.stdout
    };
    let once = on("2", &["--json"]);
    assert_eq!(once, on("2", &["--json"]));
    assert_eq!(once, on("1", &["--json"]));
    let words = on("1", &[]);
    for part in [
        "What binds",
        "Investment against seasonal energy cost",
        "[[option]]",
        "includes = [\"electric\"]",
        "Not sized",
    ] {
        assert!(words.contains(part), "no {part} in {words}");
    }
}

#[test]
fn without_any_price_it_is_said_what_to_write() {
    let folder = small();
    sized(folder.path(), &[]).refused(&[
        "nothing of option \"electric\" has a price",
        "heat of \"heaters\": nothing tells what it costs: capital_per_kw in its [[source]]",
        "bin in [room.prices]",
    ]);
}

/// A source's capital is what it is by its size, whoever changes that.
#[test]
fn capital_goes_with_the_size_that_an_option_sets() {
    let folder = priced(150.0, "");
    append(folder.path(), "[[option]]\nname = \"larger\"\nset = { \"source.heaters.capacity_kw\" = 50.0 }\n");
    let figures = report(folder.path());
    let capital = |option: &Value| number(option, "/life_cycle/capital");
    assert_close(capital(&figures["options"][0]), 500.0 + 30.0 * 150.0, "as it stands");
    assert_close(capital(last(&figures)), 500.0 + 50.0 * 150.0, "larger");
}

/// Less of a plant that is to be built spares capital; a way of heating by itself spares none.
#[test]
fn capital_below_zero_is_of_measures_alone() {
    let folder = small();
    replace(folder.path(), "study.toml", "[money]\n", "[money]\ngrant_share = 0.5\n");
    append(
        folder.path(),
        "[[option]]\nname = \"one bin\"\nset = { \"room.room.bins.1.count\" = 1 }\ncapital = -2000.0\n",
    );
    let figures = report(folder.path());
    let life = &last(&figures)["life_cycle"];
    assert_close(number(life, "/capital"), 5000.0 - 2000.0, "capital");
    assert_eq!(number(life, "/grant"), 0.0);
    let folder = small();
    replace(folder.path(), "study.toml", "capital = 1500.0", "capital = -1500.0");
    dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&["capital is -1500", "0 to"]);
}
