//! Files that are to be written: what may not be written over.

use super::folder_of::folder_of;
use super::list::{self, List, Standing};
use super::read::beginning;
use crate::command::Failure;
use crate::export::{Wrote, wrote};
use std::path::{Path, PathBuf};

/// A file that a command writes, and how an earlier one of its own is known again.
#[derive(Clone, Debug)]
pub(in crate::command) struct Target {
    path: PathBuf,
    /// How it begins; `None` of what bears no mark, and is known by the list of its folder alone.
    mark: Option<Wrote>,
}

impl Target {
    /// A file that says by itself who wrote it.
    pub(in crate::command) fn marked(path: impl Into<PathBuf>, mark: Wrote) -> Self {
        Self { path: path.into(), mark: Some(mark) }
    }

    /// A file that does not.
    pub(in crate::command) fn listed(path: impl Into<PathBuf>) -> Self {
        Self { path: path.into(), mark: None }
    }

    /// Where it stands.
    pub(in crate::command) fn path(&self) -> &Path {
        &self.path
    }

    /// Why this program may not write over what stands there; nothing where it may: it wrote it as it is, or it is empty.
    fn of_others(&self) -> std::io::Result<Option<String>> {
        let beginning = beginning(&self.path)?;
        if beginning.is_empty() {
            return Ok(None);
        }
        let cure = "name another, move this one, or give --force to write over it";
        Ok(match List::of(folder_of(&self.path)).standing(&self.path)? {
            Standing::AsWritten => None,
            Standing::Changed => {
                Some(format!("dryledger did not write this file as it stands, it was changed since; {cure}"))
            }
            Standing::Unlisted => match self.mark {
                Some(mark) if wrote(&beginning) == Some(mark) => None,
                Some(_) => Some(format!("dryledger did not write this file; {cure}")),
                None => {
                    let list = list::NAME;
                    Some(format!("dryledger did not write this file, {list} does not list it; {cure}"))
                }
            },
        })
    }
}

/// Refuses to write over what this program did not write.
pub(super) fn check_own(targets: &[Target]) -> Result<(), Failure> {
    for target in targets.iter().filter(|target| target.path.exists()) {
        if let Some(cause) = target.of_others().map_err(|error| Failure::file(&target.path, &error))? {
            return Err(Failure::File { path: target.path.clone(), cause });
        }
    }
    Ok(())
}

/// Refuses to write over what is no file (a folder, a pipe, a device), or over one of the command's own inputs.
pub(super) fn check_targets(targets: &[&Path], inputs: &[PathBuf]) -> Result<(), Failure> {
    let refused = |path: &Path, cause: &str| Err(Failure::File { path: path.to_owned(), cause: cause.to_owned() });
    for &target in targets {
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
