//! `dryledger report`: the main job.

mod args;
mod files;
mod job;
mod summary;
mod watch;

use super::answer::answer;
use super::browser::Browser;
use super::{Failure, interrupt};
pub(super) use args::Args;
use job::Job;
use summary::summary;
use watch::watch;

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let besides = &args.besides;
    for (asked, is_asked) in
        [("--hourly", besides.hourly), ("--pdf", besides.pdf), ("--charts", besides.charts.is_some())]
    {
        if is_asked && args.setting.is_used() && args.out.is_none() {
            let what = format!("{asked} with --set writes nothing");
            return Err(Failure::asked(what, "name a folder for the files: --out DIR"));
        }
    }
    let job = Job { args, changes: args.setting.changes()?, browser: besides.pdf.then(Browser::find).transpose()? };
    interrupt::heed();
    if args.watch {
        return watch(&job);
    }
    let made = job.make()?;
    let summary = || made.told(|| summary(&made.figures, made.out.as_deref()));
    answer(&if args.json { made.json.clone() } else { summary() })?;
    job.judge(made)
}
