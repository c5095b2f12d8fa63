//! A calendar of the bins: a row a bin, room by room, a bar for each stay of a batch in the shades of its moisture, and
//! above them the days on which guards were broken.

use super::bars::shortened;
use super::canvas::BOLD_HAS;
use super::frame::{Area, Chart, Drawn, Frame, Label, Width, sheet, units};
use super::pen::Pen;
use super::{Days, Draw};
use crate::answer::figures::{RoomBins, Stay};
use plotters::element::{PathElement, Rectangle};
use plotters::style::text_anchor::{HPos, VPos};

/// A guard that was broken, by day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BrokenDays {
    /// What it is called, and for how long it was broken.
    pub name: String,
    /// Days on which it was broken, from 0.
    pub days: Vec<usize>,
}

/// The bins through the season.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StayCalendar {
    /// Words for those who do not see it.
    pub label: Label,
    /// The days.
    pub days: Days,
    /// The rooms and their bins.
    pub rooms: Vec<RoomBins>,
    /// Stays of batches; their bins are counted through all rooms.
    pub stays: Vec<Stay>,
    /// Moistures between the shades, % w.b., the driest first.
    pub bounds: Vec<f64>,
    /// The guards.
    pub guards: Vec<BrokenDays>,
}

/// Height of a bin's row, px, where there is room; many bins share what there is.
const ROW_PX: f64 = 18.0;
const MOST_PX: f64 = 640.0;
/// Part of a row that a bar fills.
const BAR: f64 = 0.72;
/// Rows closer than this have no number of their own, px.
const WORD_ROOM_PX: f64 = 14.0;
/// Height of a guard's words with its strip, and of the strip, px.
const GUARD_PX: f64 = 26.0;
const STRIP_PX: f64 = 7.0;
/// Height of a room's name above its bins, px.
const NAME_PX: f64 = 20.0;
/// Room at the left for the numbers of bins, px.
const LEFT_PX: f64 = 46.0;

impl Draw for StayCalendar {
    fn draw(&self, width: Width) -> String {
        let top = 6.0 + GUARD_PX * self.guards.len() as f64;
        let rows = Rows::of(&self.rooms, top + 22.0);
        let frame = Frame {
            y_words: rows.words(),
            ..self.days.frame([LEFT_PX, rows.top, width.px() - 6.0, rows.bottom], 0.0..rows.px(), Vec::new(), "bin")
        };
        sheet(&self.label, width, rows.bottom + 26.0, |area| {
            let mut chart = frame.open(area)?;
            self.bars(&mut chart, &rows)?;
            for (room, y) in self.rooms.iter().zip(&rows.names) {
                let (name, room_px) = (Pen::Strong.words(HPos::Left, VPos::Bottom), width.px() - LEFT_PX - 8.0);
                area.draw_text(&shortened(&room.room, room_px * BOLD_HAS), &name, (units(LEFT_PX), units(*y)))?;
            }
            self.strips(area, width)
        })
    }
}

impl StayCalendar {
    /// The stays, one shade after the other, so that like shapes share a path.
    fn bars(&self, chart: &mut Chart<'_, '_>, rows: &Rows) -> Drawn {
        let last = self.days.count.max(1) as f64;
        let bar = |bin: usize, (from, to): (f64, f64), pen: Pen| {
            let (low, high) = rows.bar(bin);
            Rectangle::new([(from.clamp(0.0, last), low), (to.clamp(0.0, last), high)], pen.fill())
        };
        let pieces: Vec<(usize, (f64, f64), usize)> = self
            .stays
            .iter()
            .flat_map(|stay| shades(stay, &self.bounds).into_iter().map(|(from_to, shade)| (stay.bin, from_to, shade)))
            .collect();
        for (place, pen) in Pen::moistures(self.bounds.len() + 1).into_iter().enumerate() {
            let of_shade = pieces.iter().filter(|(_, _, shade)| *shade == place);
            chart.draw_series(of_shade.map(|(bin, from_to, _)| bar(*bin, *from_to, pen)))?;
        }
        let cooling = self.stays.iter().filter(|stay| stay.out > stay.dry);
        chart.draw_series(cooling.map(|stay| bar(stay.bin, (stay.dry, stay.out), Pen::Cooling)))?;
        // Where one batch ends and the next begins is seen without colour too.
        for stay in &self.stays {
            let (low, high) = rows.bar(stay.bin);
            let at = stay.loaded.clamp(0.0, last);
            chart.draw_series([PathElement::new(vec![(at, low), (at, high)], Pen::Gap.stroke())])?;
        }
        Ok(())
    }

