//! Lines and headings that all parts of the answer share.

use crate::answer::SizePoint;
use crate::number::Digits;
use std::fmt::Write;

pub(super) fn heading(text: &mut String, title: &str, first: &str) {
    let _ = writeln!(
        text,
        "\n{title}\n  {first:<10}{:>8}{:>13}{:>14}{:>9}{:>9}{:>12}{:>9}{:>11}{:>11}  limit",
        "wait h", "for bin t d", "for load t d", "short h", "to dry h", "last dry", "peak kW", "bill", "per dry t"
    );
}

/// One season as a line of a table.
pub(super) fn line(text: &mut String, first: &str, point: &SizePoint) {
    let kept = kept_words(point.meets, point.left_t);
    let _ = writeln!(
        text,
        "  {first:<10}{:>8.0}{:>13.1}{:>14.1}{:>9}{:>9}{:>12}{:>9.1}{:>11.0}{:>11}  {kept}",
        Digits(point.longest_wait_h),
        Digits(point.waiting_for_bin_tonne_days),
        Digits(point.waiting_for_load_tonne_days),
        point.hours_short,
        or_dash(point.mean_drying_hours, 0),
        point.last_dry.as_deref().unwrap_or("-"),
        Digits(point.electric_peak_kw),
        Digits(point.total_cost),
        or_dash(point.cost_per_dried_t, 1),
    );
}

/// Whether the limit is kept, and what is left wet, t, where it is not.
pub(super) fn kept_words(meets: bool, left_t: f64) -> String {
    if meets {
        "kept".to_owned()
    } else if left_t > 0.0 {
        format!("broken, {left_t:.1} t never dried")
    } else {
        "broken".to_owned()
    }
}

pub(super) fn or_dash(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{:.decimals$}", Digits(value)))
}

/// The shortest way to write a value of a round step.
pub(super) fn number(value: f64) -> String {
    let text = format!("{:.3}", Digits(value));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A number's name, with its room's where there are several.
pub(super) fn of_room(what: &str, room: Option<&str>) -> String {
    room.map_or_else(|| what.to_owned(), |room| format!("{what}, {room}"))
}

/// A column that holds these names.
pub(super) fn width_of(names: &[String]) -> usize {
    let widest = names.iter().map(|name| name.chars().count()).max();
    widest.unwrap_or(0).max(10) + 2
}
