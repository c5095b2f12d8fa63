//! Where the charts of a report stand as files of their own.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The file of a chart by its id in the page.
pub(super) fn chart_file(folder: &Path, id: &str) -> PathBuf {
    folder.join(format!("{id}.svg"))
}

/// Files of charts that a folder holds, or that a run which was killed left half done there.
pub(super) fn known_charts(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.map(|entry| entry.file_name().to_string_lossy().into_owned());
    let charts: BTreeSet<String> = names
        .filter(|name| name.starts_with("figure-"))
        .filter_map(|name| name.split_once(".svg").map(|(id, _)| id.to_owned()))
        .collect();
    charts.iter().map(|id| chart_file(folder, id)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_killed_run_left_is_known_by_its_chart() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["figure-a.svg", "figure-b.svg.17.part", "figure-a.svg.17.old", "mine.svg", "figure-c.png"] {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        let expected = ["figure-a.svg", "figure-b.svg"].map(|name| folder.path().join(name));
        assert_eq!(known_charts(folder.path()), expected);
    }
}
