//! `dryledger compare`: what differs between studies or their reports, and what comes of it.

use super::answer::answer;
use super::answering::{Wanted, answered};
use super::output::Target;
use super::setting::Setting;
use super::{Failure, folder, output};
use crate::answer::{Answered, Differences, Headline, InputDifference, Told, differences, letter};
use crate::export::{self, Wrote};
use crate::ledger::Detail;
use crate::page::compared_page;
use crate::problem::Problem;
use serde_json::Value;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Hold studies, or the reports that were made of them, beside each other
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples: dryledger compare before.toml after.toml\n\
              dryledger compare reports/2031 reports/2032 reports/2033\n\
              dryledger compare study.toml --set crop.received_moisture=26\n\
    Shows which inputs differ and what that does to every headline. A study is computed now, with its own\n\
    values and no draws; of a finished report its figures.json is read. With --set, a study is compared\n\
    with itself as it is with those values. Writes no file but the page of --html, which shows every headline.")]
pub(super) struct Args {
    /// Study files, folders of reports, or figures.json files; the others are held against the first
    #[arg(required = true, num_args = 1.., value_name = "STUDY OR REPORT")]
    subjects: Vec<PathBuf>,
    #[command(flatten)]
    setting: Setting,
    /// Show every headline, one below the other, those too that are the same in all
    #[arg(long)]
    all: bool,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
    /// Write it as a page: every input that differs, and every headline
    #[arg(long, value_name = "HTML")]
    html: Option<PathBuf>,
    #[command(flatten)]
    force: output::Force,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let changes = args.setting.changes()?;
    if args.subjects.len() < 2 && changes.is_empty() {
        let cure = "name a second study or report, or change this one with --set PATH=VALUE";
        return Err(Failure::asked("there is nothing to compare it with", cure));
    }
    if args.subjects.len() > 1 && !changes.is_empty() {
        let cure = "name one study: it is compared with itself as it is with those values";
        return Err(Failure::asked("--set changes one study, and several are named", cure));
    }
    let targets: Vec<Target> = args.html.iter().map(|page| Target::marked(page, Wrote::Page)).collect();
    output::prepare(&targets, &args.subjects, args.force.over())?;
    let mut reports = Vec::new();
    for subject in &args.subjects {
        reports.push((subject.display().to_string(), figures_of(subject)?));
    }
    if !changes.is_empty() {
        let words: Vec<String> =
            changes.iter().map(|change| format!("{}={}", change.path, change.value_text())).collect();
        let opened = folder::open(&args.subjects[0], &changes)?;
        reports.push((format!("with {}", words.join(" ")), computed(&opened)?));
    }
    let found = differences(&reports);
    if let Some(path) = &args.html {
        let mut files = output::Together::default();
        files.add(path, compared_page(&found).as_bytes())?;
        files.finish()?;
    }
    let said = if args.json { export::differences_json(&found)? } else { in_words(&found, args.all) };
    answer(&said)
}

/// The figures of a study, or of a report that is there.
fn figures_of(subject: &Path) -> Result<Value, Failure> {
    let file = if subject.is_dir() { subject.join("figures.json") } else { subject.to_owned() };
    if file.extension().is_none_or(|ending| ending != "json") {
        return computed(&folder::open(&file, &[])?);
    }
    let bytes = output::read_file(&file)?;
    let figures: Option<Value> = serde_json::from_slice(&bytes).ok();
    let is_report = |figures: &Value| figures["options"].is_array() && figures["assumptions"].is_array();
    figures.filter(is_report).ok_or_else(|| {
        Problem::said("this is not the figures of a report")
            .expected("a figures.json that `dryledger report` wrote")
            .cure("name a study, the folder of its report, or the figures.json in it")
            .placed(&file.display().to_string(), None)
            .into()
    })
}

/// The figures of a study with its own values, without draws.
fn computed(opened: &folder::Opened) -> Result<Value, Failure> {
    opened.warn();
    let wanted = Wanted { drawn: None, screening: false, detail: Detail::Site };
    let Answered { figures, .. } = answered(opened, wanted)?;
    let json = export::figures_json(&figures)?;
    Ok(serde_json::from_str(&json).unwrap_or_default())
}

/// Inputs shown on a terminal; the others are counted.
const MOST_INPUTS: usize = 30;
/// Longest value shown, characters.
const LONGEST_VALUE: usize = 24;

fn in_words(found: &Differences, all: bool) -> String {
    let mut text = String::new();
    for (at, subject) in found.subjects.iter().enumerate() {
        let _ = writeln!(text, "{}: {} ({})", letter(at), subject.title, subject.name);
    }
    if found.currencies_differ {
        let codes: Vec<&str> = found.subjects.iter().map(|subject| subject.currency.as_str()).collect();
        let _ = writeln!(text, "currencies differ ({}): nothing in money is compared", codes.join(", "));
    }
    text.push_str("\ninputs that differ\n");
    if found.inputs.is_empty() && found.files.is_empty() {
        text.push_str("  none\n");
    }
    let alone = options_alone(found);
    for (name, whose) in &alone {
        let _ = writeln!(text, "  option \"{name}\": in {whose} alone");
    }
    let of_option = |path: &str| alone.iter().any(|(name, _)| path.starts_with(&format!("option.{name}.")));
    let inputs: Vec<&InputDifference> = found.inputs.iter().filter(|input| !of_option(&input.path)).collect();
    for input in inputs.iter().take(MOST_INPUTS) {
        let _ = writeln!(text, "  {}: {}", input.path, values_in_words(input));
    }
    if inputs.len() > MOST_INPUTS {
        let _ = writeln!(text, "  and {} more; --json lists them", inputs.len() - MOST_INPUTS);
    }
    for file in &found.files {
        let _ = writeln!(text, "  {}: {}", file.path, file.whose_file());
    }
    text.push_str(&if all { every_headline(found) } else { on_one_screen(found) });
    if !found.headlines.iter().any(Headline::differs) {
        text.push_str("  no headline differs\n");
    }
    text
}

