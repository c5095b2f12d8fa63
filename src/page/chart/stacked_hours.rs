//! Layers by hours that are sorted, stacked.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet, stack, stack_height, units};
use super::pen::Pen;
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::style::text_anchor::{HPos, VPos};

/// Sorted hours in steps, and the layers of each.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StackedHours {
    /// Words for those who do not see it.
    pub label: Label,
    /// Hours in each step.
    pub hours_per_step: f64,
    /// What the height counts.
    pub unit: String,
    /// What the hours are sorted by, written below them.
    pub below: String,
    /// The layers from the base up: pen and value of each step.
    pub layers: Vec<(Pen, Vec<f64>)>,
}

impl Draw for StackedHours {
    fn draw(&self, width: Width) -> String {
        let steps = self.layers.first().map_or(0, |layer| layer.1.len());
        let hours = self.hours_per_step * steps as f64;
        let most = stack_height(&self.layers);
        let (range, ticks) = round_scale(0.0, most, 5);
        let (_, hour_ticks) = round_scale(0.0, hours, width.pick(6, 3));
        let shown: Vec<f64> = hour_ticks.into_iter().filter(|hour| *hour <= hours).collect();
        // The field counts steps; words stand where their hours fall.
        let place = |hour: f64| hour / self.hours_per_step.max(1e-9);
        let right = width.px() - 14.0;
        let edges = [44.0, 28.0, right, 246.0];
        let frame = Frame {
            edges,
            x: 0.0..(steps as f64).max(1.0),
            y: range,
            x_words: tick_words(&shown).into_iter().map(|(hour, words)| (place(hour), words)).collect(),
            x_lines: shown.iter().map(|&hour| place(hour)).collect(),
            y_words: tick_words(&ticks),
            y_title: self.unit.clone(),
        };
        sheet(&self.label, width, 286.0, |area| {
            let mut chart = frame.open(area)?;
            stack(&mut chart, &self.layers)?;
            area.draw_text(
                &self.below,
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
    fn layers_stand_on_each_other_and_what_gave_nothing_is_left_out() {
        let chart = StackedHours {
            label: Label { id: "covered".into(), title: "StackedHours".into(), desc: "By source.".into() },
            hours_per_step: 73.0,
            unit: "heat, kW".into(),
            below: "hours of a season".into(),
            layers: vec![
                (Pen::Fill3, (0..60).map(f64::from).collect()),
                (Pen::Fill2, vec![30.0; 60]),
                (Pen::Lack, vec![0.0; 60]),
            ],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains("\"c3\"") && svg.contains("\"c2\"") && !svg.contains("\"lack\""));
        }
    }
}