    /// What guards are called, each with a strip of the days on which it was broken below.
    fn strips(&self, area: &Area<'_>, width: Width) -> Drawn {
        let right = width.px() - 6.0;
        let day_px = (right - LEFT_PX) / self.days.count.max(1) as f64;
        for (at, guard) in self.guards.iter().enumerate() {
            let top = 4.0 + GUARD_PX * at as f64;
            let words = Pen::Text.words(HPos::Left, VPos::Top);
            area.draw_text(&shortened(&guard.name, right - LEFT_PX), &words, (units(LEFT_PX), units(top)))?;
            let (upper, lower) = (units(top + GUARD_PX - STRIP_PX - 3.0), units(top + GUARD_PX - 3.0));
            let days: Vec<usize> = guard.days.iter().copied().filter(|day| *day < self.days.count).collect();
            for run in days.chunk_by(|day, next| day + 1 == *next) {
                let (Some(first), Some(last)) = (run.first(), run.last()) else {
                    continue;
                };
                let left = LEFT_PX + *first as f64 * day_px;
                let right = LEFT_PX + (*last + 1) as f64 * day_px;
                // A day of a long season is thin: it is seen all the same.
                let ends = [(units(left), upper), (units(right.max(left + 1.5)), lower)];
                area.draw(&Rectangle::new(ends, Pen::Fill2.fill()))?;
            }
            let line = vec![(units(LEFT_PX), lower), (units(right), lower)];
            area.draw(&PathElement::new(line, Pen::Grid.stroke()))?;
        }
        Ok(())
    }
}

/// Where the rows of the bins stand.
struct Rows {
    top: f64,
    bottom: f64,
    row_px: f64,
    /// The upper edge of each bin's row, px below the top.
    edges: Vec<f64>,
    /// Numbers of the bins within their rooms.
    numbers: Vec<usize>,
    /// Where the names of several rooms stand.
    names: Vec<f64>,
}

impl Rows {
    fn of(rooms: &[RoomBins], top: f64) -> Self {
        let bins: usize = rooms.iter().map(|room| room.bins).sum();
        let row_px = ROW_PX.min(MOST_PX / bins.max(1) as f64);
        let (mut edges, mut numbers, mut names, mut down) = (Vec::new(), Vec::new(), Vec::new(), 0.0);
        for room in rooms {
            if rooms.len() > 1 {
                down += NAME_PX;
                names.push(top + down - 4.0);
            }
            for bin in 0..room.bins {
                edges.push(down);
                numbers.push(bin + 1);
                down += row_px;
            }
        }
        Self { top, bottom: top + down.max(row_px), row_px, edges, numbers, names }
    }

    fn px(&self) -> f64 {
        self.bottom - self.top
    }

    /// Lower and upper edge of a bin's bars, as the frame counts them: from the bottom up.
    fn bar(&self, bin: usize) -> (f64, f64) {
        let edge = self.edges.get(bin).copied().unwrap_or(0.0);
        let middle = self.px() - edge - self.row_px / 2.0;
        let half = self.row_px * BAR / 2.0;
        (middle - half, middle + half)
    }

    /// Numbers of the bins, as many as have room.
    fn words(&self) -> Vec<(f64, String)> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few rows
        let every = (WORD_ROOM_PX / self.row_px).ceil().max(1.0) as usize;
        let rows = self.edges.iter().zip(&self.numbers);
        let shown = rows.filter(|(_, number)| (*number - 1).is_multiple_of(every));
        shown.map(|(edge, number)| (self.px() - edge - self.row_px / 2.0, number.to_string())).collect()
    }
}

