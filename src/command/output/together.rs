//! Files that are written together: all of them or none.

use super::folder_of::folder_of;
use super::list::{List, Standing, list_of};
use super::target::check_targets;
use crate::command::Failure;
use crate::command::digest::digest;
use crate::command::interrupt::{Hold, hold};
use std::collections::BTreeSet;
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Files to be written together: all are written under temporary names first. Then the old ones are put aside, and the
/// new ones take their names: at no moment do old and new stand side by side under their names, and a run that is
/// killed in between is taken back by the next.
#[derive(Debug, Default)]
pub(in crate::command) struct Together {
    parts: Vec<Part>,
    /// Files of an earlier run that this one has no more.
    retired: Vec<PathBuf>,
    /// Folders that have a list of what was written.
    listed: Vec<PathBuf>,
    /// While files are in hand nobody ends the run.
    hold: Option<Hold>,
}

/// A file that is written, and waits for its name.
#[derive(Debug)]
struct Part {
    waits_at: PathBuf,
    path: PathBuf,
    digest: String,
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
pub(super) const PART: &str = "part";
const OLD: &str = "old";
const NEW: &str = "new";

impl Together {
    /// Writes one file under its temporary name.
    pub(in crate::command) fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        self.hold.get_or_insert_with(hold);
        check_targets(&[path], &[])?;
        let part = beside(path, PART);
        self.parts.push(Part { waits_at: part.clone(), path: path.to_owned(), digest: digest(bytes) });
        write_through(&part, bytes).map_err(|error| Failure::file(path, &error))
    }

    /// Takes away a file of an earlier run, if it is as that one wrote it.
    pub(in crate::command) fn retire(&mut self, path: PathBuf) {
        self.retired.push(path);
    }

    /// Keeps the list of what is written into a folder, so that the next run knows it again.
    pub(in crate::command) fn list(&mut self, folder: &Path) {
        self.listed.push(folder.to_owned());
    }

    fn paths(&self) -> Vec<PathBuf> {
        self.parts.iter().map(|part| part.path.clone()).chain(self.retired.iter().cloned()).collect()
    }

    fn steps(&self) -> Vec<Step> {
        let aside = self.paths().into_iter().map(Step::Aside);
        let place = self.parts.iter().map(|part| Step::Place { part: part.waits_at.clone(), path: part.path.clone() });
        aside.chain(place).collect()
    }

    /// Gives all files their names. If one cannot have its name, all get their old contents back, so that no report is
    /// a mixture. Two runs into one folder take turns.
    pub(in crate::command) fn finish(mut self) -> Result<(), Failure> {
        let folders = folders(self.paths().iter().map(PathBuf::as_path));
        let _turns = turns(&folders);
        self.retired.retain(|path| {
            List::of(folder_of(path)).standing(path).is_ok_and(|standing| standing == Standing::AsWritten)
        });
        self.add_lists()?;
        let paths = self.paths();
        sync(&folders);
        for step in self.steps() {
            if let Err(error) = step.take() {
                take_back(&paths, std::process::id());
                return Err(Failure::file(step.path(), &error));
            }
        }
        self.parts.clear();
        sync(&folders);
        take_back(&paths, std::process::id());
        sync(&folders);
        Ok(())
    }

    /// Adds the lists of what is written: what an earlier run wrote and still stands there stays in them.
    fn add_lists(&mut self) -> Result<(), Failure> {
        for folder in folders(self.listed.iter().map(|folder| list_of(folder)).collect::<Vec<_>>().iter()) {
            let mut list = List::of(&folder);
            list.strike_gone(&folder);
            let is_here = |path: &Path| folder_of(path).canonicalize().is_ok_and(|own| own == folder);
            for path in self.retired.iter().filter(|path| is_here(path)) {
                list.strike(path);
            }
            for part in self.parts.iter().filter(|part| is_here(&part.path)) {
                list.put(&part.path, part.digest.clone());
            }
            self.add(&list_of(&folder), list.text().as_bytes())?;
        }
        Ok(())
    }
}

