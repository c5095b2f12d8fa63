//! The fit on one page: constants, samples beside the model, misses. No script, nothing to fetch.

use super::block::block;
use super::fitted::Fitted;
use super::words::{constants, doubt, goodness, short};
use crate::dryer::log::Residual;
use std::fmt::Write;

/// Size of a drawing, px, and the room left for its axes.
const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 190.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 18.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 34.0;

/// The page, as HTML text.
pub(super) fn page(fitted: &Fitted) -> String {
    let title = format!("{}: constants from drying logs", escape(fitted.crop.name()));
    let mut html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{title}</title>\n<style>\n{}</style>\n\
         </head>\n<body>\n<main>\n<h1>{title}</h1>\n<p class=\"under\">In shell; drying law: {}. {}.</p>\n",
        include_str!("../../../templates/log.css"),
        escape(fitted.crop.law_name()),
        escape(&goodness(fitted))
    );
    constants_table(&mut html, fitted);
    if !fitted.fit.doubts.is_empty() {
        html.push_str("<h2>In doubt</h2>\n<ul>\n");
        for told in &fitted.fit.doubts {
            let _ = writeln!(html, "<li>{}</li>", escape(&doubt(fitted, told).unlabelled()));
        }
        html.push_str("</ul>\n");
    }
    for (log, residuals) in fitted.logs.iter().zip(&fitted.fit.residuals) {
        let name = escape(short(&log.name));
        let _ = writeln!(html, "<h2>{name}</h2>");
        let _ = writeln!(html, "<p class=\"under\">{}.</p>", escape(&log.words.join("; ")));
        html.push_str(&moistures(&name, residuals));
        html.push_str(&misses(&name, residuals));
        samples_table(&mut html, residuals);
    }
    let _ = write!(
        html,
        "<h2>For a study</h2>\n<p>With what its [crop] says already:</p>\n<pre tabindex=\"0\">{}</pre>\n</main>\n\
         </body>\n</html>\n",
        escape(&block(fitted))
    );
    html
}

fn constants_table(html: &mut String, fitted: &Fitted) {
    html.push_str(
        "<div class=\"scroll\" tabindex=\"0\"><table>\n<thead><tr><th scope=\"col\">Constant</th>\
         <th scope=\"col\">Found</th><th scope=\"col\">95 % interval</th><th scope=\"col\">Unit</th>\
         <th scope=\"col\" class=\"words\">The library's</th></tr></thead>\n<tbody>\n",
    );
    for line in constants(fitted) {
        let library = if line.status.is_empty() {
            String::new()
        } else {
            format!("{} ({})", line.library, line.status)
        };
        let _ = writeln!(
            html,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td class=\"words\">{}</td></tr>",
            escape(&line.name),
            line.value,
            line.interval,
            line.unit,
            library
        );
    }
    html.push_str("</tbody></table></div>\n");
}

fn samples_table(html: &mut String, residuals: &[Residual]) {
    html.push_str(
        "<details><summary>The samples in numbers</summary>\n<table>\n<thead><tr><th scope=\"col\">Hours</th>\
         <th scope=\"col\">Sample, % w.b.</th><th scope=\"col\">Model, % w.b.</th>\
         <th scope=\"col\">Miss, points</th></tr></thead>\n<tbody>\n",
    );
    for residual in residuals {
        let _ = writeln!(
            html,
            "<tr><th scope=\"row\">{:.1}</th><td>{:.2}</td><td>{:.2}</td><td>{}</td></tr>",
            residual.hours,
            residual.measured_pct,
            residual.fitted_pct,
            signed(residual.points(), 2)
        );
    }
    html.push_str("</tbody></table></details>\n");
}

/// Text safe inside HTML and quoted attributes.
fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A number with a true minus sign.
fn signed(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}").replace('-', "\u{2212}")
}

/// An axis: its ends on round numbers, and a step between them.
struct Axis {
    low: f64,
    high: f64,
    step: f64,
}

