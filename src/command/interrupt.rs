//! How a run ends that a person ends before its time: Ctrl-C, a closed terminal, a system that shuts down.

use super::guest;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// The exit code of a run that was ended, as shells have it for Ctrl-C.
const ENDED: i32 = 130;

/// How many hold the run while files are in hand.
static IN_HAND: Mutex<usize> = Mutex::new(0);
/// Told whenever one lets go.
static LET_GO: Condvar = Condvar::new();

/// While one stands, the run is not ended: whoever asks waits until it is gone.
#[derive(Debug)]
pub(super) struct Hold(());

/// Keeps the run from being ended.
pub(super) fn hold() -> Hold {
    *in_hand() += 1;
    Hold(())
}

impl Drop for Hold {
    fn drop(&mut self) {
        *in_hand() -= 1;
        LET_GO.notify_all();
    }
}

/// From now on a run that is ended leaves nothing half done: files in hand are brought to their end, and a program that
/// works for this one ends with it.
pub(super) fn heed() {
    // Where the system has no such thing, a run is ended as any other, and the next one clears away.
    let _ = ctrlc::set_handler(|| {
        let mut holds = in_hand();
        while *holds > 0 {
            holds = LET_GO.wait(holds).unwrap_or_else(PoisonError::into_inner);
        }
        // Nobody takes hold any more.
        guest::end();
        std::process::exit(ENDED);
    });
}

fn in_hand() -> MutexGuard<'static, usize> {
    IN_HAND.lock().unwrap_or_else(PoisonError::into_inner)
}
