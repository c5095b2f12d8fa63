//! The map: one column a day, one row an hour, coloured by class.

use super::band::Band;
use super::scale::Scale;
use crate::number::fixed;
use crate::page::kit::document::escape;
use crate::page::kit::months;
use crate::weather::Hour;
use chrono::{Datelike, Timelike};
use std::fmt::Write as _;

/// What a map shows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shown {
    DryBulb,
    RelativeHumidity,
}

impl Shown {
    fn of(self, hour: &Hour) -> f64 {
        match self {
            Self::DryBulb => hour.air.dry_bulb_c(),
            Self::RelativeHumidity => hour.air.relative_humidity() * 100.0,
        }
    }

    fn heading(self) -> &'static str {
        match self {
            Self::DryBulb => "Dry-bulb temperature",
            Self::RelativeHumidity => "Relative humidity",
        }
    }

    fn unit(self) -> &'static str {
        match self {
            Self::DryBulb => "°C",
            Self::RelativeHumidity => "%",
        }
    }

    fn scale(self, hours: &[Hour]) -> Scale {
        match self {
            Self::DryBulb => {
                let values = hours.iter().map(|hour| self.of(hour));
                let lowest = values.clone().fold(f64::INFINITY, f64::min);
                Scale::of_temperatures(lowest, values.fold(f64::NEG_INFINITY, f64::max))
            }
            Self::RelativeHumidity => Scale::of_humidity(),
        }
    }

    /// Words for the low and the high end.
    fn ends(self) -> (&'static str, &'static str) {
        match self {
            Self::DryBulb => ("Coolest", "warmest"),
            Self::RelativeHumidity => ("Driest", "dampest"),
        }
    }
}

/// Heading, one map a band, key and caption.
pub(super) fn section(html: &mut String, shown: Shown, hours: &[Hour], bands: &[Band]) {
    let drawn: &[Hour] = match (bands.first(), bands.last()) {
        (Some(first), Some(last)) => &hours[first.range.start..last.range.end],
        _ => return,
    };
    let scale = shown.scale(drawn);
    let _ = writeln!(html, "<section>\n<h2>{}</h2>\n<figure>", shown.heading());
    for band in bands {
        if bands.len() > 1 || band.label.contains(' ') {
            let _ = writeln!(html, "<h3>{}</h3>", escape(&band.label));
        }
        one_band(html, shown, &scale, &hours[band.range.clone()], band);
    }
    key(html, &scale, drawn, bands);
    let _ = writeln!(html, "<figcaption>{}</figcaption>\n</figure>\n</section>", caption(shown, drawn));
}

fn one_band(html: &mut String, shown: Shown, scale: &Scale, hours: &[Hour], band: &Band) {
    let mut cells = vec![[None::<usize>; 24]; band.days];
    let mut mended = vec![[false; 24]; band.days];
    for hour in hours {
        let cell = band.cell(hour.starts);
        cells[cell.day][cell.hour] = Some(scale.class_of(shown.of(hour)));
        mended[cell.day][cell.hour] = hour.mended;
    }
    let id = format!("{}{}", shown.heading().replace(' ', ""), band.range.start);
    html.push_str("<div class=\"map\">\n<div class=\"clock\" aria-hidden=\"true\">");
    for (hour, top) in [(0, 2), (6, 25), (12, 50), (18, 75), (24, 98)] {
        let _ = write!(html, "<span style=\"top:{top}%\">{hour} h</span>");
    }
    let _ = write!(
        html,
        "</div>\n<svg viewBox=\"0 0 {days} 24\" preserveAspectRatio=\"none\" role=\"img\" \
             aria-labelledby=\"{id}t {id}d\">\n<title id=\"{id}t\">{heading} by hour and day, {label}</title>\n\
             <desc id=\"{id}d\">{caption} One column a day from January to December, one row an hour from \
             midnight at the top.</desc>\n",
        days = band.days,
        heading = shown.heading(),
        label = escape(&band.label),
        caption = caption(shown, hours)
    );
    for class in 0..scale.len() {
        let runs = runs_where(&cells, |cell| *cell == Some(class));
        if !runs.is_empty() {
            let _ = writeln!(html, "<path class=\"{}\" d=\"{runs}\"/>", scale.css(class));
        }
    }
    let runs = runs_where(&mended, |is| *is);
    if !runs.is_empty() {
        let _ = write!(html, "<path class=\"halo\" d=\"{runs}\"/>\n<path class=\"hours\" d=\"{runs}\"/>\n");
    }
    html.push_str("</svg>\n");
    record(html, band, hours, &cells, &mended);
    let _ = write!(
        html,
        "<div class=\"months\" aria-hidden=\"true\" style=\"grid-template-columns:{}\">",
        band.month_lengths().map(|days| format!("minmax(0,{days}fr)")).join(" ")
    );
    for month in (1..=12).map(months::short) {
        let _ = write!(html, "<span>{}<i>{}</i></span>", &month[..1], &month[1..]);
    }
    html.push_str("</div>\n</div>\n");
}

