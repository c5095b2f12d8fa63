//! What electricity costs by the time of use, and what the site's peak costs.

use crate::calendar::{Holiday, WallClock, Window};
use chrono::{NaiveDateTime, TimeDelta};

/// A tariff of electricity. [`Tariff::checked`] says whether it can be.
///
/// Prices are in the study's currency. The model's hour is the shortest time: a demand charge is
/// taken on the highest **hourly mean** kW, which lies below the quarter- or half-hour peak of a meter.
#[derive(Clone, Debug, PartialEq)]
pub struct Tariff {
    /// Prices of energy at some times. The first period that holds at a moment gives its price.
    pub periods: Vec<Period>,
    /// The price at all other times.
    pub otherwise: EnergyPrice,
    /// Charges on the highest demand of each month.
    pub demand: Vec<DemandCharge>,
    /// Charge for each month begun.
    pub fixed_per_month: f64,
    /// Charge for each day begun.
    pub fixed_per_day: f64,
    /// Price paid for each kWh given to the grid; it bears no tax.
    pub export_price: f64,
    /// Tax on energy, demand and fixed charges, as a share of them: 0.1 for 10 %.
    pub tax: f64,
    /// Holidays.
    pub holidays: Vec<Holiday>,
    /// The clock the tariff follows; without one it follows local standard time.
    pub clock: Option<WallClock>,
}

/// A price of energy.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyPrice {
    /// Its name in bills.
    pub name: String,
    /// Price of one kWh before tax.
    pub per_kwh: f64,
}

/// A price of energy and when it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Period {
    /// The price.
    pub price: EnergyPrice,
    /// When it holds; at least one.
    pub when: Vec<Window>,
}

/// A charge on the highest demand of each month.
#[derive(Clone, Debug, PartialEq)]
pub struct DemandCharge {
    /// Its name in bills.
    pub name: String,
    /// Price of one kW (or kVA) and month before tax.
    pub price: f64,
    /// What is measured.
    pub measure: DemandMeasure,
    /// When demand counts; empty for always.
    pub when: Vec<Window>,
}

/// How demand is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DemandMeasure {
    /// Active power, kW.
    Kilowatt,
    /// Apparent power, kVA, from kW at this power factor, above 0 and at most 1.
    KilovoltAmpere {
        /// kW per kVA.
        power_factor: f64,
    },
}

impl DemandMeasure {
    /// kW in the measure's own unit.
    pub fn of_kw(self, kw: f64) -> f64 {
        match self {
            Self::Kilowatt => kw,
            Self::KilovoltAmpere { power_factor } => kw / power_factor,
        }
    }

    /// `kW` or `kVA`.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Kilowatt => "kW",
            Self::KilovoltAmpere { .. } => "kVA",
        }
    }
}

/// A tariff that cannot be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadTariff {
    /// A period has no windows.
    #[error("period \"{0}\" never holds; say when")]
    NeverHolds(String),
    /// A figure is out of range.
    #[error("{what} is {found}, expected {expected}")]
    Figure {
        /// Which.
        what: String,
        /// What it is.
        found: f64,
        /// What it may be.
        expected: &'static str,
    },
}

impl Tariff {
    /// One price at all times, without other charges.
    pub fn flat(price_per_kwh: f64) -> Self {
        Self {
            periods: Vec::new(),
            otherwise: EnergyPrice { name: "energy".to_owned(), per_kwh: price_per_kwh },
            demand: Vec::new(),
            fixed_per_month: 0.0,
            fixed_per_day: 0.0,
            export_price: 0.0,
            tax: 0.0,
            holidays: Vec::new(),
            clock: None,
        }
    }

