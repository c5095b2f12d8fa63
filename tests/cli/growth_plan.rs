//! Cash by year: growth with a year and a price, loan and tax, and when an option is worth buying.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn with(more: &str, money: &str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "[money]\n", &format!("{more}\n[money]\n{money}"));
    folder
}

fn report(folder: &Path, more: &[&str]) -> Value {
    let all = [&["report", "study.toml", "--json", "--samples", "0", "--no-screening"], more].concat();
    dryledger(&all).unaltered().in_folder(folder).run().json()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().expect(key)
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().expect(key)
}

fn is_near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{what}: {found} {wanted}");
}

/// Sums of each year at a rate, those of the start first.
fn present(option: &Value, rate: f64) -> f64 {
    list(option, "years").iter().map(|year| number(year, "paid") / (1.0 + rate).powf(number(year, "year"))).sum()
}

/// Without growth it is the life cycle of the table, told year by year; inflation alone changes the sums and not what
/// they are worth.
#[test]
fn cash_by_year_is_the_net_present_cost() {
    for (money, rate) in [("", 0.06), ("inflation = 0.03\n", 1.06 * 1.03 - 1.0)] {
        let figures = report(with("", money).path(), &[]);
        for (option, told) in list(&figures["cash"], "options").iter().zip(list(&figures, "options")) {
            let cost = number(&told["life_cycle"], "net_present_cost");
            is_near(number(option, "net_present_cost"), cost, "net present cost");
            is_near(number(option, "net_present_cost_paid"), cost, "paid");
            is_near(present(option, rate), cost, "by year");
            is_near(number(list(option, "years").last().expect("years"), "paid_so_far"), cost, "so far");
            // Energy of a first year, at its prices.
            let growth = 1.0 + figures["cash"]["inflation_pct"].as_f64().expect("inflation") / 100.0;
            is_near(number(&list(option, "years")[1], "energy"), number(told, "total_cost") * growth, "energy");
            assert_eq!(option["purchase"], Value::Null);
        }
    }
}

