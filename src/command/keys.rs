//! `dryledger keys`: every key that a study may have.

use super::Failure;
use super::answer::answer;
use super::hung::hung;
use crate::export::keys_schema;
use crate::problem::{Problem, meant_or};
use crate::study::keys::{Need, Table, TableKey, Takes, most_entries};
use crate::study::{File, all_keys};
use std::fmt::Write as _;

/// Every key that a study may have, with unit, bounds, default and its reason
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger keys room.bin_fan\n\
    TABLE is a table without its brackets: it is shown with all below it; everything if left out.\n\
    A number that has a unit may be text with another unit that fits: temperature_c = \"110 F\". The\n\
    schema can be given to an editor, which then completes and checks keys while a study is written.")]
pub(super) struct Args {
    /// One table and those below it
    table: Option<String>,
    /// Keys of a tariff's file, not of a study's
    #[arg(long)]
    tariff: bool,
    /// Print a JSON Schema (draft 2020-12) of the whole file
    #[arg(long, conflicts_with = "table")]
    schema: bool,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let file = if args.tariff { File::Tariff } else { File::Study };
    let tables = all_keys(file);
    if args.schema {
        return answer(&format!("{:#}\n", keys_schema(&tables)));
    }
    let names: Vec<String> = tables.0.iter().map(Table::name).collect();
    let shown: Vec<&Table> = match &args.table {
        None => tables.0.iter().collect(),
        Some(asked) => {
            let below = format!("{asked}.");
            let is_asked = |name: &String| name == asked || name.starts_with(&below);
            tables.0.iter().zip(&names).filter(|(_, name)| is_asked(name)).map(|(t, _)| t).collect()
        }
    };
    if let (Some(asked), true) = (&args.table, shown.is_empty()) {
        let tops = names.iter().map(String::as_str).filter(|name| !name.contains('.') && !name.is_empty());
        let known: Vec<&str> = tops.collect();
        return Err(Problem::said(format!("there is no table `{asked}`"))
            .expected(format!("one of {}, or one below them", known.join(", ")))
            .cure(meant_or(asked, names.iter().map(String::as_str), "leave it out to see all of them"))
            .into());
    }
    let with_keys = shown.into_iter().filter(|table| !table.keys.iter().all(TableKey::is_table));
    answer(&with_keys.map(told).collect::<Vec<_>>().join("\n"))
}

/// A table and its keys, but for those that are tables themselves.
fn told(table: &Table) -> String {
    let mut text = String::new();
    let heading = table.heading();
    if table.is_list() {
        let _ = writeln!(text, "{}", hung(&format!("{heading:<30} "), &most_entries()));
    } else if !heading.is_empty() {
        let _ = writeln!(text, "{heading}");
    }
    for key in table.keys.iter().filter(|key| !key.is_table()) {
        let _ = writeln!(text, "{}", hung(&format!("  {:<28} ", key.key.name), &in_words(key)));
    }
    text
}

/// `a number, 0 to 60 % w.b.; needed` and the like.
fn in_words(key: &TableKey) -> String {
    let (tables, values): (Vec<&Takes>, Vec<&Takes>) = key.key.takes.iter().partition(|takes| takes.is_table());
    let or = |takes: Vec<&Takes>| takes.iter().map(ToString::to_string).collect::<Vec<_>>().join(", or ");
    let mut words = or(values);
    for bound in &key.key.bounds {
        let _ = write!(words, ", {bound}");
    }
    // Bounds that are said in several units are one range.
    if let (true, Some(low), Some(high)) = (key.key.bounds.is_empty(), key.key.range.low, key.key.range.high) {
        let _ = write!(words, ", {low} to {high}");
    }
    let says_unit = key.key.bounds.iter().any(|bound| bound.contains(key.key.unit.as_str()));
    if !key.key.unit.is_empty() && !says_unit {
        let such_as = if key.unit_differs { "such as " } else { "" };
        let _ = write!(words, ", {such_as}{}", key.key.unit);
    }
    if !tables.is_empty() {
        let _ = write!(words, ", or {}", or(tables));
    }
    if let Some((name, values)) = &key.only_with {
        let _ = write!(words, "; with {name} = \"{}\"", values.join("\" or \""));
    }
    match (&key.key.need, key.if_left_out()) {
        _ if key.is_required => words.push_str("; needed"),
        (_, Some(otherwise)) => {
            let _ = write!(words, "; if left out, {otherwise}");
        }
        (Need::Optional, None) => words.push_str("; may be left out"),
        (Need::Required | Need::Default { .. }, None) => words.push_str("; needed where nothing stands in for it"),
    }
    if !key.key.hint.is_empty() {
        let _ = write!(words, " ({})", key.key.hint);
    }
    words
}
