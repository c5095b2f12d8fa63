//! Files that appear whole or not at all.

use super::Failure;
use crate::export::{TELLING, wrote};
use std::collections::BTreeSet;
use std::ffi::OsString;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// The bytes of a file that a person named. A pipe or a device has no end that can be waited for.
pub(super) fn read_file(path: &Path) -> Result<Vec<u8>, Failure> {
    let kind = std::fs::metadata(path).map_err(|error| Failure::file(path, &error))?;
    if !kind.is_file() && !kind.is_dir() {
        return Err(Failure::File {
            path: path.to_owned(),
            cause: "a pipe or a device, not a file; write what it gives into a file first".to_owned(),
        });
    }
    std::fs::read(path).map_err(|error| Failure::file(path, &error))
}

/// What may be written over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Over {
    /// What this program wrote.
    Own,
    /// Any file but one that is read, a study or a tariff.
    Any,
}

/// The option by which files are written over whoever wrote them.
#[derive(Debug, clap::Args)]
pub(super) struct Force {
    /// Write over files that dryledger did not write; never over what is read, a study, a tariff, a folder or a device
    #[arg(long)]
    force: bool,
}

impl Force {
    /// What may be written over.
    pub(super) fn over(&self) -> Over {
        if self.force { Over::Any } else { Over::Own }
    }
}

/// Before anything is computed: refuses targets that cannot be written ([`check_targets`]) or are not this program's
/// to write over, and takes back what a killed run left half done. `targets` are all files that the command ever writes
/// together.
pub(super) fn prepare(targets: &[PathBuf], inputs: &[PathBuf], over: Over) -> Result<(), Failure> {
    check_targets(targets, inputs)?;
    recover(targets);
    match over {
        Over::Any => Ok(()),
        Over::Own => check_own(targets),
    }
}

/// Refuses to write over what this program did not write.
fn check_own(targets: &[PathBuf]) -> Result<(), Failure> {
    for target in targets.iter().filter(|target| target.exists()) {
        if !is_own(target).map_err(|error| Failure::file(target, &error))? {
            return Err(Failure::File {
                path: target.clone(),
                cause: "dryledger did not write this file; name another, or give --force to write over it".to_owned(),
            });
        }
    }
    Ok(())
}

/// True of a file that this program wrote, or that is empty. What bears no mark is part of a report where the figures
/// beside it are this program's.
fn is_own(path: &Path) -> std::io::Result<bool> {
    let beginning = beginning(path)?;
    let has_mark = ["html", "json", "csv"].iter().any(|ending| path.extension().is_some_and(|own| own == *ending));
    let beside = path.with_file_name("figures.json");
    Ok(beginning.is_empty()
        || wrote(&beginning).is_some()
        || (!has_mark && beside.is_file() && wrote(&self::beginning(&beside)?).is_some()))
}

/// How a file begins.
pub(super) fn beginning(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(TELLING as u64).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Takes back what killed runs left half done of these files.
pub(super) fn recover(targets: &[PathBuf]) {
    let _turn = targets.first().and_then(|target| turn_in(target));
    for process in gone(targets) {
        take_back(targets, process);
    }
}

/// Refuses to write over what is no file (a folder, a pipe, a device), or over one of the command's own inputs.
fn check_targets(targets: &[PathBuf], inputs: &[PathBuf]) -> Result<(), Failure> {
    let refused = |path: &Path, cause: &str| Err(Failure::File { path: path.to_owned(), cause: cause.to_owned() });
    for target in targets {
        match std::fs::metadata(target) {
            Ok(kind) if kind.is_dir() => {
                return refused(target, "a folder is in the way of the file to be written; move it");
            }
            Ok(kind) if !kind.is_file() => {
                return refused(target, "a pipe or a device, and a file is to be written; name a file");
            }
            // No command writes TOML over TOML: what stands there is somebody's work.
            Ok(_) if target.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml")) => {
                return refused(target, "a study or a tariff would be written over; name another file");
            }
            Ok(_) | Err(_) => {}
        }
        let whole = target.canonicalize();
        if let Ok(whole) = whole
            && inputs.iter().any(|input| input.canonicalize().is_ok_and(|input| input == whole))
        {
            return refused(target, "is read by this command and would be written over; name another file");
        }
    }
    Ok(())
}

