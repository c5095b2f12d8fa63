//! Formulas of an application: made of typed figures and numbers, printed in the signs of the figures.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::ops::{Add, Div, Mul, Sub};

/// A carrier of an application, with the letter that stands for it in signs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub(crate) struct CarrierSign {
    /// Its name.
    pub name: String,
    /// Its letter.
    #[serde(skip)]
    pub letter: char,
}

/// Which figure it is that either option has.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum BothKey {
    /// Dried nuts.
    DriedNuts,
    /// What is used of a carrier.
    CarrierUsed(#[schemars(with = "String")] CarrierSign),
    /// What of a carrier is the plant's own.
    CarrierOwn(#[schemars(with = "String")] CarrierSign),
    /// What is purchased of a carrier.
    CarrierPurchased(#[schemars(with = "String")] CarrierSign),
    /// Energy used.
    Used,
    /// Of which the plant's own.
    Own,
    /// Energy purchased.
    Purchased,
    /// The same for each dried tonne.
    PurchasedPerTonne,
    /// Peak demand.
    PeakDemand,
    /// Carbon of fuel burnt on the site.
    CarbonScope1,
    /// Carbon of purchased electricity.
    CarbonScope2,
    /// Carbon.
    Carbon,
    /// The same for each dried tonne.
    CarbonPerTonne,
    /// Biogenic carbon dioxide.
    BiogenicCo2,
    /// Bill of a carrier.
    CarrierBill(#[schemars(with = "String")] CarrierSign),
    /// Seasonal energy cost.
    Bill,
    /// Upkeep a year.
    Upkeep,
    /// Capital.
    Capital,
    /// Heat given or spared.
    Heat,
    /// Heat's own costs as an equal yearly sum.
    HeatYearly,
    /// Levelised cost of heat.
    HeatLevelised,
}

impl BothKey {
    /// Its sign in formulas; empty if none needs it.
    pub(crate) fn symbol(&self) -> String {
        let plain = match self {
            Self::CarrierUsed(carrier) => return format!("U{}", carrier.letter),
            Self::CarrierOwn(carrier) => return format!("O{}", carrier.letter),
            Self::CarrierPurchased(carrier) => return format!("P{}", carrier.letter),
            Self::CarrierBill(carrier) => return format!("B{}", carrier.letter),
            Self::DriedNuts => "T",
            Self::Used => "U",
            Self::Own => "O",
            Self::Purchased => "E",
            Self::CarbonScope1 => "S",
            Self::CarbonScope2 => "G",
            Self::Carbon => "C",
            Self::Bill => "B",
            Self::Upkeep => "M",
            Self::Capital => "K",
            Self::Heat => "H",
            Self::HeatYearly => "A",
            Self::PurchasedPerTonne
            | Self::PeakDemand
            | Self::CarbonPerTonne
            | Self::BiogenicCo2
            | Self::HeatLevelised => "",
        };
        plain.to_owned()
    }

    /// The figure itself, in a formula that holds for either option.
    pub(crate) fn own(self) -> Term {
        Term::OfBoth(self, Whose::Either)
    }

    /// The baseline's.
    pub(crate) fn before(self) -> Term {
        Term::OfBoth(self, Whose::Baseline)
    }

    /// The proposal's.
    pub(crate) fn after(self) -> Term {
        Term::OfBoth(self, Whose::Proposal)
    }

    /// What is saved of it.
    pub(crate) fn saved(self) -> Term {
        Term::OfBoth(self, Whose::Saved)
    }
}

/// Which figure of the proposal against the baseline it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum ProposalKey {
    /// Analysis period.
    Years,
    /// Share of purchased energy saved.
    EnergySavedShare,
    /// Share of carbon saved.
    CarbonSavedShare,
    /// Purchased energy saved over the period.
    EnergySavedOverPeriod,
    /// Carbon saved over the period.
    CarbonSavedOverPeriod,
    /// What a grant may be a share of.
    Eligible,
    /// Share that the grant pays.
    GrantShare,
    /// Most that the grant pays.
    GrantMost,
    /// Grant.
    Grant,
    /// Extra investment after grant.
    ExtraInvestment,
    /// Saved a year at today's prices.
    SavedAYear,
    /// Simple payback.
    SimplePayback,
    /// Discounted payback.
    DiscountedPayback,
    /// Present value of 1 a year of a carrier.
    CarrierFactor(#[schemars(with = "String")] CarrierSign),
    /// Present value of 1 a year of upkeep.
    UpkeepFactor,
    /// Present value of what is saved.
    PresentSaving,
    /// Present value of replacements less residuals.
    PresentReplacements,
    /// Net present saving.
    NetPresentSaving,
    /// Internal rate of return.
    InternalReturn,
    /// Savings over investment.
    SavingsOverInvestment,
    /// Grant per tonne of carbon saved.
    GrantPerTonneOfCarbon,
}

impl ProposalKey {
    /// Its sign in formulas; empty if none needs it.
    pub(crate) fn symbol(&self) -> String {
        let plain = match self {
            Self::CarrierFactor(carrier) => return format!("f{}", carrier.letter),
            Self::Years => "N",
            Self::CarbonSavedOverPeriod => "CN",
            Self::Eligible => "Q",
            Self::GrantShare => "r",
            Self::GrantMost => "X",
            Self::Grant => "J",
            Self::ExtraInvestment => "I",
            Self::SavedAYear => "Y",
            Self::UpkeepFactor => "f",
            Self::PresentSaving => "V",
            Self::PresentReplacements => "W",
            Self::EnergySavedShare
            | Self::CarbonSavedShare
            | Self::EnergySavedOverPeriod
            | Self::SimplePayback
            | Self::DiscountedPayback
            | Self::NetPresentSaving
            | Self::InternalReturn
            | Self::SavingsOverInvestment
            | Self::GrantPerTonneOfCarbon => "",
        };
        plain.to_owned()
    }

    /// The figure in a formula.
    pub(crate) fn term(self) -> Term {
        Term::OfProposal(self)
    }
}

/// Whose figure of both options a formula asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Whose {
    /// That of the option whose formula it is.
    Either,
    Baseline,
    Proposal,
    /// Baseline less proposal.
    Saved,
}

/// How a figure is made.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Formula {
    /// In words: where it comes from.
    Words(String),
    /// Of other figures.
    Worked(Term),
}

/// A part of a formula.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Term {
    /// A number, printed to six figures.
    Number(f64),
    /// A figure that either option has.
    OfBoth(BothKey, Whose),
    /// A figure of the proposal.
    OfProposal(ProposalKey),
    /// Two parts joined.
    Pair(Box<[Term; 2]>, Joint),
    /// The lesser of two.
    Least(Box<[Term; 2]>),
    /// The larger of two.
    Most(Box<[Term; 2]>),
}

