//! Hours that hide others, nights that are dear, and setbacks that never end.

use super::deliveries::days_into;
use super::{Doubts, room_key};
use crate::calendar::TimeOfUse;
use crate::number::apart;
use crate::problem::Matter;
use crate::season::{Intake, SetbackHours};
use crate::weather::WeatherYear;
use chrono::{Datelike, NaiveDate, NaiveDateTime, TimeDelta, Timelike};

/// The depth of the night and the evening, hours of the clock, first and first after: no land has its highest demand in the
/// one and its lowest in the other, and tariffs follow demand (common practice, no published source).
const NIGHT: (u32, u32) = (0, 5);
const EVENING: (u32, u32) = (17, 21);
/// All hours of a day.
const ALL_DAY: (u32, u32) = (0, 24);
/// A period that holds for more than this part of all hours is none of a few critical peaks (assumption).
const SEVERAL_HOURS: f64 = 0.04;
/// ... and is then dearer than the mean of the others by less than this many times (common practice, no published source:
/// peaks cost two to four times the rest).
const DEAR_PERIOD: f64 = 7.0;
/// ... and cheaper by less than this many times (common practice, no published source: nights cost a half to a fifth of the
/// rest).
const CHEAP_PERIOD: f64 = 9.0;
/// Nights dearer than evenings by less than this share are no turned window (assumption).
const DEARER: f64 = 0.02;
/// Seasons of more days than this are no harvest's (assumption: plants that dry for several orchards run for some 250).
const LONGEST_SEASON_D: i64 = 300;
/// A setback of more hours a day than this is how the room is run (assumption).
const MOST_SET_BACK_H: u32 = 20;

