//! What electricity costs by the time of use, and what the site's peak costs.

use crate::calendar::{TimeOfUse, Window};
use chrono::{NaiveDateTime, TimeDelta};

/// A tariff of electricity. [`Tariff::checked`] says whether it can be.
///
/// Prices are in the study's currency. The model's hour is the shortest time: a demand charge is
/// taken on the highest **hourly mean** kW, which lies below the quarter- or half-hour peak of a meter.
#[derive(Clone, Debug, PartialEq)]
pub struct Tariff {
    /// Prices of energy at some times, one for each kind of hour in `times`.
    pub periods: Vec<EnergyPrice>,
    /// The price at all other times.
    pub otherwise: EnergyPrice,
    /// When each of `periods` holds, the holidays, and the clock that all windows follow. The first period
    /// that holds at a moment gives its price.
    pub times: TimeOfUse,
    /// Charges on the highest demand of each month.
    pub demand: Vec<DemandCharge>,
    /// Charge for each month begun.
    pub fixed_per_month: f64,
    /// Charge for each day begun.
    pub fixed_per_day: f64,
    /// Tax on energy, demand and fixed charges, as a share of them: 0.1 for 10 %.
    pub tax: f64,
}

/// A price of energy.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyPrice {
    /// Its name in bills.
    pub name: String,
    /// Price of one kWh before tax.
    pub per_kwh: f64,
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
            times: TimeOfUse::default(),
            demand: Vec::new(),
            fixed_per_month: 0.0,
            fixed_per_day: 0.0,
            tax: 0.0,
        }
    }

    /// The tariff, if it can be. Energy prices may be negative, all other charges not.
    pub fn checked(self) -> Result<Self, BadTariff> {
        let mut periods = self.periods.iter().enumerate();
        let never = |at: usize| self.times.kinds.get(at).is_none_or(Vec::is_empty);
        if let Some((_, price)) = periods.find(|(at, _)| never(*at)) {
            return Err(BadTariff::NeverHolds(price.name.clone()));
        }
        let prices = self.energy_prices().map(|price| (format!("price of \"{}\"", price.name), price.per_kwh));
        for (what, found) in prices {
            if !found.is_finite() {
                let expected = "a number";
                return Err(BadTariff::Figure { what, found, expected });
            }
        }
        let charges = self.demand.iter().map(|d| (format!("price of demand \"{}\"", d.name), d.price)).chain([
            ("fixed_per_month".to_owned(), self.fixed_per_month),
            ("fixed_per_day".to_owned(), self.fixed_per_day),
            ("tax".to_owned(), self.tax),
        ]);
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
        self.periods.iter().chain([&self.otherwise])
    }

    /// What one kWh more costs in each kind of hour, in the order of [`Tariff::energy_prices`], tax
    /// included.
    pub fn prices_with_tax(&self) -> Vec<f64> {
        self.energy_prices().map(|price| price.per_kwh * (1.0 + self.tax)).collect()
    }

    /// The same with every price times a factor: of energy, of demand, and the fixed charges; the tax is a share of them.
    #[must_use]
    pub fn times_dearer(mut self, factor: f64) -> Self {
        for price in self.periods.iter_mut().chain([&mut self.otherwise]) {
            price.per_kwh *= factor;
        }
        for charge in &mut self.demand {
            charge.price *= factor;
        }
        self.fixed_per_month *= factor;
        self.fixed_per_day *= factor;
        self
    }

    /// A price for some times, asked after those that are there.
    #[must_use]
    pub fn with_period(mut self, price: EnergyPrice, when: Vec<Window>) -> Self {
        self.periods.push(price);
        self.times.kinds.push(when);
        self
    }

    fn price_of(&self, kind: usize) -> &EnergyPrice {
        self.periods.get(kind).unwrap_or(&self.otherwise)
    }

    /// What one kWh more costs in the hour that starts at this local standard time, tax included;
    /// demand charges aside. An hour that straddles two periods has the mean of its quarters.
    pub fn price_per_kwh(&self, hour_starts: NaiveDateTime) -> f64 {
        self.energy_price_per_kwh(hour_starts) * (1.0 + self.tax)
    }

    /// The price of energy in the hour that starts at this local standard time, before tax.
    pub fn energy_price_per_kwh(&self, hour_starts: NaiveDateTime) -> f64 {
        self.times.mean(hour_starts, |kind| self.price_of(kind).per_kwh)
    }

    /// [`Tariff::price_per_kwh`] for many hours.
    pub fn prices_per_kwh(&self, hours: impl IntoIterator<Item = NaiveDateTime>) -> Vec<f64> {
        hours.into_iter().map(|hour| self.price_per_kwh(hour)).collect()
    }

    /// True if a charge counts any part of the hour.
    pub(super) fn demand_counts(&self, charge: &DemandCharge, hour_starts: NaiveDateTime) -> bool {
        charge.when.is_empty()
            || (0..4).any(|quarter| self.times.any_holds(&charge.when, hour_starts + TimeDelta::minutes(15 * quarter)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Days, WallClock};

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    /// Peak on working days from 07:30 to 21:00, off-peak else, 10 % tax.
    fn two_periods() -> Tariff {
        let mut tariff = Tariff::flat(0.10).with_period(
            EnergyPrice { name: "peak".to_owned(), per_kwh: 0.30 },
            vec![Window {
                days: Days::WORKING,
                from: "07:30".parse().unwrap(),
                until: "21:00".parse().unwrap(),
                season: None,
            }],
        );
        tariff.tax = 0.10;
        tariff.times.holidays = vec!["2021-03-03".parse().unwrap()];
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
        tariff.times.clock = Some(WallClock { standard: "+01:00".parse().unwrap(), zone: chrono_tz::Tz::Europe__Rome });
        let price = |hour: &str| tariff.price_per_kwh(at(hour));
        assert!((price("2021-07-01 06:00") - 0.22).abs() < 1e-12);
        assert!((price("2021-07-01 20:00") - 0.11).abs() < 1e-12);
        assert!((price("2021-01-14 20:00") - 0.33).abs() < 1e-12);
    }

    /// On Lord Howe the clock is half an hour ahead in summer: of the hour that starts at 06:00 standard time half
    /// lies before 07:00 on the wall.
    #[test]
    fn a_clock_half_an_hour_ahead_shares_an_hour_between_two_prices() {
        let mut tariff = two_periods();
        tariff.times.kinds[0][0].from = "07:00".parse().unwrap();
        let zone = chrono_tz::Tz::Australia__Lord_Howe;
        tariff.times.clock = Some(WallClock { standard: "+10:30".parse().unwrap(), zone });
        for (hour, price) in [
            ("2021-01-14 05:00", 0.11),
            ("2021-01-14 06:00", 0.22),
            ("2021-01-14 07:00", 0.33),
            ("2021-07-14 06:00", 0.11),
            ("2021-07-14 07:00", 0.33),
        ] {
            let found = tariff.price_per_kwh(at(hour));
            assert!((found - price).abs() < 1e-12, "{hour}: {found}");
        }
    }

    #[test]
    fn every_price_is_dearer_by_the_factor_and_the_tax_stays() {
        let mut tariff = two_periods();
        tariff.demand.push(DemandCharge {
            name: "network".to_owned(),
            price: 10.0,
            measure: DemandMeasure::Kilowatt,
            when: Vec::new(),
        });
        (tariff.fixed_per_month, tariff.fixed_per_day) = (30.0, 2.0);
        let dearer = tariff.clone().times_dearer(1.5);
        for hour in ["2021-03-02 06:00", "2021-03-02 08:00"] {
            assert!((dearer.price_per_kwh(at(hour)) - 1.5 * tariff.price_per_kwh(at(hour))).abs() < 1e-12);
        }
        assert_eq!((dearer.demand[0].price, dearer.fixed_per_month, dearer.fixed_per_day), (15.0, 45.0, 3.0));
        assert_eq!(dearer.tax.to_bits(), tariff.tax.to_bits());
        assert_eq!(tariff.clone().times_dearer(1.0), tariff);
    }

    #[test]
    fn a_period_that_never_holds_is_refused() {
        let mut tariff = two_periods();
        tariff.times.kinds[0].clear();
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
