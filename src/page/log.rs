//! A fit to drying logs on one page: constants, samples beside the model, misses. No script, nothing to fetch.

use super::kit::axis::{round_scale, tick_words};
use super::kit::document::{document, escape};
use crate::number::fixed;
use std::fmt::Write;
use std::ops::Range;

/// What the page says of a fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct LogFit {
    /// The crop's name.
    pub crop: String,
    /// What its drying law is called.
    pub law: String,
    /// How well the model passes through the samples, in a sentence without its stop.
    pub goodness: String,
    /// The constants found.
    pub constants: Vec<FoundConstant>,
    /// What speaks against them, in sentences.
    pub doubts: Vec<String>,
    /// The logs.
    pub logs: Vec<FittedLog>,
    /// What a study takes of it, as TOML.
    pub block: String,
}

/// A constant, rounded as it is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct FoundConstant {
    /// What it is.
    pub name: String,
    /// What was found.
    pub value: String,
    /// Its 95 % interval.
    pub interval: String,
    /// Its unit.
    pub unit: String,
    /// The library's in its place; empty where there is none.
    pub library: String,
}

/// One log beside the model.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct FittedLog {
    /// Name of its file, without folders.
    pub name: String,
    /// How the batch lay and in what air.
    pub words: Vec<String>,
    /// Its samples in the order of time.
    pub samples: Vec<FittedSample>,
}

/// A sample and what the model says in its place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct FittedSample {
    /// Hours since drying began.
    pub hours: f64,
    /// The sample, % w.b.
    pub measured_pct: f64,
    /// The model, % w.b.
    pub fitted_pct: f64,
    /// Sample less model, points w.b.
    pub miss_points: f64,
}

const STYLE: &str = concat!(
    include_str!("../../templates/base.css"),
    include_str!("../../templates/dark.css"),
    include_str!("../../templates/log.css"),
);

/// Size of a drawing, px, and the room left for its axes.
const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 190.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 18.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 34.0;

/// The page, as HTML text.
pub(crate) fn log_page(fit: &LogFit) -> String {
    let mut html =
        format!("<p class=\"under\">In shell; drying law: {}. {}.</p>\n", escape(&fit.law), escape(&fit.goodness));
    constants_table(&mut html, &fit.constants);
    if !fit.doubts.is_empty() {
        html.push_str("<h2>In doubt</h2>\n<ul>\n");
        for doubt in &fit.doubts {
            let _ = writeln!(html, "<li>{}</li>", escape(doubt));
        }
        html.push_str("</ul>\n");
    }
    for log in &fit.logs {
        let name = escape(&log.name);
        let _ = writeln!(html, "<h2>{name}</h2>");
        let _ = writeln!(html, "<p class=\"under\">{}.</p>", escape(&log.words.join("; ")));
        html.push_str(&moistures(&name, &log.samples));
        html.push_str(&misses(&name, &log.samples));
        samples_table(&mut html, &log.samples);
    }
    let _ = writeln!(
        html,
        "<h2>For a study</h2>\n<p>With what its [crop] says already:</p>\n<pre tabindex=\"0\">{}</pre>",
        escape(&fit.block)
    );
    document(&format!("{}: constants from drying logs", fit.crop), STYLE, &html)
}

fn constants_table(html: &mut String, constants: &[FoundConstant]) {
    html.push_str(
        "<div class=\"scroll\" role=\"region\" aria-label=\"Constants\" tabindex=\"0\"><table>\n<thead><tr><th scope=\"col\">Constant</th>\
         <th scope=\"col\">Found</th><th scope=\"col\">95 % interval</th><th scope=\"col\">Unit</th>\
         <th scope=\"col\" class=\"words\">The library's</th></tr></thead>\n<tbody>\n",
    );
    for line in constants {
        let _ = writeln!(
            html,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td class=\"words\">{}</td></tr>",
            escape(&line.name),
            line.value,
            line.interval,
            line.unit,
            line.library
        );
    }
    html.push_str("</tbody></table></div>\n");
}

fn samples_table(html: &mut String, samples: &[FittedSample]) {
    html.push_str(
        "<details><summary>The samples in numbers</summary>\n<table>\n<thead><tr><th scope=\"col\">Hours</th>\
         <th scope=\"col\">Sample, % w.b.</th><th scope=\"col\">Model, % w.b.</th>\
         <th scope=\"col\">Miss, points</th></tr></thead>\n<tbody>\n",
    );
    for sample in samples {
        let _ = writeln!(
            html,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>",
            fixed(sample.hours, 1),
            fixed(sample.measured_pct, 2),
            fixed(sample.fitted_pct, 2),
            fixed(sample.miss_points, 2)
        );
    }
    html.push_str("</tbody></table></details>\n");
}

/// An axis: its range and the words at its ticks.
struct Axis {
    range: Range<f64>,
    words: Vec<(f64, String)>,
}

impl Axis {
    /// Steps of an axis.
    const STEPS: usize = 5;

    fn around(low: f64, high: f64) -> Self {
        // Values all alike stand in the middle of a short axis.
        let (low, high) = if high - low < 1e-3 { (low - 0.5, high + 0.5) } else { (low, high) };
        let (range, ticks) = round_scale(low, high, Self::STEPS);
        Self { range, words: tick_words(&ticks) }
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.range.start) / (self.range.end - self.range.start)
    }
}

/// A frame with both axes, ready for marks.
struct Frame {
    hours: Axis,
    values: Axis,
    svg: String,
}

