//! Files that appear whole or not at all.

use super::Failure;
use std::ffi::OsString;
use std::io::Write;
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

/// Refuses to write over what is no file (a folder, a pipe, a device), or over one of the command's own
/// inputs: before anything is computed.
pub(super) fn check_targets(targets: &[PathBuf], inputs: &[PathBuf]) -> Result<(), Failure> {
    let refused = |path: &Path, cause: &str| Err(Failure::File { path: path.to_owned(), cause: cause.to_owned() });
    for target in targets {
        match std::fs::metadata(target) {
            Ok(kind) if kind.is_dir() => {
                return refused(target, "a folder is in the way of the file to be written; move it");
            }
            Ok(kind) if !kind.is_file() => {
                return refused(target, "a pipe or a device, and a file is to be written; name a file");
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

/// Files to be written together: all are written under temporary names first, then renamed, so that an
/// old report is replaced only by a finished one.
#[derive(Debug, Default)]
pub(super) struct Together {
    parts: Vec<(PathBuf, PathBuf)>,
}

impl Together {
    /// Writes one file under its temporary name.
    pub(super) fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        check_targets(&[path.to_owned()], &[])?;
        clear_leftovers(path);
        let part = temporary(path);
        self.parts.push((part.clone(), path.to_owned()));
        write_through(&part, bytes).map_err(|error| Failure::file(path, &error))
    }

    /// Gives all files their names. If one cannot have its name, those before it get their old contents
    /// back, so that no report is a mixture. Two runs into one folder take turns.
    pub(super) fn finish(mut self) -> Result<(), Failure> {
        let _turn = self.parts.first().and_then(|(_, path)| turn_in(path));
        let mut done: Vec<(PathBuf, PathBuf, bool)> = Vec::new();
        while let Some((part, path)) = self.parts.first().cloned() {
            // A second name of the old file, so that it is never away; a copy, where a disk knows one name alone.
            let old = beside(&path, "old");
            let is_kept = std::fs::hard_link(&path, &old).or_else(|_| std::fs::copy(&path, &old).map(|_| ())).is_ok();
            if let Err(error) = std::fs::rename(&part, &path) {
                let _ = std::fs::remove_file(&old);
                for (old, path, is_kept) in &done {
                    let _ = if *is_kept { std::fs::rename(old, path) } else { std::fs::remove_file(path) };
                }
                return Err(Failure::file(&path, &error));
            }
            done.push((old, path, is_kept));
            self.parts.remove(0);
        }
        for (old, _, _) in &done {
            let _ = std::fs::remove_file(old);
        }
        Ok(())
    }
}

/// Writes a file and waits until it is on the disk.
fn write_through(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Waits for other runs that write into this file's folder, where the system can lock a folder.
fn turn_in(path: &Path) -> Option<std::fs::File> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = std::fs::File::open(folder.unwrap_or(Path::new("."))).ok()?;
    folder.lock().ok().map(|()| folder)
}

/// Takes away what killed runs left beside this file: parts and second names of processes that are no more, or
/// had this one's number, as in a container whose first process is always 1.
fn clear_leftovers(path: &Path) {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let Ok(entries) = std::fs::read_dir(folder.unwrap_or(Path::new("."))) else {
        return;
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned() + ".";
    for entry in entries.flatten() {
        let found = entry.file_name().to_string_lossy().into_owned();
        let process = found
            .strip_prefix(&name)
            .and_then(|rest| rest.strip_suffix(".part").or(rest.strip_suffix(".old")))
            .and_then(|process| process.parse::<u32>().ok());
        if process.is_some_and(|process| process == std::process::id() || is_no_more(process)) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
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

fn temporary(path: &Path) -> PathBuf {
    beside(path, "part")
}

/// The name of a file of this process beside another.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name: OsString = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.{ending}", std::process::id()));
    path.with_file_name(name)
}

/// Fails early if a folder cannot be written to: before a long run, not after it.
pub(super) fn check_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| Failure::file(folder, &error))?;
    let probe = temporary(&folder.join("probe"));
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

    /// A killed run of the same number left its second name of an older report: it is not taken for the old one.
    #[test]
    fn a_leftover_of_the_same_number_is_not_given_back() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        fs::write(at.join("a"), "old a").unwrap();
        fs::write(beside(&at.join("a"), "old"), "older a").unwrap();
        let together = in_folder(at, &["a", "b"]);
        fs::create_dir(at.join("b")).unwrap();
        assert!(together.finish().is_err());
        assert_eq!(contents(at), said(&[("a", "old a"), ("b", "")]));
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
