//! `[uncertainty]`: inputs that are known only as distributions.
//!
//! ```toml
//! [uncertainty]
//! samples = 64
//! seed = 1
//! "crop.received_moisture" = { normal = { mean = 22.0, sd = 1.5, low = 18.0, high = 26.0 } }
//! "crop.season_tonnes" = { triangular = { low = 520.0, mode = 640.0, high = 700.0 } }
//! "room.drying room.envelope_ua_w_per_k" = { uniform = { low = 700.0, high = 1200.0 } }
//! "carrier.lpg.price" = { lognormal = { median = 1.35, factor = 1.3 } }
//! ```
//! A key is the path of a number of the study, in quotes: its tables and its key with dots between. An
//! entry of a list of tables goes by its `name`, or by its number from 1; an entry of a list of numbers by
//! its number: `cool_store.relative_humidity.1`. `low` and `high` of the bells are optional and cut them.
//! `factor` is P90 over the median, and the median over P10.
//!
//! Values that move any answer stand in doubt without being named (`standing_doubt.rs`). A distribution of the
//! study's own takes the place of the standing one; `"PATH" = "known"` takes it away, and `standing = false` all
//! of them; `samples = 0` draws nothing.

use super::crops_read::CropRead;
use super::cursor::{Cursor, Kind};
use super::input::{Input, Origin, find};
use super::standing_doubt::{StandingDoubt, standing};
use crate::problem::Problem;
use crate::uncertainty::{Distribution, Limits, Shape};

/// What is asked about uncertain inputs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct UncertaintyAsk {
    /// Draws of all inputs, at most; 0 for none.
    pub samples: u32,
    /// Where the draws begin; the same seed gives the same draws.
    pub seed: u32,
    /// The inputs: those that the study names, in the order of the file, and then those that stand in doubt without
    /// being named; one at least.
    pub inputs: Vec<UncertainInput>,
}

/// One uncertain input.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct UncertainInput {
    /// Path of the number in the study.
    pub path: String,
    /// Its unit, or empty.
    pub unit: String,
    /// The study's own value.
    pub own_value: f64,
    /// What is known of it.
    pub distribution: Distribution,
    /// Why it stands in doubt, where the study does not say so itself.
    pub standing: Option<StandingDoubt>,
    /// A problem at this input's name, to be told if a draw cannot be used.
    pub(super) place: Problem,
}

/// Draws, at most, where the study does not say how many: they end after half of these where the answer is steady by
/// then, and the standard error of a share near one half is 6 to 9 percentage points.
const USUAL_SAMPLES: u32 = 64;
/// What stands in place of a distribution where an input is in no doubt.
const KNOWN: &str = "known";
/// Most draws: odds are then known to half a percentage point, and no study waits for hours.
const MOST_SAMPLES: u32 = 10_000;
/// Parts of a study that no draw can change, each with the reason.
const NOT_DRAWN: [(&str, &str); 6] = [
    ("study.", "says what is asked"),
    ("site.", "says which weather is read, and weather is not drawn but taken from every year"),
    ("weather.", "says which weather is read, and weather is not drawn but taken from every year"),
    ("season.", "says which hours are computed"),
    ("scenario.", "belongs to scenarios, which are computed with the study's own values alone"),
    ("phase.", "belongs to growth, which is computed with the study's own values alone"),
];
const SHAPES: &str = "{ normal = { mean, sd } }, { triangular = { low, mode, high } }, { uniform = { low, high } }, { lognormal = { median, factor } } or \"known\"";

/// Reads the table, once everything else was read: paths are looked up among the values that were. `None` where
/// nothing is in doubt, or a problem was recorded.
pub(super) fn read(root: &Cursor<'_>, crops: &[CropRead]) -> Option<UncertaintyAsk> {
    let table = root.table("uncertainty");
    let samples = table
        .count("samples")
        .when(&samples_expected(), |samples| may_sample(*samples))
        .default(USUAL_SAMPLES, "assumption: each tenth of every input is drawn three times");
    let seed = table.count("seed").default(1, "any number: the same seed gives the same draws");
    let has_standing = table
        .yes_no("standing")
        .default(true, "values that move the answer stand in doubt unless the study says that they are known");
    let paths = table.unasked();
    if paths.is_empty() && table.is_given() && !has_standing && samples > 0 {
        table.complain_here(
            "[uncertainty] names no input",
            "the path of a number in quotes, with a distribution",
            "write \"crop.received_moisture\" = { normal = { mean = 22.0, sd = 1.5 } }, or samples = 0",
        );
        return None;
    }
    let (known, named): (Vec<String>, Vec<String>) = paths.into_iter().partition(|path| is_known(&table, path));
    for path in &known {
        let word = table.choice(path, &[(KNOWN, ())]).named_by("PATH").hint("it stands in no doubt");
        word.optional();
        known_number(&table, path)?;
    }
    let inputs: Vec<Option<UncertainInput>> = named.iter().map(|path| read_input(&table, path)).collect();
    let mut inputs = inputs.into_iter().collect::<Option<Vec<_>>>()?;
    if has_standing {
        inputs.extend(standing_inputs(&table, crops, &[known, named].concat()));
    }
    (!inputs.is_empty()).then_some(UncertaintyAsk { samples, seed, inputs })
}

