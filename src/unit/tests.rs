//! Tests of [`super`]: every name, what fits, and figures that were read elsewhere.

use super::names::{EXAMPLES, NAMES};
use super::*;

/// So many of one unit in another.
fn of(value: f64, from: &str, to: &str) -> f64 {
    let (from, to) = (parse(from).expect(from), parse(to).expect(to));
    assert!(from.fits(&to), "{from:?} and {to:?}");
    from.convert(value, &to)
}

#[track_caller]
fn near(found: f64, expected: f64, figures: i32) {
    let scale = 10f64.powi(-figures);
    assert!((found / expected - 1.0).abs() <= scale, "{found} and not {expected}");
}

/// Factors as printed in NIST SP 811 (2008), appendix B.9 (read in public reprints), to their seven figures.
#[test]
fn factors_are_those_that_are_published() {
    for (name, base, printed) in [
        ("ft", "m", 0.304_8),
        ("in", "m", 0.025_4),
        ("mi", "m", 1_609.344),
        ("gal", "m3", 3.785_412e-3),
        ("imperial gallon", "m3", 4.546_09e-3),
        ("lb", "kg", 0.453_592_4),
        ("short ton", "kg", 907.184_7),
        ("long ton", "kg", 1_016.047),
        ("Btu", "J", 1_055.056),
        ("Btu/h", "W", 0.293_071_1),
        ("Btu/lb", "J/kg", 2_326.0),
        ("Btu/ft3", "J/m3", 37_258.95),
        ("Btu/(h ft2 °F)", "W/(m2 K)", 5.678_263),
        ("Btu/°F", "J/K", 1_899.101),
        ("therm", "J", 1.054_804e8),
        ("hp", "W", 745.699_9),
        ("in H2O", "Pa", 249.088_9),
        ("inHg", "Pa", 3_386.389),
        ("mmHg", "Pa", 133.322_4),
        ("bar", "Pa", 1e5),
    ] {
        near(of(1.0, name, base), printed, 6);
    }
    // From memory, not verified: the same appendix.
    for (name, base, printed) in [
        ("psi", "Pa", 6_894.757),
        ("ton of refrigeration", "W", 3_516.853),
        ("cfm", "m3/s", 4.719_474e-4),
        ("lb/ft3", "kg/m3", 16.018_46),
        ("mph", "m/s", 0.447_04),
        ("knot", "m/s", 0.514_444_4),
    ] {
        near(of(1.0, name, base), printed, 6);
    }
}

#[test]
fn a_temperature_and_a_difference_are_told_apart() {
    near(of(110.0, "F", "°C"), 130.0 / 3.0, 15);
    near(of(320.0, "K", "°C"), 46.85, 12);
    near(of(-40.0, "°F", "°C"), -40.0, 15);
    near(of(18.0, "F", "K"), 10.0, 15);
    assert_eq!(of(3.0, "°C", "K").to_bits(), 3f64.to_bits());
    assert_eq!(of(21.7, "degC", "°C").to_bits(), 21.7f64.to_bits());
    near(of(1.0, "Btu/(h F)", "W/K"), 0.527_527_9, 6);
}

#[test]
fn one_unit_is_written_in_many_ways() {
    for (one, other) in [
        ("ft2", "sq ft"),
        ("ft²", "square feet"),
        ("ft^3", "cubic feet"),
        ("cfm/ft3", "cfm per cu ft"),
        ("kW-h", "kWh"),
        ("KWH", "kwh"),
        ("m3/h", "m³ per hour"),
        ("Btu/h-F", "Btu/(h °F)"),
        ("W m-2 K-1", "W/(m² K)"),
        ("kW per kg/s", "kW/(kg/s)"),
        ("in w.c.", "inches of water"),
        ("t received", "tonnes"),
        ("% w.b.", "percent wb"),
        ("m³/s per received t", "m3/s/t"),
        ("KBTU/H", "MBH"),
    ] {
        let (one, other) = (parse(one).expect(one), parse(other).expect(other));
        assert!(one.fits(&other), "{one:?} {other:?}");
    }
    near(of(1.0, "MBH", "kBtu/h"), 1.0, 15);
    near(of(3.0, "kg/s per kW", "kg/s/kW"), 3.0, 15);
}

#[test]
fn what_is_no_unit_or_could_be_two_is_not_read() {
    for text in [
        "",
        "ton",
        "tons",
        "MBtu",
        "mW",
        "Mcf",
        "kg/",
        "(kg",
        "kg)",
        "//",
        "kg^",
        "ft9",
        "kg ^ 99",
        "apples",
        "USD USD",
        "USD/EUR",
        "°",
        "((((((kg))))))",
    ] {
        let unit = parse(text);
        if text == "°" {
            assert!(unit.is_ok());
        } else {
            assert!(unit.is_err(), "{text}: {unit:?}");
        }
    }
    assert!(parse(&"kg ".repeat(100)).is_err());
}

#[test]
fn no_name_means_two_things() {
    let mut all: Vec<&str> = NAMES.iter().flat_map(|(names, ..)| names.iter().copied()).collect();
    let count = all.len();
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), count);
    for text in EXAMPLES {
        assert!(parse(text).is_ok(), "{text}");
    }
}

#[test]
fn what_fits_is_offered() {
    let of = |text: &str| parse(text).expect("a unit").examples();
    assert_eq!(of("°C"), ["°C", "°F", "K"]);
    assert!(of("m³/s per received t").contains(&"cfm/lb"));
    assert!(of("money/L").contains(&"money/gal"));
}

proptest::proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "(\\PC|[ /()^2-9kgmftper]){0,30}") {
        let _ = parse(&text);
    }
}
