//! Whether the season's air can reach what a study asks for, with the plant of every option, scenario and draw.

use super::written::Written;
use crate::command::Failure;
use crate::problem::Problem;
use crate::season::check_reach;
use crate::study::input::{Input, problem_at};
use crate::study::{Drawn, Study};
use crate::weather::WeatherYear;

/// Refuses a target that the season's air cannot reach.
pub(super) fn check_targets(written: &Written, years: &[WeatherYear]) -> Result<(), Failure> {
    let (name, study) = (&written.name, &written.reading.value);
    check_target(name, "", (study, &written.reading.inputs), years)?;
    for (place, heating) in study.heatings.iter().enumerate() {
        if let Some(changed) = study.changed_by(place) {
            let whose = format!("in option \"{}\": ", heating.name);
            check_target(name, &whose, (&changed.study, &changed.inputs), years)?;
        }
    }
    for scenario in &study.scenarios {
        for plant in scenario.study.iter().flat_map(|changed| changed.study.plants()) {
            check_reach(plant, years).map_err(|unreachable| {
                Problem::of_file(name, format!("in scenario \"{}\": {unreachable}", scenario.name))
            })?;
        }
    }
    Ok(())
}

/// The same of every draw.
pub(super) fn check_drawn_targets(drawn: &Drawn, years: &[WeatherYear]) -> Result<(), Failure> {
    for one in &drawn.studies {
        for plant in one.study.plants() {
            check_reach(plant, years).map_err(|unreachable| drawn.problem(&one.point, &unreachable.to_string()))?;
        }
    }
    Ok(())
}

fn check_target(
    name: &str,
    whose: &str,
    (study, inputs): (&Study, &[Input]),
    years: &[WeatherYear],
) -> Result<(), Failure> {
    check_reach(&study.plant, years).map_err(|unreachable| {
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
