//! Gains at several places beside each other: by month as bars, and below by month and hour of day as a map. All panels
//! share their scales.

use super::Draw;
use super::bars::shortened;
use super::canvas::BOLD_HAS;
use super::frame::{Area, Drawn, Frame, Label, Width, sheet, units};
use super::gain_months::GainMonth;
use super::pen::Pen;
use crate::page::kit::axis::round_scale;
use crate::page::kit::months;
use plotters::element::Rectangle;
use plotters::style::text_anchor::{HPos, VPos};

/// One place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PlacePanel {
    /// What it is called.
    pub name: String,
    /// What it comes to, in a few words.
    pub worth: String,
    /// True of the one that is chosen.
    pub is_chosen: bool,
    /// The months in order.
    pub months: Vec<GainMonth>,
    /// What is left in each hour of the day, a row for each month.
    pub by_hour: Vec<Vec<f64>>,
}

/// Places beside each other.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PlacePanels {
    /// Words for those who do not see it.
    pub label: Label,
    /// What the bars count.
    pub unit: String,
    /// The places: side by side on a page, one below the other on a narrow screen.
    pub panels: Vec<PlacePanel>,
    /// Width of a step of the map, as [`gain_step`] finds it.
    pub step: f64,
}

const AXIS_PX: f64 = 68.0;
const NAME_PX: f64 = 50.0;
const BARS_PX: f64 = 96.0;
const ROW_PX: f64 = 9.0;
/// Room for the months' and the hours' words.
const WORDS_PX: f64 = 20.0;

/// A round step of which the largest of these values, in size, takes at most four.
pub(crate) fn gain_step(values: impl Iterator<Item = f64>) -> f64 {
    let most = values.filter(|value| value.is_finite()).fold(0.0_f64, |most, value| most.max(value.abs()));
    let (_, ticks) = round_scale(0.0, most.max(1e-6), 4);
    ticks.get(1).copied().unwrap_or(1.0)
}

/// The pen of a value: paler the nearer it is to nothing. `None` of what is next to nothing.
fn shade(value: f64, step: f64) -> Option<Pen> {
    let size = value.abs() / step;
    if size < 0.05 {
        return None;
    }
    Some(match (value > 0.0, size) {
        (true, ..=1.0) => Pen::Gain1,
        (true, ..=2.0) => Pen::Gain2,
        (true, ..=3.0) => Pen::Gain3,
        (true, _) => Pen::Gain4,
        (false, ..=1.0) => Pen::Loss1,
        (false, _) => Pen::Loss2,
    })
}

impl PlacePanels {
    fn bars(&self, area: &Area<'_>, panel: &PlacePanel, edges: [f64; 4], has_axis: bool) -> Drawn {
        let all = || self.panels.iter().flat_map(|panel| &panel.months);
        let most = all().map(|month| month.whole.max(month.gain)).fold(0.0, f64::max);
        let least = all().map(|month| (-month.loss).min(month.net)).fold(0.0, f64::min);
        let scale = round_scale(least, most, 3);
        let months = panel.months.iter().map(|month| month.month);
        let mut chart = Frame::open_of_months(area, edges, months, scale, has_axis)?;
        for (at, month) in panel.months.iter().enumerate() {
            let x = at as f64;
            for (height, pen, inset) in
                [(month.whole, Pen::Hollow, 0.15), (month.gain, Pen::Fill3, 0.22), (-month.loss, Pen::Fill1, 0.22)]
            {
                if height != 0.0 {
                    let shape = [(x + inset, 0.0), (x + 1.0 - inset, height)];
                    chart.draw_series([Rectangle::new(shape, pen.fill())])?;
                }
            }
        }
        Ok(())
    }

    fn map(&self, area: &Area<'_>, panel: &PlacePanel, edges: [f64; 4], has_axis: bool) -> Drawn {
        let rows = panel.by_hour.len() as f64;
        let letter = |month: &GainMonth| months::short(month.month)[..1].to_owned();
        let frame = Frame {
            edges,
            x: 0.0..24.0,
            y: 0.0..rows.max(1.0),
            x_words: [0, 6, 12, 18].iter().map(|&hour| (f64::from(hour), format!("{hour:02}"))).collect(),
            x_lines: Vec::new(),
            y_words: Vec::new(),
            y_title: String::new(),
        };
        let mut chart = frame.open_bare(area)?;
        for pen in [Pen::Gain1, Pen::Gain2, Pen::Gain3, Pen::Gain4, Pen::Loss1, Pen::Loss2] {
            let mut cells = Vec::new();
            for (row, hours) in panel.by_hour.iter().enumerate() {
                let top = rows - row as f64;
                for (hour, value) in hours.iter().enumerate() {
                    if shade(*value, self.step) == Some(pen) {
                        let left = hour as f64;
                        cells.push(Rectangle::new([(left, top), (left + 1.0, top - 1.0)], pen.fill()));
                    }
                }
            }
            chart.draw_series(cells)?;
        }
        // Beside the field without the lines that an axis draws across it.
        for (row, month) in panel.months.iter().enumerate().filter(|_| has_axis) {
            let y = edges[1] + (edges[3] - edges[1]) * (row as f64 + 0.5) / rows.max(1.0);
            let style = Pen::Quiet.words(HPos::Right, VPos::Center);
            area.draw_text(&letter(month), &style, (units(edges[0] - 5.0), units(y)))?;
        }
        Ok(())
    }
}