    /// The tariff, if it can be. Energy prices may be negative, all other charges not.
    pub fn checked(self) -> Result<Self, BadTariff> {
        if let Some(never) = self.periods.iter().find(|period| period.when.is_empty()) {
            return Err(BadTariff::NeverHolds(never.price.name.clone()));
        }
        let prices = self
            .energy_prices()
            .map(|price| (format!("price of \"{}\"", price.name), price.per_kwh))
            .chain([("export_price".to_owned(), self.export_price)]);
        for (what, found) in prices {
            if !found.is_finite() {
                let expected = "a number";
                return Err(BadTariff::Figure { what, found, expected });
            }
        }
        let charges =
            self.demand.iter().map(|d| (format!("price of demand \"{}\"", d.name), d.price)).chain(
                [
                    ("fixed_per_month".to_owned(), self.fixed_per_month),
                    ("fixed_per_day".to_owned(), self.fixed_per_day),
                    ("tax".to_owned(), self.tax),
                ],
            );
        for (what, found) in charges {
            if !found.is_finite() || found < 0.0 {
                let expected = "0 or more";
                return Err(BadTariff::Figure { what, found, expected });
            }
        }
        for charge in &self.demand {
            if let DemandMeasure::KilovoltAmpere { power_factor } = charge.measure
                && !(power_factor > 0.0 && power_factor <= 1.0)
            {
                return Err(BadTariff::Figure {
                    what: format!("power factor of demand \"{}\"", charge.name),
                    found: power_factor,
                    expected: "above 0 and at most 1",
                });
            }
        }
        Ok(self)
    }

    /// Every price of energy: those of the periods in their order, then the one at all other times.
    pub fn energy_prices(&self) -> impl Iterator<Item = &EnergyPrice> {
        let some_times = self.periods.iter().map(|period| &period.price);
        some_times.chain([&self.otherwise])
    }

    /// What one kWh more costs in the hour that starts at this local standard time, tax included;
    /// demand charges aside. An hour that straddles two periods has the mean of its quarters.
    pub fn price_per_kwh(&self, hour_starts: NaiveDateTime) -> f64 {
        let shares = self.shares(hour_starts);
        let price: f64 = shares
            .into_iter()
            .map(|(period, share)| {
                let price =
                    self.periods.get(period).map_or(&self.otherwise, |period| &period.price);
                price.per_kwh * share
            })
            .sum();
        price * (1.0 + self.tax)
    }

    /// Name of the energy price that holds in most of the hour that starts at this local standard time.
    pub fn price_name(&self, hour_starts: NaiveDateTime) -> &str {
        let (period, _) = self
            .shares(hour_starts)
            .into_iter()
            .fold((usize::MAX, 0.0), |most, share| if share.1 > most.1 { share } else { most });
        let price = self.periods.get(period).map_or(&self.otherwise, |period| &period.price);
        &price.name
    }

    /// [`Tariff::price_per_kwh`] for many hours.
    pub fn prices_per_kwh(&self, hours: impl IntoIterator<Item = NaiveDateTime>) -> Vec<f64> {
        hours.into_iter().map(|hour| self.price_per_kwh(hour)).collect()
    }

    /// The time on the tariff's clock.
    pub(super) fn on_the_wall(&self, standard: NaiveDateTime) -> NaiveDateTime {
        self.clock.map_or(standard, |clock| clock.read(standard))
    }

    /// Which of [`Tariff::energy_prices`] share the hour, with their shares, which add to 1.
    pub(super) fn shares(&self, hour_starts: NaiveDateTime) -> Vec<(usize, f64)> {
        let whole =
            self.periods.iter().flat_map(|period| &period.when).all(Window::is_on_full_hours);
        if whole {
            return vec![(self.period_at(hour_starts), 1.0)];
        }
        let mut shares: Vec<(usize, f64)> = Vec::with_capacity(2);
        for quarter in 0..4 {
            let period = self.period_at(hour_starts + TimeDelta::minutes(15 * quarter));
            match shares.iter_mut().find(|(known, _)| *known == period) {
                Some((_, share)) => *share += 0.25,
                None => shares.push((period, 0.25)),
            }
        }
        shares
    }

