//! The same weather in many files: three weeks of a public-domain typical year written as each service, logger
//! or spreadsheet would write it must give the same heat.

use crate::case::data;
use chrono::{NaiveDate, NaiveDateTime, TimeDelta, Timelike};
use dryledger::weather::{ColumnMap, Reading, heat_of_reading, read, read_bytes, read_bytes_with, summarise};
use std::fmt::Write as _;

/// Hours of 11 to 31 March of the Fresno typical year, dated 2023.
struct Hour {
    starts: NaiveDateTime,
    t: f64,
    rh: f64,
    dew: f64,
    hpa: f64,
}

fn hours() -> Vec<Hour> {
    let fresno = read(&data("weather/fresno_tmy3.epw")).expect("the file");
    let from = NaiveDate::from_ymd_opt(2023, 3, 11).expect("a date");
    fresno
        .rows
        .iter()
        .filter(|row| row.label.format("%m-%d").to_string().as_str() >= "03-11")
        .take(21 * 24)
        .zip(0..)
        .map(|(row, at)| Hour {
            starts: NaiveDateTime::from(from) + TimeDelta::hours(at),
            t: row.dry_bulb_c.expect("a temperature"),
            rh: row.relative_humidity.expect("a humidity") * 100.0,
            dew: row.dew_point_c.expect("a dew point"),
            hpa: row.pressure_pa.expect("a pressure") / 100.0,
        })
        .collect()
}

fn heat(reading: &Reading) -> f64 {
    heat_of_reading(reading, 50.0, Some(102.0), None).heat_kwh_per_kg_per_s()
}

/// Heat from the plainest file that can be written.
fn expected(with_pressure: bool) -> f64 {
    let mut csv = String::from("time,dry_bulb_c,relative_humidity_pct");
    csv.push_str(if with_pressure { ",pressure_pa\n" } else { "\n" });
    for hour in hours() {
        let _ = write!(csv, "{},{},{}", hour.starts.format("%Y-%m-%dT%H:%M"), hour.t, hour.rh);
        if with_pressure {
            let _ = write!(csv, ",{}", hour.hpa * 100.0);
        }
        csv.push('\n');
    }
    let reading = read_bytes("plain", csv.as_bytes()).expect("the plain file");
    assert_eq!(reading.format.name(), "dryledger csv");
    heat(&reading)
}

/// Writes a file: what stands above the rows, and each row.
fn written(head: &str, row: impl Fn(&Hour) -> String) -> String {
    let mut text = head.to_owned();
    for hour in hours() {
        text.push_str(&row(&hour));
        text.push('\n');
    }
    text
}

/// The file gives all hours and the same heat; returns the reading for more questions.
fn same(name: &str, bytes: &[u8], format: &str, with_pressure: bool, tolerance: f64) -> Reading {
    let reading = read_bytes(name, bytes).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(reading.format.name(), format, "{name}");
    let summary = summarise(&reading, Some(102.0));
    assert!((summary.hours - 504.0).abs() < 1e-6, "{name}: {} h", summary.hours);
    let (found, expected) = (heat(&reading), expected(with_pressure));
    assert!((found / expected - 1.0).abs() < tolerance, "{name}: {found} against {expected}: {:#?}", reading.problems);
    reading
}

#[test]
fn nsrdb_with_its_metadata() {
    let head = "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,Version\n\
        NSRDB,123456,-,-,-,36.77,-119.70,0,102,-8,4.0.0\n\
        Year,Month,Day,Hour,Minute,GHI,Temperature,Dew Point,Relative Humidity,Pressure,Wind Speed\n";
    let text = written(head, |h| {
        format!("{},{},30,0,{},{},{},{},1.5", h.starts.format("%Y,%-m,%-d"), h.starts.hour(), h.t, h.dew, h.rh, h.hpa)
    });
    let reading = same("nsrdb", text.as_bytes(), "nsrdb csv", true, 1e-9);
    assert_eq!(reading.station.elevation_m, Some(102.0));
    assert_eq!(reading.clock_offset_minutes, Some(0));
    assert_eq!(reading.station.utc_offset_minutes, Some(-480));
}