impl Doubts<'_> {
    /// A period of the tariff that an earlier one hides at every hour at which it would hold.
    pub(super) fn hidden_periods(&mut self) {
        let tariff = &self.study.carriers.electricity;
        let hidden: Vec<(String, String)> = hidden(&tariff.times)
            .into_iter()
            .filter_map(|(kind, by)| {
                Some((tariff.periods.get(kind)?.name.clone(), tariff.periods.get(by)?.name.clone()))
            })
            .collect();
        for (name, by) in hidden {
            let of_tariff = "carrier.electricity.tariff";
            let path = format!("{of_tariff}.period.{name}.price");
            let path = if self.inputs.iter().any(|input| input.path == path) { path } else { of_tariff.to_owned() };
            let what =
                format!("the period \"{name}\" never counts: at all its hours \"{by}\" holds, which comes before it");
            let cure = "the first period that holds gives the price: put the narrower one first, or mend its hours";
            self.doubt("tariff.hidden", &path, what, cure);
        }
    }

    /// Electricity that is dearer in the depth of the night than in the evening, and demand that counts then: windows that
    /// are turned, as 21:00 until 16:00 for 16:00 until 21:00.
    pub(super) fn dear_nights(&mut self) {
        let tariff = &self.study.carriers.electricity;
        let price = |kind: usize| tariff.periods.get(kind).map_or(tariff.otherwise.per_kwh, |period| period.per_kwh);
        let mut found = Vec::new();
        if !tariff.periods.is_empty() {
            let by_night = mean_over(&tariff.times, NIGHT, |hour| tariff.times.mean(hour, price));
            let by_evening = mean_over(&tariff.times, EVENING, |hour| tariff.times.mean(hour, price));
            if by_night - by_evening > DEARER * by_evening.abs() {
                let (night, evening) = apart(by_night, by_evening, 3);
                let what = format!(
                    "electricity costs {night} a kWh on average from 00:00 to 05:00, and {evening} from 17:00 to 21:00: nights are cheaper nearly anywhere"
                );
                found.push(("tariff.night", "carrier.electricity.tariff".to_owned(), what));
            }
        }
        for charge in tariff.demand.iter().filter(|charge| !charge.when.is_empty()) {
            let counts = |hour| f64::from(u8::from(tariff.times.any_holds(&charge.when, hour)));
            let by_night = mean_over(&tariff.times, NIGHT, counts);
            if by_night > mean_over(&tariff.times, EVENING, counts) + DEARER {
                let what = format!("demand \"{}\" counts more by night than in the evening", charge.name);
                found.push(("tariff.night", format!("carrier.electricity.tariff.demand.{}.price", charge.name), what));
            }
        }
        for (code, path, what) in found {
            let cure = "a window runs from its first time to its second, across midnight where that is earlier: look whether two times are exchanged";
            self.doubt(code, &path, what, cure);
        }
    }

    /// A period that holds at many hours and is dearer or cheaper than the others by far: a point too far right or left.
    pub(super) fn odd_periods(&mut self) {
        let tariff = &self.study.carriers.electricity;
        let price = |kind: usize| tariff.periods.get(kind).map_or(tariff.otherwise.per_kwh, |period| period.per_kwh);
        let mut found = Vec::new();
        for kind in 0..=tariff.periods.len() {
            let of_kind = |hour| tariff.times.mean(hour, |other| f64::from(u8::from(other == kind)));
            let others = |hour| tariff.times.mean(hour, |other| if other == kind { 0.0 } else { price(other) });
            let share = mean_over(&tariff.times, ALL_DAY, of_kind);
            let elsewhere = mean_over(&tariff.times, ALL_DAY, others) / (1.0 - share).max(f64::MIN_POSITIVE);
            let times = price(kind) / elsewhere;
            let is_odd = times > DEAR_PERIOD || (times > 0.0 && times < 1.0 / CHEAP_PERIOD);
            if (SEVERAL_HOURS..1.0).contains(&share) && elsewhere > 0.0 && is_odd {
                let name = tariff.periods.get(kind).map_or(&tariff.otherwise.name, |period| &period.name);
                let against = if times > 1.0 {
                    format!("{times:.0} times what the others cost on average")
                } else {
                    format!("where the others cost {:.0} times as much on average", 1.0 / times)
                };
                let what = format!(
                    "the period \"{name}\" costs {} a kWh in {:.0} % of all hours, {against}",
                    price(kind),
                    share * 100.0
                );
                found.push((format!("carrier.electricity.tariff.period.{name}.price"), what));
            }
        }
        for (path, what) in found {
            let is_input = self.inputs.iter().any(|input| input.path == path);
            let path = if is_input { path } else { "carrier.electricity.tariff".to_owned() };
            let cure = "look at the point of the price; what holds at a few peaks of a year holds at few hours";
            self.doubt("tariff.price", &path, what, cure).is_about = &[Matter::ElectricityPrice];
        }
    }

    /// A season that is nearly a year, as one is whose ends are exchanged.
    pub(super) fn long_season(&mut self) {
        let season = self.study.season;
        let days = days_into(season, season.ends) + 1;
        if days > LONGEST_SEASON_D {
            let what = format!("the season runs from {} to {}, {days} days", season.starts, season.ends);
            let cure = "nuts come for some 20 to 200 days: look whether first and last day are exchanged";
            self.doubt("season.long", "season.ends", what, cure).is_about = &[Matter::OutsideAir];
        }
    }

    /// A setback that holds day and night.
    pub(super) fn endless_setbacks(&mut self) {
        let found: Vec<(String, u32)> = self
            .study
            .plant
            .setbacks
            .iter()
            .filter_map(|setback| {
                let hours = match setback.when {
                    SetbackHours::Daily { from, until } => (until + 24 - from - 1) % 24 + 1,
                    SetbackHours::OfCalendar { .. } => return None,
                };
                let room = self.study.plant.rooms().nth(setback.room)?;
                (hours > MOST_SET_BACK_H).then(|| (room_key(room, "setback"), hours))
            })
            .collect();
        for (path, hours) in found {
            let what = format!("a setback holds for {hours} h of the day");
            let cure = "give the hours of the night or of the dear tariff; what always holds is the room's own temperature_c or airflow";
            self.doubt("room.setback", &path, what, cure);
        }
    }

    /// Deliveries of one year in the weather of another: they are taken by their day, and it is worth a note where
    /// there is but one year that could be meant.
    pub(super) fn intake_of_another_year(&mut self, years: &[WeatherYear]) {
        let [year] = years else { return };
        let Some(dates) = dates(&self.study.intake) else { return };
        let weather: Vec<i32> = year.season().iter().map(|hour| hour.starts.year()).collect();
        let (Some(from), Some(until)) = (weather.first(), weather.last()) else { return };
        if dates.iter().any(|date| (*from..=*until).contains(&date.year())) {
            return;
        }
        let Some(first) = dates.first() else { return };
        let what = format!(
            "deliveries are of {}, the weather is of {}: they are taken by their day of the year",
            first.year(),
            year.label
        );
        let cure = "nuts that came in one year's weather are best held beside that year's";
        self.note("intake.year", "crop.intake", what, cure);
    }
}

