//! `dryledger check`: reads everything, computes nothing.

use super::answer::answer;
use super::hung::hung;
use super::setting::Setting;
use super::{Failure, folder};
use crate::answer::set_words;
use crate::problem::{Problem, Severity};
use crate::study::input::{Input, Origin};
use crate::weather::WeatherYear;
use serde_json::{Value, json};
use std::fmt::Write;
use std::path::PathBuf;

/// Read a study and all it names; show what is wrong and which defaults are in use
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger check reports/demo/study.toml\n\
    Every fault is told at once, with file, line and column, and what to do. Inputs that are possible\n\
    but unlikely are warnings. Nothing is computed and nothing is written.")]
pub(super) struct Args {
    /// The study file
    study: PathBuf,
    #[command(flatten)]
    setting: Setting,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
}

/// A value that the study left to the tool, and what it rests on.
struct Default<'a> {
    input: &'a Input,
    source: &'a str,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let opened = folder::open(&args.study, &args.setting.changes()?)?;
    opened.drawn(None)?;
    let mut warnings = opened.warnings.clone();
    warnings.extend(opened.weather.remarks.iter().cloned());
    let defaults: Vec<Default<'_>> = opened
        .inputs()
        .iter()
        .filter_map(|input| match &input.origin {
            Origin::Default { source } => Some(Default { input, source }),
            Origin::Given { .. } | Origin::Set => None,
        })
        .collect();
    if args.json {
        let object = as_json(&opened, &warnings, &defaults);
        return answer(&format!("{object}\n"));
    }
    answer(&as_text(&opened, &warnings, &defaults))
}

fn as_json(opened: &folder::Opened, warnings: &[Problem], defaults: &[Default<'_>]) -> Value {
    let study = opened.study();
    let mut object = json!({
        "study": study.title,
        "options": study.heatings.iter().map(|heating| &heating.name).collect::<Vec<_>>(),
        "weather_years": opened.weather.years.iter().map(|year| &year.label).collect::<Vec<_>>(),
        "weather_notes": opened.weather.figures.notes,
        "given": opened.inputs().len() - defaults.len(),
        "warnings": of_severity(warnings, Severity::Warning),
        "notes": of_severity(warnings, Severity::Note),
        "defaults": defaults.iter().map(|default| json!({
            "path": default.input.path,
            "value": default.input.value_text,
            "unit": default.input.unit,
            "source": default.source,
        })).collect::<Vec<_>>(),
    });
    if !opened.written.set.is_empty() {
        object["set"] = json!(opened.written.set);
    }
    object
}

fn of_severity(findings: &[Problem], severity: Severity) -> Vec<&Problem> {
    findings.iter().filter(|finding| finding.severity == severity).collect()
}

fn as_text(opened: &folder::Opened, warnings: &[Problem], defaults: &[Default<'_>]) -> String {
    let study = opened.study();
    let options = study.heatings.iter().map(|heating| heating.name.as_str());
    let mut text = format!("{}\n", study.title);
    let mut row = |name: &str, value: &str| {
        let _ = writeln!(text, "{}", hung(&format!("  {name:<9}"), value));
    };
    row("options", &options.collect::<Vec<_>>().join("; "));
    if !study.scenarios.is_empty() {
        let scenarios: Vec<&str> = study.scenarios.iter().map(|scenario| scenario.name.as_str()).collect();
        row("scenario", &scenarios.join("; "));
    }
    row("weather", &weather_in_words(&opened.weather.years));
    let given = opened.inputs().len() - defaults.len();
    for set in &opened.written.set {
        row("set", &set_words(set));
    }
    row("inputs", &format!("{given} given, {} by default", defaults.len()));
    for (severity, head) in
        [(Severity::Warning, "\nPossible, but look again:\n"), (Severity::Note, "\nWorth knowing:\n")]
    {
        let told = of_severity(warnings, severity);
        if !told.is_empty() {
            text.push_str(head);
        }
        for finding in told {
            let _ = writeln!(text, "{}", hung("  - ", &finding.sentence()));
        }
    }
    text.push_str("\nDefaults in use; give the key to replace one.\n");
    let mut table = "";
    for default in defaults {
        let (of, key) = table_and_key(&default.input.path);
        if of != table {
            table = of;
            let _ = writeln!(text, "\n{table}");
        }
        let _ = writeln!(text, "  {key} = {}", value_in_words(default.input));
        let _ = writeln!(text, "{}", hung("      ", default.source));
    }
    text.push_str("\nThe study can be run: dryledger report ");
    let _ = writeln!(text, "{}", opened.written.name);
    text
}

/// A value with its unit; computed defaults have more digits than anyone wants to read.
fn value_in_words(input: &Input) -> String {
    let value = match input.number {
        Some(number) if input.value_text.len() > 8 => format!("{number:.4}"),
        _ => input.value_text.clone(),
    };
    let unit = input.unit.trim_matches('-');
    format!("{value} {unit}").trim_end().to_owned()
}

fn weather_in_words(years: &[WeatherYear]) -> String {
    let labels: Vec<&str> = years.iter().map(|year| year.label.as_str()).collect();
    let hours = years.first().map_or(0, |year| year.season_hours);
    let seasons = if years.len() == 1 { "season" } else { "seasons" };
    format!("{} {seasons} of {hours} h: {}", years.len(), labels.join(", "))
}

/// `crop` and `safe_wait` of `crop.safe_wait`. Names of sources and options may hold a dot; keys do not.
fn table_and_key(path: &str) -> (&str, &str) {
    path.rsplit_once('.').unwrap_or(("", path))
}
