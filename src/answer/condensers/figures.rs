//! What condensers at one place come to.

use super::heat_pump_of;
use super::{Account, Book, Conditions, Heating, SeasonBill, Study, Unreckoned};
use crate::air::AirState;
use crate::answer::build::{PresentBills, Tally, present_bills};
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

/// Condensers at one place, of which weather years are added one after the other: their books need not be kept.
#[derive(Default)]
pub(super) struct Placing {
    tally: Tally,
    works: Vec<Work>,
    /// Sums of the recovered heat, each year's by how many there are.
    sum: PlacementFigures,
}

impl Placing {
    /// Adds one of so many weather years.
    pub(super) fn add(&mut self, study: &Study, book: &Book, years: usize) -> Result<(), Unreckoned> {
        let (account, bill) = self.tally.add(study, book)?;
        self.works.push(Work::of_year(book, account));
        let years = years.max(1) as f64;
        add_credit(study, (book, account, bill), years, &mut self.sum);
        add_months(book, years, &mut self.sum.by_month);
        Ok(())
    }

    /// Heat need of each year that was added, kWh.
    pub(super) fn needs_kwh(&self) -> impl Iterator<Item = f64> {
        self.tally.accounts.iter().map(|account| account.heat_need_kwh)
    }

    /// What it comes to, in the plant of a study with this heating.
    pub(super) fn placed(self, study: &Study, heating: &Heating) -> Result<Placed, Unreckoned> {
        let Self { tally, works, mut sum } = self;
        let work = Work::over(&works);
        sum.displaced_fuel_money = sum.net_money - sum.displaced_electricity_money + sum.penalty_money;
        sum.cop_of_recovery = (sum.penalty_kwh > 0.0 && sum.useful_kwh > 0.0).then(|| sum.useful_kwh / sum.penalty_kwh);
        let figures = PlacementFigures {
            place: heating.condensers.place.place(),
            room: study.plant.named_room(heating.condensers_room).map(str::to_owned),
            all_dry: work.wet_t <= 0.0,
            work_left: work.left().iter().map(Left::figures).collect(),
            ..sum
        };
        Ok(Placed { figures, work, present_bills: present_bills(study, &tally)? })
    }
}

/// Adds energy and money of the heat recovered in one of so many years.
fn add_credit(
    study: &Study,
    (book, account, bill): (&Book, &Account, &SeasonBill),
    years: f64,
    sum: &mut PlacementFigures,
) {
    let pump = heat_pump_of(study);
    let credit = account.credit;
    sum.gross_kwh += credit.gross_kwh / years;
    sum.useful_kwh += credit.useful_kwh / years;
    sum.penalty_kwh += credit.penalty_kwh / years;
    sum.net_kwh += credit.net_kwh() / years;
    let net_money: f64 = bill.months.iter().map(|month| month.credit_money).sum();
    sum.net_money += net_money / years;
    sum.bill += study.currency.value(bill.total()) / years;
    let prices = study.carriers.electricity.prices_per_kwh(book.hours.iter().map(|hour| hour.starts));
    book.each_hour(|now| {
        let (hour, price) = (&now.hour, prices[now.at]);
        let displaced: f64 = now.displaced.iter().map(|draw| draw.electricity_kwh).sum();
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
    });
}

/// Adds the recovered heat of one of so many years by calendar month, and by hour of the day in it.
fn add_months(book: &Book, years: f64, months: &mut Vec<PlacedMonthFigures>) {
    book.each_hour(|now| {
        let hour = &now.hour;
        let month = month_of(hour).1;
        let place = months.iter().position(|known| known.month == month).unwrap_or_else(|| {
            let net_by_hour_kwh = vec![0.0; 24];
            months.push(PlacedMonthFigures { month, net_by_hour_kwh, ..PlacedMonthFigures::default() });
            months.len() - 1
        });
        let displaced_kwh: f64 = now.displaced.iter().map(|draw| draw.electricity_kwh + draw.fuel_kwh).sum();
        let net_kwh = (displaced_kwh - hour.penalty_kwh) / years;
        let sum = &mut months[place];
        sum.gross_kwh += hour.gross_kwh / years;
        sum.useful_kwh += hour.recovered_kwh / years;
        sum.penalty_kwh += hour.penalty_kwh / years;
        sum.net_kwh += net_kwh;
        sum.net_by_hour_kwh[hour.starts.hour() as usize] += net_kwh;
    });
}
