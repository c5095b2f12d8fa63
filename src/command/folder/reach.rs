//! Whether the season's air can reach what a study asks for, with the plant of every option, scenario and draw.

use super::weather::OpenedWeather;
use super::written::{Opened, plants};
use crate::command::Failure;
use crate::problem::Problem;
use crate::season::check_reach;
use crate::study::document::Reading;
use crate::study::input::{Input, problem_at};
use crate::study::{Drawn, Study};

/// Refuses draws whose target the season's air cannot reach.
pub(in crate::command) fn check_drawn_targets(drawn: &Drawn, weather: &OpenedWeather) -> Result<(), Failure> {
    for one in &drawn.studies {
        for plant in plants(&one.study) {
            check_reach(plant, &weather.years)
                .map_err(|unreachable| drawn.problem(&one.point, &unreachable.to_string()))?;
        }
    }
    Ok(())
}

/// Refuses a target that the season's air cannot reach.
pub(in crate::command) fn check_target(opened: &Opened, weather: &OpenedWeather) -> Result<(), Failure> {
    let Reading { value: study, inputs, .. } = &opened.reading;
    check_target_of(&opened.name, "", study, inputs, weather)?;
    for (heating, changed) in study.heatings.iter().zip(&study.changed) {
        if let Some(changed) = changed {
            let whose = format!("in option \"{}\": ", heating.name);
            check_target_of(&opened.name, &whose, &changed.study, &changed.inputs, weather)?;
        }
    }
    for scenario in &study.scenarios {
        for plant in scenario.study.iter().flat_map(|changed| plants(&changed.study)) {
            check_reach(plant, &weather.years).map_err(|unreachable| {
                Problem::of_file(&opened.name, format!("in scenario \"{}\": {unreachable}", scenario.name))
            })?;
        }
    }
    Ok(())
}

fn check_target_of(
    name: &str,
    whose: &str,
    study: &Study,
    inputs: &[Input],
    weather: &OpenedWeather,
) -> Result<(), Failure> {
    check_reach(&study.plant, &weather.years).map_err(|unreachable| {
        let mut targets = inputs
            .iter()
            .map(|input| input.path.as_str())
            .filter(|path| path.starts_with("crop.") && path.ends_with(".dried_moisture"));
        let target = targets.nth(unreachable.crop()).unwrap_or("crop.dried_moisture");
        // Where the target is the kernel's, the one in shell follows from it.
        let crop = target.trim_end_matches("dried_moisture");
        let of_kernel = format!("{crop}dried_kernel_moisture");
        let target = match inputs.iter().find(|input| input.path == of_kernel) {
            Some(input) => &input.path,
            None => target,
        };
        problem_at(inputs, name, target, format!("{whose}{unreachable}"))
    })?;
    Ok(())
}