/// A strip below the map: days with mended hours solid, days with missing hours hatched.
fn record(html: &mut String, band: &Band, hours: &[Hour], cells: &[[Option<usize>; 24]], mended: &[[bool; 24]]) {
    let (Some(first), Some(last)) = (hours.first(), hours.last()) else {
        return;
    };
    let within = band.cell(first.starts).day..=band.cell(last.starts).day;
    let mut marks = [String::new(), String::new()];
    let mut counts = [0, 0];
    for day in within {
        let is = [cells[day].iter().any(Option::is_none) && !is_end(band, hours, day), mended[day].contains(&true)];
        for ((mark, count), is) in marks.iter_mut().zip(&mut counts).zip(is) {
            if is {
                *count += 1;
                let _ = write!(mark, "M{day}.5,0v1");
            }
        }
    }
    if counts == [0, 0] {
        return;
    }
    let _ = writeln!(
        html,
        "<div></div><svg class=\"strip\" viewBox=\"0 0 {} 1\" preserveAspectRatio=\"none\" role=\"img\">\
             <title>Days with missing hours: {}; with mended hours: {}</title>\
             <path class=\"missing\" d=\"{}\"/><path class=\"mended\" d=\"{}\"/></svg>",
        band.days, counts[0], counts[1], marks[0], marks[1]
    );
}

/// The first or last day of the hours, which may rightly be a part of a day.
fn is_end(band: &Band, hours: &[Hour], day: usize) -> bool {
    let ends = [hours.first(), hours.last()];
    ends.iter().flatten().any(|hour| band.cell(hour.starts).day == day)
}

/// Vertical runs of cells that satisfy this, as a path of strokes one day wide.
fn runs_where<T>(cells: &[[T; 24]], holds: impl Fn(&T) -> bool) -> String {
    let mut path = String::new();
    for (day, column) in cells.iter().enumerate() {
        let mut hour = 0;
        while hour < 24 {
            let length = column[hour..].iter().take_while(|cell| holds(cell)).count();
            if length > 0 {
                let _ = write!(path, "M{day}.5,{hour}v{length}");
            }
            hour += length.max(1);
        }
    }
    path
}

fn key(html: &mut String, scale: &Scale, hours: &[Hour], bands: &[Band]) {
    html.push_str("<ul class=\"key\">\n");
    for (css, words) in scale.key() {
        let _ = writeln!(html, "<li><i class=\"{css}\"></i>{words}</li>");
    }
    let whole = bands.iter().map(|band| band.days * 24).sum::<usize>();
    if hours.len() < whole {
        html.push_str("<li><i class=\"missing\"></i>no hour</li>\n");
    }
    if hours.iter().any(|hour| hour.mended) {
        html.push_str("<li><i class=\"mended\"></i>mended hour (line in the map, mark below it)</li>\n");
    }
    html.push_str("</ul>\n");
}

/// What to see: the hour and month in which the mean is lowest and highest.
fn caption(shown: Shown, hours: &[Hour]) -> String {
    let mut sums = [[(0.0, 0.0); 24]; 12];
    for hour in hours {
        let sum = &mut sums[hour.starts.month0() as usize][hour.starts.hour() as usize];
        sum.0 += shown.of(hour);
        sum.1 += 1.0;
    }
    let means = || {
        (1..).zip(&sums).flat_map(|(month, row)| {
            row.iter()
                .enumerate()
                .filter(|(_, (_, count))| *count > 0.0)
                .map(move |(hour, (sum, count))| (sum / count, month, hour))
        })
    };
    let (Some(low), Some(high)) =
        (means().min_by(|a, b| a.0.total_cmp(&b.0)), means().max_by(|a, b| a.0.total_cmp(&b.0)))
    else {
        return String::new();
    };
    let (lowest, highest) = shown.ends();
    let says = |(mean, month, hour): (f64, u32, usize)| {
        format!(
            "in {} from {hour} to {} h, {} {} on average",
            months::name(month),
            hour + 1,
            fixed(mean, 0),
            shown.unit()
        )
    };
    format!("{lowest} {}; {highest} {}.", says(low), says(high))
}
