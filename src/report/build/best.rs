//! Which option is recommended.

use super::reckoned::Reckoned;
use crate::ledger::{Account, GuardKind};

/// What an option is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// It dries everything and meets the heat need to within 1 %.
    pub able: bool,
    pub net_present_cost: f64,
}

impl Standing {
    pub fn of(option: &Reckoned<'_>, net_present_cost: f64) -> Self {
        let unfinished = option
            .books
            .iter()
            .flat_map(|book| &book.guards)
            .any(|guard| guard.kind == GuardKind::Unfinished);
        let (need, short) =
            (option.mean(|account| account.heat_need_kwh), option.mean(Account::short_kwh));
        Self { able: !unfinished && short <= 0.01 * need, net_present_cost }
    }
}

/// Place of the lowest net present cost among the options that are able; if none is, lowest of all.
pub(super) fn best(standings: &[Standing]) -> Option<usize> {
    let cheapest = |places: &mut dyn Iterator<Item = usize>| {
        places.min_by(|&a, &b| {
            let cost = |place: usize| standings[place].net_present_cost;
            cost(a).total_cmp(&cost(b))
        })
    };
    cheapest(&mut (0..standings.len()).filter(|&place| standings[place].able))
        .or_else(|| cheapest(&mut (0..standings.len())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_do_the_work_is_recommended_only_if_nothing_can() {
        let of = |able, net_present_cost| Standing { able, net_present_cost };
        assert_eq!(best(&[of(true, 9.0), of(false, 1.0), of(true, 7.0)]), Some(2));
        assert_eq!(best(&[of(false, 9.0), of(false, 1.0)]), Some(1));
        assert_eq!(best(&[of(true, 3.0), of(true, 3.0)]), Some(0));
        assert_eq!(best(&[]), None);
    }
}
