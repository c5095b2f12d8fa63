//! Figures for an application: baseline against proposal, with the formulas beside them.

use super::parts::{Head, Row, Table};
use super::view::View;
use super::whose::has_own;
use crate::report::figures::{CarrierFigures, OptionFigures};
use crate::report::number::{self, Cell, column_decimals};
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
        return Application { lead: no_proposal(view), table: None, savings: None };
    };
    let lead = if view.something_beats_the_baseline() {
        let unequal = if base.does_the_work {
            ""
        } else {
            " The baseline does not do the work, so that what is saved against it is not saved for equal work."
        };
        format!(
            "Baseline: “{}” ({}). Proposal: “{}” ({}).{unequal}",
            base.name, base.description, proposal.name, proposal.description
        )
    } else {
        format!(
            "No option beats the baseline, “{}” ({}). Beside it stands the best of the others, “{}” ({}).",
            base.name, base.description, proposal.name, proposal.description
        )
    };
    Application {
        lead,
        table: Some(side_by_side(view, base, proposal)),
        savings: Some(savings(view, base, proposal)),
    }
}

/// Why there is no proposal.
fn no_proposal(view: &View<'_>) -> String {
    let options = &view.figures.options;
    if options.len() == 1 {
        return "The study has one option, so there is no proposal to compare with the baseline."
            .to_owned();
    }
    let what = if options.iter().any(|option| option.does_the_work) {
        "No option but the baseline does the work"
    } else {
        "No option does the work"
    };
    format!("{what}, so that none can be proposed: what each leaves undone stands in the answer.")
}

fn side_by_side(view: &View<'_>, base: &OptionFigures, proposal: &OptionFigures) -> Table {
    let code = view.money.code();
    let dried_t = view.figures.season.dried_t;
    let mut rows = Vec::new();
    let mut add = |name: String, unit: &str, of: &dyn Fn(&OptionFigures) -> f64, formula: &str| {
        let (a, b) = (of(base), of(proposal));
        let decimals = column_decimals([a, b].into_iter());
        let cells = vec![
            Cell::number(a, decimals),
            Cell::number(b, decimals),
            Cell::number(a - b, decimals),
            Cell::words(formula),
        ];
        rows.push(Row::new(name, cells).unit(unit));
    };
    energy_rows(base, proposal, &mut add);
    add(
        "energy purchased".to_owned(),
        "kWh a season",
        &|option| option.purchased_kwh,
        "E = sum of what is purchased over carriers",
    );
    add(
        "energy purchased per dried tonne".to_owned(),
        "kWh/t",
        &|option| option.kwh_per_dried_t,
        "E / dried tonnes",
    );
    add(
        "peak demand".to_owned(),
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
        Head::number(format!("baseline: {}", base.name), ""),
        Head::number(format!("proposal: {}", proposal.name), ""),
        Head::number("saved", ""),
        Head::words("formula"),
    ];
    Table::of_unlike_rows(
        "Baseline against proposal, the whole site in a mean weather year",
        "figure",
        heads,
        rows,
    )
}

/// Adds a row of this name and unit: a figure of either option, and its formula.
type AddRow<'a> = &'a mut dyn FnMut(String, &str, &dyn Fn(&OptionFigures) -> f64, &str);

/// Energy by carrier, and where a plant has a supply of its own what was used, its own, and purchased.
fn energy_rows(base: &OptionFigures, proposal: &OptionFigures, add: AddRow<'_>) {
    let carriers: BTreeSet<&String> =
        base.carriers.keys().chain(proposal.carriers.keys()).collect();
    let of_carrier = |option: &OptionFigures, name: &String, of: fn(&CarrierFigures) -> f64| {
        option.carriers.get(name).map_or(0.0, of)
    };
    for name in &carriers {
        let has_own = [base, proposal]
            .into_iter()
            .any(|option| of_carrier(option, name, |c| c.own_kwh) > 0.0);
        if has_own {
            add(
                format!("{name} used"),
                "kWh a season",
                &|option| of_carrier(option, name, |c| c.used_kwh),
                "sum of all hours; fuel on net heating value",
            );
            add(
                format!("{name}, the plant’s own"),
                "kWh a season",
                &|option| of_carrier(option, name, |c| c.own_kwh),
                "own supply burnt × net heating value",
            );
        }
        add(
            format!("{name} purchased"),
            "kWh a season",
            &|option| of_carrier(option, name, |c| c.purchased_kwh),
            if has_own { "used − own" } else { "sum of all hours; fuel on net heating value" },
        );
    }
    if has_own(base) || has_own(proposal) {
        add(
            "energy used".to_owned(),
            "kWh a season",
            &|option| option.used_kwh,
            "U = sum over carriers, own and purchased",
        );
        add(
            "of which the plant’s own".to_owned(),
            "kWh a season",
            &|option| option.own_kwh,
            "O = sum over carriers",
        );
    }
}

