//! What each input alone makes of an answer: one bar an input, the longest on top.

use super::Draw;
use super::bars::shortened;
use super::canvas::{BOLD_HAS, text_width_px};
use super::frame::{Frame, Label, Width, sheet, units};
use super::pen::{Pen, WORD_PX};
use crate::page::kit::axis::round_scale;
use plotters::element::{PathElement, Rectangle};
use plotters::style::text_anchor::{HPos, VPos};

/// One input.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TornadoRow {
    /// What it is.
    pub name: String,
    /// The answer with the input at its low value.
    pub at_low: f64,
    /// The answer with the input at its high value.
    pub at_high: f64,
    /// The low value, as words.
    pub low: String,
    /// The high value, as words.
    pub high: String,
}

/// Inputs and an answer.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tornado {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the axis counts.
    pub unit: String,
    /// The answer with no input moved.
    pub middle: f64,
    /// The same as words, written above its line.
    pub middle_words: String,
    /// The inputs, first on top.
    pub rows: Vec<TornadoRow>,
}

const ROW_PX: f64 = 46.0;
const TOP_PX: f64 = 22.0;
const LEFT_PX: f64 = 2.0;
/// Room between the end of a bar and its words.
const GAP_PX: f64 = 5.0;
const NOT_MOVED: &str = "does not move it";

impl Draw for Tornado {
    fn draw(&self, width: Width) -> String {
        let values = || self.rows.iter().flat_map(|row| [row.at_low, row.at_high]);
        let low = values().fold(self.middle, f64::min);
        let high = values().fold(self.middle, f64::max);
        let (range, ticks) = round_scale(low, high, width.pick(6, 3));
        let rows = self.rows.len().max(1) as f64;
        let bottom = TOP_PX + ROW_PX * rows;
        // Words stand outside every bar, so that there is room for them at both sides.
        let frame = Frame::of_rows([self.room(), TOP_PX, width.px() - self.room(), bottom], (range, ticks), rows);
        sheet(&self.label, width, bottom + 42.0, |area| {
            let mut chart = frame.open_bare(area)?;
            for (at, row) in self.rows.iter().enumerate() {
                let centre = rows - at as f64 - 0.66;
                // The longer part first, so that the shorter one is seen where both lie on one side.
                let mut parts = [(row.at_low, Pen::Fill6), (row.at_high, Pen::Lack)];
                let length = |end: f64| (end - self.middle).abs();
                parts.sort_by(|a, b| length(b.0).total_cmp(&length(a.0)));
                for ((end, pen), half) in parts.into_iter().zip([0.18, 0.10]) {
                    let is_beyond = (row.at_low > self.middle) == (row.at_high > self.middle);
                    let half = if is_beyond { half } else { 0.18 };
                    if length(end) > 0.0 {
                        let bar = [(self.middle, centre + half), (end, centre - half)];
                        chart.draw_series([Rectangle::new(bar, pen.fill())])?;
                    }
                }
                // Beside the bar alone: a line all the way down would cross the names.
                let line = vec![(self.middle, centre + 0.3), (self.middle, centre - 0.3)];
                chart.draw_series([PathElement::new(line, Pen::Level.stroke())])?;
                let (_, top) = chart.backend_coord(&(self.middle, rows - at as f64));
                area.draw_text(
                    &shortened(&row.name, (width.px() - 2.0 * LEFT_PX) * BOLD_HAS),
                    &Pen::Strong.words(HPos::Left, VPos::Top),
                    (units(LEFT_PX), top + units(2.0)),
                )?;
                let is_right = self.middle > f64::midpoint(frame.x.start, frame.x.end);
                for (words, end, side) in self.ends(row, is_right) {
                    let (x, y) = chart.backend_coord(&(end, centre));
                    let gap = units(GAP_PX);
                    let x = if matches!(side, HPos::Left) { x + gap } else { x - gap };
                    area.draw_text(words, &Pen::Text.words(side, VPos::Center), (x, y))?;
                }
            }
            let (x, _) = chart.backend_coord(&(self.middle, rows));
            let half = units(text_width_px(&self.middle_words, WORD_PX) / 2.0 + 2.0);
            let x = x.clamp(half, (units(width.px()) - half).max(half));
            area.draw_text(&self.middle_words, &Pen::Text.words(HPos::Center, VPos::Top), (x, units(4.0)))?;
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Top), (units(LEFT_PX), units(bottom + 24.0)))
        })
    }
}

impl Tornado {
    /// Room for the longest words beside a bar, px.
    fn room(&self) -> f64 {
        let words = self.rows.iter().flat_map(|row| [row.low.as_str(), row.high.as_str()]);
        let longest = words.map(|words| text_width_px(words, WORD_PX));
        longest.fold(24.0, f64::max) + 2.0 * GAP_PX
    }

    /// Words at the two ends of a bar, where each ends and which side of the words stands there. There is
    /// room for many words on the left of a middle that lies to the right, and on the right of another.
    fn ends<'a>(&self, row: &'a TornadoRow, middle_is_right: bool) -> Vec<(&'a str, f64, HPos)> {
        if row.at_low == self.middle && row.at_high == self.middle {
            let side = if middle_is_right { HPos::Right } else { HPos::Left };
            return vec![(NOT_MOVED, self.middle, side)];
        }
        let (left, right) = if row.at_low <= row.at_high { (&row.low, &row.high) } else { (&row.high, &row.low) };
        let least = row.at_low.min(row.at_high).min(self.middle);
        let most = row.at_low.max(row.at_high).max(self.middle);
        vec![(left, least, HPos::Right), (right, most, HPos::Left)]
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    fn row(name: &str, at_low: f64, at_high: f64) -> TornadoRow {
        TornadoRow { name: name.into(), at_low, at_high, low: "18.7".into(), high: "21.3".into() }
    }

    fn chart(middle: f64, rows: Vec<TornadoRow>) -> Tornado {
        Tornado {
            label: Label { id: "tornado".into(), title: "What moves the saving".into(), desc: "Bars.".into() },
            unit: "USD".into(),
            middle,
            middle_words: format!("with the study’s own values: ${middle}"),
            rows,
        }
    }

    #[test]
    fn bars_of_all_kinds_are_readable() {
        let rows = vec![
            row("crop.received_moisture with a long name that goes on and on, % w.b.", -4_000.0, 90_000.0),
            row("falls", 60_000.0, 20_000.0),
            row("on one side", 55_000.0, 70_000.0),
            row("does nothing", 50_000.0, 50_000.0),
        ];
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart(50_000.0, rows.clone()).draw(width);
            assert_readable(&svg);
            assert!(svg.contains(NOT_MOVED));
            assert_eq!(svg.matches(">18.7<").count(), 3);
        }
    }

    #[test]
    fn an_answer_that_nothing_moves_is_readable_too() {
        for middle in [0.0, -3.0, 7e6] {
            for width in [Width::Wide, Width::Narrow] {
                let svg = chart(middle, vec![row("nothing", middle, middle)]).draw(width);
                assert_readable(&svg);
            }
        }
    }
}
