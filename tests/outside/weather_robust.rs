//! Whatever bytes come, a reader answers: a reading or a refusal, never a panic, a hang or a figure that is no number.
//!
//! The number of cases for each reader is 60, or `DRYLEDGER_FUZZ_CASES`.

use crate::case::data;
use dryledger::weather::{MendRules, SeasonWindow, heat_of_reading, mend, read_bytes, seasons, summarise};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

/// What may happen to a file.
#[derive(Clone, Debug)]
enum Harm {
    Flip { at: usize, bit: u8 },
    Set { at: usize, byte: u8 },
    Cut { at: usize },
    Drop { at: usize, length: usize },
    Repeat { at: usize, length: usize },
    Nul { at: usize, length: usize },
    Swap { line: usize, with: usize },
    Insert { at: usize, text: String },
}

fn harm() -> impl Strategy<Value = Harm> {
    let texts = prop_oneof![
        Just(",".to_owned()),
        Just("\n".to_owned()),
        Just("\r".to_owned()),
        Just("\"".to_owned()),
        Just("-9999".to_owned()),
        Just("nan".to_owned()),
        Just("1e308".to_owned()),
        Just("99999999999999999999".to_owned()),
        Just("9999-12-31".to_owned()),
        Just("\u{feff}".to_owned()),
        Just("24:00".to_owned()),
        Just("é°²".to_owned()),
        "[0-9:/T ,;.-]{1,12}",
    ];
    prop_oneof![
        (any::<usize>(), 0u8..8).prop_map(|(at, bit)| Harm::Flip { at, bit }),
        (any::<usize>(), any::<u8>()).prop_map(|(at, byte)| Harm::Set { at, byte }),
        any::<usize>().prop_map(|at| Harm::Cut { at }),
        (any::<usize>(), 1usize..400).prop_map(|(at, length)| Harm::Drop { at, length }),
        (any::<usize>(), 1usize..400).prop_map(|(at, length)| Harm::Repeat { at, length }),
        (any::<usize>(), 1usize..60).prop_map(|(at, length)| Harm::Nul { at, length }),
        (any::<usize>(), any::<usize>()).prop_map(|(line, with)| Harm::Swap { line, with }),
        (any::<usize>(), texts).prop_map(|(at, text)| Harm::Insert { at, text }),
    ]
}

fn harmed(whole: &[u8], harms: &[Harm]) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    for harm in harms {
        if bytes.is_empty() {
            break;
        }
        let size = bytes.len();
        // Headers decide most: half of the harm falls there.
        let place = |at: usize| {
            if at.is_multiple_of(2) { at / 2 % size } else { at / 2 % size.min(800) }
        };
        let span = |at: usize, length: usize| place(at)..(place(at) + length).min(size);
        match harm {
            Harm::Flip { at, bit } => bytes[place(*at)] ^= 1 << bit,
            Harm::Set { at, byte } => bytes[place(*at)] = *byte,
            Harm::Cut { at } => bytes.truncate(place(*at)),
            Harm::Drop { at, length } => drop(bytes.drain(span(*at, *length))),
            Harm::Repeat { at, length } => {
                let copy = bytes[span(*at, *length)].to_vec();
                let end = span(*at, *length).end;
                bytes.splice(end..end, copy);
            }
            Harm::Nul { at, length } => bytes[span(*at, *length)].fill(0),
            Harm::Swap { line, with } => {
                let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
                let count = lines.len();
                lines.swap(line % count, with % count);
                bytes = lines.join(&b'\n');
            }
            Harm::Insert { at, text } => drop(bytes.splice(place(*at)..place(*at), text.bytes())),
        }
    }
    bytes
}

