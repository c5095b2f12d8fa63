//! Options as bars, each made of parts.

use super::canvas::{BOLD_HAS, text_width_px};
use super::frame::{Label, Width, sheet, units};
use super::pen::{Pen, WORD_PX};
use super::{Draw, frame::Frame};
use crate::number;
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::Rectangle;
use plotters::style::text_anchor::{HPos, VPos};

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bar {
    /// What it is.
    pub name: String,
    /// Its parts, in the order of [`Bars::parts`]; what is no number or below zero counts as nothing.
    pub values: Vec<f64>,
    /// Its sum, as words.
    pub total: String,
}

/// Bars of parts.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bars {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the length counts.
    pub unit: String,
    /// Names and pens of the parts.
    pub parts: Vec<(String, Pen)>,
    /// The bars, first on top.
    pub rows: Vec<Bar>,
}

const BAR_PX: f64 = 22.0;
const ROW_PX: f64 = 52.0;
const TOP_PX: f64 = 8.0;

impl Draw for Bars {
    fn draw(&self, width: Width) -> String {
        let height = TOP_PX + ROW_PX * self.rows.len() as f64 + 40.0;
        let most = self.rows.iter().map(length).fold(0.0, f64::max);
        let room_right = 10.0 + self.longest_total();
        let right = width.px() - room_right;
        let left = 2.0;
        let (_, ticks) = round_scale(0.0, most, width.pick(6, 3));
        let kept: Vec<f64> = ticks.into_iter().filter(|tick| *tick <= most * 1.02).collect();
        let bottom = height - 38.0;
        let frame = Frame {
            edges: [left, TOP_PX, right, bottom],
            x: 0.0..most.max(1e-9),
            y: 0.0..self.rows.len().max(1) as f64,
            x_words: centred(tick_words(&kept)),
            x_lines: kept,
            y_words: Vec::new(),
            y_title: String::new(),
        };
        sheet(&self.label, width, height, |area| {
            let mut chart = frame.open_bare(area)?;
            for (row, bar) in self.rows.iter().enumerate() {
                let base = self.rows.len() as f64 - row as f64;
                let (upper, lower) = (base - (ROW_PX - BAR_PX - 6.0) / ROW_PX, base - (ROW_PX - 6.0) / ROW_PX);
                let mut start = 0.0;
                for (part, &value) in bar.values.iter().enumerate() {
                    let end = start + countable(value);
                    if end > start {
                        let pen = self.parts[part].1;
                        chart.draw_series([Rectangle::new([(start, upper), (end, lower)], pen.fill())])?;
                        let (from, y) = chart.backend_coord(&(start, f64::midpoint(upper, lower)));
                        let (to, _) = chart.backend_coord(&(end, 0.0));
                        let text = self.fitting(part, value, f64::from(to - from) / 10.0);
                        if let Some(text) = text {
                            area.draw_text(
                                &text,
                                &pen.words_on().words(HPos::Center, VPos::Center),
                                (i32::midpoint(from, to), y),
                            )?;
                        }
                    }
                    start = end;
                }
                let (x, y) = chart.backend_coord(&(start, f64::midpoint(upper, lower)));
                area.draw_text(&bar.total, &Pen::Strong.words(HPos::Left, VPos::Center), (x + units(6.0), y))?;
                let (x, y) = chart.backend_coord(&(0.0, upper));
                area.draw_text(
                    &shortened(&bar.name, (width.px() - 10.0) * BOLD_HAS),
                    &Pen::Strong.words(HPos::Left, VPos::Bottom),
                    (x, y - units(3.0)),
                )?;
            }
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Top), (units(left), units(bottom + 22.0)))
        })
    }
}

impl Bars {
    fn longest_total(&self) -> f64 {
        self.rows.iter().map(|bar| text_width_px(&bar.total, WORD_PX) / BOLD_HAS).fold(0.0, f64::max)
    }

    /// The name and value of a part, or its value alone, or nothing: what has room in the part.
    fn fitting(&self, part: usize, value: f64, room_px: f64) -> Option<String> {
        let value = number::three(value);
        let both = format!("{} {value}", self.parts[part].0);
        [both, value].into_iter().find(|text| text_width_px(text, WORD_PX) + 8.0 <= room_px)
    }
}

/// A part as it is drawn: what is no number or below zero counts as nothing.
pub(super) fn countable(value: f64) -> f64 {
    if value.is_finite() { value.max(0.0) } else { 0.0 }
}

fn length(bar: &Bar) -> f64 {
    bar.values.iter().copied().map(countable).sum()
}

/// The first word of an axis that starts at the edge would be cut: it is left out.
fn centred(words: Vec<(f64, String)>) -> Vec<(f64, String)> {
    words.into_iter().filter(|word| word.0 > 0.0).collect()
}

/// A text cut to a width in its middle: names that are long often differ at their end.
pub(super) fn shortened(text: &str, room_px: f64) -> String {
    if text_width_px(text, WORD_PX) <= room_px {
        return text.into();
    }
    let letters: Vec<char> = text.chars().collect();
    let cut = |kept: usize| {
        let tail = kept / 3;
        let part = |letters: &[char]| letters.iter().collect::<String>();
        let (head, tail) = (part(&letters[..kept - tail]), part(&letters[letters.len() - tail..]));
        format!("{}…{}", head.trim_end(), tail.trim_start())
    };
    let mut shorter = (0..letters.len()).rev().map(cut);
    shorter.find(|short| text_width_px(short, WORD_PX) <= room_px).unwrap_or_else(|| "…".to_owned())
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    fn bars(scale: f64) -> Bars {
        Bars {
            label: Label { id: "cost".into(), title: "Cost <by> line".into(), desc: "Bars.".into() },
            unit: "USD a season".into(),
            parts: vec![("heat".into(), Pen::Fill1), ("fans".into(), Pen::Fill2), ("store".into(), Pen::Fill3)],
            rows: vec![
                Bar {
                    name: "electric heaters & a very long name that goes on for far too long to fit a narrow screen"
                        .into(),
                    values: vec![21_000.0 * scale, 9_000.0 * scale, f64::NAN],
                    total: "30 000".into(),
                },
                Bar { name: "recovered".into(), values: vec![0.0, 300.0 * scale, -4.0], total: "300".into() },
            ],
        }
    }

    #[test]
    fn bars_are_readable_whatever_their_values() {
        for scale in [1.0, 0.0, 1e6] {
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&bars(scale).draw(width));
            }
        }
    }

    #[test]
    fn a_long_name_keeps_its_beginning_and_its_end() {
        let name = |number: u32| format!("gas with a name of some length, number {number}");
        let short = |number: u32| shortened(&name(number), 200.0);
        assert!(text_width_px(&short(7), WORD_PX) <= 200.0 && short(7).starts_with("gas with"), "{}", short(7));
        assert!(short(7) != short(8) && short(7).ends_with("number 7"), "{}", short(7));
        assert_eq!(shortened("gas", 160.0), "gas");
        assert_eq!(shortened("gas", 1.0), "…");
    }

    #[test]
    fn a_part_of_nothing_is_not_drawn() {
        let svg = bars(1.0).draw(Width::Wide);
        assert!(svg.contains("class=\"c1\"") && svg.contains("class=\"c2\""));
        assert!(!svg.contains("class=\"c3\""));
        assert!(svg.contains("Cost &lt;by&gt; line") && svg.contains("heaters &amp; a"));
    }
}