/// Growth that changes nothing and costs nothing changes nothing; what is bought for it is paid at the end of the year
/// before, and lasts to the end where its life does.
#[test]
fn planned_growth_is_paid_when_it_comes() {
    let own = report(small().path(), &[]);
    let phase = "[[phase]]\nname = \"no more\"\nintake_factor = 1.0\nyear = 4\nlife_years = 7.0\n";
    let idle = report(with(&format!("{phase}capital = 0.0\n"), "").path(), &[]);
    let paid = "capital = 1000.0\ncapital_of = { gas = 500.0 }\nupkeep_per_year = 10.0\n";
    let bought = report(with(&format!("{phase}{paid}"), "").path(), &[]);
    let upkeep: f64 = (4..=10).map(|year| 10.0 / 1.06_f64.powi(year)).sum();
    for (place, option) in list(&own["cash"], "options").iter().enumerate() {
        let cost = |figures: &Value| number(&list(&figures["cash"], "options")[place], "net_present_cost");
        is_near(cost(&idle), number(option, "net_present_cost"), "nothing");
        let capital = if option["option"] == "gas" { 1500.0 } else { 1000.0 };
        is_near(cost(&bought), cost(&own) + capital / 1.06_f64.powi(3) + upkeep, "bought");
    }
    assert_eq!(own["options"].to_string(), bought["options"].to_string());
    assert_eq!(bought["cash"]["growth"].to_string(), r#"[{"name":"no more","year":4}]"#);
}

/// From its year on the bill is that of the grown plant, and dried nuts are those of each season.
#[test]
fn the_bill_of_a_grown_plant_is_paid_from_its_year_on() {
    let phases = "[[phase]]\nname = \"looked at\"\nintake_factor = 1.2\n\n\
         [[phase]]\nname = \"more\"\nintake_factor = 1.5\nyear = 3\ncapital = 0.0\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n\n\
         [[phase]]\nname = \"most\"\nintake_factor = 2.0\nyear = 8\ncapital = 0.0\n";
    let figures = report(with(phases, "").path(), &[]);
    let electric = &list(&figures["cash"], "options")[0];
    let row = |phase: &str| {
        list(&figures, "phases").iter().find(|row| row["name"] == phase && row["option"] == "electric").expect("a row")
    };
    let of_year = |year: usize| match year {
        1..=2 => row("as it stands"),
        3..=7 => row("more"),
        _ => row("most"),
    };
    let mut dried = 0.0;
    for year in 1..=10_usize {
        is_near(number(&list(electric, "years")[year], "energy"), number(of_year(year), "total_cost"), "a bill");
        dried += number(of_year(year), "dried_t") / 1.06_f64.powf(year as f64);
    }
    is_near(number(electric, "cost_per_dried_t"), number(electric, "net_present_cost") / dried, "a tonne");
    assert_eq!((row("looked at")["year"].clone(), row("more")["year"].clone()), (Value::Null, 3.into()));
    // What it sets is in it: the same growth of a study that says so itself.
    let insulated = with("[[phase]]\nname = \"more\"\nintake_factor = 1.5\n", "");
    let insulated = report(insulated.path(), &["--set", "room.room.envelope_ua_w_per_k=60.0"]);
    let same = list(&insulated, "phases").iter().find(|row| row["name"] == "more").expect("a row");
    is_near(number(row("more"), "total_cost"), number(same, "total_cost"), "what is set");
}

/// The year of a purchase by hand, from the bills alone: electricity that grows dearer by a fifth a year makes gas worth
/// buying, but not at once.
#[test]
fn a_purchase_waits_until_it_is_worth_it() {
    let more = "[application]\nbaseline_installed = true\n";
    let folder = with(more, "escalation = { electricity = 0.2 }\n");
    replace(folder.path(), "study.toml", "price = 1.35", "price = 3.9");
    let figures = report(folder.path(), &[]);
    let options = list(&figures, "options");
    let bill = |place: usize, year: i32| -> f64 {
        let carriers = options[place]["carriers"].as_object().expect("carriers");
        let growth = |name: &str| if name == "electricity" { 1.2_f64 } else { 1.0 };
        carriers.iter().map(|(name, carrier)| number(carrier, "cost") * growth(name).powi(year)).sum()
    };
    let (capital, life) = (9000.0, 15.0);
    let cost = |from: i32| -> f64 {
        let of = |year: i32| bill(usize::from(year >= from), year) / 1.06_f64.powi(year);
        let bills: f64 = (1..=10).map(of).sum();
        let used = f64::from(10 - (from - 1)) / life;
        let bought = capital / 1.06_f64.powi(from - 1) - capital * (1.0 - used) / 1.06_f64.powi(10);
        bills + if from > 10 { 0.0 } else { bought }
    };
    let never = cost(11);
    let saved: Vec<f64> = (1..=10).map(|from| never - cost(from)).collect();
    let best = (0..10).max_by(|&a, &b| saved[a].total_cmp(&saved[b])).expect("a year");
    let first = saved.iter().position(|saved| *saved > 0.005).expect("a year");
    let purchase = &list(&figures["cash"], "options")[1]["purchase"];
    assert!(best > 1 && saved[best] > 1.0, "{saved:?}");
    assert_eq!((&purchase["first_year"], &purchase["best_year"]), (&(first + 1).into(), &(best + 1).into()));
    assert!((number(purchase, "saved") - saved[best]).abs() < 0.02, "{purchase} {saved:?}");
    // The baseline is not bought, and what buys nothing has no year of it.
    assert_eq!(list(&figures["cash"], "options")[0]["purchase"], Value::Null);
}

/// The owner is told where growth asks for another option than today's best, on the first page too.
#[test]
fn growth_that_turns_the_order_is_told_first() {
    let own = report(small().path(), &[]);
    let best = own["study"]["recommended"].as_str().expect("a best").to_owned();
    let phase = format!(
        "[[phase]]\nname = \"more\"\nintake_factor = 1.1\nyear = 2\ncapital = 0.0\ncapital_of = {{ \"{best}\" = 200000.0 }}\n"
    );
    let folder = with(&phase, "loan = { share = 0.5, rate = 0.04, years = 5 }\n");
    let ran = dryledger(&["report", "study.toml", "--samples", "0"]).unaltered().in_folder(folder.path()).run();
    let figures: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("figures.json")).expect("figures")).expect("JSON");
    let other = figures["cash"]["best"].as_str().expect("another");
    assert_eq!(figures["study"]["recommended"], *best);
    assert_ne!(other, best);
    let said = format!("Over 10 years with “more” from season 2, “{other}” costs least");
    assert!(ran.stdout.contains(&said), "{}", ran.stdout);
    assert!(ran.stdout.contains("With the loan, “"), "{}", ran.stdout);
    let wrong = list(&figures["sheet"], "could_go_wrong");
    let point = wrong.iter().find(|point| point["head"] == "Growth asks for another option.").expect("a point");
    assert!(point["text"].as_str().expect("text").starts_with(&said), "{point}");
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in ["id=\"over-the-years\"", "The options over planned growth", "Cash by year, “electric”", "paid back"]
    {
        assert!(page.contains(words), "{words}");
    }
}