/// True if the study says that this value is in no doubt.
fn is_known(table: &Cursor<'_>, path: &str) -> bool {
    table.kind(path) == Some(Kind::Text) && table.text(path).peek().is_some_and(|word| word == KNOWN)
}

/// What stands in doubt without being named. `said` are the paths of which the study says something itself.
fn standing_inputs(table: &Cursor<'_>, crops: &[CropRead], said: &[String]) -> Vec<UncertainInput> {
    table.desk.with_inputs(|inputs| {
        let all = standing(inputs, crops).into_iter().filter(|(place, ..)| !said.contains(&inputs[*place].path));
        all.map(|(place, distribution, doubt)| {
            let input = &inputs[place];
            UncertainInput {
                path: input.path.clone(),
                unit: input.unit.clone(),
                own_value: input.number.unwrap_or_default(),
                distribution,
                standing: Some(doubt),
                place: match &input.origin {
                    Origin::Given { file, line, column } => {
                        Problem::of_file(file, String::new()).moved_to(*line, *column)
                    }
                    Origin::Default { .. } | Origin::Set => table.desk.file_problem(String::new()),
                },
            }
        })
        .collect()
    })
}

/// True of a number of draws that says something: none at all, or two at least.
pub(crate) fn may_sample(samples: u32) -> bool {
    samples == 0 || (2..=MOST_SAMPLES).contains(&samples)
}

/// Completes "expected ...".
pub(crate) fn samples_expected() -> String {
    format!("0, or 2 to {MOST_SAMPLES} draws")
}

fn read_input(table: &Cursor<'_>, path: &str) -> Option<UncertainInput> {
    if table.kind(path) == Some(Kind::Table) && !names_a_shape(table, path) {
        let keys = table.named_table(path, "PATH").map_or_else(Vec::new, |below| below.unasked());
        let what = format!("`{path}` has no distribution");
        // A path without quotes is a table in a table.
        let cure = match keys.first() {
            Some(key) => format!("write one of them; a path stands in quotes as a whole: \"{path}.{key}\" = ..."),
            None => "write one of them".to_owned(),
        };
        table.complain_of_name(path, &what, SHAPES, &cure);
        return None;
    }
    let known = known_number(table, path);
    let distribution = read_distribution(table, path);
    let (own_value, unit) = known?;
    let distribution = distribution?;
    if own_value < distribution.quantile(0.01) || own_value > distribution.quantile(0.99) {
        table.warn(
            path,
            &format!("is {own_value} in the study, which its distribution ({distribution}) hardly ever reaches"),
            "the figures outside the section on uncertainty hold for the study's own value",
        );
    }
    Some(UncertainInput {
        path: path.to_owned(),
        unit,
        own_value,
        distribution,
        standing: None,
        place: table.problem_of_name(path, String::new()),
    })
}