impl Frame {
    fn new(id: &str, title: &str, description: &str, hours: Axis, values: Axis, unit: &str) -> Self {
        let mut frame = Self {
            hours,
            values,
            svg: format!(
                "<svg viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\">\n\
                 <title id=\"{id}-t\">{title}</title>\n<desc id=\"{id}-d\">{description}</desc>\n"
            ),
        };
        for (tick, words) in &frame.values.words {
            let y = frame.y(*tick);
            let _ = writeln!(
                frame.svg,
                "<path class=\"rule\" d=\"M{LEFT} {y:.1}H{:.1}\"/><text class=\"end\" x=\"{}\" y=\"{:.1}\">{words}</text>",
                WIDTH - RIGHT,
                LEFT - 5.0,
                y + 4.0,
            );
        }
        for (tick, words) in &frame.hours.words {
            let x = frame.x(*tick);
            let _ = writeln!(
                frame.svg,
                "<text class=\"middle\" x=\"{x:.1}\" y=\"{:.1}\">{words}</text>",
                HEIGHT - BOTTOM + 15.0,
            );
        }
        let _ = writeln!(
            frame.svg,
            "<text class=\"end\" x=\"{:.1}\" y=\"{:.1}\">hours</text><text x=\"{LEFT}\" y=\"{:.1}\">{unit}</text>",
            WIDTH - RIGHT,
            HEIGHT - 4.0,
            HEIGHT - 4.0
        );
        frame
    }

    fn x(&self, hours: f64) -> f64 {
        LEFT + self.hours.share(hours) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, value: f64) -> f64 {
        HEIGHT - BOTTOM - self.values.share(value) * (HEIGHT - TOP - BOTTOM)
    }

    fn figure(self, caption: &str) -> String {
        format!("<figure>{}</svg>\n<figcaption>{caption}</figcaption></figure>\n", self.svg)
    }
}

fn hours_axis(samples: &[FittedSample]) -> Axis {
    Axis::around(0.0, samples.last().map_or(1.0, |last| last.hours))
}

fn ends(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
}

/// Samples as dots, the model as a line through its moistures at their times.
fn moistures(name: &str, samples: &[FittedSample]) -> String {
    let (low, high) = ends(samples.iter().flat_map(|r| [r.measured_pct, r.fitted_pct]));
    let caption = format!(
        "Moisture of {name}, % w.b.: {} samples (dots) from {high:.1} to {low:.1}, and the model at their times (line).",
        samples.len()
    );
    let mut frame = Frame::new(
        &id("moisture", name),
        &format!("Moisture of {name} over time"),
        &caption,
        hours_axis(samples),
        Axis::around(low, high),
        "% w.b.",
    );
    let mut path = String::new();
    for (at, sample) in samples.iter().enumerate() {
        let mark = if at == 0 { 'M' } else { 'L' };
        let (x, y) = (frame.x(sample.hours), frame.y(sample.fitted_pct));
        let _ = write!(path, "{mark}{x:.1} {y:.1}");
    }
    let _ = writeln!(frame.svg, "<path class=\"model\" d=\"{path}\"/>");
    for sample in samples {
        let (x, y) = (frame.x(sample.hours), frame.y(sample.measured_pct));
        let _ = writeln!(frame.svg, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\"/>");
    }
    frame.figure(&caption)
}

/// Misses as stems from zero.
fn misses(name: &str, samples: &[FittedSample]) -> String {
    let most = samples.iter().map(|r| r.miss_points.abs()).fold(1e-3, f64::max);
    let caption = format!(
        "What the samples of {name} miss the model by, points w.b.; the largest miss is {most:.2}. Misses that take turns \
         around zero are scatter; misses in runs are something the model does not know."
    );
    let mut frame = Frame::new(
        &id("misses", name),
        &format!("Misses of {name} over time"),
        &caption,
        hours_axis(samples),
        Axis::around(-most, most),
        "points w.b.",
    );
    let zero = frame.y(0.0);
    let _ = writeln!(frame.svg, "<path class=\"zero\" d=\"M{LEFT} {zero:.1}H{:.1}\"/>", WIDTH - RIGHT);
    for sample in samples {
        let (x, y) = (frame.x(sample.hours), frame.y(sample.miss_points));
        let _ = writeln!(
            frame.svg,
            "<path class=\"stem\" d=\"M{x:.1} {zero:.1}V{y:.1}\"/><circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\"/>"
        );
    }
    frame.figure(&caption)
}

/// A name for a drawing's title that is one word of plain letters.
fn id(kind: &str, name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("{kind}-{plain}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_end_on_round_numbers_around_the_values() {
        for (low, high) in [(8.2, 22.4), (-0.31, 0.31), (0.0, 44.0), (5.0, 5.0)] {
            let axis = Axis::around(low, high);
            assert!(axis.range.start <= low && axis.range.end >= high);
            assert!((2..=8).contains(&axis.words.len()), "{:?}", axis.words);
            assert!(axis.share(low).is_finite());
        }
    }

    #[test]
    fn a_drawing_has_a_title_and_no_holes() {
        let samples =
            [(0.0, 22.1, 22.0), (6.0, 20.0, 20.2), (12.0, 18.0, 18.1)].map(|(hours, measured_pct, fitted_pct)| {
                FittedSample { hours, measured_pct, fitted_pct, miss_points: measured_pct - fitted_pct }
            });
        for svg in [moistures("a &amp; b", &samples), misses("a", &samples)] {
            assert!(svg.contains("<title") && svg.contains("<desc") && svg.contains("role=\"img\""));
            assert!(!svg.contains("NaN") && !svg.contains("inf"));
            assert_eq!(svg.matches("<circle").count(), 3);
        }
    }
}
