//! `[[room.setback]]`: hours in which a room is kept cooler, or its fans slower.

use crate::airflow::SpeedControl;
use crate::dryer::{RoomSpec, Setback};
use crate::money::{Carriers, Tariff};
use crate::problem::meant_or;
use crate::season::{RoomSetback, SetbackHours};
use crate::study::cursor::Cursor;
use std::fmt;
use std::str::FromStr;

/// The setbacks of a room, in the order of the file; `place` is its place in the row, and `room` what is
/// known of it, if it could be read. `None` means that a problem was recorded.
pub(super) fn read(
    cursor: &Cursor<'_>,
    place: usize,
    room: Option<&RoomSpec>,
    carriers: Option<&Carriers>,
) -> Option<Vec<RoomSetback>> {
    let (mut setbacks, mut complete) = (Vec::new(), true);
    for entry in cursor.each("setback") {
        let when = read_when(&entry, carriers);
        let to = read_to(&entry, room);
        entry.finish();
        match when {
            Some(when) => setbacks.push(RoomSetback { room: place, when, to }),
            None => complete = false,
        }
    }
    complete.then_some(setbacks)
}

/// The hottest that a room's air is set, °C.
fn hottest_c(room: &RoomSpec) -> f64 {
    room.stages.iter().map(|s| s.temperature_c).fold(0.0, f64::max)
}

/// True where fans are known by their curve and have one speed: they run, or stand.
fn runs_or_stands(room: &RoomSpec) -> bool {
    room.fan_bank.is_some() && !matches!(room.bin_fan.fan.speed, SpeedControl::Variable { .. })
}

fn read_to(entry: &Cursor<'_>, room: Option<&RoomSpec>) -> Setback {
    let set_c = room.map_or(f64::INFINITY, hottest_c);
    let temperature_c = entry
        .number("temperature_c")
        .unit("°C")
        .within(0.0, 80.0)
        .when(&format!("below the room's own {set_c} °C"), |t| *t < set_c)
        .optional();
    let fan_share = entry
        .number("fan_share")
        .within(0.0, 1.0)
        .hint("give a share of the airflow: 0.5 for half, 0 for fans off")
        .optional();
    let between = fan_share.filter(|share| *share > 0.0 && *share < 1.0);
    if let (Some(share), true) = (between, room.is_some_and(runs_or_stands)) {
        entry.complain(
            "fan_share",
            &format!("is {share}, but the room's fans, known by their curve, have one speed"),
            "0, fans off, or 1",
            "give speed = \"variable\" in [room.bin_fan], or turn the fans off",
        );
    }
    if temperature_c.is_none() && fan_share.is_none() {
        entry.complain_here(
            "the setback changes nothing",
            "temperature_c, fan_share or both",
            "say what the room is set back to",
        );
    }
    Setback { temperature_c: temperature_c.unwrap_or(f64::INFINITY), fan_share: fan_share.unwrap_or(1.0) }
}

fn read_when(entry: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<SetbackHours> {
    let by_clock = entry.parsed::<HoursOfDay>("hours", "hours of the day such as \"22-6\"").optional();
    let by_period = entry.text("when").optional();
    match (by_clock, by_period) {
        (Some(HoursOfDay { from, until }), None) => Some(SetbackHours::Daily { from, until }),
        (None, Some(name)) => of_tariff(entry, &name, &carriers?.electricity),
        (Some(_), Some(_)) => {
            entry.complain("when", "is given beside hours", "one of the two", "leave out the one that does not hold");
            None
        }
        (None, None) => {
            // Hours that cannot be read were told where they stand.
            if entry.kind("hours").is_none() && entry.kind("when").is_none() {
                entry.complain_here(
                    "the setback does not say when",
                    "hours = \"22-6\", or when = the name of a tariff's period",
                    "say in which hours it holds",
                );
            }
            None
        }
    }
}

fn of_tariff(entry: &Cursor<'_>, name: &str, tariff: &Tariff) -> Option<SetbackHours> {
    let names: Vec<&str> = tariff.energy_prices().map(|price| price.name.as_str()).collect();
    if !names.contains(&name) {
        entry.complain_of_stranger(
            "when",
            &format!("is \"{name}\", which no period of the electricity tariff is called"),
            &format!("one of {}", names.join(", ")),
            &meant_or(name, names.iter().copied(), "name a period of the tariff"),
        );
        return None;
    }
    // A tariff may give one name to several of its prices.
    let kinds = names.iter().enumerate().filter(|(_, price)| **price == name);
    Some(SetbackHours::OfCalendar { times: tariff.times.clone(), kinds: kinds.map(|(kind, _)| kind).collect() })
}

/// Hours of the day, as `22-6`.
#[derive(Clone, Copy, Debug)]
struct HoursOfDay {
    from: u32,
    until: u32,
}

impl FromStr for HoursOfDay {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("`{text}` are no hours such as 22-6");
        let (from, until) = text.split_once('-').ok_or_else(wrong)?;
        let hour = |digits: &str| digits.trim().parse::<u32>().map_err(|_| wrong());
        let (from, until) = (hour(from)?, hour(until)?);
        if from > 23 || until > 24 || from == until {
            return Err(wrong());
        }
        Ok(Self { from, until })
    }
}

impl fmt::Display for HoursOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.from, self.until)
    }
}
