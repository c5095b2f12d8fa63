//! The `# key: value` lines above the table.

use crate::table::{DecimalMark, Sheet, parse_either};
use crate::weather::invent::error::NormalsError;
use crate::weather::year::solar::Place;

/// Clock and sun may be this far apart, hours (western China lies near 3).
const CLOCK_FROM_SUN_H: f64 = 3.5;

/// The lines above the table.
pub(crate) struct Head<'t> {
    entries: Vec<(usize, &'t str, &'t str)>,
}

impl<'t> Head<'t> {
    pub(super) fn of(sheet: &Sheet<'t>) -> Self {
        Self { entries: sheet.facts().collect() }
    }

    pub(super) fn find(&self, key: &str) -> Option<(usize, &'t str)> {
        let entry = self.entries.iter().find(|(_, found, _)| found.eq_ignore_ascii_case(key))?;
        Some((entry.0, entry.2))
    }

    pub(super) fn text(&self, key: &str) -> Option<String> {
        self.find(key).map(|(_, value)| value.to_owned())
    }

    pub(super) fn number(
        &self,
        key: &'static str,
        example: &'static str,
        range: (f64, f64),
        expected: &'static str,
    ) -> Result<f64, NormalsError> {
        let (line, found) = self.find(key).ok_or(NormalsError::NoHead { key, example })?;
        let value = parse_either(found.as_bytes(), DecimalMark::Point);
        value.filter(|value| (range.0..=range.1).contains(value)).ok_or_else(|| NormalsError::Head {
            line,
            key,
            found: found.to_owned(),
            expected,
        })
    }

    pub(super) fn place(&self) -> Result<Place, NormalsError> {
        let latitude = self.number("latitude", "-16.9", (-90.0, 90.0), "degrees, -90..90, north positive")?;
        let longitude = self.number("longitude", "145.6", (-180.0, 180.0), "degrees, -180..180, east positive")?;
        let (line, text) =
            self.find("utc_offset").ok_or(NormalsError::NoHead { key: "utc_offset", example: "+10:00" })?;
        let utc_offset_h = offset_h(text).ok_or_else(|| NormalsError::Head {
            line,
            key: "utc_offset",
            found: text.to_owned(),
            expected: "hours ahead of universal time, such as +10:00, -08:00 or 5.5 (-12..14)",
        })?;
        // Noon by the sun against noon by the clock, across the date line too.
        let apart_h = (longitude / 15.0 - utc_offset_h + 12.0).rem_euclid(24.0) - 12.0;
        if apart_h.abs() > CLOCK_FROM_SUN_H {
            return Err(NormalsError::Clock { longitude, utc_offset_h, apart_h: apart_h.abs() });
        }
        Ok(Place { latitude, longitude, utc_offset_h })
    }

    /// A clock hour, or its default where the head is silent.
    pub(super) fn hour(&self, key: &'static str, default: u32) -> Result<u32, NormalsError> {
        let Some((line, found)) = self.find(key) else {
            return Ok(default);
        };
        match found.parse::<u32>() {
            Ok(hour) if hour < 24 => Ok(hour),
            _ => Err(NormalsError::Head { line, key, found: found.to_owned(), expected: "a whole clock hour, 0..23" }),
        }
    }
}

/// Hours from `+10:00`, `-08:30`, `10` or `5.5`.
pub(crate) fn offset_h(text: &str) -> Option<f64> {
    let hours = match text.split_once(':') {
        None => text.parse().ok()?,
        Some((whole, minutes)) => {
            let whole_h: f64 = whole.parse().ok()?;
            let minutes: u32 = minutes.parse().ok().filter(|m| *m < 60)?;
            let part_h = f64::from(minutes) / 60.0;
            if whole.starts_with('-') { whole_h - part_h } else { whole_h + part_h }
        }
    };
    (-12.0..=14.0).contains(&hours).then_some(hours)
}