/// Kinds of hour that hold at some time of a year and never come first, with the one that hides them.
fn hidden(times: &TimeOfUse) -> Vec<(usize, usize)> {
    // Two years: a holiday that is named once may be in either, and a leap day is in one.
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).and_then(|day| day.and_hms_opt(0, 0, 0));
    let Some(first) = first.filter(|_| times.kinds.len() > 1) else {
        return Vec::new();
    };
    let mut comes_first = vec![false; times.kinds.len()];
    let mut hidden_by: Vec<Option<usize>> = vec![None; times.kinds.len()];
    for half_hours in 0..2 * 731 * 24 {
        let moment = first + TimeDelta::minutes(30 * half_hours);
        let mut holding = (0..times.kinds.len()).filter(|kind| times.any_holds(&times.kinds[*kind], moment));
        if let Some(leader) = holding.next() {
            comes_first[leader] = true;
            holding.for_each(|kind| hidden_by[kind] = hidden_by[kind].or(Some(leader)));
        }
    }
    let of = |kind: usize| Some((kind, hidden_by[kind].filter(|_| !comes_first[kind])?));
    (0..times.kinds.len()).filter_map(of).collect()
}

/// The mean of what hours of a year have that stand between these on the clock of the tariff.
fn mean_over(times: &TimeOfUse, (from, until): (u32, u32), of: impl Fn(NaiveDateTime) -> f64) -> f64 {
    // Every fifth day: ten of each day of the week, in every season.
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).unwrap_or_default();
    let days = (0..70).map(|fifth| first + TimeDelta::days(5 * fifth));
    let hours = days.flat_map(|day| (0..24).map(move |hour| day + TimeDelta::hours(hour)));
    let (sum, count) = hours
        .filter(|hour| (from..until).contains(&times.on_the_wall(*hour).hour()))
        .fold((0.0, 0.0), |(sum, count), hour| (sum + of(hour), count + 1.0));
    sum / f64::max(count, 1.0)
}

/// Days of deliveries that are named day by day.
fn dates(intake: &Intake) -> Option<Vec<NaiveDate>> {
    match intake {
        Intake::Shaped { .. } => None,
        Intake::Daily(rows) => Some(rows.iter().map(|row| row.date).collect()),
        Intake::ByCrop(all) => {
            let all: Vec<NaiveDate> = all.iter().filter_map(dates).flatten().collect();
            (!all.is_empty()).then_some(all)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{ClockTime, Days, Window};

    fn daily(from: &str, until: &str, days: Days) -> Window {
        let clock = |text: &str| text.parse::<ClockTime>().expect("a time");
        Window { season: None, days, from: clock(from), until: clock(until) }
    }

    #[test]
    fn what_hours_of_the_clock_have_is_their_mean() {
        let times = TimeOfUse { kinds: vec![vec![daily("21:00", "16:00", Days::ALL)]], ..TimeOfUse::default() };
        let counts = |hour| f64::from(u8::from(times.any_holds(&times.kinds[0], hour)));
        assert_eq!((mean_over(&times, NIGHT, counts), mean_over(&times, EVENING, counts)), (1.0, 0.0));
        // Working days alone: five of seven.
        let times = TimeOfUse { kinds: vec![vec![daily("17:00", "21:00", Days::WORKING)]], ..TimeOfUse::default() };
        let counts = |hour| f64::from(u8::from(times.any_holds(&times.kinds[0], hour)));
        let share = mean_over(&times, EVENING, counts);
        assert!((share - 5.0 / 7.0).abs() < 1e-12, "{share}");
    }

    #[test]
    fn a_period_behind_one_of_all_hours_is_hidden_and_one_before_it_is_not() {
        let all = || vec![daily("00:00", "24:00", Days::ALL)];
        let peak = || vec![daily("17:00", "21:00", Days::WORKING)];
        let times = |kinds| TimeOfUse { kinds, ..TimeOfUse::default() };
        assert_eq!(hidden(&times(vec![all(), peak()])), [(1, 0)]);
        assert_eq!(hidden(&times(vec![peak(), all()])), []);
        // Without a holiday there is none that could be hidden.
        let holidays = vec![daily("00:00", "24:00", Days::HOLIDAYS)];
        assert_eq!(hidden(&times(vec![all(), holidays])), []);
    }
}
