//! Whose report a folder holds.

use crate::command::Failure;
use std::path::Path;

/// Refuses to write over the report of another study of this folder: `figures` is the report's list of figures, whose
/// first input is the study.
pub(in crate::command) fn check_whose(figures: &Path, study: &Path) -> Result<(), Failure> {
    let (Some(folder), Some(own)) = (figures.parent(), study.file_name()) else {
        return Ok(());
    };
    let text = std::fs::read_to_string(figures).unwrap_or_default();
    let known: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    let Some(other) = known["inputs"][0]["file"].as_str().filter(|other| Path::new(other) != Path::new(own)) else {
        return Ok(());
    };
    // A study that was renamed or is gone wants its report no more.
    let stands = |folder: &Path| folder.join(other).is_file();
    if stands(folder) || study.parent().is_some_and(stands) {
        return Err(Failure::File {
            path: folder.to_owned(),
            cause: format!("holds the report of {other}, another study; name a folder of its own with --out"),
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_report_of_another_study_is_not_written_over_unless_that_study_is_gone() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let figures = at.join("figures.json");
        assert!(check_whose(&figures, &at.join("a.toml")).is_ok());
        fs::write(&figures, r#"{"inputs": [{"file": "a.toml"}, {"file": "weather.csv"}]}"#).unwrap();
        fs::write(at.join("a.toml"), "").unwrap();
        assert!(check_whose(&figures, &at.join("a.toml")).is_ok());
        let Err(Failure::File { cause, .. }) = check_whose(&figures, &at.join("b.toml")) else {
            panic!("written over in silence");
        };
        assert!(cause.contains("the report of a.toml") && cause.contains("--out"), "{cause}");
        fs::remove_file(at.join("a.toml")).unwrap();
        assert!(check_whose(&figures, &at.join("b.toml")).is_ok());
        fs::write(&figures, "no JSON").unwrap();
        assert!(check_whose(&figures, &at.join("b.toml")).is_ok());
    }
}
