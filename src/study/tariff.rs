//! Reads an electricity tariff.
//!
//! A tariff is a TOML file of its own beside the study. Prices are in the study's currency, before tax;
//! every key but `[otherwise]` and its price may be left out.
//!
//! ```toml
//! zone = "Europe/Rome"              # clock the tariff follows; left out: local standard time
//! holidays = ["12-25", "2021-04-05"]  # every year, or once
//! fixed_per_month = 30.0            # each month begun
//! fixed_per_day = 0.0               # each day begun
//! tax_share = 0.10                  # on energy, demand and fixed charges
//!
//! [[period]]                        # the first period that holds gives the price
//! name = "peak"
//! price = 0.32                      # per kWh
//! when = [{ season = ["05-01", "09-30"], days = ["working"], from = "07:00", until = "21:00" }]
//!
//! [otherwise]                       # all other hours
//! name = "off-peak"
//! price = 0.15
//!
//! [[demand]]                        # on the month's highest hourly mean
//! name = "network"
//! price = 9.5                       # per kW (or kVA) and month
//! per = "kVA"
//! power_factor = 0.95
//! when = [{ days = ["working"], from = "07:00", until = "21:00" }]   # left out: always
//! ```
//! A window without `season` holds all year, without `days` every day, without `from` or `until` from
//! or to midnight; one that ends before it begins runs across midnight. `days` may name `working` (Monday
//! to Friday), `weekend`, `holidays`, `all`, or single days, `mon` to `sun`. A holiday is a holiday only,
//! whatever its weekday.

use super::cursor::Cursor;
use crate::calendar::{CalendarSeason, ClockTime, Days, Holiday, MonthDay, TimeOfUse, WallClock, Window};
use crate::money::{DemandCharge, DemandMeasure, EnergyPrice, Tariff};
use chrono::FixedOffset;
use chrono_tz::Tz;

/// Reads the tariff in this table. `standard` is the distance of the site's local standard time from
/// UTC, if the study says. `currency` is shown as the unit of prices. `None` means that a problem was recorded.
pub(super) fn read_tariff(root: &Cursor<'_>, standard: Option<FixedOffset>, currency: &str) -> Option<Tariff> {
    let clock = read_clock(root, standard);
    let holidays = root
        .parsed_list::<Holiday>("holidays", "a date such as 2021-04-05 or 12-25")
        .default(Vec::new(), "no holidays named");
    let charge = |key: &str, each: &str| {
        root.number(key).unit(format!("{currency}/{each}")).at_least(0.0).default(0.0, "not charged unless given")
    };
    let fixed_per_month = charge("fixed_per_month", "month");
    let fixed_per_day = charge("fixed_per_day", "day");
    let tax = root
        .number("tax_share")
        .within(0.0, 1.0)
        .hint("give a share: 0.1 for 10 %")
        .default(0.0, "prices as given, no tax added");
    refuse_export_price(root);
    let periods: Option<Vec<(EnergyPrice, Vec<Window>)>> =
        collect(root.each("period").iter().map(|table| read_period(table, currency)));
    let otherwise = root
        .required_table("otherwise", "give the price of all other hours: [otherwise] price = 0.15")
        .and_then(|table| {
            let price = read_price(&table, "other hours", currency);
            table.finish();
            price
        });
    let demand: Option<Vec<DemandCharge>> =
        collect(root.each("demand").iter().map(|table| read_demand(table, currency)));
    root.finish();
    let (periods, kinds) = periods?.into_iter().unzip();
    let tariff = Tariff {
        periods,
        times: TimeOfUse { kinds, holidays, clock },
        otherwise: otherwise?,
        demand: demand?,
        fixed_per_month,
        fixed_per_day,
        tax,
    };
    match tariff.checked() {
        Ok(tariff) => Some(tariff),
        Err(bad) => {
            root.complain("tariff", &format!("cannot be: {bad}"), "", "");
            None
        }
    }
}

