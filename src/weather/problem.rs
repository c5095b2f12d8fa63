//! What is wrong with a weather file, and what to do about it.

pub use crate::problem::Severity;
use crate::problem::{Matter, Said};
use std::fmt;
use std::path::PathBuf;

/// One thing found in a file.
///
/// The codes, by what they speak of (a code may come as a note or as a warning, by what it means for the
/// figures):
///
/// | of | codes |
/// | --- | --- |
/// | the file | `file.encoding` `file.nul` `row.unreadable` `table.remarks` |
/// | its columns | `columns.humidity` `columns.unit` |
/// | its station | `station.location` `station.unknown` `station.latitude` `station.longitude` `station.elevation` `station.zone` |
/// | its times | `time.order` `time.duplicate` `time.duplicate_conflict` `time.absent` `time.step` `time.records_per_hour` `time.period` `time.part_year` `time.stretches` `time.date_order` `time.serial` `time.24h` `time.hours_from_zero` `time.daylight_saving` `time.utc` `time.shifted` `time.sun` |
/// | its values | `dry_bulb.missing` `dry_bulb.limit` `dry_bulb.jump` `dry_bulb.stuck` `humidity.missing` `humidity.absent` `humidity.limit` `humidity.over_100` `humidity.fraction` `humidity.stuck` `humidity.contradiction` `humidity.zero` `humidity.dew_point` `humidity.absolute` `humidity.jump` `dry_bulb.unit` `values.dropout` `days.repeated` `dew_point.limit` `dew_point.above_dry_bulb` `pressure.missing` `pressure.unit` `pressure.sea_level` `pressure.limit` `irradiance.limit` `wind.limit` |
/// | all of it | `hours.missing` |
/// | it beside the site | `site.longitude` `site.distance` `site.hemisphere` `site.altitude` `site.zone` `site.sun` `site.seasons` |
/// | joining and mending | `join.overlap` `gap.open` `mend.interpolated` `mend.neighbour_days` `mend.leap_day` `mend.between_rows` `mend.standard_pressure` |
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// A stable name for programs: `time.duplicate`, `dry_bulb.missing`.
    pub code: &'static str,
    /// Line of the file (from 1) where it first shows; `None` if it concerns the whole file.
    pub line: Option<u32>,
    /// What was found and what to do, in a sentence.
    pub message: Said,
    /// What it casts doubt on; empty where what rests on it can be judged all the same.
    pub is_about: &'static [Matter],
}

impl Problem {
    pub(crate) fn new(severity: Severity, code: &'static str, line: Option<u32>, message: impl Into<Said>) -> Self {
        Self { severity, code, line, message: message.into(), is_about: &[] }
    }

    /// The same, casting doubt on these matters.
    pub(crate) fn about(mut self, matters: &'static [Matter]) -> Self {
        self.is_about = matters;
        self
    }

    pub(crate) fn note(code: &'static str, message: impl Into<Said>) -> Self {
        Self::new(Severity::Note, code, None, message)
    }

    pub(crate) fn warning(code: &'static str, message: impl Into<Said>) -> Self {
        Self::new(Severity::Warning, code, None, message)
    }
}

/// Lines on which the same thing happened, gathered to be told once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lines {
    lines: Vec<u32>,
}

impl Lines {
    pub(crate) fn push(&mut self, line: u32) {
        self.lines.push(line);
    }

    pub(crate) fn len(&self) -> usize {
        self.lines.len()
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// A warning at the first of them, if the thing happened at all.
    pub(crate) fn warn<M: Into<Said>>(
        &self,
        code: &'static str,
        problems: &mut Vec<Problem>,
        message: impl FnOnce() -> M,
    ) {
        if !self.is_empty() {
            problems.push(Problem::new(Severity::Warning, code, self.first(), message()));
        }
    }

    pub(crate) fn first(&self) -> Option<u32> {
        self.lines.first().copied()
    }
}

impl fmt::Display for Lines {
    /// `line 43`, `lines 39-43, 50`, or `lines 3, 9, ... (40 in all)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const SHOWN: usize = 6;
        let mut runs: Vec<(u32, u32)> = Vec::new();
        for &line in &self.lines {
            let known = runs.len();
            match runs.last_mut() {
                Some((_, end)) if *end + 1 == line => *end = line,
                _ if known > SHOWN => break,
                _ => runs.push((line, line)),
            }
        }
        f.write_str(if self.lines.len() == 1 { "line " } else { "lines " })?;
        for (at, (start, end)) in runs.iter().take(SHOWN).enumerate() {
            let comma = if at == 0 { "" } else { ", " };
            if start == end {
                write!(f, "{comma}{start}")?;
            } else {
                write!(f, "{comma}{start}-{end}")?;
            }
        }
        if runs.len() > SHOWN {
            write!(f, ", ... ({} in all)", self.lines.len())?;
        }
        Ok(())
    }
}

/// `1 hour`, `2 hours`.
pub(crate) fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// Why weather could not be had from a file.
#[derive(Debug, thiserror::Error)]
pub enum WeatherError {
    /// The file cannot be opened or read.
    #[error("{}: {cause}", .path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        cause: std::io::Error,
    },
    /// The file is no weather file, or one that cannot be trusted at all.
    #[error("{file}: {why}")]
    Refused {
        /// Which file.
        file: String,
        /// What was found, what was expected and what to do.
        why: String,
    },
    /// Gaps longer than the rules allow to fill.
    #[error("{0}")]
    Gap(String),
    /// The files hold no complete season.
    #[error("{0}")]
    NoSeason(String),
    /// Rules that contradict themselves or the files.
    #[error("{0}")]
    Rules(String),
}

impl WeatherError {
    /// A reader was given a text that it does not recognise.
    pub(crate) fn no_names(file: &str) -> Self {
        Self::refused(file, "the line of column names is not there; get the whole file again")
    }

    pub(crate) fn refused(file: &str, why: impl Into<String>) -> Self {
        Self::Refused { file: file.to_owned(), why: why.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_told_as_runs() {
        let told = |lines: &[u32]| Lines { lines: lines.to_vec() }.to_string();
        assert_eq!(told(&[43]), "line 43");
        assert_eq!(told(&[39, 40, 41, 42, 43, 50]), "lines 39-43, 50");
        let many: Vec<u32> = (1..=40).map(|n| n * 2).collect();
        assert_eq!(told(&many), "lines 2, 4, 6, 8, 10, 12, ... (40 in all)");
    }
}