#[test]
fn nasa_power() {
    let head = "-BEGIN HEADER-\nNASA/POWER Source Native Resolution Hourly Data\n\
        Dates (month/day/year): 03/11/2023 through 03/31/2023 in LST\n\
        Location: Latitude  36.77   Longitude -119.7\n\
        Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 102.0 meters\n\
        The value for missing source data that cannot be computed is: -999\nParameter(s):\n\
        T2M      MERRA-2 Temperature at 2 Meters (C)\n\
        RH2M     MERRA-2 Relative Humidity at 2 Meters (%)\n\
        PS       MERRA-2 Surface Pressure (kPa)\n\
        ALLSKY_SFC_SW_DWN   CERES SYN1deg All Sky Surface Shortwave Downward Irradiance (Wh/m^2)\n\
        -END HEADER-\nYEAR,MO,DY,HR,T2M,RH2M,PS,ALLSKY_SFC_SW_DWN\n";
    let text = written(head, |h| {
        format!("{},{},{},{},{:.2},-999", h.starts.format("%Y,%-m,%-d"), h.starts.hour(), h.t, h.rh, h.hpa / 10.0)
    });
    let reading = same("power", text.as_bytes(), "nasa power csv", true, 1e-5);
    assert_eq!(reading.station.longitude, Some(-119.7));
    assert_eq!(reading.station.elevation_m, Some(102.0));
    assert!(reading.rows.iter().all(|row| row.global_horizontal_w_per_m2.is_none()));
}

#[test]
fn open_meteo() {
    let head = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n\
        36.77,-119.7,102.0,-25200,America/Los_Angeles,PDT\n\n\
        time,temperature_2m (°C),relative_humidity_2m (%),dew_point_2m (°C),apparent_temperature (°C),\
        pressure_msl (hPa),surface_pressure (hPa),wind_speed_10m (km/h),shortwave_radiation (W/m²)\n";
    let text = written(head, |h| {
        format!("{},{},{},{},-40,1020.0,{},7.2,12", h.starts.format("%Y-%m-%dT%H:%M"), h.t, h.rh, h.dew, h.hpa)
    });
    let reading = same("open-meteo", text.as_bytes(), "open-meteo csv", true, 1e-9);
    assert_eq!(reading.clock_offset_minutes, Some(-420));
    assert_eq!(reading.station.utc_offset_minutes, Some(-480));
    assert_eq!(reading.rows[0].wind_m_per_s, Some(2.0));
}

#[test]
fn a_pvgis_series_has_no_humidity_and_says_so() {
    let head = "Latitude (decimal degrees):\t45.000\nLongitude (decimal degrees):\t8.000\nElevation (m):\t250\n\
        Radiation database:\tPVGIS-SARAH3\n\nSlope: 0 deg.\n\ntime,G(i),H_sun,T2m,WS10m,Int\n";
    let text = written(head, |h| format!("{},0.0,0.0,{},1.2,0.0", h.starts.format("%Y%m%d:%H10"), h.t))
        + "\nG(i): Global irradiance on the inclined plane (plane of the array) (W/m2)\nT2m: 2-m air temperature\n";
    let reading = read_bytes("series", text.as_bytes()).expect("a reading");
    assert_eq!(reading.format.name(), "pvgis series csv");
    assert_eq!(reading.rows.len(), 504);
    assert_eq!(reading.station.elevation_m, Some(250.0));
    assert!(reading.problems.iter().any(|p| p.code == "humidity.absent"));
    assert_eq!(heat(&reading), 0.0);
}

