//! Parts by month, stacked, with a level to compare with across each bar.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet};
use super::pen::Pen;
use crate::page::kit::axis::round_scale;
use plotters::element::{PathElement, Rectangle};

/// One month.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StackedMonth {
    /// 1..12.
    pub month: u32,
    /// The parts, in the order of [`StackedMonths::pens`].
    pub parts: Vec<f64>,
    /// A level across the bar; `None` where there is nothing to compare with.
    pub level: Option<f64>,
}

/// Parts by month.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StackedMonths {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the height counts.
    pub unit: String,
    /// Pens of the parts, from the base up.
    pub pens: Vec<Pen>,
    /// The months in order.
    pub months: Vec<StackedMonth>,
}

impl Draw for StackedMonths {
    fn draw(&self, width: Width) -> String {
        let most = self
            .months
            .iter()
            .map(|month| {
                let sum: f64 = month.parts.iter().map(|part| part.max(0.0)).sum();
                sum.max(month.level.unwrap_or(0.0))
            })
            .fold(0.0, f64::max);
        let frame = Frame::of_months(
            [56.0, 28.0, width.px() - 6.0, 226.0],
            self.months.iter().map(|month| month.month),
            round_scale(0.0, most, 5),
            &self.unit,
        );
        sheet(&self.label, width, 250.0, |area| {
            let mut chart = frame.open(area)?;
            for (at, month) in self.months.iter().enumerate() {
                let (left, right) = (at as f64 + 0.2, at as f64 + 0.8);
                let mut base = 0.0;
                for (part, &value) in month.parts.iter().enumerate() {
                    if value > 0.0 {
                        let shape = [(left, base), (right, base + value)];
                        chart.draw_series([Rectangle::new(shape, self.pens[part].fill())])?;
                        base += value;
                    }
                }
                if let Some(level) = month.level {
                    let line = vec![(at as f64 + 0.1, level), (at as f64 + 0.9, level)];
                    chart.draw_series([PathElement::new(line, Pen::Tick.stroke())])?;
                }
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
    fn twelve_months_are_readable_on_a_narrow_screen() {
        let chart = StackedMonths {
            label: Label { id: "bill".into(), title: "Bill".into(), desc: "By month.".into() },
            unit: "USD a month".into(),
            pens: vec![Pen::Fill2, Pen::Fill4],
            months: (1..=12)
                .map(|month| StackedMonth {
                    month,
                    parts: vec![1000.0 * f64::from(month), -5.0],
                    level: Some(13_000.0),
                })
                .collect(),
        };
        for width in [Width::Wide, Width::Narrow] {
            assert_readable(&chart.draw(width));
        }
    }
}
