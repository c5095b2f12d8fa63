//! Electricity by the periods of its tariff.

use super::reckoned::Reckoned;
use crate::answer::figures::PeriodFigures;
use crate::study::Study;

/// Means over the weather years, in the tariff's order; one where its price is the same at all times.
pub(super) fn periods(study: &Study, option: &Reckoned<'_>) -> Vec<PeriodFigures> {
    let years = option.bills.len().max(1) as f64;
    let mut all: Vec<PeriodFigures> = Vec::new();
    for line in option.bills.iter().flat_map(|bill| &bill.months).flat_map(|month| &month.electricity.energy) {
        let place = all.iter().position(|known| known.name == line.period).unwrap_or_else(|| {
            all.push(PeriodFigures { name: line.period.clone(), ..PeriodFigures::default() });
            all.len() - 1
        });
        all[place].kwh += line.kwh / years;
        all[place].cost += study.currency.value(line.cost) / years;
    }
    let kwh: f64 = all.iter().map(|period| period.kwh).sum();
    for period in &mut all {
        period.share_pct = if kwh > 0.0 { period.kwh / kwh * 100.0 } else { 0.0 };
    }
    all
}
