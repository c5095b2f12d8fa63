//! Baseline against proposal. The formulas of the figures are written as formulas of cells: of the same figures. What a
//! formula tells in words is linked to where it is made, or stands as computed.

use super::fault::NoWorkbook;
use super::live::Live;
use super::options::{OptionCells, Paybacks};
use super::prices::Prices;
use super::sheet::{Look, Sheet, Styles};
use super::years::Years;
use crate::answer::{
    BothKey, CarrierSign, ComparedFigure, Figures, Formula, Joint, ProposalFigure, ProposalKey, Term, Whose,
};
use std::collections::BTreeMap;

/// Fills the sheet; there is none where nothing is proposed.
pub(super) fn application<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, years): (&Prices, &Years),
    (cells, paybacks): (&[OptionCells], &[Option<Paybacks>]),
) -> Result<Option<Sheet<'s>>, NoWorkbook> {
    let Some(application) = &figures.application else {
        return Ok(None);
    };
    let base = figures.baseline_place();
    let Some(own) = figures.place_of(&application.proposal) else {
        return Ok(None);
    };
    let title = format!("Application: “{}” against “{}”", application.proposal, application.baseline);
    let note = "Money follows the prices, but for heat’s own costs (A) and the levelised cost of heat; energy and carbon stay as computed.";
    let mut sheet = Sheet::new("Application", styles, &title, note)?;
    let columns = [
        ("sign", "", 7.0),
        ("figure", "", 46.0),
        ("unit", "", 20.0),
        ("baseline", "", 16.0),
        ("proposal", "", 16.0),
        ("saved", "", 16.0),
        ("how it is made", "", 60.0),
    ];
    let mut row = sheet.heads(3, &columns, 2)?;
    let links = Links { prices, years, base: &cells[base], own: &cells[own], paybacks: paybacks[own].as_ref() };
    let mut known = Known::default();
    for figure in &application.of_both {
        both_row(&mut sheet, row, figure, (&links, &mut known))?;
        row += 1;
    }
    row += 1;
    for figure in &application.of_the_proposal {
        proposal_row(&mut sheet, row, figure, (&links, &mut known))?;
        row += 1;
    }
    row += 1;
    for remark in &application.remarks {
        sheet.text((row, 1), remark, Look::Text)?;
        row += 1;
    }
    Ok(Some(sheet))
}

