//! The report as one HTML page: no network, no script.

mod answer;
mod application;
mod budget;
mod compared;
mod covered;
mod crops;
mod electric_load;
mod flows;
mod layers;
mod method;
mod odds;

mod placing;
mod recovered;
mod rooms;
mod season;
mod sensitivity;
mod sizing;
mod spread;
mod view;
mod whose;
mod work;

use super::chart::CannotDraw;
use super::parts;
use crate::answer::figures::Figures;
use crate::answer::hours::day_name;
use crate::number;
use chrono::NaiveDate;
use plotters::drawing::DrawingAreaErrorKind;
use serde::Serialize;
use tera::{Context, Tera};
use view::View;

/// Why a page could not be made.
#[derive(Debug, thiserror::Error)]
pub enum NoPage {
    /// There is nothing to report on.
    #[error("the figures hold no option; a report needs one")]
    NoOption,
    /// A chart could not be drawn.
    #[error("a chart could not be drawn: {0}")]
    Chart(#[from] DrawingAreaErrorKind<CannotDraw>),
    /// The template and its contents do not fit.
    #[error("the page could not be filled: {0}")]
    Template(#[from] tera::Error),
}

const TEMPLATE: &str = include_str!("../../templates/report.html");
const PARTS: &str = include_str!("../../templates/parts.html");
const STYLE: &str = include_str!("../../templates/report.css");

/// All that the template places.
#[derive(Debug, Serialize)]
struct Page {
    style: &'static str,
    title: String,
    date: String,
    facts: Vec<(&'static str, String)>,
    synthetic: bool,
    has_cool_store: bool,
    invented_share: Option<String>,
    answer: answer::Answer,
    budget: budget::Budget,
    compared: compared::Compared,
    season: season::Season,
    recovered: recovered::Recovered,
    flows: flows::Flows,
    sizing: sizing::Sizing,
    electric: electric_load::ElectricLoad,
    spread: Option<spread::Spread>,
    sensitivity: sensitivity::Sensitivity,
    application: application::Application,
    method: method::Method,
}

/// Makes the page. The run's date comes in from outside, so that the same inputs give the same bytes.
pub fn report_page(figures: &Figures, run_date: NaiveDate) -> Result<String, NoPage> {
    let view = View::of(figures).ok_or(NoPage::NoOption)?;
    let page = Page {
        style: STYLE,
        title: figures.study.title.clone(),
        date: run_date.format("%-d %B %Y").to_string(),
        facts: facts(&view),
        synthetic: figures.weather.synthetic,
        has_cool_store: view.has_cool_store(),
        invented_share: method::invented_share(&figures.weather),
        answer: answer::answer(&view),
        budget: budget::budget(&view)?,
        compared: compared::compared(&view)?,
        season: season::season(&view)?,
        recovered: recovered::recovered(&view)?,
        flows: flows::flows(&view)?,
        sizing: sizing::sizing(&view)?,
        electric: electric_load::electric_load(&view)?,
        spread: spread::spread(&view)?,
        sensitivity: sensitivity::sensitivity(&view)?,
        application: application::application(&view),
        method: method::method(&view),
    };
    let mut tera = Tera::new();
    tera.add_raw_templates([("parts.html", PARTS), ("report.html", TEMPLATE)])?;
    let context = Context::from_serialize(&page)?;
    Ok(tera.render("report.html", &context)?)
}

/// The study in a few lines.
fn facts(view: &View<'_>) -> Vec<(&'static str, String)> {
    let study = &view.figures.study;
    let season = &view.figures.season;
    let mut facts = vec![
        ("Nuts", crops::nuts(study, season)),
        (
            "Season",
            format!("{} to {}", month_day(&study.season_starts), month_day(&study.season_ends)),
        ),
        ("Air", study.air_words.clone()),
    ];
    if let (Some(latitude), Some(longitude)) = (study.latitude, study.longitude) {
        let side = |value: f64, plus: &str, minus: &str| {
            let name = if value < 0.0 { minus } else { plus };
            format!("{}°\u{a0}{name}", number::fixed(value.abs(), 2))
        };
        let altitude = study.altitude_m.map_or_else(String::new, |m| {
            format!(", {}", number::with_unit(&number::fixed(m, 0), "m"))
        });
        facts.push((
            "Site",
            format!("{}, {}{altitude}", side(latitude, "N", "S"), side(longitude, "E", "W")),
        ));
    }
    let labels: Vec<&str> =
        view.figures.weather.years.iter().map(|year| year.label.as_str()).collect();
    let weather = match labels.as_slice() {
        [] => "none".to_owned(),
        [one] => (*one).to_owned(),
        [first, .., last] => {
            format!("{}, {first} to {last}", parts::counted(labels.len(), "year", "years"))
        }
    };
    facts.push(("Weather", weather));
    facts.push(("Baseline", view.baseline().name.clone()));
    facts
}

/// `03-01` as `1 March`; anything else as it is.
fn month_day(text: &str) -> String {
    NaiveDate::parse_from_str(&format!("2000-{text}"), "%Y-%m-%d")
        .map_or_else(|_| text.to_owned(), day_name)
}
