//! The options compared: one table, cost by line, carbon.

use super::plants;
use super::view::View;
use super::whose::has_own;
use crate::answer::figures::OptionFigures;
use crate::number::{self, Unit, kilogram, tonne};
use crate::page::chart::{Bar, Bars, Pen};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Figure, Head, Key, Of, Row, Table, figure, label};
use serde::Serialize;
use std::borrow::Cow;

/// The third section.
#[derive(Debug, Serialize)]
pub(super) struct Compared {
    descriptions: Vec<(String, String)>,
    tables: Vec<Table>,
    /// What options make of the plant; nothing where all have one plant.
    plants: Option<Table>,
    figures: Vec<Figure>,
    /// Why there is no figure of carbon; empty where there is one.
    no_carbon: &'static str,
}

/// Builds it.
pub(super) fn compared(view: &View<'_>) -> Compared {
    let carbon = carbon(view);
    Compared {
        descriptions: view.figures.options.iter().map(|option| (option.name.clone(), described(option))).collect(),
        tables: tables(view),
        plants: plants::plants(view),
        no_carbon: if carbon.is_none() { "No carrier has a carbon factor, so carbon is not shown." } else { "" },
        figures: std::iter::once(cost(view)).chain(carbon).collect(),
    }
}

/// What heats, where the condensers stand, and what it changes.
fn described(option: &OptionFigures) -> String {
    let changes = plants::changes(option);
    if changes.is_empty() { option.description.to_string() } else { format!("{}; {changes}", option.description) }
}

/// A line of the table: what is told of every option.
struct Quantity {
    name: Cow<'static, str>,
    unit: Unit,
    of: fn(&OptionFigures) -> Option<f64>,
    /// Decimals; as many as the column can bear where there are none.
    decimals: Option<usize>,
    missing: Missing,
    told: Told,
}

