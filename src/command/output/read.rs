//! Bytes of files that a person named.

use crate::command::Failure;
use crate::export::TELLING;
use std::io::Read;
use std::path::Path;

/// The bytes of a file that a person named. A pipe or a device has no end that can be waited for.
pub(in crate::command) fn read_file(path: &Path) -> Result<Vec<u8>, Failure> {
    let kind = std::fs::metadata(path).map_err(|error| Failure::file(path, &error))?;
    if !kind.is_file() && !kind.is_dir() {
        return Err(Failure::File {
            path: path.to_owned(),
            cause: "a pipe or a device, not a file; write what it gives into a file first".to_owned(),
        });
    }
    std::fs::read(path).map_err(|error| Failure::file(path, &error))
}

/// How a file begins.
pub(in crate::command) fn beginning(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(TELLING as u64).read_to_end(&mut bytes)?;
    Ok(bytes)
}
