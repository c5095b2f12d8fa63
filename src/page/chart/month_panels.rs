//! Parts by month, a panel each for what is compared, all to one scale.

use super::Draw;
use super::bars::shortened;
use super::canvas::BOLD_HAS;
use super::frame::{Frame, Label, Width, sheet, units};
use super::pen::Pen;
use crate::number::three;
use crate::page::kit::axis::round_scale;
use crate::page::kit::months;
use plotters::element::Rectangle;
use plotters::style::text_anchor::{HPos, VPos};

/// One panel.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MonthPanel {
    /// What it is of.
    pub name: String,
    /// What that is among the panels: a few words below its name.
    pub part: String,
    /// Months, 1..12, with their parts in the order of [`MonthPanels::pens`].
    pub months: Vec<(u32, Vec<f64>)>,
}

/// Panels of months.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MonthPanels {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the height counts.
    pub unit: String,
    /// Pens of the parts, from the base up.
    pub pens: Vec<Pen>,
    /// The panels: side by side on a page, one below the other on a narrow screen.
    pub panels: Vec<MonthPanel>,
}

/// Height of a panel with its name, px.
const PANEL_PX: f64 = 136.0;
/// Of which the name and what stands below it, px.
const NAME_PX: f64 = 44.0;
/// Room for the axis' words at the left of the first panel, px.
const AXIS_PX: f64 = 54.0;

impl Draw for MonthPanels {
    fn draw(&self, width: Width) -> String {
        let count = self.panels.len().max(1) as f64;
        let most = self.panels.iter().flat_map(|panel| &panel.months).map(|(_, parts)| sum(parts)).fold(0.0, f64::max);
        let (range, ticks) = round_scale(0.0, most, 3);
        let each = width.pick((width.px() - AXIS_PX) / count, width.px() - AXIS_PX);
        let height = width.pick(PANEL_PX, PANEL_PX * count) + 18.0;
        sheet(&self.label, width, height, |area| {
            for (at, panel) in self.panels.iter().enumerate() {
                let at = at as f64;
                let (left, top) = width.pick((AXIS_PX + at * each, 0.0), (AXIS_PX, at * PANEL_PX));
                let has_axis = at == 0.0 || width == Width::Narrow;
                let mut chart = Frame::open_of_months(
                    area,
                    [left, top + NAME_PX, left + each - 14.0, top + PANEL_PX - 18.0],
                    panel.months.iter().map(|(month, _)| *month),
                    (range.clone(), ticks.clone()),
                    has_axis,
                )?;
                for (place, (_, parts)) in panel.months.iter().enumerate() {
                    let (from, to) = (place as f64 + 0.15, place as f64 + 0.85);
                    let mut base = 0.0;
                    for (pen, value) in self.pens.iter().zip(parts) {
                        if *value > 0.0 {
                            chart.draw_series([Rectangle::new([(from, base), (to, base + value)], pen.fill())])?;
                            base += value;
                        }
                    }
                }
                if let Some((place, value)) = highest(panel) {
                    let (x, y) = chart.backend_coord(&(place as f64 + 0.5, value));
                    let words = Pen::Text.words(HPos::Center, VPos::Bottom);
                    area.draw_text(&three(value), &words, (x, y - units(2.0)))?;
                }
                let from = units(if has_axis { left - AXIS_PX + 2.0 } else { left });
                for (words, pen, down) in [
                    (shortened(&panel.name, (each - 6.0) * BOLD_HAS), Pen::Strong, 2.0),
                    (shortened(&panel.part, each - 6.0), Pen::Quiet, 16.0),
                ] {
                    area.draw_text(&words, &pen.words(HPos::Left, VPos::Top), (from, units(top + down)))?;
                }
            }
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Bottom), (units(2.0), units(height - 2.0)))
        })
    }
}

fn sum(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part.max(0.0)).sum()
}

/// Place and height of the highest month; nothing where all are empty.
fn highest(panel: &MonthPanel) -> Option<(usize, f64)> {
    let heights = panel.months.iter().map(|(_, parts)| sum(parts)).enumerate();
    heights.filter(|(_, height)| *height > 0.0).max_by(|a, b| a.1.total_cmp(&b.1))
}

impl MonthPanel {
    /// The month in words whose sum is the highest, and that sum; nothing where all are empty.
    pub(crate) fn highest(&self) -> Option<(&'static str, f64)> {
        highest(self).map(|(place, height)| (months::name(self.months[place].0), height))
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn panels_share_one_scale_and_name_their_highest_month() {
        let panel = |name: &str, scale: f64| MonthPanel {
            name: name.into(),
            part: "next best".into(),
            months: (3..=10).map(|month| (month, vec![f64::from(month) * scale, scale])).collect(),
        };
        let chart = MonthPanels {
            label: Label { id: "months".into(), title: "Bills".into(), desc: "They differ.".into() },
            unit: "USD a month".into(),
            pens: vec![Pen::Fill1, Pen::Fill6],
            panels: vec![panel("one", 1.0), panel("another", 40.0), panel("none", 0.0)],
        };
        for width in [Width::Wide, Width::Narrow] {
            let drawn = chart.draw(width);
            assert_readable(&drawn);
            assert!(drawn.contains(">440<") && drawn.contains(">11.0<"), "{drawn}");
        }
        assert_eq!(chart.panels[1].highest(), Some(("October", 440.0)));
        assert_eq!(chart.panels[2].highest(), None);
    }
}
