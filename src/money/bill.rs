//! The electricity bill, month by month, to the cent: lines add to months, months to the season.

use super::amount::{Amount, NoAmount};
use super::billing_days::BillingDays;
use super::currency::Currency;
use super::tariff::Tariff;
use chrono::{Datelike, NaiveDate, NaiveDateTime};

/// An electricity bill.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Bill {
    /// Its months in order.
    pub months: Vec<MonthBill>,
}

/// One month of a bill.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthBill {
    /// The year.
    pub year: i32,
    /// The month, 1 to 12.
    pub month: u32,
    /// Energy by period of the tariff, in the tariff's order, those without energy too.
    pub energy: Vec<EnergyLine>,
    /// Demand by charge of the tariff, in the tariff's order.
    pub demand: Vec<DemandLine>,
    /// Highest hourly mean of the month, kW, whether charged or not.
    pub peak_kw: f64,
    /// Days that are billed.
    pub days: u32,
    /// Fixed charges.
    pub fixed: Amount,
    /// Tax on energy, demand and fixed charges.
    pub tax: Amount,
}

/// Energy purchased in one period of the tariff.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyLine {
    /// The period.
    pub period: String,
    /// kWh.
    pub kwh: f64,
    /// Cost before tax.
    pub cost: Amount,
}

/// What one charge on demand comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct DemandLine {
    /// The charge.
    pub charge: String,
    /// Highest demand that counts, in `unit`.
    pub demand: f64,
    /// `kW` or `kVA`.
    pub unit: &'static str,
    /// Start of the hour of highest demand, local standard time; `None` if no hour counted.
    pub at: Option<NaiveDateTime>,
    /// Cost before tax.
    pub cost: Amount,
}

impl MonthBill {
    /// kWh purchased.
    pub fn kwh(&self) -> f64 {
        self.energy.iter().map(|line| line.kwh).sum()
    }

    /// Cost of energy before tax.
    pub fn energy_cost(&self) -> Amount {
        self.energy.iter().map(|line| line.cost).sum()
    }

    /// Cost of demand before tax.
    pub fn demand_cost(&self) -> Amount {
        self.demand.iter().map(|line| line.cost).sum()
    }

    /// What is to be paid: energy, demand, fixed charges and tax.
    pub fn total(&self) -> Amount {
        self.energy_cost() + self.demand_cost() + self.fixed + self.tax
    }
}

impl Bill {
    /// kWh purchased.
    pub fn kwh(&self) -> f64 {
        self.months.iter().map(MonthBill::kwh).sum()
    }

    /// Cost of energy before tax.
    pub fn energy_cost(&self) -> Amount {
        self.months.iter().map(MonthBill::energy_cost).sum()
    }

    /// Cost of demand before tax.
    pub fn demand_cost(&self) -> Amount {
        self.months.iter().map(MonthBill::demand_cost).sum()
    }

    /// What is to be paid over all months.
    pub fn total(&self) -> Amount {
        self.months.iter().map(MonthBill::total).sum()
    }

    /// Highest hourly mean of all months, kW.
    pub fn peak_kw(&self) -> f64 {
        self.months.iter().fold(0.0, |peak, month| peak.max(month.peak_kw))
    }
}

/// What a month gathers before it is priced.
struct Gathered {
    year: i32,
    month: u32,
    kwh: Vec<f64>,
    demand: Vec<(f64, Option<NaiveDateTime>)>,
    peak_kw: f64,
    days: u32,
    last_day: Option<NaiveDate>,
}

impl Tariff {
    /// The days and months of a bill for hours in order, by their starts in local standard time.
    pub fn billing_days(&self, hours: impl IntoIterator<Item = NaiveDateTime>) -> BillingDays {
        BillingDays::of(self.times.clock, hours)
    }