/// Refuses to write over the report of another study of this folder: `figures` is the report's list of figures, whose
/// first input is the study.
pub(super) fn check_whose(figures: &Path, study: &Path) -> Result<(), Failure> {
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

/// Files to be written together: all are written under temporary names first. Then the old ones are put aside, and the
/// new ones take their names: at no moment do old and new stand side by side under their names, and a run that is
/// killed in between is taken back by the next.
#[derive(Debug, Default)]
pub(super) struct Together {
    parts: Vec<(PathBuf, PathBuf)>,
}

/// One change of a name. They come in an order in which any beginning of them can be taken back.
#[derive(Debug)]
enum Step {
    /// The old file is put aside; where there is none, a mark of that is.
    Aside(PathBuf),
    /// The new file takes its name.
    Place { part: PathBuf, path: PathBuf },
}

impl Step {
    fn take(&self) -> std::io::Result<()> {
        match self {
            // In the way since the targets were looked at.
            Self::Aside(path) if path.is_dir() => Err(std::io::Error::other("a folder is in the way")),
            Self::Aside(path) if path.exists() => std::fs::rename(path, beside(path, OLD)),
            Self::Aside(path) => {
                // A killed run of this number may have put an older file aside.
                let _ = std::fs::remove_file(beside(path, OLD));
                std::fs::write(beside(path, NEW), b"")
            }
            Self::Place { part, path } => std::fs::rename(part, path),
        }
    }

    fn path(&self) -> &Path {
        match self {
            Self::Aside(path) | Self::Place { path, .. } => path,
        }
    }
}

/// Endings of temporary names: written, not yet placed; what stood there before; where nothing did.
const PART: &str = "part";
const OLD: &str = "old";
const NEW: &str = "new";

impl Together {
    /// Writes one file under its temporary name.
    pub(super) fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        check_targets(&[path.to_owned()], &[])?;
        let part = beside(path, PART);
        self.parts.push((part.clone(), path.to_owned()));
        write_through(&part, bytes).map_err(|error| Failure::file(path, &error))
    }

    fn steps(&self) -> Vec<Step> {
        let aside = self.parts.iter().map(|(_, path)| Step::Aside(path.clone()));
        let place = self.parts.iter().map(|(part, path)| Step::Place { part: part.clone(), path: path.clone() });
        aside.chain(place).collect()
    }

    /// Gives all files their names. If one cannot have its name, all get their old contents back, so that no report is
    /// a mixture. Two runs into one folder take turns.
    pub(super) fn finish(mut self) -> Result<(), Failure> {
        let _turn = self.parts.first().and_then(|(_, path)| turn_in(path));
        let paths: Vec<PathBuf> = self.parts.iter().map(|(_, path)| path.clone()).collect();
        for step in self.steps() {
            if let Err(error) = step.take() {
                take_back(&paths, std::process::id());
                return Err(Failure::file(step.path(), &error));
            }
        }
        self.parts.clear();
        take_back(&paths, std::process::id());
        sync_folder(&paths);
        Ok(())
    }
}

/// Puts right what a process left of these files. While a part of it waits, not all files have their names: then the
/// old ones come back, and files that are new go. Where none waits, all was done but for clearing away.
fn take_back(paths: &[PathBuf], process: u32) {
    let of = |path: &Path, ending: &str| beside_of(path, process, ending);
    // What cannot be taken back stays as it is; there is nobody left to tell.
    if paths.iter().any(|path| of(path, PART).exists()) {
        for path in paths {
            if of(path, OLD).exists() {
                let _ = std::fs::rename(of(path, OLD), path);
            } else if of(path, NEW).exists() {
                let _ = std::fs::remove_file(path);
            }
        }
    }
    for ending in [OLD, NEW, PART] {
        for path in paths {
            let _ = std::fs::remove_file(of(path, ending));
        }
    }
}

