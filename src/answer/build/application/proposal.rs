//! What the proposal saves, costs and brings, against the baseline.

use super::{Carriers, Proposed, factor, line};
use crate::answer::figures::{OptionFigures, ProposalFigure};
use crate::money::{GrantBase, escalating_present_value};
use crate::study::Study;

pub(super) fn figures(study: &Study, proposed: &Proposed<'_>, carriers: &Carriers<'_>) -> Vec<ProposalFigure> {
    let &Proposed { base, proposal, .. } = proposed;
    let carbon_t = proposed.bid.carbon_saved_t;
    let mut all = saved(study, base, proposal, carbon_t);
    all.extend(grant(study, proposal));
    all.extend(payback(study, base, proposal));
    all.extend(life_cycle(study, base, proposal, carriers));
    let grant = proposal.life_cycle.grant;
    all.push(line(
        ("", "grant per tonne of carbon saved", &format!("{}/t CO₂e", study.currency)),
        (carbon_t > 0.0 && grant > 0.0).then(|| grant / carbon_t),
        "no grant, or no carbon saved",
        "J / CN",
    ));
    all
}

/// Energy and carbon saved, as shares and over the period.
fn saved(study: &Study, base: &OptionFigures, proposal: &OptionFigures, carbon_t: f64) -> Vec<ProposalFigure> {
    let years = f64::from(study.money.years);
    let energy = base.purchased_kwh - proposal.purchased_kwh;
    let carbon = base.carbon_kg - proposal.carbon_kg;
    let share = |saved: f64, whole: f64| (whole > 0.0).then(|| saved / whole * 100.0);
    vec![
        line(("N", "analysis period", "years"), Some(years), "", "given in the study"),
        line(
            ("", "purchased energy saved", "%"),
            share(energy, base.purchased_kwh),
            "nothing is purchased",
            "ΔE / E0 × 100",
        ),
        line(("", "carbon saved", "%"), share(carbon, base.carbon_kg), "nothing is emitted", "ΔC / C0 × 100"),
        line(("", "purchased energy saved over the period", "MWh"), Some(energy * years / 1000.0), "", "ΔE × N / 1000"),
        line(("CN", "carbon saved over the period", "t CO₂e"), Some(carbon_t), "", "ΔC × N / 1000"),
    ]
}

/// What the scheme pays, and of what.
fn grant(study: &Study, proposal: &OptionFigures) -> Vec<ProposalFigure> {
    let code = study.currency.to_string();
    let life = &proposal.life_cycle;
    let terms = &study.application.grant;
    let mut all = Vec::new();
    let eligible = match terms.on {
        GrantBase::Capital => "capital of what the baseline does not have",
        GrantBase::ExtraCost => "max(K1 − K0, 0)",
    };
    if terms.share > 0.0 {
        let unit = code.as_str();
        all.push(line(("Q", "what a grant may be a share of", unit), Some(life.eligible_capital), "", eligible));
        let share = Some(terms.share * 100.0);
        all.push(line(("r", "share that the grant pays", "%"), share, "", "given in the study"));
        if let Some(most) = terms.most {
            let name = "most that the grant pays";
            all.push(line(("X", name, unit), Some(most), "", "given in the study"));
        }
    }
    let formula = match (&life.grant_refused, life.grant > 0.0, terms.most) {
        (Some(refused), ..) => refused.clone(),
        (None, false, _) => "none is asked for".to_owned(),
        (None, true, None) => "Q × r / 100".to_owned(),
        (None, true, Some(_)) => "min(Q × r / 100, X)".to_owned(),
    };
    all.push(line(("J", "grant", &code), Some(life.grant), "", formula));
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
    let (before, after) = (&base.life_cycle, &proposal.life_cycle);
    let extra = extra_investment(base, proposal);
    let saving = base.total_cost + before.upkeep_per_year - proposal.total_cost - after.upkeep_per_year;
    let formula = if extra > 0.0 { "I / Y" } else { "nothing more is invested" };
    vec![
        line(("I", "extra investment after grant", &code), Some(extra), "", "K1 − J − K0"),
        line(("Y", "saved a year at today’s prices", &code), Some(saving), "", "ΔB + ΔM"),
        line(("", "simple payback", "years"), after.simple_payback_years, "never", formula),
        line(
            ("", "discounted payback", "years"),
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
    carriers: &Carriers<'_>,
) -> Vec<ProposalFigure> {
    let code = study.currency.to_string();
    let (life, years, rate) = (&proposal.life_cycle, study.money.years, study.money.discount_rate);
    let mut all = Vec::new();
    let mut add_factor = |symbol: &str, of: &str, escalation: f64| {
        all.push(line(
            (symbol, &format!("present value of 1 a year of {of}"), ""),
            Some(escalating_present_value(rate, escalation, years)),
            "",
            factor_formula(rate, escalation),
        ));
    };
    for carrier in carriers.iter() {
        let escalation = study.money.escalation_of(carrier.name);
        add_factor(&format!("f{}", carrier.letter), carrier.name, escalation);
    }
    add_factor("f", "upkeep", 0.0);
    let saved = carriers.sum(|c| Some(format!("Δ{} × f{}", c.bill(), c.letter)));
    let later = life.added_investment - extra_investment(base, proposal);
    all.push(line(
        ("V", "present value of what is saved", &code),
        Some(life.running_saving),
        "",
        format!("{saved} + ΔM × f"),
    ));
    all.push(line(
        ("W", "present value of replacements less residuals", &code),
        Some(later),
        "",
        "the proposal’s less the baseline’s, at the ends of their years",
    ));
    all.push(line(("", "net present saving", &code), Some(life.net_saving), "", "V − I − W"));
    all.push(line(
        ("", "internal rate of return", "% a year"),
        life.irr.map(|irr| irr * 100.0),
        "none",
        "discount rate at which the net present saving is zero",
    ));
    all.push(line(
        ("", "savings over investment", "ratio"),
        life.savings_to_investment,
        "no extra investment",
        "V / (I + W)",
    ));
    all
}

/// Present value of 1 a year that rises by a share of itself each year, from the first year on: the closed form of
/// NIST Handbook 135.
fn factor_formula(rate: f64, escalation: f64) -> String {
    if (rate - escalation).abs() < 1e-12 {
        return "N".to_owned();
    }
    if escalation == 0.0 {
        let d = factor(rate);
        return format!("(1 − (1 / (1 + {d})) ^ N) / {d}");
    }
    let with = |share: f64| {
        let sign = if share < 0.0 { '−' } else { '+' };
        format!("{sign} {}", factor(share.abs()))
    };
    let (d, growth, opposite) = (factor(rate), with(escalation), with(-escalation));
    format!("(1 {growth}) / ({d} {opposite}) × (1 − ((1 {growth}) / (1 + {d})) ^ N)")
}
