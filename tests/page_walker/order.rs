//! Sentences of a page that claim an order (least, most, next best, between), each held against the figures: the rule
//! reads what the page says and finds the first of that order itself.

use super::place::{Kind, Place, places};
use serde_json::Value;
use std::collections::BTreeMap;

/// What was found: how often each rule met its sentence, and what is not so.
#[derive(Debug, Default)]
pub(super) struct Orders {
    pub met: BTreeMap<&'static str, usize>,
    pub wrong: Vec<String>,
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or(f64::NAN)
}

fn list<'a>(value: &'a Value, pointer: &str) -> Vec<&'a Value> {
    value.pointer(pointer).and_then(Value::as_array).map(|all| all.iter().collect()).unwrap_or_default()
}

/// The name of a figure's month.
fn month_of(value: &Value) -> &'static str {
    let month = value["month"].as_u64().and_then(|month| usize::try_from(month).ok());
    super::figure::MONTHS[month.expect("a month") - 1]
}

/// The name of the one of which something is least.
fn least<'a>(of: &[&'a Value], key: &str, what: impl Fn(&Value) -> f64) -> Option<&'a str> {
    of.iter().min_by(|a, b| what(a).total_cmp(&what(b)))?[key].as_str()
}

fn between<'a>(text: &'a str, before: &str, after: &str) -> Option<&'a str> {
    text.split_once(before)?.1.split_once(after).map(|(within, _)| within)
}

/// Numbers of a cell or a phrase, one behind the other.
fn numbers(text: &str) -> Vec<f64> {
    let plain = text.replace('−', "-");
    let parts = plain.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
    parts.filter_map(|part| part.trim_end_matches('.').parse().ok()).collect()
}

struct Check<'a> {
    all: &'a Value,
    options: Vec<&'a Value>,
    found: Orders,
}

/// Reads a page and its figures.
pub(super) fn orders(page: &str, all: &Value) -> Orders {
    let mut check = Check { all, options: list(all, "/options"), found: Orders::default() };
    let all = places(page);
    for place in all.iter().filter(|place| place.kind == Kind::Said) {
        check.sentence(place);
    }
    check.rows(&all);
    check.found
}

