//! The months in figures.

use super::band::Band;
use super::counted;
use crate::number::fixed;
use crate::page::kit;
use crate::weather::Hour;
use chrono::{Datelike, NaiveDate};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Humidity at and above which the air is counted as damp (fraction).
const DAMP: f64 = 0.90;

/// Running sums of a month, or of all.
#[derive(Default)]
struct Sums {
    hours: usize,
    mended: usize,
    damp: usize,
    dry_bulb_c: f64,
    relative_humidity: f64,
    humidity_ratio: f64,
    sun: Mean,
    wind: Mean,
    /// Lowest and highest of each day.
    days: BTreeMap<NaiveDate, (f64, f64)>,
}

#[derive(Default)]
struct Mean {
    sum: f64,
    count: usize,
}

impl Mean {
    fn add(&mut self, value: Option<f64>) {
        if let Some(value) = value {
            self.sum += value;
            self.count += 1;
        }
    }

    fn get(&self) -> Option<f64> {
        (self.count > 0).then(|| self.sum / self.count as f64)
    }
}

impl Sums {
    fn add(&mut self, hour: &Hour) {
        let dry_bulb_c = hour.air.dry_bulb_c();
        let relative_humidity = hour.air.relative_humidity();
        self.hours += 1;
        self.mended += usize::from(hour.mended);
        self.damp += usize::from(relative_humidity >= DAMP);
        self.dry_bulb_c += dry_bulb_c;
        self.relative_humidity += relative_humidity;
        self.humidity_ratio += hour.air.humidity_ratio();
        self.sun.add(hour.global_horizontal_w_per_m2);
        self.wind.add(hour.wind_m_per_s);
        let day = self.days.entry(hour.starts.date()).or_insert((dry_bulb_c, dry_bulb_c));
        *day = (day.0.min(dry_bulb_c), day.1.max(dry_bulb_c));
    }

    /// The cells of a row; no figure where there is nothing to take it from.
    fn cells(&self) -> Vec<String> {
        let count = self.hours as f64;
        let days = self.days.len() as f64;
        let mean = |sum: f64, decimals: usize| {
            if self.hours == 0 { "\u{2013}".to_owned() } else { fixed(sum, decimals) }
        };
        let low = self.days.values().map(|day| day.0).sum::<f64>() / days;
        let high = self.days.values().map(|day| day.1).sum::<f64>() / days;
        let optional =
            |value: Option<f64>, decimals| value.map_or_else(|| "\u{2013}".to_owned(), |value| fixed(value, decimals));
        vec![
            mean(low, 1),
            mean(self.dry_bulb_c / count, 1),
            mean(high, 1),
            mean(100.0 * self.relative_humidity / count, 0),
            mean(1000.0 * self.humidity_ratio / count, 1),
            mean(100.0 * self.damp as f64 / count, 0),
            optional(self.sun.get().map(|w| 0.024 * w), 2),
            optional(self.wind.get(), 1),
            counted(self.hours),
            counted(self.mended),
        ]
    }
}

/// Heading and table.
pub(super) fn section(html: &mut String, hours: &[Hour], bands: &[Band]) {
    let mut months: [Sums; 12] = Default::default();
    let mut all = Sums::default();
    for hour in hours {
        months[hour.starts.month0() as usize].add(hour);
        all.add(hour);
    }
    let over = if bands.len() > 1 { format!(" over {} years", bands.len()) } else { String::new() };
    let _ = write!(
        html,
        "<section class=\"table\">\n<h2 id=\"months\">Month by month</h2>\n\
             <p id=\"means\">Means{over}; lowest and highest are means of each day's own. Damp: share of hours \
             at 90 % and above.</p>\n\
             <div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-labelledby=\"months\">\n\
             <table aria-labelledby=\"months\" aria-describedby=\"means\">\n<thead>\n<tr>"
    );
    for heading in [
        "Month",
        "Lowest<br>°C",
        "Mean<br>°C",
        "Highest<br>°C",
        "Humidity<br>%",
        "Water in air<br>g/kg",
        "Damp<br>%",
        "Irradiation<br>kWh/m² day",
        "Wind<br>m/s",
        "Hours",
        "Mended",
    ] {
        let _ = write!(html, "<th scope=\"col\">{heading}</th>");
    }
    html.push_str("</tr>\n</thead>\n<tbody>\n");
    for (month, sums) in (1..).zip(&months) {
        row(html, kit::months::short(month), sums);
    }
    html.push_str("</tbody>\n<tfoot>\n");
    row(html, "All", &all);
    html.push_str("</tfoot>\n</table>\n</div>\n</section>\n");
}

fn row(html: &mut String, name: &str, sums: &Sums) {
    let _ = write!(html, "<tr><th scope=\"row\">{name}</th>");
    for cell in sums.cells() {
        let _ = write!(html, "<td>{cell}</td>");
    }
    html.push_str("</tr>\n");
}
