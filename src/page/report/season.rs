//! The season: outside air, heat by day and by hour, nuts.

use super::carriers::Carriers;
use super::layers::layers;
use super::view::View;
use super::{crops, rooms};
use crate::answer::figures::{CourseFigures, GuardDays, HourFigures, SeasonFigures};
use crate::answer::hours::{day_name, moment};
use crate::number::{self, Measure, heat, percent, tonne, water};
use crate::page::chart::{BrokenDays, DayBands, DayHourMap, DayPanels, Days, Pen, StackedDays, StayCalendar};
use crate::page::kit::axis::{round_scale, tick_words};
use crate::page::kit::cell::Cell;
use crate::page::parts::{Figure, Head, Key, Of, Row, Table, below, counted, figure, half_figure, label};
use serde::Serialize;

/// The fourth section.
#[derive(Debug, Serialize)]
pub(super) struct Season {
    lead: String,
    table: Table,
    crops: Option<Table>,
    rooms: Option<Table>,
    /// The lead says that they are of one weather year; what is of anything else says so below.
    figures: Vec<Figure>,
}

/// Builds it.
pub(super) fn season(view: &View<'_>) -> Season {
    // Those that have the whole width, on one scale of days, then a pair of tall ones: behind the heading these would leave a
    // sheet half empty.
    let wide = [heat_map(view), heat_days(view)].into_iter().chain(bins(view));
    Season {
        lead: format!(
            "The charts show “{}” in {}. {} {}",
            view.shown().name,
            view.year_words(),
            view.shown_season().overdried.sentence,
            crops::kernels(view.shown_season())
        )
        .trim_end()
        .to_owned(),
        table: table(view),
        crops: crops::crops(view),
        rooms: rooms::rooms(view),
        figures: below(Of::DrawnYear, wide.chain([climate(view), nuts(view)])),
    }
}

/// The days that are drawn.
fn days(view: &View<'_>) -> Days {
    let course = &view.figures.course;
    Days { first: course.by_day.starts, count: course.days }
}

fn table(view: &View<'_>) -> Table {
    let season = &view.figures.season;
    let study = &view.figures.study;
    let measured = |name: &str, value: f64, decimals: usize, measure: Measure| {
        Row::new(name, vec![Cell::number(value, decimals)]).unit(measure)
    };
    let line = |name: &str, value: f64, decimals: usize, unit: &str| measured(name, value, decimals, Measure::of(unit));
    // What no batch has is not nought.
    let of_dried = |name: &str, value: f64, decimals: usize, unit: &str| {
        if season.dried_t > 0.0 {
            line(name, value, decimals, unit)
        } else {
            Row::new(name, vec![Cell::words("none dried")]).unit(unit)
        }
    };
    let mut rows = vec![
        line("nuts received", season.received_t, 1, "t"),
        line("nuts dried", season.dried_t, 1, "t"),
        line("moisture as received", study.received_moisture_pct_wb, 1, "% w.b."),
        of_dried("moisture reached", season.dried_moisture_reached_pct_wb, 1, "% w.b."),
        measured("water evaporated", season.water_kg / 1000.0, 1, Measure::water("t")),
        line(&format!("water per received {}", tonne()), season.water_kg_per_received_t, 0, "kg/t"),
        line("batches", season.batches, 0, ""),
        of_dried("mean time to dry a batch", season.mean_drying_hours, 0, "h"),
        line("bins", f64::from(season.bins), 0, ""),
        line("most bins in use at once", f64::from(season.bins_in_use_max), 0, ""),
        line("waiting for a bin to fall free", season.waiting_for_bin_tonne_days, 0, "tonne-days"),
        line("waiting until a load has come together", season.waiting_for_load_tonne_days, 0, "tonne-days"),
    ];
    rows.extend(stored(season, view.money.code()));
    rows.extend(crops::kernel_rows(season));
    Table::new(
        "Nuts and water of the season (baseline option, mean of the weather years)",
        "quantity",
        vec![Head::number("value", "")],
        rows,
    )
}