impl Axis {
    fn around(low: f64, high: f64) -> Self {
        // Values all alike stand in the middle of a short axis.
        let (low, high) = if high - low < 1e-3 { (low - 0.5, high + 0.5) } else { (low, high) };
        let span = high - low;
        let power = 10.0_f64.powf((span / 5.0).log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|times| times * power)
            .find(|step| span / step <= 5.0)
            .unwrap_or(10.0 * power);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    fn ticks(&self) -> impl Iterator<Item = f64> {
        let count = ((self.high - self.low) / self.step).round();
        (0..20)
            .map(f64::from)
            .take_while(move |at| *at <= count)
            .map(|at| self.low + at * self.step)
    }

    fn decimals(&self) -> usize {
        (0_u8..6)
            .find(|d| (self.step * 10.0_f64.powi(i32::from(*d))).fract() < 1e-9)
            .map_or(6, usize::from)
    }
}

/// A frame with both axes, ready for marks.
struct Frame {
    hours: Axis,
    values: Axis,
    svg: String,
}

impl Frame {
    fn new(
        id: &str,
        title: &str,
        description: &str,
        hours: Axis,
        values: Axis,
        unit: &str,
    ) -> Self {
        let mut frame = Self {
            hours,
            values,
            svg: format!(
                "<svg viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\">\n\
                 <title id=\"{id}-t\">{title}</title>\n<desc id=\"{id}-d\">{description}</desc>\n"
            ),
        };
        let decimals = frame.values.decimals();
        for tick in frame.values.ticks().collect::<Vec<_>>() {
            let y = frame.y(tick);
            let _ = writeln!(
                frame.svg,
                "<path class=\"rule\" d=\"M{LEFT} {y:.1}H{:.1}\"/><text class=\"end\" x=\"{}\" y=\"{:.1}\">{}</text>",
                WIDTH - RIGHT,
                LEFT - 5.0,
                y + 4.0,
                signed(tick, decimals)
            );
        }
        let decimals = frame.hours.decimals();
        for tick in frame.hours.ticks().collect::<Vec<_>>() {
            let x = frame.x(tick);
            let _ = writeln!(
                frame.svg,
                "<text class=\"middle\" x=\"{x:.1}\" y=\"{:.1}\">{}</text>",
                HEIGHT - BOTTOM + 15.0,
                signed(tick, decimals)
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

fn hours_axis(residuals: &[Residual]) -> Axis {
    Axis::around(0.0, residuals.last().map_or(1.0, |last| last.hours))
}

fn ends(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
}

/// Samples as dots, the model as a line through its moistures at their times.
fn moistures(name: &str, residuals: &[Residual]) -> String {
    let (low, high) = ends(residuals.iter().flat_map(|r| [r.measured_pct, r.fitted_pct]));
    let caption = format!(
        "Moisture of {name}, % w.b.: {} samples (dots) from {high:.1} to {low:.1}, and the model at their times (line).",
        residuals.len()
    );
    let mut frame = Frame::new(
        &id("moisture", name),
        &format!("Moisture of {name} over time"),
        &caption,
        hours_axis(residuals),
        Axis::around(low, high),
        "% w.b.",
    );
    let mut path = String::new();
    for (at, residual) in residuals.iter().enumerate() {
        let mark = if at == 0 { 'M' } else { 'L' };
        let (x, y) = (frame.x(residual.hours), frame.y(residual.fitted_pct));
        let _ = write!(path, "{mark}{x:.1} {y:.1}");
    }
    let _ = writeln!(frame.svg, "<path class=\"model\" d=\"{path}\"/>");
    for residual in residuals {
        let (x, y) = (frame.x(residual.hours), frame.y(residual.measured_pct));
        let _ = writeln!(frame.svg, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\"/>");
    }
    frame.figure(&caption)
}

/// Misses as stems from zero.
fn misses(name: &str, residuals: &[Residual]) -> String {
    let most = residuals.iter().map(|r| r.points().abs()).fold(1e-3, f64::max);
    let caption = format!(
        "What the samples of {name} miss the model by, points w.b.; the largest miss is {most:.2}. Misses that take turns \
         around zero are scatter; misses in runs are something the model does not know."
    );
    let mut frame = Frame::new(
        &id("misses", name),
        &format!("Misses of {name} over time"),
        &caption,
        hours_axis(residuals),
        Axis::around(-most, most),
        "points w.b.",
    );
    let zero = frame.y(0.0);
    let _ =
        writeln!(frame.svg, "<path class=\"zero\" d=\"M{LEFT} {zero:.1}H{:.1}\"/>", WIDTH - RIGHT);
    for residual in residuals {
        let (x, y) = (frame.x(residual.hours), frame.y(residual.points()));
        let _ = writeln!(
            frame.svg,
            "<path class=\"stem\" d=\"M{x:.1} {zero:.1}V{y:.1}\"/><circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\"/>"
        );
    }
    frame.figure(&caption)
}

/// A name for a drawing's title that is one word of plain letters.
fn id(kind: &str, name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("{kind}-{plain}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_end_on_round_numbers_around_the_values() {
        for (low, high) in [(8.2, 22.4), (-0.31, 0.31), (0.0, 44.0), (5.0, 5.0)] {
            let axis = Axis::around(low, high);
            let ticks: Vec<f64> = axis.ticks().collect();
            assert!(axis.low <= low && axis.high >= high);
            assert!((2..=8).contains(&ticks.len()), "{ticks:?}");
            assert!(axis.share(low).is_finite());
        }
    }

    #[test]
    fn a_drawing_has_a_title_and_no_holes() {
        let residuals = [(0.0, 22.1, 22.0), (6.0, 20.0, 20.2), (12.0, 18.0, 18.1)]
            .map(|(hours, measured_pct, fitted_pct)| Residual { hours, measured_pct, fitted_pct });
        for svg in [moistures("a &amp; b", &residuals), misses("a", &residuals)] {
            assert!(
                svg.contains("<title") && svg.contains("<desc") && svg.contains("role=\"img\"")
            );
            assert!(!svg.contains("NaN") && !svg.contains("inf"));
            assert_eq!(svg.matches("<circle").count(), 3);
        }
    }
}
