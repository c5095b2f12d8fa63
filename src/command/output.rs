//! Files that appear whole or not at all.

mod folder_of;
mod list;
mod read;
mod target;
mod together;
mod whose;

use super::Failure;
pub(super) use list::list_of;
use list::{List, Standing};
pub(super) use read::{beginning, read_file};
use std::path::{Path, PathBuf};
pub(super) use target::Target;
use target::{check_own, check_targets};
use together::{PART, beside};
pub(super) use together::{Together, recover};
pub(super) use whose::check_whose;

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
pub(super) fn prepare(targets: &[Target], inputs: &[PathBuf], over: Over) -> Result<(), Failure> {
    let paths: Vec<&Path> = targets.iter().map(Target::path).collect();
    check_targets(&paths, inputs)?;
    recover(&paths);
    match over {
        Over::Any => Ok(()),
        Over::Own => check_own(targets),
    }
}

/// True of a file that stands as this program wrote it, by the list of its folder.
pub(super) fn is_as_written(path: &Path) -> bool {
    let list = path.parent().map(List::of).unwrap_or_default();
    list.standing(path).is_ok_and(|standing| standing == Standing::AsWritten)
}

/// Fails early if a folder cannot be written to: before a long run, not after it.
pub(super) fn check_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| Failure::file(folder, &error))?;
    let probe = beside(&folder.join("probe"), PART);
    std::fs::write(&probe, b"").map_err(|error| Failure::file(folder, &error))?;
    std::fs::remove_file(&probe).map_err(|error| Failure::file(folder, &error))
}
