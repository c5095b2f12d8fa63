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
            cause: "a pipe or a device, not a file; write what it gives into a file first"
                .to_owned(),
        });
    }
    std::fs::read(path).map_err(|error| Failure::file(path, &error))
}

/// Refuses to write over what is no file (a folder, a pipe, a device), or over one of the command's own
/// inputs: before anything is computed.
pub(super) fn check_targets(targets: &[PathBuf], inputs: &[PathBuf]) -> Result<(), Failure> {
    let refused = |path: &Path, cause: &str| {
        Err(Failure::File { path: path.to_owned(), cause: cause.to_owned() })
    };
    for target in targets {
        match std::fs::metadata(target) {
            Ok(kind) if kind.is_dir() => {
                return refused(
                    target,
                    "a folder is in the way of the file to be written; move it",
                );
            }
            Ok(kind) if !kind.is_file() => {
                return refused(
                    target,
                    "a pipe or a device, and a file is to be written; name a file",
                );
            }
            Ok(_) | Err(_) => {}
        }
        let whole = target.canonicalize();
        if let Ok(whole) = whole
            && inputs.iter().any(|input| input.canonicalize().is_ok_and(|input| input == whole))
        {
            return refused(
                target,
                "is read by this command and would be written over; name another file",
            );
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
    pub fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        check_targets(&[path.to_owned()], &[])?;
        clear_leftovers(path);
        let part = temporary(path);
        self.parts.push((part.clone(), path.to_owned()));
        write_through(&part, bytes).map_err(|error| Failure::file(path, &error))
    }

    /// Gives all files their names. If one cannot have its name, those before it get their old contents
    /// back, so that no report is a mixture. Two runs into one folder take turns.
    pub fn finish(mut self) -> Result<(), Failure> {
        let _turn = self.parts.first().and_then(|(_, path)| turn_in(path));
        let mut done: Vec<(PathBuf, PathBuf, bool)> = Vec::new();
        while let Some((part, path)) = self.parts.first().cloned() {
            // A second name of the old file, so that it is never away.
            let old = beside(&path, "old");
            let is_kept = std::fs::hard_link(&path, &old).is_ok();
            if let Err(error) = std::fs::rename(&part, &path) {
                let _ = std::fs::remove_file(&old);
                for (old, path, is_kept) in &done {
                    let _ = if *is_kept {
                        std::fs::rename(old, path)
                    } else {
                        std::fs::remove_file(path)
                    };
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

/// Takes away what killed runs left beside this file: parts and second names of processes that are no more.
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
        if process.is_some_and(is_no_more) {
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
