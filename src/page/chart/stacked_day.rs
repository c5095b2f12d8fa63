//! Layers by the hour of the day, stacked.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet, stack, stack_height};
use super::pen::Pen;
use crate::page::kit::axis::{round_scale, tick_words};

/// A day of 24 hours and the layers of each.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StackedDay {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the height counts.
    pub unit: String,
    /// The layers from the base up: pen and value of each hour.
    pub layers: Vec<(Pen, Vec<f64>)>,
}

impl Draw for StackedDay {
    fn draw(&self, width: Width) -> String {
        let (range, ticks) = round_scale(0.0, stack_height(&self.layers), 5);
        let hours = width.pick(vec![0, 3, 6, 9, 12, 15, 18, 21, 24], vec![0, 6, 12, 18, 24]);
        let frame = Frame {
            edges: [60.0, 28.0, width.px() - 22.0, 226.0],
            x: 0.0..24.0,
            y: range,
            x_words: hours.iter().map(|&hour| (f64::from(hour), format!("{hour:02}:00"))).collect(),
            x_lines: vec![6.0, 12.0, 18.0],
            y_words: tick_words(&ticks),
            y_title: self.unit.clone(),
        };
        sheet(&self.label, width, 250.0, |area| {
            let mut chart = frame.open(area)?;
            stack(&mut chart, &self.layers)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn a_day_of_nothing_and_one_of_much_are_readable() {
        for scale in [0.0, 1.0, 1e6] {
            let chart = StackedDay {
                label: Label { id: "day".into(), title: "Day".into(), desc: "By hour.".into() },
                unit: "kW".into(),
                layers: vec![(Pen::Fill1, vec![scale; 24]), (Pen::Fill5, vec![2.0 * scale; 24])],
            };
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&chart.draw(width));
            }
        }
    }
}
