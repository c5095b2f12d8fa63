//! Setbacks, through the binary, on the demo with one weather year and one option, its dryer alone.

use crate::case::{DemoStudy, dryledger, number_at};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

fn study(folder: &Path, setback: &str) -> PathBuf {
    DemoStudy::new().change("[cool_store]", &format!("{setback}\n[cool_store]")).dryer_alone().write(folder)
}

/// The figures, and of every hour in which five batches or more dry: hour of the day, air, fans of bins.
fn figures(setback: &str) -> (Value, Vec<(u32, f64, f64)>) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = study(folder.path(), setback);
    let ran = dryledger(&["report", study.to_str().expect("UTF-8"), "--hourly", "--json"]).run();
    let figures = ran.json();
    let hourly = fs::read_to_string(folder.path().join("hourly.csv")).expect("hours");
    let mut lines = hourly.lines();
    let head: Vec<&str> = lines.next().expect("a head").split(',').collect();
    let column = |name: &str| head.iter().position(|cell| *cell == name).expect(name);
    let (time, air, fans) = (column("time"), column("air_c"), column("bin_fan_kwh"));
    let drying = column("bins_drying");
    let hours = lines
        .map(|line| line.split(',').collect::<Vec<&str>>())
        .filter(|cells| cells[drying].parse::<u32>().expect("a count") >= 5)
        .map(|cells| {
            let number = |at: usize| cells[at].parse().expect("a number");
            let hour = cells[time][11..13].parse().expect("an hour");
            (hour, number(air), number(fans))
        })
        .collect();
    (figures, hours)
}

/// Fans off and no warmer than 30 °C while electricity is dear: less of it is purchased then, batches dry
/// longer, and the books close.
#[test]
fn a_setback_by_the_tariff_saves_at_its_hours_and_takes_time() {
    let (whole, _) = figures("");
    let by_tariff = "[[room.setback]]\nwhen = \"evening peak\"\ntemperature_c = 30.0\nfan_share = 0.0\n";
    let (back, hours) = figures(by_tariff);
    let dries = |figures: &Value| number_at(figures, "/season/mean_drying_hours");
    assert!(dries(&back) > dries(&whole) + 5.0, "{}", dries(&back));
    let cost =
        |figures: &Value| number_at(figures, "/options/0/energy_cost") / number_at(figures, "/options/0/purchased_kwh");
    assert!(cost(&back) < cost(&whole));
    assert!(number_at(&back, "/options/0/residuals/energy") < 1e-6);
    assert!(number_at(&back, "/options/0/residuals/water") < 1e-6);
    // The peak is on working days from 16 to 21 h: fans stand still then, and only then.
    let still = |wanted: &dyn Fn(u32) -> bool| {
        hours.iter().filter(|(hour, air_c, fans)| wanted(*hour) && *air_c > 28.0 && *fans < 0.01).count()
    };
    assert!(still(&|hour| (16..21).contains(&hour)) > 100);
    assert_eq!(still(&|hour| (8..16).contains(&hour)), 0);
}

/// At half their air fans take an eighth to a quarter of their power, and the room cools no further than
/// it is set back to.
#[test]
fn a_setback_by_the_clock_slows_fans_and_lets_the_room_cool() {
    let (_, hours) = figures("[[room.setback]]\nhours = \"22-6\"\ntemperature_c = 33.0\nfan_share = 0.5\n");
    let night: Vec<_> =
        hours.iter().filter(|(hour, air_c, fans)| !(6..22).contains(hour) && *fans > 0.0 && *air_c > 32.0).collect();
    assert!(night.len() > 200);
    for (_, air_c, _) in &night {
        assert!((33.0 - 1e-6..38.0 + 1e-6).contains(air_c), "{air_c}");
    }
    let mean = |of: &dyn Fn(u32) -> bool| {
        let fans: Vec<f64> =
            hours.iter().filter(|(hour, air_c, _)| of(*hour) && *air_c > 32.0).map(|(_, _, fans)| *fans).collect();
        fans.iter().sum::<f64>() / fans.len() as f64
    };
    let share = mean(&|hour| !(6..22).contains(&hour)) / mean(&|hour| (8..20).contains(&hour));
    assert!((0.1..0.35).contains(&share), "{share}");
}

#[test]
fn setbacks_that_cannot_be_are_refused_with_their_cure() {
    let folder = tempfile::tempdir().expect("a folder");
    let check = |setback: &str| {
        let study = study(folder.path(), setback);
        dryledger(&["check", study.to_str().expect("UTF-8")]).run()
    };
    check("[[room.setback]]\nhours = \"22-6\"\n").refused(&["changes nothing"]);
    check("[[room.setback]]\nfan_share = 0.5\n").refused(&["does not say when"]);
    check("[[room.setback]]\nhours = \"late\"\nfan_share = 0.5\n").refused(&["such as \"22-6\""]);
    check("[[room.setback]]\nwhen = \"nigt\"\nfan_share = 0.5\n")
        .refused(&["no period of the electricity tariff", "did you mean \"night\""]);
    check("[[room.setback]]\nhours = \"22-6\"\ntemperature_c = 50.0\n").refused(&["below the room's own 38 °C"]);
    check("[[room.setback]]\nwhen = \"night\"\nfan_share = 0.5\n").ends_well();
}
