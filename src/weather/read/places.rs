//! The mapped columns of a table of hours: where they stand, and the values of their cells.

use crate::table::{DecimalMark, parse_whole, parse_with_tail};
use crate::weather::columns::{ColumnMap, TimeColumns};

/// Texts that mean "no value" in tables of many services and loggers, in lower case.
const MISSING_TEXTS: [&str; 18] = [
    "", "na", "n/a", "nan", "null", "none", "nil", "-", "--", "---", "m", "n.a.", "nd", "missing", "mq", "*", "///",
    "x",
];
/// Numbers that mean "no value" whatever the quantity.
const MISSING_NUMBERS: [f64; 16] = [
    -999.0, -999.9, -9999.0, -9999.9, -9900.0, -99999.0, -99999.9, -6999.0, -7999.0, -32768.0, 9999.0, 9999.9, 99999.0,
    99999.9, 999999.0, 999_999.9,
];
/// Numbers that mean "no value" for a temperature or a humidity, where no real value can be so high.
const MISSING_SMALL_NUMBERS: [f64; 4] = [999.0, 999.9, -99.0, -99.9];

/// Of the codes, those that a pressure in pascals may really have: near the sea it is some 100 000 Pa.
const PASCALS_NEAR_THE_SEA: [f64; 2] = [99999.0, 99999.9];

/// What a cell is of, for the numbers that it cannot have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Of {
    /// A temperature or a humidity, which never reach 999.
    Air,
    /// A pressure in pascals.
    Pascals,
    /// Any other quantity.
    Other,
}

/// Where each mapped column stands.
pub(crate) struct Places {
    pub time: TimePlaces,
    pub utc: Option<usize>,
    pub dry_bulb: usize,
    pub relative_humidity: Option<usize>,
    pub dew_point: Option<usize>,
    pub wet_bulb: Option<usize>,
    pub pressure: Option<usize>,
    pub global_horizontal: Option<usize>,
    pub wind: Option<usize>,
    /// The furthest column that a row must reach.
    pub furthest: usize,
    /// How many columns the header names.
    pub named: usize,
}

pub(crate) enum TimePlaces {
    Stamp(usize),
    DateAndClock(usize, usize),
    Parts { year: usize, month: Option<usize>, day: usize, hour: usize, minute: Option<usize> },
}

impl Places {
    /// Looks the names up in a header; the error names the columns that are not there.
    pub(super) fn find(map: &ColumnMap, header: &[&[u8]]) -> Result<Self, Vec<String>> {
        let mut lacking = Vec::new();
        let mut furthest = 0;
        let mut place = |name: &str| -> usize {
            let found = place_of(name, header);
            if found.is_none() {
                lacking.push(name.to_owned());
            }
            furthest = furthest.max(found.unwrap_or(0));
            found.unwrap_or(0)
        };
        let time = match &map.time {
            TimeColumns::Stamp(name) => TimePlaces::Stamp(place(name)),
            TimeColumns::DateAndClock { date, clock } => TimePlaces::DateAndClock(place(date), place(clock)),
            TimeColumns::Parts { year, month, day, hour, minute } => TimePlaces::Parts {
                year: place(year),
                month: month.as_deref().map(&mut place),
                day: place(day),
                hour: place(hour),
                minute: minute.as_deref().map(&mut place),
            },
        };
        let mut name_of = |name: Option<&str>| name.map(&mut place);
        let places = Self {
            time,
            utc: name_of(map.utc.as_deref()),
            dry_bulb: name_of(Some(&map.dry_bulb.name)).unwrap_or(0),
            relative_humidity: name_of(map.relative_humidity.as_ref().map(|c| &*c.name)),
            dew_point: name_of(map.dew_point.as_ref().map(|c| &*c.name)),
            wet_bulb: name_of(map.wet_bulb.as_ref().map(|c| &*c.name)),
            pressure: name_of(map.pressure.as_ref().map(|c| &*c.name)),
            global_horizontal: name_of(map.global_horizontal.as_ref().map(|c| &*c.name)),
            wind: name_of(map.wind.as_ref().map(|c| &*c.name)),
            furthest: 0,
            named: header.len() - header.iter().rev().take_while(|cell| cell.is_empty()).count(),
        };
        if lacking.is_empty() { Ok(Self { furthest, ..places }) } else { Err(lacking) }
    }
}

/// The place of a header, or of `#3`.
fn place_of(name: &str, header: &[&[u8]]) -> Option<usize> {
    if let Some(number) = name.strip_prefix('#')
        && let Some(place) = parse_whole(number.as_bytes())
    {
        return usize::try_from(place).ok()?.checked_sub(1);
    }
    let wanted = name.trim().as_bytes();
    header
        .iter()
        .position(|cell| *cell == wanted)
        .or_else(|| header.iter().position(|cell| cell.eq_ignore_ascii_case(wanted)))
}

/// Reads a cell's number.
#[derive(Debug)]
pub(crate) struct Values {
    decimal: DecimalMark,
    /// Texts that mean "no value" beside the usual ones.
    extra_missing: Vec<String>,
}

impl Values {
    pub(super) fn new(map: &ColumnMap) -> Self {
        Self { decimal: map.decimal, extra_missing: map.missing.clone() }
    }

    /// A number, `None` for a missing code, an error for anything else.
    pub(super) fn read(&self, cell: &[u8], of: Of) -> Result<Option<f64>, ()> {
        if let Some(number) = parse_with_tail(cell, self.decimal) {
            let is_code = MISSING_NUMBERS.contains(&number);
            let coded = match of {
                Of::Air => is_code || MISSING_SMALL_NUMBERS.contains(&number),
                Of::Pascals => is_code && !PASCALS_NEAR_THE_SEA.contains(&number),
                Of::Other => is_code,
            };
            return Ok((!coded && !self.is_extra_missing(cell)).then_some(number));
        }
        let usual = MISSING_TEXTS.iter().any(|text| text.as_bytes().eq_ignore_ascii_case(cell));
        if usual || self.is_extra_missing(cell) { Ok(None) } else { Err(()) }
    }

    fn is_extra_missing(&self, cell: &[u8]) -> bool {
        self.extra_missing.iter().any(|text| text.as_bytes().eq_ignore_ascii_case(cell))
    }
}
