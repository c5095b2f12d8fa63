//! `report --charts` and what `report --pdf` says where there is nothing to print with.

use crate::case::dryledger;
use crate::cli::small_study;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn each_chart_of_the_page_is_a_drawing_of_its_own() {
    let folder = small_study();
    let ran = dryledger(&["report", "study.toml", "--charts", "drawn"]).in_folder(folder.path()).run();
    ran.ends_well();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    let ids: BTreeSet<String> =
        page.split("<figure id=\"").skip(1).filter_map(|part| part.split('"').next().map(str::to_owned)).collect();
    assert!(ids.len() > 8, "{ids:?}");
    let mut drawn = BTreeSet::new();
    for entry in fs::read_dir(folder.path().join("drawn")).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.ends_with("dryledger.sha256") {
            continue;
        }
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        drawn.insert(name.strip_suffix(".svg").expect("a drawing").to_owned());
        let svg = fs::read_to_string(&path).expect("text");
        assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width="), "{name}");
        // Colours are in it, and nothing of the page's own is asked for.
        assert!(!svg.contains("var(") && !svg.contains("href") && svg.contains("fill: #"), "{name}");
        for class in svg.split(" class=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
            for class in class.split_whitespace().filter(|class| !["m", "e", "t"].contains(class)) {
                assert!(svg.contains(&format!(".{class}")), "{name}: no colour for {class}");
            }
        }
    }
    assert_eq!(drawn, ids);
}

#[test]
fn without_a_browser_the_word_is_clear_and_comes_before_the_work() {
    let folder = small_study();
    let empty = tempfile::tempdir().expect("a folder");
    let path = empty.path().to_str().expect("UTF-8");
    let line = ["report", "study.toml", "--pdf"];
    let ran = dryledger(&line).in_folder(folder.path()).with("PATH", path).with("DRYLEDGER_BROWSER", "").run();
    ran.refused(&["Chromium", "apt install chromium", "DRYLEDGER_BROWSER"]);
    assert!(!folder.path().join("report.html").exists());
    // It comes before a study is so much as opened.
    let line = ["report", "no-such-study.toml", "--pdf"];
    let ran = dryledger(&line).in_folder(folder.path()).with("PATH", path).with("DRYLEDGER_BROWSER", "").run();
    ran.refused(&["apt install chromium"]);
    assert!(!ran.stderr.contains("no-such-study"), "{}", ran.stderr);
}

#[test]
fn values_set_for_one_run_are_drawn_into_a_named_folder_alone() {
    let folder = small_study();
    let line = ["report", "study.toml", "--set", "crop.received_moisture=21", "--charts", "drawn"];
    dryledger(&line).in_folder(folder.path()).run().refused(&["--charts with --set", "--out DIR"]);
}
