//! Outside temperature and humidity: a band a day from lowest to highest hour, and the day's mean.

use super::frame::{Area, Drawn, Label, Width, sheet, step_shape};
use super::pen::Pen;
use super::{Days, Draw};
use crate::number::Measure;
use crate::page::kit::axis::{round_scale, tick_words};
use plotters::element::PathElement;
use plotters::style::text_anchor::{HPos, VPos};

/// Lowest, mean and highest of a day.
pub(super) type DayBand = [f64; 3];

/// Outside air by day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DayBands {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// Dry bulb, °C.
    pub temperature: Vec<DayBand>,
    /// Relative humidity, %.
    pub humidity: Vec<DayBand>,
    /// Set air temperature to mark, °C; none where air is not heated.
    pub set_c: Option<f64>,
}

impl Draw for DayBands {
    fn draw(&self, width: Width) -> String {
        sheet(&self.label, width, 328.0, |area| {
            let celsius = Measure::of("°C");
            let temperature: Vec<DayBand> =
                self.temperature.iter().map(|band| band.map(|value| celsius.value(value))).collect();
            let set =
                self.set_c.map(|set_c| (celsius.value(set_c), format!("{} {}", celsius.number(set_c), celsius.sign())));
            let level = || set.iter().map(|(level, _)| *level);
            let low = level().fold(lowest(&temperature), f64::min);
            let high = level().fold(lowest_highest(&temperature), f64::max);
            let title = format!("outside dry bulb, {}", celsius.sign());
            self.panel(area, width, 26.0, &title, &temperature, (low, high), set)?;
            self.panel(area, width, 190.0, "outside relative humidity, %", &self.humidity, (0.0, 100.0), None)
        })
    }
}

fn lowest(bands: &[DayBand]) -> f64 {
    bands.iter().map(|band| band[0]).fold(f64::INFINITY, f64::min)
}

fn lowest_highest(bands: &[DayBand]) -> f64 {
    bands.iter().map(|band| band[2]).fold(f64::NEG_INFINITY, f64::max)
}

impl DayBands {
    #[allow(clippy::too_many_arguments)] // one call site each, all plain
    fn panel(
        &self,
        area: &Area<'_>,
        width: Width,
        top: f64,
        title: &str,
        bands: &[DayBand],
        (low, high): (f64, f64),
        level: Option<(f64, String)>,
    ) -> Drawn {
        let (range, ticks) = round_scale(low, high, 5);
        let edges = [34.0, top, width.px() - 6.0, top + 108.0];
        let frame = self.days.frame(edges, range, tick_words(&ticks), title);
        let mut chart = frame.open(area)?;
        let column = |part: usize| bands.iter().map(|band| band[part]).collect::<Vec<_>>();
        chart.draw_series([step_shape(&column(0), &column(2), Pen::Band)])?;
        let means = bands.iter().enumerate().map(|(day, band)| (day as f64 + 0.5, band[1]));
        chart.draw_series([PathElement::new(means.collect::<Vec<_>>(), Pen::Line1.stroke())])?;
        if let Some((level, said)) = level {
            let ends = vec![(0.0, level), (self.days.count as f64, level)];
            chart.draw_series([PathElement::new(ends, Pen::Level.stroke())])?;
            let (x, y) = chart.backend_coord(&(0.0, level));
            let words = format!("set air temperature {said}");
            area.draw_text(&words, &Pen::Text.words(HPos::Left, VPos::Top), (x + 60, y + 30))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn both_panels_are_readable() {
        let chart = DayBands {
            label: Label { id: "climate".into(), title: "Outside air".into(), desc: "Two panels.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 3 },
            temperature: vec![[10.0, 15.0, 20.0], [9.0, 14.0, 22.0], [-2.0, 5.0, 11.0]],
            humidity: vec![[40.0, 60.0, 95.0]; 3],
            set_c: Some(38.0),
        };
        for width in [Width::Wide, Width::Narrow] {
            let svg = chart.draw(width);
            assert_readable(&svg);
            assert!(svg.contains("set air temperature 38 °C"));
        }
    }
}