/// How two parts are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Joint {
    Plus,
    Minus,
    Times,
    Over,
    Power,
}

impl Joint {
    fn sign(self) -> char {
        match self {
            Self::Plus => '+',
            Self::Minus => '−',
            Self::Times => '×',
            Self::Over => '/',
            Self::Power => '^',
        }
    }

    /// How tightly it binds.
    fn tightness(self) -> u8 {
        match self {
            Self::Plus | Self::Minus => 1,
            Self::Times | Self::Over => 2,
            Self::Power => 3,
        }
    }

    /// True if what binds as tightly on its right needs brackets.
    fn divides(self) -> bool {
        match self {
            Self::Plus | Self::Times => false,
            Self::Minus | Self::Over | Self::Power => true,
        }
    }
}

impl Term {
    fn joined(self, joint: Joint, other: Self) -> Self {
        Self::Pair(Box::new([self, other]), joint)
    }

    /// This to a power.
    pub(crate) fn to_the(self, power: Self) -> Self {
        self.joined(Joint::Power, power)
    }

    /// The lesser of the two.
    pub(crate) fn least(self, other: Self) -> Self {
        Self::Least(Box::new([self, other]))
    }

    /// The larger of the two.
    pub(crate) fn most(self, other: Self) -> Self {
        Self::Most(Box::new([self, other]))
    }

