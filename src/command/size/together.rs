//! One plant with all numbers together, as `size` prints it.

use super::lines::{heading, line, number, of_room, width_of};
use crate::answer::{HEAT_SHORT_SHARE, SizeFigures};
use crate::number::Digits;
use std::fmt::Write;

pub(super) fn say_together(text: &mut String, figures: &SizeFigures) {
    text.push_str(
        "\nOne plant that keeps the limit with all numbers together, of many; the numbers above, each found alone, lean on all others as they stand and must not be combined\n",
    );
    let Some(together) = &figures.together else {
        text.push_str("  none was found: not even all of them four times as large keep it\n");
        return;
    };
    let began = if together.began_as_it_stands {
        "the plant as it stands"
    } else {
        "the plant breaks the limit as it stands and was first enlarged until it keeps it; that plant"
    };
    let _ = writeln!(
        text,
        "  {began}, made smaller while the limit and the mould guard allow: first heat, then bins, airflow, extraction"
    );
    let names: Vec<String> = together.numbers.iter().map(|one| of_room(&one.what, one.room.as_deref())).collect();
    let wide = width_of(&names);
    let _ = writeln!(text, "  {:<wide$}{:<12}{:>13}{:>10}", "", "unit", "as it stands", "together");
    for (name, one) in names.iter().zip(&together.numbers) {
        let _ =
            writeln!(text, "  {name:<wide$}{:<12}{:>13}{:>10}", one.unit, number(one.as_it_stands), number(one.value));
    }
    heading(text, "The seasons of that plant", "year");
    for season in &together.seasons {
        line(text, &season.weather_year, season);
    }
    let most_short = together.seasons.iter().map(|season| season.hours_short);
    if let Some(hours) = most_short.max().filter(|hours| *hours > 0) {
        let _ = writeln!(
            text,
            "  the limit is on waiting and on mould, not on heat: that plant falls short of it in up to {hours} h a season, and is damper or colder then"
        );
        let shorts = together.seasons.iter().map(|season| season.heat_short_pct);
        let short_pct = shorts.fold(0.0, f64::max);
        let let_pass_pct = HEAT_SHORT_SHARE * 100.0;
        if short_pct > let_pass_pct {
            let _ = writeln!(
                text,
                "  a report says of such a plant that it does not do the work: its heat is short by up to {short_pct:.1} % of the need, and at most {let_pass_pct:.1} % is let pass; buy more heat than this"
            );
        }
    }
    for week in &together.peak_weeks {
        let _ = writeln!(
            text,
            "  its week of most {:<6}from {}: {:.1} kW of heat needed on average, {:.1} bins in use, at most {:.1} t waiting, {:.1} t of it for a bin",
            week.what,
            week.starts,
            Digits(week.mean_heat_kw),
            Digits(week.bins_in_use),
            Digits(week.waiting_t),
            Digits(week.waiting_for_bin_t)
        );
    }
}
