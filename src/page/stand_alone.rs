//! Charts of a finished page as drawings of their own, each with its colours and its key in it: for a slide or a letter.
//!
//! They are taken from the page as it was written, so that a drawing is the one that the page shows.

use super::kit::document::escape;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// A drawing of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StandAlone {
    /// Its id in the page: `figure-bill-by-month`.
    pub id: String,
    /// The drawing, an SVG document.
    pub svg: String,
}

/// Height of a line of the key, and what stands around it, px.
const KEY_LINE_PX: f64 = 20.0;
const KEY_MARGIN_PX: f64 = 14.0;
/// Room of an entry's mark, and of each letter of 12 px, px.
const MARK_PX: f64 = 24.0;
const LETTER_PX: f64 = 7.0;

/// All charts of a page, in its order.
pub(crate) fn stand_alone(html: &str) -> Vec<StandAlone> {
    let style = between(html, "<style>", "</style>").unwrap_or_default();
    let rules = rules_in_light(style);
    html.split("<figure id=\"").skip(1).filter_map(|part| one(part, &rules)).collect()
}

/// A chart, from behind the quote that begins its id.
fn one(part: &str, rules: &[(String, String)]) -> Option<StandAlone> {
    let part = &part[..part.find("</figure>")?];
    let id = &part[..part.find('"')?];
    // A chart of half the width has one drawing for all widths.
    let drawing = part.find("<svg class=\"wide\"").or_else(|| part.find("<svg class=\"narrow\""))?;
    let drawing = &part[drawing..];
    let drawing = &drawing[..drawing.find("</svg>")?];
    let size = between(drawing, "viewBox=\"0 0 ", "\"")?;
    let (width, height) = size.split_once(' ')?;
    let (width, height): (f64, f64) = (width.parse().ok()?, height.parse().ok()?);
    let body = &drawing[drawing.find('>')? + 1..];
    let (key, key_px) = key(part, width, height);
    let whole = format!("{body}{key}");
    let attributes = between(drawing, "role=", ">")?;
    let paper = rules.iter().find(|(selector, _)| selector == "--paper").map_or("#ffffff", |(_, value)| value);
    let height = height + key_px;
    Some(StandAlone {
        id: id.to_owned(),
        svg: format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" role={attributes}>\n\
             <style>\n{}</style>\n<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n{whole}</svg>\n",
            style_of(&whole, rules),
            escape(paper),
        ),
    })
}

/// The key of a chart as it stands below it in the page, and how high it is, px.
fn key(part: &str, width_px: f64, top_px: f64) -> (String, f64) {
    let mut drawn = String::new();
    let (mut x, mut line) = (KEY_MARGIN_PX, 0.0);
    let list = between(part, "<ul class=\"key\"", "</ul>").unwrap_or_default();
    let mut entries = 0;
    for entry in list.split("<li>").skip(1) {
        let (Some(class), Some(name)) = (between(entry, " class=\"", "\""), between(entry, "</svg>", "</li>")) else {
            continue;
        };
        let wide = MARK_PX + LETTER_PX * name.chars().count() as f64 + KEY_MARGIN_PX;
        if entries > 0 && x + wide > width_px {
            (x, line) = (KEY_MARGIN_PX, line + 1.0);
        }
        let middle = top_px + (line + 0.5) * KEY_LINE_PX;
        let _ = if entry.contains("<path") {
            write!(drawn, "<path class=\"{class}\" d=\"M{x} {middle}H{}\"/>", x + 16.0)
        } else {
            write!(drawn, "<rect class=\"{class}\" x=\"{x}\" y=\"{}\" width=\"16\" height=\"10\"/>", middle - 5.0)
        };
        let _ = writeln!(drawn, "<text class=\"t\" x=\"{}\" y=\"{}\">{name}</text>", x + MARK_PX, middle + 4.0);
        x += wide;
        entries += 1;
    }
    let height = if entries == 0 { 0.0 } else { (line + 1.0) * KEY_LINE_PX + KEY_MARGIN_PX };
    (drawn, height)
}

