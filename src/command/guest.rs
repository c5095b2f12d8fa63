//! Another program that works for this one, with a folder of its own to work in: it ends with all that it began, and the
//! folder goes with it.

use super::beside::say_beside;
use std::io;
use std::path::Path;
use std::process::{Child, Command, ExitStatus};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// The one that is at work, for a run that is ended meanwhile.
static AT_WORK: Mutex<Option<Guest>> = Mutex::new(None);

/// A program at work.
struct Guest {
    child: Child,
    desk: TempDir,
}

impl Guest {
    /// Ends it and all that it began, and waits until it is gone.
    fn end(&mut self) {
        #[cfg(unix)]
        if let Ok(group) = i32::try_from(self.child.id()) {
            use nix::sys::signal::{Signal, killpg};
            let _ = killpg(nix::unistd::Pid::from_raw(group), Signal::SIGKILL);
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// Clears its folder away. What it began may write into it for a moment yet.
    fn clear(self) {
        let path = self.desk.keep();
        let is_cleared = (0..5).any(|turn| {
            std::thread::sleep(Duration::from_millis(100 * turn));
            std::fs::remove_dir_all(&path).is_ok()
        });
        if !is_cleared && path.exists() {
            say_beside(&format!("{} could not be cleared away; nothing needs it any more", path.display()));
        }
    }
}

/// How a program's work ended.
#[derive(Debug)]
pub(super) enum Ending {
    /// By itself.
    Ended(ExitStatus),
    /// Not in the time that it was given.
    OutOfTime,
}

/// A folder that this user alone may read, for a program to work in.
pub(super) fn desk() -> io::Result<TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix("dryledger-print-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o700));
    builder.tempdir()
}

/// Lets a program work at a desk, for as long as this at most; then what it has made is taken from the desk.
pub(super) fn work<T>(
    mut command: Command,
    desk: TempDir,
    patience: Duration,
    take: impl FnOnce(&Path, &Ending) -> T,
) -> io::Result<T> {
    #[cfg(unix)]
    {
        use std::os::unix::process::CommandExt;
        // A group of its own, so that it can be ended with all that it began.
        command.process_group(0);
    }
    {
        // Whoever ends the run waits until it is known.
        let mut place = at_work();
        *place = Some(Guest { child: command.spawn()?, desk });
    }
    let begun = Instant::now();
    let mut ending = None;
    while ending.is_none() {
        if begun.elapsed() > patience {
            ending = Some(Ending::OutOfTime);
        } else {
            // Not held while waiting: whoever ends the run ends the program too.
            std::thread::sleep(Duration::from_millis(20));
            ending = match at_work().as_mut().map(|guest| guest.child.try_wait()) {
                Some(Ok(None)) => None,
                Some(Ok(Some(status))) => Some(Ending::Ended(status)),
                Some(Err(error)) => {
                    end();
                    return Err(error);
                }
                None => return Err(io::ErrorKind::Interrupted.into()),
            };
        }
    }
    let (Some(mut guest), Some(ending)) = (at_work().take(), ending) else {
        return Err(io::ErrorKind::Interrupted.into());
    };
    // Whatever it began has nothing more to do, however it ended itself.
    guest.end();
    let taken = take(guest.desk.path(), &ending);
    guest.clear();
    Ok(taken)
}

/// Ends the program that is at work, if one is, and clears its desk.
pub(super) fn end() {
    if let Some(mut guest) = at_work().take() {
        guest.end();
        guest.clear();
    }
}

fn at_work() -> MutexGuard<'static, Option<Guest>> {
    AT_WORK.lock().unwrap_or_else(PoisonError::into_inner)
}
