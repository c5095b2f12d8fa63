//! How fast weather is read: rows a second for each format, and the whole way from a file to its heat.
//!
//! Run with `cargo bench --bench weather`.
#![allow(missing_docs)]

use divan::counter::{BytesCount, ItemsCount};
use divan::{Bencher, black_box};
use dryledger::air::MoistAir;
use dryledger::weather::{MendRules, heat_of_reading, mend, read_bytes, to_csv};
use std::fmt::Write as _;
use std::path::Path;

fn main() {
    divan::main();
}

fn data(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/weather").join(name);
    std::fs::read(path).expect("a file of tests/data/weather")
}

/// A year of hours in the layout of a format, made of the Fresno typical year dated 2023.
fn year(format: &str) -> Vec<u8> {
    let fresno = read_bytes("fresno", &data("fresno_tmy3.epw")).expect("a reading");
    let mut text = String::from(match format {
        "nsrdb" => {
            "Source,Location ID,Latitude,Longitude,Time Zone,Elevation,Local Time Zone\nNSRDB,1,36.8,-119.7,-8,102,-8\n\
             Year,Month,Day,Hour,Minute,GHI,Temperature,Relative Humidity,Pressure,Wind Speed\n"
        }
        "pvgis" => {
            "Latitude (decimal degrees): 36.8\nLongitude (decimal degrees): -119.7\nElevation (m): 102.0\n\
             time(UTC),T2m,RH,G(h),WS10m,SP\n"
        }
        "isd" => "",
        "table" => "Datum;Uhrzeit;Temperatur [°C];rel. Feuchte [%];Luftdruck [hPa]\n",
        _ => "time,dry_bulb_c,relative_humidity_pct,pressure_pa\n",
    });
    let start = chrono::NaiveDate::from_ymd_opt(2023, 1, 1).expect("a date").and_hms_opt(0, 0, 0).expect("midnight");
    for (row, at) in fresno.rows.iter().zip(0..) {
        let time = start + chrono::TimeDelta::hours(at);
        let t = row.dry_bulb_c.expect("a temperature");
        let rh = row.relative_humidity.expect("a humidity") * 100.0;
        let pa = row.pressure_pa.expect("a pressure");
        let _ = match format {
            "nsrdb" => {
                writeln!(text, "{},30,0,{t},{rh},{},1.5", time.format("%Y,%-m,%-d,%-H"), pa / 100.0)
            }
            "pvgis" => writeln!(text, "{},{t},{rh},0.0,1.5,{pa}", time.format("%Y%m%d:%H00")),
            "isd" => writeln!(
                text,
                "{} {:5.0} {:5.0} {:5.0}   150    36 -9999     0 -9999",
                time.format("%Y %m %d %H"),
                t * 10.0,
                (t - 3.0) * 10.0,
                pa / 10.0
            ),
            "table" => writeln!(
                text,
                "{};{};{}",
                time.format("%d.%m.%Y;%H:%M"),
                format!("{t};{rh}").replace('.', ","),
                pa / 100.0
            ),
            _ => writeln!(text, "{},{t},{rh},{pa}", time.format("%Y-%m-%dT%H:%M")),
        };
    }
    text.into_bytes()
}

/// Wet bulbs of 990 states of 5 to 40 °C.
#[divan::bench]
fn wet_bulbs(bencher: Bencher) {
    let states: Vec<MoistAir> = (50..400)
        .step_by(35)
        .flat_map(|tenths| (1..100).map(move |percent| (tenths, percent)))
        .map(|(tenths, percent)| {
            let (t, rh) = (f64::from(tenths) / 10.0, f64::from(percent) / 100.0);
            MoistAir::from_relative_humidity(t, rh, 96_000.0).expect("air in range")
        })
        .collect();
    bencher
        .counter(ItemsCount::new(states.len()))
        .bench_local(|| black_box(&states).iter().map(MoistAir::wet_bulb_c).sum::<f64>());
}

/// Humidity ratio, enthalpy and wet bulb from temperature and relative humidity: states a second.
#[divan::bench]
fn moist_air_states(bencher: Bencher) {
    let states: Vec<(f64, f64)> = (50..400)
        .flat_map(|tenths| (1..100).map(move |pct| (f64::from(tenths) / 10.0, f64::from(pct) / 100.0)))
        .collect();
    let of = |&(t, rh): &(f64, f64)| {
        let air = MoistAir::from_relative_humidity(t, rh, 96_000.0).expect("air in range");
        air.humidity_ratio() + air.enthalpy_kj_per_kg() + air.wet_bulb_c()
    };
    bencher.counter(ItemsCount::new(states.len())).bench_local(|| black_box(&states).iter().map(of).sum::<f64>());
}

fn read_rows(bencher: Bencher, bytes: &[u8]) {
    let rows = read_bytes("bench", bytes).expect("a reading").rows.len();
    bencher
        .counter(ItemsCount::new(rows))
        .counter(BytesCount::of_slice(bytes))
        .bench_local(|| read_bytes("bench", black_box(bytes)));
}

#[divan::bench]
fn epw(bencher: Bencher) {
    read_rows(bencher, &data("fresno_tmy3.epw"));
}

#[divan::bench]
fn tmy3(bencher: Bencher) {
    read_rows(bencher, &data("greensboro_tmy3.csv"));
}

#[divan::bench]
fn asos(bencher: Bencher) {
    read_rows(bencher, &data("newark_asos.csv"));
}

#[divan::bench(args = ["own", "nsrdb", "pvgis", "isd", "table"])]
fn year_of(bencher: Bencher, format: &str) {
    read_rows(bencher, &year(format));
}

/// Thirty years of the tool's own CSV.
#[divan::bench]
fn thirty_years_of_csv(bencher: Bencher) {
    let fresno = read_bytes("fresno", &data("fresno_tmy3.epw")).expect("a reading");
    let rules = MendRules::default();
    let mut series = mend(&[fresno], &rules).expect("a series");
    let whole = series.hours.clone();
    series.hours.clear();
    for at in 0..30 * 8_760 {
        let starts = whole[0].starts + chrono::TimeDelta::hours(at);
        let hour = whole[usize::try_from(at).expect("positive") % whole.len()];
        series.hours.push(dryledger::weather::Hour { starts, ..hour });
    }
    series.typical = false;
    let csv = to_csv(&series, &dryledger::weather::Station::default());
    read_rows(bencher, csv.as_bytes());
}

/// From the bytes of an EPW to its heat.
#[divan::bench]
fn epw_to_heat(bencher: Bencher) {
    let bytes = data("fresno_tmy3.epw");
    bencher.bench_local(|| {
        let reading = read_bytes("bench", black_box(&bytes)).expect("a reading");
        heat_of_reading(&reading, 50.0, None, None).heat_kwh_per_kg_per_s()
    });
}

/// Joining and mending thirty copies' worth of hours is part of every season.
#[divan::bench]
fn mend_a_year(bencher: Bencher) {
    let reading = read_bytes("fresno", &data("fresno_tmy3.epw")).expect("a reading");
    bencher.bench_local(|| mend(black_box(std::slice::from_ref(&reading)), &MendRules::default()));
}
