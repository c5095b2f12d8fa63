//! One bill, whoever adds it up: years, months, carriers and the net present cost; and the months are those that a
//! utility would send a bill for.

use super::faults::{replace, small};
use crate::case::dryledger;
use chrono::{NaiveDate, TimeDelta};
use serde_json::Value;
use std::collections::BTreeSet;
use std::f64::consts::TAU;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

fn option<'a>(figures: &'a Value, name: &str) -> &'a Value {
    let mut options = list(figures, "options").iter();
    options.find(|option| option["name"] == name).expect(name)
}

/// What must be equal to the cent in every report.
fn assert_one_bill(figures: &Value) {
    for option in list(figures, "options") {
        let total = number(option, "total_cost");
        let years: Vec<f64> = list(option, "years").iter().map(|year| number(year, "total_cost")).collect();
        let mean = years.iter().sum::<f64>() / years.len() as f64;
        assert!((mean - total).abs() < 0.005 + 1e-9, "{}: years {mean}, {total}", option["name"]);
        let months: f64 = list(option, "months").iter().map(|m| number(m, "total_cost")).sum();
        assert!((months - total).abs() < 1e-6, "{}: months {months}, {total}", option["name"]);
        let carriers = option["carriers"].as_object().expect("carriers");
        let carriers: f64 = carriers.values().map(|carrier| number(carrier, "cost")).sum();
        assert!((carriers - total).abs() < 1e-6, "{}: {carriers}, {total}", option["name"]);
    }
}

/// The rows of `monthly.csv`, each by its headings, which are all different.
fn monthly(folder: &Path) -> Vec<std::collections::HashMap<String, String>> {
    let text = fs::read_to_string(folder.join("monthly.csv")).expect("monthly.csv");
    let mut lines = text.lines();
    let heads: Vec<&str> = lines.next().expect("headings").split(',').collect();
    let unlike: BTreeSet<&str> = heads.iter().copied().collect();
    assert_eq!(unlike.len(), heads.len(), "two columns of one name in {heads:?}");
    let row = |line: &str| {
        let cells = line.split(',').map(str::to_owned);
        heads.iter().map(|head| (*head).to_owned()).zip(cells).collect()
    };
    lines.map(row).collect()
}

/// What `figures.json` says of a month stands in `monthly.csv`, below the same name.
#[test]
fn every_figure_of_a_month_stands_in_the_table_below_its_name() {
    let folder = small();
    let figures = report(folder.path());
    let rows = monthly(folder.path());
    let mut rows = rows.iter();
    let mut all = BTreeSet::new();
    for month in list(&figures, "options").iter().flat_map(|option| list(option, "months")) {
        let row = rows.next().expect("a row for each month");
        for (key, value) in month.as_object().expect("a month").iter().filter(|(key, _)| *key != "carriers") {
            let head = [key.clone(), format!("{key}_USD"), key.replace("_money", "_USD")];
            let cell = head.iter().find_map(|head| row.get(head)).unwrap_or_else(|| panic!("no column tells {key}"));
            match value {
                Value::Number(number) => {
                    let decimals = cell.split_once('.').map_or(0, |(_, decimals)| decimals.len());
                    let off = cell.parse::<f64>().expect("a number") - number.as_f64().expect("a number");
                    assert!(
                        off.abs() < 0.51 * 0.1_f64.powi(decimals.try_into().expect("few")),
                        "{key}: {cell}, {value}"
                    );
                    all.insert((key.clone(), cell.clone()));
                }
                Value::Null => assert_eq!(cell, "", "{key}"),
                other => assert_eq!(*cell, other.to_string(), "{key}"),
            }
        }
    }
    assert!(rows.next().is_none());
    // Columns that say the same in every row could not be told apart.
    for key in ["energy_cost", "demand_cost", "other_cost", "total_cost", "recovered_net_money"] {
        assert!(all.iter().filter(|(known, _)| known == key).count() > 1, "{key} is the same in every month");
    }
}

/// Hourly weather of two sines, from a day until another.
fn sines(from: &str, until: &str) -> String {
    let day = |text: &str| -> NaiveDate { text.parse().expect("a day") };
    let start = day(from).and_hms_opt(0, 0, 0).expect("midnight");
    let hours = (day(until) - day(from)).num_days() * 24;
    let mut text = String::from("time,dry_bulb_c,relative_humidity_pct\n");
    for hour in 0..hours {
        let swing = (hour as f64 / 24.0 * TAU).sin();
        let time = (start + TimeDelta::hours(hour)).format("%Y-%m-%dT%H:%M");
        let _ = writeln!(text, "{time},{:.2},{:.2}", 18.0 + 5.0 * swing, 60.0 - 15.0 * swing);
    }
    text
}

