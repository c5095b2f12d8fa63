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

/// A text without its blanks: numbers are grouped by thin ones.
fn dense(text: &str) -> String {
    text.split_whitespace().collect::<String>().replace(['\u{a0}', '\u{202f}', '\u{2009}'], "")
}

/// A sum of money to three figures, as prose has it; of a thousand and more.
fn to_three(value: f64) -> String {
    let unit = 10.0_f64.powf(value.log10().floor() - 2.0);
    format!("{:.0}", (value / unit).round() * unit)
}

/// The first number of a dense text.
fn leading(text: &str) -> f64 {
    let text = text.trim_start_matches(|c: char| !c.is_ascii_digit());
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    text[..end].parse().unwrap_or_else(|_| panic!("no number: {text}"))
}

/// Every figure of the first page is of the study as written, and the draws give the range beside it: no middle of them
/// stands among the figures.
#[test]
fn the_first_page_has_one_basis_and_says_which() {
    for written in [&DEMO, &WALNUT] {
        let best = text(&written.figures, "/study/recommended");
        let options = written.figures["options"].as_array().expect("options");
        let of = |name: &str| options.iter().find(|option| option["name"] == *name).expect("an option");
        let (best, base) = (of(best), of(text(&written.figures, "/study/baseline")));
        let cost = number(best, "/total_cost");
        let headline = dense(text(&written.figures, "/sheet/headline"));
        let less = number(base, "/total_cost") - cost;
        assert!(headline.contains(&format!("{}ofenergyaseason", to_three(cost))), "{headline}, {cost}");
        assert!(headline.contains(&format!("{}lessthan", to_three(less))), "{headline}, {less}");
        let basis = text(&written.figures, "/sheet/support/0");
        assert!(basis.contains("the study as written, ranges P10 to P90 of the draws"), "{basis}");
        let rest = written.page.split("<caption><span>Three figures to plan with").nth(1).expect("the table");
        let table = rest.split("</table>").next().expect("its end");
        assert!(table.contains("its range, P10 to P90") && !table.contains("middle"), "{table}");
    }
}

/// The payback is the extra investment over what is saved in a year, and both stand beside it.
#[test]
fn the_payback_of_the_first_page_is_made_of_figures_that_stand_there() {
    for written in [&DEMO, &WALNUT] {
        let support = written.figures["sheet"]["support"].as_array().expect("sentences");
        let sentence = support.iter().find_map(|one| one.as_str().filter(|one| one.contains("It asks for")));
        let sentence = dense(sentence.expect("the investment"));
        let (before, after) = sentence.split_once("morethanthebaseline;").expect("what it is more");
        let extra = leading(before.rsplit("grant,").next().expect("the extra investment"));
        let (saved, years) = (leading(after), leading(after.split("backin").nth(1).expect("the years")));
        assert!((extra / saved / years - 1.0).abs() < 0.01, "{sentence}");
        let options = written.figures["options"].as_array().expect("options");
        let running = |name: &str| {
            let option = options.iter().find(|option| option["name"] == *name).expect("an option");
            number(option, "/total_cost") + number(option, "/life_cycle/upkeep_per_year")
        };
        let (best, base) = (text(&written.figures, "/study/recommended"), text(&written.figures, "/study/baseline"));
        assert!(((running(base) - running(best)) / saved - 1.0).abs() < 0.005, "{sentence}");
    }
}

/// Draws of a price that all lie above the study's own: the cost as studied lies below its range, and every place says so.
#[test]
fn a_figure_outside_its_range_says_so() {
    let folder = small();
    replace(folder.path(), "study.toml", "capital = 9000.0", "capital = 5000.0");
    replace(folder.path(), "study.toml", "price = 1.35", "price = 0.30");
    let drawn = "[uncertainty]\nsamples = 12\nstanding = false\n\
                 \"carrier.lpg.price\" = { uniform = { low = 0.6, high = 0.7 } }\n\n[money]\n";
    replace(folder.path(), "study.toml", "[money]\n", drawn);
    let (figures, page) = report(folder.path());
    assert_eq!(text(&figures, "/study/recommended"), "gas");
    let basis = text(&figures, "/sheet/support/0");
    assert!(basis.ends_with(", above what it costs as studied."), "{basis}");
    assert!(page.contains(", above the figure") && page.contains("“gas” as studied lies outside its draws."));
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

/// The headline counts no saving against a baseline that leaves work undone, as the sentence below it says.
#[test]
fn nothing_is_saved_against_a_baseline_that_leaves_work_undone() {
    let headline = |kw: &str| {
        let folder = small();
        let heaters = format!("kind = \"resistance\"\ncapacity_kw = {kw}");
        replace(folder.path(), "study.toml", "kind = \"resistance\"\ncapacity_kw = 30.0", &heaters);
        replace(folder.path(), "study.toml", "price = 1.35", "price = 0.35");
        let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
        let works = figures["options"][0]["does_the_work"] == true;
        (works, figures["sheet"]["headline"].as_str().expect("a headline").to_owned())
    };
    let (works, said) = headline("30.0");
    assert!(works && said.contains("less than with “electric”"), "{said}");
    let (works, said) = headline("1.0");
    assert!(!works && said.starts_with("Choose") && !said.contains("than with"), "{said}");
}
