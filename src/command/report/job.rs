//! A report from its study to its files.

use super::args::Args;
use super::files::Files;
use crate::answer::{Figures, guards_of_options, weather_doubts};
use crate::command::answering::{Wanted, answered};
use crate::command::browser::Browser;
use crate::command::{Failure, folder};
use crate::export;
use crate::ledger::Detail;
use crate::number::{Reader, telling};
use crate::problem::Problem;
use crate::study::Change;
use chrono::{DateTime, NaiveDate};
use std::path::PathBuf;

/// What is made ready before a study is read.
pub(super) struct Ready {
    /// What is set for this run.
    changes: Vec<Change>,
    browser: Option<Browser>,
}

impl Ready {
    pub(super) fn of(args: &Args) -> Result<Self, Failure> {
        let browser = args.besides.pdf.then(Browser::find).transpose()?;
        Ok(Self { changes: args.setting.changes()?, browser })
    }
}

/// A report that was made.
pub(super) struct Made {
    pub(super) figures: Figures,
    /// The same as files and programs have it.
    pub(super) json: String,
    reader: Reader,
    /// Where it was written.
    pub(super) out: Option<PathBuf>,
    /// Why it was not printed, though that was asked for.
    not_printed: Option<Failure>,
}

impl Made {
    /// Words in the units and the writing of the study's reader.
    pub(super) fn told(&self, tell: impl FnOnce() -> String) -> String {
        self.reader.listens(|| telling(tell))
    }
}

/// Reads, computes and writes.
pub(super) fn make(args: &Args, ready: &Ready) -> Result<Made, Failure> {
    let run_date = run_date()?;
    let opened = folder::open(&args.study, &ready.changes)?;
    let study = opened.study();
    opened.warn();
    let drawn = opened.drawn(args.samples)?;
    let files = folder_of(args, &opened).map(|out| Files { out, besides: &args.besides });
    if let Some(files) = &files {
        let inputs: Vec<PathBuf> = opened.files().map(|file| opened.written.folder.join(&file.file)).collect();
        files.prepare((&args.study, &study.title), &inputs, args.force.over())?;
    }

    let detail = if args.besides.hourly { Detail::Rooms } else { Detail::Site };
    let reader = study.reader;
    let screening = args.trying.is_wanted(study);
    let wanted = Wanted { drawn: drawn.as_ref(), screening, detail };
    let answered = reader.listens(|| answered(&opened, wanted))?;
    // A figure that is no number is told even where nothing is written.
    let json = export::figures_json(&answered.figures)?;
    let not_printed = match &files {
        None => None,
        Some(files) => files.write(study, (&answered, &json), (ready.browser.as_ref(), run_date))?,
    };
    Ok(Made { figures: answered.figures, json, reader, out: files.map(|files| files.out), not_printed })
}

/// Where the report is written: nowhere where values were set for this run alone and no folder was named, so that
/// the study's own report stays what the study says.
fn folder_of(args: &Args, opened: &folder::Opened) -> Option<PathBuf> {
    let own = (!args.setting.is_used()).then(|| opened.written.folder.clone());
    args.out.clone().or(own)
}

/// What is to be said against a report that was made.
pub(super) fn judge(args: &Args, made: Made) -> Result<(), Failure> {
    if let Some(failure) = made.not_printed {
        return Err(failure);
    }
    let broken = broken(&made.figures);
    if args.strict && !broken.is_empty() {
        return Err(Failure::Guard(broken.join("; and ")));
    }
    Ok(())
}

/// What ends a run with 1 under `--strict`: `guards fired: gas: heat-short (27.0 kW; at most 0.0 kW)`, and
/// doubts about the weather.
fn broken(figures: &Figures) -> Vec<String> {
    let fired: Vec<String> = guards_of_options(&figures.options)
        .iter()
        .map(|fired| {
            let who = if fired.in_all { "all options".to_owned() } else { fired.options.join(", ") };
            format!("{who}: {} ({})", fired.guard.key, fired.against_limit())
        })
        .collect();
    let doubts: Vec<&str> =
        weather_doubts(figures).filter(|doubt| !doubt.is_note).map(|doubt| &*doubt.sentence).collect();
    let said = [("guards fired", fired.join("; ")), ("doubts about the weather", doubts.join("; "))];
    let said = said.into_iter().filter(|(_, what)| !what.is_empty());
    said.map(|(of, what)| format!("{of}: {what}")).collect()
}

/// The run's date: today, or `SOURCE_DATE_EPOCH` so that a report can be reproduced byte for byte.
fn run_date() -> Result<NaiveDate, Failure> {
    match std::env::var("SOURCE_DATE_EPOCH") {
        Err(_) => Ok(chrono::Local::now().date_naive()),
        Ok(text) => text
            .parse()
            .ok()
            .and_then(|seconds| DateTime::from_timestamp(seconds, 0))
            .map(|time| time.date_naive())
            .ok_or_else(|| {
                Problem::said(format!("SOURCE_DATE_EPOCH is `{text}`"))
                    .expected("seconds since 1970")
                    .cure("unset it or mend it")
                    .into()
            }),
    }
}
