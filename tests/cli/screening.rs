//! Where to look: the standing list of measures, tried unasked on the baseline.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// A report as a user gets it, but without draws.
fn report(folder: &Path, more: &[&str]) -> Value {
    let mut all = vec!["report", "study.toml", "--json", "--samples", "0"];
    all.extend(more);
    dryledger(&all).unaltered().in_folder(folder).run().json()
}

fn list<'a>(figures: &'a Value, key: &str) -> &'a [Value] {
    figures[key].as_array().expect(key)
}

fn named<'a>(list: &'a [Value], name: &str) -> &'a Value {
    list.iter().find(|one| one["name"] == name).expect(name)
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().expect(key)
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()).max(1.0)
}

/// What screening says of a measure is what the report says of it once its block is pasted; and with the most that it may
/// cost filled in, for as long as the period, it neither gains nor loses.
#[test]
fn a_pasted_measure_is_what_screening_said() {
    let folder = small();
    let screening = report(folder.path(), &[])["screening"][0].clone();
    let measures = list(&screening, "measures");
    let mut block = screening["to_price"].as_str().expect("a block").to_owned();
    let worth: Vec<&Value> = measures.iter().filter(|measure| measure["worth_pricing"] == true).collect();
    assert!(worth.len() >= 3, "{measures:?}");
    for measure in &worth {
        let most = format!("capital = {:?}\nlife_years = 10.0 #", number(measure, "most_capital"));
        block = block.replacen("capital = 0.0", &most, 1);
    }
    let path = folder.path().join("study.toml");
    let study = fs::read_to_string(&path).expect("a study");
    fs::write(&path, format!("{study}\n{block}")).expect("written");
    let figures = report(folder.path(), &[]);
    // What is an option now is not tried again, and nothing is in its way.
    for screening in list(&figures, "screening") {
        assert!(!screening.to_string().contains("tried: "), "{screening}");
        for left in list(screening, "left_out") {
            assert!(!left["why"].as_str().expect("why").contains("is called"), "{left}");
        }
    }
    let again: Vec<&Value> =
        list(&figures["screening"][0], "measures").iter().map(|measure| &measure["name"]).collect();
    assert!(worth.iter().all(|measure| !again.contains(&&measure["name"])), "{again:?}");
    let options = list(&figures, "options");
    let base = named(options, "electric");
    for measure in worth {
        let name = measure["name"].as_str().expect("a name");
        let option = named(options, name);
        for (saved, of_option) in [
            ("bill_saved", "total_cost"),
            ("purchased_saved_kwh", "purchased_kwh"),
            ("electric_peak_saved_kw", "electric_peak_kw"),
            ("carbon_saved_kg", "carbon_kg"),
        ] {
            let of_report = number(base, of_option) - number(option, of_option);
            assert!(close(number(measure, saved), of_report), "{name}: {saved} {} {of_report}", measure[saved]);
        }
        let net = number(&option["life_cycle"], "net_saving");
        // Capital of a study is read to the mill, and discounting sums it in another order.
        assert!(net.abs() < 1e-6 * number(measure, "most_capital") + 0.01, "{name}: {net}");
    }
}

#[test]
fn measures_rank_by_what_they_may_cost_and_not_where_they_break_a_guard() {
    let screening = report(small().path(), &[])["screening"][0].clone();
    let measures = list(&screening, "measures");
    let ranked: Vec<&Value> = measures.iter().filter(|measure| !measure["rank"].is_null()).collect();
    assert!(ranked.is_sorted_by(|a, b| number(a, "most_capital") >= number(b, "most_capital")));
    for (at, measure) in ranked.iter().enumerate() {
        assert_eq!(measure["rank"], at + 1);
        assert_eq!(measure["verdict"], "ranked");
        assert!(list(measure, "guards_broken").is_empty() && list(measure, "work_left").is_empty());
    }
    // The crop bears 40 °C at this moisture, and the room is set to that.
    let warmer = named(measures, "warmer drying air");
    assert_eq!((&warmer["verdict"], &warmer["rank"]), (&"breaks-guard".into(), &Value::Null));
    assert!(number(warmer, "bill_saved") > 0.0, "it would save");
    assert_eq!(warmer["guards_broken"][0], "air too hot for wet nuts");
    assert_eq!(warmer["set"][0]["value"], "43.0");
    // What nothing gains by is told as that.
    assert!(measures.iter().any(|measure| measure["verdict"] == "saves-nothing"));
}

/// No figure of the options hangs on it, and it is not there where it is not wanted.
#[test]
fn screening_may_be_left_out_and_changes_no_option() {
    let folder = small();
    let with = report(folder.path(), &[]);
    let without = report(folder.path(), &["--no-screening"]);
    replace(folder.path(), "study.toml", "currency = \"USD\"\n", "currency = \"USD\"\nscreening = false\n");
    let said = report(folder.path(), &[]);
    assert!(with["screening"].is_array() && without["screening"].is_null() && said["screening"].is_null());
    for key in ["options", "ranking", "season", "condensers"] {
        assert_eq!(with[key].to_string(), without[key].to_string(), "{key}");
        assert_eq!(said[key].to_string(), without[key].to_string(), "{key}");
    }
}

