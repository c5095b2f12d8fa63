use super::*;
use crate::air::MoistAir;
use chrono::{NaiveDate, TimeDelta};

fn hours(from: (i32, u32, u32), count: i64) -> Vec<Hour> {
    let first = NaiveDate::from_ymd_opt(from.0, from.1, from.2).unwrap().and_hms_opt(0, 0, 0).unwrap();
    (0..count)
        .map(|k| {
            let clock = (k % 24) as f64;
            let dry_bulb_c = 15.0 - 6.0 * (clock / 24.0 * std::f64::consts::TAU).cos();
            Hour {
                starts: first + TimeDelta::hours(k),
                air: MoistAir::from_relative_humidity(dry_bulb_c, 0.6, 95_000.0).unwrap(),
                global_horizontal_w_per_m2: None,
                wind_m_per_s: None,
                mended: false,
            }
        })
        .collect()
}

fn subject() -> Subject {
    Subject { title: "A <site> & \"station\"".to_owned(), ..Subject::default() }
}

#[test]
fn the_page_stands_alone_and_escapes_what_it_is_given() {
    let html = weather_page(&subject(), &hours((2031, 1, 1), 8760));
    for banned in ["http", "<script", "url(", "NaN", "inf", "\u{2212}0<", "<site>", "{"] {
        let body = html.split("</style>").last().unwrap();
        assert!(!body.contains(banned), "{banned}");
    }
    assert!(!html.contains("http") && html.contains("A &lt;site&gt; &amp; &quot;station&quot;"));
    assert!(html.contains("lang=\"en\"") && html.contains("<title id=") && html.contains("<desc id="));
    assert_eq!(html, weather_page(&subject(), &hours((2031, 1, 1), 8760)));
}

#[test]
fn missing_and_mended_hours_are_counted_and_marked() {
    let mut series = hours((2031, 1, 1), 8760);
    series[100].mended = true;
    series.drain(4000..4030);
    let html = weather_page(&subject(), &series);
    assert!(html.contains("<dt>Missing</dt><dd>30 h</dd>"));
    assert!(html.contains("<dt>Mended</dt><dd>1 h</dd>"));
    assert!(html.contains("missing hours: 2; with mended hours: 1<") && html.contains("no hour"));
    assert!(html.contains("class=\"hours\" d=\"M4.5,4v1\""));
    let whole = weather_page(&subject(), &hours((2031, 1, 1), 8760));
    assert!(whole.contains("<dt>Missing</dt><dd>none</dd>") && !whole.contains("no hour"));
}

#[test]
fn years_are_bands_and_a_typical_year_is_one() {
    let two_years = hours((2031, 7, 1), 8784);
    let bands = band::in_hours(&two_years);
    assert_eq!(
        bands.iter().map(|band| (band.label.as_str(), band.days)).collect::<Vec<_>>(),
        [("2031", 365), ("2032", 366)]
    );
    // January of 1994 followed by February of 1998: whole months of different years.
    let mut typical = hours((1994, 1, 1), 31 * 24);
    typical.extend(hours((1998, 2, 1), 28 * 24));
    let bands = band::in_hours(&typical);
    assert_eq!(bands.len(), 1);
    assert_eq!(bands[0].label, "months of 1994 to 1998");
    assert_eq!(bands[0].missing_hours(), 0);
    // A hole of a year and a half is not a typical year.
    let mut holed = hours((2010, 1, 1), 1000);
    holed.extend(hours((2012, 5, 3), 1000));
    assert_eq!(band::in_hours(&holed).len(), 2);
}

#[test]
fn a_typical_year_is_called_so_whatever_its_date() {
    let typical = Subject { typical_year: true, ..subject() };
    let html = weather_page(&typical, &hours((2001, 1, 1), 8760));
    assert!(html.contains("<h3>typical year</h3>") && !html.contains("2001"));
}

#[test]
fn an_empty_series_says_so() {
    let html = weather_page(&subject(), &[]);
    assert!(html.contains("no hours to draw") && !html.contains("<svg"));
}

#[test]
fn classes_of_temperature_cover_the_range_with_round_limits() {
    let scale = scale::Scale::of_temperatures(-2.4, 36.9);
    assert_eq!(scale.class_of(-2.4), 0);
    assert_eq!(scale.class_of(36.9), scale.len() - 1);
    assert!((6..=9).contains(&scale.len()));
    let words: Vec<String> = scale.key().map(|(_, words)| words).collect();
    assert_eq!(words[0], "below 0 °C");
    assert_eq!(words[1], "0 to 5");
    assert_eq!(scale::Scale::of_temperatures(20.0, 20.0).len(), 1);
}