/// Tables of services, loggers and spreadsheets, all of the same weather. The tolerance is that of the digits
/// written.
#[test]
#[allow(clippy::too_many_lines)] // a list of tables
fn any_table_gives_the_same_heat() {
    let comma = |value: f64| format!("{value}").replace('.', ",");
    let fahrenheit = |c: f64| c * 1.8 + 32.0;
    let cases: Vec<(&str, Vec<u8>, bool, f64)> = vec![
        (
            "semicolon, decimal comma, preamble, Latin-1, repeated header",
            {
                let head = "Wetterstation: Musterfeld\r\nH\u{f6}he: 102\r\n\r\nDatum;Uhrzeit;Temperatur [\u{b0}C];\
                    rel. Feuchte [%];Luftdruck [hPa]\r\n";
                let text = written(head, |h| {
                    let repeated = if h.starts.hour() == 0
                        && h.starts.format("%d").to_string() == "20"
                    {
                        "Datum;Uhrzeit;Temperatur [\u{b0}C];rel. Feuchte [%];Luftdruck [hPa]\r\n"
                    } else {
                        ""
                    };
                    format!(
                        "{repeated}{};{};{};{};{};\r",
                        h.starts.format("%d.%m.%Y"),
                        h.starts.format("%H:%M"),
                        comma(h.t),
                        comma(h.rh),
                        comma(h.hpa)
                    )
                });
                text.chars()
                    .map(|c| u8::try_from(u32::from(c)).expect("Latin-1"))
                    .collect()
            },
            true,
            1e-9,
        ),
        (
            "UTF-16 with its mark, tabs, units in a row of their own",
            {
                let head = "Date Time\tAir Temp\tRel Hum\tBaro\n\t°F\t%\tinHg\n";
                let text = written(head, |h| {
                    format!(
                        "{}\t{:.2}\t{}\t{:.3}",
                        h.starts.format("%m/%d/%Y %I:%M %p"),
                        fahrenheit(h.t),
                        h.rh,
                        h.hpa / 33.86389
                    )
                });
                let wide = text.encode_utf16().flat_map(u16::to_le_bytes);
                [0xff, 0xfe].into_iter().chain(wide).collect()
            },
            true,
            5e-5,
        ),
        (
            "kelvin and pascal, month names, quoted cells",
            written(
                "\"when\",\"air temperature\",\"relative humidity\",\"surface pressure\"\n",
                |h| {
                    format!(
                        "\"{}\",\"{:.2}\",\"{}\",\"{}\"",
                        h.starts.format("%d-%b-%Y %H:%M"),
                        h.t + 273.15,
                        h.rh,
                        h.hpa * 100.0
                    )
                },
            )
            .into_bytes(),
            true,
            1e-6,
        ),
        (
            "hour ending 24:00 in a column of its own",
            written("Date,Hour,T (C),RH (%)\n", |h| {
                format!(
                    "{},{}:00,{},{}",
                    h.starts.format("%Y/%m/%d"),
                    h.starts.hour() + 1,
                    h.t,
                    h.rh
                )
            })
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "seconds since 1970",
            written("timestamp;temp;rh\n", |h| {
                format!("{};{};{}", h.starts.and_utc().timestamp(), h.t, h.rh)
            })
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "statistics beside the value",
            written(
                "Time,Temp Max (°C),Temp Min (°C),Temp Avg (°C),Hum Max (%),Hum Avg (%)\n",
                |h| {
                    format!(
                        "{},{},{},{},{},{}",
                        h.starts.format("%Y-%m-%d %H:%M:%S"),
                        h.t + 2.0,
                        h.t - 2.0,
                        h.t,
                        (h.rh + 5.0).min(100.0),
                        h.rh
                    )
                },
            )
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "year, month, day and hour apart, °F by agreement with humidity",
            written("yr,mo,dy,hr,temp,dewpoint,humidity\n", |h| {
                format!(
                    "{},{},{:.1},{:.1},{}",
                    h.starts.format("%Y,%m,%d"),
                    h.starts.hour(),
                    fahrenheit(h.t),
                    fahrenheit(h.dew),
                    h.rh
                )
            })
            .into_bytes(),
            false,
            5e-5,
        ),
        (
            "blanks, solid times",
            written("yyyymmddhh  t2m  rh\n", |h| {
                format!("{}  {:>6}  {:>5}", h.starts.format("%Y%m%d%H"), h.t, h.rh)
            })
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "ISO times with an offset, mac line ends",
            written("datetime,temperature_c,humidity_pct\n", |h| {
                format!(
                    "{}-08:00,{},{}",
                    h.starts.format("%Y-%m-%dT%H:%M:%S"),
                    h.t,
                    h.rh
                )
            })
            .replace('\n', "\r")
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "a synoptic archive: tenths of °C and hPa, hours 1 to 24, rain called RH",
            written(
                "# T : temperature (in 0.1 degrees)\n# STN,YYYYMMDD,   HH,   DD,    T,   TD,   RH,    P,   U\n\n",
                |h| {
                    format!(
                        "  260,{},{:5},  240,{:5.0},{:5.0},   -1,{:5.0},{:4.0}",
                        h.starts.format("%Y%m%d"),
                        h.starts.hour() + 1,
                        h.t * 10.0,
                        h.dew * 10.0,
                        h.hpa * 10.0,
                        h.rh
                    )
                },
            )
            .into_bytes(),
            true,
            1e-6,
        ),
        (
            "two sets of time columns, the second in standard time, flags beside the values",
            written(
                "hm,Year Month Day Hour Minutes in YYYY,MM,DD,HH24,MI format in Local time,Year Month Day Hour Minutes in \
                 YYYY,MM,DD,HH24,MI format in Local standard time,Rain since 9am in mm,Air Temperature in degrees C,Quality of \
                 air temperature,Relative humidity in percentage %,Station level pressure in hPa,#\n",
                |h| {
                    let wall = h.starts + TimeDelta::hours(1);
                    format!(
                        "hm,{},{},   0.0, {},N, {}, {},#",
                        wall.format("%Y,%m,%d,%H,%M"),
                        h.starts.format("%Y,%m,%d,%H,%M"),
                        h.t,
                        h.rh,
                        h.hpa
                    )
                },
            )
            .into_bytes(),
            true,
            1e-9,
        ),
        (
            "a weather station at home: indoors, highs and lows, two-digit years",
            written(
                "Date & Time,In Temp - °C,In Hum - %,Temp - °C,High Temp - °C,Low Temp - °C,Hum - %,Barometer - mb\n",
                |h| {
                    format!(
                        "{},25,40,{},{},{},{},{}",
                        h.starts.format("%d/%m/%y %H:%M"),
                        h.t,
                        h.t + 1.0,
                        h.t - 1.0,
                        h.rh,
                        h.hpa
                    )
                },
            )
            .into_bytes(),
            true,
            1e-9,
        ),
        (
            "the day of the year, hours as 100 to 2400",
            written("Year,DOY,Hour,Air Temp (C),RH (%)\n", |h| {
                format!(
                    "{},{},{},{}",
                    h.starts.format("%Y,%j"),
                    (h.starts.hour() + 1) * 100,
                    h.t,
                    h.rh
                )
            })
            .into_bytes(),
            false,
            1e-9,
        ),
        (
            "vapour by dew point, kPa",
            written("time|TMP degC|DEWPOINT degC|PRES kPa\n", |h| {
                let dew =
                    dryledger::air::MoistAir::from_relative_humidity(h.t, h.rh / 100.0, 101_325.0)
                        .ok()
                        .and_then(|air| air.dew_point_c())
                        .expect("a dew point");
                format!(
                    "{}|{}|{:.3}|{:.2}",
                    h.starts.format("%Y-%m-%d %H:%M"),
                    h.t,
                    dew,
                    h.hpa / 10.0
                )
            })
            .into_bytes(),
            true,
            1e-4,
        ),
    ];
    for (name, bytes, with_pressure, tolerance) in cases {
        let reading = same(name, &bytes, "csv", with_pressure, tolerance);
        // The proposed block, given back as an explicit map, reads the same.
        let block = reading.column_map.as_ref().expect("a guessed map").to_toml();
        let table: toml::Table = block.parse().expect("TOML");
        let pairs = table["weather"]["columns"]
            .as_table()
            .expect("a block")
            .iter()
            .map(|(key, value)| (key.as_str(), value.as_str().expect("a text")));
        let map = ColumnMap::from_keys(pairs).unwrap_or_else(|error| panic!("{name}: {error}"));
        let again = read_bytes_with(name, &bytes, &map).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!((heat(&again) / heat(&reading) - 1.0).abs() < 1e-12, "{name}");
        assert_eq!(again.rows[0].starts, reading.rows[0].starts, "{name}");
    }
}

