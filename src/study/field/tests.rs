//! Tests of [`super`]: what a field reads and refuses.

use crate::problem::{Problem, Problems};
use crate::study::cursor::Cursor;
use crate::study::document::Document;
use crate::study::input::{Origin, Overrides};
use chrono::{FixedOffset, NaiveDate};

fn read<T>(text: &str, build: impl FnOnce(&Cursor<'_>) -> Option<T>) -> Result<T, Problems> {
    let reading = Document::new("s.toml", text).read(build)?;
    Ok(reading.value)
}

fn refusal<T: std::fmt::Debug>(text: &str, build: impl FnOnce(&Cursor<'_>) -> Option<T>) -> String {
    let problems = read(text, build).expect_err("a refusal");
    let sentences: Vec<_> = problems.iter().map(Problem::sentence).collect();
    sentences.join("\n")
}

#[test]
fn a_number_out_of_range_says_range_unit_and_cure() {
    let said = refusal("[crop]\nreceived_moisture = 150\n", |root| {
        root.table("crop")
            .number("received_moisture")
            .unit("% w.b.")
            .within(0.0, 60.0)
            .hint("give the moisture nuts arrive at, wet basis")
            .required()
    });
    assert_eq!(
        said,
        "s.toml:2:21: received_moisture is 150, expected 0 to 60 % w.b.; give the moisture nuts \
         arrive at, wet basis"
    );
}

#[test]
fn not_a_number_and_infinity_are_refused() {
    for written in ["nan", "-nan", "inf", "-inf", "1e999", "99999999999999999999"] {
        let said = refusal(&format!("x = {written}"), |root| root.number("x").unit("kW").required());
        assert_eq!(said, format!("s.toml:1:5: x is {written}, expected a number in kW"));
    }
}

#[test]
fn every_way_to_write_a_number_is_read() {
    for (written, value) in [("1_000.5", 1000.5), ("12", 12.0), ("-0.5", -0.5), ("1e3", 1000.0), ("0x10", 16.0)] {
        let read = read(&format!("x = {written}"), |root| root.number("x").required());
        assert_eq!(read.unwrap(), value);
    }
}

#[test]
fn a_wrong_kind_says_what_was_found_and_what_was_expected() {
    let said = refusal("a = \"22 kg\"\nb = 3\nc = true\nd = [1]\ne = 2.5\nf = 2.5", |root| {
        let a = root.number("a").unit("% w.b.").within(0.0, 60.0).required();
        let b = root.text("b").required();
        let c = root.number("c").optional();
        let d = root.yes_no("d").required();
        let e = root.count("e").required();
        let f = root.count("f").within(1, 60).required();
        Some((a?, b?, c?, d?, e?, f?))
    });
    assert_eq!(
        said,
        "s.toml:1:5: a is the text \"22 kg\", which is not measured in % w.b., expected a number, 0 to 60 % w.b., or \
         text with a unit such as %\n\
         s.toml:2:5: b is 3, expected a text in quotes\n\
         s.toml:3:5: c is true, expected a number\n\
         s.toml:4:5: d is a list, expected true or false\n\
         s.toml:5:5: e is 2.5, expected a whole number from 0\n\
         s.toml:6:5: f is 2.5, expected a whole number, 1 to 60"
    );
}

#[test]
fn a_word_that_is_no_choice_lists_the_choices() {
    let words = [("recirculating", 1), ("once-through", 2), ("still", 3)];
    let said = refusal("air = \"around\"", |root| root.choice("air", &words).required());
    assert_eq!(said, "s.toml:1:7: air is \"around\", expected \"recirculating\", \"once-through\" or \"still\"");
    let text = "air = \"still\"";
    assert_eq!(read(text, |root| root.choice("air", &words).required()).unwrap(), 3);
}

#[test]
fn a_list_points_at_its_bad_entry() {
    let band =
        |root: &Cursor<'_>| root.numbers("band").unit("%").exactly(2).each_within(0.0, 100.0).rising().required();
    assert_eq!(read("band = [50, 62.5]", band).unwrap(), [50.0, 62.5]);
    assert_eq!(refusal("band = [50, 162]", band), "s.toml:1:13: band entry 2 is 162, expected 0 to 100 %");
    assert!(refusal("band = [62, 50]", band).ends_with("band is [62, 50], expected rising"));
    assert!(refusal("band = [50]", band).ends_with("band is [50], expected 2 entries"));
    assert!(
        refusal("band = true", band)
            .ends_with("band is true, expected a list of numbers, 2 entries, 0 to 100 %, rising")
    );
    assert!(refusal("band = [50, nan]", band).contains("1:13: band entry 2 is nan"));
    assert!(refusal("band = [50, \"x\"]", band).contains("entry 2 is the text \"x\""));
}

#[test]
fn dates_and_offsets_are_read_as_text_or_as_toml_dates() {
    let date = |root: &Cursor<'_>| root.parsed::<NaiveDate>("day", "a date such as 2021-03-01").required();
    let expected = NaiveDate::from_ymd_opt(2021, 3, 1).unwrap();
    assert_eq!(read("day = 2021-03-01", date).unwrap(), expected);
    assert_eq!(read("day = \"2021-03-01\"", date).unwrap(), expected);
    assert_eq!(
        refusal("day = \"2021-02-30\"", date),
        "s.toml:1:7: day is the text \"2021-02-30\", expected a date such as 2021-03-01"
    );
    let offset = read("utc_offset = \"+10:00\"", |root| {
        root.parsed::<FixedOffset>("utc_offset", "an offset such as +10:00").required()
    });
    assert_eq!(offset.unwrap().local_minus_utc(), 36_000);
}

#[test]
fn blank_text_is_refused_and_a_lone_text_is_a_list_of_one() {
    let said = refusal("title = \"  \"", |root| root.text("title").required());
    assert!(said.contains("title is blank"), "{said}");
    let files = read("files = \"a.csv\"", |root| root.texts("files").required());
    assert_eq!(files.unwrap(), ["a.csv"]);
}

#[test]
fn a_wrong_value_is_a_problem_even_where_a_default_exists() {
    let said = refusal("x = -1", |root| Some(root.number("x").at_least(0.0).default(5.0, "custom")));
    assert_eq!(said, "s.toml:1:5: x is -1, expected at least 0");
}

#[test]
fn a_number_set_from_outside_is_checked_and_noted() {
    let moisture = |root: &Cursor<'_>| {
        let crop = root.table("crop");
        crop.number("moisture").within(0.0, 60.0).required()
    };
    let text = "[crop]\nmoisture = 22\n";
    let set = Overrides::from([("crop.moisture".to_owned(), 25.0)]);
    let reading = Document::new("s.toml", text).with(&set).read(moisture).unwrap();
    assert_eq!((reading.value, &reading.inputs[0].origin), (25.0, &Origin::Set));
    for wrong in [75.0, f64::NAN] {
        let set = Overrides::from([("crop.moisture".to_owned(), wrong)]);
        let said = Document::new("s.toml", text).with(&set).read(moisture).expect_err("a refusal");
        assert!(said.to_string().contains(&format!("was set to {wrong}")), "{said}");
    }
}

#[test]
fn an_entry_of_a_list_can_be_set_from_outside() {
    let set = Overrides::from([("band.2".to_owned(), 60.0)]);
    let reading = Document::new("s.toml", "band = [50, 62]").with(&set).read(|root| root.numbers("band").required());
    assert_eq!(reading.unwrap().value, [50.0, 60.0]);
}

#[test]
fn a_number_may_come_with_a_unit_of_its_own() {
    let of = |written: &str, unit: &'static str| {
        read(&format!("[study]\ncurrency = \"USD\"\n[k]\nx = {written}\n"), |root| {
            root.table("k").number("x").unit(unit).within(-1e9, 1e9).required()
        })
    };
    for (written, unit, value) in [
        ("\"110 F\"", "°C", 130.0 / 3.0),
        ("\"18 F\"", "K", 10.0),
        ("\"12 h\"", "h", 12.0),
        ("\"2.10 USD/gal\"", "money/L", 2.1 / 3.785_411_784),
        ("\"$2.10/gal\"", "money/L", 2.1 / 3.785_411_784),
        ("\"18 ct/kWh\"", "money/kWh", 0.18),
        ("\"18 ct/kWh\"", "USD/kWh", 0.18),
        ("\"22,5 %\"", "% w.b.", 22.5),
        ("\"1_500 ft2\"", "m²", 139.354_56),
        ("\"-40°F\"", "°C", -40.0),
        ("\"1e3 W\"", "kW", 1.0),
        ("\"60 USD/yr\"", "money/month", 5.0),
        ("\"25 short tons\"", "t received", 22.679_618_5),
        ("7", "kW", 7.0),
    ] {
        let read = of(written, unit).unwrap_or_else(|problems| panic!("{written}: {problems}"));
        assert!((read - value).abs() <= 1e-12 * value.abs(), "{written} in {unit} is {read}");
    }
    for (written, unit, said) in [
        ("\"110\"", "°C", "names no unit"),
        (
            "\"110 psi\"",
            "°C",
            "which is not measured in °C, expected a number, -1000000000 to 1000000000 °C, or text with a unit such as °C, °F, K",
        ),
        ("\"25 tons\"", "t received", "a short ton (2000 lb), a long ton or a tonne (t): say which"),
        ("\"1 USD/Mcf\"", "money/kWh", "a volume of gas"),
        ("\"1,250 ft\"", "m", "thousands have no mark"),
        ("\"22 % d.b.\"", "% w.b.", "what is asked for is not \"d.b.\""),
        ("\"2 EUR/gal\"", "money/L", "prices of this study are in USD, expected"),
        ("\"2 USD/gal\"", "money/kg", "or text with a unit such as USD/t, USD/lb"),
        ("\"12 CWT\"", "kg", "which is not measured in kg"),
        ("\"0.22\"", "", "expected a number"),
        ("\"22 %\"", "", "expected a number"),
        ("\"9 units\"", "units of the carrier", "expected a number"),
        ("\"1e400 kW\"", "kW", "x is the text"),
    ] {
        let problems = of(written, unit).expect_err(written).to_string();
        assert!(problems.contains("4:5: x is the text") && problems.contains(said), "{written}: {problems}");
    }
}

