//! A report that is made anew whenever what it is made of changes.

use super::args::Args;
use super::files::Files;
use super::job::{Ready, judge, make};
use crate::answer::Figures;
use crate::command::Failure;
use crate::command::answer::answer;
use crate::number::{Digits, fixed};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

/// How often it is looked.
const EVERY: Duration = Duration::from_millis(500);

/// What is known of a file without reading it: when it was changed, and how long it is; nothing of one that is not there.
type Seen = BTreeMap<PathBuf, Option<(SystemTime, u64)>>;

/// Makes the report, and again after every change, until the run is ended. What is wrong is told, and may be mended.
pub(super) fn watch(args: &Args, ready: &Ready) -> Result<(), Failure> {
    loop {
        // What changes while a report is made is seen after it.
        let before = seen(args);
        let begun = Instant::now();
        match make(args, ready) {
            Ok(made) => {
                let said = made.told(|| line(&made.figures, made.out.as_deref(), begun.elapsed()));
                answer(&said)?;
                if let Err(failure) = judge(args, made) {
                    failure.show();
                }
            }
            Err(failure) => failure.show(),
        }
        wait_for_change(args, &before);
    }
}

/// Waits until a file has changed, and is no longer being written.
fn wait_for_change(args: &Args, before: &Seen) {
    let mut last = before.clone();
    loop {
        std::thread::sleep(EVERY);
        let now = seen(args);
        if now != *before && now == last {
            return;
        }
        last = now;
    }
}

/// The study and all files that it names, as they stand.
fn seen(args: &Args) -> Seen {
    let study = &args.study;
    let folder = study.parent().unwrap_or(Path::new(""));
    let mut files = vec![study.clone()];
    // A study that cannot be read names nothing, and is itself waited for.
    let table: Option<toml::Table> = std::fs::read_to_string(study).ok().and_then(|text| text.parse().ok());
    if let Some(table) = table {
        named(&toml::Value::Table(table), folder, &mut files);
    }
    let own: Vec<PathBuf> = args
        .out
        .iter()
        .map(PathBuf::as_path)
        .chain([folder])
        .flat_map(|out| {
            let files = Files { out: out.to_owned(), besides: &args.besides };
            files.targets().into_iter().map(|target| target.path().to_owned()).collect::<Vec<_>>()
        })
        .collect();
    let files = files.into_iter().filter(|file| !own.contains(file));
    files
        .map(|file| {
            let kind = std::fs::metadata(&file).ok();
            let seen = kind.and_then(|kind| Some((kind.modified().ok()?, kind.len())));
            (file, seen)
        })
        .collect()
}

/// Every text of a study that names files, whichever key it stands under: a study that is not yet right names them too.
fn named(value: &toml::Value, folder: &Path, files: &mut Vec<PathBuf>) {
    match value {
        toml::Value::String(text) => {
            let pattern = Path::new(&glob::Pattern::escape(&folder.to_string_lossy())).join(text);
            let found = glob::glob(&pattern.to_string_lossy()).into_iter().flatten().flatten();
            files.extend(found.filter(|path| path.is_file()));
        }
        toml::Value::Array(all) => all.iter().for_each(|one| named(one, folder, files)),
        toml::Value::Table(table) => table.values().for_each(|one| named(one, folder, files)),
        toml::Value::Integer(_) | toml::Value::Float(_) | toml::Value::Boolean(_) | toml::Value::Datetime(_) => {}
    }
}

/// A run in a line.
fn line(figures: &Figures, out: Option<&Path>, took: Duration) -> String {
    let best = figures.study.recommended.as_ref();
    let best = best.and_then(|best| figures.options.iter().find(|option| option.name == *best));
    let answer = match best {
        Some(best) => format!(
            "\"{}\" is best: bill {:.0} {}, net present cost {:.0}",
            best.name,
            Digits(best.total_cost),
            figures.study.currency,
            Digits(best.life_cycle.net_present_cost)
        ),
        None => "no option does the work".to_owned(),
    };
    let place = out.map_or("nothing written".to_owned(), |out| out.join("report.html").display().to_string());
    format!("{} {place}: {answer} ({} s)\n", chrono::Local::now().format("%H:%M:%S"), fixed(took.as_secs_f64(), 1))
}
