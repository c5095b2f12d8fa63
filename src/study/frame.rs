//! `[study]`, `[site]`, `[weather]` and `[season]`: the frame of the question.

use super::columns;
use super::companions::Companions;
use super::costs::Options;
use super::cursor::Cursor;
use super::field::Field;
use super::weather_ask::WeatherAsk;
use crate::money::Currency;
use crate::number::{NumberWriting, Reader, Units};
use crate::problem::meant_or;
use crate::weather::solar::Place;
use crate::weather::{MonthDay, SeasonWindow, Spot};
use chrono::NaiveDate;
use std::fmt;
use std::str::FromStr;

/// Where the plant stands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Site {
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// Above sea level, m; sea level where none is given.
    pub altitude_m: f64,
    /// The same, only if it was given.
    pub given_altitude_m: Option<f64>,
    /// Local standard time ahead of UTC, h.
    pub utc_offset_h: Option<f64>,
}

impl Site {
    /// What is said of it, to be held beside the weather's.
    pub(crate) fn spot(&self) -> Spot {
        Spot {
            latitude: self.latitude,
            longitude: self.longitude,
            altitude_m: self.given_altitude_m,
            utc_offset_h: self.utc_offset_h,
        }
    }

    /// Where the sun is seen from, if the study says.
    pub(crate) fn place(&self) -> Option<Place> {
        Some(Place { latitude: self.latitude?, longitude: self.longitude?, utc_offset_h: self.utc_offset_h? })
    }
}

/// The frame as far as it could be read.
pub(super) struct Frame {
    pub title: Option<String>,
    pub baseline: Option<String>,
    pub is_screened: bool,
    pub currency: Option<Currency>,
    /// The day that the report is to bear; the day of the run where none is given.
    pub dated: Option<NaiveDate>,
    /// Who reads the report.
    pub reader: Reader,
    pub site: Site,
    pub weather: Option<WeatherAsk>,
    pub season: Option<SeasonWindow>,
    pub steps_per_hour: u32,
}

pub(super) fn read(root: &Cursor<'_>, companions: &dyn Companions) -> Frame {
    let study = root.table("study");
    let title = study.text("title").hint("say in a few words what is asked").required();
    let baseline = study.text("baseline").hint("name the option that savings are measured against").required();
    let currency = study
        .parsed::<Currency>("currency", "an ISO 4217 code such as USD")
        .hint("give the currency of all prices")
        .required();
    let dated = study
        .parsed::<NaiveDate>("dated", "a date such as 2031-06-30")
        .hint("give the day that the report is to bear; left out, it is the day of the run")
        .optional();
    let is_screened = study.yes_no("screening").default(
        true,
        "nobody prices a measure that he has not thought of; false leaves the standing list of measures untried",
    );
    let reader = read_reader(&study);
    study.finish();

    let (weather, season) = (read_weather(root), read_season(root));
    Frame {
        title,
        baseline,
        is_screened,
        currency,
        dated,
        reader,
        site: read_site(root, weather.as_ref(), companions),
        weather,
        season: season.0,
        steps_per_hour: season.1,
    }
}

/// Who reads the report. What it is told in is no assumption of it: a default is not among the inputs.
fn read_reader(study: &Cursor<'_>) -> Reader {
    let units = study
        .parsed::<Units>("units", Units::EXPECTED)
        .hint("say in which units the report is told; left out, it is in SI. Values may be given in any units all the same, and files hold SI")
        .optional()
        .unwrap_or_default();
    let numbers = study
        .parsed::<NumberWriting>("language_of_numbers", NumberWriting::EXPECTED)
        .hint("say how the report writes numbers; left out, it is 1 234.5, and 1,234.5 where units are those of the US. Files have plain numbers")
        .optional();
    Reader { units, numbers: numbers.unwrap_or_else(|| NumberWriting::usual_with(units)) }
}

/// What the study leaves out of its site is taken from the weather, unless that is of elsewhere.
fn read_site(root: &Cursor<'_>, ask: Option<&WeatherAsk>, companions: &dyn Companions) -> Site {
    let site = root.table("site");
    let keys = ["latitude", "longitude", "altitude_m", "utc_offset"];
    let told = ask
        .filter(|ask| ask.elsewhere.is_none())
        .filter(|_| keys.iter().any(|key| site.kind(key).is_none()))
        .map_or_else(Spot::default, |ask| companions.place_of_weather(ask));
    let latitude = or_told(site.number("latitude").unit("°").within(-90.0, 90.0), told.latitude);
    let longitude = or_told(site.number("longitude").unit("°").within(-180.0, 180.0), told.longitude);
    let is_given = site.kind("altitude_m").is_some();
    let altitude = site.number("altitude_m").unit("m").within(-430.0, 5500.0);
    let altitude_m = match told.altitude_m {
        Some(metres) => altitude.default(metres, OF_WEATHER),
        None => altitude
            .default(0.0, "sea level, where neither study nor weather file gives an altitude; it sets the density of the air that fans move"),
    };
    let offset = site.parsed::<UtcOffset>("utc_offset", "an offset such as +10:00");
    let utc_offset_h = or_told(offset, told.utc_offset_h.map(UtcOffset)).map(|offset| offset.0);
    site.finish();
    Site { latitude, longitude, altitude_m, given_altitude_m: is_given.then_some(altitude_m), utc_offset_h }
}

