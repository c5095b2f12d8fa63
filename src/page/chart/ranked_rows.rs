//! Options ranked by what they cost: a bar of parts each, with how far the whole may lie.

use super::Draw;
use super::bars::{countable, shortened};
use super::canvas::{BOLD_HAS, text_width_px};
use super::frame::{Area, Drawn, Frame, Label, Width, sheet, units};
use super::pen::{Pen, WORD_PX};
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::{PathElement, Rectangle};
use plotters::style::text_anchor::{HPos, VPos};

/// One option.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RankedRow {
    /// Its name.
    pub name: String,
    /// Its parts, in the order of [`RankedRows::pens`]; what is no number or below zero counts as nothing.
    pub parts: Vec<f64>,
    /// Its sum, as words.
    pub total: String,
    /// Low and high of the whole; `None` where nothing is known of it.
    pub range: Option<[f64; 2]>,
    /// True of the one that is chosen.
    pub is_chosen: bool,
}

/// Options ranked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RankedRows {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the length counts.
    pub unit: String,
    /// Pens of the parts, from the base.
    pub pens: Vec<Pen>,
    /// The options, the best on top.
    pub rows: Vec<RankedRow>,
}

/// Height of a bar, of its row beside its name, and of its row below its name, px.
const BAR_PX: f64 = 14.0;
const ROW_PX: f64 = 22.0;
const TALL_ROW_PX: f64 = 42.0;
/// Most that names may take beside the bars, px.
const NAMES_PX: f64 = 260.0;

impl Draw for RankedRows {
    fn draw(&self, width: Width) -> String {
        let row_px = width.pick(ROW_PX, TALL_ROW_PX);
        let rows = self.rows.len().max(1) as f64;
        let widest = |text: fn(&RankedRow) -> &str| {
            let each = self
                .rows
                .iter()
                .map(|row| text_width_px(text(row), WORD_PX) / if row.is_chosen { BOLD_HAS } else { 1.0 });
            each.fold(0.0, f64::max)
        };
        let left = width.pick(widest(|row| &row.name).min(NAMES_PX) + 14.0, 2.0);
        let right = width.px() - widest(|row| &row.total) - 16.0;
        let most = self.rows.iter().map(|row| length(row).max(row.range.map_or(0.0, |[_, high]| high)));
        let most = most.filter(|value| value.is_finite()).fold(0.0, f64::max);
        let kept = ticks(most, right - left, width.pick(6, 3));
        let bottom = 4.0 + row_px * rows;
        let frame = Frame {
            edges: [left, 4.0, right, bottom],
            x: 0.0..most.max(1e-9),
            y: 0.0..rows,
            x_words: tick_words(&kept).into_iter().filter(|word| word.0 > 0.0).collect(),
            x_lines: kept,
            y_words: Vec::new(),
            y_title: String::new(),
        };
        sheet(&self.label, width, bottom + 36.0, |area| {
            let mut chart = frame.open_bare(area)?;
            for (at, row) in self.rows.iter().enumerate() {
                // The bar stands in the lower part of its row where its name stands above it.
                let lower = rows - at as f64 - 1.0 + (row_px.min(ROW_PX) - BAR_PX) / 2.0 / row_px;
                let upper = lower + BAR_PX / row_px;
                let mut start = 0.0;
                for (pen, value) in self.pens.iter().zip(&row.parts) {
                    let end = start + countable(*value);
                    if end > start {
                        chart.draw_series([Rectangle::new([(start, upper), (end, lower)], pen.fill())])?;
                    }
                    start = end;
                }
                let middle = f64::midpoint(lower, upper);
                if let Some([low, high]) = row.range {
                    let cap = 0.28 * BAR_PX / row_px;
                    let lines = [
                        vec![(low, middle), (high, middle)],
                        vec![(low, middle - cap), (low, middle + cap)],
                        vec![(high, middle - cap), (high, middle + cap)],
                    ];
                    chart.draw_series(lines.map(|line| PathElement::new(line, Pen::Whisker.stroke())))?;
                }
                let (_, y) = chart.backend_coord(&(0.0, middle));
                let (_, top) = chart.backend_coord(&(0.0, upper));
                words(area, row, width, (left, y, top))?;
            }
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Top), (units(left), units(bottom + 20.0)))
        })
    }
}

/// The name beside or above the bar, and the sum at its end.
fn words(area: &Area<'_>, row: &RankedRow, width: Width, (left, y, top): (f64, i32, i32)) -> Drawn {
    let pen = if row.is_chosen { Pen::Strong } else { Pen::Text };
    let at_end = pen.words(HPos::Right, VPos::Center);
    let has = if row.is_chosen { BOLD_HAS } else { 1.0 };
    area.draw_text(&row.total, &at_end, (units(width.px() - 2.0), y))?;
    match width {
        Width::Wide => area.draw_text(&shortened(&row.name, NAMES_PX * has), &at_end, (units(left - 8.0), y)),
        Width::Narrow => area.draw_text(
            &shortened(&row.name, (width.px() - 10.0) * has),
            &pen.words(HPos::Left, VPos::Bottom),
            (units(left), top - units(3.0)),
        ),
    }
}

/// As many ticks as asked for, or as few as have room for their words.
fn ticks(most: f64, room_px: f64, wanted: usize) -> Vec<f64> {
    let of = |count: usize| -> Vec<f64> {
        let (_, ticks) = round_scale(0.0, most, count);
        ticks.into_iter().filter(|tick| *tick <= most * 1.02).collect()
    };
    let fits = |ticks: &Vec<f64>| {
        let words: f64 = tick_words(ticks).iter().map(|word| text_width_px(&word.1, WORD_PX) + 10.0).sum();
        words <= room_px
    };
    (1..=wanted).rev().map(of).find(fits).unwrap_or_default()
}

fn length(row: &RankedRow) -> f64 {
    row.parts.iter().copied().map(countable).sum()
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    fn rows(scale: f64) -> RankedRows {
        let row = |name: &str, parts: [f64; 2], is_chosen: bool| RankedRow {
            name: name.into(),
            parts: parts.map(|part| part * scale).to_vec(),
            total: "12 300".into(),
            range: is_chosen.then_some([10.0 * scale, 14.0 * scale]),
            is_chosen,
        };
        RankedRows {
            label: Label { id: "yearly".into(), title: "Costs".into(), desc: "One is least.".into() },
            unit: "USD a year".into(),
            pens: vec![Pen::Fill1, Pen::Fill5],
            rows: vec![
                row("one", [8.0, 4.0], true),
                row(
                    "a name that is far too long to stand beside any bar of any chart whatever",
                    [9.0, f64::NAN],
                    false,
                ),
            ],
        }
    }

    #[test]
    fn rows_are_readable_whatever_their_values() {
        for scale in [0.0, 1e-6, 1.0, 1e9, f64::NAN] {
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&rows(scale).draw(width));
            }
        }
    }

    #[test]
    fn a_range_is_drawn_where_it_is_known() {
        let drawn = |chart: &RankedRows| chart.draw(Width::Wide).matches("class=\"wh\"").count();
        let mut chart = rows(1.0);
        assert!(drawn(&chart) > 0);
        chart.rows[0].range = None;
        assert_eq!(drawn(&chart), 0);
    }
}
