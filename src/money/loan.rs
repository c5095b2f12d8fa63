//! A loan that is paid back in equal sums, each at the end of a year (an annuity).

use super::discount::uniform_present_value;

/// A loan on what is bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loan {
    /// Share of each purchase that is borrowed, 0 to 1.
    pub share: f64,
    /// Interest a year as the contract says it, inflation in it.
    pub rate: f64,
    /// Years in which it is paid back, 1 or more.
    pub years: u32,
}

/// What is paid of a loan at the end of a year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LoanYear {
    /// Interest on what was owed through the year.
    pub interest: f64,
    /// Paid back of the sum itself.
    pub repaid: f64,
}

impl Loan {
    /// What is paid each year, from the first after it was taken, on this sum. What is owed still at the end of `within`
    /// years is paid back with the last of them.
    pub fn payments(&self, sum: f64, within: u32) -> Vec<LoanYear> {
        let each = sum / uniform_present_value(self.rate, self.years);
        let mut owed = sum;
        (1..=self.years.min(within))
            .map(|year| {
                let interest = owed * self.rate;
                let repaid = if year == self.years || year == within { owed } else { each - interest };
                owed -= repaid;
                LoanYear { interest, repaid }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const LOAN: Loan = Loan { share: 0.7, rate: 0.06, years: 8 };

    #[test]
    fn each_year_pays_the_same_and_all_is_paid_back() {
        let paid = LOAN.payments(10_000.0, 15);
        assert_eq!(paid.len(), 8);
        for year in &paid {
            assert_relative_eq!(year.interest + year.repaid, paid[0].interest + paid[0].repaid, epsilon = 1e-8);
        }
        assert_relative_eq!(paid.iter().map(|year| year.repaid).sum::<f64>(), 10_000.0, epsilon = 1e-8);
    }

    #[test]
    fn what_is_owed_at_the_end_is_paid_then() {
        let paid = LOAN.payments(10_000.0, 3);
        assert_eq!(paid.len(), 3);
        assert_relative_eq!(paid.iter().map(|year| year.repaid).sum::<f64>(), 10_000.0, epsilon = 1e-8);
        assert!(LOAN.payments(10_000.0, 0).is_empty());
    }

    #[test]
    fn without_interest_each_year_pays_its_share() {
        let paid = Loan { rate: 0.0, years: 4, ..LOAN }.payments(1_000.0, 9);
        assert!(paid.iter().all(|year| year.interest == 0.0 && (year.repaid - 250.0).abs() < 1e-9));
    }
}
