//! The walk: every number of a page, looked for where its place says that it stands.

use super::figure::{Figure, figures, texts};
use super::measures::{factors, unit_of};
use super::number::{NoFigure, Number, numbers};
use super::place::{Kind, Place, places};
use super::worked::Worked;
use serde_json::Value;
use std::collections::BTreeMap;

/// Where numbers stand, by place.
const WHERE: &str = include_str!("where.txt");

/// What came of a walk.
#[derive(Debug, Default)]
pub(super) struct Walked {
    /// Numbers looked for, by how.
    pub looked: BTreeMap<&'static str, usize>,
    /// Numbers that no figure needs to hold, by why.
    pub excepted: BTreeMap<&'static str, usize>,
    /// Numbers that stand nowhere, each with its place.
    pub unfound: Vec<String>,
    /// Of those that were found: how many would be found all the same with another last digit, by how.
    pub unnoticed: BTreeMap<&'static str, usize>,
}

struct Column {
    caption: &'static str,
    head: &'static str,
    figure: &'static str,
}

/// The rules of `where.txt`: columns of tables, and figures by section.
fn rules() -> (Vec<Column>, BTreeMap<&'static str, Vec<&'static str>>) {
    let (mut columns, mut sections) = (Vec::new(), BTreeMap::new());
    for line in WHERE.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let parts: Vec<&str> = line.split(" | ").map(str::trim).collect();
        match parts[..] {
            [caption, head, figure] => columns.push(Column { caption, head, figure }),
            [section, figures] => {
                sections.insert(section, figures.split(';').map(str::trim).collect());
            }
            _ => panic!("no rule: {line}"),
        }
    }
    (columns, sections)
}

/// True if a figure stands where a pattern says.
fn stands_at(path: &[String], pattern: &str) -> bool {
    let mut keys = path.iter();
    for wanted in pattern.split('/') {
        let Some(key) = keys.next() else { return false };
        if wanted == "**" {
            return true;
        }
        if wanted != "*" && wanted != key {
            return false;
        }
    }
    keys.next().is_none()
}

/// Of several figures those that bear a name, where any does.
fn that_bear<'a>(figures: Vec<&'a Figure>, name: &str) -> Vec<&'a Figure> {
    if name.is_empty() || !figures.iter().any(|figure| figure.names.contains(name)) {
        return figures;
    }
    figures.into_iter().filter(|figure| figure.names.contains(name)).collect()
}

fn quoted(text: &str) -> Vec<&str> {
    text.split('“').skip(1).filter_map(|rest| rest.split('”').next()).collect()
}

struct Walk<'a> {
    all: &'a Value,
    figures: Vec<Figure>,
    texts: String,
    options: Vec<&'a str>,
    years: Vec<&'a str>,
    money: &'a str,
    columns: Vec<Column>,
    sections: BTreeMap<&'static str, Vec<&'static str>>,
    /// Printed numbers of a column above a row of sums, by table and column.
    above: BTreeMap<(usize, usize), Vec<f64>>,
    /// Places of figures by pattern.
    standing: BTreeMap<&'static str, Vec<usize>>,
    walked: Walked,
}

/// Walks a page, with the figures that were written with it.
pub(super) fn walk(page: &str, all: &Value) -> Walked {
    let (columns, sections) = rules();
    let names = |list: &'static str, key: &'static str| -> Vec<&str> {
        let found = all.pointer(list).and_then(Value::as_array).expect("a list");
        found.iter().filter_map(|one| one[key].as_str()).collect()
    };
    let mut walk = Walk {
        figures: figures(all),
        texts: texts(all),
        options: names("/options", "name"),
        years: names("/weather/years", "label"),
        money: if all["study"]["currency"] == "EUR" { "€" } else { "$" },
        all,
        columns,
        sections,
        above: BTreeMap::new(),
        standing: BTreeMap::new(),
        walked: Walked::default(),
    };
    for place in places(page) {
        walk.place(&place);
    }
    walk.walked
}