/// Growth in which an option leaves work undone is no plan for it.
#[test]
fn growth_that_a_plant_cannot_carry_is_told() {
    let phase = "[[phase]]\nname = \"ten times\"\nintake_factor = 10.0\nyear = 2\ncapital = 0.0\n";
    let figures = report(with(phase, "").path(), &[]);
    let cash = &figures["cash"];
    assert_eq!(cash["best"], Value::Null);
    let wrong = list(&figures["sheet"], "could_go_wrong");
    assert!(wrong.iter().any(|point| point["head"] == "Growth outgrows every option."), "{wrong:?}");
    let headline = figures["sheet"]["headline"].as_str().expect("a headline");
    assert!(headline.contains("as the plant stands, "), "{headline}");
    for option in list(cash, "options") {
        assert_eq!(
            (&option["does_the_work"], option["undone_in"].to_string()),
            (&false.into(), "[\"ten times\"]".into())
        );
    }
}

#[test]
fn plans_that_cannot_be_are_refused_with_their_place() {
    let phase = |more: &str| format!("[[phase]]\nname = \"a\"\nintake_factor = 1.0\n{more}\n");
    let two = |first: &str, second: &str| format!("{}{}", phase(first), phase(second).replace("\"a\"", "\"b\""));
    for (more, money, words) in [
        (phase("year = 1\ncapital = 0.0"), "", "expected 2 to 60"),
        (phase("year = 11\ncapital = 0.0"), "", "after the last of the 10 years of money.years"),
        (phase("year = 3"), "", "capital is missing"),
        (phase("capital = 5.0"), "", "is for growth that is planned, and this phase has no year"),
        (
            two("year = 4\ncapital = 0.0", "year = 4\ncapital = 0.0"),
            "",
            "a phase before it has its first season in year 4",
        ),
        (phase("year = 3\ncapital = 0.0\ncapital_of = { diesel = 1.0 }"), "", "diesel"),
        (phase("set = { \"carrier.lpg.price\" = 2.0 }"), "", "`carrier.lpg.price` cannot be set here"),
        (phase("set = { \"room.room.temperature_k\" = 2.0 }"), "", "`temperature_k` is not known in room.room"),
        (phase("set = { \"room.room.temperature_c\" = 900.0 }"), "", "in phase \"a\": "),
        (String::new(), "loan = { share = 0.5, years = 5 }\n", "rate is missing"),
        (String::new(), "tax = { rate = 25.0, depreciation_years = 5 }\n", "25"),
        (String::new(), "inflation = 2.0\n", "write a share of one"),
    ] {
        let ran = dryledger(&["check", "study.toml"]).in_folder(with(&more, money).path()).run();
        assert_eq!(ran.code, 2, "{}", ran.stderr);
        assert!(ran.stderr.contains(words), "`{words}` in {}", ran.stderr);
        assert!(ran.stderr.starts_with("error: study.toml:"), "{}", ran.stderr);
    }
}