/// What the cool store's air took from the nuts or gave them; nothing where it did neither.
fn stored(season: &SeasonFigures, code: &str) -> Vec<Row> {
    let lost_t = season.stored_nuts_lost_kg / 1000.0;
    if lost_t == 0.0 {
        return Vec::new();
    }
    let name = if lost_t > 0.0 { "weight lost in the cool store" } else { "weight gained in the cool store" };
    let moisture = season.stored_moisture_reached_pct_wb;
    let worth = season
        .stored_nuts_lost_money
        .map(|money| Row::new("the same at the price of dried nuts", vec![Cell::number(money.abs(), 0)]).unit(code));
    let mut rows = vec![
        Row::new(name, vec![Cell::number(lost_t.abs(), 2)]).unit("t"),
        Row::new("moisture on leaving the cool store", vec![Cell::number(moisture, 1)]).unit("% w.b."),
    ];
    if let Some(worth) = worth {
        rows.insert(1, worth);
    }
    rows
}

fn climate(view: &View<'_>) -> Figure {
    let set_c = view.figures.study.air_temperature_c;
    let course = &view.figures.course;
    let sentence = format!(
        "Outside air has a mean of {} and {} % relative humidity; the coldest hour is {}.",
        Measure::of("°C").fixed(course.outside_mean_c, 1),
        number::fixed(course.outside_mean_relative_humidity_pct, 0),
        course.coldest_hour.as_ref().map_or_else(
            || "not known".to_owned(),
            |hour| format!("{} on {}", Measure::of("°C").fixed(hour.value, 1), moment(hour.starts))
        ),
    );
    let chart = DayBands {
        label: label("climate", "Outside air by day", sentence),
        days: days(view),
        temperature: course.by_day.outside_c.clone(),
        humidity: course.by_day.outside_relative_humidity_pct.clone(),
        set_c,
    };
    let key = vec![
        Key::fill(Pen::Band, "from the day’s lowest to its highest hour"),
        Key::line(Pen::Line1, "the day’s mean"),
    ];
    half_figure(Of::DrawnYear, &chart, &chart.label, key)
}

fn heat_days(view: &View<'_>) -> Figure {
    let by_day = &view.figures.course.by_day;
    let pens = Carriers::of(view);
    let own = &view.shown().sources;
    let sources = by_day
        .sources
        .iter()
        .zip(own)
        .map(|(source, own)| (source.name.as_str(), pens.pen_of_source(own), &source.heat_kwh));
    let all = layers(&by_day.recovered_kwh, sources, &by_day.heat_short_kwh);
    let sentence = view.figures.course.most_heat_day.as_ref().map_or_else(String::new, |most| {
        format!("The day of most heat is {}, with {}.", day_name(most.day), heat(most.value))
    });
    let of_day = Measure::heat("kWh");
    let key = all
        .iter()
        .filter(|(_, _, by_day)| by_day.iter().any(|kwh| *kwh > 1e-6))
        .map(|(name, pen, _)| Key::fill(*pen, name.clone()))
        .collect();
    let chart = StackedDays {
        label: label("heat-days", "Heat need by day, and what met it", sentence),
        days: days(view),
        unit: format!("heat, {} a day", of_day.sign()),
        layers: all.into_iter().map(|(_, pen, by_day)| (pen, of_day.values(&by_day))).collect(),
    };
    figure(Of::DrawnYear, &chart, &chart.label, key)
}