impl Walk<'_> {
    /// Places of the figures that a pattern names; each pattern is looked through once.
    fn standing_at(&mut self, pattern: &'static str) -> &[usize] {
        let figures = &self.figures;
        self.standing.entry(pattern).or_insert_with(|| {
            let places = figures.iter().enumerate().filter(|(_, figure)| stands_at(&figure.path, pattern));
            places.map(|(at, _)| at).collect()
        })
    }

    fn except(&mut self, why: &'static str) {
        *self.walked.excepted.entry(why).or_default() += 1;
    }

    /// Names of the study that hold digits are no numbers.
    fn without_names(&self, text: &str) -> String {
        let mut names: Vec<&str> = self.options.clone();
        names.extend(self.all["study"]["title"].as_str());
        names.sort_by_key(|name| std::cmp::Reverse(name.len()));
        let with_digits = names.iter().filter(|name| name.bytes().any(|b| b.is_ascii_digit()));
        with_digits.fold(text.to_owned(), |text, name| text.replace(name, "¤"))
    }

    fn place(&mut self, place: &Place) {
        let text = self.without_names(&place.text);
        let found = numbers(&text);
        if found.is_empty() {
            return;
        }
        let rule = if place.kind == Kind::Cell { self.rule(place) } else { None };
        if place.kind == Kind::Pasted || rule.as_ref().is_some_and(|figures| figures == &["text"]) {
            *self.walked.looked.entry("in words of the figures").or_default() += found.len();
            // What is pasted is cut into blocks; where an hour is told, its day and its hour stand apart.
            let own = |part: &str| -> String {
                // Which option goes that way, and which guard then fires longer, is put behind.
                let part = part.split(" (“").next().unwrap_or_default();
                part.split("; longer than").next().unwrap_or_default().trim().to_owned()
            };
            let is_said = place.text.split("\n\n").all(|part| self.texts.contains(&own(part)));
            let is_hour = found.iter().all(|(_, other)| matches!(other, Some(NoFigure::Day | NoFigure::Clock)));
            if !is_said && !is_hour && !self.years.contains(&place.text.as_str()) {
                self.walked.unfound.push(format!("{}, {}: “{}” is not said", place.section, place.caption, place.text));
            }
            return;
        }
        for (number, other) in &found {
            match (other, place.kind) {
                (Some(NoFigure::Day | NoFigure::Clock), _) => self.except("a day or an hour of the day"),
                (Some(NoFigure::InAWord), _) => self.except("in a word, a version or a digest"),
                (Some(NoFigure::Power), _) => self.except("in powers of ten: residuals of balances"),
                (None, Kind::Tick) => self.except("at an axis"),
                (None, Kind::Legend) => self.except("limits of a chart's colours"),
                (None, _) if self.years.contains(&number.printed) => self.except("a weather year"),
                (None, _) if told(number).is_some() => self.except(told(number).expect("why")),
                (None, Kind::Cell) => self.cell(place, number, rule.as_deref()),
                (None, Kind::Said | Kind::Drawn | Kind::Pasted) => self.said(place, number),
            }
        }
    }

    /// The figures that a cell's column names.
    fn rule(&self, place: &Place) -> Option<Vec<&'static str>> {
        let fitting: Vec<&Column> =
            self.columns.iter().filter(|column| place.caption.starts_with(column.caption)).collect();
        let longest = fitting.iter().map(|column| column.caption.len()).max()?;
        let is_money = place.unit.len() == 3 && place.unit.bytes().all(|b| b.is_ascii_uppercase());
        let mut found: Vec<&Column> = Vec::new();
        for column in fitting.iter().filter(|column| column.caption.len() == longest) {
            let (head, wants_money) = match column.head.strip_suffix(" [money]") {
                Some(head) => (head, true),
                None => (column.head, false),
            };
            let fits = match head.strip_prefix('~') {
                Some(words) => place.head.contains(words.trim()),
                None => head == "*" || place.head.starts_with(head),
            };
            let is_first = found.first().is_none_or(|first| first.head == column.head);
            if fits && is_first && (!wants_money || is_money) {
                found.push(column);
            }
        }
        (!found.is_empty()).then(|| found.iter().map(|column| column.figure).collect())
    }

    fn cell(&mut self, place: &Place, number: &Number<'_>, rule: Option<&[&'static str]>) {
        let Some(rule) = rule else { return self.said(place, number) };
        if rule == ["limit"] {
            return self.except("a limit that the page tells");
        }
        if rule == ["formula"] {
            return self.except("in formulas, which `cli/application.rs` works from what is printed");
        }
        if rule == ["worked here"] {
            return self.said(place, number);
        }
        let is_negative = number.before.ends_with('−');
        let above = self.above.entry((place.table, place.column)).or_default();
        if ["season", "saved in all", "all together"].contains(&place.label.as_str()) && !above.is_empty() {
            // Each number is rounded by itself, so that a column may differ from its sum in the last digit.
            let sum: f64 = above.iter().sum();
            let most = above.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let room = number.half(false) * (above.len() as f64 + 1.0) * 1.001;
            *self.walked.looked.entry("sums of a column").or_default() += 1;
            if (sum.abs() - number.value).abs() > room && (most - number.value).abs() > 1e-9 {
                self.unfound("sum", place, number);
            }
            return;
        }
        above.push(if is_negative { -number.value } else { number.value });
        let at: Vec<usize> =
            rule.iter().flat_map(|rule| self.standing_at(rule.trim_start_matches("sum of ")).to_vec()).collect();
        let mut candidates: Vec<&Figure> = at.iter().map(|at| &self.figures[*at]).collect();
        let names_it = |option: &&&str| {
            let behind = place.head.strip_prefix(**option);
            behind.is_some_and(|rest| rest.is_empty() || rest.starts_with(": ") || rest.starts_with(" above "))
                || place.head.strip_suffix(**option).is_some_and(|rest| rest.ends_with(' '))
        };
        let in_head = self.options.iter().filter(names_it);
        let in_head = in_head.max_by_key(|option| option.len()).copied();
        // A row of a source or of a measure names its option behind.
        let of_row = [place.second.as_str(), &place.label].into_iter().find(|name| self.options.contains(name));
        let is_of_option = in_head.is_some() || of_row.is_some();
        let said = [&place.head, &place.caption].into_iter().flat_map(|text| quoted(text)).take(3);
        let behind = place.caption.rsplit_once(": ").map(|(_, behind)| behind);
        let others: Vec<&str> = if is_of_option { Vec::new() } else { said.chain(behind).collect() };
        // An option is known by its place in the list: a carrier or a source may be called as it is.
        if let Some(at) = self.options.iter().position(|option| Some(*option) == of_row) {
            let is_its = |figure: &&Figure| figure.path[0] != "options" || figure.path[1] == at.to_string();
            candidates.retain(is_its);
        }
        // A phase of growth and its option.
        let both = self.options.iter().filter_map(|option| {
            let phase = place.label.strip_suffix(option)?.strip_suffix(", ")?;
            Some([phase, *option])
        });
        let both = both.max_by_key(|both| both[1].len()).filter(|_| of_row.is_none()).into_iter().flatten();
        for name in [place.label.as_str(), &place.second].into_iter().chain(both).chain(in_head).chain(others) {
            candidates = that_bear(candidates, name);
        }
        let values: Vec<f64> = if rule[0].starts_with("sum of") {
            vec![candidates.iter().map(|figure| figure.value).sum()]
        } else {
            candidates.iter().map(|figure| figure.value).collect()
        };
        let half = number.half(["sheet", "doubt-in-full"].contains(&place.section.as_str()));
        let is = |wanted: f64| {
            values.iter().any(|value| [1.0, 1e-3, 100.0, 1e3].iter().any(|by| near(value * by, wanted, half)))
        };
        let (is_it, is_other) = (is(number.value), is(number.value + 2.0 * half));
        self.tell("in columns", is_it, is_other, place, number);
    }

    fn said(&mut self, place: &Place, number: &Number<'_>) {
        let given = if place.kind == Kind::Cell { place.unit.as_str() } else { "" };
        let unit = unit_of(number, given, self.money);
        let Some(rules) = self.sections.get(place.section.as_str()).cloned() else {
            return self.unfound("no rule for the section", place, number);
        };
        let mut named: Vec<&str> = quoted(&place.text);
        let stands = |text: &str, option: &str| {
            text == option
                || text.ends_with(&format!(": {option}"))
                || text.contains(&format!(": {option}."))
                || text.starts_with(&format!("{option}."))
        };
        named.extend(self.options.iter().filter(|o| stands(&place.text, o) || stands(&place.caption, o)));
        named.push(&place.label);
        named.retain(|name| self.options.contains(name));
        let in_question: Vec<&str> = named
            .iter()
            .copied()
            .chain(["recommended", "baseline"].iter().filter_map(|key| self.all["study"][key].as_str()))
            .collect();
        let at: Vec<usize> = rules.iter().flat_map(|rule| self.standing_at(rule).to_vec()).collect();
        let candidates: Vec<&Figure> = at
            .iter()
            .map(|at| &self.figures[*at])
            .filter(|figure| {
                let of_options = self.options.iter().filter(|option| figure.names.contains(**option));
                let of_options: Vec<&&str> = of_options.collect();
                named.is_empty()
                    || of_options.is_empty()
                    || of_options.iter().any(|option| in_question.contains(option))
            })
            .collect();
        let worked = Worked::of(self.all, &named).values(&place.section, &place.caption, number);
        let half = number.half(true);
        let is = |wanted: f64| {
            candidates
                .iter()
                .any(|figure| factors(unit, figure.measure).iter().any(|by| near(figure.value * by, wanted, half)))
                || worked.iter().any(|value| near(*value, wanted, half))
        };
        let (is_it, is_other) = (is(number.value), is(number.value + 2.0 * half));
        let how = if place.kind == Kind::Drawn { "in charts" } else { "in sentences" };
        self.tell(how, is_it, is_other, place, number);
    }

    fn tell(&mut self, how: &'static str, is_it: bool, is_other: bool, place: &Place, number: &Number<'_>) {
        *self.walked.looked.entry(how).or_default() += 1;
        if !is_it {
            self.unfound(how, place, number);
        } else if is_other {
            *self.walked.unnoticed.entry(how).or_default() += 1;
        }
    }

    fn unfound(&mut self, how: &str, place: &Place, number: &Number<'_>) {
        let before: String = number.before.chars().rev().take(60).collect::<Vec<_>>().into_iter().rev().collect();
        let after: String = number.after.chars().take(40).collect();
        let told = format!("{before}[{}]{after}", number.printed);
        let Place { section, caption, head, label, unit, .. } = place;
        self.walked.unfound.push(format!("{how}: {section} | {caption} | {head} | {label} | {unit} | {told}"));
    }
}

/// Numbers of the page's own words: constants of the method and limits that are told. What stands before the number, what
/// stands behind it, and why no figure holds it.
const TOLD: [(&str, &str, &str); 9] = [
    ("±", "", "a limit of steadiness, told beside its draws"),
    ("(", " %, two-sided)", "a level of significance"),
    ("at ", " % each (Clopper", "a level of confidence"),
    ("from ", " % of it on", "from which share on a stream of heat is named"),
    ("Handbook ", "", "the number of a handbook"),
    ("SHA-", "", "the name of a digest"),
    ("", "/h", "of a unit"),
    ("", "/K", "of a unit"),
    ("", " × 10", "in powers of ten: residuals of balances"),
];

fn told(number: &Number<'_>) -> Option<&'static str> {
    let fits =
        |(before, after, _): &&(&str, &str, &str)| number.before.ends_with(before) && number.after.starts_with(after);
    TOLD.iter().find(fits).map(|told| told.2)
}

/// True if a figure is printed so, whatever its sign: a saving below zero is told as what is lost.
fn near(value: f64, printed: f64, half: f64) -> bool {
    (value.abs() - printed).abs() <= half * 1.0001 + 1e-12
}
