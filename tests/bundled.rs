//! The bundled studies as the program writes them now, each computed once for all tests that read it. What is computed
//! here is quick: few draws, and eleven weeks of one year where the study has two years of half of one. Their whole
//! seasons with all their draws are run by `cargo test --test main -- --ignored whole_season`, which `.ci/run` does.

use crate::case::{DemoStudy, dryledger, root};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

/// What a run wrote about a study.
pub(crate) struct Written {
    pub page: String,
    pub figures: Value,
    pub batches: String,
    pub months: String,
    pub workbook: Vec<u8>,
}

/// The demo's middle weeks, with all that it has beside its season.
pub(crate) static DEMO: LazyLock<Written> = LazyLock::new(|| middle("demo"));
/// Walnuts with air that passes once, the whole season.
pub(crate) static WALNUT: LazyLock<Written> = LazyLock::new(|| write(&bundled("walnut"), &FEW_DRAWS));
/// The middle weeks of two rooms in a row.
pub(crate) static TWO_ROOMS: LazyLock<Written> = LazyLock::new(|| middle("two-rooms"));
/// The demo's whole seasons with all its draws: for what is run where it is asked for.
pub(crate) static WHOLE_DEMO: LazyLock<Written> = LazyLock::new(|| write(&bundled("demo"), &[]));

/// Draws enough that nine of ten can be told of them.
const FEW_DRAWS: [&str; 2] = ["--samples", "10"];

fn bundled(name: &str) -> std::path::PathBuf {
    root().join("reports").join(name).join("study.toml")
}

fn middle(name: &str) -> Written {
    let folder = tempfile::tempdir().expect("a folder");
    write(&DemoStudy::of(name).middle().write(folder.path()), &FEW_DRAWS)
}

/// Writes a study's report anew, as a user would but for these arguments, into a folder of its own.
pub(crate) fn write(study: &Path, more: &[&str]) -> Written {
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().to_str().expect("UTF-8");
    let arguments = ["report", study.to_str().expect("UTF-8"), "--json", "--out", folder];
    let ran = dryledger(&[&arguments, more].concat()).unaltered().run();
    let read = |name: &str| fs::read_to_string(out.path().join(name)).expect("what was written");
    Written {
        figures: ran.json(),
        page: read("report.html"),
        batches: read("batches.csv"),
        months: read("monthly.csv"),
        workbook: fs::read(out.path().join("report.xlsx")).expect("a workbook"),
    }
}

/// A file that stands beside a bundled study.
fn kept(name: &str, file: &str) -> String {
    fs::read_to_string(bundled(name).with_file_name(file)).expect("a report")
}

const STALE: &str = "is stale: write it anew";

/// Figures without those that the number of draws moves.
fn without_draws(mut figures: Value) -> Value {
    let mut remove = |pointer: &str, key: &str| {
        let holders: Vec<&mut Value> = match figures.pointer_mut(pointer).expect("figures") {
            Value::Array(all) => all.iter_mut().collect(),
            one => vec![one],
        };
        for holder in holders {
            holder.as_object_mut().expect("an object").remove(key);
        }
    };
    for (pointer, key) in [
        ("", "uncertainty"),
        ("", "sheet"),
        ("/options", "uncertainty"),
        ("/ranking", "level_with"),
        ("/application/of_both", "saved_in_draws"),
    ] {
        remove(pointer, key);
    }
    figures
}

/// What stands in `reports/walnut` is what the program writes, but for what its draws say, of which fewer are made here.
#[test]
fn what_no_draw_moves_of_a_bundled_report_is_what_the_program_writes() {
    let figures: Value = serde_json::from_str(&kept("walnut", "figures.json")).expect("JSON");
    let now = without_draws(WALNUT.figures.clone());
    assert!(without_draws(figures) == now, "reports/walnut/figures.json {STALE}");
    assert!(
        now["options"].as_array().is_some_and(|options| options.len() > 3 && options[0].get("total_cost").is_some())
    );
    assert!(kept("walnut", "batches.csv") == WALNUT.batches, "reports/walnut/batches.csv {STALE}");
    assert!(kept("walnut", "monthly.csv") == WALNUT.months, "reports/walnut/monthly.csv {STALE}");
}

/// What stands in `reports/` is what the program writes, byte for byte on any day, since these studies are dated:
/// else write the reports anew.
#[test]
#[ignore = "runs all bundled studies with all their draws; `.ci/run` runs it"]
fn whole_seasons_of_the_bundled_reports_are_what_the_program_writes() {
    for name in ["demo", "walnut", "two-rooms"] {
        let anew = (name != "demo").then(|| write(&bundled(name), &[]));
        let now = anew.as_ref().unwrap_or_else(|| &WHOLE_DEMO);
        let figures: Value = serde_json::from_str(&kept(name, "figures.json")).expect("JSON");
        assert!(figures == now.figures, "reports/{name}/figures.json {STALE}");
        assert!(kept(name, "batches.csv") == now.batches, "reports/{name}/batches.csv {STALE}");
        assert!(kept(name, "monthly.csv") == now.months, "reports/{name}/monthly.csv {STALE}");
        let page = kept(name, "report.html");
        let differs = page.lines().zip(now.page.lines()).find(|(kept, now)| kept != now);
        assert!(page == now.page, "reports/{name}/report.html {STALE}: {differs:?}");
        // Thirteen options, their draws and a season's batches by moisture still go as an attachment.
        assert!(page.len() < 900_000, "{} bytes", page.len());
    }
}

/// The same on one thread as on more, of a study with draws and measures.
#[test]
#[ignore = "runs a bundled study with all its draws on one thread; `.ci/run` runs it"]
fn whole_season_of_walnuts_is_the_same_on_one_thread() {
    let out = tempfile::tempdir().expect("a folder");
    let ran = dryledger(&["report", bundled("walnut").to_str().expect("UTF-8"), "--json", "--out"])
        .and(out.path().to_str().expect("UTF-8"))
        .with("RAYON_NUM_THREADS", "1")
        .unaltered()
        .run();
    let figures: Value = serde_json::from_str(&kept("walnut", "figures.json")).expect("JSON");
    assert!(ran.json() == figures);
    assert!(fs::read_to_string(out.path().join("report.html")).expect("a page") == kept("walnut", "report.html"));
}
