//! Generated hours against the stations whose normals they were made from, and the bundled weather
//! against the normals and seeds it names.

use crate::case::data;
use dryledger::air::heat_to;
use dryledger::weather::Hour;
use dryledger::weather::invent::{Humidity, Normals, hourly, hourly_varying, parse, write_csv};
use std::fs;
use std::path::{Path, PathBuf};

/// Monthly normals and real heat of public-domain files (US DOE/NREL TMY2 and TMY3; NOAA ISD-Lite single years),
/// computed by `tests/data/normals/normals_of_stations.py`: dry inland valleys, humid subtropical
/// plains, a trade-wind island, a continental lake shore.
const STATIONS: [&str; 7] = ["fresno", "fresno_older", "albany", "hilo", "greensboro", "stockton", "chicago"];

/// A station's table with one way of giving humidity, and the figures of its head.
struct Station {
    normals: Normals,
    head: String,
}

impl Station {
    fn with_columns(name: &str, dropped: &[&str]) -> Self {
        let text = fs::read_to_string(data(&format!("normals/{name}.csv"))).expect("the table");
        let (head, table): (Vec<&str>, Vec<&str>) = text.lines().partition(|line| line.starts_with('#'));
        let names: Vec<&str> = table[0].split(',').collect();
        let kept: Vec<usize> = (0..names.len()).filter(|at| !dropped.contains(&names[*at])).collect();
        let mut narrowed = head.join("\n");
        for line in table {
            let cells: Vec<&str> = line.split(',').collect();
            let cells: Vec<&str> = kept.iter().map(|at| cells[*at]).collect();
            narrowed.push('\n');
            narrowed.push_str(&cells.join(","));
        }
        Self { normals: parse(&narrowed).expect("normals in order"), head: head.join("\n") }
    }

    fn with_mean_humidity(name: &str) -> Self {
        Self::with_columns(name, &["morning_relative_humidity_pct", "afternoon_relative_humidity_pct"])
    }

    fn with_two_humidities(name: &str) -> Self {
        Self::with_columns(name, &["relative_humidity_pct"])
    }

    fn figure(&self, key: &str) -> f64 {
        self.head
            .lines()
            .find_map(|line| line.strip_prefix(&format!("# {key}: ")))
            .unwrap_or_else(|| panic!("no {key}"))
            .parse()
            .expect("a number")
    }
}

fn heat_kwh(hours: &[Hour], to_c: f64) -> f64 {
    hours.iter().map(|hour| heat_to(&hour.air, to_c)).sum()
}

/// Each month's mean over days of a figure of the day.
fn monthly(hours: &[Hour], of_day: impl Fn(&[Hour]) -> f64) -> [f64; 12] {
    use chrono::Datelike;
    let mut sums = [(0.0, 0.0); 12];
    for day in hours.chunks_exact(24) {
        let month = &mut sums[day[0].starts.month0() as usize];
        month.0 += of_day(day);
        month.1 += 1.0;
    }
    sums.map(|(sum, days)| sum / days)
}

fn lowest(day: &[Hour]) -> f64 {
    day.iter().map(|h| h.air.dry_bulb_c()).fold(f64::INFINITY, f64::min)
}

fn highest(day: &[Hour]) -> f64 {
    day.iter().map(|h| h.air.dry_bulb_c()).fold(f64::NEG_INFINITY, f64::max)
}

fn mean(day: &[Hour], value: impl Fn(&Hour) -> f64) -> f64 {
    day.iter().map(value).sum::<f64>() / day.len() as f64
}

/// Heat to 40 °C from generated hours within 3 % of the heat of the station's own hours, whichever way
/// humidity is given. The tolerance is this tool's own aim; measured over two seeds: -1.4 % (Stockton)
/// to +0.1 %, with mean temperatures 0.0..0.3 K above the stations'.
#[test]
fn heat_of_generated_hours_is_the_stations_own_within_three_percent() {
    for name in STATIONS {
        for station in [Station::with_mean_humidity(name), Station::with_two_humidities(name)] {
            let real = station.figure("heat_to_40_c_kwh_per_kg_per_s");
            for seed in [1, 2] {
                let year = if name == "chicago" { 2016 } else { 2031 };
                let hours = hourly(&station.normals, year, seed).expect("a year");
                let heat = heat_kwh(&hours, 40.0);
                assert!((heat / real - 1.0).abs() < 0.03, "{name}: {heat:.0} against {real:.0}");
            }
        }
    }
}