/// Nothing in a study gives energy to the grid, so that a price for it could only mislead.
fn refuse_export_price(root: &Cursor<'_>) {
    const KEY: &str = "export_price";
    if root.kind(KEY).is_some() {
        root.claim(KEY);
        root.complain(
            KEY,
            "is given, but no source gives energy to the grid",
            "prices of energy that is bought",
            "leave it out",
        );
    }
}

/// The clock that the tariff follows. Hours are counted in the site's standard time: a zone whose standard time is
/// another would put every hour of the season at the wrong time of its tariff.
fn read_clock(root: &Cursor<'_>, standard: Option<FixedOffset>) -> Option<WallClock> {
    let zone = root
        .parsed::<Tz>("zone", "a time zone such as Europe/Rome")
        .hint("name a zone of the IANA time zone database")
        .optional()?;
    let Some(standard) = standard else {
        root.complain(
            "zone",
            &format!("is {zone}, but the site gives no utc_offset to hold it against"),
            "a site with its utc_offset",
            "give [site] utc_offset, the standard time of the weather, such as \"+10:00\"",
        );
        return None;
    };
    let clock = WallClock { standard, zone };
    if !clock.agrees() {
        root.complain(
            "zone",
            &format!("is {zone}, whose standard time is {}", clock.zone_standard_words()),
            &format!("a zone of the site's utc_offset, {standard}"),
            "mend the zone, or [site] utc_offset, which is that of standard time and not of summer time",
        );
        return None;
    }
    Some(clock)
}

/// Every entry, or `None` if one is missing; all are read before one missing ends it.
fn collect<T>(entries: impl Iterator<Item = Option<T>>) -> Option<Vec<T>> {
    let entries: Vec<Option<T>> = entries.collect();
    entries.into_iter().collect()
}

fn read_price(table: &Cursor<'_>, name: &str, currency: &str) -> Option<EnergyPrice> {
    let name = table.text("name").default(name.to_owned(), "a name for bills");
    let per_kwh =
        table.number("price").unit(format!("{currency}/kWh")).hint("give the price of one kWh before tax").required();
    Some(EnergyPrice { name, per_kwh: per_kwh? })
}

fn read_period(table: &Cursor<'_>, currency: &str) -> Option<(EnergyPrice, Vec<Window>)> {
    let price = read_price(table, "period", currency);
    let when = read_windows(table);
    if table.kind("when").is_none() {
        table.complain_of_missing(
            "when",
            "a list of windows",
            "say when the price holds: when = [{ from = \"07:00\", until = \"21:00\" }]",
        );
    }
    table.finish();
    Some((price?, when?))
}

fn read_demand(table: &Cursor<'_>, currency: &str) -> Option<DemandCharge> {
    let name = table.text("name").default("demand".to_owned(), "a name for bills");
    let apparent = table
        .choice("per", &[("kW", false), ("kVA", true)])
        .default(false, "demand charged on active power unless given");
    let price = table
        .number("price")
        .unit(format!("{currency}/{}/month", if apparent { "kVA" } else { "kW" }))
        .at_least(0.0)
        .hint("give the price of one kW or kVA and month before tax")
        .required();
    let measure = if apparent {
        let power_factor = table
            .number("power_factor")
            .above(0.0)
            .when("at most 1", |factor| *factor <= 1.0)
            .hint("give the site's power factor, kW per kVA")
            .required();
        power_factor.map(|power_factor| DemandMeasure::KilovoltAmpere { power_factor })
    } else {
        Some(DemandMeasure::Kilowatt)
    };
    let when = read_windows(table);
    table.finish();
    Some(DemandCharge { name, price: price?, measure: measure?, when: when? })
}

fn read_windows(table: &Cursor<'_>) -> Option<Vec<Window>> {
    collect(table.each("when").iter().map(read_window))
}

