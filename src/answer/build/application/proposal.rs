//! What the proposal saves, costs and brings, against the baseline.

use super::carriers::Carriers;
use super::proposed::Proposed;
use crate::answer::figures::{BothKey, Formula, OptionFigures, ProposalFigure, ProposalKey, Term};
use crate::money::{GrantBase, escalating_present_value};
use crate::study::Study;

pub(super) fn figures(study: &Study, proposed: &Proposed<'_>, carriers: &Carriers) -> Vec<ProposalFigure> {
    let &Proposed { base, proposal, .. } = proposed;
    let carbon_t = proposed.bid.carbon_saved_t;
    let mut all = saved(study, base, proposal, carbon_t);
    all.extend(grant(study, proposal));
    all.extend(payback(study, base, proposal));
    all.extend(life_cycle(study, base, proposal, carriers));
    let grant = proposal.life_cycle.grant;
    all.push(line(
        (ProposalKey::GrantPerTonneOfCarbon, "grant per tonne of carbon saved", &format!("{}/t CO₂e", study.currency)),
        (carbon_t > 0.0 && grant > 0.0).then(|| grant / carbon_t),
        "no grant, or no carbon saved",
        ProposalKey::Grant.term() / ProposalKey::CarbonSavedOverPeriod.term(),
    ));
    all
}

/// Energy and carbon saved, as shares and over the period.
fn saved(study: &Study, base: &OptionFigures, proposal: &OptionFigures, carbon_t: f64) -> Vec<ProposalFigure> {
    let years = f64::from(study.money.years);
    let energy = base.purchased_kwh - proposal.purchased_kwh;
    let carbon = base.carbon_kg - proposal.carbon_kg;
    let share = |saved: f64, whole: f64| (whole > 0.0).then(|| saved / whole * 100.0);
    let share_of = |key: BothKey| key.clone().saved() / key.before() * Term::Number(100.0);
    let over_years = |key: BothKey| key.saved() * ProposalKey::Years.term() / Term::Number(1000.0);
    vec![
        line((ProposalKey::Years, "analysis period", "years"), Some(years), "", "given in the study"),
        line(
            (ProposalKey::EnergySavedShare, "purchased energy saved", "%"),
            share(energy, base.purchased_kwh),
            "nothing is purchased",
            share_of(BothKey::Purchased),
        ),
        line(
            (ProposalKey::CarbonSavedShare, "carbon saved", "%"),
            share(carbon, base.carbon_kg),
            "nothing is emitted",
            share_of(BothKey::Carbon),
        ),
        line(
            (ProposalKey::EnergySavedOverPeriod, "purchased energy saved over the period", "MWh"),
            Some(energy * years / 1000.0),
            "",
            over_years(BothKey::Purchased),
        ),
        line(
            (ProposalKey::CarbonSavedOverPeriod, "carbon saved over the period", "t CO₂e"),
            Some(carbon_t),
            "",
            over_years(BothKey::Carbon),
        ),
    ]
}

/// What the scheme pays, and of what.
fn grant(study: &Study, proposal: &OptionFigures) -> Vec<ProposalFigure> {
    let code = study.currency.to_string();
    let life = &proposal.life_cycle;
    let terms = &study.application.grant;
    let mut all = Vec::new();
    let eligible: Formula = match terms.on {
        GrantBase::Capital => "capital of what the baseline does not have".into(),
        GrantBase::ExtraCost => (BothKey::Capital.after() - BothKey::Capital.before()).most(Term::Number(0.0)).into(),
    };
    if terms.share > 0.0 {
        let unit = code.as_str();
        let what = (ProposalKey::Eligible, "what a grant may be a share of", unit);
        all.push(line(what, Some(life.eligible_capital), "", eligible));
        let share = Some(terms.share * 100.0);
        all.push(line((ProposalKey::GrantShare, "share that the grant pays", "%"), share, "", "given in the study"));
        if let Some(most) = terms.most {
            let what = (ProposalKey::GrantMost, "most that the grant pays", unit);
            all.push(line(what, Some(most), "", "given in the study"));
        }
    }
    let share = || ProposalKey::Eligible.term() * ProposalKey::GrantShare.term() / Term::Number(100.0);
    let formula: Formula = match (&life.grant_refused, life.grant > 0.0, terms.most) {
        (Some(refused), ..) => refused.as_str().into(),
        (None, false, _) => "none is asked for".into(),
        (None, true, None) => share().into(),
        (None, true, Some(_)) => share().least(ProposalKey::GrantMost.term()).into(),
    };
    all.push(line((ProposalKey::Grant, "grant", &code), Some(life.grant), "", formula));
    all
}

/// Capital of the proposal less its grant, above the baseline's.
fn extra_investment(base: &OptionFigures, proposal: &OptionFigures) -> f64 {
    let net = |option: &OptionFigures| option.life_cycle.capital - option.life_cycle.grant;
    net(proposal) - net(base)
}