#[test]
fn a_bound_holds_in_the_unit_of_the_key_and_the_text_is_kept() {
    let said = refusal("x = \"210 F\"", |root| root.number("x").unit("°C").within(0.0, 90.0).required());
    assert!(said.contains("x is \"210 F\", that is 98.8") && said.ends_with("expected 0 to 90 °C"), "{said}");
    let reading = Document::new("s.toml", "x = \"18 F\"\ny = [\"50 F\", 20]\nn = \"2 d\"\n")
        .read(|root| {
            let x = root.number("x").unit("K").required();
            let y = root.numbers("y").unit("°C").exactly(2).each_within(0.0, 50.0).rising().required();
            let n = root.count("n").unit("h").within(1, 72).required();
            Some((x?, y?, n?))
        })
        .expect("read");
    assert_eq!(reading.value, (10.0, vec![10.0, 20.0], 48));
    let written: Vec<_> = reading.inputs.iter().map(|input| input.written.as_deref()).collect();
    assert_eq!(written, [Some("18 F"), Some("[50 F, 20]"), Some("2 d")]);
    let half = refusal("n = \"30 min\"", |root| root.count("n").unit("h").required());
    assert!(half.contains("n is 0.5 h"), "{half}");
}

#[test]
fn a_draw_stands_in_for_text_and_for_an_entry_of_a_list() {
    let set = Overrides::from([("x".to_owned(), 5.0), ("y.2".to_owned(), 30.0)]);
    let reading = Document::new("s.toml", "x = \"18 F\"\ny = [\"50 F\", \"60 F\"]\n")
        .with(&set)
        .read(|root| {
            let x = root.number("x").unit("K").required();
            let y = root.numbers("y").unit("°C").required();
            Some((x?, y?))
        })
        .expect("read");
    assert_eq!(reading.value, (5.0, vec![10.0, 30.0]));
    assert_eq!(reading.inputs[0].written, None);
}
