//! What options change of the plant, and what that makes of it.

use super::view::View;
use crate::answer::figures::{OptionFigures, SeasonFigures};
use crate::answer::set_words;
use crate::page::kit::cell::Cell;
use crate::page::parts::{Head, Table, column, quoted, rows_of};

/// Each option that changes something, in words: what it includes and sets.
pub(super) fn changes(option: &OptionFigures) -> String {
    let mut said = Vec::new();
    if !option.includes.is_empty() {
        let names: Vec<String> = option.includes.iter().map(|name| quoted(name)).collect();
        said.push(format!("includes {}", names.join(", ")));
    }
    if !option.set.is_empty() {
        said.push(format!("sets {}", option.set.iter().map(set_words).collect::<Vec<_>>().join("; ")));
    }
    said.join("; ")
}

/// The plant of the baseline beside those that options make of it; nothing where all have one plant.
pub(super) fn plants(view: &View<'_>) -> Option<Table> {
    if !view.plants_differ() {
        return None;
    }
    let own = view.figures.options.iter().filter_map(|option| Some((option, option.own_season.as_ref()?)));
    let all: Vec<(&OptionFigures, &SeasonFigures)> =
        std::iter::once((view.baseline(), &view.figures.season)).chain(own).collect();
    let of = |value: fn(&(&OptionFigures, &SeasonFigures)) -> f64| column(&all.iter().map(value).collect::<Vec<_>>());
    let whole = |value: fn(&SeasonFigures) -> f64| -> Vec<Cell> {
        all.iter().map(|(_, season)| Cell::number(value(season), 0)).collect()
    };
    let columns = vec![
        of(|(option, _)| option.heat_need_kwh / 1000.0),
        of(|(option, _)| option.heat_need_peak_kw),
        of(|(_, season)| season.received_t),
        of(|(_, season)| season.dried_t),
        of(|(_, season)| season.mean_drying_hours),
        whole(|season| f64::from(season.bins)),
        whole(|season| f64::from(season.bins_in_use_max)),
        of(|(_, season)| season.waiting_for_bin_tonne_days),
    ];
    let heads = vec![
        Head::heat("heat need", "MWh"),
        Head::heat("peak heat need", "kW"),
        Head::number("received", "t"),
        Head::number("dried", "t"),
        Head::number("mean time to dry", "h"),
        Head::number("bins", ""),
        Head::number("most in use", ""),
        Head::number("waiting for a bin", "t d"),
    ];
    let rows = rows_of(all.iter().map(|(option, _)| option.name.clone()), &columns);
    let caption = "The baseline’s plant, and the plants that options make of it (mean of the weather years)";
    Some(Table::new(caption, "option", heads, rows).note(
        "Each is held against its own plant with ample heat. Options that are not listed have the baseline’s plant, and its need.",
    ))
}