fn heat_map(view: &View<'_>) -> Figure {
    let course = &view.figures.course;
    let of_hour = Measure::heat("kW");
    let sentence = match &course.most_heat_hour {
        Some(most) => format!(
            "Heat need peaks at {} on {}. {}",
            of_hour.three(most.value),
            moment(most.starts),
            heaviest_hours(course)
        ),
        None => "No hour of the season needs heat.".to_owned(),
    };
    let bounds = steps(course.most_heat_hour.as_ref().map_or(0.0, |most| of_hour.value(most.value)));
    let mut key = Vec::new();
    let mut low = 0.0;
    for (place, pen) in Pen::SHADES.iter().enumerate().take(bounds.len() + 1) {
        let name = match bounds.get(place) {
            Some(&bound) => {
                let name = format!("{}–{}", number::fixed(low, 0), number::fixed(bound, 0));
                low = bound;
                name
            }
            None => format!("above {} {}", number::fixed(low, 0), of_hour.sign()),
        };
        key.push(Key::fill(*pen, name));
    }
    let chart = DayHourMap {
        label: label("heat-map", "Heat need hour by hour", sentence),
        days: days(view),
        hours: of_hour.values(&course.heat_need_kw),
        empty: "no hour needs heat".to_owned(),
        bounds,
    };
    figure(Of::DrawnYear, &chart, &chart.label, key)
}

/// Round bounds for the steps of the map: at most five.
fn steps(most: f64) -> Vec<f64> {
    let step = [1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0]
        .into_iter()
        .find(|step| step * 6.0 >= most)
        .unwrap_or((most / 6.0).ceil());
    (1..=5).map(|times| f64::from(times) * step).filter(|bound| *bound < most).collect()
}

/// Which six hours of the day take most heat, and how much of it.
fn heaviest_hours(course: &CourseFigures) -> String {
    let heaviest = &course.heaviest_hours;
    format!(
        "The six hours from {:02}:00 to {:02}:00 take {} of all heat.",
        heaviest.from_hour,
        heaviest.to_hour,
        percent(heaviest.share_pct)
    )
}

/// The calendar of the bins, where there are batches to show.
fn bins(view: &View<'_>) -> Option<Figure> {
    let course = &view.figures.course;
    let bins = &course.bins;
    if bins.batches == 0 {
        return None;
    }
    let sentence = format!(
        "A row a bin, a bar a batch, {} in all: the stronger its colour, the damper. {} of the days of {} are in use.",
        number::fixed(bins.batches as f64, 0),
        percent(bins.in_use_pct),
        counted(bins.bins, "bin", "bins"),
    );
    let moistures = bins.stays.iter().flat_map(|stay| &stay.moisture).map(|look| look.1);
    let bounds = moisture_bounds(moistures);
    let names = shade_names(&bounds);
    let pens = Pen::moistures(names.len());
    let mut key: Vec<Key> = names.into_iter().zip(pens).map(|(name, pen)| Key::fill(pen, name)).collect();
    key.push(Key::fill(Pen::Cooling, "cooling"));
    if !bins.guards.is_empty() {
        key.push(Key::fill(Pen::Fill2, "beyond its limit"));
    }
    let chart = StayCalendar {
        label: label("bins", "Bins through the season", sentence),
        days: Days { first: course.by_day.starts, count: bins.days },
        rooms: bins.rooms.clone(),
        stays: bins.stays.clone(),
        bounds,
        guards: bins.guards.iter().map(broken_days).collect(),
    };
    Some(figure(Of::DrawnYear, &chart, &chart.label, key))
}

/// A guard with its hours and the days on which it was broken.
fn broken_days(guard: &GuardDays) -> BrokenDays {
    let by_day = guard.hours_by_day.iter().enumerate();
    BrokenDays {
        name: format!("{}, {}", guard.name, number::with_unit(&number::fixed(guard.hours, 0), &guard.unit)),
        days: by_day.filter(|(_, hours)| **hours > 0.0).map(|(day, _)| day).collect(),
    }
}

/// Round bounds between the shades of moisture: as many as there are shades, less one.
fn moisture_bounds(moistures: impl Iterator<Item = f64> + Clone) -> Vec<f64> {
    let low = moistures.clone().fold(f64::INFINITY, f64::min);
    let high = moistures.fold(f64::NEG_INFINITY, f64::max);
    let inner = |about: usize| -> Vec<f64> {
        let (_, ticks) = round_scale(low, high, about);
        ticks.into_iter().filter(|tick| *tick > low && *tick < high).collect()
    };
    (1..=2 * Pen::MOST_MOISTURES).rev().map(inner).find(|bounds| bounds.len() < Pen::MOST_MOISTURES).unwrap_or_default()
}