fn read_window(table: &Cursor<'_>) -> Option<Window> {
    let day = "a month and a day such as 05-01";
    let season = table
        .parsed_list::<MonthDay>("season", day)
        .exactly(2)
        .hint("give the first and the last day: [\"05-01\", \"09-30\"]")
        .optional();
    let days = table
        .choices("days", &Days::WORDS)
        .when("at least one", |days| !days.is_empty())
        .default(vec![Days::ALL], "every day unless given");
    let time = "a time such as 07:00, on a quarter of an hour";
    let from = table
        .parsed("from", time)
        .when("a time before 24:00", |time| *time < ClockTime::END_OF_DAY)
        .default(ClockTime::MIDNIGHT, "from midnight unless given");
    let until = table.parsed("until", time).default(ClockTime::END_OF_DAY, "to midnight unless given");
    if from == until {
        table.complain("until", &format!("is {until}, as is from"), "another time", "leave both out for the whole day");
    }
    table.finish();
    Some(Window {
        season: season.and_then(|days| match days[..] {
            [first, last] => Some(CalendarSeason { first, last }),
            _ => None,
        }),
        days: days.into_iter().reduce(Days::or)?,
        from,
        until,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Problem, Problems};
    use crate::study::document::{Document, Reading};
    use chrono::NaiveDateTime;

    const EXAMPLE: &str = r#"
zone = "Europe/Rome"
holidays = ["12-25", "2021-04-05"]
fixed_per_month = 30.0
tax_share = 0.10

[[period]]
name = "peak"
price = 0.32
when = [{ season = ["05-01", "09-30"], days = ["working"], from = "07:00", until = "21:00" }]

[otherwise]
name = "off-peak"
price = 0.15

[[demand]]
name = "network"
price = 9.5
per = "kVA"
power_factor = 0.95
when = [{ days = ["working"], from = "07:00", until = "21:00" }]
"#;

    fn read(text: &str) -> Result<Reading<Tariff>, Problems> {
        read_at(Some("+01:00"), text)
    }

    fn read_at(utc_offset: Option<&str>, text: &str) -> Result<Reading<Tariff>, Problems> {
        let standard = utc_offset.map(|text| text.parse().unwrap());
        Document::new("tariff.toml", text).read(|root| read_tariff(root, standard, "EUR"))
    }

    fn refusal(text: &str) -> String {
        let problems = read(text).expect_err("a refusal");
        let said: Vec<_> = problems.iter().map(Problem::sentence).collect();
        said.join("\n")
    }

    #[test]
    fn the_documented_example_is_read_as_it_says() {
        let reading = read(EXAMPLE).unwrap();
        let tariff = &reading.value;
        let price = |hour: &str| {
            let hour = NaiveDateTime::parse_from_str(hour, "%Y-%m-%d %H:%M").unwrap();
            tariff.price_per_kwh(hour) / 1.1
        };
        // Summer time: 06:00 standard is 07:00 on the wall. 2021-05-03 is a Monday.
        assert!((price("2021-05-03 06:00") - 0.32).abs() < 1e-12);
        assert!((price("2021-05-03 20:00") - 0.15).abs() < 1e-12);
        assert!((price("2021-05-02 12:00") - 0.15).abs() < 1e-12);
        assert!((price("2021-04-30 12:00") - 0.15).abs() < 1e-12);
        let network = &tariff.demand[0];
        assert_eq!(network.measure.of_kw(95.0), 100.0);
        assert_eq!(tariff.times.holidays.len(), 2);
        let input = |path: &str| reading.inputs.iter().find(|i| i.path == path);
        assert_eq!(input("period.peak.price").unwrap().number, Some(0.32));
        assert_eq!(input("demand.network.when.1.days").unwrap().value_text, "[working]");
    }

    #[test]
    fn the_text_above_is_the_example() {
        let shown: String = include_str!("tariff.rs")
            .lines()
            .skip_while(|line| *line != "//! ```toml")
            .skip(1)
            .take_while(|line| *line != "//! ```")
            .flat_map(|line| [line.trim_start_matches("//!").trim_start(), "\n"])
            .collect();
        let (shown, tested) = (read(&shown).unwrap(), read(EXAMPLE).unwrap());
        assert_eq!(shown.value, tested.value);
    }

    #[test]
    fn a_flat_tariff_needs_one_price() {
        let tariff = read("[otherwise]\nprice = 0.2").unwrap().value;
        let named = Tariff::flat(0.2);
        assert_eq!(tariff.otherwise.per_kwh, named.otherwise.per_kwh);
        assert!(tariff.periods.is_empty() && tariff.demand.is_empty());
    }

    #[test]
    fn everything_wrong_with_a_tariff_is_said_at_once() {
        let text = r#"zone = "Nowhere/Here"
tax_share = 10
[[period]]
name = "peak"
price = "dear"
when = [{ days = ["workday"], from = "7", until = "21:10" }]
[[period]]
name = "night"
price = 0.1
[[demand]]
price = 3
per = "kVA"
power_factor = 1.2
"#;
        let said = refusal(text);
        for words in [
            "[otherwise] is missing; give the price of all other hours",
            "1:8: zone is the text \"Nowhere/Here\", expected a time zone such as Europe/Rome",
            "2:13: tax_share is 10, expected 0 to 1; give a share: 0.1 for 10 %",
            "5:9: price is the text \"dear\", expected a number in EUR/kWh",
            "days entry 1 is \"workday\"",
            "from is the text \"7\", expected a time such as 07:00",
            "until is the text \"21:10\"",
            "7:1: period.night.when is missing, expected a list of windows",
            "13:16: power_factor is 1.2, expected at most 1",
        ] {
            assert!(said.contains(words), "no {words:?} in\n{said}");
        }
    }

    #[test]
    fn a_zone_agrees_with_the_site_or_is_refused() {
        let read = |offset: Option<&str>, zone: &str| {
            let text = format!("zone = \"{zone}\"\n[otherwise]\nprice = 0.2");
            let problems = read_at(offset, &text).err();
            problems.map(|all| all.iter().map(Problem::sentence).collect::<String>())
        };
        for (offset, zone) in [
            ("+01:00", "Europe/Rome"),
            ("-08:00", "America/Los_Angeles"),
            ("+09:30", "Australia/Adelaide"),
            ("+10:30", "Australia/Lord_Howe"),
            ("+00:00", "Europe/Dublin"),
            ("+10:00", "Australia/Brisbane"),
        ] {
            assert_eq!(read(Some(offset), zone), None, "{zone}");
        }
        for (offset, zone, said) in [
            ("+10:00", "America/Los_Angeles", "whose standard time is -08:00"),
            ("+10:00", "Australia/Adelaide", "whose standard time is +09:30"),
            ("-07:00", "America/Los_Angeles", "a zone of the site's utc_offset, -07:00"),
            ("+02:00", "Europe/Rome", "mend the zone, or [site] utc_offset"),
        ] {
            let refused = read(Some(offset), zone).expect(zone);
            assert!(refused.contains(said), "{refused}");
        }
        let refused = read(None, "Europe/Rome").expect("a refusal");
        assert!(refused.contains("give [site] utc_offset"), "{refused}");
    }

    #[test]
    fn what_nothing_can_use_is_refused() {
        let said = refusal("export_price = 0.05\n[otherwise]\nprice = 0.2");
        assert!(said.contains("no source gives energy to the grid"), "{said}");
    }

    #[test]
    fn windows_that_say_nothing_are_refused() {
        let window =
            |window: &str| refusal(&format!("[otherwise]\nprice = 0.1\n[[period]]\nprice = 1\nwhen = [{window}]\n"));
        assert!(window("{ from = \"07:00\", until = \"07:00\" }").contains("until is 07:00, as is from"));
        assert!(window("{ from = \"24:00\" }").contains("expected a time before 24:00"));
        assert!(window("{ season = [\"05-01\"] }").contains("expected 2 entries"));
        assert!(window("{ days = [] }").contains("expected at least one"));
        assert!(window("{ weekdays = true }").contains("`weekdays` is not known"));
        assert!(window("").contains("never holds"));
    }
}