/// The study's own value at this path and its unit. `None` means that a problem was recorded.
fn known_number(table: &Cursor<'_>, path: &str) -> Option<(f64, String)> {
    if let Some((part, why)) = NOT_DRAWN.iter().find(|(part, _)| path.starts_with(part)) {
        let what = format!("`{path}` cannot be drawn: [{}] {why}", part.trim_end_matches('.'));
        table.complain_of_name(path, &what, "", "leave it out");
        return None;
    }
    let found = table.desk.with_inputs(|inputs| match find(inputs, path) {
        Ok(input) => match input.number {
            Some(number) => Ok((number, input.unit.clone())),
            None => Err(Missed::NoNumber(input.value_text.clone())),
        },
        Err(nearest) => of_list(inputs, path).ok_or(Missed::Unknown(nearest.map(str::to_owned))),
    });
    let (what, cure) = match found {
        Ok(found) => return Some(found),
        Err(Missed::NoNumber(text)) => (
            format!("`{path}` is {text}, which is no number and cannot be drawn"),
            if text.starts_with('[') {
                format!("name one entry of the list: \"{path}.1\"")
            } else {
                "name a number".to_owned()
            },
        ),
        Err(Missed::Unknown(nearest)) => (
            format!("`{path}` is no number of this study"),
            match nearest {
                Some(known) => format!(
                    "did you mean \"{known}\"? A number that has no default must stand in the study before it can be drawn"
                ),
                None => "the report's list of inputs shows the paths; a number that has no default must stand in the study before it can be drawn".to_owned(),
            },
        ),
    };
    table.complain_of_name(path, &what, "", &cure);
    None
}

/// Why a path gives no number.
enum Missed {
    /// What stands there as text.
    NoNumber(String),
    /// The nearest known path, if there is one.
    Unknown(Option<String>),
}

/// True if the table at this key names a distribution that is known.
fn names_a_shape(table: &Cursor<'_>, path: &str) -> bool {
    let below = table.named_table(path, "PATH");
    below.is_some_and(|below| below.unasked().iter().any(|key| is_shape(key)))
}

fn is_shape(key: &str) -> bool {
    ["normal", "triangular", "uniform", "lognormal"].contains(&key)
}

/// An entry of a list of numbers that the file gives, by its number from 1.
fn of_list(inputs: &[Input], path: &str) -> Option<(f64, String)> {
    let (list, entry) = path.rsplit_once('.')?;
    let list = find(inputs, list).ok()?;
    if !matches!(list.origin, Origin::Given { .. }) {
        return None;
    }
    let entries = list.value_text.strip_prefix('[')?.strip_suffix(']')?;
    let at = entry.parse::<usize>().ok()?.checked_sub(1)?;
    let number = entries.split(", ").nth(at)?.parse().ok()?;
    Some((number, list.unit.clone()))
}

/// The distribution at this key. `None` means that a problem was recorded.
fn read_distribution(table: &Cursor<'_>, path: &str) -> Option<Distribution> {
    if table.kind(path) != Some(Kind::Table) {
        table.claim(path);
        table.complain_of_name(path, &format!("`{path}` has no distribution"), SHAPES, "write one of them");
        return None;
    }
    let cursor = table.named_table(path, "PATH")?;
    let shapes = cursor.unasked();
    let [shape] = shapes.as_slice() else {
        let what = format!("`{path}` names {} distributions", shapes.len());
        table.complain_of_name(path, &what, SHAPES, "write one of them");
        return None;
    };
    if !is_shape(shape) {
        let what = format!("`{shape}` is no distribution that is known");
        cursor.complain_of_name(shape, &what, SHAPES, "");
        return None;
    }
    let of = cursor.optional_table(shape)?;
    let required = |key: &str| of.number(key).required();
    let (shape_read, limits) = match shape.as_str() {
        "normal" => {
            let (mean, sd) = (required("mean"), of.number("sd").above(0.0).required());
            (mean.zip(sd).map(|(mean, sd)| Shape::Normal { mean, sd }), limits(&of))
        }
        "triangular" => {
            let (low, mode, high) = (required("low"), required("mode"), required("high"));
            let shape = low.zip(mode).zip(high).map(|((low, mode), high)| Shape::Triangular { low, mode, high });
            (shape, Limits::default())
        }
        "uniform" => {
            let (low, high) = (required("low"), required("high"));
            (low.zip(high).map(|(low, high)| Shape::Uniform { low, high }), Limits::default())
        }
        _ => {
            let median = of.number("median").above(0.0).required();
            let factor = of
                .number("factor")
                .above(1.0)
                .hint("P90 over the median: 1.3 where one value in ten lies above 1.3 times the median")
                .required();
            let shape = median.zip(factor).map(|(median, factor)| Shape::LogNormal { median, factor });
            (shape, limits(&of))
        }
    };
    of.finish();
    match Distribution::new(shape_read?, limits) {
        Ok(distribution) => Some(distribution),
        Err(bad) => {
            cursor.complain(shape, &bad.to_string(), "", "");
            None
        }
    }
}

fn limits(of: &Cursor<'_>) -> Limits {
    Limits { low: of.number("low").optional(), high: of.number("high").optional() }
}
