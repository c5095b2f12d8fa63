//! The nuts through the season: bins in use, tonnes waiting (for a bin, and for a load), water removed.

use super::frame::{Label, Width, sheet, step_shape};
use super::pen::Pen;
use super::{Days, Draw};
use crate::number::{self, Measure};
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::PathElement;
use plotters::style::text_anchor::{HPos, VPos};

/// The nuts by day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DayPanels {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// Bins drying or cooling, mean of the day.
    pub bins: Vec<f64>,
    /// Bins there are.
    pub bins_there: f64,
    /// Tonnes waiting, highest of the day.
    pub waiting_t: Vec<f64>,
    /// Tonnes of it waiting for a bin to fall free, highest of the day.
    pub waiting_for_bin_t: Vec<f64>,
    /// Water removed, kg a day.
    pub water_kg: Vec<f64>,
}

const PANEL_PX: f64 = 114.0;

impl Draw for DayPanels {
    fn draw(&self, width: Width) -> String {
        let (tonne, water) = (Measure::of("t"), Measure::water("kg"));
        let (waiting, for_bin) = (tonne.values(&self.waiting_t), tonne.values(&self.waiting_for_bin_t));
        let of_water = water.values(&self.water_kg);
        let titles = [format!("nuts waiting, {}", tonne.sign()), format!("water removed, {} a day", water.sign())];
        let panels = [
            ("bins in use, mean of the day", &self.bins, Pen::Fill3, Some(self.bins_there), None),
            (&titles[0], &waiting, Pen::Fill4, None, Some((&for_bin, Pen::Fill2))),
            (&titles[1], &of_water, Pen::Fill1, None, None),
        ];
        sheet(&self.label, width, PANEL_PX * 3.0 + 4.0, |area| {
            for (at, (title, values, pen, level, part)) in panels.into_iter().enumerate() {
                let top = 26.0 + PANEL_PX * at as f64;
                let most = values.iter().copied().fold(level.unwrap_or(0.0), f64::max);
                let (range, ticks) = round_scale(0.0, most, 3);
                let edges = [46.0, top, width.px() - 6.0, top + PANEL_PX - 52.0];
                let frame = self.days.frame(edges, range, tick_words(&ticks), title);
                let mut chart = frame.open(area)?;
                for (values, pen) in std::iter::once((values, pen)).chain(part) {
                    if values.iter().any(|value| *value > 0.0) {
                        chart.draw_series([step_shape(&vec![0.0; values.len()], values, pen)])?;
                    }
                }
                if let Some(level) = level {
                    let ends = vec![(0.0, level), (self.days.count as f64, level)];
                    chart.draw_series([PathElement::new(ends, Pen::Level.stroke())])?;
                    let (x, y) = chart.backend_coord(&(0.0, level));
                    let bins = format!("{} bins on site", number::fixed(level, 0));
                    let words = Pen::Text.words(HPos::Left, VPos::Top);
                    area.draw_text(&bins, &words, (x + 60, y + 20))?;
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
    use chrono::NaiveDate;

    #[test]
    fn three_panels_share_their_days() {
        let chart = DayPanels {
            label: Label { id: "nuts".into(), title: "Nuts".into(), desc: "Three panels.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 40 },
            bins: vec![3.0; 40],
            bins_there: 10.0,
            waiting_t: vec![2.0; 40],
            waiting_for_bin_t: vec![0.5; 40],
            water_kg: vec![740.0; 40],
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert_eq!(svg.matches(">Mar<").count(), 3);
        }
    }
}
