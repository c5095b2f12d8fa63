//! The options compared: energy, carbon and doubt beside each other, plants, sources, and why the best costs less.

use super::plants;
use super::quantities::{Missing, NO_PAYBACK, Quantity, Told, table};
use super::view::View;
use super::whose::{self, has_own};
use crate::answer::figures::{BreakEvenFigures, OptionFigures, SourceFigures, YearByCause};
use crate::number::{Unit, tonne, with_unit};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, column, one_behind_the_other, quoted, rounding_note, rows_of};
use serde::Serialize;

/// Options beside each other.
#[derive(Debug, Serialize)]
pub(super) struct Compared {
    tables: Vec<Table>,
    /// What options make of the plant; nothing where all have one plant.
    plants: Option<Table>,
    /// Why the recommended option costs less; nothing where there is no other.
    causes: Option<Table>,
    /// Prices at which another option is the best; nothing where no price makes it.
    break_even: Option<Table>,
    sources: Table,
}

/// Builds it.
pub(super) fn compared(view: &View<'_>) -> Compared {
    let energy = table(view, "Heat and energy of a mean season", &energy(view), &energy_note(view));
    let carbon = table(view, &carbon_caption(view), &carbon_and_doubt(view), "");
    Compared {
        tables: energy.into_iter().chain(carbon).collect(),
        plants: plants::plants(view),
        causes: causes(view),
        break_even: break_even(view),
        sources: sources(&deciding(view), "What the sources of the options that decide did in a mean season"),
    }
}

/// Money of the options: the table of the answer.
pub(super) fn money(view: &View<'_>) -> Table {
    let options = &view.figures.options;
    let caption = match view.recommended() {
        _ if options.len() == 1 => "The option in figures".to_owned(),
        Some(best) => format!("Options side by side; {} is recommended", quoted(&best.name)),
        None => "Options side by side; none does the work".to_owned(),
    };
    let never_pays = |option: &OptionFigures| {
        option.name != view.baseline().name && option.life_cycle.simple_payback_years.is_none()
    };
    let never = if options.iter().any(never_pays) {
        "“Never”: nothing is saved that would pay the extra investment back."
    } else {
        ""
    };
    let note = format!(
        "The bill is the whole site’s ({}) in a mean weather year. Net present cost: {} years at {} a year. Payback and return compare an option with the baseline.",
        if view.has_cool_store() { "heat, drying fans and cool store" } else { "heat and drying fans" },
        view.figures.study.money_years,
        with_unit(&crate::number::plain(view.figures.study.discount_rate * 100.0), "%"),
    );
    let own = whose::note(options);
    table(view, &caption, &money_quantities(), &one_behind_the_other(&[&note, &own, never]))
        .unwrap_or_else(|| Table::new(caption, "option", Vec::new(), Vec::new()))
}

fn money_quantities() -> Vec<Quantity> {
    vec![
        Quantity::new("seasonal energy cost", Unit::Money, |o| Some(o.total_cost)),
        Quantity::new(format!("bill per dried {}", tonne()), Unit::MoneyPer("t"), |o| Some(o.cost_per_dried_t)),
        Quantity::new("investment after grant", Unit::Money, |o| Some(o.life_cycle.capital - o.life_cycle.grant)),
        Quantity::new("upkeep a year", Unit::Money, |o| Some(o.life_cycle.upkeep_per_year)).told(Told::WhereAny),
        Quantity::new("net present cost", Unit::Money, |o| Some(o.life_cycle.net_present_cost)),
        Quantity::new("simple payback", Unit::Of("years"), |o| o.life_cycle.simple_payback_years).missing(NO_PAYBACK),
        Quantity::new("internal rate of return", Unit::Of("%"), |o| o.life_cycle.irr.map(|rate| rate * 100.0))
            .missing(Missing::BesideBaseline("none")),
    ]
}

/// Heat and energy of a season.
fn energy(view: &View<'_>) -> Vec<Quantity> {
    let mut all = vec![
        Quantity::new("heat need", Unit::Heat("MWh"), |o| Some(o.heat_need_kwh / 1000.0)),
        Quantity::new("useful recovered heat", Unit::Heat("MWh"), |o| Some(o.recovered.useful_kwh / 1000.0))
            .told(Told::OfStore),
        Quantity::new("electricity", Unit::Of("MWh"), |o| {
            Some(o.carriers.get("electricity").map_or(0.0, |c| c.kwh) / 1000.0)
        }),
        Quantity::new("fuel", Unit::Heat("MWh"), |o| Some((o.used_kwh - electricity_kwh(o)) / 1000.0))
            .told(Told::WhereAny),
    ];
    if view.figures.options.iter().any(has_own) {
        all.push(Quantity::new("energy used", Unit::Heat("MWh"), |o| Some(o.used_kwh / 1000.0)));
        all.push(Quantity::new("of which the plant’s own", Unit::Heat("MWh"), |o| Some(o.own_kwh / 1000.0)));
    }
    all.extend([
        Quantity::new("energy purchased", Unit::Heat("MWh"), |o| Some(o.purchased_kwh / 1000.0)),
        Quantity::new("peak demand", Unit::Of("kW"), |o| Some(o.electric_peak_kw)),
        Quantity::new("heat capacity of the sources", Unit::Heat("kW"), |o| Some(o.heat_capacity_kw)),
        Quantity::new("hours short of heat", Unit::Of("h"), |o| Some(o.hours_short)),
    ]);
    all
}

