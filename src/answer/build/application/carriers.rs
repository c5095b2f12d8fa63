//! The carriers of an application, with their letters.

use crate::answer::figures::{BothKey, CarrierSign, OptionFigures, Term};
use std::collections::BTreeSet;

/// The carriers of either option, each with the letter that stands for it in symbols.
pub(super) struct Carriers {
    all: Vec<Carrier>,
}

pub(super) struct Carrier {
    pub sign: CarrierSign,
    /// True if the plant has a supply of it of its own in either option.
    pub has_own: bool,
}

impl Carrier {
    pub(super) fn is_electricity(&self) -> bool {
        self.sign.name == crate::money::ELECTRICITY
    }

    /// What is used of it: all of it purchased where the plant has none of its own.
    pub(super) fn used(&self) -> Term {
        let sign = self.sign.clone();
        if self.has_own { BothKey::CarrierUsed(sign) } else { BothKey::CarrierPurchased(sign) }.own()
    }

    /// Its bill.
    pub(super) fn bill(&self) -> BothKey {
        BothKey::CarrierBill(self.sign.clone())
    }
}

impl Carriers {
    pub(super) fn of(base: &OptionFigures, proposal: &OptionFigures) -> Self {
        let names: BTreeSet<&String> = base.carriers.keys().chain(proposal.carriers.keys()).collect();
        let has_own = |name: &String| {
            let own = |option: &OptionFigures| option.carriers.get(name).is_some_and(|carrier| carrier.own_kwh > 0.0);
            own(base) || own(proposal)
        };
        let all = names
            .into_iter()
            .zip('a'..='z')
            .map(|(name, letter)| Carrier { sign: CarrierSign { name: name.clone(), letter }, has_own: has_own(name) });
        Self { all: all.collect() }
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Carrier> {
        self.all.iter()
    }

    /// A sum over carriers: `Pa + Pb`.
    pub(super) fn sum(&self, term: impl Fn(&Carrier) -> Option<Term>) -> Term {
        Term::sum(self.all.iter().filter_map(term))
    }
}