/// Writes a file and waits until it is on the disk.
fn write_through(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Waits until the new names are on the disk, where the system knows how to.
fn sync_folder(paths: &[PathBuf]) {
    if let Some(folder) = paths.first().and_then(|path| std::fs::File::open(folder_of(path)).ok()) {
        let _ = folder.sync_all();
    }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Waits for other runs that write into this file's folder, where the system can lock a folder.
fn turn_in(path: &Path) -> Option<std::fs::File> {
    let folder = std::fs::File::open(folder_of(path)).ok()?;
    folder.lock().ok().map(|()| folder)
}

/// Processes that left something beside these files and are no more, or had this one's number, as in a container whose
/// first process is always 1.
fn gone(targets: &[PathBuf]) -> BTreeSet<u32> {
    let mut found = BTreeSet::new();
    for target in targets {
        let Ok(entries) = std::fs::read_dir(folder_of(target)) else {
            continue;
        };
        let name = target.file_name().unwrap_or_default().to_string_lossy().into_owned() + ".";
        for entry in entries.flatten() {
            let file = entry.file_name().to_string_lossy().into_owned();
            let rest = file.strip_prefix(&name).and_then(|rest| rest.rsplit_once('.'));
            let process = rest
                .filter(|(_, ending)| [PART, OLD, NEW].contains(ending))
                .and_then(|(process, _)| process.parse::<u32>().ok());
            found.extend(process.filter(|process| *process == std::process::id() || is_no_more(*process)));
        }
    }
    found
}

/// True if the system lists its processes and this one is not among them.
fn is_no_more(process: u32) -> bool {
    let listed = Path::new("/proc");
    listed.join("self").exists() && !listed.join(process.to_string()).exists()
}

impl Drop for Together {
    /// What was not finished is of no use to anyone.
    fn drop(&mut self) {
        for (part, _) in &self.parts {
            let _ = std::fs::remove_file(part);
        }
    }
}

/// The name of a file of this process beside another.
fn beside(path: &Path, ending: &str) -> PathBuf {
    beside_of(path, std::process::id(), ending)
}

fn beside_of(path: &Path, process: u32, ending: &str) -> PathBuf {
    let mut name: OsString = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{process}.{ending}"));
    path.with_file_name(name)
}

/// Fails early if a folder cannot be written to: before a long run, not after it.
pub(super) fn check_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| Failure::file(folder, &error))?;
    let probe = beside(&folder.join("probe"), PART);
    std::fs::write(&probe, b"").map_err(|error| Failure::file(folder, &error))?;
    std::fs::remove_file(&probe).map_err(|error| Failure::file(folder, &error))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::time::Duration;

    /// Names and contents of a folder's files; of a folder in it, nothing.
    fn contents(folder: &Path) -> Vec<(String, String)> {
        let mut all: Vec<(String, String)> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap())
            .map(|entry| {
                let name = entry.file_name().to_string_lossy().into_owned();
                (name, fs::read_to_string(entry.path()).unwrap_or_default())
            })
            .collect();
        all.sort();
        all
    }

    fn said(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|&(name, text)| (name.to_owned(), text.to_owned())).collect()
    }

    fn in_folder(folder: &Path, names: &[&str]) -> Together {
        let mut together = Together::default();
        for name in names {
            together.add(&folder.join(name), format!("new {name}").as_bytes()).unwrap();
        }
        together
    }

    /// One that was there gets its old contents back, one that was not is taken away; what comes after the one
    /// that failed is never seen.
    #[test]
    fn where_one_cannot_be_written_all_are_as_they_were() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old a").unwrap();
        fs::write(at.join("d"), "old d").unwrap();
        let together = in_folder(at, &["a", "b", "c", "d"]);
        // In the way since the targets were looked at.
        fs::create_dir(at.join("c")).unwrap();
        fs::write(at.join("c").join("of others"), "").unwrap();
        let Err(Failure::File { path, .. }) = together.finish() else {
            panic!("a file took the place of a folder");
        };
        assert_eq!(path, at.join("c"));
        assert_eq!(contents(at), said(&[("a", "old a"), ("c", ""), ("d", "old d")]));
        assert!(at.join("c").is_dir());
    }

    #[test]
    fn all_are_written_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old a").unwrap();
        in_folder(at, &["a", "b"]).finish().unwrap();
        assert_eq!(contents(at), said(&[("a", "new a"), ("b", "new b")]));
    }

    #[test]
    fn what_is_given_up_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a"), "old a").unwrap();
        drop(in_folder(folder.path(), &["a", "b"]));
        assert_eq!(contents(folder.path()), said(&[("a", "old a")]));
    }

    /// A killed run of the same number left what it put aside of an older report: it is not taken for the old one.
    #[test]
    fn a_leftover_of_the_same_number_is_not_given_back() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old a").unwrap();
        fs::write(beside(&at.join("a"), OLD), "older a").unwrap();
        fs::write(beside(&at.join("c"), OLD), "older c").unwrap();
        let together = in_folder(at, &["a", "c", "b"]);
        fs::create_dir(at.join("b")).unwrap();
        assert!(together.finish().is_err());
        assert_eq!(contents(at), said(&[("a", "old a"), ("b", "")]));
    }

    /// What stands there under the names of a report, without what waits beside them.
    fn under_names(folder: &Path) -> Vec<(String, String)> {
        contents(folder).into_iter().filter(|(name, _)| name.len() == 1).collect()
    }

    /// Killed after any step, a run leaves no file of the old report beside one of the new; the next command takes it
    /// back to the old report, or finds the new one whole, and clears away.
    #[test]
    fn killed_between_any_two_names_a_report_is_old_or_new() {
        let (old, new) =
            (said(&[("a", "old a"), ("c", "old c")]), said(&[("a", "new a"), ("b", "new b"), ("c", "new c")]));
        let all = ["a", "b", "c"];
        let mut count = 0;
        for killed_after in 0.. {
            let folder = tempfile::tempdir().unwrap();
            let at = folder.path();
            fs::write(at.join("a"), "old a").unwrap();
            fs::write(at.join("c"), "old c").unwrap();
            let together = in_folder(at, &all);
            let steps = together.steps();
            if killed_after > steps.len() {
                break;
            }
            for step in &steps[..killed_after] {
                step.take().unwrap();
            }
            // A killed process drops nothing.
            std::mem::forget(together);
            let seen = under_names(at);
            let is_part_of = |whole: &[(String, String)]| seen.iter().all(|file| whole.contains(file));
            assert!(is_part_of(&old) || is_part_of(&new), "{killed_after}: {seen:?}");
            let targets: Vec<PathBuf> = all.iter().map(|name| at.join(name)).collect();
            prepare(&targets, &[], Over::Any).unwrap();
            let expected = if killed_after == steps.len() { &new } else { &old };
            assert_eq!(&contents(at), expected, "after {killed_after} steps");
            count += 1;
        }
        assert_eq!(count, 7);
    }

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

    /// A lock goes with the run that held it: there is no file of it that could be left over, and the next run
    /// waits no longer than that.
    #[test]
    fn two_runs_into_one_folder_take_turns() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().to_owned();
        let other = turn_in(&at.join("a")).expect("the folder is locked");
        let waits = std::thread::spawn({
            let at = at.clone();
            move || in_folder(&at, &["a"]).finish().is_ok()
        });
        std::thread::sleep(Duration::from_millis(200));
        assert!(!at.join("a").exists() && !waits.is_finished());
        drop(other);
        assert!(waits.join().unwrap());
        assert_eq!(contents(&at), said(&[("a", "new a")]));
    }
}
