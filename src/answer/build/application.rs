//! Baseline against proposal: the figures of an application, and the formulas that give them.

use crate::answer::figures::{ApplicationFigures, CarrierFigures, ComparedFigure, OptionFigures, ProposalFigure};
use crate::ledger::Book;
use crate::money::Bid;
use crate::number::{Sentence, tonne};
use crate::study::Study;
use std::collections::BTreeSet;

mod offers;
mod proposal;
mod remarks;
mod scheme;

/// What is proposed, and how it stands among the options.
pub(super) struct Proposed<'a> {
    /// The baseline.
    pub base: &'a OptionFigures,
    /// What is proposed in its place.
    pub proposal: &'a OptionFigures,
    /// The recommended option; `None` where none does the work.
    pub recommended: Option<&'a OptionFigures>,
    /// True if the study names the proposal.
    pub is_named: bool,
    /// The proposal as the scheme sees it.
    pub bid: Bid,
    /// All options, and the places of the baseline and of the proposal among them.
    pub options: &'a [OptionFigures],
    pub base_place: usize,
    pub place: usize,
    /// The proposal's books, one a weather year.
    pub books: &'a [Book],
}

/// The figures of an application for this proposal.
pub(super) fn application(study: &Study, proposed: &Proposed<'_>) -> ApplicationFigures {
    let &Proposed { base, proposal, .. } = proposed;
    let carriers = Carriers::of(base, proposal);
    let mut both = Both { base, proposal, study, figures: Vec::new() };
    both.energy(&carriers);
    both.carbon(&carriers);
    both.money(&carriers);
    ApplicationFigures {
        baseline: base.name.clone(),
        proposal: proposal.name.clone(),
        named_by_study: proposed.is_named,
        is_recommended: proposed.is_recommended(),
        saves_something: proposed.bid.saved.saves_something(),
        remarks: proposed.remarks(study),
        benefits: study.application.benefits.clone(),
        tests: scheme::tests(study, &proposed.bid),
        measures: offers::offers(base, proposed.options),
        costs: scheme::costs(study, proposed.base_place, proposed.place),
        specifications: scheme::specifications(proposal, proposed.books),
        meters: scheme::meters(study, proposed),
        of_both: both.figures,
        of_the_proposal: proposal::figures(study, proposed, &carriers),
    }
}

/// The carriers of either option, each with the letter that stands for it in symbols.
pub(super) struct Carriers<'a> {
    all: Vec<Carrier<'a>>,
}

pub(super) struct Carrier<'a> {
    pub name: &'a str,
    pub letter: char,
    /// True if the plant has a supply of it of its own in either option.
    pub has_own: bool,
}

impl Carrier<'_> {
    fn is_electricity(&self) -> bool {
        self.name == crate::money::ELECTRICITY
    }

    /// Symbol of what is used of it: all of it purchased where the plant has none of its own.
    fn used(&self) -> String {
        format!("{}{}", if self.has_own { 'U' } else { 'P' }, self.letter)
    }

    /// Symbol of its bill.
    pub(super) fn bill(&self) -> String {
        format!("B{}", self.letter)
    }
}

impl<'a> Carriers<'a> {
    fn of(base: &'a OptionFigures, proposal: &'a OptionFigures) -> Self {
        let names: BTreeSet<&String> = base.carriers.keys().chain(proposal.carriers.keys()).collect();
        let has_own = |name: &String| {
            let own = |option: &OptionFigures| option.carriers.get(name).is_some_and(|carrier| carrier.own_kwh > 0.0);
            own(base) || own(proposal)
        };
        let all = names.into_iter().zip('a'..='z');
        Self { all: all.map(|(name, letter)| Carrier { name, letter, has_own: has_own(name) }).collect() }
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Carrier<'a>> {
        self.all.iter()
    }

    /// A sum over carriers: `Pa + Pb`.
    pub(super) fn sum(&self, term: impl Fn(&Carrier<'a>) -> Option<String>) -> String {
        let terms: Vec<String> = self.all.iter().filter_map(term).collect();
        if terms.is_empty() { "0".to_owned() } else { terms.join(" + ") }
    }
}

/// Six figures of a factor, as formulas print it.
pub(super) fn factor(value: f64) -> String {
    let rounded: f64 = format!("{value:.5e}").parse().unwrap_or(value);
    rounded.to_string()
}

/// Figures of both options as they are gathered.
struct Both<'a> {
    base: &'a OptionFigures,
    proposal: &'a OptionFigures,
    study: &'a Study,
    figures: Vec<ComparedFigure>,
}