fn electricity_kwh(option: &OptionFigures) -> f64 {
    option.carriers.get(crate::answer::figures::ELECTRICITY).map_or(0.0, |carrier| carrier.used_kwh)
}

fn energy_note(view: &View<'_>) -> String {
    format!(
        "Heat need is what {} with ample heat asks for. Peak demand is that of all weather years.",
        if view.plants_differ() { "each option’s own plant" } else { "the same plant" }
    )
}

fn carbon_caption(view: &View<'_>) -> String {
    let carbon = if view.figures.options.iter().any(|option| option.carbon_kg > 0.0) {
        "Carbon of a mean season"
    } else {
        "No carrier has a carbon factor; biogenic carbon"
    };
    match &view.figures.uncertainty {
        Some(_) => format!("{carbon}, and the ranges of bill and net present cost"),
        None => carbon.to_owned(),
    }
}

/// Carbon of a season and, where inputs were drawn, how sure the money is.
fn carbon_and_doubt(view: &View<'_>) -> Vec<Quantity> {
    let mut all = vec![
        Quantity::new("carbon in a season", Unit::Of("t CO₂e"), |o| Some(o.carbon_kg / 1000.0)),
        Quantity::new("of which burnt on the site (scope 1)", Unit::Of("t CO₂e"), |o| {
            Some(o.carbon_scope1_kg / 1000.0)
        }),
        Quantity::new("of which purchased electricity (scope 2)", Unit::Of("t CO₂e"), |o| {
            Some(o.carbon_scope2_kg / 1000.0)
        }),
        Quantity::new("biogenic carbon dioxide, beside it", Unit::Of("t CO₂"), |o| Some(o.biogenic_co2_kg / 1000.0))
            .told(Told::WhereAny),
    ];
    if view.figures.uncertainty.is_some() {
        all.extend([
            Quantity::new("bill, low", Unit::Money, |o| Some(o.uncertainty.total_cost.low())),
            Quantity::new("bill, high", Unit::Money, |o| Some(o.uncertainty.total_cost.high())),
            Quantity::new("net present cost, low", Unit::Money, |o| Some(o.uncertainty.net_present_cost?.low())),
            Quantity::new("net present cost, high", Unit::Money, |o| Some(o.uncertainty.net_present_cost?.high())),
            Quantity::new("best of all", Unit::Of("% of draws"), |o| o.uncertainty.best_in_draws_pct).decimals(0),
        ]);
    }
    all
}

/// A part of a year's cost.
type OfYear = fn(&YearByCause) -> f64;

/// Parts of a year's cost, and what they are called.
pub(super) const CAUSES: [(&str, OfYear); 6] = [
    ("heat: fuel and electricity of the sources", |year| year.heat),
    ("drying fans and lights", |year| year.fans),
    ("cool store", |year| year.cool_store),
    ("demand, fixed charges and tax", |year| year.charges),
    ("owning: capital after grant, upkeep, replacement", |year| year.owning),
    ("price growth: what later years’ energy prices add", |year| year.price_growth),
];

/// The recommended option beside the next best and the baseline, and what it costs above each, by cause.
fn causes(view: &View<'_>) -> Option<Table> {
    let differences = &view.figures.differences;
    let first = differences.first()?;
    let best = view.recommended()?;
    let year = |name: &str| view.option(name).map(|option| option.by_cause);
    let mut columns: Vec<(String, YearByCause)> = vec![(best.name.clone(), best.by_cause)];
    columns.extend(differences.iter().filter_map(|one| Some((one.against.clone(), year(&one.against)?))));
    columns.extend(differences.iter().map(|one| (format!("{} above {}", one.option, one.against), one.above)));
    let all = || columns.iter().map(|(_, year)| year);
    let kept: Vec<_> = CAUSES.iter().filter(|(_, of)| all().any(|year| of(year) != 0.0)).collect();
    let lines: Vec<Vec<f64>> =
        all().map(|year| kept.iter().map(|(_, of)| of(year)).chain([year.total]).collect()).collect();
    let decimals = column_decimals(lines.iter().flatten().copied());
    let cells: Vec<Vec<Cell>> =
        lines.iter().map(|line| line.iter().map(|value| Cell::number(*value, decimals)).collect()).collect();
    let names = kept.iter().map(|(name, _)| (*name).to_owned()).chain(["a year in all".to_owned()]);
    let mut rows: Vec<Row> = rows_of(names, &cells);
    if let Some(last) = rows.last_mut() {
        last.class = "sum";
    }
    let code = view.money.code();
    let heads = columns.into_iter().map(|(name, _)| Head::number(name, code)).collect();
    let caption = format!("Why {} costs less than {} in a year", quoted(&first.option), against(view));
    Some(Table::new(caption, "what for", heads, rows).note(one_behind_the_other(&[
        &format!(
            "Net present cost as an equal yearly sum. {} are energy at the hour’s prices.",
            if view.has_cool_store() { "Heat, fans and cool store" } else { "Heat and fans" }
        ),
        rounding_note(lines.iter().map(Vec::as_slice)),
    ])))
}