    /// The bill for hours in order, each with its start in local standard time and the site's energy,
    /// kWh, at least 0: nothing in a plant gives energy to the grid. Days and months are those of
    /// [`BillingDays`]. A month or day begun is charged in full.
    pub fn bill(&self, hours: &[(NaiveDateTime, f64)], currency: Currency) -> Result<Bill, NoAmount> {
        let mut gathered: Vec<Gathered> = Vec::new();
        let days = self.billing_days(hours.iter().map(|(starts, _)| *starts));
        for &(starts, kwh) in hours {
            let date = days.date(starts);
            let month = self.month_of(&mut gathered, date);
            if month.last_day != Some(date) {
                month.last_day = Some(date);
                month.days += 1;
            }
            for (period, share) in self.times.shares(starts) {
                month.kwh[period] += kwh * share;
            }
            month.peak_kw = month.peak_kw.max(kwh);
            for (charge, highest) in self.demand.iter().zip(&mut month.demand) {
                if kwh > highest.0 && self.demand_counts(charge, starts) {
                    *highest = (kwh, Some(starts));
                }
            }
        }
        let months = gathered.into_iter().map(|month| self.price(month, currency)).collect::<Result<_, _>>()?;
        Ok(Bill { months })
    }

    /// The month of a date, the latest as a rule, made where it is not there.
    fn month_of<'g>(&self, gathered: &'g mut Vec<Gathered>, date: NaiveDate) -> &'g mut Gathered {
        let known = gathered.iter().rposition(|m| (m.year, m.month) == (date.year(), date.month()));
        let index = known.unwrap_or_else(|| {
            gathered.push(Gathered {
                year: date.year(),
                month: date.month(),
                kwh: vec![0.0; self.periods.len() + 1],
                demand: vec![(0.0, None); self.demand.len()],
                peak_kw: 0.0,
                days: 0,
                last_day: None,
            });
            gathered.len() - 1
        });
        &mut gathered[index]
    }

    fn price(&self, month: Gathered, currency: Currency) -> Result<MonthBill, NoAmount> {
        let energy = self
            .energy_prices()
            .zip(month.kwh)
            .map(|(price, kwh)| {
                Ok(EnergyLine { period: price.name.clone(), kwh, cost: currency.amount(kwh * price.per_kwh)? })
            })
            .collect::<Result<Vec<_>, _>>()?;
        let demand = self
            .demand
            .iter()
            .zip(month.demand)
            .map(|(charge, (kw, at))| {
                let demand = charge.measure.of_kw(kw);
                Ok(DemandLine {
                    charge: charge.name.clone(),
                    demand,
                    unit: charge.measure.unit(),
                    at,
                    cost: currency.amount(demand * charge.price)?,
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        let days = f64::from(month.days);
        let fixed = currency.amount(self.fixed_per_month + self.fixed_per_day * days)?;
        let mut bill = MonthBill {
            year: month.year,
            month: month.month,
            energy,
            demand,
            peak_kw: month.peak_kw,
            days: month.days,
            fixed,
            tax: Amount::ZERO,
        };
        let taxed = bill.energy_cost() + bill.demand_cost() + bill.fixed;
        bill.tax = currency.amount(currency.value(taxed) * self.tax)?;
        Ok(bill)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tariff::{DemandCharge, DemandMeasure, EnergyPrice};
    use super::*;
    use crate::calendar::{Days, Window};
    use chrono::TimeDelta;
    use proptest::prelude::*;

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    fn usd() -> Currency {
        "USD".parse().unwrap()
    }

    fn hours(start: &str, kwh: &[f64]) -> Vec<(NaiveDateTime, f64)> {
        let start = at(start);
        let numbered = (0i64..).zip(kwh);
        numbered.map(|(hour, kwh)| (start + TimeDelta::hours(hour), *kwh)).collect()
    }

    fn working_day(from: &str, until: &str) -> Window {
        Window { season: None, days: Days::WORKING, from: from.parse().unwrap(), until: until.parse().unwrap() }
    }

    /// Worked by hand: Monday 2021-03-01, 24 h at 10 kWh but 50 kWh at 03:00 and 40 kWh at 10:00. Peak
    /// 08:00-20:00 at 0.30: 150 kWh, 45.00. Off-peak at 0.10: 160 kWh, 16.00. Demand in the peak hours
    /// at power factor 0.8: 50 kVA at 8.00, 400.00. Fixed 30 + 1.25. Tax 10 % of 492.25: 49.225, to the
    /// even cent 49.22.
    #[test]
    fn a_bill_worked_by_hand() {
        let day = working_day("08:00", "20:00");
        let mut tariff =
            Tariff::flat(0.10).with_period(EnergyPrice { name: "peak".to_owned(), per_kwh: 0.30 }, vec![day]);
        tariff.demand.push(DemandCharge {
            name: "network".to_owned(),
            price: 8.0,
            measure: DemandMeasure::KilovoltAmpere { power_factor: 0.8 },
            when: vec![day],
        });
        (tariff.fixed_per_month, tariff.fixed_per_day, tariff.tax) = (30.0, 1.25, 0.10);
        let mut kwh = [10.0; 24];
        (kwh[3], kwh[10]) = (50.0, 40.0);
        let bill = tariff.checked().unwrap().bill(&hours("2021-03-01 00:00", &kwh), usd()).unwrap();
        let [month] = &bill.months[..] else { panic!("{bill:?}") };
        assert_eq!((month.year, month.month, month.kwh()), (2021, 3, 310.0));
        let costs: Vec<_> = month.energy.iter().map(|line| line.cost.minor()).collect();
        assert_eq!(costs, [4500, 1600]);
        let network = &month.demand[0];
        assert_eq!((network.demand, network.unit), (50.0, "kVA"));
        assert_eq!(network.at, Some(at("2021-03-01 10:00")));
        assert_eq!(month.peak_kw, 50.0);
        assert_eq!(month.demand_cost().minor(), 40000);
        assert_eq!((month.fixed.minor(), month.tax.minor()), (3125, 4922));
        assert_eq!(bill.total().minor(), 54147);
    }

    #[test]
    fn months_are_those_on_the_wall_and_no_hours_make_no_bill() {
        let mut tariff = Tariff::flat(0.20);
        tariff.times.clock =
            Some(crate::calendar::WallClock { standard: "+01:00".parse().unwrap(), zone: chrono_tz::Tz::Europe__Rome });
        let june_and_july = tariff.bill(&hours("2021-06-30 22:00", &[1.0; 4]), usd()).unwrap();
        let months: Vec<_> = june_and_july.months.iter().map(|m| (m.month, m.kwh())).collect();
        assert_eq!(months, [(6, 1.0), (7, 3.0)]);
        let june = tariff.bill(&hours("2021-06-30 22:00", &[1.0, 1.0]), usd()).unwrap();
        let months: Vec<_> = june.months.iter().map(|m| (m.month, m.kwh())).collect();
        assert_eq!(months, [(6, 2.0)], "23:00 is midnight on the wall, and no July");
        assert_eq!(tariff.bill(&[], usd()).unwrap(), Bill::default());
    }

    #[test]
    fn energy_that_is_no_number_is_refused() {
        let tariff = Tariff::flat(0.2);
        assert!(tariff.bill(&hours("2021-06-30 22:00", &[f64::NAN]), usd()).is_err());
    }

    proptest! {
        #[test]
        fn lines_add_to_months_and_months_to_the_season_to_the_cent(
            kwh in prop::collection::vec(0.0..400.0f64, 1..2500),
            price in 0.01..0.5f64,
            night in 0.01..0.5f64,
            tax in 0.0..0.25f64,
        ) {
            let mut tariff = Tariff::flat(price).with_period(
                EnergyPrice { name: "night".to_owned(), per_kwh: night },
                vec![working_day("21:45", "06:15")],
            );
            (tariff.tax, tariff.fixed_per_day) = (tax, 0.333);
            let hours = hours("2021-03-01 00:00", &kwh);
            let bill = tariff.bill(&hours, usd()).unwrap();
            let lines: i64 = bill.months.iter().map(|m| {
                m.energy.iter().map(|l| l.cost.minor()).sum::<i64>()
                    + m.fixed.minor() + m.tax.minor()
            }).sum();
            prop_assert_eq!(bill.total().minor(), lines);
            // No energy is lost between periods, and the bill agrees with the hour's own price.
            let bought: f64 = kwh.iter().sum();
            prop_assert!((bill.kwh() - bought).abs() < 1e-6);
            let hourly: f64 = hours.iter()
                .map(|(starts, kwh)| kwh * tariff.price_per_kwh(*starts)).sum();
            let billed = usd().value(bill.energy_cost()) * (1.0 + tax);
            prop_assert!((hourly - billed).abs() < 0.02 * bill.months.len() as f64);
        }
    }
}
