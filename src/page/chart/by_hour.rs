//! A mean day: heat needed, heat given off and heat of use, hour by hour.

use super::Draw;
use super::canvas::text_width_px;
use super::frame::{Frame, Label, Width, sheet, spread, step_shape, units};
use super::pen::{Pen, WORD_PX};
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::PathElement;
use plotters::style::text_anchor::{HPos, VPos};

/// A mean day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ByHour {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the height counts.
    pub unit: String,
    /// A filled curve below the others: its values by hour.
    pub filled: Vec<f64>,
    /// Curves: name, pen, values by hour.
    pub curves: Vec<(String, Pen, Vec<f64>)>,
}

impl Draw for ByHour {
    fn draw(&self, width: Width) -> String {
        let most = self
            .curves
            .iter()
            .flat_map(|curve| curve.2.iter().copied())
            .chain(self.filled.iter().copied())
            .fold(0.0, f64::max);
        let (range, ticks) = round_scale(0.0, most, 5);
        let names = self.curves.iter().map(|curve| text_width_px(&curve.0, WORD_PX)).fold(0.0, f64::max);
        let edges = [44.0, 28.0, width.px() - names - 12.0, 216.0];
        let frame = Frame {
            edges,
            x: 0.0..24.0,
            y: range,
            x_words: width
                .pick(vec![0, 3, 6, 9, 12, 15, 18, 21, 24], vec![0, 6, 12, 18, 24])
                .into_iter()
                .map(|hour| (f64::from(hour), format!("{hour:02}:00")))
                .collect(),
            x_lines: vec![6.0, 12.0, 18.0],
            y_words: tick_words(&ticks),
            y_title: self.unit.clone(),
        };
        sheet(&self.label, width, 240.0, |area| {
            let mut chart = frame.open(area)?;
            if self.filled.iter().any(|value| *value > 0.0) {
                let base = vec![0.0; self.filled.len()];
                chart.draw_series([step_shape(&base, &self.filled, Pen::Fill3)])?;
            }
            let mut ends = Vec::new();
            for (_, pen, values) in &self.curves {
                let points: Vec<_> = values
                    .iter()
                    .enumerate()
                    .flat_map(|(hour, &value)| [(hour as f64, value), (hour as f64 + 1.0, value)])
                    .collect();
                let last = points.last().copied().unwrap_or((24.0, 0.0));
                ends.push(f64::from(chart.backend_coord(&last).1) / 10.0);
                chart.draw_series([PathElement::new(points, pen.stroke())])?;
            }
            let places = spread(&ends, 14.0, edges[1], edges[3] - 6.0);
            for ((name, _, _), place) in self.curves.iter().zip(places) {
                area.draw_text(
                    name,
                    &Pen::Text.words(HPos::Left, VPos::Center),
                    (units(edges[2] + 6.0), units(place)),
                )?;
            }
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn curves_that_end_together_keep_their_names_apart() {
        let chart = ByHour {
            label: Label { id: "day".into(), title: "Mean day".into(), desc: "By hour.".into() },
            unit: "kW".into(),
            filled: vec![20.0; 24],
            curves: vec![
                ("needed".into(), Pen::Line1, vec![40.0; 24]),
                ("rejected".into(), Pen::Line2, vec![40.5; 24]),
                ("useful".into(), Pen::LineBase, vec![39.5; 24]),
            ],
        };
        for width in [Width::Wide, Width::Narrow] {
            assert_readable(&chart.draw(width));
        }
    }
}
