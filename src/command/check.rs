//! `dryledger check`: reads everything, computes nothing.

use super::{Failure, folder, output};
use crate::study::input::Origin;
use serde_json::json;
use std::fmt::Write;
use std::path::PathBuf;

/// Read a study and all it names; show what is wrong and which defaults are in use
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger check reports/demo/study.toml")]
pub struct Args {
    /// The study file
    study: PathBuf,
    /// Print JSON alone
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let opened = folder::open(&args.study)?;
    let weather = folder::open_weather(&opened)?;
    let study = &opened.reading.value;
    folder::check_target(&opened, &weather)?;
    let inputs = &opened.reading.inputs;
    let defaults: Vec<_> = inputs
        .iter()
        .filter_map(|input| match &input.origin {
            Origin::Default { source } => Some((input, source)),
            _ => None,
        })
        .collect();
    if args.json {
        let object = json!({
            "study": study.title,
            "options": study.heatings.iter().map(|h| &h.name).collect::<Vec<_>>(),
            "weather_years": weather.years.iter().map(|year| &year.label).collect::<Vec<_>>(),
            "weather_notes": weather.figures.notes,
            "warnings": opened.reading.warnings.iter().map(super::super::study::problem::Problem::sentence).collect::<Vec<_>>(),
            "defaults": defaults.iter().map(|(input, source)| json!({
                "path": input.path, "value": input.value_text, "unit": input.unit, "source": source,
            })).collect::<Vec<_>>(),
        });
        return output::answer(&format!("{object}\n"));
    }
    let mut text = format!("{}\n", study.title);
    let options: Vec<&str> = study
        .heatings
        .iter()
        .map(|heating| heating.name.as_str())
        .collect();
    let years: Vec<&str> = weather
        .years
        .iter()
        .map(|year| year.label.as_str())
        .collect();
    let _ = writeln!(text, "  options        {}", options.join(", "));
    let _ = writeln!(text, "  weather years  {}", years.join(", "));
    let _ = writeln!(
        text,
        "  inputs         {} given, {} by default",
        inputs.len() - defaults.len(),
        defaults.len()
    );
    for note in &weather.figures.notes {
        let _ = writeln!(text, "  weather        {note}");
    }
    let _ = writeln!(text, "\nDefaults in use (give the key to replace one):");
    for (input, source) in &defaults {
        let value = format!("{} {}", input.value_text, input.unit);
        let _ = writeln!(
            text,
            "  {:<44} {:<22} {source}",
            input.path,
            value.trim_end()
        );
    }
    output::answer(&text)
}
