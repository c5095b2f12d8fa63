//! Studies or their reports beside each other on one page: what differs in the inputs, and what that does to every
//! headline. No script, nothing to fetch.

use super::kit::document::{document, escape};
use crate::answer::{Differences, Headline, letter};
use std::fmt::Write;

const STYLE: &str = concat!(
    include_str!("../../templates/base.css"),
    include_str!("../../templates/dark.css"),
    include_str!("../../templates/log.css"),
);

/// The page, as HTML text.
pub(crate) fn compared_page(found: &Differences) -> String {
    let mut html = String::from("<ul>\n");
    for (at, subject) in found.subjects.iter().enumerate() {
        let (title, name) = (escape(&subject.title), escape(&subject.name));
        let _ = writeln!(html, "<li><strong>{}</strong>: {title} ({name})</li>", letter(at));
    }
    html.push_str("</ul>\n");
    if found.currencies_differ {
        html.push_str("<p>Their currencies differ: nothing in money is compared.</p>\n");
    }
    html.push_str("<h2>What differs in the inputs</h2>\n");
    inputs(&mut html, found);
    html.push_str("<h2>What that does</h2>\n<p class=\"under\">A change is in percent of A. What leaves work undone is no measure of cost.</p>\n");
    let mut rest = found.headlines.as_slice();
    while let Some(first) = rest.first() {
        let of_option = rest.iter().take_while(|headline| headline.option == first.option).count();
        let (headlines, others) = rest.split_at(of_option);
        headlines_table(&mut html, found, headlines);
        rest = others;
    }
    let names: Vec<String> = (0..found.subjects.len()).map(letter).collect();
    document(&format!("{} beside each other", names.join(", ")), STYLE, &html)
}

/// Heads of a table: what stands in its first column, then a letter for each report.
fn heads(html: &mut String, first: &str, found: &Differences) {
    let first = escape(first);
    let _ = write!(
        html,
        "<div class=\"scroll\" role=\"region\" aria-label=\"{first}\" tabindex=\"0\"><table>\n\
         <thead><tr><th scope=\"col\">{first}</th>"
    );
    for at in 0..found.subjects.len() {
        let _ = write!(html, "<th scope=\"col\">{}</th>", letter(at));
        if at > 0 {
            html.push_str("<th scope=\"col\">change</th>");
        }
    }
    html.push_str("</tr></thead>\n<tbody>\n");
}

fn inputs(html: &mut String, found: &Differences) {
    if found.inputs.is_empty() && found.files.is_empty() {
        html.push_str("<p>Nothing.</p>\n");
        return;
    }
    html.push_str("<ul>\n");
    for input in &found.inputs {
        let values = input.told(" → ", str::to_owned);
        let _ = writeln!(html, "<li>{}: {}</li>", escape(&input.path), escape(&values));
    }
    for file in &found.files {
        let _ = writeln!(html, "<li>{}: {}</li>", escape(&file.path), file.whose_file());
    }
    html.push_str("</ul>\n");
}

/// Headlines of the study, or of one option.
fn headlines_table(html: &mut String, found: &Differences, headlines: &[Headline]) {
    let of = headlines[0].option.as_deref();
    heads(html, &of.map_or_else(|| "the study".to_owned(), |option| format!("“{option}”")), found);
    for headline in headlines {
        let unit = if headline.unit.is_empty() { String::new() } else { format!(", {}", headline.unit) };
        let _ = write!(html, "<tr><th scope=\"row\">{}{}</th>", escape(&headline.name), escape(&unit));
        for at in 0..found.subjects.len() {
            let _ = write!(html, "<td>{}</td>", escape(&headline.told(at)));
            if at > 0 {
                let _ = write!(html, "<td>{}</td>", escape(&headline.changed(at)));
            }
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody></table></div>\n");
}
