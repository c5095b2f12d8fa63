//! What energy the condensers gain at every place, and what that makes of the bill, beside the recommended option's sources and the next best's.

use super::placing::by_weight;
use super::view::View;
use crate::answer::figures::{PlacementFigures, StackPlacements};
use crate::answer::places::{Place, PlaceWords};
use crate::number::{energy, fixed};
use crate::page::chart::{GainMonth, Pen, PlacePanel, PlacePanels, gain_step};
use crate::page::parts::{Figure, Key, Of, figure, label, quoted};

/// A figure for each that recovers anything anywhere.
pub(super) fn side_by_side(view: &View<'_>) -> Vec<Figure> {
    let recovers = |stack: &&StackPlacements| stack.placements.iter().any(|placement| placement.gross_kwh > 0.0);
    let stacks: Vec<&StackPlacements> = by_weight(view).0.into_iter().filter(recovers).collect();
    let hours = stacks.iter().flat_map(|stack| &stack.placements).flat_map(|placement| &placement.by_month);
    let step = gain_step(hours.flat_map(|month| month.net_by_hour_kwh.iter().copied()));
    stacks.iter().enumerate().map(|(at, stack)| one(view, at, stack, step)).collect()
}

fn one(view: &View<'_>, at: usize, stack: &StackPlacements, step: f64) -> Figure {
    let shown: Vec<&PlacementFigures> =
        stack.placements.iter().filter(|placement| placement.place != Place::Outdoors).collect();
    let words = |placement: &PlacementFigures| PlaceWords::of(placement.place, placement.room.as_deref());
    let panels = shown
        .iter()
        .map(|placement| PlacePanel {
            name: words(placement).short,
            worth: worth(view, placement),
            is_chosen: placement.place == stack.best,
            months: placement
                .by_month
                .iter()
                .map(|month| GainMonth {
                    month: month.month,
                    whole: month.gross_kwh,
                    gain: month.useful_kwh,
                    loss: month.penalty_kwh,
                    net: month.net_kwh,
                })
                .collect(),
            by_hour: placement.by_month.iter().map(|month| month.net_by_hour_kwh.clone()).collect(),
        })
        .collect();
    let most = shown.iter().max_by(|a, b| a.net_kwh.total_cmp(&b.net_kwh));
    let sentence = most.map_or_else(String::new, |most| {
        // Energy that is spared may be cheaper than the electricity that sparing it takes.
        let (but, more) = if most.bill_saved < 0.0 { ("yet", "more") } else { ("and", "less") };
        format!(
            "Most energy is spared with them {}: {} net, {but} the bill is {} {more}.",
            words(most).short,
            energy(most.net_kwh),
            view.money.prose(most.bill_saved.abs()),
        )
    });
    let chart = PlacePanels {
        label: label(
            format!("places-{at}"),
            format!("Energy each place gains, beside the sources of {}", quoted(&stack.option)),
            sentence,
        ),
        unit: "kWh a month; below: hour of the day".to_owned(),
        panels,
        step,
    };
    let mut key = vec![
        Key::fill(Pen::Hollow, "rejected where usable"),
        Key::fill(Pen::Fill3, "useful"),
        Key::fill(Pen::Fill1, "penalty: more electricity"),
    ];
    let (first, last) = (fixed(step, 0), fixed(3.0 * step, 0));
    key.push(Key::fill(Pen::Gain1, format!("net gain of an hour of the day in a month, up to {first} kWh")));
    key.push(Key::fill(Pen::Gain4, format!("above {last} kWh")));
    let mut hours = stack.placements.iter().flat_map(|place| &place.by_month).flat_map(|month| &month.net_by_hour_kwh);
    if hours.any(|kwh| *kwh < -0.05 * step) {
        key.push(Key::fill(Pen::Loss1, "net loss"));
    }
    figure(Of::MeanOfYears, &chart, &chart.label, key)
}

/// What a place saves of a season's bill.
fn worth(view: &View<'_>, placement: &PlacementFigures) -> String {
    let saved = placement.bill_saved;
    if saved >= 0.0 {
        format!("bill less by {}", view.money.prose(saved))
    } else {
        format!("bill more by {}", view.money.prose(-saved))
    }
}
