use super::*;
use crate::calendar::WallClock;
use crate::heat::Drawn;
use crate::ledger::SourceBook;
use crate::money::{BurnerClass, Carrier, DemandCharge, DemandMeasure, Fuel, HeatingBasis, OwnSupply, Tariff, Unit};
use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;

const TANK_RENT: f64 = 37.13;

fn usd() -> Currency {
    "USD".parse().unwrap()
}

/// A tariff with one of everything, on the clock of a place with daylight saving.
fn carriers(price: f64, own: bool) -> Carriers {
    let mut electricity = Tariff::flat(price);
    electricity.demand.push(DemandCharge {
        name: "network".to_owned(),
        price: 9.37,
        measure: DemandMeasure::Kilowatt,
        when: Vec::new(),
    });
    (electricity.fixed_per_month, electricity.fixed_per_day, electricity.tax) = (41.27, 0.333, 0.07);
    let zone = chrono_tz::Tz::America__Los_Angeles;
    electricity.times.clock = Some(WallClock { standard: "-08:00".parse().unwrap(), zone });
    let of = |name: &str, price| {
        let fuel = Fuel::named(name).unwrap();
        Carrier::of_fuel(fuel, Unit::Kilogram, HeatingBasis::Lower, BurnerClass::Agriculture, price).unwrap()
    };
    let lpg = Carrier { fixed_per_month: TANK_RENT, ..of("lpg", 1.353) };
    let supply = OwnSupply { units_per_received_kg: 0.1, units_per_dried_kg: 0.0, worth_per_unit: 0.017 };
    let shell = Carrier { own: own.then_some(supply), ..of("shell", 0.0613) };
    Carriers {
        electricity,
        electricity_carbon_kg_per_kwh: 0.7,
        fuels: [("lpg".to_owned(), lpg), ("shell".to_owned(), shell)].into(),
    }
}

/// A book of so many hours from a day on, which takes `kwh` of electricity and burns `fuel_kwh` of each fuel, over
/// and over; lpg stands by if `burns_lpg` is false.
fn book(first: NaiveDate, hours: usize, kwh: &[f64], fuel_kwh: &[f64], burns_lpg: bool) -> Book {
    let start = first.and_hms_opt(0, 0, 0).unwrap();
    let source = |fuel: &str, burns: bool| SourceBook {
        name: fuel.to_owned(),
        fuel: Some(fuel.to_owned()),
        given: (0..hours)
            .map(|at| Drawn { fuel_kwh: if burns { fuel_kwh[at % fuel_kwh.len()] } else { 0.0 }, ..Drawn::default() })
            .collect(),
        displaced: Vec::new().into(),
        burns_own_alone: false,
    };
    let mut book = Book {
        hours: (0..hours)
            .map(|at| Entry {
                starts: start + TimeDelta::hours(i64::try_from(at).unwrap()),
                in_season: true,
                bin_fan_kwh: kwh[at % kwh.len()],
                ..Entry::default()
            })
            .collect(),
        sources: vec![source("lpg", burns_lpg), source("shell", true)],
        ..Book::default()
    };
    book.tonnage.received_kg = 20_000.0;
    book
}

