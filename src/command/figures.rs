//! `dryledger figures`: every figure that a report may hold.

use super::Failure;
use super::answer::answer;
use super::hung::hung;
use crate::export::figures_schema;
use crate::problem::{Problem, meant_or};
use serde_json::Value;
use std::fmt::Write as _;

/// Every figure of figures.json, with what it says and its unit
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger figures options[].life_cycle\n\
    PATH is a figure as it stands in figures.json, [] for each of a list and {} for each name: it is shown with\n\
    all below it; everything if left out. The schema says the same to a program, which can hold a figures.json\n\
    against it.")]
pub(super) struct Args {
    /// One figure and those below it
    path: Option<String>,
    /// Print a JSON Schema (draft 2020-12) of the whole file
    #[arg(long, conflicts_with = "path")]
    schema: bool,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let schema = figures_schema();
    if args.schema {
        return answer(&format!("{schema:#}\n"));
    }
    let mut all = Vec::new();
    list(&schema, &schema, "", &mut all);
    let shown: Vec<&Figure> = match &args.path {
        None => all.iter().collect(),
        Some(asked) => all.iter().filter(|figure| is_at_or_below(&figure.path, asked)).collect(),
    };
    if let (Some(asked), true) = (&args.path, shown.is_empty()) {
        let known = all.iter().map(|figure| figure.path.as_str());
        return Err(Problem::said(format!("there is no figure `{asked}`"))
            .expected("a path of figures.json, such as options[].life_cycle")
            .cure(meant_or(asked, known, "leave it out to see all of them"))
            .into());
    }
    let mut text = String::new();
    for figure in shown {
        let _ = writeln!(text, "{}", hung(&format!("{}  ", figure.path), &figure.in_words()));
    }
    answer(&text)
}

/// A place in `figures.json`.
struct Figure {
    /// `options[].months[].water_kg`.
    path: String,
    /// What it says; empty where its type says all.
    says: String,
    /// `a number`, `a list`; empty where any value may stand.
    kind: &'static str,
    /// True if it may be null or left out.
    is_optional: bool,
}

impl Figure {
    fn in_words(&self) -> String {
        let may_miss = if self.is_optional { ", or nothing" } else { "" };
        let words = [format!("{}{may_miss}:", self.kind), self.says.clone()];
        words.join(" ").trim_end_matches([' ', ':']).trim_start_matches(": ").to_owned()
    }
}

/// True of the path that is asked for and of all below it, whether or not the brackets of a list are given.
fn is_at_or_below(path: &str, asked: &str) -> bool {
    let plain = |path: &str| path.replace("[]", "").replace(".{}", "");
    let (path, asked) = (plain(path), plain(asked));
    path.strip_prefix(&asked).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Lists all keys of an object, and what stands below them.
fn list(root: &Value, object: &Value, above: &str, all: &mut Vec<Figure>) {
    let required = object["required"].as_array();
    for (key, part) in object["properties"].as_object().into_iter().flatten() {
        let path = if above.is_empty() { key.clone() } else { format!("{above}.{key}") };
        let is_required = required.is_some_and(|names| names.iter().any(|name| name == key));
        below(root, part, &path, !is_required, all);
    }
    for form in forms(object) {
        list(root, form, above, all);
    }
}

/// Lists one place and all below it.
fn below(root: &Value, part: &Value, path: &str, may_miss: bool, all: &mut Vec<Figure>) {
    let (whole, is_nullable) = resolved(root, part);
    let says = [part, whole].iter().find_map(|schema| schema["description"].as_str()).unwrap_or_default();
    let kind = kind_of(whole);
    all.push(Figure { path: path.to_owned(), says: says.to_owned(), kind, is_optional: may_miss || is_nullable });
    if let Some(items) = whole.get("items") {
        inside(root, items, &format!("{path}[]"), all);
    } else if let Some(named) = whole.get("additionalProperties").filter(|named| named.is_object()) {
        inside(root, named, &format!("{path}.{{}}"), all);
    } else {
        list(root, whole, path, all);
    }
}

/// What each of a list or of named values holds.
fn inside(root: &Value, part: &Value, path: &str, all: &mut Vec<Figure>) {
    let (whole, _) = resolved(root, part);
    list(root, whole, path, all);
}

/// A schema with its reference followed, and whether it may be null.
fn resolved<'s>(root: &'s Value, schema: &'s Value) -> (&'s Value, bool) {
    let nullable = schema["type"].as_array().is_some_and(|types| types.iter().any(|one| one == "null"));
    if let Some(forms) = schema["anyOf"].as_array() {
        let is_null = |form: &&Value| form["type"] == "null";
        let has_null = forms.iter().any(|form| is_null(&form));
        let other = forms.iter().find(|form| !is_null(form));
        return other.map_or((schema, has_null), |form| (resolved(root, form).0, has_null || nullable));
    }
    match schema["$ref"].as_str().and_then(|to| root.pointer(to.trim_start_matches('#'))) {
        Some(to) => (resolved(root, to).0, nullable),
        None => (schema, nullable),
    }
}

/// Forms of an object that stand in place of one another.
fn forms(object: &Value) -> impl Iterator<Item = &Value> {
    let is_object = |form: &&Value| form["properties"].is_object();
    object["oneOf"].as_array().into_iter().flatten().filter(is_object)
}

fn kind_of(schema: &Value) -> &'static str {
    let types = &schema["type"];
    let is = |wanted: &str| types == wanted || types.as_array().is_some_and(|all| all.iter().any(|one| one == wanted));
    let known = [
        ("number", "a number"),
        ("integer", "a whole number"),
        ("boolean", "true or false"),
        ("array", "a list"),
        ("object", "an object"),
    ];
    if let Some((_, words)) = known.iter().find(|(name, _)| is(name)) {
        return words;
    }
    if is("string") || schema["enum"].is_array() || schema["oneOf"].is_array() { "a text" } else { "" }
}