/// The study with the electric option alone, in this weather, season and site.
fn electric_alone(starts: &str, ends: &str, weather: &str) -> TempDir {
    let folder = small();
    let path = folder.path();
    fs::write(path.join("weather.csv"), weather).expect("weather");
    replace(path, "study.toml", "starts = \"03-02\"", &format!("starts = \"{starts}\""));
    replace(path, "study.toml", "ends = \"03-08\"", &format!("ends = \"{ends}\""));
    let text = fs::read_to_string(path.join("study.toml")).expect("the study");
    let from = text.find("[[option]]\nname = \"gas\"").expect("the second option");
    let until = text.find("[money]").expect("money");
    fs::write(path.join("study.toml"), format!("{}{}", &text[..from], &text[until..])).expect("it");
    folder
}

#[test]
fn the_small_study_has_one_bill() {
    let folder = small();
    let figures = report(folder.path());
    assert_one_bill(&figures);
    let rows = monthly(folder.path());
    let used = |row: &std::collections::HashMap<String, String>| row["electricity_kwh"].parse::<f64>().expect("kWh");
    assert!(rows.iter().all(|row| used(row) > 0.0 && row["year"] == "1"));
}

/// A tank that is rented and never drawn from costs its rent in every month in which its burner stands in the
/// plant: in the season's bill those of the season, in the life cycle and in the cost of heat those of the year.
#[test]
fn a_tank_that_stands_by_is_in_every_bill() {
    let standing = |rent: &str| {
        let folder = small();
        let path = folder.path();
        let rented = format!("price = 1.35\nunit = \"kg\"\nfixed_per_month = {rent}");
        replace(path, "study.toml", "price = 1.35\nunit = \"kg\"", &rented);
        // Heaters so large that nothing is left for the burner.
        let large = "kind = \"resistance\"\ncapacity_kw = 90.0";
        replace(path, "study.toml", "kind = \"resistance\"\ncapacity_kw = 30.0", large);
        replace(
            path,
            "study.toml",
            "[[option]]\nname = \"gas\"\nsources = [\"gas heater\"]",
            "[[option]]\nname = \"gas\"\nsources = [\"heaters\", \"gas heater\"]",
        );
        report(path)
    };
    let (free, rented) = (standing("0.0"), standing("50.0"));
    assert_one_bill(&rented);
    let (before, after) = (option(&free, "gas"), option(&rented, "gas"));
    let months = list(after, "months").len() as f64;
    let lpg = &after["carriers"]["lpg"];
    assert!((number(lpg, "cost") - 50.0 * months).abs() < 1e-6, "{lpg}");
    assert_eq!(number(lpg, "kwh"), 0.0);
    let more = number(after, "total_cost") - number(before, "total_cost");
    assert!((more - 50.0 * months).abs() < 1e-6, "{more}");
    assert_eq!(number(lpg, "fixed_outside_bill"), 50.0 * (12.0 - months));
    // Ten years at 6 % real: (1 - 1.06^-10) / 0.06 = 7.36009.
    let npc = |option: &Value| number(&option["life_cycle"], "net_present_cost");
    let dearer = npc(after) - npc(before);
    assert!((dearer - 50.0 * 12.0 * 7.360_087).abs() < 0.01, "{dearer}");
    let owning = |option: &Value| number(&option["life_cycle"], "owning_per_year");
    assert!((owning(after) - owning(before) - 50.0 * (12.0 - months)).abs() < 1e-6);
    let per_kwh = |option: &Value| number(&option["life_cycle"], "levelised_heat_cost_per_kwh");
    let heat = number(after, "heat_delivered_kwh");
    let dearer = per_kwh(after) - per_kwh(before);
    assert!((dearer * heat - 50.0 * 12.0).abs() < 1e-6, "the rent is a cost of heat: {dearer}");
}