/// Why a number is missing.
enum Missing {
    /// The same reason for every option.
    Because(&'static str),
    /// The baseline has none by its nature, others for this reason.
    BesideBaseline(&'static str),
}

/// When a line stands in the table.
#[derive(PartialEq)]
enum Told {
    Always,
    /// Where any option has any of it.
    WhereAny,
    /// Where there is a cool store, or any option has any of it all the same.
    OfStore,
}

impl Quantity {
    fn new(name: impl Into<Cow<'static, str>>, unit: Unit, of: fn(&OptionFigures) -> Option<f64>) -> Self {
        let missing = Missing::BesideBaseline("nothing dried");
        Self { name: name.into(), unit, of, decimals: None, missing, told: Told::Always }
    }

    fn told(self, told: Told) -> Self {
        Self { told, ..self }
    }

    fn decimals(self, decimals: usize) -> Self {
        Self { decimals: Some(decimals), ..self }
    }

    fn missing(self, missing: Missing) -> Self {
        Self { missing, ..self }
    }

    /// Its row beside these options; `None` where it is left out.
    fn row(&self, view: &View<'_>, places: &[usize]) -> Option<Row> {
        let options = places.iter().map(|&place| &view.figures.options[place]);
        let values: Vec<Option<f64>> = options.map(self.of).collect();
        let none_has_any = values.iter().all(|value| value.is_none_or(|value| value == 0.0));
        let left_out = match self.told {
            Told::Always => false,
            Told::WhereAny => none_has_any,
            Told::OfStore => none_has_any && !view.has_cool_store(),
        };
        if left_out {
            return None;
        }
        let decimals = self.decimals.unwrap_or_else(|| column_decimals(values.iter().flatten().copied()));
        let cells = values.iter().zip(places).map(|(value, place)| {
            let why = match self.missing {
                Missing::BesideBaseline(_) if *place == view.base => "baseline",
                Missing::Because(why) | Missing::BesideBaseline(why) => why,
            };
            Cell::number_or(*value, decimals, why)
        });
        Some(Row::new(self.name.clone(), cells.collect()).unit(self.unit.measure(view.money.code())))
    }
}

/// Why a payback is missing.
const NO_PAYBACK: Missing = Missing::BesideBaseline("never");

/// What is told of every option, in groups.
fn quantities(view: &View<'_>) -> [(&'static str, Vec<Quantity>); 4] {
    [
        ("Heat", heat()),
        ("Energy in a season", energy()),
        ("Energy used, own and purchased", whose_energy(view)),
        ("Money and carbon", money_and_carbon()),
    ]
}

/// Heat of a season.
fn heat() -> Vec<Quantity> {
    vec![
        Quantity::new("heat need", Unit::Heat("MWh"), |o| Some(o.heat_need_kwh / 1000.0)),
        Quantity::new("heat given", Unit::Heat("MWh"), |o| Some(o.heat_delivered_kwh / 1000.0)),
        Quantity::new("spared by taking water from the air", Unit::Heat("MWh"), |o| {
            o.heat_spared_kwh.map(|kwh| kwh / 1000.0)
        })
        .told(Told::WhereAny)
        .missing(Missing::Because("takes none")),
        Quantity::new("peak heat need", Unit::Heat("kW"), |o| Some(o.heat_need_peak_kw)),
        Quantity::new("heat capacity of the sources", Unit::Heat("kW"), |o| Some(o.heat_capacity_kw)),
        Quantity::new("hours short of heat", Unit::Of("h"), |o| Some(o.hours_short)),
        Quantity::new("heat short", Unit::Heat("MWh"), |o| Some(o.heat_short_kwh / 1000.0)).told(Told::WhereAny),
        Quantity::new("below the set temperature", Unit::Of("K h"), |o| Some(o.below_set_kh)).told(Told::WhereAny),
        Quantity::new("drying time of a batch, against ample heat", Unit::Of("h"), |o| o.drying_hours_longer)
            .told(Told::WhereAny)
            .decimals(1),
        Quantity::new("last batch dry, against ample heat", Unit::Of("days"), |o| o.last_dry_days_later)
            .told(Told::WhereAny)
            .decimals(1),
        Quantity::new("useful recovered heat", Unit::Heat("MWh"), |o| Some(o.recovered.useful_kwh / 1000.0))
            .told(Told::OfStore),
    ]
}

/// Energy of a season.
fn energy() -> Vec<Quantity> {
    vec![
        Quantity::new("electricity", Unit::Of("MWh"), |o| {
            Some(o.carriers.get("electricity").map_or(0.0, |c| c.kwh) / 1000.0)
        }),
        Quantity::new("fuel", Unit::Heat("MWh"), |o| {
            let fuel: f64 =
                o.carriers.iter().filter(|(name, _)| *name != "electricity").map(|(_, carrier)| carrier.used_kwh).sum();
            Some(fuel / 1000.0)
        })
        .told(Told::WhereAny),
        Quantity::new("drying fans", Unit::Of("MWh"), |o| Some(o.fan_kwh / 1000.0)),
        Quantity::new("cool store", Unit::Of("MWh"), |o| Some(o.cool_store_kwh / 1000.0)).told(Told::OfStore),
        Quantity::new("peak demand", Unit::Of("kW"), |o| Some(o.electric_peak_kw)),
        Quantity::new(format!("energy purchased per dried {}", tonne()), Unit::Heat("kWh/t"), |o| {
            Some(o.kwh_per_dried_t)
        }),
        Quantity::new(format!("heat and fans per {} of water", kilogram()), Unit::Of("MJ/kg"), |o| o.mj_per_kg_water),
        Quantity::new("the same, as energy purchased", Unit::Of("MJ/kg"), |o| o.purchased_mj_per_kg_water),
    ]
}

/// Bill, carbon and what a life of it costs.
fn money_and_carbon() -> Vec<Quantity> {
    vec![
        Quantity::new("seasonal energy cost", Unit::Money, |o| Some(o.total_cost)),
        Quantity::new(format!("bill per dried {}", tonne()), Unit::MoneyPer("t"), |o| Some(o.cost_per_dried_t)),
        Quantity::new("carbon in a season", Unit::Of("t CO₂e"), |o| Some(o.carbon_kg / 1000.0)),
        Quantity::new("of which burnt on the site (scope 1)", Unit::Of("t CO₂e"), |o| {
            Some(o.carbon_scope1_kg / 1000.0)
        }),
        Quantity::new("of which purchased electricity (scope 2)", Unit::Of("t CO₂e"), |o| {
            Some(o.carbon_scope2_kg / 1000.0)
        }),
        Quantity::new("biogenic carbon dioxide, beside it", Unit::Of("t CO₂"), |o| Some(o.biogenic_co2_kg / 1000.0)),
        Quantity::new("capital", Unit::Money, |o| Some(o.life_cycle.capital)),
        Quantity::new("grant", Unit::Money, |o| Some(o.life_cycle.grant)).told(Told::WhereAny),
        Quantity::new("upkeep a year", Unit::Money, |o| Some(o.life_cycle.upkeep_per_year)).told(Told::WhereAny),
        Quantity::new("net present cost", Unit::Money, |o| Some(o.life_cycle.net_present_cost)),
        Quantity::new("the same as an equal yearly sum", Unit::Money, |o| Some(o.life_cycle.annual_equivalent)),
        Quantity::new("of which owning", Unit::Money, |o| Some(o.life_cycle.owning_per_year)),
        Quantity::new("of which price growth", Unit::Money, |o| Some(o.life_cycle.price_growth_per_year))
            .told(Told::WhereAny),
        Quantity::new("levelised cost of heat, demand charge left out", Unit::MoneyPerHeat("kWh"), |o| {
            o.life_cycle.levelised_heat_cost_per_kwh
        }),
        Quantity::new("simple payback", Unit::Of("years"), |o| o.life_cycle.simple_payback_years).missing(NO_PAYBACK),
        Quantity::new("discounted payback", Unit::Of("years"), |o| o.life_cycle.discounted_payback_years)
            .missing(NO_PAYBACK)
            .decimals(0),
        Quantity::new("internal rate of return", Unit::Of("%"), |o| o.life_cycle.irr.map(|rate| rate * 100.0))
            .missing(Missing::BesideBaseline("none")),
        Quantity::new("savings over extra investment", Unit::Of("ratio"), |o| o.life_cycle.savings_to_investment)
            .missing(Missing::BesideBaseline("no extra investment")),
    ]
}

/// Energy used, of which the plant's own and purchased; nothing where all of it is purchased.
fn whose_energy(view: &View<'_>) -> Vec<Quantity> {
    if !view.figures.options.iter().any(has_own) {
        return Vec::new();
    }
    vec![
        Quantity::new("energy used", Unit::Heat("MWh"), |o| Some(o.used_kwh / 1000.0)),
        Quantity::new("of which the plant’s own", Unit::Heat("MWh"), |o| Some(o.own_kwh / 1000.0)),
        Quantity::new("of which purchased", Unit::Heat("MWh"), |o| Some(o.purchased_kwh / 1000.0)),
        Quantity::new(format!("energy used per {} of water", kilogram()), Unit::Of("MJ/kg"), |o| {
            o.used_mj_per_kg_water
        }),
    ]
}

/// Options beside each other that a page has room for.
const ABREAST: usize = 6;

/// One table, or several where there are more options than stand abreast: the baseline is in each.
fn tables(view: &View<'_>) -> Vec<Table> {
    let count = view.figures.options.len();
    let others: Vec<usize> = (0..count).filter(|place| *place != view.base).collect();
    let parts = others.len().div_ceil(ABREAST - 1).max(1);
    if parts == 1 {
        let all: Vec<usize> = (0..count).collect();
        return vec![table(view, &all, "")];
    }
    others
        .chunks(others.len().div_ceil(parts))
        .enumerate()
        .map(|(at, places)| {
            let places = [&[view.base], places].concat();
            table(view, &places, &format!(" ({} of {parts})", at + 1))
        })
        .collect()
}

fn table(view: &View<'_>, places: &[usize], part: &str) -> Table {
    let options: Vec<&OptionFigures> = places.iter().map(|&place| &view.figures.options[place]).collect();
    let heads = options.iter().map(|o| Head::number(o.name.clone(), "")).collect();
    let mut rows = Vec::new();
    for (group, lines) in quantities(view) {
        if lines.is_empty() {
            continue;
        }
        rows.push(Row::new(group, Vec::new()).class("part"));
        rows.extend(lines.iter().filter_map(|line| line.row(view, places)));
    }
    let never_pays = |option: &&OptionFigures| {
        option.name != view.baseline().name && option.life_cycle.simple_payback_years.is_none()
    };
    let never = if options.iter().any(never_pays) {
        "“Never”: savings do not pay the extra investment back within the period. "
    } else {
        ""
    };
    Table::of_unlike_rows(
        format!("All options, in a mean weather year; peaks are those of all years{part}"),
        "quantity",
        heads,
        rows,
    )
    .note(format!(
        "Heat need is what {} with ample heat asks for. {never}Payback, return and ratio compare an option with the baseline.",
        if view.plants_differ() { "each option’s own plant" } else { "the same plant" }
    ))
}

/// What a year of an option costs, line by line: the parts of the annual equivalent. Heat, fans and cool store
/// are energy at the hour's prices; the fourth is the rest of the bill.
fn lines(option: &OptionFigures) -> [f64; 6] {
    let energy = [option.heat_cost, option.fan_cost, option.cool_store_cost];
    let rest = option.total_cost - energy.iter().sum::<f64>();
    let life = &option.life_cycle;
    let [heat, fans, store] = energy;
    [heat, fans, store, rest, life.owning_per_year, life.price_growth_per_year]
}

/// Each line with its pen, and what the legend says of it.
const LINES: [(&str, Pen, &str); 6] = [
    ("heat", Pen::Fill2, "heat: fuel and electricity of the sources"),
    ("fans", Pen::Fill3, "drying fans"),
    ("cool store", Pen::Fill1, "cool store"),
    ("demand and fixed", Pen::Fill4, "demand, fixed charges and tax"),
    ("owning", Pen::Fill5, "owning: capital after grant, upkeep, replacement less residual value"),
    ("price growth", Pen::Hollow, "price growth: what later years’ energy prices add"),
];

fn cost(view: &View<'_>) -> Figure {
    let options = &view.figures.options;
    let best = view.shown();
    let heat_share = best.heat_cost / best.life_cycle.annual_equivalent.max(1e-9) * 100.0;
    let chart = Bars {
        label: label(
            "cost",
            "What a year costs, by line",
            format!(
                "With “{}” a year costs {}, of which heat is {}. The bars are the net present cost as an equal yearly sum.{}",
                best.name,
                view.money.prose(best.life_cycle.annual_equivalent),
                number::percent(heat_share.clamp(0.0, 100.0)),
                if options.iter().any(|o| o.life_cycle.price_growth_per_year < 0.0) {
                    " Where energy prices fall, the sum beside a bar is less than its parts by what they fall."
                } else {
                    ""
                },
            ),
        ),
        unit: format!("{} a year", view.money.code()),
        parts: LINES.map(|(name, pen, _)| (name.to_owned(), pen)).to_vec(),
        rows: options
            .iter()
            .map(|o| Bar {
                name: o.name.clone(),
                values: lines(o).to_vec(),
                total: number::three(o.life_cycle.annual_equivalent),
            })
            .collect(),
    };
    let shown = |part: usize| chart.rows.iter().any(|bar| bar.values[part] > 0.0);
    let key = LINES
        .iter()
        .enumerate()
        .filter(|(part, _)| shown(*part))
        .map(|(_, (_, pen, words))| Key::fill(*pen, *words))
        .collect();
    figure(Of::MeanOfYears, &chart, &chart.label, key)
}

fn carbon(view: &View<'_>) -> Option<Figure> {
    let options = &view.figures.options;
    let mut names: Vec<&String> = options
        .iter()
        .flat_map(|option| &option.carriers)
        .filter(|(_, carrier)| carrier.carbon_kg > 0.0)
        .map(|(name, _)| name)
        .collect();
    names.sort_by_key(|name| (name.as_str() != "electricity", name.as_str()));
    names.dedup();
    names.truncate(5);
    if names.is_empty() {
        return None;
    }
    let pens = [Pen::Fill1, Pen::Fill4, Pen::Fill2, Pen::Fill3, Pen::Fill5];
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
        unit: format!("{} of carbon dioxide equivalent in a season", number::tonnes_of_carbon()),
        parts: names.iter().zip(pens).map(|(name, pen)| ((*name).clone(), pen)).collect(),
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
    let key = names.iter().zip(pens).map(|(name, pen)| Key::fill(pen, (*name).clone())).collect();
    Some(figure(Of::MeanOfYears, &chart, &chart.label, key))
}