impl Check<'_> {
    fn holds(&mut self, rule: &'static str, is_so: bool, said: &str) {
        *self.found.met.entry(rule).or_default() += 1;
        if !is_so {
            self.found.wrong.push(format!("{rule}: {said}"));
        }
    }

    fn option(&self, name: &str) -> Option<&Value> {
        self.options.iter().find(|option| option["name"] == name).copied()
    }

    fn sentence(&mut self, place: &Place) {
        let text = place.text.as_str();
        self.chosen(text);
        if let (Some(first), Some(second)) = (between(text, "“", "” at "), between(text, "is followed by “", "”"))
        {
            let mut yearly = list(self.all, "/sheet/yearly");
            yearly.retain(|one| one["does_the_work"] != false);
            yearly.sort_by(|a, b| number(a, "/total").total_cmp(&number(b, "/total")));
            let is_so = yearly.len() > 1 && yearly[0]["option"] == first && yearly[1]["option"] == second;
            self.holds("the option of least yearly cost, and the next", is_so, text);
        }
        self.costliest_month(text);
        self.mean_day(text);
        if let Some(place) = between(text, "Most energy is spared with them ", ":") {
            self.spared(text, place);
        }
        if let (Some(name), Some(month)) =
            (between(text, "Recovered heat by month: ", ". "), between(text, "Most is gained in ", ":"))
            && let Some(option) = self.option(name)
        {
            let months = list(option, "/months");
            let most = months
                .iter()
                .max_by(|a, b| number(a, "/recovered_net_kwh").total_cmp(&number(b, "/recovered_net_kwh")));
            let is_so = most.is_some_and(|most| month.starts_with(month_of(most)));
            self.holds("the month of most recovered heat", is_so, text);
        }
        if let (Some(name), Some(pair)) =
            (between(text, "What moves it most is the ", ": from "), text.split(": from ").nth(1))
        {
            self.moves_most(text, name, pair);
        }
        for phrase in text.split("between ").skip(1) {
            if let Some((low, rest)) = phrase.split_once(" and ") {
                let high = rest.split(|c: char| c == ';' || c == ',' || c.is_whitespace()).next().unwrap_or_default();
                if let ([low], [high]) = (&numbers(low)[..], &numbers(high)[..]) {
                    self.holds("between a lower and a higher", low <= high, text);
                }
            }
        }
        if let (Some(hours), Some(all)) =
            (between(text, "", " of heat capacity cover 95 %"), between(text, "need, ", " cover all"))
        {
            let of = |text: &str| numbers(text).last().copied().unwrap_or(f64::NAN);
            self.holds("capacity for most hours is less than for all", of(hours) <= of(all), text);
        }
    }

    /// The headline, and the sentence of the answer.
    fn chosen(&mut self, text: &str) {
        let name = match (between(text, "Choose “", "”"), between(text, "Stay with “", "”")) {
            (Some(name), _) | (_, Some(name)) if text.contains("energy and owning") => name,
            _ => return,
        };
        let able: Vec<&Value> = self.options.iter().copied().filter(|one| one["does_the_work"] == true).collect();
        let is_so = least(&able, "name", |option| number(option, "/life_cycle/net_present_cost")) == Some(name);
        let is_ranked = self.all.pointer("/ranking/0/option").and_then(Value::as_str) == Some(name);
        // One that is level with it may be taken instead.
        let level = list(self.all, "/ranking/0/level_with").iter().any(|one| *one == name);
        self.holds(
            "the option of least net present cost among those that do the work",
            is_so && is_ranked || level,
            text,
        );
    }

    fn costliest_month(&mut self, text: &str) {
        let Some(month) = between(text, "The costliest month ", ", at ") else { return };
        let (name, month) = match month.split_once(" is ") {
            Some((name, month)) if month.len() > 2 && name.starts_with("of “") => {
                (name.trim_start_matches("of “").trim_end_matches('”'), month)
            }
            _ => (between(text, "The bill by month: ", ". ").unwrap_or_default(), month.trim_start_matches("is ")),
        };
        let Some(option) = self.option(name) else { return };
        let months = list(option, "/months");
        let most = months.iter().max_by(|a, b| number(a, "/total_cost").total_cmp(&number(b, "/total_cost")));
        let is_so = most.is_some_and(|most| month.starts_with(month_of(most)));
        self.holds("the costliest month", is_so, text);
    }

    fn mean_day(&mut self, text: &str) {
        let (Some(most), Some(at_least)) =
            (between(text, "most electricity is taken from ", ":00"), between(text, "and least from ", ":00"))
        else {
            return;
        };
        let Some(option) = between(text, "Electricity by hour: ", ". ").and_then(|name| self.option(name)) else {
            return;
        };
        let layers = ["sources_kw", "fans_kw", "lights_kw", "cool_store_kw"]
            .map(|key| list(&option["mean_day"], &format!("/{key}")));
        let sums: Vec<f64> =
            (0..24).map(|hour| layers.iter().filter_map(|layer| layer.get(hour)?.as_f64()).sum()).collect();
        let hour = |text: &str| text.parse::<usize>().expect("an hour");
        let is_so = sums.iter().all(|kw| *kw <= sums[hour(most)] + 1e-9 && *kw >= sums[hour(at_least)] - 1e-9);
        self.holds("the hours of most and of least electricity", is_so, text);
    }

    fn spared(&mut self, text: &str, said: &str) {
        let Some(option) = between(text, "beside the sources of “", "”") else { return };
        let all = list(self.all, "/condensers");
        let Some(one) = all.iter().find(|one| one["option"] == option) else { return };
        let places = list(one, "/placements");
        let most = places.iter().max_by(|a, b| number(a, "/net_kwh").total_cmp(&number(b, "/net_kwh")));
        let place = most.and_then(|most| most["place"].as_str()).unwrap_or_default();
        // Words of the page for places of the figures.
        let words: [(&str, &[&str]); 5] = [
            ("outdoors", &["outdoors"]),
            ("room", &["in the room", "in the drying room", "in “"]),
            ("fresh-air", &["in the intake", "in the fresh-air intake"]),
            ("switched-room", &["switched, room"]),
            ("switched-fresh-air", &["switched, intake"]),
        ];
        let is_so = words.iter().any(|(key, words)| *key == place && words.iter().any(|words| said.starts_with(words)));
        self.holds("the place of the condensers that spares most", is_so, &format!("{text} ({place})"));
    }

    fn moves_most(&mut self, text: &str, name: &str, pair: &str) {
        let swing = |input: &Value| (number(input, "/at_high") - number(input, "/at_low")).abs();
        let answers = list(self.all, "/uncertainty/tornado");
        // The answer of which is spoken is the one in which some input goes from the one printed to the other.
        let printed = numbers(pair.split(". ").next().unwrap_or_default());
        let Some((from, to)) = printed.first().zip(printed.get(2)) else { return };
        let close = |a: f64, b: f64| (a.abs() - b.abs()).abs() <= 0.006 * b.abs().max(a.abs());
        let is_so = answers.iter().any(|answer| {
            let inputs = list(answer, "/inputs");
            let most = inputs.iter().map(|input| swing(input)).fold(0.0, f64::max);
            inputs.iter().any(|input| {
                let ends = (number(input, "/at_low"), number(input, "/at_high"));
                swing(input) >= most * 0.999_999 && close(*from, ends.0) && close(*to, ends.1)
            })
        });
        self.holds("the input that moves an answer most", is_so, &format!("{text} ({name})"));
    }

    /// Rows of tables that stand in an order.
    fn rows(&mut self, all: &[Place]) {
        let mut columns: BTreeMap<(usize, usize), Vec<&Place>> = BTreeMap::new();
        for place in all.iter().filter(|place| place.kind == Kind::Cell) {
            columns.entry((place.table, place.column)).or_default().push(place);
        }
        for cells in columns.values() {
            let first = cells[0];
            if first.caption.starts_with("Measures tried alone") && first.head.starts_with("worth at most") {
                let worth: Vec<f64> = cells.iter().filter_map(|cell| numbers(&cell.text).first().copied()).collect();
                self.holds("measures stand by what they are worth", worth.is_sorted_by(|a, b| a >= b), &first.caption);
            }
        }
        let mut rows: BTreeMap<(usize, String), Vec<&Place>> = BTreeMap::new();
        for place in all.iter().filter(|place| place.kind == Kind::Cell && !place.label.is_empty()) {
            rows.entry((place.table, format!("{} {}", place.label, place.second))).or_default().push(place);
        }
        for cells in rows.values() {
            let of = |head: &str| {
                cells.iter().find(|cell| cell.head == head).and_then(|cell| numbers(&cell.text).first().copied())
            };
            for (rule, heads) in [
                ("P10, P50 and P90 rise", ["P10", "P50", "P90"]),
                ("a low, a middle and a high bill rise", ["bill, low", "bill, middle", "bill, high"]),
                ("capacity rises with the hours it covers", ["90 % of hours", "95 % of hours", "99 % of hours"]),
            ] {
                if let [Some(a), Some(b), Some(c)] = heads.map(of) {
                    self.holds(rule, a <= b && b <= c, &format!("{}, {}", cells[0].caption, cells[0].label));
                }
            }
            let turns = cells.iter().find(|cell| cell.head == "turns").map(|cell| cell.text.as_str());
            if let (Some(turns), Some(today), Some(there)) = (turns, of("price today"), of("at")) {
                let is_so = if turns == "above" { there >= today } else { there <= today };
                self.holds("a price turns the order above or below today's", is_so, &cells[0].label);
            }
        }
    }
}
