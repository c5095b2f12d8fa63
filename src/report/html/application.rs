//! Figures for an application: baseline against proposal, with the formulas beside them.

use super::parts::{Head, Row, Table};
use super::view::View;
use crate::report::figures::{CarrierFigures, OptionFigures};
use crate::report::number::{Cell, column_decimals};
use serde::Serialize;
use std::collections::BTreeSet;

/// The ninth section.
#[derive(Debug, Serialize)]
pub struct Application {
    lead: String,
    table: Option<Table>,
    savings: Option<Table>,
}

/// Builds it.
pub fn application(view: &View<'_>) -> Application {
    let base = view.baseline();
    let Some(proposal) = view.proposal() else {
        return Application {
            lead: "The study has one option, so there is no proposal to compare with the baseline."
                .to_owned(),
            table: None,
            savings: None,
        };
    };
    let lead = if view.something_beats_the_baseline() {
        format!(
            "Baseline: {} ({}). Proposal: {} ({}).",
            base.name, base.description, proposal.name, proposal.description
        )
    } else {
        format!(
            "No option beats the baseline, {} ({}). Beside it stands the best of the others, {} ({}).",
            base.name, base.description, proposal.name, proposal.description
        )
    };
    Application {
        lead,
        table: Some(side_by_side(view, base, proposal)),
        savings: Some(savings(view, base, proposal)),
    }
}

fn side_by_side(view: &View<'_>, base: &OptionFigures, proposal: &OptionFigures) -> Table {
    let code = view.money.code();
    let dried_t = view.figures.season.dried_t;
    let mut rows = Vec::new();
    let mut add = |name: String, unit: &str, of: &dyn Fn(&OptionFigures) -> f64, formula: &str| {
        let (a, b) = (of(base), of(proposal));
        let decimals = column_decimals([a, b].into_iter());
        rows.push(Row::new(
            name,
            vec![
                Cell::words(unit),
                Cell::number(a, decimals),
                Cell::number(b, decimals),
                Cell::number(a - b, decimals),
                Cell::words(formula),
            ],
        ));
    };
    let carriers: BTreeSet<&String> = base
        .carriers
        .keys()
        .chain(proposal.carriers.keys())
        .collect();
    let of_carrier = |option: &OptionFigures, name: &String, of: fn(&CarrierFigures) -> f64| {
        option.carriers.get(name).map_or(0.0, of)
    };
    for name in &carriers {
        add(
            format!("{name} bought"),
            "kWh a season",
            &|option| of_carrier(option, name, |c| c.kwh),
            "sum of all hours; fuel on net heating value",
        );
    }
    add(
        "energy bought".to_owned(),
        "kWh a season",
        &|option| option.purchased_kwh,
        "E = sum over carriers",
    );
    add(
        "energy bought per dried tonne".to_owned(),
        "kWh/t",
        &|option| option.kwh_per_dried_t,
        "E / dried tonnes",
    );
    add(
        "highest hour of electricity".to_owned(),
        "kW",
        &|option| option.electric_peak_kw,
        "highest hour of all weather years",
    );
    add(
        "carbon".to_owned(),
        "kg CO₂e a season",
        &|option| option.carbon_kg,
        "C = sum of energy × factor of its carrier",
    );
    if dried_t > 0.0 {
        add(
            "carbon per dried tonne".to_owned(),
            "kg CO₂e/t",
            &|option| option.carbon_kg / dried_t,
            "C / dried tonnes",
        );
    }
    add(
        "season’s energy bill".to_owned(),
        code,
        &|option| option.total_cost,
        "B = energy + demand + fixed charges + tax",
    );
    let heads = vec![
        Head::words("unit"),
        Head::number(format!("baseline: {}", base.name), ""),
        Head::number(format!("proposal: {}", proposal.name), ""),
        Head::number("saved", ""),
        Head::words("formula"),
    ];
    Table::new(
        "Baseline against proposal, the whole site in a mean weather year",
        "figure",
        heads,
        rows,
    )
}

fn savings(view: &View<'_>, base: &OptionFigures, proposal: &OptionFigures) -> Table {
    let code = view.money.code();
    let study = &view.figures.study;
    let years = f64::from(study.money_years);
    let life = &proposal.life_cycle;
    let net = |option: &OptionFigures| option.life_cycle.capital - option.life_cycle.grant;
    let extra = net(proposal) - net(base);
    let saved_energy = base.purchased_kwh - proposal.purchased_kwh;
    let saved_carbon = base.carbon_kg - proposal.carbon_kg;
    let mut rows = Vec::new();
    let mut add = |name: &str, unit: &str, value: Option<f64>, why: &str, formula: &str| {
        let decimals = column_decimals(value.into_iter());
        rows.push(Row::new(
            name,
            vec![
                Cell::words(unit),
                Cell::number_or(value, decimals, why),
                Cell::words(formula),
            ],
        ));
    };
    let share = |saved: f64, whole: f64| (whole > 0.0).then(|| saved / whole * 100.0);
    add(
        "energy saved",
        "%",
        share(saved_energy, base.purchased_kwh),
        "nothing is bought",
        "(E baseline − E proposal) / E baseline",
    );
    add(
        "carbon saved",
        "%",
        share(saved_carbon, base.carbon_kg),
        "nothing is emitted",
        "(C baseline − C proposal) / C baseline",
    );
    add(
        "energy saved over the period",
        "MWh",
        Some(saved_energy * years / 1000.0),
        "",
        "energy saved a season × years",
    );
    add(
        "carbon saved over the period",
        "t CO₂e",
        Some(saved_carbon * years / 1000.0),
        "",
        "carbon saved a season × years, factors unchanged",
    );
    add(
        "capital of the proposal",
        code,
        Some(life.capital),
        "",
        "sum of its sources’ capital",
    );
    add(
        "grant",
        code,
        Some(life.grant),
        "",
        "capital × grant share, where the option qualifies",
    );
    add(
        "extra investment after grant",
        code,
        Some(extra),
        "",
        "I = net capital of proposal − of baseline",
    );
    add(
        "simple payback",
        "years",
        life.simple_payback_years,
        "never",
        "I / yearly saving of bill and upkeep",
    );
    add(
        "discounted payback",
        "years",
        life.discounted_payback_years,
        "never within the period",
        "first year in which discounted savings reach I",
    );
    add(
        "net present saving",
        code,
        Some(life.net_saving),
        "",
        "net present cost of baseline − of proposal",
    );
    add(
        "internal rate of return",
        "% a year",
        life.irr.map(|rate| rate * 100.0),
        "none",
        "rate at which the net present saving is zero",
    );
    add(
        "savings over investment",
        "ratio",
        life.savings_to_investment,
        "no extra investment",
        "present value of savings / I",
    );
    let per_carbon = (saved_carbon > 0.0 && life.grant > 0.0)
        .then(|| life.grant / (saved_carbon * years / 1000.0));
    add(
        "grant per tonne of carbon saved",
        &format!("{code}/t CO₂e"),
        per_carbon,
        "no grant, or no carbon saved",
        "grant / carbon saved over the period",
    );
    Table::new(
        format!("Savings over {} years, {} % a year real", study.money_years, crate::report::number::three(study.discount_rate * 100.0)),
        "figure",
        vec![Head::words("unit"), Head::number("value", ""), Head::words("formula")],
        rows,
    )
    .note("Life-cycle money follows NIST Handbook 135 (Life-Cycle Costing Manual); prices are in constant money of the first year.")
}
