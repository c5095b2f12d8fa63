//! Assumptions and provenance: every input, the weather, the files, the program.

use super::quantities::rows;
use super::view::View;
use crate::answer::Assumption;
use crate::answer::figures::{ResidualFigures, WeatherFigures};
use crate::number::{self, Measure, percent, with_unit};
use crate::page::kit::cell::Cell;
use crate::page::parts::{Head, Table, column, counted, listed};
use serde::Serialize;

/// The tenth section.
#[derive(Debug, Serialize)]
pub(super) struct Method {
    program: String,
    work: String,
    /// How many inputs there are, and who says so.
    counted: String,
    given: InputList,
    taken: InputList,
    weather: Vec<String>,
    weather_notes: Vec<String>,
    weather_years: Table,
    files: Vec<(String, String)>,
    residuals: Table,
}

/// Inputs that are given, or those that were taken for want of it.
#[derive(Debug, Serialize)]
struct InputList {
    caption: &'static str,
    /// What folds it; empty where nothing does.
    summary: String,
    parts: Vec<Inputs>,
}

/// Inputs of one part of the study.
#[derive(Debug, Serialize)]
struct Inputs {
    part: String,
    rows: Vec<InputRow>,
}

/// One input.
#[derive(Debug, Serialize)]
struct InputRow {
    path: String,
    value: String,
    unit: String,
    /// As the study writes it, where that is another unit.
    written: Option<String>,
    source: String,
}

/// Builds it.
pub(super) fn method(view: &View<'_>) -> Method {
    let figures = view.figures;
    Method {
        program: format!("{} {}", figures.tool.name, figures.tool.version),
        work: work(view),
        counted: counted_inputs(view),
        given: InputList { caption: "Inputs that the study gives", summary: String::new(), parts: inputs(view, true) },
        taken: taken(view),
        weather: weather(view),
        weather_notes: figures.weather.notes.iter().map(ToString::to_string).collect(),
        weather_years: weather_years(view),
        files: figures.inputs.iter().map(|file| (file.file.clone(), file.sha256.clone())).collect(),
        residuals: residuals(view),
    }
}

/// What an option must do to be ranked.
fn work(view: &View<'_>) -> String {
    let judgement = &view.figures.judgement;
    let store = if view.has_cool_store() {
        format!(
            "; and in every weather year the cool store is kept as the same store with its condensers outdoors: at most {} more without enough cooling, and at most {} more above its set temperature (a day, and a day at one kelvin: assumptions, since stacked nuts follow their store within about a day)",
            with_unit(&number::fixed(judgement.store_hours_limit, 0), "h"),
            Measure::of("K\u{a0}h").fixed(judgement.store_kelvin_hours_limit, 0),
        )
    } else {
        String::new()
    };
    format!(
        "An option does the work where it brings in the crop that the baseline does (its dry matter but for {} at most); every nut is dry before the time to dry is over; heat is short by at most {} of the need{store}. Only options that do the work are ranked, by net present cost.",
        percent(judgement.less_crop_limit_pct),
        percent(judgement.heat_short_limit_pct),
    )
}