/// What the shades stand for, driest first: `to 10`, `10–12`, `above 12 % w.b.`.
fn shade_names(bounds: &[f64]) -> Vec<String> {
    let words: Vec<String> = tick_words(bounds).into_iter().map(|(_, word)| word).collect();
    let (Some(first), Some(last)) = (words.first(), words.last()) else {
        return vec!["% w.b.".to_owned()];
    };
    let between = words.windows(2).map(|pair| format!("{}–{}", pair[0], pair[1]));
    std::iter::once(format!("to {first}"))
        .chain(between)
        .chain([format!("above {}", number::with_unit(last, "% w.b."))])
        .collect()
}

fn nuts(view: &View<'_>) -> Figure {
    let course = &view.figures.course;
    let peak_week = course.peak_week_of_water.as_ref().map_or_else(String::new, |week| {
        format!(
            "The week of most water begins on {} and takes {} out of the nuts.",
            day_name(week.starts),
            water(week.sum)
        )
    });
    // Nuts come into the first of several rooms.
    let for_bin = match view.shown_season().rooms.as_slice() {
        [first, _, ..] => format!("for a bin of “{}” to fall free", first.name),
        _ => "for a bin to fall free".to_owned(),
    };
    let most = |hour: &Option<HourFigures>, what: &str| match hour {
        Some(most) => {
            let t = Measure::of("t").three(most.value);
            format!("at most {t} wait {what}, on {}", day_name(most.starts.date()))
        }
        None => format!("no nuts wait {what}"),
    };
    let sentence = format!(
        "{peak_week} All bins are in use on {} of {} days; {}, and {}.",
        course.days_of_full_bins,
        course.days.max(1),
        most(&course.most_waiting_for_bin, &for_bin),
        most(&course.most_waiting_for_load, "until a load has come together")
    );
    let chart = DayPanels {
        label: label("nuts", "Nuts drying", sentence),
        days: days(view),
        bins: course.by_day.bins_in_use.clone(),
        bins_there: f64::from(view.shown_season().bins),
        waiting_t: course.by_day.waiting_t.clone(),
        waiting_for_bin_t: course.by_day.waiting_for_bin_t.clone(),
        water_kg: course.by_day.water_kg.clone(),
    };
    let key = vec![
        Key::fill(Pen::Fill4, "waiting until a load has come together"),
        Key::fill(Pen::Fill2, "waiting for a bin to fall free"),
    ];
    half_figure(Of::DrawnYear, &chart, &chart.label, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_of_the_map_are_round_and_few() {
        assert_eq!(steps(93.0), [20.0, 40.0, 60.0, 80.0]);
        assert_eq!(steps(6.0), [1.0, 2.0, 3.0, 4.0, 5.0]);
        assert!(steps(0.0).is_empty());
        assert!(steps(20_000.0).len() <= 5);
    }

    #[test]
    fn shades_of_moisture_have_round_bounds_and_are_as_many_as_there_are() {
        let bounds = moisture_bounds([9.09, 16.0, 24.5].into_iter());
        assert_eq!(bounds, [10.0, 15.0, 20.0]);
        assert_eq!(shade_names(&bounds), ["to 10", "10–15", "15–20", "above 20\u{a0}% w.b."]);
        for (low, high) in [(1.5, 4.0), (9.0, 9.0), (3.0, 48.0), (0.2, 0.21)] {
            let bounds = moisture_bounds([low, high].into_iter());
            assert_eq!(shade_names(&bounds).len(), bounds.len() + 1);
            assert!(bounds.len() < Pen::MOST_MOISTURES, "{bounds:?}");
        }
    }
}
