//! Recovered heat by month: what was given off, what of it was useful, and what it cost.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet};
use super::pen::Pen;
use crate::page::kit::axis::{round_scale, tick_words};
use crate::page::kit::months;
use plotters::element::{PathElement, Rectangle};

/// One month, kWh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GainMonth {
    /// 1..12.
    pub month: u32,
    /// Given off where it could be used.
    pub gross_kwh: f64,
    /// What displaced need.
    pub useful_kwh: f64,
    /// Electricity above that of condensers outdoors.
    pub penalty_kwh: f64,
    /// Energy displaced less penalty.
    pub net_kwh: f64,
}

/// Recovered heat by month.
#[derive(Clone, Debug, PartialEq)]
pub struct GainMonths {
    /// Words for those who do not see it.
    pub label: Label,
    /// The months in order.
    pub months: Vec<GainMonth>,
}

impl Draw for GainMonths {
    fn draw(&self, width: Width) -> String {
        let of = |part: fn(&GainMonth) -> f64| self.months.iter().map(part);
        let most = of(|m| m.gross_kwh.max(m.useful_kwh).max(m.net_kwh)).fold(0.0, f64::max);
        let least = of(|m| (-m.penalty_kwh).min(m.net_kwh)).fold(0.0, f64::min);
        let (range, ticks) = round_scale(least, most, 6);
        let frame = Frame {
            edges: [52.0, 28.0, width.px() - 6.0, 256.0],
            x: 0.0..self.months.len().max(1) as f64,
            y: range,
            x_words: self
                .months
                .iter()
                .enumerate()
                .map(|(at, month)| (at as f64 + 0.5, months::short(month.month).to_owned()))
                .collect(),
            x_lines: Vec::new(),
            y_words: tick_words(&ticks),
            y_title: "kWh a month".into(),
        };
        sheet(&self.label, width, 280.0, |area| {
            let mut chart = frame.open(area)?;
            for (at, month) in self.months.iter().enumerate() {
                let x = at as f64;
                let mut bar = |kwh: f64, from: f64, to: f64, pen: Pen| {
                    let shape = [(x + from, 0.0), (x + to, kwh)];
                    chart.draw_series([Rectangle::new(shape, pen.fill())]).map(|_| ())
                };
                if month.gross_kwh > 0.0 {
                    bar(month.gross_kwh, 0.2, 0.8, Pen::Hollow)?;
                }
                if month.useful_kwh > 0.0 {
                    bar(month.useful_kwh, 0.28, 0.72, Pen::Fill3)?;
                }
                if month.penalty_kwh > 0.0 {
                    bar(-month.penalty_kwh, 0.28, 0.72, Pen::Fill2)?;
                }
                if month.gross_kwh > 0.0 {
                    let line = vec![(x + 0.12, month.net_kwh), (x + 0.88, month.net_kwh)];
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
        let month = |month, net_kwh| GainMonth {
            month,
            gross_kwh: 9_000.0,
            useful_kwh: 7_000.0,
            penalty_kwh: 1_500.0,
            net_kwh,
        };
        let chart = GainMonths {
            label: Label {
                id: "credit".into(),
                title: "GainMonths".into(),
                desc: "By month.".into(),
            },
            months: vec![month(3, 5_500.0), month(4, -500.0)],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains(">\u{2212}2\u{202f}000<"));
        }
    }
}