/// Where a default of the site comes from.
const OF_WEATHER: &str = "as the weather file says where it is of";

/// The value given, else the weather's.
fn or_told<T>(field: Field<'_, T>, told: Option<T>) -> Option<T> {
    match told {
        Some(told) => Some(field.default(told, OF_WEATHER)),
        None => field.optional(),
    }
}

/// Hours ahead of UTC, as `+10:00`.
struct UtcOffset(f64);

impl FromStr for UtcOffset {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let offset: chrono::FixedOffset =
            text.parse().map_err(|_| format!("`{text}` is not an offset such as +10:00"))?;
        Ok(Self(f64::from(offset.local_minus_utc()) / 3600.0))
    }
}

impl fmt::Display for UtcOffset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = (self.0.abs() * 60.0).round();
        let sign = if self.0 < 0.0 { '-' } else { '+' };
        write!(f, "{sign}{:02}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
    }
}

fn read_weather(root: &Cursor<'_>) -> Option<WeatherAsk> {
    let weather = root.table("weather");
    let files = weather
        .texts("files")
        .hint("name hourly weather files relative to the study, such as [\"weather/*.csv\"]")
        .when("at least one file", |files| !files.is_empty())
        .required();
    let max_gap_hours = weather
        .count("max_gap_hours")
        .unit("h")
        .within(0, 240)
        .default(6, "short gaps are interpolated in temperature and humidity ratio; longer ones are refused");
    let fill_long_gaps = weather.yes_no("fill_long_gaps").default(false, "long gaps are refused unless asked for");
    let warmer_by_k = weather
        .number("warmer_by_k")
        .unit("K")
        .within(-10.0, 10.0)
        .default(0.0, "the weather is that of the files; what is added keeps the relative humidity of every hour");
    let columns = columns::read(&weather);
    let elsewhere = weather.text("elsewhere").optional();
    weather.finish();
    Some(WeatherAsk { files: files?, max_gap_hours, fill_long_gaps, warmer_by_k, columns, elsewhere })
}

fn read_season(root: &Cursor<'_>) -> (Option<SeasonWindow>, u32) {
    let season = root.table("season");
    let day = "a day such as \"03-01\" (month-day)";
    let starts = season.parsed::<MonthDay>("starts", day).required();
    let ends = season.parsed::<MonthDay>("ends", day).required();
    let step_minutes = season
        .count("step_minutes")
        .unit("min")
        .when("60, 30, 20, 15 or 10", |minutes| [60, 30, 20, 15, 10].contains(minutes))
        .default(60, "one step an hour; halving it moves the season's energy by less than 1 %");
    season.finish();
    (starts.zip(ends).map(|(starts, ends)| SeasonWindow { starts, ends }), 60 / step_minutes)
}

impl Frame {
    /// Local standard time's distance from UTC, if the study gives it.
    pub(super) fn given_standard_time(&self) -> Option<chrono::FixedOffset> {
        let seconds = (self.site.utc_offset_h? * 3600.0).round();
        #[allow(clippy::cast_possible_truncation)] // within a day by its reading
        chrono::FixedOffset::east_opt(seconds as i32)
    }

    /// What prices are in, as it is shown beside them; `money` where the currency could not be read.
    pub(super) fn price_unit(&self) -> &'static str {
        self.currency.map_or("money", Currency::code)
    }

    /// The baseline must be one of the options.
    pub(super) fn check_baseline(&self, root: &Cursor<'_>, options: Option<&Options>) {
        let (Some(baseline), Some((heatings, _))) = (&self.baseline, options) else {
            return;
        };
        if heatings.iter().all(|heating| heating.name != *baseline) {
            let names: Vec<&str> = heatings.iter().map(|heating| heating.name.as_str()).collect();
            root.table("study").complain_of_stranger(
                "baseline",
                &format!("is \"{baseline}\", which no option is called"),
                &format!("one of {}", names.join(", ")),
                &meant_or(baseline, names.iter().copied(), "name an option, or add one of this name"),
            );
        }
    }
}
