//! Weather years: one mark a year and option, so that the spread is seen.

use super::Draw;
use super::bars::shortened;
use super::canvas::BOLD_HAS;
use super::frame::{Frame, Label, Width, sheet, units};
use super::pen::Pen;
use crate::page::kit::axis::round_scale;
use plotters::element::{Circle, PathElement, Rectangle};
use plotters::style::text_anchor::{HPos, VPos};

/// One option's years.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RangeRow {
    /// Name of the option.
    pub name: String,
    /// A value a year.
    pub values: Vec<f64>,
    /// Low, middle and high of the years.
    pub range: [f64; 3],
}

/// The spread over weather years.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RangeRows {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the axis counts.
    pub unit: String,
    /// The options.
    pub rows: Vec<RangeRow>,
}

const ROW_PX: f64 = 48.0;

impl Draw for RangeRows {
    fn draw(&self, width: Width) -> String {
        let all = || self.rows.iter().flat_map(|row| row.values.iter().copied());
        let low = all().fold(f64::INFINITY, f64::min);
        let high = all().fold(f64::NEG_INFINITY, f64::max);
        let (range, ticks) = round_scale(low, high, width.pick(6, 3));
        let rows = self.rows.len().max(1) as f64;
        let bottom = 8.0 + ROW_PX * rows;
        let frame = Frame::of_rows([24.0, 8.0, width.px() - 28.0, bottom], (range, ticks), rows);
        sheet(&self.label, width, bottom + 42.0, |area| {
            let mut chart = frame.open_bare(area)?;
            for (at, row) in self.rows.iter().enumerate() {
                let middle = rows - at as f64 - 0.66;
                let [low, middle_value, high] = row.range;
                let span = [(low, middle + 0.13), (high, middle - 0.13)];
                chart.draw_series([Rectangle::new(span, Pen::Band.fill())])?;
                let line = vec![(middle_value, middle + 0.2), (middle_value, middle - 0.2)];
                chart.draw_series([PathElement::new(line, Pen::Tick.stroke())])?;
                let marks = row.values.iter().map(|&value| Circle::new((value, middle), 34, Pen::Fill6.fill()));
                chart.draw_series(marks)?;
                let (_, y) = chart.backend_coord(&(middle_value, rows - at as f64));
                area.draw_text(
                    &shortened(&row.name, (width.px() - 40.0) * BOLD_HAS),
                    &Pen::Strong.words(HPos::Left, VPos::Top),
                    (units(24.0), y + units(2.0)),
                )?;
            }
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Top), (units(24.0), units(bottom + 24.0)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn each_year_has_its_mark() {
        let chart = RangeRows {
            label: Label { id: "years".into(), title: "RangeRows".into(), desc: "Marks.".into() },
            unit: "USD a season".into(),
            rows: vec![RangeRow {
                name: "electric".into(),
                values: vec![41_000.0, 45_000.0, 52_000.0],
                range: [41_500.0, 45_000.0, 51_000.0],
            }],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert_eq!(svg.matches("<circle").count(), 3);
        }
    }
}
