//! Tables of the page against `figures.json`: every number of every option, column by column.

use super::faults::small;
use crate::bundled::{DEMO, TWO_ROOMS, WALNUT};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;

/// A table as a reader finds it.
struct Table {
    caption: String,
    heads: Vec<String>,
    rows: Vec<(String, Vec<String>)>,
    /// What stands below it.
    note: String,
}

/// Text without its tags.
fn bare(html: &str) -> String {
    let parts = html.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    let text = parts.collect::<String>().replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&");
    text.replace('\u{a0}', " ").replace('\u{202f}', "").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What stands between the opening and the closing of every such element.
fn inside<'a>(html: &'a str, tag: &str) -> Vec<&'a str> {
    let (open, close) = (format!("<{tag}"), format!("</{tag}>"));
    html.split(open.as_str())
        .skip(1)
        .filter(|rest| rest.starts_with([' ', '>']))
        .filter_map(|rest| rest.split_once('>')?.1.split(close.as_str()).next())
        .collect()
}

fn tables(page: &str) -> Vec<Table> {
    page.split("<table")
        .skip(1)
        .map(|rest| {
            let (table, after) = rest.split_once("</table>").expect("its end");
            let heads = inside(table, "thead").first().map_or(Vec::new(), |head| inside(head, "th"));
            let body = inside(table, "tbody").concat();
            let row = |row: &&str| {
                (
                    bare(inside(row, "th").first().unwrap_or(&"")),
                    inside(row, "td").iter().map(|cell| bare(cell)).collect(),
                )
            };
            let next = after.split("<div").next().unwrap_or_default();
            Table {
                caption: bare(inside(table, "caption").first().unwrap_or(&"")),
                heads: heads.iter().skip(1).map(|head| bare(head)).collect(),
                rows: inside(&body, "tr").iter().map(row).collect(),
                note: bare(inside(next, "p").first().unwrap_or(&"")),
            }
        })
        .collect()
}

/// The number that a cell shows and its decimals; nothing of words.
fn shown(cell: &str) -> Option<(f64, i32)> {
    let plain = cell.replace('\u{2212}', "-");
    let value: f64 = plain.parse().ok()?;
    let decimals = plain.split_once('.').map_or(0, |(_, fraction)| fraction.len());
    Some((value, i32::try_from(decimals).expect("few")))
}

