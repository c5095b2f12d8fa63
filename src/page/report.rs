//! The report as one HTML page: no network, no script.

mod answer;
mod application;
mod budget;
mod by_option;
mod carriers;
mod cash;
mod compared;
mod covered;
mod crops;
mod electric_load;
mod flows;
mod in_full;
mod layers;
mod method;
mod odds;
mod offers;

mod places_side_by_side;
mod placing;
mod plants;
mod quantities;
mod recovered;
mod rooms;
mod scenarios;
mod screening;
mod season;
mod sensitivity;
mod sheet;
mod sizing;
mod spread;
mod view;
mod ways;
mod whose;
mod work;

use super::kit::document::escape;
use super::parts;
use crate::answer::figures::Figures;
use crate::answer::hours::day_name;
use crate::answer::set_words;
use crate::number;
use crate::printable::printable;
use chrono::NaiveDate;
use serde::Serialize;
use serde_json::Value;
use tera::{Context, Tera};
use view::View;

/// Why a page could not be made.
#[derive(Debug, thiserror::Error)]
pub enum NoPage {
    /// There is nothing to report on.
    #[error("the figures hold no option; a report needs one")]
    NoOption,
    /// The template has left out a part of the page: a fault of the program.
    #[error("the template has no place for {part}, so no page was made")]
    LeftOut {
        /// Caption of a table or title of a figure.
        part: String,
    },
    /// The template and its contents do not fit.
    #[error("the page could not be filled: {0}")]
    Template(#[from] tera::Error),
}

const TEMPLATE: &str = include_str!("../../templates/report.html");
const PARTS: &str = include_str!("../../templates/parts.html");
const STYLE: &str = concat!(
    include_str!("../../templates/base.css"),
    include_str!("../../templates/report.css"),
    include_str!("../../templates/dark.css"),
    include_str!("../../templates/report_print.css"),
);

/// All that the template places.
#[derive(Debug, Serialize)]
struct Page {
    style: &'static str,
    title: String,
    date: String,
    facts: Vec<(&'static str, String)>,
    synthetic: bool,
    has_cool_store: bool,
    has_recovery: bool,
    invented_share: Option<String>,
    warmer: Option<String>,
    sheet: sheet::Sheet,
    answer: answer::Answer,
    budget: budget::Budget,
    compared: compared::Compared,
    cash: Option<cash::Cash>,
    screening: Option<screening::Screening>,
    ways: Option<ways::Ways>,
    in_full: in_full::InFull,
    season: season::Season,
    recovered: recovered::Recovered,
    flows: flows::Flows,
    sizing: sizing::Sizing,
    electric: electric_load::ElectricLoad,
    spread: Option<spread::Spread>,
    scenarios: Option<scenarios::Scenarios>,
    sensitivity: sensitivity::Sensitivity,
    application: application::Application,
    offers: Option<offers::Offers>,
    method: method::Method,
}

/// Makes the page. The day of the run, which it bears unless the study gives another, comes in from outside, so that the same inputs give the same bytes.
pub(crate) fn report_page(figures: &Figures, run_date: NaiveDate) -> Result<String, NoPage> {
    number::telling(|| page_of(figures, run_date))
}

fn page_of(figures: &Figures, run_date: NaiveDate) -> Result<String, NoPage> {
    let view = View::of(figures).ok_or(NoPage::NoOption)?;
    let page = Page {
        style: STYLE,
        title: figures.study.title.clone(),
        date: figures.study.dated.unwrap_or(run_date).format("%-d %B %Y").to_string(),
        facts: facts(&view),
        synthetic: figures.weather.synthetic,
        has_cool_store: view.has_cool_store(),
        has_recovery: view.has_cool_store(),
        invented_share: method::invented_share(&figures.weather),
        warmer: method::warmer(&figures.weather),
        sheet: sheet::sheet(&view),
        answer: answer::answer(&view),
        budget: budget::budget(&view),
        cash: cash::cash(&view),
        compared: compared::compared(&view),
        screening: screening::screening(&view),
        ways: ways::ways(&view),
        in_full: in_full::in_full(&view),
        season: season::season(&view),
        recovered: recovered::recovered(&view),
        flows: flows::flows(&view),
        sizing: sizing::sizing(&view),
        electric: electric_load::electric_load(&view),
        spread: spread::spread(&view),
        scenarios: scenarios::scenarios(&view),
        sensitivity: sensitivity::sensitivity(&view),
        application: application::application(&view),
        offers: offers::offers(&view),
        method: method::method(&view),
    };
    let mut tera = Tera::new();
    tera.add_raw_templates([("parts.html", PARTS), ("report.html", TEMPLATE)])?;
    let context = Context::from_serialize(&page)?;
    let html = tera.render("report.html", &context)?;
    all_placed(&page, &html)?;
    // Names that others gave may hold what turns or hides the text around them.
    Ok(printable(&html))
}

/// Every figure and every table that was made stands in the page: a line that the template lacks would lose them in
/// silence.
fn all_placed(page: &impl Serialize, html: &str) -> Result<(), NoPage> {
    let parts = serde_json::to_value(page).unwrap_or_default();
    match left_out(&parts, html) {
        Some(part) => Err(NoPage::LeftOut { part: part.to_owned() }),
        None => Ok(()),
    }
}

fn left_out<'a>(part: &'a Value, html: &str) -> Option<&'a str> {
    match part {
        Value::Array(parts) => parts.iter().find_map(|part| left_out(part, html)),
        Value::Object(parts) => {
            let text = |key: &str| parts.get(key).and_then(Value::as_str);
            if let (Some(title), Some(drawing)) = (text("title"), text("wide")) {
                return (!html.contains(drawing)).then_some(title);
            }
            if let (Some(caption), true) = (text("caption"), parts.contains_key("heads")) {
                let named = format!("<caption><span>{}<", escape(caption));
                return (!html.contains(&named)).then_some(caption);
            }
            parts.values().find_map(|part| left_out(part, html))
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => None,
    }
}

/// The study in a few lines.
fn facts(view: &View<'_>) -> Vec<(&'static str, String)> {
    let study = &view.figures.study;
    let season = &view.figures.season;
    let mut facts = vec![
        ("Nuts", crops::nuts(study, season)),
        ("Season", format!("{} to {}", month_day(&study.season_starts), month_day(&study.season_ends))),
        ("Air", study.air_words.to_string()),
    ];
    if let (Some(latitude), Some(longitude)) = (study.latitude, study.longitude) {
        let side = |value: f64, plus: &str, minus: &str| {
            let name = if value < 0.0 { minus } else { plus };
            format!("{}°\u{a0}{name}", number::fixed(value.abs(), 2))
        };
        let altitude =
            study.altitude_m.map_or_else(String::new, |m| format!(", {}", number::Measure::of("m").fixed(m, 0)));
        facts.push(("Site", format!("{}, {}{altitude}", side(latitude, "N", "S"), side(longitude, "E", "W"))));
    }
    let labels: Vec<&str> = view.figures.weather.years.iter().map(|year| year.label.as_str()).collect();
    let weather = match labels.as_slice() {
        [] => "none".to_owned(),
        [one] => (*one).to_owned(),
        [first, .., last] => {
            format!("{}, {first} to {last}", parts::counted(labels.len(), "year", "years"))
        }
    };
    facts.push(("Weather", weather));
    facts.push(("Baseline", view.baseline().name.clone()));
    let set: Vec<String> = view.figures.set.iter().map(set_words).collect();
    if !set.is_empty() {
        facts.push(("Set for this run", set.join("; ")));
    }
    facts
}

/// `03-01` as `1 March`; anything else as it is.
fn month_day(text: &str) -> String {
    NaiveDate::parse_from_str(&format!("2000-{text}"), "%Y-%m-%d").map_or_else(|_| text.to_owned(), day_name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_the_template_leaves_out_is_named() {
        let page = json!({
            "season": { "figures": [{ "title": "Heat", "wide": "<svg>heat</svg>" }] },
            "tables": [{ "caption": "A & B", "heads": [] }],
            "note": "none",
        });
        let whole = "<svg>heat</svg><caption><span>A &amp; B</span></caption>";
        assert_eq!(left_out(&page, whole), None);
        assert_eq!(left_out(&page, &whole.replace("heat", "need")), Some("Heat"));
        assert_eq!(left_out(&page, &whole.replace("A &amp; B", "")), Some("A & B"));
    }
}