/// A figure of both options: the baseline's, the proposal's and what is saved.
fn both_row(
    sheet: &mut Sheet<'_>,
    row: u32,
    figure: &ComparedFigure,
    (links, known): (&Links<'_>, &mut Known),
) -> Result<(), NoWorkbook> {
    let formula = figure.formula.to_string();
    for (column, text) in [(0, &*figure.symbol), (1, &*figure.name), (2, &*figure.unit), (6, &*formula)] {
        sheet.text((row, column), text, Look::Text)?;
    }
    let look = both_look(&figure.key);
    let mut put = |own: Column, column: u16, cells: &OptionCells, value: f64| {
        let made =
            links.of_both(&figure.key, cells).or_else(|| known.work(&figure.formula, Some(own)).map(|made| made.live));
        match made.filter(|live| agrees(live, value)) {
            Some(live) => sheet.live((row, column), &live, look),
            None => sheet.number((row, column), value, look),
        }
    };
    let baseline = put(Column::Baseline, 3, links.base, figure.baseline)?;
    let proposal = put(Column::Proposal, 4, links.own, figure.proposal)?;
    let saved = sheet.live((row, 5), &baseline.less(&proposal), look)?;
    known.of_both.insert(figure.key.clone(), OfBoth { baseline, proposal, saved });
    Ok(())
}

/// A figure of the proposal: a number, or a word where there is none.
fn proposal_row(
    sheet: &mut Sheet<'_>,
    row: u32,
    figure: &ProposalFigure,
    (links, known): (&Links<'_>, &mut Known),
) -> Result<(), NoWorkbook> {
    let formula = figure.formula.to_string();
    for (column, text) in [(0, &*figure.symbol), (1, &*figure.name), (2, &*figure.unit), (6, &*formula)] {
        sheet.text((row, column), text, Look::Text)?;
    }
    let look = proposal_look(&figure.key);
    let at = (row, 4);
    let cached = (figure.value, figure.why.as_str());
    let link = links.of_proposal(&figure.key);
    if let Some(Link::NumberOrWord(text)) = link {
        sheet.live_or(at, &text, cached, look)?;
        return Ok(());
    }
    let made = match link {
        Some(Link::Cell(live)) => Some(Made { live, divisors: Vec::new() }),
        Some(Link::NumberOrWord(_)) | None => known.work(&figure.formula, None),
    };
    let Some(value) = figure.value else {
        return match made {
            Some(made) => sheet.live_or(at, &made.or_word(&figure.why), cached, look),
            None => sheet.text(at, &figure.why, Look::Text),
        };
    };
    let cell = match made.filter(|made| agrees(&made.live, value)) {
        Some(made) => {
            sheet.live_or(at, &made.or_word("none"), cached, look)?;
            Live::cell(sheet.name(), at, value)
        }
        None => sheet.number(at, value, look)?,
    };
    known.of_proposal.insert(figure.key.clone(), cell);
    Ok(())
}

/// A formula that gives what was computed; another is not written: one that divides by nothing.
fn agrees(live: &Live, value: f64) -> bool {
    (live.value() - value).abs() <= 1e-6 * value.abs().max(1.0)
}

fn both_look(key: &BothKey) -> Look {
    match key {
        BothKey::HeatLevelised => Look::Fine,
        BothKey::DriedNuts
        | BothKey::CarrierUsed(_)
        | BothKey::CarrierOwn(_)
        | BothKey::CarrierPurchased(_)
        | BothKey::Used
        | BothKey::Own
        | BothKey::Purchased
        | BothKey::PurchasedPerTonne
        | BothKey::PeakDemand
        | BothKey::CarbonScope1
        | BothKey::CarbonScope2
        | BothKey::Carbon
        | BothKey::CarbonPerTonne
        | BothKey::BiogenicCo2
        | BothKey::CarrierBill(_)
        | BothKey::Bill
        | BothKey::Upkeep
        | BothKey::Capital
        | BothKey::Heat
        | BothKey::HeatYearly => Look::Tenths,
    }
}

fn proposal_look(key: &ProposalKey) -> Look {
    match key {
        ProposalKey::CarrierFactor(_) | ProposalKey::UpkeepFactor | ProposalKey::SavingsOverInvestment => Look::Fine,
        ProposalKey::Years
        | ProposalKey::EnergySavedShare
        | ProposalKey::CarbonSavedShare
        | ProposalKey::EnergySavedOverPeriod
        | ProposalKey::CarbonSavedOverPeriod
        | ProposalKey::Eligible
        | ProposalKey::GrantShare
        | ProposalKey::GrantMost
        | ProposalKey::Grant
        | ProposalKey::ExtraInvestment
        | ProposalKey::SavedAYear
        | ProposalKey::SimplePayback
        | ProposalKey::DiscountedPayback
        | ProposalKey::PresentSaving
        | ProposalKey::PresentReplacements
        | ProposalKey::NetPresentSaving
        | ProposalKey::InternalReturn
        | ProposalKey::GrantPerTonneOfCarbon => Look::Tenths,
    }
}

/// A cell of another sheet that a figure of the proposal is.
enum Link {
    Cell(Live),
    /// One that may hold a word in place of a number.
    NumberOrWord(String),
}

/// Cells of other sheets.
struct Links<'a> {
    prices: &'a Prices,
    years: &'a Years,
    base: &'a OptionCells,
    own: &'a OptionCells,
    paybacks: Option<&'a Paybacks>,
}

impl Links<'_> {
    /// Place of a carrier among the study's.
    fn carrier(&self, sign: &CarrierSign) -> Option<usize> {
        self.prices.carriers.iter().position(|(carrier, _)| *carrier == sign.name)
    }

    /// Where money of an option is made that is told in words.
    fn of_both(&self, key: &BothKey, cells: &OptionCells) -> Option<Live> {
        match key {
            BothKey::CarrierBill(sign) => self.carrier(sign).map(|at| cells.carriers[at].clone()),
            BothKey::Upkeep => Some(cells.upkeep.clone()),
            BothKey::Capital => Some(cells.capital.clone()),
            BothKey::DriedNuts
            | BothKey::CarrierUsed(_)
            | BothKey::CarrierOwn(_)
            | BothKey::CarrierPurchased(_)
            | BothKey::Used
            | BothKey::Own
            | BothKey::Purchased
            | BothKey::PurchasedPerTonne
            | BothKey::PeakDemand
            | BothKey::CarbonScope1
            | BothKey::CarbonScope2
            | BothKey::Carbon
            | BothKey::CarbonPerTonne
            | BothKey::BiogenicCo2
            | BothKey::Bill
            | BothKey::Heat
            | BothKey::HeatYearly
            | BothKey::HeatLevelised => None,
        }
    }

    fn of_proposal(&self, key: &ProposalKey) -> Option<Link> {
        let word = |of: fn(&Paybacks) -> &String| self.paybacks.map(|paybacks| of(paybacks).clone());
        let live = match key {
            ProposalKey::SimplePayback => return word(|paybacks| &paybacks.simple).map(Link::NumberOrWord),
            ProposalKey::DiscountedPayback => return word(|paybacks| &paybacks.discounted).map(Link::NumberOrWord),
            ProposalKey::InternalReturn => {
                let share = word(|paybacks| &paybacks.internal_return)?;
                return Some(Link::NumberOrWord(percent_or_word(&share)));
            }
            ProposalKey::Years => self.prices.years.clone(),
            ProposalKey::Eligible => self.own.eligible.clone(),
            ProposalKey::GrantShare => self.prices.share.times(&Live::number(100.0)),
            ProposalKey::GrantMost => self.prices.most.clone(),
            ProposalKey::Grant => self.own.grant.clone(),
            ProposalKey::CarrierFactor(sign) => self.years.factors[self.carrier(sign)?].clone(),
            ProposalKey::UpkeepFactor => self.years.level_factor.clone(),
            ProposalKey::PresentReplacements => self.own.singles.less(&self.base.singles),
            ProposalKey::EnergySavedShare
            | ProposalKey::CarbonSavedShare
            | ProposalKey::EnergySavedOverPeriod
            | ProposalKey::CarbonSavedOverPeriod
            | ProposalKey::ExtraInvestment
            | ProposalKey::SavedAYear
            | ProposalKey::PresentSaving
            | ProposalKey::NetPresentSaving
            | ProposalKey::SavingsOverInvestment
            | ProposalKey::GrantPerTonneOfCarbon => return None,
        };
        Some(Link::Cell(live))
    }
}