/// `369 inputs: 175 given, 194 taken for want of it; ...`.
fn counted_inputs(view: &View<'_>) -> String {
    let counts = &view.figures.input_counts;
    let mut said = vec![format!("{} given", counts.given)];
    said.extend((counts.taken > 0).then(|| format!("{} taken for want of one", counts.taken)));
    let of_crop: Vec<String> = [
        (counts.placeholders, "placeholders, measured by nobody"),
        (counts.from_memory, "from memory, not verified"),
        (counts.common_practice, "common practice without a published source"),
        (counts.derived, "derived from others"),
        (counts.read, "read in a public source"),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    let crop = if of_crop.is_empty() {
        String::new()
    } else {
        format!(" Of the crop library’s values in use are {}.", listed(&of_crop))
    };
    format!("{}: {}.{crop}", counted(counts.given + counts.taken, "input", "inputs"), said.join(", "))
}

fn taken(view: &View<'_>) -> InputList {
    let parts = inputs(view, false);
    let count = parts.iter().map(|part| part.rows.len()).sum();
    InputList {
        caption: "Inputs taken for want of one in the study",
        summary: format!("{} taken for want of one in the study", counted(count, "input", "inputs")),
        parts,
    }
}

/// Inputs that are given, or those that are not, each once.
fn inputs(view: &View<'_>, given: bool) -> Vec<Inputs> {
    let mut parts: Vec<Inputs> = Vec::new();
    for input in view.figures.assumptions.iter().filter(|input| input.is_given() == given) {
        let end = input.path.find(['.', '[']).unwrap_or(input.path.len());
        let part = &input.path[..end];
        let (value, unit) = shown(input, view.money.code());
        let row = InputRow {
            path: input.path.clone(),
            value,
            unit,
            written: input.written.clone(),
            source: if given { file_name(&input.source).to_owned() } else { input.source.clone() },
        };
        let twice = |known: &Inputs| known.rows.iter().any(|other| other.path == row.path);
        if parts.iter().any(twice) {
            continue;
        }
        match parts.iter_mut().find(|known| known.part == part) {
            Some(known) => known.rows.push(row),
            None => parts.push(Inputs { part: part.to_owned(), rows: vec![row] }),
        }
    }
    parts
}

/// A value and its unit; in the reader's unit where that is another, with SI beside it.
fn shown(input: &Assumption, code: &str) -> (String, String) {
    let (value, unit) = (readable(&input.value), number::unit_words(&input.unit, code));
    let measure = Measure::of_input(&input.path, &input.unit, code);
    match input.value.parse::<f64>() {
        Ok(si) if measure.is_converted() => (format!("{} ({value} {unit})", measure.four(si)), String::new()),
        _ => (value, unit),
    }
}

/// A value as people read it: long fractions are cut to four significant figures.
fn readable(value: &str) -> String {
    let mark = number::Reader::now().numbers.decimal_mark();
    let text = shortened(value);
    if mark != '.' && text.parse::<f64>().is_ok() { text.replace('.', &mark.to_string()) } else { text }
}

fn shortened(value: &str) -> String {
    match value.parse::<f64>() {
        Ok(number) if value.len() > 8 && value.contains('.') => {
            let short: f64 = format!("{number:.3e}").parse().unwrap_or(number);
            short.to_string()
        }
        _ => value.to_owned(),
    }
}

/// The name of a file and what follows it, without its folders.
fn file_name(source: &str) -> &str {
    source.rsplit('/').next().unwrap_or(source)
}

/// That the weather is not as warm as the files have it; nothing where it is.
pub(super) fn warmer(weather: &WeatherFigures) -> Option<String> {
    let kelvin = weather.warmer_by_k;
    let sense = if kelvin > 0.0 { "warmer" } else { "colder" };
    (kelvin != 0.0).then(|| {
        let by = Measure::of("K").plain_figure(kelvin.abs());
        format!(
            "Every hour is taken to be {by} {sense} than in the files, its relative humidity as it was (an assumption)."
        )
    })
}

/// How much of the weather is invented, where not all of it is.
pub(super) fn invented_share(weather: &WeatherFigures) -> Option<String> {
    (weather.synthetic && weather.invented_hours < weather.hours).then(|| {
        format!(
            "{} of the weather’s {} are invented",
            counted(weather.invented_hours, "hour", "hours"),
            counted(weather.hours, "hour", "hours")
        )
    })
}

fn weather(view: &View<'_>) -> Vec<String> {
    let weather = &view.figures.weather;
    let mut said = Vec::new();
    if let Some(share) = invented_share(weather) {
        said.push(format!("{share}; the others were measured or filled in from such hours."));
    } else if weather.synthetic {
        said.push(
            "This weather is invented or synthetic, not measured: figures made with it show the method, not the site."
                .to_owned(),
        );
    }
    said.extend(warmer(weather));
    if let Some(reason) = &weather.elsewhere {
        said.push(format!("This weather is not of the site; it is used on purpose: {reason}."));
    }
    let station = weather.station.as_ref().map_or_else(String::new, |name| format!(" of {name}"));
    said.push(format!(
        "{}{station} ({}), {} read; {}.",
        counted(weather.files.len(), "file", "files"),
        weather.format,
        counted(weather.hours, "hour", "hours"),
        if weather.gaps_filled_hours == 0 {
            "nothing was filled in".to_owned()
        } else {
            format!(
                "something was filled in in {}, which hold {} of the season’s heat",
                counted(weather.gaps_filled_hours, "hour", "hours"),
                percent(weather.heat_in_filled_hours_pct)
            )
        }
    ));
    let borrowed: usize = weather.years.iter().map(|year| year.borrowed_hours).sum();
    if borrowed > 0 {
        said.push(format!(
            "{} after a season were not in the files and were taken from the same dates of another year.",
            counted(borrowed, "hour", "hours")
        ));
    }
    said
}

fn weather_years(view: &View<'_>) -> Table {
    let years = &view.figures.weather.years;
    let of = |value: fn(&crate::answer::figures::WeatherYearFigures) -> f64, decimals: usize| {
        years.iter().map(|year| Cell::number(value(year), decimals)).collect::<Vec<_>>()
    };
    let columns = [
        of(|y| y.season_hours as f64, 0),
        of(|y| y.mean_dry_bulb_c, 1),
        of(|y| y.mean_relative_humidity_pct, 1),
        of(|y| y.mean_humidity_ratio_g_per_kg, 2),
        column(&years.iter().map(|y| y.heat_to_set_kwh_per_kg_per_s).collect::<Vec<_>>()),
    ];
    Table::new(
        format!(
            "Weather of each season. The last column is the heat that would bring 1 {} of outside air to the set temperature all season",
            Measure::of("kg/s").sign()
        ),
        "weather year",
        vec![
            Head::number("hours", ""),
            Head::number("dry bulb", "°C"),
            Head::number("relative humidity", "%"),
            Head::number("humidity ratio", "g/kg"),
            Head::heat("heat to set", "kWh per kg/s"),
        ],
        crate::page::parts::rows_of(years.iter().map(|year| year.label.clone()), &columns),
    )
}

fn residuals(view: &View<'_>) -> Table {
    let cells = |of: fn(&ResidualFigures) -> f64| -> Vec<Cell> {
        let options = view.figures.options.iter();
        options.map(|option| Cell::digits(scientific(of(&option.residuals)))).collect()
    };
    let columns = [cells(|residuals| residuals.water), cells(|residuals| residuals.energy)];
    Table::of_unlike_rows(
        "Balances: the largest hourly difference between in and out, as a share of the season’s total",
        "option",
        vec![Head::number("water", ""), Head::number("energy", "")],
        rows(view, &columns),
    )
    .note("Both must stay below 1 × 10⁻⁶.")
}

/// A power of ten as people write it: `3 × 10⁻¹²`.
pub(super) fn scientific(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return number::fixed(value, 0);
    }
    let text = format!("{value:.0e}");
    let (digits, power) = text.split_once('e').unwrap_or((&text, "0"));
    let raised: String = power
        .chars()
        .map(|letter| match letter {
            '-' => '⁻',
            '0' => '⁰',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            _ => '⁹',
        })
        .collect();
    let sign = digits.replace('-', "\u{2212}");
    format!("{sign}\u{a0}×\u{a0}10{raised}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_read_as_people_write_them() {
        assert_eq!(readable("0.8528152553133681"), "0.8528");
        assert_eq!(readable("1275"), "1275");
        assert_eq!(readable("03-01"), "03-01");
        assert_eq!(number::unit_words("money/a", "USD"), "USD a year");
        assert_eq!(number::unit_words("-", "USD"), "");
        assert_eq!(file_name("reports/demo/study.toml, line 6"), "study.toml, line 6");
    }

    #[test]
    fn powers_of_ten_are_raised() {
        assert_eq!(scientific(3.2e-12), "3\u{a0}×\u{a0}10⁻¹²");
        assert_eq!(scientific(0.0), "0");
        assert_eq!(scientific(f64::NAN), "not known");
    }
}
