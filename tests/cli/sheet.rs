//! The owner's sheet: the first page of a report.

use super::faults::{replace, small};
use crate::bundled::{DEMO, TWO_ROOMS, WALNUT};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn report(folder: &Path) -> (Value, String) {
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json();
    (figures, fs::read_to_string(folder.join("report.html")).expect("a page"))
}

fn text<'a>(value: &'a Value, pointer: &str) -> &'a str {
    value.pointer(pointer).and_then(Value::as_str).unwrap_or_else(|| panic!("no {pointer}"))
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("no {pointer}"))
}

/// Words of a sentence beside the names that stand in quotes: those are the study's.
fn own_words(sentence: &str) -> usize {
    let mut own = String::new();
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('“') {
        own.push_str(before);
        rest = after.split_once('”').map_or("", |(_, behind)| behind);
    }
    own.push_str(rest);
    own.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}

#[test]
fn the_headline_of_every_bundled_study_is_short_and_says_cost_saving_and_doubt() {
    for written in [&DEMO, &WALNUT, &TWO_ROOMS] {
        let headline = text(&written.figures, "/sheet/headline");
        assert!(own_words(headline) <= 35, "{headline}");
        // A plant in which nuts may spoil is no plan, whatever it costs and however sure that is.
        let best = text(&written.figures, "/study/recommended");
        let options = written.figures["options"].as_array().expect("options");
        let best = options.iter().find(|option| option["name"] == *best).expect("the best");
        let spoils = best["guards"].as_array().expect("guards").iter().any(|guard| guard["spoils_nuts"] == true);
        let doubt = if spoils { "is no plan yet: nuts may spoil" } else { "draws" };
        for words in ["a season", doubt] {
            assert!(headline.contains(words), "no '{words}': {headline}");
        }
        assert!(written.page.contains("class=\"headline\""));
    }
}

/// What burns fuel is never proposed without the caution that its flue and fire protection are licensed work, and no heat
/// pump without that of its refrigerant.
#[test]
fn a_burner_and_a_heat_pump_come_with_their_cautions() {
    let licensed = [
        (&DEMO, "shell", "fire protection designed by"),
        (&TWO_ROOMS, "heat pump", "circuit and its room designed by"),
    ];
    for (written, best, caution) in licensed {
        assert_eq!(text(&written.figures, "/study/recommended"), best);
        let next = written.figures["sheet"]["next"].as_array().expect("steps");
        let has = |words: &str| next.iter().any(|one| one.as_str().is_some_and(|one| one.contains(words)));
        assert!(has(&format!("{caution} those licensed")), "{next:?}");
        assert!(has("nine draws of ten"), "{next:?}");
    }
}

/// What an option costs in a year is its parts, and the options stand in the order of it.
#[test]
fn yearly_costs_are_the_sum_of_their_parts_and_rise() {
    for written in [&DEMO, &WALNUT, &TWO_ROOMS] {
        let yearly = written.figures["sheet"]["yearly"].as_array().expect("options");
        assert_eq!(yearly.len(), written.figures["options"].as_array().expect("options").len());
        let mut least = 0.0;
        for one in yearly {
            let energy: f64 = one["energy"].as_array().expect("energy").iter().map(|of| number(of, "/1")).sum();
            let parts = energy + number(one, "/charges") + number(one, "/owning") + number(one, "/price_growth");
            let total = number(one, "/total");
            assert!((parts - total).abs() < 0.02, "{one}");
            assert!(total >= least, "{one}");
            least = total;
            let range = &one["range"];
            assert!(number(range, "/p10") <= number(range, "/p50") && number(range, "/p50") <= number(range, "/p90"));
        }
        let first = text(&written.figures, "/sheet/yearly/0/option");
        assert_eq!(first, text(&written.figures, "/study/recommended"));
    }
}

#[test]
fn where_nothing_does_the_work_nothing_is_recommended_and_the_first_step_is_a_plant_that_does() {
    let folder = small();
    for capital in ["5000.0", "9000.0"] {
        let stands = format!("capacity_kw = 30.0\ncapital = {capital}");
        replace(folder.path(), "study.toml", &stands, &stands.replace("30.0", "1.0"));
    }
    let (figures, page) = report(folder.path());
    assert!(text(&figures, "/sheet/headline").starts_with("No option does the work"));
    assert!(text(&figures, "/sheet/next/0").contains("dryledger size"));
    assert!(figures["sheet"]["yearly"].as_array().expect("options").iter().all(|one| one["does_the_work"] == false));
    assert!(page.contains("work undone"));
}

#[test]
fn a_saving_that_rests_on_a_grant_or_an_own_supply_says_so() {
    let points = DEMO.figures["sheet"]["could_go_wrong"].as_array().expect("points");
    let heads: Vec<&str> = points.iter().map(|point| text(point, "/head")).collect();
    assert!(heads.contains(&"It burns an own supply.") && heads.contains(&"A grant is counted on."), "{heads:?}");
    // The demo's shell: the quantity on the sheet is that of the option.
    let own = number(&DEMO.figures, "/options/3/carriers/shell/own_quantity");
    let said = points.iter().find(|point| point["head"] == "It burns an own supply.").expect("the point");
    assert!(text(said, "/text").contains(&format!("{own:.1}")), "{said}, {own}");
}

#[test]
fn the_baseline_is_kept_where_nothing_beats_it() {
    let folder = small();
    replace(folder.path(), "study.toml", "capital = 9000.0", "capital = 900000.0");
    replace(folder.path(), "study.toml", "capital = 1500.0", "capital = 150000.0");
    replace(folder.path(), "study.toml", "capital = 2000.0", "capital = 200000.0");
    let (figures, _) = report(folder.path());
    let headline = text(&figures, "/sheet/headline");
    assert!(headline.starts_with("Choose “electric”"), "{headline}");
    replace(folder.path(), "study.toml", "[money]\n", "[application]\nbaseline_installed = true\n\n[money]\n");
    let (figures, _) = report(folder.path());
    let headline = text(&figures, "/sheet/headline");
    assert!(headline.starts_with("Stay with “electric”"), "{headline}");
}
