//! A calendar of the bins: a row a bin, a bar for each stay of a batch.

use super::frame::{Frame, Label, Width, sheet};
use super::pen::Pen;
use super::{Days, Draw};
use crate::answer::figures::Stay;
use plotters::element::Rectangle;

/// The bins through the season.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StayCalendar {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// Bins there are.
    pub bins: usize,
    /// Stays of batches.
    pub stays: Vec<Stay>,
}

/// Height of a bin's row, px, where there is room; many bins share what there is.
const ROW_PX: f64 = 18.0;
const MOST_PX: f64 = 640.0;
/// Part of a row that a bar fills.
const BAR: f64 = 0.72;
/// Rows closer than this have no number of their own, px.
const WORD_ROOM_PX: f64 = 14.0;

impl Draw for StayCalendar {
    fn draw(&self, width: Width) -> String {
        let bins = self.bins.max(1) as f64;
        let row_px = ROW_PX.min(MOST_PX / bins);
        let bottom = 28.0 + row_px * bins;
        let frame = Frame {
            y_words: self.row_words(row_px),
            ..self.days.frame([34.0, 28.0, width.px() - 6.0, bottom], 0.0..bins, Vec::new(), "bin")
        };
        let last = self.days.count.max(1) as f64;
        sheet(&self.label, width, bottom + 26.0, |area| {
            let mut chart = frame.open(area)?;
            let bar = |bin: usize, from: f64, to: f64, pen: Pen| {
                // The first bin stands on top.
                let middle = bins - bin as f64 - 0.5;
                let (low, high) = (middle - BAR / 2.0, middle + BAR / 2.0);
                let ends = [(from.clamp(0.0, last), low), (to.clamp(0.0, last), high)];
                Rectangle::new(ends, pen.fill())
            };
            // One pen after the other, so that like bars share a path.
            let drying = self.stays.iter().map(|stay| bar(stay.bin, stay.loaded, stay.dry, Pen::Fill6));
            chart.draw_series(drying)?;
            let cooling = self
                .stays
                .iter()
                .filter(|stay| stay.out > stay.dry)
                .map(|stay| bar(stay.bin, stay.dry, stay.out, Pen::Lack));
            chart.draw_series(cooling)?;
            Ok(())
        })
    }
}

impl StayCalendar {
    /// Numbers of the bins, as many as have room.
    fn row_words(&self, row_px: f64) -> Vec<(f64, String)> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few rows
        let every = (WORD_ROOM_PX / row_px).ceil().max(1.0) as usize;
        (0..self.bins).step_by(every).map(|bin| (self.bins as f64 - bin as f64 - 0.5, (bin + 1).to_string())).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;
    use chrono::NaiveDate;

    fn calendar(bins: usize) -> StayCalendar {
        StayCalendar {
            label: Label { id: "bins".into(), title: "Bins".into(), desc: "A row a bin.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 180 },
            bins,
            stays: (0..bins)
                .flat_map(|bin| {
                    (0..20).map(move |batch| {
                        let loaded = f64::from(batch) * 9.0;
                        Stay { bin, loaded, dry: loaded + 5.0, out: loaded + 5.2 }
                    })
                })
                .collect(),
        }
    }

    #[test]
    fn few_bins_and_many_are_readable() {
        for bins in [1, 8, 60, 400] {
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&calendar(bins).draw(width));
            }
        }
    }

    /// 8 bins x 20 batches in two pens: like bars share a path.
    #[test]
    fn a_season_of_batches_is_two_paths() {
        let svg = calendar(8).draw(Width::Wide);
        assert_eq!(svg.matches("class=\"c6\"").count(), 1);
        assert_eq!(svg.matches("class=\"lack\"").count(), 1);
        assert!(svg.len() < 16_000, "{}", svg.len());
    }

    #[test]
    fn a_batch_that_is_never_out_ends_with_the_days() {
        let mut one = calendar(1);
        one.stays = vec![Stay { bin: 0, loaded: 100.0, dry: 400.0, out: 400.0 }];
        let svg = one.draw(Width::Wide);
        assert_readable(&svg);
        assert!(!svg.contains("class=\"lack\""));
    }
}
