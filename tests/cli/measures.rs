//! Options that change the plant: `set` and `includes`.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const INSULATE: &str = "set = { \"room.room.envelope_ua_w_per_k\" = 60.0, \
    \"room.room.bins\" = [{ count = 3, tonnes = 4.0, floor_area_m2 = 4.0 }], \
    \"crop.intake_shape\" = \"bell\", cool_store.stay_days = 2.0 }\n";

/// The small study with more behind its options.
fn with(more: &str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "[money]\n", &format!("{more}\n[money]\n"));
    folder
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn option<'a>(figures: &'a Value, name: &str) -> &'a Value {
    let all = figures["options"].as_array().expect("options");
    all.iter().find(|option| option["name"] == name).expect(name)
}

fn need(figures: &Value, name: &str) -> f64 {
    option(figures, name)["heat_need_kwh"].as_f64().expect("a need")
}

/// An option without what tells it apart from another of the same plant, heaters and costs.
fn nameless(option: &Value) -> Value {
    let mut bare = option.clone();
    let keys = bare.as_object_mut().expect("an option");
    for key in ["name", "description", "set", "includes", "place", "season"] {
        keys.remove(key);
    }
    bare
}

/// Every option sets the values: the same as a study in which they are written, to the byte, with what grows from it and
/// where its condensers stand.
#[test]
fn an_option_that_sets_values_is_a_study_written_with_them() {
    let phase = "[[phase]]\nname = \"more\"\nintake_factor = 1.5\n";
    let (set, written) = (with(phase), with(phase));
    for name in ["electric", "gas", "condensers in room", "condensers in intake"] {
        replace(set.path(), "study.toml", &format!("name = \"{name}\"\n"), &format!("name = \"{name}\"\n{INSULATE}"));
    }
    for (old, new) in [
        ("envelope_ua_w_per_k = 120.0", "envelope_ua_w_per_k = 60.0"),
        ("count = 2, tonnes", "count = 3, tonnes"),
        ("intake_shape = \"even\"", "intake_shape = \"bell\""),
        ("stay_days = 3.0", "stay_days = 2.0"),
    ] {
        replace(written.path(), "study.toml", old, new);
    }
    // Weather behind the season is read for the longest stay that anything asks for.
    replace(set.path(), "study.toml", "stay_days = 3.0", "stay_days = 2.0");
    let (set, written) = (report(set.path()), report(written.path()));
    let nameless =
        |figures: &Value| figures["options"].as_array().expect("options").iter().map(nameless).collect::<Vec<_>>();
    assert!(nameless(&set) == nameless(&written), "the options differ");
    for key in ["season", "course", "ranking", "condensers", "phases", "application"] {
        assert_eq!(set[key].to_string(), written[key].to_string(), "{key} differs");
    }
    assert!(written["phases"].as_array().is_some_and(|phases| !phases.is_empty()));
    assert!(written["condensers"].as_array().is_some_and(|stacks| !stacks.is_empty()));
}

