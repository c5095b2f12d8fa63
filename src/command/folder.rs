//! A study's folder: the study, the files beside it, and the weather it names.

mod causes;
mod reach;
mod site_doubts;
mod study_files;
mod told_now;
mod weather;
mod weather_files;
mod written;

use super::Failure;
use super::beside::say_beside;
use crate::answer::InputFile;
use crate::doubt::{Run, doubts};
use crate::problem::Problem;
use crate::study::document::Reading;
use crate::study::input::Input;
use crate::study::{Change, ChangedStudy, Drawn, Study};
use causes::Causes;
use reach::{check_drawn_targets, check_targets};
use std::path::Path;
use weather::weather_of;
pub(super) use weather::{OpenedWeather, refuse_untrusted};
use written::Written;

/// A study that was read whole, with its weather, and that can be computed.
pub(super) struct Opened {
    /// The study as it is written, with the files beside it.
    pub written: Written,
    pub weather: OpenedWeather,
    /// What is possible in either but more often a slip, then what lies a little apart: warnings, then notes, each in
    /// the order of the file.
    pub warnings: Vec<Problem>,
}

/// Opens a study, with values that stand in for its own.
pub(super) fn open(path: &Path, changes: &[Change]) -> Result<Opened, Failure> {
    let (written, known) = Written::read(path, changes)?;
    let weather = weather_of(&written, known)?;
    check_targets(&written, &weather.years)?;
    let warnings = warnings(&written, &weather);
    Ok(Opened { written, weather, warnings })
}

impl Opened {
    pub(super) fn study(&self) -> &Study {
        &self.written.reading.value
    }

    /// Every value that the study used.
    pub(super) fn inputs(&self) -> &[Input] {
        &self.written.reading.inputs
    }

    /// Every file that was read.
    pub(super) fn files(&self) -> impl Iterator<Item = &InputFile> {
        self.written.files.iter().chain(&self.weather.files)
    }

    /// Tells beside the answer what is doubtful.
    pub(super) fn warn(&self) {
        for warning in &self.warnings {
            say_beside(&warning.sentence());
        }
    }

    /// The study at every draw of its uncertain inputs; nothing if it has none, or none are to be drawn.
    /// `samples` stands in for the study's own number of draws.
    pub(super) fn drawn(&self, samples: Option<u32>) -> Result<Option<Drawn>, Failure> {
        let drawn = self.written.draws(samples)?;
        drawn.iter().try_for_each(|drawn| check_drawn_targets(drawn, &self.weather.years))?;
        Ok(drawn)
    }
}

/// What only follows from another finding is counted there.
fn warnings(written: &Written, weather: &OpenedWeather) -> Vec<Problem> {
    let Reading { value, inputs, warnings, .. } = &written.reading;
    let mut own = warnings.clone();
    own.extend(weather.findings.iter().cloned());
    own.extend(doubts(&written.name, value, inputs, &weather.years, Run::Unchanged));
    let mut causes = Causes::of_study(own);
    let mut add = |within: String, changed: &ChangedStudy, run: Run| {
        let found = doubts(&written.name, &changed.study, &changed.inputs, &weather.years, run);
        causes.add_part(&within, found);
    };
    for (place, heating) in value.heatings.iter().enumerate() {
        if let Some(changed) = value.changed_by(place) {
            add(format!("in option \"{}\": ", heating.name), changed, Run::Alone(place));
        }
    }
    for scenario in &value.scenarios {
        if let Some(changed) = scenario.study.as_deref() {
            add(format!("in scenario \"{}\": ", scenario.name), changed, Run::Unchanged);
        }
    }
    for phase in &value.phases {
        if let Some(changed) = phase.study.as_deref() {
            add(format!("in phase \"{}\": ", phase.growth.name), changed, Run::Unchanged);
        }
    }
    causes.into_told()
}