/// A share as percent, and a word as it is.
fn percent_or_word(cell: &str) -> String {
    format!("IF(ISNUMBER({cell}),{cell}*100,{cell})")
}

/// The option whose formula is worked.
#[derive(Clone, Copy)]
enum Column {
    Baseline,
    Proposal,
}

/// The cells of a figure that both options have.
struct OfBoth {
    baseline: Live,
    proposal: Live,
    saved: Live,
}

/// Cells of the figures so far.
#[derive(Default)]
struct Known {
    of_both: BTreeMap<BothKey, OfBoth>,
    of_proposal: BTreeMap<ProposalKey, Live>,
}

/// A formula of cells, with all that it divides by.
struct Made {
    live: Live,
    divisors: Vec<Live>,
}

impl Known {
    /// A formula of figures that are known; nothing of words. `own` is the option whose formula it is.
    fn work(&self, formula: &Formula, own: Option<Column>) -> Option<Made> {
        match formula {
            Formula::Words(_) => None,
            Formula::Worked(term) => {
                let mut divisors = Vec::new();
                let live = self.term(term, own, &mut divisors)?;
                Some(Made { live, divisors })
            }
        }
    }

    fn term(&self, term: &Term, own: Option<Column>, divisors: &mut Vec<Live>) -> Option<Live> {
        let mut both = |two: &[Term; 2]| Some([self.term(&two[0], own, divisors)?, self.term(&two[1], own, divisors)?]);
        let live = match term {
            Term::Number(value) => Live::number(*value),
            Term::OfBoth(key, whose) => {
                let cells = self.of_both.get(key)?;
                match (whose, own) {
                    (Whose::Either, None) => return None,
                    (Whose::Baseline, _) | (Whose::Either, Some(Column::Baseline)) => &cells.baseline,
                    (Whose::Proposal, _) | (Whose::Either, Some(Column::Proposal)) => &cells.proposal,
                    (Whose::Saved, _) => &cells.saved,
                }
                .clone()
            }
            Term::OfProposal(key) => self.of_proposal.get(key)?.clone(),
            Term::Least(two) => both(two).map(|[one, other]| one.min(&other))?,
            Term::Most(two) => both(two).map(|[one, other]| one.max(&other))?,
            Term::Pair(two, joint) => {
                let [one, other] = both(two)?;
                match joint {
                    Joint::Plus => one.plus(&other),
                    Joint::Minus => one.less(&other),
                    Joint::Times => one.times(&other),
                    Joint::Power => one.to_the(&other),
                    Joint::Over => {
                        let live = one.over(&other);
                        divisors.push(other);
                        live
                    }
                }
            }
        };
        Some(live)
    }
}

