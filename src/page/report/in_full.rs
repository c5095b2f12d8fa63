//! What else is known of the options, for those who want all of it: an appendix.

use super::carriers::Carriers;
use super::compared::{CAUSES, sources};
use super::plants;
use super::quantities::{Missing, NO_PAYBACK, Quantity, Told, rows, table};
use super::view::View;
use super::whose::has_own;
use crate::answer::figures::OptionFigures;
use crate::number::{self, Unit, kilogram, tonne};
use crate::page::chart::{Bar, Bars};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Figure, Head, Key, Of, Table, figure, label, one_behind_the_other, rounding_note};
use serde::Serialize;

/// The options in full.
#[derive(Debug, Serialize)]
pub(super) struct InFull {
    /// What each option is: its sources, its condensers, what it changes.
    descriptions: Vec<(String, String)>,
    tables: Vec<Table>,
    figures: Vec<Figure>,
    /// Why there is no figure of carbon; empty where there is one.
    no_carbon: &'static str,
}

/// Builds it.
pub(super) fn in_full(view: &View<'_>) -> InFull {
    let carbon = carbon(view);
    let heat = table(view, "Heat, energy and water in full, in a mean weather year", &heat(view), "");
    let money = table(view, "Money in full", &money(), "Payback and ratio compare an option with the baseline.");
    let all: Vec<&OptionFigures> = view.figures.options.iter().collect();
    InFull {
        descriptions: view.figures.options.iter().map(|option| (option.name.clone(), described(option))).collect(),
        tables: heat
            .into_iter()
            .chain(money)
            .chain([year_by_cause(view), sources(&all, "What the sources of all options did in a mean season")])
            .collect(),
        no_carbon: if carbon.is_none() { "No carrier has a carbon factor, so carbon is not shown." } else { "" },
        figures: carbon.into_iter().collect(),
    }
}

/// What heats, where the condensers stand, and what it changes.
fn described(option: &OptionFigures) -> String {
    let changes = plants::changes(option);
    if changes.is_empty() { option.description.to_string() } else { format!("{}; {changes}", option.description) }
}

/// Heat, energy and water that the body leaves out.
fn heat(view: &View<'_>) -> Vec<Quantity> {
    let mut all = vec![
        Quantity::new("heat given", Unit::Heat("MWh"), |o| Some(o.heat_delivered_kwh / 1000.0)),
        Quantity::new("spared by taking water from the air", Unit::Heat("MWh"), |o| {
            o.heat_spared_kwh.map(|kwh| kwh / 1000.0)
        })
        .told(Told::WhereAny)
        .missing(Missing::Because("takes none")),
        Quantity::new("peak heat need", Unit::Heat("kW"), |o| Some(o.heat_need_peak_kw)),
        Quantity::new("heat short", Unit::Heat("MWh"), |o| Some(o.heat_short_kwh / 1000.0)).told(Told::WhereAny),
        Quantity::new("below the set temperature", Unit::Of("K h"), |o| Some(o.below_set_kh)).told(Told::WhereAny),
        Quantity::new("drying time of a batch, against ample heat", Unit::Of("h"), |o| o.drying_hours_longer)
            .told(Told::WhereAny)
            .decimals(1),
        Quantity::new("last batch dry, against ample heat", Unit::Of("days"), |o| o.last_dry_days_later)
            .told(Told::WhereAny)
            .decimals(1),
        Quantity::new("drying fans", Unit::Of("MWh"), |o| Some(o.fan_kwh / 1000.0)),
        Quantity::new("cool store", Unit::Of("MWh"), |o| Some(o.cool_store_kwh / 1000.0)).told(Told::OfStore),
        Quantity::new(format!("purchased per dried {}", tonne()), Unit::Heat("kWh/t"), |o| Some(o.kwh_per_dried_t)),
        Quantity::new(format!("heat and fans per {} of water", kilogram()), Unit::Of("MJ/kg"), |o| o.mj_per_kg_water),
        Quantity::new("the same, as energy purchased", Unit::Of("MJ/kg"), |o| o.purchased_mj_per_kg_water),
    ];
    if view.figures.options.iter().any(has_own) {
        all.push(Quantity::new("as energy used", Unit::Of("MJ/kg"), |o| o.used_mj_per_kg_water));
    }
    all
}

