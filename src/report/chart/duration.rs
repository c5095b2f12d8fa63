//! Load-duration curves: hours sorted by their load, highest first.

use super::Draw;
use super::bars::shortened;
use super::frame::{Drawn, Frame, Label, Width, round_scale, sheet, spread, tick_words, units};
use super::pen::Pen;
use plotters::element::PathElement;
use plotters::style::text_anchor::{HPos, VPos};

/// One curve.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadCurve {
    /// Whose it is.
    pub name: String,
    /// Loads, kW, highest first.
    pub kw: Vec<f64>,
}

impl LoadCurve {
    fn hours(&self, years: f64) -> f64 {
        self.kw.len() as f64 / years
    }
}

/// Load-duration curves.
#[derive(Clone, Debug, PartialEq)]
pub struct Duration {
    /// Words for those who do not see it.
    pub label: Label,
    /// What is asked for: `heat`, `electricity`.
    pub of: &'static str,
    /// Seasons that the loads were taken from: the axis shows the hours of one.
    pub years: f64,
    /// The curves, at most four.
    pub curves: Vec<LoadCurve>,
    /// Levels to compare with: words and kW.
    pub levels: Vec<(String, f64)>,
}

/// Points that a curve is drawn with at most.
const POINTS: usize = 240;

impl Draw for Duration {
    fn draw(&self, width: Width) -> Drawn<String> {
        let hours = self.curves.iter().map(|c| c.hours(self.years)).fold(0.0, f64::max);
        let most = self
            .curves
            .iter()
            .filter_map(|curve| curve.kw.first().copied())
            .chain(self.levels.iter().map(|level| level.1))
            .fold(0.0, f64::max);
        let (range, ticks) = round_scale(0.0, most, 5);
        let (_, hour_ticks) = round_scale(0.0, hours, width.pick(6, 3));
        let shown: Vec<f64> = hour_ticks.into_iter().filter(|hour| *hour <= hours).collect();
        let right = width.px() - width.pick(140.0, 14.0);
        let edges = [44.0, 28.0, right, 246.0];
        let frame = Frame {
            edges,
            x: 0.0..hours.max(1.0),
            y: range,
            x_words: tick_words(&shown),
            x_lines: shown,
            y_words: tick_words(&ticks),
            y_title: format!("{}, kW", self.of),
        };
        sheet(&self.label, width, 286.0, |area| {
            let mut chart = frame.open(area)?;
            let pens = [Pen::Line1, Pen::Line2, Pen::Line3, Pen::Line4];
            let mut names = Vec::new();
            for (curve, pen) in self.curves.iter().zip(pens) {
                if curve.kw.is_empty() {
                    continue;
                }
                let step = curve.kw.len().div_ceil(POINTS);
                let mut points: Vec<_> = curve
                    .kw
                    .iter()
                    .enumerate()
                    .step_by(step)
                    .map(|(hour, &kw)| (hour as f64 / self.years, kw))
                    .collect();
                let last = curve.kw.last().copied().unwrap_or(0.0);
                points.push((curve.hours(self.years), last));
                names.push((curve.name.clone(), chart.backend_coord(&(0.0, last)).1));
                chart.draw_series([PathElement::new(points, pen.stroke())])?;
            }
            if width == Width::Narrow {
                // No room beside the field; the key below names the curves.
                names.clear();
            }
            for (words, kw) in &self.levels {
                let ends = vec![(0.0, *kw), (hours, *kw)];
                chart.draw_series([PathElement::new(ends, Pen::Level.stroke())])?;
                names.push((words.clone(), chart.backend_coord(&(0.0, *kw)).1));
            }
            let wanted: Vec<f64> = names.iter().map(|name| f64::from(name.1) / 10.0).collect();
            let places = spread(&wanted, 14.0, edges[1], edges[3] - 4.0);
            let (side, x) = width.pick((HPos::Left, right + 6.0), (HPos::Right, right - 2.0));
            for ((name, _), place) in names.iter().zip(places) {
                area.draw_text(
                    &shortened(name, 132.0),
                    &Pen::Text.words(side, VPos::Center),
                    (units(x), units(place)),
                )?;
            }
            area.draw_text(
                "hours of a season, the highest first",
                &Pen::Quiet.words(HPos::Right, VPos::Top),
                (units(right), units(edges[3] + 22.0)),
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn a_long_season_is_drawn_with_few_points() {
        let kw: Vec<f64> = (0..4416).map(|hour| 93.0 - f64::from(hour) * 0.02).collect();
        let chart = Duration {
            label: Label {
                id: "duration".into(),
                title: "Duration".into(),
                desc: "Sorted.".into(),
            },
            of: "heat",
            years: 1.0,
            curves: vec![LoadCurve { name: "heat need".into(), kw }],
            levels: vec![("99 %: 88 kW".into(), 88.0), ("100 %: 93 kW".into(), 93.0)],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width).unwrap();
            assert_readable(&svg);
            assert!(svg.len() < 8_000, "{}", svg.len());
        }
    }
}