    /// True if a charge counts any part of the hour.
    pub(super) fn demand_counts(&self, charge: &DemandCharge, hour_starts: NaiveDateTime) -> bool {
        charge.when.is_empty()
            || (0..4).any(|quarter| {
                let moment = self.on_the_wall(hour_starts + TimeDelta::minutes(15 * quarter));
                let holiday = self.is_holiday(moment);
                charge.when.iter().any(|w| w.holds(moment, holiday))
            })
    }

    fn period_at(&self, standard: NaiveDateTime) -> usize {
        let moment = self.on_the_wall(standard);
        let holiday = self.is_holiday(moment);
        let holds = |period: &Period| period.when.iter().any(|w| w.holds(moment, holiday));
        let first = self.periods.iter().position(holds);
        first.unwrap_or(self.periods.len())
    }

    fn is_holiday(&self, moment: NaiveDateTime) -> bool {
        let date = moment.date();
        self.holidays.iter().any(|holiday| holiday.falls_on(date))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Days;

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    /// Peak on working days from 07:30 to 21:00, off-peak else, 10 % tax.
    fn two_periods() -> Tariff {
        let mut tariff = Tariff::flat(0.10);
        tariff.periods.push(Period {
            price: EnergyPrice { name: "peak".to_owned(), per_kwh: 0.30 },
            when: vec![Window {
                days: Days::WORKING,
                from: "07:30".parse().unwrap(),
                until: "21:00".parse().unwrap(),
                season: None,
            }],
        });
        tariff.tax = 0.10;
        tariff.holidays = vec!["2021-03-03".parse().unwrap()];
        tariff.checked().unwrap()
    }

    #[test]
    fn the_price_follows_hour_day_and_holiday_and_bears_tax() {
        let tariff = two_periods();
        for (hour, price) in [
            ("2021-03-02 06:00", 0.11),
            ("2021-03-02 07:00", 0.22),
            ("2021-03-02 08:00", 0.33),
            ("2021-03-02 20:00", 0.33),
            ("2021-03-02 21:00", 0.11),
            ("2021-03-03 08:00", 0.11),
            ("2021-03-06 08:00", 0.11),
        ] {
            let found = tariff.price_per_kwh(at(hour));
            assert!((found - price).abs() < 1e-12, "{hour}: {found}");
        }
    }

    #[test]
    fn daylight_saving_moves_the_price_by_an_hour() {
        let mut tariff = two_periods();
        tariff.clock = Some(WallClock {
            standard: "+01:00".parse().unwrap(),
            zone: chrono_tz::Tz::Europe__Rome,
        });
        let price = |hour: &str| tariff.price_per_kwh(at(hour));
        assert!((price("2021-07-01 06:00") - 0.22).abs() < 1e-12);
        assert!((price("2021-07-01 20:00") - 0.11).abs() < 1e-12);
        assert!((price("2021-01-14 20:00") - 0.33).abs() < 1e-12);
    }

    #[test]
    fn a_period_that_never_holds_is_refused() {
        let mut tariff = two_periods();
        tariff.periods[0].when.clear();
        let refused = tariff.checked().unwrap_err();
        assert_eq!(refused, BadTariff::NeverHolds("peak".to_owned()));
    }

    #[test]
    fn figures_that_cannot_be_are_refused() {
        assert!(Tariff::flat(f64::NAN).checked().is_err());
        assert!(Tariff::flat(-0.05).checked().is_ok(), "prices may be negative");
        let mut tariff = Tariff::flat(0.1);
        tariff.demand.push(DemandCharge {
            name: "network".to_owned(),
            price: 10.0,
            measure: DemandMeasure::KilovoltAmpere { power_factor: 0.0 },
            when: Vec::new(),
        });
        let said = tariff.checked().unwrap_err().to_string();
        assert!(said.contains("power factor of demand \"network\" is 0"), "{said}");
    }
}
