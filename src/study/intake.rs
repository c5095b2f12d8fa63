//! The nuts that come: a season's tonnage with a shape, or a file of days.

use super::companions::{Companions, named_table};
use super::crops_read::{CropRead, CropsRead};
use super::cursor::{Cursor, Kind};
use super::field::Field;
use super::frame::Frame;
use super::intake_file::{self, Rules};
use crate::dryer::IntakeShape;
use crate::season::{Intake, IntakeRow};
use crate::weather::SeasonWindow;
use chrono::Weekday;

pub(super) struct IntakeRead {
    pub intake: Intake,
    /// Mean moisture, dry basis, weighted by dry matter.
    pub mean_moisture: f64,
}

/// What comes of all crops, and the mean moisture of each.
pub(super) struct IntakesRead {
    pub all: IntakeRead,
    pub mean_moistures: Vec<f64>,
}

/// The keys of `[crop]` that are read here.
const KEYS: [&str; 6] = ["season_tonnes", "dried_tonnes", "intake", "intake_shape", "load_tonnes", "truck_days"];

/// Days of the week as they are written.
const WEEKDAYS: [(&str, Weekday); 7] = [
    ("mon", Weekday::Mon),
    ("tue", Weekday::Tue),
    ("wed", Weekday::Wed),
    ("thu", Weekday::Thu),
    ("fri", Weekday::Fri),
    ("sat", Weekday::Sat),
    ("sun", Weekday::Sun),
];

/// Marks this room's keys of `[crop]` as known before that table is finished.
pub(super) fn claim_keys(crop: &Cursor<'_>) {
    for key in KEYS {
        crop.claim(key);
    }
}

/// Reads what comes of every crop; `smallest_bin_t` is what the smallest bin that nuts come into holds, t, if
/// the bins could be read.
pub(super) fn read(
    crops: &CropsRead<'_>,
    frame: &Frame,
    smallest_bin_t: Option<f64>,
    companions: &dyn Companions,
) -> Option<IntakesRead> {
    let read: Vec<Option<IntakeRead>> = crops
        .cursors
        .iter()
        .zip(&crops.all)
        .map(|(cursor, crop)| read_one(cursor, crop, frame, smallest_bin_t, companions))
        .collect();
    let mut read: Vec<IntakeRead> = read.into_iter().collect::<Option<_>>()?;
    let mean_moistures = read.iter().map(|one| one.mean_moisture).collect();
    let all = match read.len() {
        1 => read.pop()?,
        _ => together(read),
    };
    Some(IntakesRead { all, mean_moistures })
}

/// The intakes of several crops as one.
fn together(read: Vec<IntakeRead>) -> IntakeRead {
    let (mut dry_t, mut water_t) = (0.0, 0.0);
    for one in &read {
        let dry = one.intake.received_t() / (1.0 + one.mean_moisture);
        dry_t += dry;
        water_t += dry * one.mean_moisture;
    }
    IntakeRead {
        intake: Intake::ByCrop(read.into_iter().map(|one| one.intake).collect()),
        mean_moisture: water_t / dry_t,
    }
}

fn read_one(
    cursor: &Cursor<'_>,
    crop: &CropRead,
    frame: &Frame,
    smallest_bin_t: Option<f64>,
    companions: &dyn Companions,
) -> Option<IntakeRead> {
    let moisture = crop.crop.practice().received_moisture;
    if cursor.kind("intake").is_some() {
        let dried_moisture = crop.crop.practice().dried_moisture;
        let rules = Rules { moisture, dried_moisture, season: frame.season, smallest_bin_t };
        return read_file(cursor, &rules, companions);
    }
    let tonnes = read_tonnes(cursor, crop);
    let shape = read_shape(cursor, frame.season);
    let load_t = cursor.number("load_tonnes").unit("t received").within(0.01, 1000.0).default(
        smallest_bin_t.unwrap_or(1.0) * LOAD_SHARE_OF_BIN,
        "assumption: nuts come in loads of half the smallest bin",
    );
    let truck_days = cursor
        .choices("truck_days", &WEEKDAYS)
        .default(Vec::new(), "nuts come every day; with days, each brings the loads that fell due since the last");
    Some(IntakeRead {
        intake: Intake::Shaped { tonnes: tonnes?, shape: shape?, moisture, load_t, truck_days },
        mean_moisture: moisture,
    })
}

/// What one load holds by default, of the smallest bin (an assumption).
const LOAD_SHARE_OF_BIN: f64 = 0.5;

