//! A map of days by hours of the day.

use super::frame::{Label, Width, sheet, units};
use super::pen::Pen;
use super::{Days, Draw};
use plotters::element::Rectangle;
use plotters::style::text_anchor::{HPos, VPos};

/// Values by day and hour.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DayHourMap {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// Value of each hour from the first day's midnight on.
    pub hours: Vec<f64>,
    /// Said where no hour has any.
    pub empty: String,
    /// Upper bounds of all steps but the last, rising.
    pub bounds: Vec<f64>,
}

impl DayHourMap {
    /// The step of a value: hours of nothing have none.
    fn step(&self, kw: f64) -> Option<usize> {
        (kw > 0.0).then(|| self.bounds.iter().filter(|&&bound| kw > bound).count())
    }
}

impl Draw for DayHourMap {
    fn draw(&self, width: Width) -> String {
        let edges = [46.0, 28.0, width.px() - 6.0, 196.0];
        let hours = [0.0, 6.0, 12.0, 18.0, 24.0];
        let words = hours.iter().map(|&hour| (24.0 - hour, format!("{hour:02}:00"))).collect();
        let frame = self.days.frame(edges, 0.0..24.0, words, "hour of the day");
        sheet(&self.label, width, 220.0, |area| {
            let mut chart = frame.open(area)?;
            for (step, pen) in Pen::SHADES.iter().enumerate().take(self.bounds.len() + 1) {
                let mut runs = Vec::new();
                for (day, hours) in self.hours.chunks(24).enumerate() {
                    let mut start = None;
                    for hour in 0..=hours.len() {
                        let here = hours.get(hour).is_some_and(|kw| self.step(*kw) == Some(step));
                        match (start, here) {
                            (None, true) => start = Some(hour),
                            (Some(from), false) => {
                                runs.push(Rectangle::new(
                                    [(day as f64, 24.0 - from as f64), (day as f64 + 1.0, 24.0 - hour as f64)],
                                    pen.fill(),
                                ));
                                start = None;
                            }
                            _ => {}
                        }
                    }
                }
                chart.draw_series(runs)?;
            }
            if self.hours.iter().all(|kw| *kw <= 0.0) {
                let at = (units(width.px() / 2.0), units(112.0));
                let words = Pen::Text.words(HPos::Center, VPos::Center);
                area.draw_text(&self.empty, &words, at)?;
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

    fn map(hours: Vec<f64>) -> DayHourMap {
        DayHourMap {
            label: Label { id: "map".into(), title: "Map".into(), desc: "By hour.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: hours.len().div_ceil(24) },
            hours,
            empty: "no hour needs heat".into(),
            bounds: vec![20.0, 40.0, 60.0, 80.0, 100.0],
        }
    }

    #[test]
    fn equal_hours_run_together() {
        let svg = map(vec![30.0; 48]).draw(Width::Wide);
        assert_readable(&svg);
        let path = svg.lines().find(|line| line.contains("\"h2\"")).unwrap();
        assert_eq!(path.matches('M').count(), 2, "one run a day: {path}");
    }

    #[test]
    fn hours_without_need_stay_blank_and_a_season_without_says_so() {
        let svg = map(vec![0.0; 48]).draw(Width::Narrow);
        assert!(!svg.contains("class=\"h"));
        assert!(svg.contains("no hour needs heat"));
    }
}
