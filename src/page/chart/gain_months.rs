//! Gains by month: of what they are a part, what hangs below the line against them, and what is left.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet};
use super::pen::Pen;
use crate::page::kit::axis::round_scale;
use plotters::element::{PathElement, Rectangle};

/// One month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GainMonth {
    /// 1..12.
    pub month: u32,
    /// What could be gained: a hollow bar.
    pub whole: f64,
    /// What was gained.
    pub gain: f64,
    /// What it cost, drawn below the line.
    pub loss: f64,
    /// What is left: a line across.
    pub net: f64,
}

/// Gains and losses by month.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct GainMonths {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the height counts.
    pub unit: String,
    /// The months in order.
    pub months: Vec<GainMonth>,
}

impl Draw for GainMonths {
    fn draw(&self, width: Width) -> String {
        let of = |part: fn(&GainMonth) -> f64| self.months.iter().map(part);
        let most = of(|m| m.whole.max(m.gain).max(m.net)).fold(0.0, f64::max);
        let least = of(|m| (-m.loss).min(m.net)).fold(0.0, f64::min);
        let frame = Frame::of_months(
            [52.0, 28.0, width.px() - 6.0, 256.0],
            self.months.iter().map(|month| month.month),
            round_scale(least, most, 6),
            &self.unit,
        );
        sheet(&self.label, width, 280.0, |area| {
            let mut chart = frame.open(area)?;
            for (at, month) in self.months.iter().enumerate() {
                let x = at as f64;
                let mut bar = |height: f64, from: f64, to: f64, pen: Pen| {
                    let shape = [(x + from, 0.0), (x + to, height)];
                    chart.draw_series([Rectangle::new(shape, pen.fill())]).map(|_| ())
                };
                if month.whole > 0.0 {
                    bar(month.whole, 0.2, 0.8, Pen::Hollow)?;
                }
                if month.gain > 0.0 {
                    bar(month.gain, 0.28, 0.72, Pen::Fill3)?;
                }
                if month.loss > 0.0 {
                    bar(-month.loss, 0.28, 0.72, Pen::Fill1)?;
                }
                if month.whole > 0.0 {
                    let line = vec![(x + 0.12, month.net), (x + 0.88, month.net)];
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
    fn a_penalty_hangs_below_the_line() {
        let month = |month, net| GainMonth { month, whole: 9_000.0, gain: 7_000.0, loss: 1_500.0, net };
        let chart = GainMonths {
            label: Label { id: "credit".into(), title: "GainMonths".into(), desc: "By month.".into() },
            unit: "kWh a month".into(),
            months: vec![month(3, 5_500.0), month(4, -500.0)],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains(">\u{2212}2\u{202f}000<"));
        }
    }
}