/// Columns in another unit than their header says, exchanged, or shifted by a decimal comma: refused, because
/// every figure would be wrong and plausible.
#[test]
fn tables_that_contradict_themselves_are_refused() {
    let refused = |text: &str| read_bytes("table", text.as_bytes()).expect_err(text).to_string();
    let fahrenheit = written("time,temp_c,dew_point_c,rh\n", |h| {
        format!("{},{:.1},{:.1},{}", h.starts.format("%Y-%m-%d %H:%M"), h.t * 1.8 + 32.0, h.dew * 1.8 + 32.0, h.rh)
    });
    assert!(refused(&fahrenheit).contains("°F"));
    let exchanged = written("time,temp_c,dew_point_c,rh\n", |h| {
        format!("{},{},{},{}", h.starts.format("%Y-%m-%d %H:%M"), h.dew, h.t, h.rh)
    });
    assert!(refused(&exchanged).contains("swapped"));
    let shifted = written("time,temp_c,rh\n", |h| {
        format!("{},{:.1},{:.1}", h.starts.format("%Y-%m-%d %H:%M"), h.t, h.rh).replace('.', ",")
    });
    assert!(refused(&shifted).contains("decimal comma"));
    let one_shifted = written("time,temp_c,rh\n", |h| {
        let text = format!("{:.1},{:.1}", h.t, h.rh);
        let noon = h.starts.hour() == 0;
        format!("{},{}", h.starts.format("%Y-%m-%d %H:%M"), if noon { text.replace('.', ",") } else { text })
    });
    let reading = read_bytes("table", one_shifted.as_bytes()).expect("a reading");
    assert_eq!(reading.rows.len(), 504 - 21);
    assert!(reading.problems.iter().any(|p| p.code == "row.unreadable"));
}

