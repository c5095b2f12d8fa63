//! `dryledger report`: the main job.

mod args;
mod files;
mod job;
mod summary;
mod watch;

use super::answer::answer;
use super::{Failure, interrupt};
pub(super) use args::Args;
use job::{Ready, judge, make};
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
    let ready = Ready::of(args)?;
    interrupt::heed();
    if args.watch {
        return watch(args, &ready);
    }
    let made = make(args, &ready)?;
    let summary = || made.told(|| summary(&made.figures, made.out.as_deref()));
    answer(&if args.json { made.json.clone() } else { summary() })?;
    judge(args, made)
}