/// One line of the savings: a value or why there is none, and how it is reckoned.
struct Line {
    name: &'static str,
    unit: String,
    value: Option<f64>,
    why: &'static str,
    formula: &'static str,
}

impl Line {
    fn new(
        name: &'static str,
        unit: impl Into<String>,
        value: impl Into<Option<f64>>,
        formula: &'static str,
    ) -> Self {
        Self { name, unit: unit.into(), value: value.into(), why: "none", formula }
    }

    /// What to say where there is no value.
    fn or(mut self, why: &'static str) -> Self {
        self.why = why;
        self
    }

    fn row(self) -> Row {
        let decimals = if self.name == "discounted payback" {
            0
        } else {
            column_decimals(self.value.into_iter())
        };
        let cells =
            vec![Cell::number_or(self.value, decimals, self.why), Cell::words(self.formula)];
        Row::new(self.name, cells).unit(self.unit)
    }
}

fn savings(view: &View<'_>, base: &OptionFigures, proposal: &OptionFigures) -> Table {
    let study = &view.figures.study;
    let years = f64::from(study.money_years);
    let saved_carbon_t = (base.carbon_kg - proposal.carbon_kg) * years / 1000.0;
    let lines = saved_lines(base, proposal, years).into_iter().chain(money_lines(
        view,
        base,
        proposal,
        saved_carbon_t,
    ));
    let rate = number::plain(study.discount_rate * 100.0);
    Table::of_unlike_rows(
        format!(
            "Savings over {} years, {rate} % a year real",
            study.money_years
        ),
        "figure",
        vec![Head::number("value", ""), Head::words("formula")],
        lines.map(Line::row).collect(),
    )
    .note("Life-cycle money follows NIST Handbook 135 (Life-Cycle Costing Manual); prices are in constant money of the first year.")
}

/// Energy and carbon saved, as shares and over the period.
fn saved_lines(base: &OptionFigures, proposal: &OptionFigures, years: f64) -> [Line; 4] {
    let energy = base.purchased_kwh - proposal.purchased_kwh;
    let carbon = base.carbon_kg - proposal.carbon_kg;
    let share = |saved: f64, whole: f64| (whole > 0.0).then(|| saved / whole * 100.0);
    [
        Line::new(
            "purchased energy saved",
            "%",
            share(energy, base.purchased_kwh),
            "(E baseline − E proposal) / E baseline",
        )
        .or("nothing is purchased"),
        Line::new(
            "carbon saved",
            "%",
            share(carbon, base.carbon_kg),
            "(C baseline − C proposal) / C baseline",
        )
        .or("nothing is emitted"),
        Line::new(
            "purchased energy saved over the period",
            "MWh",
            energy * years / 1000.0,
            "purchased energy saved a season × years",
        ),
        Line::new(
            "carbon saved over the period",
            "t CO₂e",
            carbon * years / 1000.0,
            "carbon saved a season × years, factors unchanged",
        ),
    ]
}

/// What it costs and brings.
fn money_lines(
    view: &View<'_>,
    base: &OptionFigures,
    proposal: &OptionFigures,
    saved_carbon_t: f64,
) -> [Line; 9] {
    let code = view.money.code();
    let life = &proposal.life_cycle;
    let net = |option: &OptionFigures| option.life_cycle.capital - option.life_cycle.grant;
    let grant_per_t =
        (saved_carbon_t > 0.0 && life.grant > 0.0).then(|| life.grant / saved_carbon_t);
    [
        Line::new(
            "capital of the proposal",
            code,
            life.capital,
            "sum of its sources’ capital and its own",
        ),
        Line::new("grant", code, life.grant, "capital × grant share, where the option qualifies"),
        Line::new(
            "extra investment after grant",
            code,
            net(proposal) - net(base),
            "I = net capital of proposal − of baseline",
        ),
        Line::new(
            "simple payback",
            "years",
            life.simple_payback_years,
            "I / yearly saving of bill and upkeep",
        )
        .or("never"),
        Line::new(
            "discounted payback",
            "years",
            life.discounted_payback_years,
            "first year in which discounted savings reach I",
        )
        .or("never within the period"),
        Line::new(
            "net present saving",
            code,
            life.net_saving,
            "net present cost of baseline − of proposal",
        ),
        Line::new(
            "internal rate of return",
            "% a year",
            life.irr.map(|rate| rate * 100.0),
            "rate at which the net present saving is zero",
        ),
        Line::new(
            "savings over investment",
            "ratio",
            life.savings_to_investment,
            "present value of savings / I",
        )
        .or("no extra investment"),
        Line::new(
            "grant per tonne of carbon saved",
            format!("{code}/t CO₂e"),
            grant_per_t,
            "grant / carbon saved over the period",
        )
        .or("no grant, or no carbon saved"),
    ]
}