impl Made {
    /// The formula; a word where it is a share of nothing, or comes to nothing because there is none.
    fn or_word(&self, word: &str) -> String {
        let divisors = self.divisors.iter().filter(|by| !by.is_plain_number());
        let mut asked: Vec<String> = divisors.map(|by| format!("{}>0", by.text())).collect();
        let word = word.replace('"', "”");
        let comes_to_nothing = self.live.value() == 0.0 && !self.divisors.is_empty();
        if comes_to_nothing {
            asked.push(format!("{}<>0", self.live.text()));
        }
        match asked.as_slice() {
            [] => self.live.text().to_owned(),
            asked => format!("IFERROR(IF(AND({}),{},\"{word}\"),\"{word}\")", asked.join(","), self.live.text()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_of_figures_become_formulas_of_cells() {
        let cell = |(row, column): (u32, u16), value: f64| Live::cell("Application", (row, column), value);
        let capital =
            OfBoth { baseline: cell((2, 3), 40.0), proposal: cell((2, 4), 100.0), saved: cell((2, 5), -60.0) };
        let energy = OfBoth { baseline: cell((3, 3), 20.0), proposal: cell((3, 4), 15.0), saved: cell((3, 5), 5.0) };
        let known = Known {
            of_both: BTreeMap::from([(BothKey::Capital, capital), (BothKey::Purchased, energy)]),
            of_proposal: BTreeMap::from([(ProposalKey::Grant, cell((9, 4), 10.0))]),
        };
        let found = |term: Term, own| {
            known.work(&term.into(), own).map(|made| (made.live.text().replace("Application!", ""), made.live.value()))
        };
        let (k0, k1, grant) = (|| BothKey::Capital.before(), || BothKey::Capital.after(), || ProposalKey::Grant.term());
        let (number, saved) = (Term::Number, || BothKey::Purchased.saved());
        assert_eq!(found(k1() - grant() - k0(), None), Some(("$E$3-$E$10-$D$3".to_owned(), 50.0)));
        assert_eq!(found((k1() - k0()).most(number(0.0)), None), Some(("MAX($E$3-$D$3,0)".to_owned(), 60.0)));
        let share = saved() / (k1() - k0()) * number(100.0);
        assert_eq!(found(share, None), Some(("($F$4/($E$3-$D$3))*100".to_owned(), 5.0 / 60.0 * 100.0)));
        assert_eq!(found(k1() - (grant() - k0()), None), Some(("$E$3-($E$10-$D$3)".to_owned(), 130.0)));
        let own = || BothKey::Purchased.own() * number(0.25);
        assert_eq!(found(own(), Some(Column::Baseline)), Some(("$D$4*0.25".to_owned(), 5.0)));
        assert_eq!(found(own(), Some(Column::Proposal)), Some(("$E$4*0.25".to_owned(), 3.75)));
        assert_eq!(found(own(), None), None, "a formula of either, asked of neither");
        assert_eq!(found(BothKey::Carbon.saved(), None), None, "a figure that is not there");
        assert!(known.work(&"given in the study".into(), None).is_none());
        let nothing = known.work(&((k0() - k0()) / grant()).into(), None).expect("a formula");
        let text = nothing.or_word("no \"grant\"").replace("Application!", "");
        assert_eq!(
            text,
            "IFERROR(IF(AND($E$10>0,($D$3-$D$3)/$E$10<>0),($D$3-$D$3)/$E$10,\"no ”grant”\"),\"no ”grant”\")"
        );
    }
}