/// Prices of carriers at which another option becomes the best.
fn break_even(view: &View<'_>) -> Option<Table> {
    let all = &view.figures.break_even;
    if all.is_empty() {
        return None;
    }
    let row = |one: &BreakEvenFigures| {
        // One price of one carrier reads alike in all of its rows.
        let of_carrier = all.iter().filter(|other| other.carrier == one.carrier);
        let least = of_carrier.map(|one| one.price.min(one.price_there)).fold(f64::INFINITY, f64::min);
        let decimals = column_decimals(std::iter::once(least)).max(2);
        let cells = vec![
            Cell::number(one.price, decimals),
            Cell::words(if one.times > 1.0 { "above" } else { "below" }),
            Cell::number(one.price_there, decimals),
            Cell::number(one.times, 2),
            Cell::words(one.becomes.clone()),
        ];
        Row::new(one.carrier.clone(), cells).unit(format!("{}/{}", view.money.code(), one.unit))
    };
    let heads = vec![
        Head::number("price today", ""),
        Head::words("turns"),
        Head::number("at", ""),
        Head::number("times today’s", ""),
        Head::words("then the best is"),
    ];
    let caption = "Prices at which another option becomes the best, all others as they are";
    Some(Table::of_unlike_rows(caption, "carrier", heads, all.iter().map(row).collect()).note(format!(
        "The price is the whole bill over what is used: electricity with demand and fixed charges and tax{}.",
        if view.figures.options.iter().any(has_own) {
            ", the plant’s own supply at what it would have fetched"
        } else {
            ""
        }
    )))
}

fn against(view: &View<'_>) -> String {
    let names: Vec<String> = view.figures.differences.iter().map(|one| quoted(&one.against)).collect();
    crate::page::parts::listed(&names)
}

/// The recommended option, the next best and the baseline, each once.
pub(super) fn deciding<'a>(view: &View<'a>) -> Vec<&'a OptionFigures> {
    view.figures.deciding().into_iter().map(|(_, place)| &view.figures.options[place]).collect()
}

/// The sources of these options: what they gave, how well and how long. Options whose sources did the same are named
/// together.
pub(super) fn sources(options: &[&OptionFigures], caption: &str) -> Table {
    let mut all: Vec<(Vec<&str>, &SourceFigures)> = Vec::new();
    for option in options {
        for source in &option.sources {
            match all.iter_mut().find(|(_, known)| *known == source) {
                Some((names, _)) => names.push(&option.name),
                None => all.push((vec![&option.name], source)),
            }
        }
    }
    let of = |value: fn(&SourceFigures) -> f64| column(&all.iter().map(|(_, s)| value(s)).collect::<Vec<_>>());
    let performance =
        all.iter().map(|(_, source)| Cell::number_or(source.seasonal_performance, 2, "takes none")).collect();
    let columns = vec![
        all.iter().map(|(names, _)| Cell::words(names.join("; "))).collect(),
        of(|s| s.capacity_kw),
        of(|s| s.heat_kwh / 1000.0),
        of(|s| s.peak_kw),
        of(|s| s.electricity_kwh / 1000.0),
        of(|s| s.fuel_kwh / 1000.0),
        performance,
        all.iter().map(|(_, s)| Cell::number(s.hours, 0)).collect(),
        all.iter().map(|(_, s)| Cell::number(s.starts, 0)).collect(),
    ];
    let heads = vec![
        Head::words("in option"),
        Head::heat("rated", "kW"),
        Head::heat("heat given", "MWh"),
        Head::heat("most in an hour", "kW"),
        Head::number("electricity", "MWh"),
        Head::heat("fuel", "MWh"),
        Head::number("seasonal COP or efficiency", ""),
        Head::number("hours", ""),
        Head::number("starts", ""),
    ];
    let names = all.iter().map(|(_, source)| source.name.clone());
    Table::new(caption, "source", heads, rows_of(names, &columns))
        .note("A start is an hour of heat after one without; within an hour a source may start more often.")
}
