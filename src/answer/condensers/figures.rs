//! What condensers at one place come to.

use super::heat_pump_of;
use super::{Account, Book, Conditions, Heating, SeasonBill, Study, Unreckoned};
use crate::air::AirState;
use crate::answer::build::{PresentBills, present_bills};
use crate::answer::figures::PlacedMonthFigures;
pub(super) use crate::answer::figures::{PlacementFigures, PriceFlip, StackPlacements, TemperatureFlip};
use crate::answer::judgement::{Left, Work};
use crate::ledger::month_of;
use chrono::Timelike;

/// Condensers at one place, not yet compared with outdoors.
pub(super) struct Placed {
    figures: PlacementFigures,
    work: Work,
    present_bills: PresentBills,
}

/// Places compared with the first of them, outdoors.
pub(super) fn compared(all: Vec<Placed>) -> Vec<PlacementFigures> {
    let Some((bill, present, work)) =
        all.first().map(|outdoors| (outdoors.figures.bill, outdoors.present_bills, outdoors.work))
    else {
        return Vec::new();
    };
    let compare = |placed: Placed| {
        let present_electricity_saved = present.electricity - placed.present_bills.electricity;
        let present_fuel_saved = present.fuels - placed.present_bills.fuels;
        PlacementFigures {
            bill_saved: bill - placed.figures.bill,
            present_saved: present_electricity_saved + present_fuel_saved,
            present_electricity_saved,
            present_fuel_saved,
            keeps_up: placed.work.leaves_no_more_than(&work),
            ..placed.figures
        }
    };
    all.into_iter().map(compare).collect()
}

/// What condensers at one place come to, by the books of a heating that has them there.
pub(super) fn placed(study: &Study, heating: &Heating, books: &[Book]) -> Result<Placed, Unreckoned> {
    let accounts: Vec<Account> = books.iter().map(Account::of_all).collect();
    let work = Work::of(books, &accounts);
    let figures = PlacementFigures {
        place: heating.condensers.place.place(),
        room: study.plant.named_room(heating.condensers_room).map(str::to_owned),
        all_dry: work.wet_t <= 0.0,
        work_left: work.left().iter().map(Left::figures).collect(),
        by_month: by_month(books),
        ..credit(study, books)?
    };
    Ok(Placed { figures, work, present_bills: present_bills(study, books)? })
}

/// Energy and money of the recovered heat.
fn credit(study: &Study, books: &[Book]) -> Result<PlacementFigures, Unreckoned> {
    let years = books.len().max(1) as f64;
    let mut sum = PlacementFigures::default();
    let pump = heat_pump_of(study);
    for book in books {
        let credit = Account::of_all(book).credit;
        sum.gross_kwh += credit.gross_kwh / years;
        sum.useful_kwh += credit.useful_kwh / years;
        sum.penalty_kwh += credit.penalty_kwh / years;
        sum.net_kwh += credit.net_kwh() / years;
        let bill = SeasonBill::of(book, &study.carriers, study.currency)?;
        let net_money: f64 = bill.months.iter().map(|month| month.credit_money).sum();
        sum.net_money += net_money / years;
        sum.bill += study.currency.value(bill.total()) / years;
        let prices = study.carriers.electricity.prices_per_kwh(book.hours.iter().map(|hour| hour.starts));
        for (at, (hour, price)) in book.hours.iter().zip(prices).enumerate() {
            let displaced: f64 = book
                .sources
                .iter()
                .filter_map(|source| source.displaced.get(at))
                .map(|draw| draw.electricity_kwh)
                .sum();
            sum.displaced_electricity_money += displaced * price / years;
            sum.penalty_money += hour.penalty_kwh * price / years;
            sum.unmet_cooling_kwh += hour.store_unmet_kwh / years;
            if hour.recovered_kwh > 0.0 {
                let now = Conditions {
                    outside: AirState { dry_bulb_c: hour.outside_c, humidity_ratio: 0.0 },
                    outside_relative_humidity: hour.outside_relative_humidity,
                    supply_c: hour.air_c,
                    ..Conditions::default()
                };
                let kwh = hour.recovered_kwh / pump.cop(&now);
                sum.heat_pump_kwh += kwh / years;
                sum.heat_pump_money += kwh * price / years;
            }
        }
    }
    sum.displaced_fuel_money = sum.net_money - sum.displaced_electricity_money + sum.penalty_money;
    sum.cop_of_recovery = (sum.penalty_kwh > 0.0 && sum.useful_kwh > 0.0).then(|| sum.useful_kwh / sum.penalty_kwh);
    Ok(sum)
}

/// Recovered heat by calendar month, and by hour of the day in it.
fn by_month(books: &[Book]) -> Vec<PlacedMonthFigures> {
    let years = books.len().max(1) as f64;
    let mut months: Vec<PlacedMonthFigures> = Vec::new();
    for book in books {
        for (at, hour) in book.hours.iter().enumerate() {
            let month = month_of(hour).1;
            let place = months.iter().position(|known| known.month == month).unwrap_or_else(|| {
                let net_by_hour_kwh = vec![0.0; 24];
                months.push(PlacedMonthFigures { month, net_by_hour_kwh, ..PlacedMonthFigures::default() });
                months.len() - 1
            });
            let displaced = book.sources.iter().filter_map(|source| source.displaced.get(at));
            let displaced_kwh: f64 = displaced.map(|draw| draw.electricity_kwh + draw.fuel_kwh).sum();
            let net_kwh = (displaced_kwh - hour.penalty_kwh) / years;
            let sum = &mut months[place];
            sum.gross_kwh += hour.gross_kwh / years;
            sum.useful_kwh += hour.recovered_kwh / years;
            sum.penalty_kwh += hour.penalty_kwh / years;
            sum.net_kwh += net_kwh;
            sum.net_by_hour_kwh[hour.starts.hour() as usize] += net_kwh;
        }
    }
    months
}