/// Options that are not in all of them, with those that they are in.
fn options_alone(found: &Differences) -> Vec<(&str, String)> {
    let bills = found.headlines.iter().filter(|headline| headline.name == WORK);
    let alone = bills.filter(|bill| bill.values.contains(&None)).filter_map(|bill| {
        let whose: Vec<String> = (0..bill.values.len()).filter(|&at| bill.values[at].is_some()).map(letter).collect();
        Some((bill.option.as_deref()?, whose.join(", ")))
    });
    alone.collect()
}

/// Headlines of an option that are told on one screen, each with a head that fits its column.
const ON_SCREEN: [(&str, &str); 6] = [
    ("bill", "bill"),
    ("net present cost", "present cost"),
    ("purchased energy", "purchased"),
    ("electric peak", "electric peak"),
    ("carbon", "carbon"),
    ("heat need", "heat need"),
];
/// The headline without which the others are no measure.
const WORK: &str = "does the work";

/// Its head on one screen; `None` where it is not told there.
fn head(headline: &Headline) -> Option<&'static str> {
    ON_SCREEN.iter().find(|(name, _)| *name == headline.name).map(|(_, head)| *head)
}

/// What differs of the study, and the main headlines of every option of which one differs.
fn on_one_screen(found: &Differences) -> String {
    let mut text = String::from("\n");
    for headline in found.headlines.iter().filter(|headline| headline.option.is_none() && headline.differs()) {
        let said: Vec<String> = (0..headline.values.len())
            .map(|at| format!("{}: {} {}", letter(at), headline.told(at), headline.changed(at)).trim_end().to_owned())
            .collect();
        let unit = if headline.unit.is_empty() { String::new() } else { format!(", {}", headline.unit) };
        let _ = writeln!(text, "{}{unit}: {}", headline.name, said.join("; "));
    }
    let mut options: Vec<(&str, Vec<&Headline>)> = Vec::new();
    for headline in found.headlines.iter().filter(|headline| head(headline).is_some()) {
        let Some(name) = headline.option.as_deref() else { continue };
        match options.last_mut() {
            Some((last, all)) if *last == name => all.push(headline),
            Some(_) | None => options.push((name, vec![headline])),
        }
    }
    let is_other = |(_, all): &(&str, Vec<&Headline>)| all.iter().any(|headline| headline.differs());
    let (differing, same): (Vec<_>, Vec<_>) = options.into_iter().partition(is_other);
    if let Some((_, heads)) = differing.first() {
        for of in [
            |headline: &Headline| head(headline).unwrap_or_default().to_owned(),
            |headline: &Headline| headline.unit.clone(),
        ] {
            let _ = write!(text, "\n{:<4}", "");
            for headline in heads {
                let _ = write!(text, "{:>16}", of(headline));
            }
        }
        text.push('\n');
    }
    for (option, all) in &differing {
        let _ = writeln!(text, "{option}");
        for at in 0..found.subjects.len() {
            let cell = |headline: &&Headline| {
                let said = format!("{} {:>8}", headline.told(at), headline.changed(at));
                format!("{said:>16}")
            };
            let row: String = all.iter().map(cell).collect();
            let _ = writeln!(text, "{}", format!("  {:<2}{row}", letter(at)).trim_end());
            let mut works = found.headlines.iter().filter(|headline| headline.name == WORK);
            let work = works.find(|headline| headline.option.as_deref() == Some(option));
            if work.is_some_and(|work| work.values[at] == Some(Told::Words("no".to_owned()))) {
                text.push_str("      does not do the work, so that its cost is no measure\n");
            }
        }
    }
    if !same.is_empty() {
        let names: Vec<&str> = same.iter().map(|(name, _)| *name).collect();
        let _ = writeln!(text, "the same in all: {}", names.join("; "));
    }
    text
}

/// Every headline, one below the other.
fn every_headline(found: &Differences) -> String {
    let lengths = found.headlines.iter().map(|headline| headline.name.chars().count() + headline.unit.chars().count());
    let width = lengths.max().unwrap_or(0) + 5;
    let mut text = format!("\n{:<width$}", "");
    for at in 0..found.subjects.len() {
        let _ = write!(text, "{:>14}{:>9}", letter(at), if at > 0 { "change" } else { "" });
    }
    text.push('\n');
    let mut of: Option<&str> = None;
    for headline in &found.headlines {
        if headline.option.as_deref() != of {
            of = headline.option.as_deref();
            let _ = writeln!(text, "option \"{}\"", of.unwrap_or_default());
        }
        let unit = if headline.unit.is_empty() { String::new() } else { format!(", {}", headline.unit) };
        let mut row = format!("{:<width$}", format!("  {}{unit}", headline.name));
        for at in 0..headline.values.len() {
            let _ = write!(row, "{:>14}{:>9}", headline.told(at), headline.changed(at));
        }
        let _ = writeln!(text, "{}", row.trim_end());
    }
    text
}

fn values_in_words(input: &InputDifference) -> String {
    input.told(" -> ", |value| {
        if value.chars().count() > LONGEST_VALUE {
            value.chars().take(LONGEST_VALUE).chain("...".chars()).collect()
        } else {
            value.to_owned()
        }
    })
}
