//! The answer on stdout.

use super::Failure;
use crate::printable::printable;
use std::io::{ErrorKind, Write};

/// Writes the answer. A reader who has seen enough and closed the pipe (`| head`) is no failure.
pub(super) fn answer(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(printable(text).as_bytes()).and_then(|()| out.flush()) {
        Err(cause) if cause.kind() != ErrorKind::BrokenPipe => Err(Failure::file("standard output", &cause)),
        _ => Ok(()),
    }
}
