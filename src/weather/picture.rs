//! A weather series on one page: dry bulb and humidity by hour of the day and day of the year, what is
//! missing or mended, and a table of the months.
//!
//! The page is one HTML text: no script, no address, nothing to fetch. The maps are stretched to the
//! page's width while their labels keep their size, so that it reads on a telephone and on paper.

mod band;
mod map;
mod months;
mod scale;

use super::hour::Hour;
use band::Band;
use std::fmt::Write as _;

/// Most bands (years) that are drawn; the table counts them all.
const DRAWN_BANDS: usize = 3;

/// What the page says of where its hours come from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Subject {
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
pub fn page(subject: &Subject, hours: &[Hour]) -> String {
    let title = escaped(&subject.title);
    let mut html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{title}</title>\n<style>\n{}</style>\n\
         </head>\n<body>\n<main>\n<h1>{title}</h1>\n",
        include_str!("picture/page.css")
    );
    for remark in &subject.remarks {
        push(&mut html, format_args!("<p class=\"under\">{}</p>\n", escaped(remark)));
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
            push(
                &mut html,
                format_args!(
                    "<p>The last {} of {} years are drawn; the table counts them all.</p>\n",
                    drawn.len(),
                    bands.len()
                ),
            );
        }
        map::section(&mut html, map::Shown::DryBulb, hours, drawn);
        map::section(&mut html, map::Shown::RelativeHumidity, hours, drawn);
        months::section(&mut html, hours, &bands);
    }
    html.push_str("</main>\n</body>\n</html>\n");
    html
}

fn facts(html: &mut String, subject: &Subject, hours: &[Hour], bands: &[Band]) {
    let missing: usize = bands.iter().map(Band::missing_hours).sum();
    let mended = hours.iter().filter(|hour| hour.mended).count();
    let counted = |count: usize| {
        if count == 0 { "none".to_owned() } else { format!("{} h", grouped(count)) }
    };
    let own = [
        ("Hours", grouped(hours.len())),
        ("Missing", counted(missing)),
        ("Mended", counted(mended)),
    ];
    html.push_str("<dl>\n");
    let given = subject.facts.iter().map(|(label, value)| (escaped(label), escaped(value)));
    for (label, value) in given.chain(own.map(|(label, value)| (label.to_owned(), value))) {
        push(html, format_args!("<div><dt>{label}</dt><dd>{value}</dd></div>\n"));
    }
    html.push_str("</dl>\n");
}

fn push(html: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = html.write_fmt(text);
}

/// Text safe inside HTML and quoted attributes.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A count with thin spaces between thousands.
fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    text
}

/// A number with these decimals, a true minus sign, and no minus on zero.
fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '0' | '.' | '-'));
    match text.strip_prefix('-') {
        Some(rest) if is_zero => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

#[cfg(test)]
mod tests;
