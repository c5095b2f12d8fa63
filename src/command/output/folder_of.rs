//! The folder of a file.

use std::path::Path;

/// The folder that a file stands in; a bare name stands in this one.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}
