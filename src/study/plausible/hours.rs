//! Hours that hide others, and setbacks that never end.

use super::{Doubts, room_key};
use crate::calendar::TimeOfUse;
use crate::season::{Intake, SetbackHours};
use crate::weather::WeatherYear;
use chrono::{Datelike, NaiveDate, TimeDelta};

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