fn cases() -> u32 {
    std::env::var("DRYLEDGER_FUZZ_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(60)
}

/// Reads, sums, mends and cuts seasons; whatever comes out is finite.
fn answers(bytes: &[u8]) {
    let Ok(reading) = read_bytes("harmed", bytes) else {
        return;
    };
    let sum = heat_of_reading(&reading, 50.0, None, None);
    assert!(sum.heat_kwh_per_kg_per_s().is_finite() && sum.hours() >= 0.0);
    let summary = summarise(&reading, None);
    for mean in [summary.means.dry_bulb_c, summary.means.humidity_ratio] {
        assert!(mean.is_none_or(f64::is_finite));
    }
    for row in &reading.rows {
        assert!(row.relative_humidity.is_none_or(|rh| (0.0..=1.0).contains(&rh)));
        assert!(row.dry_bulb_c.is_none_or(|t| (-60.0..=60.0).contains(&t)));
    }
    let rules = MendRules { fill_long_gaps: true, ..MendRules::default() };
    let Ok(series) = mend(&[reading], &rules) else {
        return;
    };
    for pair in series.hours.windows(2) {
        assert!(pair[0].starts < pair[1].starts, "hours out of order");
    }
    let window = SeasonWindow { starts: "12-20".parse().expect("a day"), ends: "01-05".parse().expect("a day") };
    let _ = seasons(&series, window, 240);
}

fn survives(whole: &[u8]) {
    assert!(read_bytes("whole", whole).is_ok(), "the unharmed file reads");
    let mut runner = TestRunner::new(Config { cases: cases(), failure_persistence: None, ..Config::default() });
    runner
        .run(&prop::collection::vec(harm(), 1..6), |harms| {
            answers(&harmed(whole, &harms));
            Ok(())
        })
        .unwrap_or_else(|failure| panic!("{failure}"));
}

/// The first lines of a file.
fn head(name: &str, lines: usize) -> Vec<u8> {
    let text = std::fs::read_to_string(data(&format!("weather/{name}"))).expect("the file");
    text.lines().take(lines).collect::<Vec<_>>().join("\n").into_bytes()
}

/// Three days of rows below a header.
fn table(head: &str, row: impl Fn(u32, u32) -> String) -> Vec<u8> {
    let mut text = head.to_owned();
    for at in 0..72 {
        text.push_str(&row(at / 24 + 1, at % 24));
        text.push('\n');
    }
    text.into_bytes()
}

#[test]
fn epw() {
    survives(&head("fresno_tmy3.epw", 80));
}

#[test]
fn own_csv() {
    survives(&table("time,dry_bulb_c,relative_humidity_pct,pressure_pa\n", |day, hour| {
        format!("2024-02-{:02}T{hour:02}:00,1{}.5,60,101325", day + 26, hour % 10)
    }));
}

#[test]
fn tmy3() {
    survives(&head("greensboro_tmy3.csv", 60));
}

#[test]
fn isd_lite() {
    survives(&head("chicago_isd_lite.txt", 100));
}

#[test]
fn asos() {
    survives(&head("newark_asos.csv", 100));
}

#[test]
fn pvgis() {
    survives(&table(
        "Latitude (decimal degrees): 45.000\nLongitude (decimal degrees): 8.000\nElevation (m): 250.0\nmonth,year\n1,2018\n\
         time(UTC),T2m,RH,G(h),WS10m,SP\n",
        |day, hour| format!("201801{day:02}:{hour:02}00,2.04,94.38,0.0,0.75,99870.0"),
    ));
}

#[test]
fn nsrdb() {
    survives(&table(
        "Source,Location ID,Latitude,Longitude,Time Zone,Elevation,Local Time Zone\nNSRDB,1,40.5,-108.5,-7,1700,-7\n\
         Year,Month,Day,Hour,Minute,GHI,Temperature,Relative Humidity,Pressure\n",
        |day, hour| format!("2020,1,{day},{hour},30,0,-11.4,73.85,787"),
    ));
}

#[test]
fn power() {
    survives(&table(
        "-BEGIN HEADER-\nLocation: Latitude  36.77   Longitude -119.7\nElevation from MERRA-2: = 102.0 meters\n-END HEADER-\n\
         YEAR,MO,DY,HR,T2M,RH2M,PS\n",
        |day, hour| format!("2023,3,{day},{hour},12.5,60.1,100.2"),
    ));
}

#[test]
fn open_meteo() {
    survives(&table(
        "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n36.8,-119.7,102.0,0,GMT,GMT\n\n\
         time,temperature_2m (°C),relative_humidity_2m (%),surface_pressure (hPa)\n",
        |day, hour| format!("2023-03-{day:02}T{hour:02}:00,12.5,60,1002.1"),
    ));
}

#[test]
fn any_table() {
    survives(&table(
        "Station: Feld\nDatum;Uhrzeit;Temperatur [°C];rel. Feuchte [%];Luftdruck [hPa]\n",
        |day, hour| format!("{day:02}.01.2025;{hour:02}:00;21,1;97,0;1002,1"),
    ));
}

#[test]
fn any_table_with_parts_and_a_wall_clock() {
    survives(&table("station,local time,temp,rh,timezone\n", |day, hour| {
        format!("\"A, B\",10/{:02}/2023 {hour:02}:00,6{},55,PST", day + 27, hour % 10)
    }));
}