impl Draw for PlacePanels {
    fn draw(&self, width: Width) -> String {
        let count = self.panels.len().max(1) as f64;
        let rows = self.panels.iter().map(|panel| panel.by_hour.len()).max().unwrap_or(0) as f64;
        // A row must have room for its letter.
        let row_px = width.pick(ROW_PX.max(11.0), 12.0);
        let panel_px = NAME_PX + BARS_PX + WORDS_PX + 8.0 + row_px * rows + WORDS_PX;
        let each = width.pick((width.px() - AXIS_PX) / count, width.px() - AXIS_PX);
        let height = width.pick(panel_px, (panel_px + 10.0) * count) + 18.0;
        sheet(&self.label, width, height, |area| {
            for (at, panel) in self.panels.iter().enumerate() {
                let at = at as f64;
                let (left, top) = width.pick((AXIS_PX + at * each, 0.0), (AXIS_PX, at * (panel_px + 10.0)));
                let has_axis = at == 0.0 || width == Width::Narrow;
                let right = left + each - 14.0;
                let words_left = if has_axis { left - AXIS_PX + 2.0 } else { left };
                let pen = if panel.is_chosen { Pen::Best } else { Pen::Strong };
                let room = each - 16.0;
                // A long name breaks at its comma.
                let (first, second) = panel.name.split_once(", ").unwrap_or((&panel.name, ""));
                let lines = [(first, pen), (second, pen), (&panel.worth, Pen::Text)];
                let mut y = top + 2.0;
                for (line, pen) in lines.into_iter().filter(|(line, _)| !line.is_empty()) {
                    let style = pen.words(HPos::Left, VPos::Top);
                    area.draw_text(&shortened(line, room * BOLD_HAS), &style, (units(words_left), units(y)))?;
                    y += 15.0;
                }
                let bars_end = top + NAME_PX + BARS_PX;
                self.bars(area, panel, [left, top + NAME_PX + 4.0, right, bars_end], has_axis)?;
                let map_top = bars_end + WORDS_PX + 8.0;
                self.map(area, panel, [left, map_top, right, map_top + row_px * rows], has_axis)?;
            }
            area.draw_text(&self.unit, &Pen::Quiet.words(HPos::Left, VPos::Bottom), (units(2.0), units(height - 2.0)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    #[test]
    fn places_share_their_scales_whatever_their_values() {
        let panel = |name: &str, scale: f64| PlacePanel {
            name: name.into(),
            worth: "saves 120 USD".into(),
            is_chosen: scale > 1.0,
            months: (3..=10)
                .map(|month| GainMonth { month, whole: 9.0 * scale, gain: 7.0 * scale, loss: scale, net: 6.0 * scale })
                .collect(),
            by_hour: vec![vec![scale; 24]; 8],
        };
        let chart = |panels: Vec<PlacePanel>| {
            let all = panels.iter().flat_map(|panel| panel.by_hour.iter().flatten().copied()).collect::<Vec<_>>();
            PlacePanels {
                label: Label { id: "places".into(), title: "Places".into(), desc: "Beside each other.".into() },
                unit: "kWh a month".into(),
                step: gain_step(all.into_iter()),
                panels,
            }
        };
        for scales in [[1.0, 40.0, -3.0, 0.0], [0.0; 4], [1e6, 1.0, 1.0, 1.0]] {
            let chart = chart(
                ["in the room", "in the intake", "switched, room or outdoors", "switched, intake"]
                    .iter()
                    .zip(scales)
                    .map(|(name, scale)| panel(name, scale))
                    .collect(),
            );
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&chart.draw(width));
            }
        }
    }

    #[test]
    fn losses_and_gains_have_their_own_shades() {
        assert_eq!(shade(0.01, 1.0), None);
        assert_eq!(shade(0.5, 1.0), Some(Pen::Gain1));
        assert_eq!(shade(3.5, 1.0), Some(Pen::Gain4));
        assert_eq!(shade(-0.5, 1.0), Some(Pen::Loss1));
        assert_eq!(shade(-1.5, 1.0), Some(Pen::Loss2));
    }
}