fn reckoned(carriers: &Carriers, books: &[Book]) -> (Vec<SeasonBill>, Vec<MonthFigures>) {
    let bills: Vec<SeasonBill> = books.iter().map(|book| SeasonBill::of(book, carriers, usd()).unwrap()).collect();
    let parts: Vec<_> = books.iter().zip(&bills).map(|(book, bill)| OfMonth::all(book, bill)).collect();
    let months = months(usd(), carriers, &parts, &bills);
    (bills, months)
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// What the bills add up to is what the months add up to, and what the carriers add up to.
    #[test]
    fn years_months_and_carriers_hold_one_bill(
        years in 1..4usize,
        first in 0..360i64,
        hours in prop::collection::vec(1..9000usize, 3),
        kwh in prop::collection::vec(0.0..90.0f64, 1..40),
        fuel_kwh in prop::collection::vec(0.0..60.0f64, 1..40),
        price in 0.01..0.6f64,
        burns_lpg: bool,
        own: bool,
    ) {
        let carriers = carriers(price, own);
        let books: Vec<Book> = (0..years)
            .map(|year| {
                let first = day("2031-01-01") + TimeDelta::days(first);
                let first = first.with_year_of(2031 + i32::try_from(year).unwrap());
                book(first, hours[year], &kwh, &fuel_kwh, burns_lpg)
            })
            .collect();
        let (bills, months) = reckoned(&carriers, &books);
        let mean = bills.iter().map(|bill| usd().value(bill.total())).sum::<f64>() / years as f64;
        let total = sum_money(&months, |month| month.total_cost);
        prop_assert!((mean - total).abs() < 0.005 + 1e-9, "years {mean}, months {total}");
        let lines = |month: &MonthFigures| month.energy_cost + month.demand_cost + month.other_cost;
        for month in &months {
            prop_assert!((lines(month) - month.total_cost).abs() < 1e-6);
            let of_carriers: f64 = month.carriers.values().map(|carrier| carrier.cost).sum();
            prop_assert!((of_carriers - month.total_cost).abs() < 1e-6);
        }
        let of_carriers: f64 = sum_carriers(&months).values().map(|carrier| carrier.cost).sum();
        prop_assert!((of_carriers - total).abs() < 1e-6);
        let taken: f64 = books.iter().flat_map(|book| &book.hours).map(|hour| hour.bin_fan_kwh).sum();
        let told: f64 = months.iter().map(|month| month.electricity_kwh).sum();
        prop_assert!((taken / years as f64 - told).abs() < 1e-6 * taken.max(1.0));
        let keys: BTreeSet<(u32, u32)> = months.iter().map(|month| (month.year, month.month)).collect();
        prop_assert_eq!(keys.len(), months.len(), "a month has one row");
    }
}

/// The same day of another year; these tests keep clear of 29 February.
trait OfYear {
    fn with_year_of(self, year: i32) -> Self;
}

impl OfYear for NaiveDate {
    fn with_year_of(self, year: i32) -> Self {
        chrono::Datelike::with_year(&self, year).unwrap()
    }
}

#[test]
fn a_tank_that_stands_by_costs_its_rent() {
    let carriers = carriers(0.2, false);
    let books = [book(day("2031-05-01"), 61 * 24, &[10.0], &[5.0], false)];
    let (bills, months) = reckoned(&carriers, &books);
    let lpg = &sum_carriers(&months)["lpg"];
    assert_eq!((lpg.kwh, lpg.cost), (0.0, 2.0 * TANK_RENT));
    let total = sum_money(&months, |month| month.total_cost);
    assert_eq!(total, usd().value(bills[0].total()));
}

#[test]
fn a_store_kept_past_a_year_has_two_rows_for_a_month() {
    let carriers = carriers(0.2, false);
    let books = [book(day("2031-08-01"), 400 * 24, &[10.0], &[5.0], true)];
    let (_, months) = reckoned(&carriers, &books);
    let keys: Vec<(u32, u32)> = months.iter().map(|month| (month.year, month.month)).collect();
    assert_eq!(keys.len(), 14);
    assert_eq!((keys[0], keys[4], keys[12], keys[13]), ((1, 8), (1, 12), (2, 8), (2, 9)));
    // A highest hour of 10 kW is charged once a month.
    assert!(months.iter().all(|month| month.demand_cost == 93.7));
}

#[test]
fn halves_go_to_the_even() {
    for (whole, parts, rounded) in [(3, 2, 2), (5, 2, 2), (7, 2, 4), (-3, 2, -2), (-1, 2, 0), (7, 3, 2)] {
        assert_eq!(half_to_even(whole, parts), rounded, "{whole} / {parts}");
    }
}