/// Money that the body leaves out.
fn money() -> Vec<Quantity> {
    vec![
        Quantity::new("capital", Unit::Money, |o| Some(o.life_cycle.capital)),
        Quantity::new("grant", Unit::Money, |o| Some(o.life_cycle.grant)).told(Told::WhereAny),
        Quantity::new("net present cost as an equal yearly sum", Unit::Money, |o| Some(o.life_cycle.annual_equivalent)),
        Quantity::new("of which owning", Unit::Money, |o| Some(o.life_cycle.owning_per_year)),
        Quantity::new("of which price growth", Unit::Money, |o| Some(o.life_cycle.price_growth_per_year))
            .told(Told::WhereAny),
        Quantity::new("levelised cost of heat, demand charge left out", Unit::MoneyPerHeat("kWh"), |o| {
            o.life_cycle.levelised_heat_cost_per_kwh
        }),
        Quantity::new("discounted payback", Unit::Of("years"), |o| o.life_cycle.discounted_payback_years)
            .missing(NO_PAYBACK)
            .decimals(0),
        Quantity::new("savings over extra investment", Unit::Of("ratio"), |o| o.life_cycle.savings_to_investment)
            .missing(Missing::BesideBaseline("no extra investment")),
    ]
}

/// A year of every option, by cause.
fn year_by_cause(view: &View<'_>) -> Table {
    let years = || view.figures.options.iter().map(|option| option.by_cause);
    let kept: Vec<_> = CAUSES.iter().filter(|(_, of)| years().any(|year| of(&year) != 0.0)).collect();
    let lines: Vec<Vec<f64>> =
        years().map(|year| kept.iter().map(|(_, of)| of(&year)).chain([year.total]).collect()).collect();
    let decimals = column_decimals(lines.iter().flatten().copied());
    let columns: Vec<Vec<Cell>> =
        (0..=kept.len()).map(|at| lines.iter().map(|line| Cell::number(line[at], decimals)).collect()).collect();
    let code = view.money.code();
    let names = kept.iter().map(|(name, _)| *name).chain(["in all"]);
    let heads = names.map(|name| Head::number(name, code)).collect();
    let rounding = if rounding_note(lines.iter().map(Vec::as_slice)).is_empty() {
        ""
    } else {
        "Each number is rounded by itself, so that a row may differ from its sum in the last digit."
    };
    Table::new("What a year costs, by what it is for", "option", heads, rows(view, &columns))
        .note(one_behind_the_other(&["The parts are the net present cost as an equal yearly sum.", rounding]))
}

fn carbon(view: &View<'_>) -> Option<Figure> {
    let options = &view.figures.options;
    let carriers = Carriers::of(view);
    let mut names: Vec<&String> = options
        .iter()
        .flat_map(|option| &option.carriers)
        .filter(|(_, carrier)| carrier.carbon_kg > 0.0)
        .map(|(name, _)| name)
        .collect();
    names.sort_by_key(|name| (name.as_str() != crate::answer::figures::ELECTRICITY, name.as_str()));
    names.dedup();
    if names.is_empty() {
        return None;
    }
    let parts: Vec<_> = names.iter().map(|name| ((*name).clone(), carriers.pen(name))).collect();
    let (best, base) = (view.shown(), view.baseline());
    let sentence = if view.something_beats_the_baseline() {
        let saved = base.carbon_kg - best.carbon_kg;
        format!(
            "“{}” emits {} in a season, {} {} than the baseline.",
            best.name,
            number::carbon(best.carbon_kg),
            number::carbon(saved.abs()),
            if saved >= 0.0 { "less" } else { "more" },
        )
    } else {
        format!("“{}” emits {} in a season.", best.name, number::carbon(best.carbon_kg))
    };
    let chart = Bars {
        label: label("carbon", "Carbon by carrier", sentence),
        unit: "t of carbon dioxide equivalent in a season".to_owned(),
        parts: parts.clone(),
        rows: options
            .iter()
            .map(|option| Bar {
                name: option.name.clone(),
                values: names
                    .iter()
                    .map(|name| option.carriers.get(*name).map_or(0.0, |c| c.carbon_kg / 1000.0))
                    .collect(),
                total: number::three(option.carbon_kg / 1000.0),
            })
            .collect(),
    };
    let key = parts.into_iter().map(|(name, pen)| Key::fill(pen, name)).collect();
    Some(figure(Of::MeanOfYears, &chart, &chart.label, key))
}