/// A measure that is an option already is not tried again; one that goes the way of an option says so, and is not
/// proposed anew.
#[test]
fn what_the_study_compares_already_is_not_proposed() {
    let folder = small();
    let own = "[[option]]\nname = \"mild\"\nset = { \"cool_store.temperature_c\" = 22.0 }\n\n\
        [[option]]\nname = \"lagged\"\nset = { \"room.room.envelope_ua_w_per_k\" = 50.0 }\n\n[money]\n";
    replace(folder.path(), "study.toml", "[money]\n", own);
    let screening = report(folder.path(), &[])["screening"][0].clone();
    let measures = list(&screening, "measures");
    assert!(measures.iter().all(|measure| measure["name"] != "a warmer store"), "the option is that");
    assert!(measures.iter().all(|measure| measure["name"] != "condensers in the drying room"));
    let walls = named(measures, "half the heat through walls");
    assert_eq!(walls["like_option"], "lagged");
    assert!(!screening["to_price"].as_str().expect("a block").contains("half the heat through walls"));
}

/// Page and terminal say it, and the first page names what ranks first.
#[test]
fn the_page_shows_where_to_look() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--samples", "0"]).unaltered().in_folder(folder.path()).run();
    let figures: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("figures.json")).expect("figures")).expect("JSON");
    let first = list(&figures["screening"][0], "measures")[0]["name"].as_str().expect("a name");
    assert!(ran.stdout.contains("where to look, of") && ran.stdout.contains(first), "{}", ran.stdout);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in [
        "<h3 id=\"where-to-look\">Where to look</h3>",
        "Measures tried alone on “electric”, a season",
        "Savings do not add",
        "Break a guard that is kept without them",
        "warmer drying air",
        "capital = 0.0   # to be filled in:",
        &format!("Price “{first}”: alone it saves"),
    ] {
        assert!(page.contains(words), "{words}");
    }
}

/// A measure that saves little beside what the option costs in a year, owning too, is none for the first page.
#[test]
fn a_measure_of_little_worth_is_no_step() {
    let folder = small();
    let has_step = |figures: &Value| {
        let mut said = list(&figures["sheet"], "next").iter().filter_map(Value::as_str);
        said.any(|said| said.starts_with("Price “"))
    };
    assert!(has_step(&report(folder.path(), &[])));
    // The same bills, and a plant that is dear to own: what a measure saves of these is next to nothing of a year's cost.
    for capital in ["capital = 5000.0", "capital = 9000.0", "capital = 1500.0"] {
        replace(folder.path(), "study.toml", capital, "capital = 5000000.0");
    }
    let figures = report(folder.path(), &[]);
    let worth = |screening: &Value| list(screening, "measures").iter().any(|measure| measure["worth_pricing"] == true);
    assert!(list(&figures, "screening").iter().any(worth), "some is worth pricing by its bill still");
    assert!(!has_step(&figures), "{}", figures["sheet"]["next"]);
}

/// What helps the baseline may cost beside the recommended option: what the first page would have priced is of that.
#[test]
fn what_is_to_be_priced_helps_the_recommended_option() {
    let folder = small();
    replace(folder.path(), "study.toml", "baseline = \"electric\"", "baseline = \"gas\"");
    let figures = report(folder.path(), &[]);
    assert_eq!(figures["study"]["recommended"], "electric");
    let all = list(&figures, "screening");
    assert_eq!((&all[0]["tried_on"], &all[1]["tried_on"], all.len()), (&"gas".into(), &"electric".into(), 2));
    let told =
        list(&figures["sheet"], "next").iter().filter_map(Value::as_str).find(|said| said.starts_with("Price “"));
    let name = told.and_then(|said| said.split(['“', '”']).nth(1)).expect("a measure to price");
    let measure = named(list(&all[1], "measures"), name);
    assert!(measure["worth_pricing"] == true && number(measure, "bill_saved") > 0.0, "{measure}");
    assert!(all[1]["to_price"].as_str().expect("a block").contains("includes = [\"electric\"]"));
    // It is the plant that changes, and not the heating: with half the walls' loss each heats as before.
    for (screening, has_fuel) in all.iter().zip([true, false]) {
        let walls = named(list(screening, "measures"), "half the heat through walls");
        let (energy, carbon) = (number(walls, "purchased_saved_kwh"), number(walls, "carbon_saved_kg"));
        assert!(energy > 0.0 && number(walls, "bill_saved") > 0.0, "{walls}");
        // All that the electric option buys is electricity, of 0.7 kg a kWh in this study.
        assert_eq!((carbon / energy - 0.7).abs() > 1e-6, has_fuel, "{walls}");
    }
}

/// What fits the plant is tried, and what does not is no measure of it.
#[test]
fn the_list_goes_by_the_plant() {
    let folder = small();
    for (old, new) in [
        ("air = \"recirculating\"\n", "air = \"once-through\"\n"),
        ("relative_humidity_max = 40.0\nfresh_air_min_m3_per_s = 0.1\nfresh_air_max_m3_per_s = 1.2\n", ""),
        (
            "[[option]]\nname = \"condensers in room\"\ncondensers = \"room\"\nsources = [\"heaters\"]\ncapital = 1500.0\n",
            "",
        ),
    ] {
        replace(folder.path(), "study.toml", old, new);
    }
    let screening = report(folder.path(), &[])["screening"][0].clone();
    let measures = list(&screening, "measures");
    let has = |name: &str| measures.iter().any(|measure| measure["name"] == name);
    assert!(has("recirculated air"), "{screening}");
    assert!(!has("damper room air") && !has("condensers in the drying room"));
    assert!(number(named(measures, "recirculated air"), "purchased_saved_kwh") > 0.0);
}
