//! The bundled studies as the program writes them now, each computed once for all tests that read it.

use crate::case::{dryledger, root};
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

/// The demo.
pub(crate) static DEMO: LazyLock<Written> = LazyLock::new(|| bundled("demo"));
/// Walnuts with air that passes once.
pub(crate) static WALNUT: LazyLock<Written> = LazyLock::new(|| bundled("walnut"));
/// Two rooms in a row.
pub(crate) static TWO_ROOMS: LazyLock<Written> = LazyLock::new(|| bundled("two-rooms"));

fn bundled(name: &str) -> Written {
    write(&root().join("reports").join(name).join("study.toml"))
}

/// Writes a study's report anew, into a folder of its own.
pub(crate) fn write(study: &Path) -> Written {
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().to_str().expect("UTF-8");
    let study = study.to_str().expect("UTF-8");
    let ran = dryledger(&["report", study, "--json", "--out", folder]).unaltered().run();
    let read = |name: &str| fs::read_to_string(out.path().join(name)).expect("what was written");
    Written {
        figures: ran.json(),
        page: read("report.html"),
        batches: read("batches.csv"),
        months: read("monthly.csv"),
        workbook: fs::read(out.path().join("report.xlsx")).expect("a workbook"),
    }
}

/// What stands in `reports/` is what the program writes, byte for byte on any day, since these studies are dated:
/// else write the reports anew.
#[test]
fn the_bundled_reports_are_what_the_program_writes() {
    for (name, now) in [("demo", &DEMO), ("walnut", &WALNUT), ("two-rooms", &TWO_ROOMS)] {
        let kept = |file: &str| fs::read_to_string(root().join("reports").join(name).join(file)).expect("a report");
        let stale = "is stale: write it anew";
        let figures: Value = serde_json::from_str(&kept("figures.json")).expect("JSON");
        assert!(figures == now.figures, "reports/{name}/figures.json {stale}");
        assert!(kept("batches.csv") == now.batches, "reports/{name}/batches.csv {stale}");
        assert!(kept("monthly.csv") == now.months, "reports/{name}/monthly.csv {stale}");
        let page = kept("report.html");
        let differs = page.lines().zip(now.page.lines()).find(|(kept, now)| kept != now);
        assert!(page == now.page, "reports/{name}/report.html {stale}: {differs:?}");
    }
}