/// Extra investment, yearly saving and how long the one pays for the other.
fn payback(study: &Study, base: &OptionFigures, proposal: &OptionFigures) -> Vec<ProposalFigure> {
    let code = study.currency.to_string();
    let after = &proposal.life_cycle;
    let extra = extra_investment(base, proposal);
    let formula: Formula = if extra > 0.0 {
        (ProposalKey::ExtraInvestment.term() / ProposalKey::SavedAYear.term()).into()
    } else {
        "nothing more is invested".into()
    };
    vec![
        line(
            (ProposalKey::ExtraInvestment, "extra investment after grant", &code),
            Some(extra),
            "",
            BothKey::Capital.after() - ProposalKey::Grant.term() - BothKey::Capital.before(),
        ),
        line(
            (ProposalKey::SavedAYear, "saved a year at today’s prices", &code),
            Some(after.saved_per_year.unwrap_or(0.0)),
            "",
            BothKey::Bill.saved() + BothKey::Upkeep.saved(),
        ),
        line((ProposalKey::SimplePayback, "simple payback", "years"), after.simple_payback_years, "never", formula),
        line(
            (ProposalKey::DiscountedPayback, "discounted payback", "years"),
            after.discounted_payback_years,
            "never within the period",
            "first year by whose end the discounted savings reach I",
        ),
    ]
}

/// Present values over the period.
fn life_cycle(
    study: &Study,
    base: &OptionFigures,
    proposal: &OptionFigures,
    carriers: &Carriers,
) -> Vec<ProposalFigure> {
    let code = study.currency.to_string();
    let (life, years, rate) = (&proposal.life_cycle, study.money.years, study.money.discount_rate);
    let mut all = Vec::new();
    let mut add_factor = |key: ProposalKey, of: &str, escalation: f64| {
        all.push(line(
            (key, &format!("present value of 1 a year of {of}"), ""),
            Some(escalating_present_value(rate, escalation, years)),
            "",
            factor_formula(rate, escalation),
        ));
    };
    for carrier in carriers.iter() {
        let name = &carrier.sign.name;
        add_factor(ProposalKey::CarrierFactor(carrier.sign.clone()), name, study.money.escalation_of(name));
    }
    add_factor(ProposalKey::UpkeepFactor, "upkeep", 0.0);
    let saved = carriers.sum(|c| Some(c.bill().saved() * ProposalKey::CarrierFactor(c.sign.clone()).term()));
    let later = life.added_investment - extra_investment(base, proposal);
    let [present, extra, replacements] =
        [ProposalKey::PresentSaving, ProposalKey::ExtraInvestment, ProposalKey::PresentReplacements]
            .map(ProposalKey::term);
    all.push(line(
        (ProposalKey::PresentSaving, "present value of what is saved", &code),
        Some(life.running_saving),
        "",
        saved + BothKey::Upkeep.saved() * ProposalKey::UpkeepFactor.term(),
    ));
    all.push(line(
        (ProposalKey::PresentReplacements, "present value of replacements less residuals", &code),
        Some(later),
        "",
        "the proposal’s less the baseline’s, at the ends of their years",
    ));
    all.push(line(
        (ProposalKey::NetPresentSaving, "net present saving", &code),
        Some(life.net_saving),
        "",
        present.clone() - extra.clone() - replacements.clone(),
    ));
    all.push(line(
        (ProposalKey::InternalReturn, "internal rate of return", "% a year"),
        life.irr.map(|irr| irr * 100.0),
        "none",
        "discount rate at which the net present saving is zero",
    ));
    all.push(line(
        (ProposalKey::SavingsOverInvestment, "savings over investment", "ratio"),
        life.savings_to_investment,
        "no extra investment",
        present / (extra + replacements),
    ));
    all
}

/// Present value of 1 a year that rises by a share of itself each year, from the first year on: the closed form of
/// NIST Handbook 135.
fn factor_formula(rate: f64, escalation: f64) -> Term {
    let (years, number) = (ProposalKey::Years.term(), Term::Number);
    if (rate - escalation).abs() < 1e-12 {
        return years;
    }
    let grown = number(1.0) + number(rate);
    if escalation == 0.0 {
        return (number(1.0) - (number(1.0) / grown).raised_to(years)) / number(rate);
    }
    let plus = |term: Term, share: f64| {
        if share < 0.0 { term - number(-share) } else { term + number(share) }
    };
    let risen = plus(number(1.0), escalation);
    risen.clone() / plus(number(rate), -escalation) * (number(1.0) - (risen / grown).raised_to(years))
}

/// A figure of the proposal alone.
fn line(
    (key, name, unit): (ProposalKey, &str, &str),
    value: Option<f64>,
    why: &str,
    formula: impl Into<Formula>,
) -> ProposalFigure {
    ProposalFigure {
        symbol: key.symbol(),
        key,
        name: name.to_owned(),
        unit: unit.to_owned(),
        why: if value.is_some() { String::new() } else { why.to_owned() },
        value,
        formula: formula.into(),
    }
}