/// Half-hourly rows count half, three-hourly ones threefold.
#[test]
fn rows_count_by_their_step() {
    let half: String = hours().iter().fold("time,temp_c,rh_pct\n".to_owned(), |mut text, h| {
        for minute in [0, 30] {
            let time = h.starts + TimeDelta::minutes(minute);
            let _ = writeln!(text, "{},{},{}", time.format("%Y-%m-%d %H:%M"), h.t, h.rh);
        }
        text
    });
    let reading = same("half-hourly", half.as_bytes(), "csv", false, 1e-12);
    assert_eq!(reading.step_minutes, 30);
    let third: String = hours().iter().step_by(3).fold("time,temp_c,rh_pct\n".to_owned(), |mut text, h| {
        let _ = writeln!(text, "{},{},{}", h.starts.format("%Y-%m-%d %H:%M"), h.t, h.rh);
        text
    });
    let reading = same("three-hourly", third.as_bytes(), "csv", false, 0.02);
    assert_eq!(reading.step_minutes, 180);
    // Reports at any minute, and special ones between: an hour's rows share it.
    let reports = hours().iter().fold("time,temp_c,rh_pct\n".to_owned(), |mut text, h| {
        let minutes: &[i64] = if h.starts.hour() % 3 == 0 { &[7, 31, 52] } else { &[11] };
        for minute in minutes {
            let time = h.starts + TimeDelta::minutes(*minute);
            let _ = writeln!(text, "{},{},{}", time.format("%Y-%m-%d %H:%M"), h.t, h.rh);
        }
        text
    });
    let reading = same("reports", reports.as_bytes(), "csv", false, 1e-9);
    assert_eq!((reading.hours_expected, reading.hours_absent), (504, 0));
    let daily = hours().iter().step_by(24).fold("time,dry_bulb_c,relative_humidity_pct\n".to_owned(), |mut text, h| {
        let _ = writeln!(text, "{},{},{}", h.starts.format("%Y-%m-%d %H:%M"), h.t, h.rh);
        text
    });
    let refused = read_bytes("daily", daily.as_bytes()).expect_err("days are no hours").to_string();
    assert!(refused.contains("24 hours apart"), "{refused}");
}

