//! Tests of [`super`]: what a cursor reads and refuses.

use super::*;
use crate::study::document::Document;
use crate::study::input::Origin;

fn refusal<T: std::fmt::Debug>(text: &str, build: impl FnOnce(&Cursor<'_>) -> Option<T>) -> Vec<String> {
    let problems = Document::new("s.toml", text).read(build).expect_err("a refusal");
    problems.iter().map(Problem::sentence).collect()
}

#[test]
fn an_unknown_key_names_the_nearest_known_one() {
    let said = refusal("[room]\ntemprature_c = 38\nzz = 1\n", |root| {
        let room = root.table("room");
        let t = room.number("temperature_c").default(38.0, "custom");
        let bins = room.number("bins").optional();
        room.finish();
        root.finish();
        Some((t, bins))
    });
    assert_eq!(
        said,
        [
            "s.toml:2:1: `temprature_c` is not known in room; did you mean `temperature_c`?",
            "s.toml:3:1: `zz` is not known in room; known are temperature_c, bins",
        ]
    );
}

#[test]
fn an_unknown_table_is_found_too() {
    let said = refusal("[crop]\n[corp]\n", |root| {
        root.table("crop").finish();
        root.finish();
        Some(())
    });
    assert_eq!(said, ["s.toml:2:2: `corp` is not known here; did you mean `crop`?"]);
}

#[test]
fn several_problems_come_at_once_in_the_order_of_the_file() {
    let text = "[a]\nx = \"no\"\nunknown = 1\n[b]\ny = -3\n";
    let said = refusal(text, |root| {
        let b = root.table("b");
        let y = b.number("y").at_least(0.0).required();
        b.finish();
        let a = root.table("a");
        let x = a.number("x").required();
        let z = a.number("z").unit("kW").required();
        a.finish();
        root.finish();
        Some((x?, y?, z?))
    });
    assert_eq!(said.len(), 4, "{said:#?}");
    assert_eq!(said[0], "s.toml:1:1: z is missing, expected a number in kW");
    assert!(said[1].starts_with("s.toml:2:5: x is the text"));
    assert!(said[2].starts_with("s.toml:3:1: `unknown`"));
    assert!(said[3].starts_with("s.toml:5:5: y is -3"));
}

#[test]
fn a_missing_table_is_named_once_or_by_its_missing_keys() {
    let said = refusal("title = \"t\"", |root| root.required_table("crop", "say what is dried").map(|_| ()));
    assert_eq!(said, ["s.toml:1:1: [crop] is missing; say what is dried"]);
    let said = refusal("title = \"t\"", |root| root.table("crop").text("kind").required());
    assert_eq!(said, ["s.toml:1:1: crop.kind is missing, expected a text in quotes"]);
}

#[test]
fn lists_of_tables_go_by_name_or_number() {
    let text = "bins = [{ count = 2 }, { count = 3 }]\n[[source]]\nname = \"heaters\"\ncapacity_kw = 160\n";
    let reading = Document::new("s.toml", text)
        .read(|root| {
            let mut total = 0.0;
            for entry in root.each("bins").iter().chain(&root.each("source")) {
                total += entry.number("count").optional().unwrap_or(0.0);
                total += entry.number("capacity_kw").optional().unwrap_or(0.0);
                let _ = entry.text("name").optional();
                entry.finish();
            }
            assert!(root.each("option").is_empty());
            root.finish();
            Some(total)
        })
        .unwrap();
    assert_eq!(reading.value, 165.0);
    let paths: Vec<_> = reading.inputs.iter().map(|i| i.path.as_str()).collect();
    assert_eq!(paths, ["bins.1.count", "bins.2.count", "source.heaters.capacity_kw", "source.heaters.name"]);
}

#[test]
fn two_entries_of_one_name_are_refused() {
    let text = "[[source]]\nname = \"heater\"\n[[source]]\nname = \"heater\"\n";
    let said = refusal(text, |root| Some(root.each("source").len()));
    assert_eq!(said, ["s.toml:3:1: a second source is called `heater`; give each its own name"]);
}

#[test]
fn tables_by_name_come_in_the_order_of_the_file() {
    let text = "[carrier.lpg]\nprice = 1.35\n[carrier.electricity]\nprice = 0.2\n";
    let reading = Document::new("s.toml", text).read(|root| {
        let carriers = root.table("carrier").rest("FUEL");
        Some(carriers.into_iter().map(|(name, _)| name).collect::<Vec<_>>())
    });
    assert_eq!(reading.unwrap().value, ["lpg", "electricity"]);
    let said = refusal("[carrier]\nlpg = 3", |root| Some(root.table("carrier").rest("FUEL").len()));
    assert_eq!(said, ["s.toml:2:7: lpg is 3, expected a table"]);
}

#[test]
fn a_key_may_hold_more_than_one_kind() {
    let kind = |text: &str| Document::new("s.toml", text).read(|root| Some(root.kind("x"))).unwrap().value;
    assert_eq!(kind("x = 1"), Some(Kind::Number));
    assert_eq!(kind("x = \"a\""), Some(Kind::Text));
    assert_eq!(kind("x = { a = 1 }"), Some(Kind::Table));
    assert_eq!(kind("x = [1]"), Some(Kind::List));
    assert_eq!(kind("y = 1"), None);
}

#[test]
fn every_value_used_is_noted_with_who_says_so() {
    let text = "\n[crop]\nreceived_moisture = 22.0\n";
    let reading = Document::new("s.toml", text)
        .read(|root| {
            let crop = root.table("crop");
            let received = crop.number("received_moisture").unit("% w.b.").required();
            let air = crop.choice("air", &[("still", 1), ("moving", 2)]).default(2, "custom");
            Some((received?, air))
        })
        .unwrap();
    let [received, air] = &reading.inputs[..] else { panic!("{:?}", reading.inputs) };
    assert_eq!(received.path, "crop.received_moisture");
    assert_eq!((received.value_text.as_str(), received.unit.as_str()), ("22", "% w.b."));
    assert_eq!(received.number, Some(22.0));
    let file = "s.toml".to_owned();
    let column = 21;
    assert_eq!(received.origin, Origin::Given { file, line: 3, column });
    assert_eq!(air.value_text, "moving");
    let source = "custom".to_owned();
    assert_eq!(air.origin, Origin::Default { source });
}

#[test]
fn broken_toml_gives_place_and_sentence() {
    for (text, expected) in [
        ("x = 1\nx = 2\n", "s.toml:2:1: `x` is given twice; keep one of the two"),
        ("[a]\n[b]\n[a]\n", "s.toml:3:2: `a` is given twice; keep one of the two"),
        ("a = \"é\"\nb = twelve\n", "s.toml:2:5: this is not TOML: "),
        ("[crop\nx = 1\n", "s.toml:1:6: this is not TOML: "),
        ("x = \"open\ny = 2\n", "s.toml:1:10: this is not TOML: "),
        ("x 1", "s.toml:1:"),
    ] {
        let said = refusal(text, |root| root.number("x").required());
        assert!(said[0].starts_with(expected), "{text:?}: {said:?}");
    }
}

#[test]
fn a_byte_order_mark_is_no_fault() {
    let reading = Document::new("s.toml", "\u{feff}x = 1").read(|root| root.number("x").required());
    assert_eq!(reading.unwrap().value, 1.0);
}

#[test]
fn a_second_file_adds_its_inputs_and_its_problems() {
    let tariff = |text: &str| {
        let outcome = Document::new("s.toml", "x = 1").read(|root| {
            let tariff = Document::new("tariff.toml", text)
                .under("carrier.electricity")
                .read(|root| root.number("fixed").required());
            let tariff = root.include(tariff);
            let x = root.number("x").required();
            Some((tariff?, x?))
        });
        outcome.map(|reading| reading.inputs)
    };
    assert_eq!(tariff("fixed = 30").unwrap()[0].path, "carrier.electricity.fixed");
    let said = tariff("fixed = true").unwrap_err().to_string();
    assert!(said.starts_with("tariff.toml:1:9: fixed is true"), "{said}");
}

#[test]
fn problems_beside_other_values_point_at_their_key() {
    let text = "received = 10\ndried = 20\n";
    let said = refusal(text, |root| {
        root.complain("dried", "is 20", "less than received, 10", "swap them");
        root.complain("intake", "is missing", "", "give a file");
        Some(())
    });
    assert_eq!(
        said,
        [
            "s.toml:1:1: intake is missing; give a file",
            "s.toml:2:9: dried is 20, expected less than received, 10; swap them"
        ]
    );
    let reading = Document::new("s.toml", text).read(|root| {
        root.warn("dried", "is high", "look again");
        Some(())
    });
    assert_eq!(reading.unwrap().warnings.len(), 1);
}