/// The parts of a stay's drying, from when to when, each with the place of its shade: moisture goes straight from one
/// look to the next, and a part ends where it crosses a bound.
fn shades(stay: &Stay, bounds: &[f64]) -> Vec<((f64, f64), usize)> {
    let shade = |moisture: f64| bounds.iter().filter(|bound| moisture > **bound).count();
    let mut parts: Vec<((f64, f64), usize)> = Vec::new();
    let mut add = |from: f64, to: f64, shade: usize| {
        let to = to.min(stay.dry);
        match parts.last_mut() {
            _ if to <= from => {}
            Some(((_, end), last)) if *last == shade => *end = to,
            _ => parts.push(((from, to), shade)),
        }
    };
    for pair in stay.moisture.windows(2) {
        let ((from, first), (to, second)) = (pair[0], pair[1]);
        let crossed = |bound: &f64| from + (to - from) * (bound - first) / (second - first);
        let is_between = |bound: &&f64| (first - **bound) * (second - **bound) < 0.0;
        let mut ends: Vec<f64> = bounds.iter().filter(is_between).map(crossed).chain([to]).collect();
        ends.sort_by(f64::total_cmp);
        let mut start = from;
        for end in ends {
            let middle = f64::midpoint(start, end);
            let there = if to > from { first + (second - first) * (middle - from) / (to - from) } else { first };
            add(start, end, shade(there));
            start = end;
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;
    use chrono::NaiveDate;

    fn stay(bin: usize, loaded: f64) -> Stay {
        let moisture = vec![(loaded, 22.0), (loaded + 2.0, 14.0), (loaded + 5.0, 9.0), (loaded + 5.2, 8.9)];
        Stay { bin, loaded, dry: loaded + 5.0, out: loaded + 5.2, moisture }
    }

    fn calendar(rooms: &[usize]) -> StayCalendar {
        let bins: usize = rooms.iter().sum();
        StayCalendar {
            label: Label { id: "bins".into(), title: "Bins".into(), desc: "A row a bin.".into() },
            days: Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 180 },
            rooms: rooms.iter().map(|&bins| RoomBins { room: "a room".into(), bins }).collect(),
            stays: (0..bins).flat_map(|bin| (0..20).map(move |batch| stay(bin, f64::from(batch) * 9.0))).collect(),
            bounds: vec![10.0, 12.0, 14.0, 16.0, 18.0],
            guards: vec![
                BrokenDays { name: "heat short, 12 h".into(), days: vec![3, 4, 179, 200] },
                BrokenDays {
                    name: "a guard of a name far too long to stand above any strip of days".into(),
                    days: vec![],
                },
            ],
        }
    }

    #[test]
    fn few_bins_and_many_are_readable() {
        for rooms in [&[1][..], &[8], &[60], &[400], &[4, 3], &[1, 1, 1, 1]] {
            for width in [Width::Wide, Width::Narrow] {
                assert_readable(&calendar(rooms).draw(width));
            }
        }
    }

    #[test]
    fn rows_begin_anew_in_each_room_below_its_name() {
        let svg = calendar(&[2, 1]).draw(Width::Wide);
        assert_eq!(svg.matches(">a room<").count(), 2);
        assert_eq!((svg.matches(">1<").count(), svg.matches(">2<").count()), (2, 1));
        assert!(!calendar(&[3]).draw(Width::Wide).contains(">a room<"));
    }

    /// Falls by 4 points a day for two days, then by 5 points in three: 18 is met after one day, 10 after 4.4.
    #[test]
    fn a_stay_changes_its_shade_where_its_moisture_crosses_a_bound() {
        let parts = shades(&stay(0, 0.0), &[10.0, 18.0]);
        let shades: Vec<usize> = parts.iter().map(|part| part.1).collect();
        assert_eq!(shades, [2, 1, 0]);
        for ((from, to), (first, last)) in parts.iter().map(|part| part.0).zip([(0.0, 1.0), (1.0, 4.4), (4.4, 5.0)]) {
            assert!((from - first).abs() < 1e-9 && (to - last).abs() < 1e-9, "{from} {to}");
        }
        // Nuts that grow damper while they wait for another room go back a shade.
        let damp = Stay { moisture: vec![(0.0, 12.0), (2.0, 8.0), (4.0, 12.0)], ..stay(0, 0.0) };
        assert_eq!(super::shades(&damp, &[10.0]).iter().map(|part| part.1).collect::<Vec<_>>(), [1, 0, 1]);
    }

    /// 8 bins x 20 batches: like bars share a path.
    #[test]
    fn a_season_of_batches_is_a_few_paths() {
        let svg = calendar(&[8]).draw(Width::Wide);
        for class in ["m1", "m6", "mc"] {
            assert_eq!(svg.matches(&format!("class=\"{class}\"")).count(), 1, "{class}");
        }
        assert!(svg.len() < 60_000, "{}", svg.len());
    }

    #[test]
    fn a_batch_that_is_never_out_ends_with_the_days() {
        let mut one = calendar(&[1]);
        one.stays =
            vec![Stay { dry: 400.0, out: 400.0, moisture: vec![(100.0, 22.0), (400.0, 20.0)], ..stay(0, 100.0) }];
        let svg = one.draw(Width::Wide);
        assert_readable(&svg);
        assert!(!svg.contains("class=\"mc\""));
    }
}
