//! Baseline against proposal: the figures of an application, and the formulas that give them.

use crate::answer::figures::{
    ApplicationFigures, BothKey, CarrierFigures, ComparedFigure, Formula, OptionFigures, Term,
};
use crate::number::{Sentence, tonne};
use crate::study::Study;

mod carriers;
mod offers;
mod proposal;
mod proposed;
mod remarks;
mod scheme;

use carriers::Carriers;
pub(super) use proposed::Proposed;

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
        named_by_study: proposed.is_named(),
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
        (key, name, unit): (BothKey, impl Into<Sentence>, &str),
        of: &dyn Fn(&OptionFigures) -> f64,
        formula: impl Into<Formula>,
    ) {
        let (baseline, proposal) = (of(self.base), of(self.proposal));
        self.figures.push(ComparedFigure {
            symbol: key.symbol(),
            key,
            name: name.into(),
            unit: unit.to_owned(),
            baseline,
            proposal,
            saved: baseline - proposal,
            saved_in_draws: None,
            formula: formula.into(),
        });
    }

    fn energy(&mut self, carriers: &Carriers) {
        const KWH: &str = "kWh a season";
        let all_hours = || Formula::from("sum of all hours; fuel on net heating value");
        self.add((BothKey::DriedNuts, "dried nuts", "t"), &|option| option.dried_t, "from the season");
        for carrier in carriers.iter() {
            let (name, sign) = (&carrier.sign.name, || carrier.sign.clone());
            let of = |what: fn(&CarrierFigures) -> f64| {
                move |option: &OptionFigures| option.carriers.get(name).map_or(0.0, what)
            };
            if carrier.has_own {
                let key = BothKey::CarrierUsed(sign());
                self.add((key, &format!("{name} used"), KWH), &of(|c| c.used_kwh), all_hours());
                self.add(
                    (BothKey::CarrierOwn(sign()), &format!("{name}, the plant’s own"), KWH),
                    &of(|c| c.own_kwh),
                    "own supply burnt, on net heating value",
                );
            }
            let whole = || BothKey::CarrierUsed(sign()).own() - BothKey::CarrierOwn(sign()).own();
            self.add(
                (BothKey::CarrierPurchased(sign()), &format!("{name} purchased"), KWH),
                &of(|c| c.purchased_kwh),
                if carrier.has_own { whole().into() } else { all_hours() },
            );
        }
        if carriers.iter().any(|carrier| carrier.has_own) {
            let used = carriers.sum(|carrier| Some(carrier.used()));
            self.add((BothKey::Used, "energy used", KWH), &|option| option.used_kwh, used);
            let own = carriers.sum(|carrier| carrier.has_own.then(|| BothKey::CarrierOwn(carrier.sign.clone()).own()));
            self.add((BothKey::Own, "of which the plant’s own", KWH), &|option| option.own_kwh, own);
        }
        let purchased = carriers.sum(|carrier| Some(BothKey::CarrierPurchased(carrier.sign.clone()).own()));
        self.add((BothKey::Purchased, "energy purchased", KWH), &|option| option.purchased_kwh, purchased);
        self.add(
            (BothKey::PurchasedPerTonne, for_each("energy purchased"), "kWh/t"),
            &|option| option.kwh_per_dried_t,
            BothKey::Purchased.own() / BothKey::DriedNuts.own(),
        );
        self.add(
            (BothKey::PeakDemand, "peak demand", "kW"),
            &|option| option.electric_peak_kw,
            "highest hour of all weather years",
        );
    }

    fn carbon(&mut self, carriers: &Carriers) {
        const KG: &str = "kg CO₂e a season";
        let fuels = self.study.carriers.fuels.clone();
        let burnt = carriers.sum(|carrier| {
            let fuel = fuels.get(&carrier.sign.name)?;
            Some(carrier.used() * Term::Number(fuel.carbon_kg_per_kwh))
        });
        let grid = self.study.carriers.electricity_carbon_kg_per_kwh;
        let purchased = carriers.sum(|carrier| carrier.is_electricity().then(|| carrier.used() * Term::Number(grid)));
        self.add(
            (BothKey::CarbonScope1, "carbon of fuel burnt on the site (scope 1)", KG),
            &|option| option.carbon_scope1_kg,
            burnt,
        );
        self.add(
            (BothKey::CarbonScope2, "carbon of purchased electricity (scope 2)", KG),
            &|option| option.carbon_scope2_kg,
            purchased,
        );
        self.add(
            (BothKey::Carbon, "carbon", KG),
            &|option| option.carbon_kg,
            BothKey::CarbonScope1.own() + BothKey::CarbonScope2.own(),
        );
        self.add(
            (BothKey::CarbonPerTonne, for_each("carbon"), "kg CO₂e/t"),
            &|option| if option.dried_t > 0.0 { option.carbon_kg / option.dried_t } else { 0.0 },
            BothKey::Carbon.own() / BothKey::DriedNuts.own(),
        );
        if self.base.biogenic_co2_kg + self.proposal.biogenic_co2_kg > 0.0 {
            let biogenic = carriers.sum(|carrier| {
                let fuel = fuels.get(&carrier.sign.name).filter(|fuel| fuel.biogenic_kg_per_kwh > 0.0)?;
                Some(carrier.used() * Term::Number(fuel.biogenic_kg_per_kwh))
            });
            self.add(
                (BothKey::BiogenicCo2, "biogenic carbon dioxide, not in the carbon above", "kg CO₂ a season"),
                &|option| option.biogenic_co2_kg,
                biogenic,
            );
        }
    }

    fn money(&mut self, carriers: &Carriers) {
        let code = self.study.currency.to_string();
        for carrier in carriers.iter() {
            let name = &carrier.sign.name;
            self.add(
                (carrier.bill(), &format!("bill of {name}"), &code),
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
        let bill = carriers.sum(|carrier| Some(carrier.bill().own()));
        self.add((BothKey::Bill, "seasonal energy cost", &code), &|option| option.total_cost, bill);
        self.add(
            (BothKey::Upkeep, "upkeep a year", &code),
            &|option| option.life_cycle.upkeep_per_year,
            if [self.base, self.proposal].iter().any(|option| option.fuels_outside_bill() > 0.0) {
                "sum of its sources’ upkeep and its own, and fixed charges of fuels in months without a bill"
            } else {
                "sum of its sources’ upkeep and its own"
            },
        );
        let (capital, standing) = (
            "sum of its sources’ capital and its own",
            "sum of its sources’ capital and its own; what the installed baseline has costs none",
        );
        let installed = self.study.application.baseline_installed;
        self.add(
            (BothKey::Capital, "capital", &code),
            &|option| option.life_cycle.capital,
            if installed { standing } else { capital },
        );
        self.add(
            (BothKey::Heat, "heat given or spared", "kWh a season"),
            &|option| option.heat_delivered_kwh + option.heat_spared_kwh.unwrap_or(0.0),
            "by sources and recovery, and spared by taking water from the air, sum of all hours",
        );
        self.add(
            (BothKey::HeatYearly, "heat’s own costs as an equal yearly sum", &code),
            &|option| option.life_cycle.heat_annual_equivalent,
            "sources, upkeep, fuel, electricity at the hour’s price; demand charge left out",
        );
        self.add(
            (BothKey::HeatLevelised, "levelised cost of heat", &format!("{code}/kWh")),
            &|option| option.life_cycle.levelised_heat_cost_per_kwh.unwrap_or(0.0),
            BothKey::HeatYearly.own() / BothKey::Heat.own(),
        );
    }
}

/// So much of something for each tonne of dried nuts.
fn for_each(what: &str) -> Sentence {
    Sentence::of(|| format!("{what} per dried {}", tonne()))
}
