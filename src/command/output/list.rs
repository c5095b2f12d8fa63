//! The list of what was written into a folder, with digests: by it a file is known again that bears no mark of its own,
//! and one that a person has changed since.
//!
//! It has the form that `sha256sum` writes and checks.

use crate::command::digest::digest;
use crate::export::LIST;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Its name in the folder.
pub(in crate::command) const NAME: &str = "dryledger.sha256";

/// Digests of files by their names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct List(BTreeMap<String, String>);

/// How a file of a folder stands to its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// It is there as it was written.
    AsWritten,
    /// It was written, and is not what it was.
    Changed,
    /// The list does not know it.
    Unlisted,
}

impl List {
    /// That of a folder; empty where there is none that this program wrote.
    pub(super) fn of(folder: &Path) -> Self {
        let text = std::fs::read_to_string(folder.join(NAME)).unwrap_or_default();
        if !text.starts_with(LIST) {
            return Self::default();
        }
        let entries = text.lines().filter_map(|line| line.split_once("  "));
        Self(entries.map(|(digest, name)| (name.to_owned(), digest.to_owned())).collect())
    }

    /// How a file of the folder stands to it.
    pub(super) fn standing(&self, path: &Path) -> std::io::Result<Standing> {
        let Some(known) = self.0.get(&name_of(path)) else { return Ok(Standing::Unlisted) };
        let is_same = digest(&std::fs::read(path)?) == *known;
        Ok(if is_same { Standing::AsWritten } else { Standing::Changed })
    }

    /// Writes a file into it.
    pub(super) fn put(&mut self, path: &Path, digest: String) {
        self.0.insert(name_of(path), digest);
    }

    /// Strikes a file out.
    pub(super) fn strike(&mut self, path: &Path) {
        self.0.remove(&name_of(path));
    }

    /// Strikes out what stands in the folder no more.
    pub(super) fn strike_gone(&mut self, folder: &Path) {
        self.0.retain(|name, _| folder.join(name).is_file());
    }

    /// As it stands in its file.
    pub(super) fn text(&self) -> String {
        let mut text = format!("{LIST}; `sha256sum -c {NAME}` tells what was changed since\n");
        for (name, digest) in &self.0 {
            let _ = writeln!(text, "{digest}  {name}");
        }
        text
    }
}

/// The file of a folder's list.
pub(in crate::command) fn list_of(folder: &Path) -> PathBuf {
    folder.join(NAME)
}

fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_read_as_it_was_written() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        std::fs::write(at.join("a b.svg"), "drawn").unwrap();
        std::fs::write(at.join("c"), "of others").unwrap();
        let mut list = List::default();
        list.put(&at.join("a b.svg"), digest(b"drawn"));
        list.put(&at.join("gone"), digest(b"gone"));
        list.strike_gone(at);
        std::fs::write(at.join(NAME), list.text()).unwrap();
        let read = List::of(at);
        assert_eq!(read, list);
        assert_eq!(read.standing(&at.join("a b.svg")).unwrap(), Standing::AsWritten);
        assert_eq!(read.standing(&at.join("c")).unwrap(), Standing::Unlisted);
        std::fs::write(at.join("a b.svg"), "drawn, and changed").unwrap();
        assert_eq!(read.standing(&at.join("a b.svg")).unwrap(), Standing::Changed);
        // SHA-256 of `abc`: FIPS 180-4, as its examples give it.
        assert_eq!(digest(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn a_list_of_another_hand_is_none() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(NAME), format!("{}  report.pdf\n", digest(b"x"))).unwrap();
        assert_eq!(List::of(folder.path()), List::default());
    }
}