/// A wall clock with daylight saving: by its pair of changed hours, by a named zone.
#[test]
fn wall_clocks_come_back_to_standard_time() {
    // Clocks of this zone went forward on 12 March 2023 at 2 h; take a file with both changes of a year.
    let zone = chrono_tz::America::Los_Angeles;
    let start = NaiveDate::from_ymd_opt(2023, 2, 1).expect("a date");
    let mut wall = String::from("local time,temp_c,rh_pct\n");
    let hours = 300 * 24;
    for at in 0..hours {
        let standard = NaiveDateTime::from(start) + TimeDelta::hours(at);
        let utc = (standard + TimeDelta::hours(8)).and_utc();
        let local = utc.with_timezone(&zone).naive_local();
        // A temperature that tells the hour, so that no two rows are equal.
        let _ = writeln!(
            wall,
            "{},{:.2},50",
            local.format("%Y-%m-%d %H:%M"),
            10.0 + f64::from(i32::try_from(at % 24).expect("small")) / 4.0
        );
    }
    let by_pair = read_bytes("wall", wall.as_bytes()).expect("a reading");
    let block = "[weather.columns]\ntime = \"local time\"\nzone = \"America/Los_Angeles\"\ndry_bulb = \"temp_c\"\n\
        relative_humidity = \"rh_pct\"\n";
    let table: toml::Table = block.parse().expect("TOML");
    let map = ColumnMap::from_keys(
        table["weather"]["columns"]
            .as_table()
            .expect("a block")
            .iter()
            .map(|(key, value)| (key.as_str(), value.as_str().expect("a text"))),
    )
    .expect("a map");
    let by_zone = read_bytes_with("wall", wall.as_bytes(), &map).expect("a reading");
    for (name, reading) in [("pair", by_pair), ("zone", by_zone)] {
        assert_eq!(reading.rows.len(), usize::try_from(hours).expect("positive"), "{name}");
        assert_eq!(reading.hours_absent, 0, "{name}: {:#?}", reading.problems);
        for (row, at) in reading.rows.iter().zip(0..) {
            assert_eq!(row.starts, NaiveDateTime::from(start) + TimeDelta::hours(at), "{name}");
        }
    }
}

/// Extracts of public-domain files against sums computed with `PsychroLib` by the script beside them.
/// Tolerance 0.01 %.
#[test]
fn extracts_of_public_files() {
    let mut table = csv::Reader::from_path(data("weather/heat_of_extracts.csv")).expect("the table");
    let mut compared = 0;
    for record in table.records() {
        let record = record.expect("a record");
        let number = |at: usize| -> f64 { record[at].parse().expect("a number") };
        let reading = read(&data(&format!("weather/{}", &record[0]))).expect("the file");
        for (to_c, column) in [(40.0, 3), (50.0, 4), (60.0, 5)] {
            let sum = heat_of_reading(&reading, to_c, Some(number(1)), None);
            assert!((sum.hours() - number(2)).abs() < 1e-9, "{}: {} h", &record[0], sum.hours());
            let found = sum.heat_kwh_per_kg_per_s();
            assert!(
                (found / number(column) - 1.0).abs() < 1e-4,
                "{} to {to_c}: {found} against {}",
                &record[0],
                number(column)
            );
            compared += 1;
        }
    }
    assert_eq!(compared, 12);
}
