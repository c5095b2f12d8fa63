//! From rows to one slot an hour, in local standard time, files joined.

use super::rules::MendRules;
use crate::air::{MoistAir, standard_pressure_pa};
use crate::problem::Said;
use crate::table::whole;
use crate::weather::problem::{Problem, counted};
use crate::weather::reading::{Reading, Row, in_nominal_year};
use crate::weather::units::PressureLevel;
use chrono::TimeDelta;

/// A joined hour conflicts if its temperatures differ by more than this, K.
const JOIN_SPREAD_K: f64 = 0.5;

/// One hour on its way: whole hours since 1970.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slot {
    pub hour: i64,
    pub dry_bulb_c: Option<f64>,
    pub humidity_ratio: Option<f64>,
    pub pressure_pa: f64,
    pub pressure_is_standard: bool,
    pub global_horizontal_w_per_m2: Option<f64>,
    pub wind_m_per_s: Option<f64>,
    /// The file says that it is invented.
    pub invented: bool,
    /// Longest run that is between two rows of a coarse file rather than a gap.
    pub between_rows: usize,
}

/// Appends the hours of a reading.
pub(crate) fn slots_of(reading: &Reading, rules: &MendRules, slots: &mut Vec<Slot>, problems: &mut Vec<Problem>) {
    let shift_h = shift_hours(reading, rules, problems);
    let altitude_m = reading.elevation_m(rules.altitude_m);
    tell_sea_level(reading, rules, problems);
    let standard_pa = standard_pressure_pa(altitude_m);
    let between_rows = usize::try_from(reading.step_minutes / 60).unwrap_or(1).saturating_sub(1);
    slots.reserve_exact(reading.rows.len());
    let mut bin: Option<Bin> = None;
    for (row, air) in reading.air(rules.altitude_m) {
        let shifted = row.starts + TimeDelta::hours(shift_h);
        let time = if reading.typical { in_nominal_year(shifted, reading.leap_day) } else { shifted };
        let hour = time.and_utc().timestamp().div_euclid(3_600);
        if let Some(full) = bin.take_if(|bin| bin.hour != hour) {
            slots.push(full.slot(standard_pa, between_rows, reading.invented));
        }
        let pressure = row.pressure_pa.map(|_| reading.station_pressure_pa(row, altitude_m));
        bin.get_or_insert_with(|| Bin::new(hour)).add(row, air, pressure);
    }
    slots.extend(bin.map(|last| last.slot(standard_pa, between_rows, reading.invented)));
}

/// Pressures of sea level in a file that does not say how high its station is.
fn tell_sea_level(reading: &Reading, rules: &MendRules, problems: &mut Vec<Problem>) {
    if reading.pressure_level == PressureLevel::Station || reading.station.elevation_m.is_some() {
        return;
    }
    let file = &reading.file;
    problems.push(match rules.altitude_m {
        Some(m) => {
            let message = Said::of(|q| {
                format!("{file}: the file gives sea-level pressure: brought to the given {}", q.given(m, "m"))
            });
            Problem::note("pressure.sea_level", message)
        }
        None => Problem::warning(
            "pressure.sea_level",
            format!(
                "{file}: the file gives sea-level pressure but no elevation: state the altitude, without it the \
                 station is taken to lie at the sea"
            ),
        ),
    });
}

/// Whole hours from the rows' clock to local standard time.
fn shift_hours(reading: &Reading, rules: &MendRules, problems: &mut Vec<Problem>) -> i64 {
    match (reading.clock_offset_minutes, reading.standard_offset_minutes(rules.utc_offset_minutes)) {
        (Some(clock), Some(target)) => {
            let minutes = target - clock;
            if clock == 0
                && target == 0
                && reading.station.longitude.is_none()
                && rules.utc_offset_minutes.is_none()
                && reading.station.utc_offset_minutes.is_none()
            {
                problems.push(Problem::warning(
                    "time.utc",
                    format!(
                        "{}: times are in UTC and the file does not say where it is: state the site's offset, \
                         else days and nights are shifted",
                        reading.file
                    ),
                ));
            }
            if minutes != 0 {
                problems.push(Problem::note(
                    "time.shifted",
                    format!(
                        "{}: rows shifted by {:+.1} h to local standard time (UTC{:+.1})",
                        reading.file,
                        f64::from(minutes) / 60.0,
                        f64::from(target) / 60.0
                    ),
                ));
            }
            // Rows stand at full hours; half an hour of a zone such as +05:30 is dropped.
            whole(f64::from(minutes) / 60.0)
        }
        _ => 0,
    }
}