/// Rules of a style sheet for light paper, in its order: selectors and declarations, with every colour in its place. What is
/// for screens or print alone, or for the dark, is left out. The colours themselves come first, by their names.
fn rules_in_light(style: &str) -> Vec<(String, String)> {
    let mut colours: BTreeMap<String, String> = BTreeMap::new();
    let mut rules = Vec::new();
    for (selector, declarations) in blocks(style) {
        if selector.starts_with('@') {
            continue;
        }
        if selector == ":root" {
            for declaration in declarations.split(';') {
                if let Some((name, value)) =
                    declaration.split_once(':').filter(|(name, _)| name.trim().starts_with("--"))
                {
                    colours.entry(name.trim().to_owned()).or_insert_with(|| value.trim().to_owned());
                }
            }
            continue;
        }
        rules.push((selector.to_owned(), declarations.to_owned()));
    }
    let filled = |declarations: String| {
        colours.iter().fold(declarations, |text, (name, value)| text.replace(&format!("var({name})"), value))
    };
    let rules = rules.into_iter().map(|(selector, declarations)| (selector, filled(declarations)));
    colours.clone().into_iter().chain(rules).collect()
}

/// Blocks of a style sheet that stand in no other: what is before the braces, and what is in them.
fn blocks(style: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let (mut depth, mut from, mut opened) = (0_usize, 0, 0);
    for (at, letter) in style.char_indices() {
        match letter {
            '{' => {
                if depth == 0 {
                    opened = at;
                }
                depth += 1;
            }
            '}' => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    let selector = style[from..opened].rsplit("*/").next().unwrap_or_default();
                    found.push((selector.trim(), style[opened + 1..at].trim()));
                    from = at + 1;
                }
            }
            _ => {}
        }
    }
    found
}

/// The rules that a drawing's own shapes and words ask for.
fn style_of(drawing: &str, rules: &[(String, String)]) -> String {
    let used: BTreeSet<&str> = drawing
        .split(" class=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .flat_map(str::split_whitespace)
        .collect();
    // `svg text.q`, `path.axis`, `.c1`: an element of a drawing, and a class that is in use if it names one.
    let applies = |selector: &str| {
        let plain = selector.trim().trim_start_matches("svg ").trim();
        let (element, class) = plain.split_once('.').unwrap_or((plain, ""));
        let is_drawn = ["", "text", "path", "rect", "circle", "line", "polyline", "polygon"].contains(&element);
        is_drawn && if class.is_empty() { element == "text" } else { used.contains(class) }
    };
    let mut style = String::new();
    for (selector, declarations) in rules {
        let own: Vec<&str> = selector.split(',').filter(|one| applies(one)).map(str::trim).collect();
        if !own.is_empty() {
            let plain: Vec<&str> = own.iter().map(|one| one.trim_start_matches("svg ")).collect();
            let _ = writeln!(style, "{} {{ {declarations} }}", plain.join(", "));
        }
    }
    style
}

fn between<'t>(text: &'t str, from: &str, until: &str) -> Option<&'t str> {
    let rest = &text[text.find(from)? + from.len()..];
    Some(&rest[..rest.find(until)?])
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<style>\n:root { --paper: #fff; --c1: #24476f; --ink: #111; }\n/* shapes */\n.c1 { fill: var(--c1); } .c2 { fill: red; }\n\
        svg text { fill: var(--ink); } svg text.q { fill: grey; } h1.c1 { fill: blue; }\n@media print { .c1 { fill: black; } }\n\
        </style><figure id=\"figure-one\"><svg class=\"wide\" viewBox=\"0 0 300 100\" role=\"img\" aria-labelledby=\"a\">\n\
        <title id=\"a\">One</title><rect class=\"c1\" x=\"1\"/></svg><svg class=\"narrow\" viewBox=\"0 0 9 9\"></svg>\
        <ul class=\"key\" aria-label=\"Key\">\n<li><svg viewBox=\"0 0 18 12\" aria-hidden=\"true\"><rect class=\"c1\" x=\"1\"/></svg>gas &amp; wood</li>\
        <li><svg viewBox=\"0 0 18 12\"><path class=\"c2\" d=\"M1 6H17\"/></svg>a name of so many letters that it needs a line</li>\n</ul></figure>";

    #[test]
    fn a_chart_brings_its_colours_and_its_key() {
        let all = stand_alone(PAGE);
        assert_eq!(all.len(), 1);
        let StandAlone { id, svg } = &all[0];
        assert_eq!(id, "figure-one");
        assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300\" height=\"154\""), "{svg}");
        for part in [
            ".c1 { fill: #24476f; }",
            ".c2 { fill: red; }",
            "text { fill: #111; }",
            ">gas &amp; wood</text>",
            "<title id=\"a\">One",
        ] {
            assert!(svg.contains(part), "no `{part}` in {svg}");
        }
        for part in ["var(", "narrow", "blue", "black", "text.q"] {
            assert!(!svg.contains(part), "`{part}` in {svg}");
        }
    }
}