/// The connection is billed in the months outside the season too: told beside the bill, in no sum of the season and in no
/// comparison. The small study's tariff has 20 a month and a tax of a tenth.
#[test]
fn fixed_charges_of_the_rest_of_the_year_are_told_beside_the_bill() {
    let folder = small();
    let figures = report(folder.path());
    let electric = option(&figures, "electric");
    let months = list(electric, "months").len() as f64;
    assert!((1.0..6.0).contains(&months), "{months}");
    assert_eq!(number(electric, "months_outside_bill"), 12.0 - months);
    let outside = number(electric, "fixed_outside_bill");
    assert!((outside - (12.0 - months) * 20.0 * 1.1).abs() < 1e-9, "{outside}");
    let billed: f64 = list(electric, "months").iter().map(|month| number(month, "total_cost")).sum();
    assert!((billed - number(electric, "total_cost")).abs() < 0.005, "none of it is in the season");
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let said = format!("The rest of the year ({:.0}", 12.0 - months);
    assert!(page.contains(&said) && page.contains("adds fixed charges of") && page.contains(" in all"), "{said}");
    assert!((number(electric, "billed_in_year") - number(electric, "total_cost") - outside).abs() < 1e-9);
    // In no comparison: the life cycle is that of the bill and of owning.
    let life = &electric["life_cycle"];
    let year = number(electric, "total_cost") + number(life, "owning_per_year") + number(life, "price_growth_per_year");
    assert!((year - number(life, "annual_equivalent")).abs() < 0.01, "{life}");
    replace(folder.path(), "tariff.toml", "fixed_per_month = 20.0", "fixed_per_month = 0.0");
    let figures = report(folder.path());
    assert_eq!(number(option(&figures, "electric"), "fixed_outside_bill"), 0.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(!page.contains("The rest of the year ("), "nothing is said of nothing");
}

/// A rent that is paid all year turns the order where that of the season alone would not: by hand, the gas heater's
/// advantage over ten years is asked for first, and then taken away by a rent of which the season sees the lesser part.
#[test]
fn the_rent_of_a_tank_counts_for_the_whole_year_in_the_order_of_options() {
    let with_rent = |rent: f64| {
        let folder = small();
        replace(folder.path(), "study.toml", "capital = 9000.0", "capital = 5000.0");
        let rented = format!("price = 0.30\nunit = \"kg\"\nfixed_per_month = {rent}");
        replace(folder.path(), "study.toml", "price = 1.35\nunit = \"kg\"", &rented);
        report(folder.path())
    };
    let npc = |figures: &Value, name: &str| number(&option(figures, name)["life_cycle"], "net_present_cost");
    let free = with_rent(0.0);
    let others = list(&free, "options").iter().filter(|other| other["name"] != "gas");
    let next = others.map(|other| number(&other["life_cycle"], "net_present_cost")).fold(f64::INFINITY, f64::min);
    let ahead = next - npc(&free, "gas");
    assert!(ahead > 0.0 && free["study"]["recommended"] == "gas", "{ahead}");
    let months = list(option(&free, "gas"), "months").len() as f64;
    // Twice what a year of it may cost, and still too little if the season's months were all.
    let rent = 2.0 * ahead / (12.0 * 7.360_087);
    assert!(rent * months * 7.360_087 < ahead, "{rent}");
    let rented = with_rent(rent);
    assert_ne!(rented["study"]["recommended"], "gas");
    assert!((npc(&rented, "gas") - npc(&free, "gas") - 2.0 * ahead).abs() < 0.1);
}

/// 31 October 23:00 of standard time is 1 November on the wall in Los Angeles. Nobody is sent a bill for that
/// hour: the season has the fixed charges of October alone.
#[test]
fn a_season_that_ends_under_daylight_saving_has_no_month_of_one_hour() {
    let folder = electric_alone("10-20", "10-31", &sines("2031-10-15", "2031-11-20"));
    let path = folder.path();
    replace(path, "study.toml", "latitude = -16.9\n", "latitude = 36.5\n");
    replace(path, "study.toml", "longitude = 145.6\n", "longitude = -119.5\n");
    replace(path, "study.toml", "utc_offset = \"+10:00\"", "utc_offset = \"-08:00\"");
    replace(path, "study.toml", "season_tonnes = 12.0\nintake_shape = \"even\"", "intake = \"in.csv\"");
    fs::write(path.join("in.csv"), "date,tonnes,moisture\n2031-10-20,4,20\n").expect("intake");
    let tariff = fs::read_to_string(path.join("tariff.toml")).expect("the tariff");
    let tariff = format!("zone = \"America/Los_Angeles\"\nfixed_per_day = 1.0\n{tariff}");
    fs::write(path.join("tariff.toml"), tariff).expect("the tariff");
    let figures = report(path);
    assert_one_bill(&figures);
    let electric = option(&figures, "electric");
    assert_eq!(list(electric, "years").len(), 1);
    let [october] = list(electric, "months") else { panic!("{}", electric["months"]) };
    assert_eq!((october["month"].as_u64(), october["year"].as_u64()), (Some(10), Some(1)));
    let other = number(electric, "other_cost");
    let taxed = number(electric, "energy_cost") + number(electric, "demand_cost");
    // 20 a month and 12 days, and the tax of a tenth on them and on energy and demand.
    assert!((other - (32.0 * 1.1 + 0.1 * taxed)).abs() < 0.02, "{other}");
}

/// Nuts that stay 300 days after a season of four months: March and April come twice, each with its own fixed
/// charge and its own highest hour.
#[test]
fn a_store_kept_past_a_year_is_billed_in_the_months_it_runs() {
    let folder = electric_alone("03-02", "06-30", &sines("2031-03-01", "2032-06-15"));
    let path = folder.path();
    replace(path, "study.toml", "stay_days = 3.0", "stay_days = 300.0");
    replace(path, "tariff.toml", "tax_share = 0.10", "tax_share = 0.0");
    let figures = report(path);
    assert_one_bill(&figures);
    let electric = option(&figures, "electric");
    let months = list(electric, "months");
    let keys: Vec<(u64, u64)> =
        months.iter().map(|m| (m["year"].as_u64().expect("year"), m["month"].as_u64().expect("month"))).collect();
    let expected: Vec<(u64, u64)> = (3..=12).map(|month| (1, month)).chain((1..=4).map(|month| (2, month))).collect();
    assert_eq!(keys, expected);
    for month in months {
        assert_eq!(number(month, "other_cost"), 20.0, "one fixed charge in {month}");
        let demand = 8.0 * number(month, "electric_peak_kw");
        assert!((number(month, "demand_cost") - demand).abs() < 0.006, "{month}");
    }
    let rows = monthly(path);
    assert_eq!(rows.iter().filter(|row| row["month"] == "3").count(), 2);
    let page = fs::read_to_string(path.join("report.html")).expect("the page");
    assert!(page.contains("March, year 2"));
}

/// Hours at the wrong end of the world would be billed at the wrong prices.
#[test]
fn a_tariff_of_another_time_zone_is_refused() {
    let folder = small();
    let tariff = fs::read_to_string(folder.path().join("tariff.toml")).expect("the tariff");
    let tariff = format!("zone = \"America/Los_Angeles\"\n{tariff}");
    fs::write(folder.path().join("tariff.toml"), tariff).expect("the tariff");
    dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&[
        "tariff.toml:1:8: zone is America/Los_Angeles, whose standard time is -08:00",
        "a zone of the site's utc_offset, +10:00",
        "mend the zone, or [site] utc_offset",
    ]);
}

/// The burner is told once what it burns: by its carrier.
#[test]
fn a_direct_burner_burns_what_its_carrier_is() {
    let folder = small();
    let path = folder.path();
    replace(path, "study.toml", "[carrier.lpg]", "[carrier.\"tank gas\"]\nfuel = \"lpg\"");
    replace(path, "study.toml", "carrier = \"lpg\"", "carrier = \"tank gas\"");
    replace(path, "study.toml", "kind = \"burner\"", "kind = \"direct-burner\"");
    let figures = report(path);
    let inputs = list(&figures, "assumptions");
    let water = inputs.iter().find(|input| input["path"] == "source.gas heater.water_kg_per_kwh");
    let source = water.expect("the water")["source"].as_str().expect("words");
    assert!(source.starts_with("propane: "), "{source}");
    let gas = &option(&figures, "gas")["carriers"]["tank gas"];
    // Methane of an agricultural burner: 63 100 + 5 x 28 + 0.1 x 265 = 63 266.5 kg/TJ, by mass 47.3 / 46.34.
    let per_kwh = number(gas, "carbon_kg") / number(gas, "kwh");
    assert!((per_kwh - 0.063_266_5 * 3.6 * 47.3 / 46.34).abs() < 1e-9, "{per_kwh}");
}
