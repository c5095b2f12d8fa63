//! Site against weather: what the weather room doubts, told at the place of the study where it is mended.

use super::told_now::told_now;
use crate::problem::Problem;
use crate::study::Study;
use crate::study::input::{Input, problem_at};
use crate::weather::{Reading, SiteDatum, SiteDoubt, doubts_of_place, doubts_of_site};

/// Every doubt that study and weather belong together, told once however many files raise it. Weather of
/// elsewhere that is used on purpose is noted with the study's reason, and what is doubtful about its place with it.
pub(super) fn site_doubts(name: &str, (study, inputs): (&Study, &[Input]), readings: &[Reading]) -> Vec<Problem> {
    let spot = study.site.spot();
    let mut all: Vec<(SiteDoubt, Vec<&str>)> =
        doubts_of_site(&spot).into_iter().map(|doubt| (doubt, Vec::new())).collect();
    for reading in readings {
        for doubt in doubts_of_place(&spot, reading) {
            match all.iter_mut().find(|(known, _)| *known == doubt) {
                Some((_, files)) => files.push(&reading.file),
                None => all.push((doubt, vec![&reading.file])),
            }
        }
    }
    let elsewhere = study.weather.elsewhere.as_deref();
    let on_purpose = elsewhere.map(|reason| {
        let what = "the weather is of another place than the site, and is used on purpose";
        problem_at(inputs, name, "weather.elsewhere", what).cure(reason).code("weather.elsewhere").into_note()
    });
    let doubts = all.into_iter().map(|(doubt, files)| told((name, inputs), &doubt, &files, elsewhere.is_some()));
    on_purpose.into_iter().chain(doubts).collect()
}

fn told((name, inputs): (&str, &[Input]), doubt: &SiteDoubt, files: &[&str], is_on_purpose: bool) -> Problem {
    let message = doubt.problem.message.clone();
    let what = match files {
        [] => message,
        [file] => message.and(&format!(": {file}")),
        [file, others @ ..] => message.and(&format!(": {file} and {} more", others.len())),
    };
    let key = match doubt.about {
        SiteDatum::Latitude => "site.latitude",
        SiteDatum::Longitude => "site.longitude",
        SiteDatum::Altitude => "site.altitude_m",
        SiteDatum::UtcOffset => "site.utc_offset",
    };
    // A site that the study leaves out is the weather's own.
    let is_given = inputs.iter().any(|input| input.path == key && input.is_given());
    let path = if is_given { key } else { "weather.files" };
    let problem = problem_at(inputs, name, path, &*what).code(doubt.problem.code).told(told_now(&what));
    if is_on_purpose && doubt.is_of_place {
        return problem.cure("used on purpose").into_note();
    }
    problem.cure(doubt.cure.clone()).of_severity(doubt.problem.severity)
}