/// The rows that fall into one hour.
struct Bin {
    hour: i64,
    share: f64,
    dry_bulb: f64,
    humidity_ratio: f64,
    humid_share: f64,
    pressure: f64,
    pressures: f64,
    sun: f64,
    suns: f64,
    wind: f64,
    winds: f64,
}

impl Bin {
    fn new(hour: i64) -> Self {
        Self {
            hour,
            share: 0.0,
            dry_bulb: 0.0,
            humidity_ratio: 0.0,
            humid_share: 0.0,
            pressure: 0.0,
            pressures: 0.0,
            sun: 0.0,
            suns: 0.0,
            wind: 0.0,
            winds: 0.0,
        }
    }

    fn add(&mut self, row: &Row, air: Option<MoistAir>, pressure_pa: Option<f64>) {
        let share = row.hours.min(1.0);
        if let Some(dry_bulb) = row.dry_bulb_c {
            self.share += share;
            self.dry_bulb += share * dry_bulb;
        }
        if let Some(air) = air {
            self.humid_share += share;
            self.humidity_ratio += share * air.humidity_ratio();
        }
        if let Some(pressure) = pressure_pa {
            self.pressures += 1.0;
            self.pressure += pressure;
        }
        if let Some(sun) = row.global_horizontal_w_per_m2 {
            self.suns += 1.0;
            self.sun += sun;
        }
        if let Some(wind) = row.wind_m_per_s {
            self.winds += 1.0;
            self.wind += wind;
        }
    }

    /// Means; an hour of which less than half was measured counts as missing.
    fn slot(self, standard_pa: f64, between_rows: usize, invented: bool) -> Slot {
        let mean = |sum: f64, weight: f64| (weight > 0.0).then(|| sum / weight);
        let half = 0.499;
        Slot {
            hour: self.hour,
            dry_bulb_c: mean(self.dry_bulb, self.share).filter(|_| self.share >= half),
            humidity_ratio: mean(self.humidity_ratio, self.humid_share).filter(|_| self.humid_share >= half),
            pressure_pa: mean(self.pressure, self.pressures).unwrap_or(standard_pa),
            pressure_is_standard: self.pressures == 0.0,
            global_horizontal_w_per_m2: mean(self.sun, self.suns),
            wind_m_per_s: mean(self.wind, self.winds),
            invented,
            between_rows,
        }
    }
}

/// One slot an hour: the file named first wins, later files fill what it lacks.
pub(crate) fn join(mut slots: Vec<Slot>, files: usize, problems: &mut Vec<Problem>) -> Vec<Slot> {
    // A stable sort keeps the order of the files within an hour.
    slots.sort_by_key(|slot| slot.hour);
    let (mut overlapping, mut conflicting) = (0_usize, 0_usize);
    slots.dedup_by(|later, kept| {
        if later.hour != kept.hour {
            return false;
        }
        overlapping += 1;
        if let (Some(a), Some(b)) = (kept.dry_bulb_c, later.dry_bulb_c)
            && (a - b).abs() > JOIN_SPREAD_K
        {
            conflicting += 1;
        }
        if kept.humidity_ratio.is_none() && later.humidity_ratio.is_some() {
            kept.dry_bulb_c = later.dry_bulb_c;
            kept.humidity_ratio = later.humidity_ratio;
            kept.invented = later.invented;
        }
        if kept.pressure_is_standard && !later.pressure_is_standard {
            kept.pressure_pa = later.pressure_pa;
            kept.pressure_is_standard = false;
        }
        kept.global_horizontal_w_per_m2 = kept.global_horizontal_w_per_m2.or(later.global_horizontal_w_per_m2);
        kept.wind_m_per_s = kept.wind_m_per_s.or(later.wind_m_per_s);
        true
    });
    if overlapping > 0 && files > 1 {
        problems.push(Problem::warning(
            "join.overlap",
            Said::of(|q| {
                format!(
                    "{} in more than one file: the file named first wins{}",
                    counted(overlapping, "hour"),
                    if conflicting > 0 {
                        format!("; {conflicting} of them differ by more than {}", q.given(JOIN_SPREAD_K, "K"))
                    } else {
                        String::new()
                    }
                )
            }),
        ));
    }
    slots
}
