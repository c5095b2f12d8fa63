//! Whose report a folder holds.

use crate::command::Failure;
use std::path::{Path, PathBuf};

/// Refuses to write over the report of another study: `figures` is the report's list of figures, whose first input is the
/// study. In the study's own folder the study is known by the name of its file, elsewhere by its title too: files of many
/// folders have one name.
pub(in crate::command) fn check_whose(figures: &Path, study: &Path, title: &str) -> Result<(), Failure> {
    let (Some(folder), Some(own)) = (figures.parent(), study.file_name()) else {
        return Ok(());
    };
    // A bare name stands in the folder that one is in.
    let here = |folder: &Path| if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() };
    let (folder, of_study) = (here(folder), study.parent().map(here));
    let text = std::fs::read_to_string(figures).unwrap_or_default();
    let known: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    let holds = |what: String| {
        Err(Failure::File {
            path: folder.clone(),
            cause: format!("holds the report of {what}, another study; name a folder of its own with --out"),
        })
    };
    let is_own_folder = of_study.as_deref().and_then(|own| own.canonicalize().ok()) == folder.canonicalize().ok();
    if let Some(told) = known["study"]["title"].as_str().filter(|told| *told != title && !is_own_folder) {
        return holds(format!("“{told}”"));
    }
    let Some(other) = known["inputs"][0]["file"].as_str().filter(|other| Path::new(other) != Path::new(own)) else {
        return Ok(());
    };
    // A study that was renamed or is gone wants its report no more.
    let stands = |folder: &Path| folder.join(other).is_file();
    if stands(&folder) || of_study.as_deref().is_some_and(stands) {
        return holds(other.to_owned());
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
        assert!(check_whose(&figures, &at.join("a.toml"), "A").is_ok());
        fs::write(&figures, r#"{"inputs": [{"file": "a.toml"}, {"file": "weather.csv"}]}"#).unwrap();
        fs::write(at.join("a.toml"), "").unwrap();
        assert!(check_whose(&figures, &at.join("a.toml"), "A").is_ok());
        let Err(Failure::File { cause, .. }) = check_whose(&figures, &at.join("b.toml"), "A") else {
            panic!("written over in silence");
        };
        assert!(cause.contains("the report of a.toml") && cause.contains("--out"), "{cause}");
        fs::remove_file(at.join("a.toml")).unwrap();
        assert!(check_whose(&figures, &at.join("b.toml"), "A").is_ok());
        fs::write(&figures, "no JSON").unwrap();
        assert!(check_whose(&figures, &at.join("b.toml"), "A").is_ok());
    }

    #[test]
    fn studies_of_one_name_are_told_apart_by_their_titles() {
        let (folder, own) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let figures = folder.path().join("figures.json");
        fs::write(&figures, r#"{"study": {"title": "A"}, "inputs": [{"file": "study.toml"}]}"#).unwrap();
        let study = own.path().join("study.toml");
        assert!(check_whose(&figures, &study, "A").is_ok());
        assert!(check_whose(&figures, &study, "B").is_err());
        // Whoever changes the title of a study writes its report anew.
        assert!(check_whose(&figures, &folder.path().join("study.toml"), "B").is_ok());
    }
}
