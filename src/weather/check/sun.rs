//! Does the sun stand highest when the clock says so? Rows in UTC under a local label betray themselves.

use crate::table::whole;
use crate::weather::problem::Problem;
use crate::weather::reading::{Row, Station};
use chrono::Timelike;

/// Fewer sunny rows than this judge nothing.
const FEWEST: usize = 200;
/// Cloudy mornings or afternoons, the rows' marks and the equation of time move the middle of the day's sun by
/// less than this, h.
const ALLOWED_H: f64 = 1.5;

/// Warns if the middle of the irradiance is far from the sun's noon at this longitude.
pub(crate) fn check(rows: &[Row], station: &Station, clock_offset_minutes: Option<i32>, problems: &mut Vec<Problem>) {
    let (Some(longitude), Some(offset)) = (station.longitude, clock_offset_minutes) else {
        return;
    };
    let offset_h = f64::from(offset) / 60.0;
    let Some(noon) = noon(rows, longitude, offset_h) else {
        return;
    };
    if noon.is_doubtful() {
        problems.push(Problem::warning(
            "time.sun",
            format!(
                "the sun stands highest at about {:.1} h, but at longitude {longitude:.1} and UTC{offset_h:+} it \
                 should at {:.1} h: the rows are {:.0} h {}, as if they were in another zone (often UTC); check the zone",
                noon.middle_h,
                noon.sun_h(),
                noon.late_h.abs(),
                noon.side()
            ),
        ));
    }
}

/// When the sun of the rows stands highest, and when it should.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Noon {
    /// Hour around which the rows' irradiance lies.
    pub middle_h: f64,
    /// How much later that is than the sun's noon on this clock, -12..12 h.
    pub late_h: f64,
}

impl Noon {
    /// True if the two are further apart than clouds and marks explain.
    pub(crate) fn is_doubtful(&self) -> bool {
        self.late_h.abs() > ALLOWED_H
    }

    /// Hour of the sun's noon on this clock.
    pub(crate) fn sun_h(&self) -> f64 {
        (self.middle_h - self.late_h).rem_euclid(24.0)
    }

    /// `late` or `early`.
    pub(crate) fn side(&self) -> &'static str {
        if self.late_h > 0.0 { "late" } else { "early" }
    }
}

/// The noon of rows on a clock this far ahead of UTC; `None` with too little sun to tell.
pub(crate) fn noon(rows: &[Row], longitude: f64, offset_h: f64) -> Option<Noon> {
    let middle_h = middle_of_sun_h(rows)?;
    let sun_h = (12.0 - longitude / 15.0 + offset_h).rem_euclid(24.0);
    let late_h = (middle_h - sun_h + 36.0).rem_euclid(24.0) - 12.0;
    Some(Noon { middle_h, late_h })
}

/// The hour of the day around which irradiance lies: the direction of the sum of all hours as vectors on a
/// clock face, each as long as its irradiance.
fn middle_of_sun_h(rows: &[Row]) -> Option<f64> {
    // Quarters of an hour, so that sine and cosine are taken 96 times and not once a row.
    let mut quarters = [0.0; 96];
    let mut sunny = 0;
    for row in rows {
        let Some(sun) = row.global_horizontal_w_per_m2.filter(|sun| *sun > 20.0) else {
            continue;
        };
        let middle_h = f64::from(row.starts.num_seconds_from_midnight()) / 3_600.0 + 0.5 * row.hours;
        let quarter = usize::try_from(whole(middle_h * 4.0)).unwrap_or(0);
        quarters[quarter % 96] += sun;
        sunny += 1;
    }
    let (mut x, mut y) = (0.0, 0.0);
    for (quarter, sun) in quarters.iter().enumerate() {
        let angle = quarter as f64 / 96.0 * std::f64::consts::TAU;
        x += sun * angle.cos();
        y += sun * angle.sin();
    }
    (sunny >= FEWEST).then(|| (y.atan2(x) / std::f64::consts::TAU * 24.0).rem_euclid(24.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{NaiveDate, TimeDelta};

    fn rows(noon_h: f64) -> Vec<Row> {
        let date = NaiveDate::from_ymd_opt(2023, 6, 1).unwrap();
        (0..40 * 24)
            .map(|at| {
                let starts = date.and_hms_opt(0, 0, 0).unwrap() + TimeDelta::hours(at);
                let mut row = Row::at(1, starts.date(), starts);
                let hour = f64::from(starts.hour()) + 0.5;
                let away = (hour - noon_h + 36.0).rem_euclid(24.0) - 12.0;
                row.global_horizontal_w_per_m2 = Some((900.0 * (1.0 - (away / 7.0).powi(2))).max(0.0));
                row
            })
            .collect()
    }

    fn told(noon_h: f64, offset_h: i32) -> bool {
        let station = Station { longitude: Some(150.0), ..Station::default() };
        let mut problems = Vec::new();
        check(&rows(noon_h), &station, Some(offset_h * 60), &mut problems);
        !problems.is_empty()
    }

    #[test]
    fn rows_in_utc_under_a_local_label_are_seen() {
        assert!(!told(12.0, 10));
        assert!(!told(12.8, 10));
        assert!(told(2.0, 10));
        assert!(!told(2.0, 0));
    }
}