/// Puts right what a process left of these files. While a part of it waits, not all files have their names: then the
/// old ones come back, and files that are new go. Where none waits, all was done but for clearing away.
fn take_back<P: AsRef<Path>>(paths: &[P], process: u32) {
    let paths: Vec<&Path> = paths.iter().map(AsRef::as_ref).collect();
    let of = |path: &Path, ending: &str| beside_of(path, process, ending);
    // What cannot be taken back stays as it is; there is nobody left to tell.
    if paths.iter().any(|path| of(path, PART).exists()) {
        for path in &paths {
            if of(path, OLD).exists() {
                let _ = std::fs::rename(of(path, OLD), path);
            } else if of(path, NEW).exists() {
                let _ = std::fs::remove_file(path);
            }
        }
    }
    for ending in [OLD, NEW, PART] {
        for path in &paths {
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

/// Waits until the names in these folders are on the disk, where the system knows how to.
fn sync(folders: &BTreeSet<PathBuf>) {
    for folder in folders.iter().filter_map(|folder| std::fs::File::open(folder).ok()) {
        let _ = folder.sync_all();
    }
}

/// The folders of files that are there, each once, by their whole names.
fn folders<P: AsRef<Path>>(paths: impl Iterator<Item = P>) -> BTreeSet<PathBuf> {
    paths.filter_map(|path| folder_of(path.as_ref()).canonicalize().ok()).collect()
}

/// Waits for other runs that write into these folders, where the system can lock a folder. All runs wait in the order of
/// the names, so that no two wait for each other.
fn turns(folders: &BTreeSet<PathBuf>) -> Vec<std::fs::File> {
    let opened = folders.iter().filter_map(|folder| std::fs::File::open(folder).ok());
    opened.filter(|folder| folder.lock().is_ok()).collect()
}

/// Processes that left something beside these files and are no more, or had this one's number, as in a container whose
/// first process is always 1.
fn gone(targets: &[&Path]) -> BTreeSet<u32> {
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
        for part in &self.parts {
            let _ = std::fs::remove_file(&part.waits_at);
        }
    }
}

/// The name of a file of this process beside another.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    beside_of(path, std::process::id(), ending)
}

fn beside_of(path: &Path, process: u32, ending: &str) -> PathBuf {
    let mut name: OsString = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{process}.{ending}"));
    path.with_file_name(name)
}

/// Takes back what killed runs left half done of these files.
pub(in crate::command) fn recover<P: AsRef<Path>>(targets: &[P]) {
    let targets: Vec<&Path> = targets.iter().map(AsRef::as_ref).collect();
    let _turns = turns(&folders(targets.iter()));
    for process in gone(&targets) {
        take_back(&targets, process);
    }
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
            recover(&targets);
            let expected = if killed_after == steps.len() { &new } else { &old };
            assert_eq!(&contents(at), expected, "after {killed_after} steps");
            count += 1;
        }
        assert_eq!(count, 7);
    }

    /// A lock goes with the run that held it: there is no file of it that could be left over, and the next run
    /// waits no longer than that.
    #[test]
    fn two_runs_into_one_folder_take_turns() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().to_owned();
        let other = turns(&folders([at.join("a")].iter()));
        assert_eq!(other.len(), 1, "the folder is locked");
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

    /// Two runs of unlike folders that share one, which each names last, come to their ends.
    #[test]
    fn runs_into_two_folders_take_turns_in_both() {
        let folder = tempfile::tempdir().unwrap();
        let [own, shared] = ["own", "shared"].map(|name| folder.path().join(name));
        fs::create_dir(&own).unwrap();
        fs::create_dir(&shared).unwrap();
        let other = turns(&folders([shared.join("x")].iter()));
        let waits = std::thread::spawn({
            let (own, shared) = (own.clone(), shared.clone());
            move || {
                let mut together = in_folder(&own, &["a"]);
                together.add(&shared.join("a"), b"new a").unwrap();
                // The same folder by another name is locked once.
                together.add(&shared.join("../shared/b"), b"new b").unwrap();
                together.finish().is_ok()
            }
        });
        std::thread::sleep(Duration::from_millis(200));
        assert!(!own.join("a").exists() && !waits.is_finished(), "all wait for the one that is locked");
        drop(other);
        assert!(waits.join().unwrap());
        assert_eq!(contents(&shared), said(&[("a", "new a"), ("b", "new b")]));
    }

    /// What an earlier run wrote and this one has no more goes, unless a person has made it theirs.
    #[test]
    fn what_is_retired_goes_if_it_is_as_it_was_written() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        let mut first = in_folder(at, &["a", "b", "c", "d"]);
        first.list(at);
        first.finish().unwrap();
        fs::write(at.join("c"), "changed").unwrap();
        fs::write(at.join("e"), "of others").unwrap();
        let mut second = in_folder(at, &["a"]);
        second.list(at);
        for name in ["b", "c", "e"] {
            second.retire(at.join(name));
        }
        second.finish().unwrap();
        let left: Vec<String> = contents(at).into_iter().map(|(name, _)| name).collect();
        assert_eq!(left, ["a", "c", "d", "dryledger.sha256", "e"]);
        let list = List::of(at);
        let standing = |name: &str| list.standing(&at.join(name)).unwrap();
        assert_eq!(standing("a"), Standing::AsWritten);
        assert_eq!(standing("d"), Standing::AsWritten, "what an earlier run wrote and stands there is known");
        assert_eq!(standing("c"), Standing::Changed);
        assert_eq!(standing("e"), Standing::Unlisted);
    }
}