/// Every month returns its normals: daily extremes within 0.2 K, humidity within 2 % RH, irradiation and
/// wind within 2 %.
#[test]
fn every_month_returns_its_normals() {
    let close = |what: &str, found: [f64; 12], wanted: [f64; 12], limit: f64| {
        for month in 0..12 {
            assert!(
                (found[month] - wanted[month]).abs() <= limit,
                "{what} in month {}: {} against {}",
                month + 1,
                found[month],
                wanted[month]
            );
        }
    };
    for name in STATIONS {
        for normals in [Station::with_mean_humidity(name).normals, Station::with_two_humidities(name).normals] {
            for (year, seed) in [(2031, 1), (2032, 99)] {
                let hours = hourly(&normals, year, seed).expect("a year");
                close("minimum", monthly(&hours, lowest), normals.min_c, 0.2);
                close("maximum", monthly(&hours, highest), normals.max_c, 0.2);
                match &normals.humidity {
                    Humidity::Mean(wanted) => close(
                        "humidity",
                        monthly(&hours, |day| mean(day, |h| h.air.relative_humidity())),
                        *wanted,
                        0.02,
                    ),
                    Humidity::TwiceDaily { morning, afternoon, .. } => {
                        let at = |hour: usize| {
                            monthly(&hours, |day| mean(&day[hour - 1..=hour], |h| h.air.relative_humidity()))
                        };
                        close("humidity at 9", at(9), *morning, 0.02);
                        close("humidity at 15", at(15), *afternoon, 0.02);
                    }
                }
                if let Some(wanted) = normals.global_horizontal_kwh_per_m2_day {
                    let sun = monthly(&hours, |day| mean(day, |h| 0.024 * h.global_horizontal_w_per_m2.expect("sun")));
                    close("irradiation", sun, wanted, 0.02 * 8.0);
                }
                let wind = monthly(&hours, |day| mean(day, |h| h.wind_m_per_s.expect("wind")));
                close("wind", wind, normals.wind_m_per_s.expect("wind"), 0.1);
            }
        }
    }
}

/// Days come and go as they do at the stations: how far daily means stray from their month's, how much of that
/// the next day keeps, and how many hours are nearly saturated. The generator knows none of these figures
/// of a station; it has only its normals. Tolerances are wide because single years differ so.
#[test]
fn days_vary_and_persist_as_the_stations_do() {
    use chrono::Datelike;
    for name in STATIONS {
        let station = Station::with_mean_humidity(name);
        let hours = hourly(&station.normals, 2031, 4).expect("a year");
        let temperature = |day: &[Hour]| mean(day, |h| h.air.dry_bulb_c());
        let levels = monthly(&hours, temperature);
        let off: Vec<f64> =
            hours.chunks_exact(24).map(|day| temperature(day) - levels[day[0].starts.month0() as usize]).collect();
        let variance = off.iter().map(|x| x * x).sum::<f64>() / 365.0;
        let kept = off.windows(2).map(|x| x[0] * x[1]).sum::<f64>() / 364.0 / variance;
        let damp = hours.iter().filter(|h| h.air.relative_humidity() > 0.9).count() as f64 / 8760.0;
        let spread = variance.sqrt() / station.figure("spread_of_daily_means_k");
        let persistence = kept - station.figure("persistence_of_daily_means");
        let damper = damp - station.figure("share_of_hours_above_90_pct");
        // Found: 0.74..1.27, -0.10..+0.17, -0.02..+0.07.
        assert!((0.65..1.4).contains(&spread), "{name}: spread {spread}");
        assert!(persistence.abs() < 0.2, "{name}: persistence {persistence}");
        assert!(damper.abs() < 0.1, "{name}: damp hours {damper}");
    }
}

/// The folder of bundled weather.
fn bundled(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("weather").join(name)
}

/// The bundled years are what their normals and seeds give, to the byte. With
/// `DRYLEDGER_REWRITE_WEATHER` set they are written anew instead.
#[test]
fn bundled_weather_is_what_its_normals_and_seed_give() {
    for (site, year, seed) in
        [("upland", 2031, 2031), ("upland", 2032, 2032), ("valley", 2031, 2031), ("valley", 2032, 2032)]
    {
        let table = format!("{site}_normals.csv");
        let normals = parse(&fs::read_to_string(bundled(&table)).expect("the normals")).expect("in order");
        let hours = hourly_varying(&normals, year, seed).expect("a year");
        let text = write_csv(&normals, &hours, &table, seed);
        let path = bundled(&format!("{site}_{year}.csv"));
        if std::env::var_os("DRYLEDGER_REWRITE_WEATHER").is_some() {
            fs::write(&path, &text).expect("written");
        }
        let kept = fs::read_to_string(&path).expect("the bundled year");
        let differs = kept.lines().zip(text.lines()).find(|(a, b)| a != b);
        assert!(differs.is_none(), "{}: {differs:?}", path.display());
        assert_eq!(kept.len(), text.len(), "{}", path.display());
    }
}