/// The table's start of caption, a head's start, the path in the option's figures, and by what they are multiplied.
type Column = (&'static str, &'static str, &'static str, f64);

const COLUMNS: [Column; 42] = [
    ("Options side by side", "seasonal energy cost", "/total_cost", 1.0),
    ("Options side by side", "bill per dried tonne", "/cost_per_dried_t", 1.0),
    ("Options side by side", "upkeep a year", "/life_cycle/upkeep_per_year", 1.0),
    ("Options side by side", "net present cost", "/life_cycle/net_present_cost", 1.0),
    ("Options side by side", "simple payback", "/life_cycle/simple_payback_years", 1.0),
    ("Options side by side", "internal rate of return", "/life_cycle/irr", 100.0),
    ("Heat and energy", "heat need", "/heat_need_kwh", 1e-3),
    ("Heat and energy", "useful recovered heat", "/recovered/useful_kwh", 1e-3),
    ("Heat and energy", "electricity", "/carriers/electricity/kwh", 1e-3),
    ("Heat and energy", "of which the plant’s own", "/own_kwh", 1e-3),
    ("Heat and energy", "energy purchased", "/purchased_kwh", 1e-3),
    ("Heat and energy", "peak demand", "/electric_peak_kw", 1.0),
    ("Heat and energy", "heat capacity of the sources", "/heat_capacity_kw", 1.0),
    ("Heat and energy", "hours short of heat", "/hours_short", 1.0),
    ("Carbon of a mean season", "carbon in a season", "/carbon_kg", 1e-3),
    ("Carbon of a mean season", "of which burnt", "/carbon_scope1_kg", 1e-3),
    ("Carbon of a mean season", "of which purchased", "/carbon_scope2_kg", 1e-3),
    ("Carbon of a mean season", "biogenic", "/biogenic_co2_kg", 1e-3),
    ("Carbon of a mean season", "best of all", "/uncertainty/best_in_draws_pct", 1.0),
    ("Heat, energy and water in full", "heat given", "/heat_delivered_kwh", 1e-3),
    ("Heat, energy and water in full", "spared", "/heat_spared_kwh", 1e-3),
    ("Heat, energy and water in full", "peak heat need", "/heat_need_peak_kw", 1.0),
    ("Heat, energy and water in full", "below the set temperature", "/below_set_kh", 1.0),
    ("Heat, energy and water in full", "drying time of a batch", "/drying_hours_longer", 1.0),
    ("Heat, energy and water in full", "last batch dry", "/last_dry_days_later", 1.0),
    ("Heat, energy and water in full", "drying fans", "/fan_kwh", 1e-3),
    ("Heat, energy and water in full", "cool store", "/cool_store_kwh", 1e-3),
    ("Heat, energy and water in full", "purchased per dried tonne", "/kwh_per_dried_t", 1.0),
    ("Heat, energy and water in full", "heat and fans per kg", "/mj_per_kg_water", 1.0),
    ("Heat, energy and water in full", "the same, as energy purchased", "/purchased_mj_per_kg_water", 1.0),
    ("Money in full", "capital", "/life_cycle/capital", 1.0),
    ("Money in full", "grant", "/life_cycle/grant", 1.0),
    ("Money in full", "net present cost as an equal", "/life_cycle/annual_equivalent", 1.0),
    ("Money in full", "of which owning", "/life_cycle/owning_per_year", 1.0),
    ("Money in full", "levelised cost of heat", "/life_cycle/levelised_heat_cost_per_kwh", 1.0),
    ("Money in full", "savings over extra", "/life_cycle/savings_to_investment", 1.0),
    ("What a year costs, by what", "heat: fuel", "/by_cause/heat", 1.0),
    ("What a year costs, by what", "demand, fixed", "/by_cause/charges", 1.0),
    ("What a year costs, by what", "owning", "/by_cause/owning", 1.0),
    ("What a year costs, by what", "in all", "/by_cause/total", 1.0),
    ("Heat of the drying air", "evaporation", "/flow/evaporation_kwh", 1e-3),
    ("Heat of the drying air", "extracted air", "/flow/extracted_air_kwh", 1e-3),
];

/// What differs between the page and the figures, cell by cell; and how many cells were looked at.
fn checked(page: &str, figures: &Value) -> (Vec<String>, usize) {
    let tables = tables(page);
    let options = figures["options"].as_array().expect("options");
    let (mut wrong, mut looked) = (Vec::new(), 0);
    for (caption, head, path, times) in COLUMNS {
        let table = tables.iter().find(|table| table.caption.starts_with(caption));
        let table = table.unwrap_or_else(|| panic!("no table “{caption}”"));
        let Some(at) = table.heads.iter().position(|known| known.starts_with(head)) else {
            // What is the same for all is said below; what none has is left out.
            let values: Vec<Option<f64>> =
                options.iter().map(|option| option.pointer(path).and_then(Value::as_f64)).collect();
            let none = values.iter().all(|value| value.is_none_or(|value| value == 0.0));
            let is_said = table.note.contains(head) && table.note.starts_with("The same for every option");
            if !none && !is_said {
                wrong.push(format!("{caption}: no column and no word of “{head}” ({})", table.note));
            }
            continue;
        };
        for option in options {
            let name = option["name"].as_str().expect("a name");
            let of_option = |row: &&(String, Vec<String>)| row.0 == name || row.0 == format!("{name} (baseline)");
            let (_, cells) = table.rows.iter().find(of_option).unwrap_or_else(|| panic!("{caption}: no row {name}"));
            let value = option.pointer(path).and_then(Value::as_f64);
            looked += 1;
            match (shown(&cells[at]), value) {
                (Some((shown, decimals)), Some(value)) => {
                    let room = 0.5 * 10f64.powi(-decimals) * 1.000_001;
                    if (shown - value * times).abs() > room {
                        wrong.push(format!("{caption}, {head}, {name}: {shown} for {}", value * times));
                    }
                }
                (None, None) => {}
                (found, value) => wrong.push(format!("{caption}, {head}, {name}: {found:?} for {value:?}")),
            }
        }
    }
    (wrong, looked)
}

#[test]
fn every_number_of_the_option_tables_is_that_of_the_figures() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--json", "--samples", "6"]).in_folder(folder.path()).run();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let figures = ran.json();
    let (wrong, looked) = checked(&page, &figures);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(looked > 60, "{looked} cells");
    // The check finds a digit that is not the figures'.
    let bill = figures["options"][0]["total_cost"].as_f64().expect("a bill");
    let mut other = figures.clone();
    other["options"][0]["total_cost"] = Value::from(bill + 2.0);
    assert_eq!(checked(&page, &other).0.len(), 1);
}

