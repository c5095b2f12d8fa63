//! Weather files against heat sums that were computed independently from the same files.

use crate::case::data;
use dryledger::weather::{Dates, MendRules, SeasonWindow, heat_of_reading, mend, read, seasons, summarise};
use serde_json::Value;
use std::path::PathBuf;

/// The folder of reference weather, whose files are not all free to be copied into the project: named by
/// `DRYLEDGER_REFERENCE` where it is at hand. Tests that need it are ignored elsewhere.
pub(super) fn reference() -> PathBuf {
    let named = std::env::var_os("DRYLEDGER_REFERENCE").expect("DRYLEDGER_REFERENCE names a folder");
    let folder = PathBuf::from(named);
    assert!(folder.join("heat_oracle.json").exists(), "no heat_oracle.json in {}", folder.display());
    folder
}

fn dates(from: &str, until: &str) -> Dates {
    Dates { from: from.parse().expect("a day"), until: until.parse().expect("a day") }
}

/// Heat to 40, 50 and 60 °C of every reference file, for the whole file and for two seasons, against sums
/// computed with `PsychroLib` (the same Handbook equations) by an independent reader. Tolerance 0.05 %;
/// 0.1 % where pressure is derived from sea level.
#[test]
#[ignore = "needs weather files that may not be copied: DRYLEDGER_REFERENCE=folder"]
fn heat_of_every_reference_file() {
    let folder = reference();
    let text = std::fs::read_to_string(folder.join("heat_oracle.json")).expect("the oracle");
    let oracle: Vec<Value> = serde_json::from_str(&text).expect("JSON");
    let mut compared = 0;
    for file in &oracle {
        let name = file["file"].as_str().expect("a name");
        let reading = read(&folder.join(name)).unwrap_or_else(|error| panic!("{error}"));
        let elevation = file["elev_m"].as_f64();
        let derived = file["missing_P_filled_std"].as_u64() > Some(0);
        let tolerance = if derived { 1e-3 } else { 5e-4 };
        for to_c in [40.0, 50.0, 60.0] {
            for (part, window) in
                [("all", None), ("mar_aug", Some(dates("03-01", "08-31"))), ("sep_nov", Some(dates("09-01", "11-30")))]
            {
                let sum = heat_of_reading(&reading, to_c, elevation, window);
                let expected = file[format!("T{to_c:.0}")][part]["heat_kWh_per_kgs"].as_f64().expect("a sum");
                let found = sum.heat_kwh_per_kg_per_s();
                assert!(
                    (found - expected).abs() <= tolerance * expected,
                    "{name} to {to_c} °C, {part}: {found} against {expected}"
                );
                let hours = file["hours"][part].as_f64().expect("hours");
                assert!((sum.hours() - hours).abs() < 1e-6, "{name} {part}: {} h", sum.hours());
                compared += 1;
            }
        }
        let summary = summarise(&reading, elevation);
        let mean = |key: &str| file[key].as_f64().expect("a mean");
        let means = summary.means;
        for (what, found, expected) in [
            ("dry bulb", means.dry_bulb_c, mean("mean_T_C")),
            ("humidity", means.relative_humidity_pct, mean("mean_RH_pct")),
            ("humidity ratio", means.humidity_ratio, mean("mean_w_kg_kg")),
            ("pressure", means.pressure_pa, mean("mean_P_Pa")),
        ] {
            let found = found.expect("a mean");
            assert!(
                (found - expected).abs() <= tolerance * expected.abs(),
                "{name} mean {what}: {found} against {expected}"
            );
        }
    }
    assert_eq!(compared, 15 * 9, "every file, temperature and season");
}

/// The one reference file that travels with the project (US government work): the same sums of the same
/// independent computation, copied from it. Tolerance 0.05 %.
#[test]
fn heat_of_the_fresno_typical_year() {
    let reading = read(&data("weather/fresno_tmy3.epw")).expect("the file");
    for (to_c, window, expected) in [
        (40.0, None, 197126.58874443683),
        (50.0, None, 286378.0880656305),
        (60.0, None, 375639.58386406174),
        (40.0, Some(dates("03-01", "08-31")), 80230.04076127976),
        (50.0, Some(dates("03-01", "08-31")), 125255.16840395179),
        (60.0, Some(dates("09-01", "11-30")), 92654.50924707534),
    ] {
        let found = heat_of_reading(&reading, to_c, None, window).heat_kwh_per_kg_per_s();
        assert!((found / expected - 1.0).abs() < 5e-4, "{to_c}: {found} against {expected}");
    }
}

#[test]
fn a_typical_year_gives_seasons_that_wrap() {
    let reading = read(&data("weather/fresno_tmy3.epw")).expect("the file");
    let series = mend(&[reading], &MendRules::default()).expect("a series");
    assert_eq!(series.hours.len(), 8760);
    assert_eq!(series.mends.filled_hours(), 0);
    let window = SeasonWindow { starts: "09-15".parse().expect("a day"), ends: "01-20".parse().expect("a day") };
    let years = seasons(&series, window, 45 * 24).expect("a season");
    assert_eq!(years.len(), 1);
    let year = &years[0];
    assert_eq!(year.label, "typical year");
    assert_eq!(year.season_hours, (16 + 31 + 30 + 31 + 20) * 24);
    assert_eq!(year.hours.len(), year.season_hours + 45 * 24);
    // What lies beyond the year's end is its own beginning.
    assert_eq!(year.borrowed_hours, 45 * 24);
    for pair in year.hours.windows(2) {
        assert_eq!(pair[1].starts - pair[0].starts, chrono::TimeDelta::hours(1));
    }
}