/// The season's received tonnes: as given, or those that make the dried tonnes given. Wetter nuts are then
/// more tonnes of the same crop; at fixed received tonnes they are less crop.
fn read_tonnes(cursor: &Cursor<'_>, crop: &CropRead) -> Option<f64> {
    let tonnes = |key: &str, unit: &str| cursor.number(key).unit(unit).within(0.1, 1e6);
    if cursor.kind("dried_tonnes").is_none() {
        return tonnes("season_tonnes", "t received")
            .hint("give the season's received tonnes, or dried_tonnes = ..., or intake = \"intake.csv\" with date,tonnes,moisture")
            .required();
    }
    if cursor.kind("season_tonnes").is_some() {
        cursor.complain(
            "dried_tonnes",
            "is given beside season_tonnes",
            "one of the two",
            "leave out the one that does not hold: each follows from the other by the moistures",
        );
    }
    let practice = crop.crop.practice();
    let per_dried_t = (1.0 + practice.received_moisture) / (1.0 + practice.dried_moisture);
    let dried_t = tonnes("dried_tonnes", "t dried").required()?;
    Some(dried_t * per_dried_t)
}

fn read_shape(cursor: &Cursor<'_>, season: Option<SeasonWindow>) -> Option<IntakeShape> {
    if cursor.kind("intake_shape") == Some(Kind::List) {
        let weights = cursor
            .numbers("intake_shape")
            .exactly(12)
            .each_within(0.0, 1e6)
            .when("at least one weight above 0", |weights| weights.iter().sum::<f64>() > 0.0)
            .when("a weight above 0 in a month of the season", |weights| {
                season.is_none_or(|season| months_of(season).any(|month| weights[month as usize - 1] > 0.0))
            })
            .hint("give a weight for each month, January first")
            .required()?;
        let mut months = [0.0; 12];
        months.copy_from_slice(&weights);
        return Some(IntakeShape::Monthly(months));
    }
    let words: &[(&'static str, bool)] = &[("even", false), ("bell", true)];
    let field: Field<'_, bool> = cursor.choice("intake_shape", words).hint("or twelve monthly weights");
    let bell = field.default(true, "assumption: little at both ends of the season, twice the mean in the middle");
    Some(if bell { IntakeShape::Bell } else { IntakeShape::Even })
}

/// Months that a season touches, 1..12.
fn months_of(season: SeasonWindow) -> impl Iterator<Item = u32> {
    let (first, last) = (season.starts.month(), season.ends.month());
    let months = if season.crosses_new_year() { last + 12 - first } else { last - first };
    (0..=months).map(move |ahead| (first + ahead - 1) % 12 + 1)
}

fn read_file(cursor: &Cursor<'_>, rules: &Rules, companions: &dyn Companions) -> Option<IntakeRead> {
    let cure = "mend the path, or give season_tonnes = ... instead";
    let days =
        named_table(cursor, "intake", companions, cure).map(|(path, text)| intake_file::read(&path, &text, rules));
    let tonnes = days.as_ref().map(|days| days.rows.iter().map(|row| row.tonnes).sum::<f64>());
    for key in KEYS.into_iter().filter(|key| *key != "intake" && cursor.kind(key).is_some()) {
        let (mut what, mut cure) =
            ("is given beside an intake file".to_owned(), "leave out the one that does not hold");
        // Who gives the season's tonnes beside its rows may know better than the rows.
        if let Some(tonnes) = tonnes.filter(|_| key == "season_tonnes") {
            what = format!("{what}, whose rows bring {tonnes:.1} t");
            cure = "leave out the one that does not hold; where they differ, rows are lost or stand twice";
        }
        cursor.complain(key, &what, "one of the two", cure);
    }
    let days = days?;
    for problem in days.problems {
        cursor.report(problem);
    }
    Some(IntakeRead { mean_moisture: mean_moisture(&days.rows)?, intake: Intake::Daily(days.rows) })
}

/// Water over dry matter of all rows, dry basis; `None` without dry matter.
fn mean_moisture(rows: &[IntakeRow]) -> Option<f64> {
    let dry_t = |row: &IntakeRow| row.tonnes / (1.0 + row.moisture);
    let all_dry_t: f64 = rows.iter().map(dry_t).sum();
    let water_t: f64 = rows.iter().map(|row| dry_t(row) * row.moisture).sum();
    (all_dry_t > 0.0).then(|| water_t / all_dry_t)
}
