//! Files that appear whole or not at all.

use super::Failure;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Files to be written together: all are written under temporary names first, then renamed, so that an
/// old report is replaced only by a finished one.
#[derive(Debug, Default)]
pub(super) struct Together {
    parts: Vec<(PathBuf, PathBuf)>,
}

impl Together {
    /// Writes one file under its temporary name.
    pub fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        let part = temporary(path);
        self.parts.push((part.clone(), path.to_owned()));
        std::fs::write(&part, bytes).map_err(|error| Failure::file(path, &error))
    }

    /// Gives all files their names.
    pub fn finish(mut self) -> Result<(), Failure> {
        while let Some((part, path)) = self.parts.first() {
            std::fs::rename(part, path).map_err(|error| Failure::file(path, &error))?;
            self.parts.remove(0);
        }
        Ok(())
    }
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
    let mut name: OsString = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    path.with_file_name(name)
}

/// Fails early if a folder cannot be written to: before a long run, not after it.
pub(super) fn check_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| Failure::file(folder, &error))?;
    let probe = temporary(&folder.join("probe"));
    std::fs::write(&probe, b"").map_err(|error| Failure::file(folder, &error))?;
    std::fs::remove_file(&probe).map_err(|error| Failure::file(folder, &error))
}
