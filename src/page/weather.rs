//! A weather series on one page: dry bulb and humidity by hour of the day and day of the year, what is
//! missing or mended, and a table of the months.
//!
//! The page is one HTML text: no script, no address, nothing to fetch. The maps are stretched to the
//! page's width while their labels keep their size, so that it reads on a telephone and on paper.

mod band;
mod map;
mod months;
mod scale;

use super::kit::document::{document, escape};
use crate::number::fixed;
use crate::weather::Hour;
use band::Band;
use std::fmt::Write as _;

/// Most bands (years) that are drawn; the table counts them all.
const DRAWN_BANDS: usize = 3;
const STYLE: &str = concat!(
    include_str!("../../templates/base.css"),
    include_str!("../../templates/dark.css"),
    include_str!("../../templates/weather.css"),
);

/// What the page says of where its hours come from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Subject {
    /// Heading, such as the station's or the site's name.
    pub title: String,
    /// Lines below the heading: files, format, licence, "invented", what was mended and why.
    pub remarks: Vec<String>,
    /// Pairs of label and value about the place, such as `("Altitude", "540 m")`.
    pub facts: Vec<(String, String)>,
    /// True if the hours are a typical year, whatever year they are dated in.
    pub typical_year: bool,
}

/// The page, as HTML text. Hours must be in order; months of different years one after another (a typical
/// year) are drawn as one year.
pub(crate) fn weather_page(subject: &Subject, hours: &[Hour]) -> String {
    let mut html = String::new();
    for remark in &subject.remarks {
        let _ = writeln!(html, "<p class=\"under\">{}</p>", escape(remark));
    }
    let mut bands = band::in_hours(hours);
    if let [only] = &mut bands[..]
        && subject.typical_year
    {
        "typical year".clone_into(&mut only.label);
    }
    facts(&mut html, subject, hours, &bands);
    if hours.is_empty() {
        html.push_str("<p>There are no hours to draw.</p>\n");
    } else {
        let drawn = &bands[bands.len().saturating_sub(DRAWN_BANDS)..];
        if drawn.len() < bands.len() {
            let _ = writeln!(
                html,
                "<p>The last {} of {} years are drawn; the table counts them all.</p>",
                drawn.len(),
                bands.len()
            );
        }
        map::section(&mut html, map::Shown::DryBulb, hours, drawn);
        map::section(&mut html, map::Shown::RelativeHumidity, hours, drawn);
        months::section(&mut html, hours, &bands);
    }
    document(&subject.title, STYLE, &html)
}

fn facts(html: &mut String, subject: &Subject, hours: &[Hour], bands: &[Band]) {
    let missing: usize = bands.iter().map(Band::missing_hours).sum();
    let mended = hours.iter().filter(|hour| hour.mended).count();
    let hours_of = |count: usize| {
        if count == 0 { "none".to_owned() } else { format!("{} h", counted(count)) }
    };
    let own = [("Hours", counted(hours.len())), ("Missing", hours_of(missing)), ("Mended", hours_of(mended))];
    html.push_str("<dl>\n");
    let given = subject.facts.iter().map(|(label, value)| (escape(label), escape(value)));
    for (label, value) in given.chain(own.map(|(label, value)| (label.to_owned(), value))) {
        let _ = writeln!(html, "<div><dt>{label}</dt><dd>{value}</dd></div>");
    }
    html.push_str("</dl>\n");
}

/// A count, with spaces between thousands.
fn counted(count: usize) -> String {
    fixed(count as f64, 0)
}

#[cfg(test)]
mod tests;