/// The others are, byte for byte, what they are without it.
#[test]
fn an_option_that_changes_the_plant_has_its_own_need_and_leaves_the_others_alone() {
    let own = report(small().path());
    let folder = with(&format!("[[option]]\nname = \"insulate\"\n{INSULATE}capital = 3000.0\n"));
    let figures = report(folder.path());
    for name in ["electric", "gas", "condensers in room", "condensers in intake"] {
        assert!(nameless(option(&figures, name)) == nameless(option(&own, name)), "{name}");
        assert!(option(&figures, name).get("season").is_none());
    }
    assert!(need(&figures, "insulate") < 0.97 * need(&figures, "electric"));
    let insulate = option(&figures, "insulate");
    assert_eq!((&insulate["season"]["bins"], &figures["season"]["bins"]), (&3.into(), &2.into()));
    assert_eq!(insulate["set"][0]["study_value"], "120");
    // It heats as the baseline does, whose heaters it pays for beside its own works.
    assert_eq!(insulate["sources"][0]["name"], "heaters");
    assert_eq!(insulate["life_cycle"]["capital"], 8000.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(
        page.contains("the plants that options make of it")
            && page.contains("sets room.room.envelope_ua_w_per_k = 60.0")
    );
    assert!(page.contains("Heat need is what each option’s own plant"));
}

#[test]
fn an_option_that_sets_what_the_study_says_is_the_same_option() {
    let figures = report(with("[[option]]\nname = \"nothing\"\nset = { crop.received_moisture = 20.0 }\n").path());
    let mut nothing = nameless(option(&figures, "nothing"));
    let mut electric = nameless(option(&figures, "electric"));
    for option in [&mut nothing, &mut electric] {
        // The baseline is compared with nothing, and bears no grant.
        option.as_object_mut().expect("an option").remove("life_cycle");
        option["uncertainty"].as_object_mut().expect("a spread").remove("cheaper_than_baseline_pct");
    }
    assert!(nothing == electric, "{nothing} {electric}");
    assert!(option(&figures, "nothing").get("season").is_none());
    let present = |name: &str| option(&figures, name)["life_cycle"]["net_present_cost"].to_string();
    assert_eq!(present("nothing"), present("electric"));
}

/// What is included is as if it stood in the option; what is included twice stands once.
#[test]
fn a_package_is_what_it_includes() {
    let figures = report(
        with(&format!(
            "[[option]]\nname = \"insulate\"\n{INSULATE}capital = 3000.0\n\n\
             [[option]]\nname = \"fans\"\nset = {{ \"room.room.airflow_m3_per_s_per_tonne\" = 0.12 }}\ncapital = 500.0\n\n\
             [[option]]\nname = \"room and insulate\"\nincludes = [\"condensers in room\", \"insulate\"]\n\n\
             [[option]]\nname = \"all\"\nincludes = [\"insulate\", \"fans\", \"room and insulate\", \"gas\"]\ncapital = 100.0\n\n\
             [[option]]\nname = \"written\"\nsources = [\"heaters\", \"gas heater\"]\ncondensers = \"room\"\ncapital = 5100.0\n\
             {}",
            INSULATE.replace("set = {", "set = { \"room.room.airflow_m3_per_s_per_tonne\" = 0.12,")
        ))
        .path(),
    );
    let all = option(&figures, "all");
    let (mut joined, mut written) = (nameless(all), nameless(option(&figures, "written")));
    // Capital that is summed up in another order rounds to another last digit.
    for key in ["heat_annual_equivalent", "levelised_heat_cost_per_kwh"] {
        let of = |option: &mut Value| option["life_cycle"][key].take().as_f64().expect("a number");
        assert!((of(&mut joined) / of(&mut written) - 1.0).abs() < 1e-14, "{key}");
    }
    assert!(joined == written);
    let includes: Vec<&str> = all["includes"].as_array().expect("names").iter().filter_map(Value::as_str).collect();
    assert_eq!(includes, ["insulate", "fans", "condensers in room", "room and insulate", "gas"]);
    assert_eq!(all["life_cycle"]["capital"], 5000.0 + 9000.0 + 3000.0 + 500.0 + 1500.0 + 100.0);
    assert_eq!(all["set"].as_array().expect("changes").len(), 5);
}

fn refused(more: &str, words: &[&str]) {
    dryledger(&["check", "study.toml"]).in_folder(with(more).path()).run().refused(words);
}

#[test]
fn what_cannot_be_set_is_told_where_it_is_written() {
    for (set, words) in [
        ("\"room.rooom.air\" = \"x\"", ["PATH: in option \"x\": ", "room has no \"rooom\"", "did you mean \"room\"?"]),
        ("\"room.room.envelop\" = 9", ["PATH: in option \"x\": ", "`envelop` is not known", "envelope_ua_w_per_k"]),
        ("\"crop.received_moisture\" = 99.0", ["HERE: in option \"x\": ", "is 99", "1 to 70 % w.b."]),
        ("\"crop.received_moisture\" = \"wet\"", ["HERE: in option \"x\": ", "is the text \"wet\"", "a number"]),
        ("\"room.room.bins\" = { count = 2, tonnes = 3 }", ["HERE: in option \"x\": ", "floor_area_m2 is missing", ""]),
        (
            "\"carrier.lpg.price\" = 2.0",
            ["PATH: ", "`carrier.lpg.price` cannot be set here", "prices and money are the same"],
        ),
        ("\"study.title\" = \"x\"", ["PATH: ", "cannot be set here", "[crop], [room], [cool_store], [source]"]),
        ("\"room.room.name\" = \"x\"", ["PATH: ", "is a name", "leave it as it is"]),
        ("\"crop.kind\" = \"walnut\"", ["PATH: ", "makes another crop of it", "a study of its own"]),
    ] {
        let more = format!("[[option]]\nname = \"x\"\nset = {{ {set} }}\n");
        refused(&more, &placed(words, &more, set).each_ref().map(String::as_str));
    }
}

/// These words with line and column of the path that is set for `PATH`, and of its value for `HERE`, in what stands behind
/// the options of the small study.
pub(super) fn placed<const N: usize>(words: [&str; N], more: &str, set: &str) -> [String; N] {
    let folder = with(more);
    let text = fs::read_to_string(folder.path().join("study.toml")).expect("a study");
    let place = |at: usize| {
        let line_starts = text[..at].rfind('\n').expect("a line") + 1;
        format!("study.toml:{}:{}", text[..at].matches('\n').count() + 1, at - line_starts + 1)
    };
    let path = text.rfind(set).expect("what is set");
    let value = path + set.find(" = ").expect("a value") + 3;
    words.map(|word| word.replace("PATH", &place(path)).replace("HERE", &place(value)))
}

#[test]
fn circles_and_contradictions_are_refused() {
    let three = |a: &str, b: &str, c: &str| {
        format!("[[option]]\nname = \"a\"\n{a}\n[[option]]\nname = \"b\"\n{b}\n[[option]]\nname = \"c\"\n{c}\n")
    };
    let ua = |value: u32| format!("set = {{ \"room.room.envelope_ua_w_per_k\" = {value} }}");
    let heats = |order: &str| format!("sources = [{order}]");
    for (more, words) in [
        (three("includes = [\"b\"]", "includes = [\"c\"]", "includes = [\"a\"]"), "which includes"),
        (three("includes = [\"a\"]", &ua(60), &ua(60)), "names the option itself"),
        (three("includes = [\"bee\"]", &ua(60), &ua(60)), "names \"bee\", which is no option"),
        (
            three(&ua(60), &ua(70), "includes = [\"a\", \"b\"]"),
            "is 60 in one and `room.room.envelope_ua_w_per_k` is 70 in another",
        ),
        (
            three(
                &heats("\"heaters\", \"gas heater\""),
                &heats("\"gas heater\", \"heaters\""),
                "includes = [\"a\", \"b\"]",
            ),
            "joins heaters in two orders: heaters, gas heater and gas heater, heaters",
        ),
        (
            "[[option]]\nname = \"a\"\nincludes = [\"condensers in room\", \"condensers in intake\"]\n".to_owned(),
            "each says another condensers",
        ),
    ] {
        refused(&more, &[words, "study.toml:9"]);
        let ran = dryledger(&["check", "study.toml"]).in_folder(with(&more).path()).run();
        assert!(!ran.stderr.contains("is missing"), "an echo: {}", ran.stderr);
    }
    // What the package says itself settles it.
    let settled = three(&ua(60), &ua(70), &format!("includes = [\"a\", \"b\"]\n{}", ua(65)));
    let figures = report(with(&settled).path());
    assert_eq!(option(&figures, "c")["set"].as_array().expect("changes").last().expect("one")["value"], "65");
    assert!(need(&figures, "a") < need(&figures, "c") && need(&figures, "c") < need(&figures, "b"));
}

/// A decision stands whatever is drawn; what it leaves open is drawn for it as for all.
#[test]
fn what_an_option_sets_is_not_drawn_for_it() {
    let figures = report(
        with(
            "[[option]]\nname = \"insulate\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n\n\
             [uncertainty]\nsamples = 12\nstanding = false\n\
             \"room.room.envelope_ua_w_per_k\" = { uniform = { low = 100.0, high = 160.0 } }\n",
        )
        .path(),
    );
    let range = |name: &str| {
        let range = &option(&figures, name)["uncertainty"]["heat_need_kwh"];
        ["p10", "p90"].map(|end| range[end].as_f64().expect("a quantile"))
    };
    let [low, high] = range("insulate");
    assert!((high - low).abs() < 1e-9 * high && (low - need(&figures, "insulate")).abs() < 1e-9 * low, "{low} {high}");
    let [low, high] = range("electric");
    assert!(high > 1.01 * low, "{low} {high}");
}

/// What stands in doubt is as much in doubt where an option sets it, and goes the same way: an option that sets what the
/// study has is the study in every draw, and one that insulates a little saves in every draw.
#[test]
fn doubt_goes_with_what_an_option_sets() {
    let figures = report(
        with(
            "[[option]]\nname = \"same\"\nset = { \"room.room.envelope_ua_w_per_k\" = 120.0 }\n\n\
             [[option]]\nname = \"a little\"\nset = { \"room.room.envelope_ua_w_per_k\" = 105.0 }\n\n\
             [uncertainty]\nsamples = 12\n",
        )
        .path(),
    );
    let odds = |name: &str| {
        let all = figures["uncertainty"]["odds"].as_array().expect("odds");
        all.iter().find(|odds| odds["option"] == name && odds["against"] == "electric").expect("odds").clone()
    };
    let same = odds("same");
    for end in ["lowest", "highest"] {
        assert_eq!(same["net_saving"][end].as_f64(), Some(0.0), "{same}");
    }
    assert_eq!(odds("a little")["in_draws"], 12);
    let range = |name: &str| {
        let range = &option(&figures, name)["uncertainty"]["heat_need_kwh"];
        ["p10", "p90"].map(|end| range[end].as_f64().expect("a quantile"))
    };
    assert_eq!(range("same"), range("electric"));
}

/// What an option sets may itself be known only as a distribution.
#[test]
fn what_an_option_sets_can_be_drawn() {
    let figures = report(
        with(
            "[[option]]\nname = \"insulate\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n\n\
             [uncertainty]\nsamples = 12\nstanding = false\n\
             \"option.insulate.set.room.room.envelope_ua_w_per_k\" = { uniform = { low = 40.0, high = 80.0 } }\n",
        )
        .path(),
    );
    let range = |name: &str| {
        let range = &option(&figures, name)["uncertainty"]["heat_need_kwh"];
        ["p10", "p90"].map(|end| range[end].as_f64().expect("a quantile"))
    };
    let ([low, high], [same, as_well]) = (range("insulate"), range("electric"));
    assert!(high > 1.01 * low && (as_well - same).abs() < 1e-9 * same, "{low} {high} {same} {as_well}");
}

#[test]
fn what_is_unlikely_in_an_option_is_told_of_it() {
    let folder = with("[[option]]\nname = \"x\"\nset = { \"room.room.airflow_m3_per_s_per_tonne\" = 1.5 }\n");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    let words = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("in option \"x\": airflow_m3_per_s_per_tonne is 1.5"), "{}", ran.stdout);
}

/// The plant that is sized is the option's own.
#[test]
fn an_option_is_sized_on_its_own_plant() {
    let size =
        |folder: &Path| dryledger(&["size", "study.toml", "--option", "gas", "--json"]).in_folder(folder).run().json();
    let (set, written) = (small(), small());
    let own = "name = \"gas\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n";
    replace(set.path(), "study.toml", "name = \"gas\"\n", own);
    replace(written.path(), "study.toml", "envelope_ua_w_per_k = 120.0", "envelope_ua_w_per_k = 60.0");
    let figures = size(set.path());
    assert_eq!(figures, size(written.path()));
    assert_ne!(figures, size(small().path()));
}
