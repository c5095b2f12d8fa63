//! Layers by day, stacked.

use super::frame::{Label, Width, sheet, stack, stack_height};
use super::pen::Pen;
use super::{Days, Draw};
use crate::page::kit::axis::{round_scale, tick_words};

/// Layers by day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StackedDays {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// What the height counts.
    pub unit: String,
    /// The layers from the base up: pen and value of each day.
    pub layers: Vec<(Pen, Vec<f64>)>,
}

impl Draw for StackedDays {
    fn draw(&self, width: Width) -> String {
        let most = stack_height(&self.layers);
        let (range, ticks) = round_scale(0.0, most, 5);
        let edges = [46.0, 28.0, width.px() - 6.0, width.pick(186.0, 246.0)];
        let frame = self.days.frame(edges, range, tick_words(&ticks), &self.unit);
        sheet(&self.label, width, width.pick(210.0, 270.0), |area| {
            let mut chart = frame.open(area)?;
            stack(&mut chart, &self.layers)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn layers_of_nothing_are_left_out() {
        let chart = StackedDays {
            label: Label { id: "heat".into(), title: "Heat".into(), desc: "By day.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 2 },
            unit: "heat, kWh a day".into(),
            layers: vec![(Pen::Fill1, vec![100.0, 1500.0]), (Pen::Fill2, vec![0.0, 0.0]), (Pen::Lack, vec![0.0, 20.0])],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains("\"c1\"") && svg.contains("\"lack\"") && !svg.contains("\"c2\""));
        }
    }
}