impl Both<'_> {
    fn add(
        &mut self,
        (symbol, name, unit): (&str, impl Into<Sentence>, &str),
        of: &dyn Fn(&OptionFigures) -> f64,
        formula: &str,
    ) {
        let (baseline, proposal) = (of(self.base), of(self.proposal));
        self.figures.push(ComparedFigure {
            symbol: symbol.to_owned(),
            name: name.into(),
            unit: unit.to_owned(),
            baseline,
            proposal,
            saved: baseline - proposal,
            formula: formula.to_owned(),
        });
    }

    fn energy(&mut self, carriers: &Carriers<'_>) {
        const KWH: &str = "kWh a season";
        self.add(("T", "dried nuts", "t"), &|option| option.dried_t, "from the season");
        for carrier in carriers.iter() {
            let (name, letter) = (carrier.name, carrier.letter);
            let of = |what: fn(&CarrierFigures) -> f64| {
                move |option: &OptionFigures| option.carriers.get(name).map_or(0.0, what)
            };
            let all_hours = "sum of all hours; fuel on net heating value";
            if carrier.has_own {
                let symbol = format!("U{letter}");
                self.add((&symbol, &format!("{name} used"), KWH), &of(|c| c.used_kwh), all_hours);
                self.add(
                    (&format!("O{letter}"), &format!("{name}, the plant’s own"), KWH),
                    &of(|c| c.own_kwh),
                    "own supply burnt, on net heating value",
                );
            }
            let whole = format!("U{letter} − O{letter}");
            self.add(
                (&format!("P{letter}"), &format!("{name} purchased"), KWH),
                &of(|c| c.purchased_kwh),
                if carrier.has_own { &whole } else { all_hours },
            );
        }
        if carriers.iter().any(|carrier| carrier.has_own) {
            let used = carriers.sum(|carrier| Some(carrier.used()));
            self.add(("U", "energy used", KWH), &|option| option.used_kwh, &used);
            let own = carriers.sum(|carrier| carrier.has_own.then(|| format!("O{}", carrier.letter)));
            self.add(("O", "of which the plant’s own", KWH), &|option| option.own_kwh, &own);
        }
        let purchased = carriers.sum(|carrier| Some(format!("P{}", carrier.letter)));
        self.add(("E", "energy purchased", KWH), &|option| option.purchased_kwh, &purchased);
        self.add(("", for_each("energy purchased"), "kWh/t"), &|option| option.kwh_per_dried_t, "E / T");
        self.add(("", "peak demand", "kW"), &|option| option.electric_peak_kw, "highest hour of all weather years");
    }

    fn carbon(&mut self, carriers: &Carriers<'_>) {
        const KG: &str = "kg CO₂e a season";
        let fuels = self.study.carriers.fuels.clone();
        let burnt = carriers.sum(|carrier| {
            let fuel = fuels.get(carrier.name)?;
            Some(format!("{} × {}", carrier.used(), factor(fuel.carbon_kg_per_kwh)))
        });
        let grid = factor(self.study.carriers.electricity_carbon_kg_per_kwh);
        let purchased =
            carriers.sum(|carrier| carrier.is_electricity().then(|| format!("{} × {grid}", carrier.used())));
        self.add(("S", "carbon of fuel burnt on the site (scope 1)", KG), &|option| option.carbon_scope1_kg, &burnt);
        self.add(("G", "carbon of purchased electricity (scope 2)", KG), &|option| option.carbon_scope2_kg, &purchased);
        self.add(("C", "carbon", KG), &|option| option.carbon_kg, "S + G");
        self.add(
            ("", for_each("carbon"), "kg CO₂e/t"),
            &|option| if option.dried_t > 0.0 { option.carbon_kg / option.dried_t } else { 0.0 },
            "C / T",
        );
        if self.base.biogenic_co2_kg + self.proposal.biogenic_co2_kg > 0.0 {
            let biogenic = carriers.sum(|carrier| {
                let fuel = fuels.get(carrier.name).filter(|fuel| fuel.biogenic_kg_per_kwh > 0.0)?;
                Some(format!("{} × {}", carrier.used(), factor(fuel.biogenic_kg_per_kwh)))
            });
            self.add(
                ("", "biogenic carbon dioxide, not in the carbon above", "kg CO₂ a season"),
                &|option| option.biogenic_co2_kg,
                &biogenic,
            );
        }
    }

    fn money(&mut self, carriers: &Carriers<'_>) {
        let code = self.study.currency.to_string();
        for carrier in carriers.iter() {
            let name = carrier.name;
            self.add(
                (&carrier.bill(), &format!("bill of {name}"), &code),
                &|option| option.carriers.get(name).map_or(0.0, |carrier| carrier.cost),
                if carrier.is_electricity() {
                    "energy, demand, fixed charges and tax, month by month"
                } else if carrier.has_own {
                    "purchased at its price, the own supply at what it would have fetched, and fixed charges, month by month"
                } else {
                    "energy and fixed charges, month by month"
                },
            );
        }
        let bill = carriers.sum(|carrier| Some(carrier.bill()));
        self.add(("B", "seasonal energy cost", &code), &|option| option.total_cost, &bill);
        self.add(
            ("M", "upkeep a year", &code),
            &|option| option.life_cycle.upkeep_per_year,
            "sum of its sources’ upkeep and its own",
        );
        let (capital, standing) = (
            "sum of its sources’ capital and its own",
            "sum of its sources’ capital and its own; what the installed baseline has costs none",
        );
        let installed = self.study.application.baseline_installed;
        self.add(
            ("K", "capital", &code),
            &|option| option.life_cycle.capital,
            if installed { standing } else { capital },
        );
        self.add(
            ("H", "heat given or spared", "kWh a season"),
            &|option| option.heat_delivered_kwh + option.heat_spared_kwh.unwrap_or(0.0),
            "by sources and recovery, and spared by taking water from the air, sum of all hours",
        );
        self.add(
            ("A", "heat’s own costs as an equal yearly sum", &code),
            &|option| option.life_cycle.heat_annual_equivalent,
            "sources, upkeep, fuel, electricity at the hour’s price; demand charge left out",
        );
        self.add(
            ("", "levelised cost of heat", &format!("{code}/kWh")),
            &|option| option.life_cycle.levelised_heat_cost_per_kwh.unwrap_or(0.0),
            "A / H",
        );
    }
}

/// So much of something for each tonne of dried nuts.
fn for_each(what: &str) -> Sentence {
    Sentence::of(|| format!("{what} per dried {}", tonne()))
}

/// A figure of the proposal alone.
fn line(
    (symbol, name, unit): (&str, &str, &str),
    value: Option<f64>,
    why: &str,
    formula: impl Into<String>,
) -> ProposalFigure {
    ProposalFigure {
        symbol: symbol.to_owned(),
        name: name.to_owned(),
        unit: unit.to_owned(),
        why: if value.is_some() { String::new() } else { why.to_owned() },
        value,
        formula: formula.into(),
    }
}
