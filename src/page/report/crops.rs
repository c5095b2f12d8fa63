//! The crops of a plant: in a line, and several one beside the other.

use super::view::View;
use crate::answer::{KernelFigures, SeasonFigures, StudyFigures};
use crate::number;
use crate::page::kit::cell::Cell;
use crate::page::parts::{Head, Row, Table};

/// What comes, and to which moisture it is dried.
pub(super) fn nuts(study: &StudyFigures, season: &SeasonFigures) -> String {
    let tenths = |pct: f64| number::plain((pct * 10.0).round() / 10.0);
    let received = number::Measure::of("t").three(season.received_t);
    let from = tenths(study.received_moisture_pct_wb);
    if season.crops.is_empty() {
        let to = tenths(study.dried_moisture_pct_wb);
        return format!("{}, {received} received, {from} to {to} % w.b.", study.crop);
    }
    let each: Vec<String> =
        season.crops.iter().map(|crop| format!("{} to {} % w.b.", crop.name, tenths(crop.target_pct_wb))).collect();
    format!("{received} received, {from} % w.b. on average; {}", each.join(", "))
}

/// What the kernels hold, in sentences.
pub(super) fn kernels(season: &SeasonFigures) -> String {
    let said = season.kernels.iter().map(|kernel| &*kernel.sentence);
    said.collect::<Vec<_>>().join(" ")
}

/// The kernels' moisture that goes with what the nuts were dried to.
pub(super) fn kernel_rows(season: &SeasonFigures) -> Vec<Row> {
    let several = season.kernels.len() > 1;
    let row = |kernel: &KernelFigures| {
        let name = if several {
            format!("kernel of “{}” at that, once rested", kernel.crop)
        } else {
            "kernel at the moisture reached, once rested".to_owned()
        };
        let reached = kernel.reached_kernel_moisture_pct_wb?;
        Some(Row::new(&name, vec![Cell::number(reached, 1)]).unit("% w.b."))
    };
    season.kernels.iter().filter_map(row).collect()
}

/// A row for each crop; nothing for a plant of one.
pub(super) fn crops(view: &View<'_>) -> Option<Table> {
    let crops = &view.figures.season.crops;
    if crops.is_empty() {
        return None;
    }
    let drifts = crops.iter().any(|crop| crop.stored_lost_kg != 0.0);
    let rows = crops
        .iter()
        .map(|crop| {
            let mut cells = vec![
                Cell::number(crop.received_t, 1),
                Cell::number(crop.dried_t, 1),
                Cell::number(crop.water_kg / 1000.0, 1),
                Cell::number(crop.target_pct_wb, 1),
                Cell::number(crop.reached_pct_wb, 1),
                Cell::number(crop.batches, 0),
                Cell::number(crop.mean_drying_hours, 0),
            ];
            if drifts {
                cells.push(Cell::number(crop.stored_lost_kg / 1000.0, 2));
                cells.push(Cell::number(crop.stored_reached_pct_wb, 1));
            }
            Row::new(&crop.name, cells)
        })
        .collect();
    let mut heads = vec![
        Head::number("received", "t"),
        Head::number("dried", "t"),
        Head::number("water lost", number::Measure::water("t")),
        Head::number("target", "% w.b."),
        Head::number("reached", "% w.b."),
        Head::number("batches", ""),
        Head::number("mean time to dry", "h"),
    ];
    if drifts {
        // Less than zero where the store's air gave weight.
        heads.push(Head::number("lost in the cool store", "t"));
        heads.push(Head::number("on leaving it", "% w.b."));
    }
    Some(Table::new("Crops in the same bins (baseline option, mean of the weather years)", "crop", heads, rows))
}