    /// All of them; 0 of none.
    pub(crate) fn sum(terms: impl IntoIterator<Item = Self>) -> Self {
        terms.into_iter().reduce(Add::add).unwrap_or(Self::Number(0.0))
    }

    /// How tightly its last joint binds; nothing of what has none.
    fn tightness(&self) -> Option<u8> {
        match self {
            Self::Pair(_, joint) => Some(joint.tightness()),
            Self::Number(_) | Self::OfBoth(..) | Self::OfProposal(_) | Self::Least(_) | Self::Most(_) => None,
        }
    }
}

impl Add for Term {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        self.joined(Joint::Plus, other)
    }
}

impl Sub for Term {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self.joined(Joint::Minus, other)
    }
}

impl Mul for Term {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        self.joined(Joint::Times, other)
    }
}

impl Div for Term {
    type Output = Self;

    fn div(self, other: Self) -> Self {
        self.joined(Joint::Over, other)
    }
}

/// A part of a pair, in brackets where it would bind otherwise.
struct Bound<'a>(&'a Term, bool);

impl fmt::Display for Bound<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.1 { write!(f, "({})", self.0) } else { self.0.fmt(f) }
    }
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(value) => {
                let rounded: f64 = format!("{value:.5e}").parse().unwrap_or(*value);
                write!(f, "{rounded}")
            }
            Self::OfBoth(key, whose) => {
                let symbol = key.symbol();
                match whose {
                    Whose::Either => f.write_str(&symbol),
                    Whose::Baseline => write!(f, "{symbol}0"),
                    Whose::Proposal => write!(f, "{symbol}1"),
                    Whose::Saved => write!(f, "Δ{symbol}"),
                }
            }
            Self::OfProposal(key) => f.write_str(&key.symbol()),
            Self::Least(two) => write!(f, "min({}, {})", two[0], two[1]),
            Self::Most(two) => write!(f, "max({}, {})", two[0], two[1]),
            Self::Pair(two, joint) => {
                let own = joint.tightness();
                let is_looser = |term: &Term| term.tightness().is_some_and(|tightness| tightness < own);
                let is_alike = |term: &Term| term.tightness() == Some(own);
                let left = Bound(&two[0], is_looser(&two[0]) || (*joint == Joint::Power && is_alike(&two[0])));
                let right = Bound(&two[1], is_looser(&two[1]) || (joint.divides() && is_alike(&two[1])));
                write!(f, "{left} {} {right}", joint.sign())
            }
        }
    }
}

impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Words(words) => f.write_str(words),
            Self::Worked(term) => term.fmt(f),
        }
    }
}

impl From<Term> for Formula {
    fn from(term: Term) -> Self {
        Self::Worked(term)
    }
}

impl From<&str> for Formula {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

/// Files hold it as it is printed.
impl Serialize for Formula {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Formula {
    fn schema_name() -> Cow<'static, str> {
        String::schema_name()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        String::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_is_printed_as_it_binds() {
        let [n, i, w] =
            [ProposalKey::Years, ProposalKey::ExtraInvestment, ProposalKey::PresentReplacements].map(ProposalKey::term);
        let number = Term::Number;
        let lpg = CarrierSign { name: "lpg".to_owned(), letter: 'b' };
        let extra = BothKey::Capital.after() - ProposalKey::Grant.term() - BothKey::Capital.before();
        for (term, printed) in [
            (extra, "K1 − J − K0"),
            (BothKey::Bill.saved() / BothKey::Bill.before() * number(100.0), "ΔB / B0 × 100"),
            (n.clone() / (i.clone() + w.clone()), "N / (I + W)"),
            (n.clone() - (i.clone() - w.clone()), "N − (I − W)"),
            ((i.clone() * w.clone()).most(number(0.0)), "max(I × W, 0)"),
            ((number(1.0) / (number(1.0) + number(0.06))).to_the(n.clone()), "(1 / (1 + 0.06)) ^ N"),
            (BothKey::CarrierBill(lpg).own() * number(0.123_456_78), "Bb × 0.123457"),
            (Term::sum([]), "0"),
        ] {
            assert_eq!(term.to_string(), printed);
        }
    }
}