/// The parts of the heat into the drying air add up to it as they are printed, and so do those of the heat out of it; a
/// part that no option has is no column.
#[test]
fn heat_of_the_drying_air_adds_up_as_printed_and_has_no_column_of_nothing() {
    for page in [&DEMO.page, &WALNUT.page, &TWO_ROOMS.page] {
        let all = tables(page);
        let table = all.iter().find(|table| table.caption.starts_with("Heat of the drying air")).expect("the table");
        let sum_at = table.heads.iter().position(|head| head.starts_with("heat into the drying air")).expect("the sum");
        let column = |at: usize| table.rows.iter().map(move |row| shown(&row.1[at]).expect("a number"));
        let columns = table.heads.len() - 1;
        for at in 0..columns {
            assert!(column(at).any(|(value, _)| value != 0.0), "nothing in “{}”", table.heads[at]);
        }
        for row in 0..table.rows.len() {
            let (whole, decimals) = column(sum_at).nth(row).expect("a row");
            let half_a_digit = 0.5 * 10.0_f64.powi(-decimals);
            for parts in [0..sum_at, sum_at + 1..columns] {
                assert!(parts.len() >= 3, "{:?}", table.heads);
                let rounding = half_a_digit * (parts.len() + 1) as f64 + 1e-9;
                let sum: f64 = parts.map(|at| column(at).nth(row).expect("a row").0).sum();
                assert!((sum - whole).abs() <= rounding, "{}: {sum} is not {whole}", table.rows[row].0);
            }
        }
    }
}

#[test]
fn the_options_stand_in_rows_with_the_best_and_the_baseline_marked() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
    let figures = ran.json();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let baseline = figures["study"]["baseline"].as_str().expect("one");
    let best = figures["study"]["recommended"].as_str().expect("one");
    for caption in ["Options side by side", "Heat and energy", "Carbon of a mean season"] {
        let (_, table) = page.split_once(&format!("<caption><span>{caption}")).expect("the table");
        let table = table.split("</table>").next().expect("its end");
        let row = |class: &str| {
            let row = table.split(&format!("<tr class=\"{class}\">")).nth(1).map(|row| row.split("</tr>").next());
            row.flatten().map(bare)
        };
        assert!(row("chosen").is_some_and(|row| row.starts_with(best)), "{caption}");
        if best != baseline {
            assert!(row("base").is_some_and(|row| row.starts_with(&format!("{baseline} (baseline)"))), "{caption}");
        }
    }
}

#[test]
fn inputs_are_counted_and_their_paths_stand_in_the_appendix_alone() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--json", "--samples", "6"]).in_folder(folder.path()).run();
    let figures = ran.json();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let counts = &figures["input_counts"];
    let count = |key: &str| counts[key].as_u64().expect("a count");
    let said = format!(
        "{} inputs: {} given, {} taken for want of one.",
        count("given") + count("taken"),
        count("given"),
        count("taken")
    );
    assert!(bare(&page).contains(&said), "{said}");
    assert!(count("placeholders") > 0 && bare(&page).contains(&format!("{} placeholders", count("placeholders"))));
    let (body, appendix) = page.split_once("<section id=\"in-full\"").expect("the appendix");
    for input in figures["assumptions"].as_array().expect("inputs") {
        let path = input["path"].as_str().expect("a path");
        assert!(!body.contains(path), "{path} stands in the body");
        assert!(appendix.contains(path), "{path} is not listed");
    }
}

#[test]
fn a_reader_chooses_the_option_whose_months_and_hours_are_shown() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
    let options = ran.json()["options"].as_array().expect("options").len();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert_eq!(page.matches("<input type=\"radio\" name=\"months\"").count(), options);
    assert_eq!(page.matches(" checked>").count(), 1);
    assert_eq!(page.matches("<div class=\"choice printed\">").count(), 1);
    for option in 0..options {
        assert!(page.contains(&format!("id=\"figure-bill-{option}\"")), "months of option {option}");
        assert!(page.contains(&format!("id=\"figure-mean-day-{option}\"")), "hours of option {option}");
    }
}
