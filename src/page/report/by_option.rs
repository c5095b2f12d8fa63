//! Month and hour charts of every option, of which a reader chooses the one that is shown.

use super::carriers::Carriers;
use super::view::View;
use crate::answer::figures::{MonthFigures, OptionFigures};
use crate::number::{percent, three, with_unit};
use crate::page::chart::{Pen, StackedDay, StackedMonth, StackedMonths};
use crate::page::parts::{Figure, Key, Of, half_figure, label, month_label};
use serde::Serialize;

/// One option's charts.
#[derive(Debug, Serialize)]
pub(super) struct Choice {
    name: String,
    /// True of the one that is shown before anybody chooses, and on paper.
    is_shown: bool,
    figures: Vec<Figure>,
}

/// The options in their order; on paper stands the one that the page shows.
pub(super) fn by_option(view: &View<'_>) -> Vec<Choice> {
    let carriers = Carriers::of(view);
    let options = view.figures.options.iter().enumerate();
    let choice = |(place, option): (usize, &OptionFigures)| Choice {
        name: view.name_of(place),
        is_shown: place == view.shown,
        figures: vec![months(view, place, option, &carriers), day(place, option)],
    };
    options.map(choice).collect()
}

fn months(view: &View<'_>, place: usize, option: &OptionFigures, carriers: &Carriers) -> Figure {
    let base = view.baseline();
    let compare = place != view.base;
    let costliest = option.months.iter().max_by(|a, b| a.total_cost.total_cmp(&b.total_cost));
    let sentence = costliest.map_or_else(
        || "No month has a bill.".to_owned(),
        |month| {
            format!(
                "The costliest month is {}, at {} ({} of the seasonal energy cost); its peak demand is {}.",
                month_label(month, &option.months),
                view.money.prose(month.total_cost),
                percent(month.total_cost / option.total_cost.max(1e-9) * 100.0),
                with_unit(&three(month.electric_peak_kw), "kW")
            )
        },
    );
    let parts = |month: &MonthFigures| -> Vec<f64> {
        let energy = carriers.names().map(|name| month.energy_cost_of(name));
        energy.chain([month.demand_cost, month.other_cost]).collect()
    };
    let mut pens = carriers.pens();
    pens.extend([Pen::Fill6, Pen::Fill5]);
    let mut names: Vec<String> = carriers.names().cloned().collect();
    names.extend(["demand charge".to_owned(), "fixed charges and tax".to_owned()]);
    let months: Vec<StackedMonth> = option
        .months
        .iter()
        .map(|month| StackedMonth {
            month: month.month,
            parts: parts(month),
            level: compare.then(|| {
                let others = base.months.iter();
                let same = others.filter(|other| (other.year, other.month) == (month.year, month.month));
                same.map(|other| other.total_cost).sum()
            }),
        })
        .collect();
    let mut key: Vec<Key> = names
        .into_iter()
        .zip(&pens)
        .enumerate()
        .filter(|(part, _)| months.iter().any(|month| month.parts[*part] > 0.0))
        .map(|(_, (name, pen))| Key::fill(*pen, name))
        .collect();
    if compare {
        key.push(Key::line(Pen::Tick, format!("in all, {}", base.name)));
    }
    let chart = StackedMonths {
        label: label(format!("bill-{place}"), format!("The bill by month: {}", option.name), sentence),
        unit: format!("{} a month", view.money.code()),
        pens,
        months,
    };
    half_figure(Of::MeanOfYears, &chart, &chart.label, key)
}

/// What takes electricity on the mean day.
fn day(place: usize, option: &OptionFigures) -> Figure {
    let mean = &option.mean_day;
    let all = [
        ("heat sources", Pen::Fill1, &mean.sources_kw),
        ("drying fans", Pen::Pale1, &mean.fans_kw),
        ("lights", Pen::Fill5, &mean.lights_kw),
        ("cool store", Pen::Fill6, &mean.cool_store_kw),
    ];
    let (most, least) = (mean.most, mean.least);
    let sentence = format!(
        "On the mean day of the season most electricity is taken from {:02}:00, {}, and least from {:02}:00, {}.",
        most.hour,
        with_unit(&three(most.kw), "kW"),
        least.hour,
        with_unit(&three(least.kw), "kW"),
    );
    let key = all
        .iter()
        .filter(|(_, _, kw)| kw.iter().any(|kw| *kw > 1e-6))
        .map(|(name, pen, _)| Key::fill(*pen, *name))
        .collect();
    let chart = StackedDay {
        label: label(format!("mean-day-{place}"), format!("Electricity by hour: {}", option.name), sentence),
        unit: "electricity, kW".to_owned(),
        layers: all.into_iter().map(|(_, pen, kw)| (pen, kw.clone())).collect(),
    };
    half_figure(Of::AllYears, &chart, &chart.label, key)
}
