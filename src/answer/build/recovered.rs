//! What recovered condenser heat was worth, and when it came.

use super::reckoned::{Reckoned, over};
use crate::answer::cover;
use crate::answer::figures::RecoveredFigures;
use chrono::Timelike;

pub(super) fn recovered(option: &Reckoned<'_>) -> RecoveredFigures {
    let useful_kwh = option.mean(|account| account.credit.useful_kwh);
    let penalty_kwh = option.mean(|account| account.credit.penalty_kwh);
    let need = option.mean(|account| account.heat_need_kwh);
    let by_hour = |of: &dyn Fn(&crate::ledger::Entry) -> f64| -> Vec<f64> {
        let mut hours = vec![0.0; 24];
        for entry in option.books.iter().flat_map(|book| &book.hours) {
            hours[entry.starts.hour() as usize] += of(&entry) / option.books.len() as f64;
        }
        hours
    };
    let gross_kwh = option.mean(|account| account.credit.gross_kwh);
    let gross_idle_kwh = option.mean(|account| account.credit.gross_idle_kwh);
    RecoveredFigures {
        gross_kwh,
        gross_idle_pct: over(gross_idle_kwh, gross_kwh) * 100.0,
        unearned_hours: option.mean(|account| account.credit.unearned_hours),
        unearned_useful_kwh: option.mean(|account| account.credit.unearned_useful_kwh),
        unearned_displaced_kwh: option.mean(|account| account.credit.unearned_displaced_kwh),
        cooling_short_kwh: option.mean(|account| account.credit.cooling_short_kwh),
        useful_kwh,
        penalty_kwh,
        net_kwh: option.mean(|account| account.credit.net_kwh()),
        net_money: option.mean_credit_money(),
        cop_of_recovery: (penalty_kwh > 0.0 && useful_kwh > 0.0).then(|| useful_kwh / penalty_kwh),
        share_of_need_pct: over(useful_kwh, need) * 100.0,
        useful_by_hour_of_day_kwh: by_hour(&|entry| entry.recovered_kwh),
        gross_by_hour_of_day_kwh: by_hour(&|entry| entry.gross_kwh),
        need_by_hour_of_day_kwh: by_hour(&|entry| entry.heat_need_kwh),
        by_month_and_hour: if useful_kwh > 0.0 { cover::by_month_and_hour(option.books) } else { Vec::new() },
    }
}
