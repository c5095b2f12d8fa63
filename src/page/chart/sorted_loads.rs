//! Load-duration curves: hours sorted by their load, highest first.

use super::Draw;
use super::bars::shortened;
use super::canvas::text_width_px;
use super::frame::{Frame, Label, Width, sheet, spread, units};
use super::pen::{Pen, WORD_PX};
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::PathElement;
use plotters::style::text_anchor::{HPos, VPos};

/// One curve.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LoadCurve {
    /// Whose it is.
    pub name: String,
    /// Its line.
    pub pen: Pen,
    /// Hours of a season up to each point.
    pub hours: Vec<f64>,
    /// Loads there, kW, highest first.
    pub kw: Vec<f64>,
}

impl LoadCurve {
    fn end(&self) -> f64 {
        self.hours.last().copied().unwrap_or(0.0)
    }
}

/// Load-duration curves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SortedLoads {
    /// Words for those who do not see it.
    pub label: Label,
    /// What is asked for, and its unit: `heat, kW`.
    pub y_title: String,
    /// The curves, at most four.
    pub curves: Vec<LoadCurve>,
    /// Levels to compare with: words and kW.
    pub levels: Vec<(String, f64)>,
}

impl Draw for SortedLoads {
    fn draw(&self, width: Width) -> String {
        let hours = self.curves.iter().map(LoadCurve::end).fold(0.0, f64::max);
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
            y_title: self.y_title.clone(),
        };
        sheet(&self.label, width, 286.0, |area| {
            let mut chart = frame.open(area)?;
            let mut names = Vec::new();
            for curve in &self.curves {
                let Some(&last) = curve.kw.last() else {
                    continue;
                };
                let points: Vec<_> = curve.hours.iter().copied().zip(curve.kw.iter().copied()).collect();
                names.push((curve.name.clone(), chart.backend_coord(&(0.0, last)).1));
                chart.draw_series([PathElement::new(points, curve.pen.stroke())])?;
            }
            if width == Width::Narrow {
                // No room beside the field; the key below names the curves.
                names.clear();
            }
            for (words, kw) in &self.levels {
                // On a narrow field the words stand at the line's own end, not upon it.
                let words_px = width.pick(0.0, text_width_px(words, WORD_PX) + 8.0);
                let ends = vec![(0.0, *kw), (hours * (1.0 - words_px / (right - edges[0])).max(0.0), *kw)];
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
    fn a_curve_is_drawn_with_its_name_and_levels() {
        let hours: Vec<f64> = (0..=240).map(|point| f64::from(point) * 18.4).collect();
        let kw: Vec<f64> = hours.iter().map(|hour| 93.0 - hour * 0.02).collect();
        let chart = SortedLoads {
            label: Label { id: "duration".into(), title: "SortedLoads".into(), desc: "Sorted.".into() },
            y_title: "heat, kW".into(),
            curves: vec![LoadCurve { name: "heat need".into(), pen: Pen::Line1, hours, kw }],
            levels: vec![("99 %: 88 kW".into(), 88.0), ("100 %: 93 kW".into(), 93.0)],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.len() < 8_000, "{}", svg.len());
        }
    }
}
