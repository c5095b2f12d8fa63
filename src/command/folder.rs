//! A study's folder: the study, the files beside it, and the weather it names.

mod causes;
mod reach;
mod site_doubts;
mod study_files;
mod told_now;
mod weather;
mod weather_files;
mod written;

use crate::doubt::{Run, doubts};
use crate::problem::Problem;
use crate::study::ChangedStudy;
use crate::study::document::Reading;
use causes::Causes;
pub(super) use reach::{check_drawn_targets, check_target};
pub(super) use weather::{OpenedWeather, open_weather, refuse_untrusted};
pub(super) use written::{Opened, draw, open, open_changed};

/// What is possible in a study or its weather but more often a slip, then what lies a little apart: warnings,
/// then notes, each in the order of the file. What only follows from another finding is counted there.
pub(super) fn warnings(opened: &Opened, weather: &OpenedWeather) -> Vec<Problem> {
    let Reading { value, inputs, warnings, .. } = &opened.reading;
    let mut own = warnings.clone();
    own.extend(weather.findings.iter().cloned());
    own.extend(doubts(&opened.name, value, inputs, &weather.years, Run::Unchanged));
    let mut causes = Causes::of_study(own);
    let mut add = |within: String, changed: &ChangedStudy, run: Run| {
        let found = doubts(&opened.name, &changed.study, &changed.inputs, &weather.years, run);
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
