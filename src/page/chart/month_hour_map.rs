//! A map of months by hours of the day: which share of the need was met.

use super::Draw;
use super::frame::{Frame, Label, Width, sheet};
use super::pen::Pen;
use crate::page::kit::months;
use plotters::element::Rectangle;

/// Shares by month and hour of day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MonthHourMap {
    /// Words for those who do not see it.
    pub label: Label,
    /// Calendar month and its 24 shares, 0..1; `None` where nothing was needed.
    pub months: Vec<(u32, Vec<Option<f64>>)>,
}

/// Upper bounds of all steps but the last.
pub(crate) const SHARE_BOUNDS: [f64; 5] = [0.1, 0.25, 0.5, 0.75, 0.95];

const ROW_PX: f64 = 22.0;

fn step(share: f64) -> usize {
    SHARE_BOUNDS.iter().filter(|&&bound| share > bound).count()
}

impl Draw for MonthHourMap {
    fn draw(&self, width: Width) -> String {
        let rows = self.months.len() as f64;
        let bottom = 28.0 + ROW_PX * rows;
        let name = |month: u32| months::short(month).to_owned();
        let frame = Frame {
            edges: [46.0, 28.0, width.px() - 20.0, bottom],
            x: 0.0..24.0,
            y: 0.0..rows.max(1.0),
            x_words: width
                .pick(vec![0, 3, 6, 9, 12, 15, 18, 21, 24], vec![0, 6, 12, 18, 24])
                .into_iter()
                .map(|hour| (f64::from(hour), format!("{hour:02}:00")))
                .collect(),
            x_lines: Vec::new(),
            y_words: self
                .months
                .iter()
                .enumerate()
                .map(|(row, month)| (rows - row as f64 - 0.5, name(month.0)))
                .collect(),
            y_title: "mean day of each month".into(),
        };
        sheet(&self.label, width, bottom + 24.0, |area| {
            let mut chart = frame.open(area)?;
            for (at, pen) in Pen::SHADES.iter().enumerate() {
                let mut cells = Vec::new();
                for (row, (_, shares)) in self.months.iter().enumerate() {
                    let top = rows - row as f64;
                    for (hour, share) in shares.iter().enumerate() {
                        if share.is_some_and(|share| step(share) == at) {
                            let left = hour as f64;
                            let corners = [(left, top), (left + 1.0, top - 1.0)];
                            cells.push(Rectangle::new(corners, pen.fill()));
                        }
                    }
                }
                chart.draw_series(cells)?;
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
    fn hours_that_need_nothing_stay_blank() {
        let chart = MonthHourMap {
            label: Label { id: "share".into(), title: "Share".into(), desc: "By month and hour.".into() },
            months: vec![(3, vec![Some(1.0); 24]), (4, vec![None; 24]), (5, vec![Some(0.3); 24])],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains("\"h6\"") && svg.contains("\"h3\"") && !svg.contains("\"h1\""));
        }
    }
}
