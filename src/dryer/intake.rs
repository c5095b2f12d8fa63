//! Nuts arriving over the season, and waiting for a bin.

use super::bin_spec::BinSpec;
use crate::crop::Mould;
use std::collections::VecDeque;
use std::sync::Arc;

/// A grade of nuts, where deliveries are told apart; a bin holds one grade.
pub type Grade = Option<Arc<str>>;

/// Nuts that may lie in one bin: those of one crop and one grade.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sort {
    /// Place of the crop among the plant's, from 0.
    pub crop: usize,
    /// The grade.
    pub grade: Grade,
}

/// How a season's tonnage spreads over its days.
#[derive(Clone, Debug, PartialEq)]
pub enum IntakeShape {
    /// The same every day.
    Even,
    /// A raised cosine: little at both ends, twice the mean in the middle.
    Bell,
    /// A weight for each calendar month, January first.
    Monthly([f64; 12]),
}

/// Nuts that arrive in an hour.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivery {
    /// Hour of the season, from 0.
    pub hour: usize,
    /// Received mass, t.
    pub tonnes: f64,
    /// Moisture, dry basis.
    pub moisture: f64,
    /// Their crop and grade.
    pub sort: Sort,
}

/// Received tonnes of each day of a season; `month_of_day[i]` is 1..=12. The days add up to the
/// season's tonnes.
pub fn daily_tonnes(season_tonnes: f64, month_of_day: &[u32], shape: &IntakeShape) -> Vec<f64> {
    let days = month_of_day.len();
    let weights: Vec<f64> = match shape {
        IntakeShape::Even => vec![1.0; days],
        IntakeShape::Bell => (0..days)
            .map(|day| {
                let phase = (day as f64 + 0.5) / days as f64 * std::f64::consts::TAU;
                1.0 - phase.cos()
            })
            .collect(),
        IntakeShape::Monthly(weights) => {
            // A month's weight is its share of the season, so it is spread over the month's days
            // that the season has.
            let mut days_of_month = [0.0; 12];
            for &month in month_of_day {
                days_of_month[month as usize - 1] += 1.0;
            }
            month_of_day.iter().map(|&month| weights[month as usize - 1] / days_of_month[month as usize - 1]).collect()
        }
    };
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|weight| if sum > 0.0 { season_tonnes * weight / sum } else { 0.0 }).collect()
}

/// Nuts of one delivery that wait.
#[derive(Clone, Debug, PartialEq)]
pub struct Parcel {
    /// Hour they arrived.
    pub arrived: usize,
    /// Received mass, kg.
    pub mass_kg: f64,
    /// Moisture, dry basis.
    pub moisture: f64,
    /// Their crop and grade.
    pub sort: Sort,
    /// What has grown on them since they arrived.
    pub mould: Mould,
}

/// Nuts that have waited longer than their crop may.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooLong {
    /// The longest that any of them has waited, h.
    pub waited_h: f64,
    /// How long those may, h.
    pub safe_h: f64,
    /// All of them, kg.
    pub mass_kg: f64,
}

/// The heaps of nuts that wait for a bin, one of each sort; first in, first out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WaitingNuts {
    parcels: VecDeque<Parcel>,
}

impl WaitingNuts {
    /// Adds a delivery.
    pub fn arrive(&mut self, delivery: &Delivery) {
        if delivery.tonnes > 0.0 {
            self.parcels.push_back(Parcel {
                arrived: delivery.hour,
                mass_kg: delivery.tonnes * 1000.0,
                moisture: delivery.moisture,
                sort: delivery.sort.clone(),
                mould: Mould::default(),
            });
        }
    }

    /// The sorts that wait, the one that has waited longest first.
    pub fn sorts(&self) -> Vec<Sort> {
        let mut sorts: Vec<Sort> = Vec::new();
        for parcel in &self.parcels {
            if !sorts.contains(&parcel.sort) {
                sorts.push(parcel.sort.clone());
            }
        }
        sorts
    }

    /// Mass of a sort that waits, kg.
    pub fn mass_of_kg(&self, sort: &Sort) -> f64 {
        let of_sort = self.parcels.iter().filter(|parcel| parcel.sort == *sort);
        of_sort.map(|parcel| parcel.mass_kg).sum()
    }

    /// The longest that any nuts of a sort have waited at this hour, h.
    pub fn longest_wait_of_h(&self, sort: &Sort, hour: usize) -> f64 {
        self.parcels
            .iter()
            .find(|parcel| parcel.sort == *sort)
            .map_or(0.0, |parcel| hour.saturating_sub(parcel.arrived) as f64)
    }

    /// Hour at which the last nuts of a sort came that wait.
    pub fn last_arrival_of(&self, sort: &Sort) -> Option<usize> {
        self.parcels.iter().rfind(|parcel| parcel.sort == *sort).map(|parcel| parcel.arrived)
    }

    /// What of a sort goes into a bin, kg: whole deliveries as long as they fit, and where those do not
    /// fill it, a part of the next.
    pub fn fitting_kg(&self, sort: &Sort, bin: &BinSpec) -> f64 {
        let mut whole_kg = 0.0;
        for parcel in self.parcels.iter().filter(|parcel| parcel.sort == *sort) {
            if whole_kg + parcel.mass_kg > bin.most_kg() {
                return if whole_kg >= bin.full_from_kg() { whole_kg } else { bin.full_kg() };
            }
            whole_kg += parcel.mass_kg;
        }
        whole_kg
    }

    /// The furthest grown mould on nuts of a sort.
    pub fn mould_of(&self, sort: &Sort) -> Mould {
        let of_sort = self.parcels.iter().filter(|parcel| parcel.sort == *sort);
        of_sort.map(|parcel| parcel.mould).fold(Mould::default(), Mould::worse)
    }

    /// Lets mould live on every parcel; `live` is given its crop's place and its moisture.
    pub fn live_on(&mut self, live: impl Fn(usize, f64, &mut Mould)) {
        for parcel in &mut self.parcels {
            live(parcel.sort.crop, parcel.moisture, &mut parcel.mould);
        }
    }

    /// Mass that waits, kg.
    pub fn mass_kg(&self) -> f64 {
        self.parcels.iter().map(|parcel| parcel.mass_kg).sum()
    }

    /// The longest that any of them has waited at this hour, h.
    pub fn longest_wait_h(&self, hour: usize) -> f64 {
        self.parcels.front().map_or(0.0, |parcel| hour.saturating_sub(parcel.arrived) as f64)
    }

    /// What has waited longer at this hour than its crop may; `hours` says how long that is by the crop's
    /// place. `None` if nothing has.
    pub fn waiting_longer(&self, hour: usize, hours: impl Fn(usize) -> f64) -> Option<TooLong> {
        let late = self.parcels.iter().filter_map(|parcel| {
            let waited_h = hour.saturating_sub(parcel.arrived) as f64;
            let safe_h = hours(parcel.sort.crop);
            (waited_h > safe_h).then_some(TooLong { waited_h, safe_h, mass_kg: parcel.mass_kg })
        });
        late.reduce(|all, next| {
            let longest = if next.waited_h > all.waited_h { next } else { all };
            TooLong { mass_kg: all.mass_kg + next.mass_kg, ..longest }
        })
    }

    /// Hours before this one at whose end the nuts of a sort that have waited longest had waited longer than so
    /// many hours: what the guard on waiting counts of them.
    pub fn hours_waited_longer_of(&self, sort: &Sort, hour: usize, hours: f64) -> f64 {
        (self.longest_wait_of_h(sort, hour) - hours.floor()).max(0.0)
    }

    /// True if nothing waits.
    pub fn is_empty(&self) -> bool {
        self.parcels.is_empty()
    }

    /// Water the waiting nuts hold, kg.
    pub fn water_kg(&self) -> f64 {
        self.parcels.iter().map(|parcel| parcel.mass_kg * parcel.moisture / (1.0 + parcel.moisture)).sum()
    }

    /// Takes up to `mass_kg` of a sort, oldest first, mixed: mass taken, kg, and its mean dry-basis
    /// moisture.
    pub fn take(&mut self, sort: &Sort, mass_kg: f64) -> (f64, f64) {
        let mut wanted = mass_kg;
        let mut dry = 0.0;
        let mut water = 0.0;
        for parcel in self.parcels.iter_mut().filter(|parcel| parcel.sort == *sort) {
            if wanted <= 1e-9 {
                break;
            }
            let taken = parcel.mass_kg.min(wanted);
            dry += taken / (1.0 + parcel.moisture);
            water += taken * parcel.moisture / (1.0 + parcel.moisture);
            wanted -= taken;
            parcel.mass_kg -= taken;
        }
        self.parcels.retain(|parcel| parcel.mass_kg > 1e-9);
        let moisture = if dry > 0.0 { water / dry } else { 0.0 };
        (dry + water, moisture)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn months() -> Vec<u32> {
        [(3, 31), (4, 30), (5, 31)].iter().flat_map(|&(month, days)| vec![month; days]).collect()
    }

    #[test]
    fn every_shape_brings_the_whole_season_in() {
        let mut weights = [0.0; 12];
        weights[2] = 1.0;
        weights[3] = 3.0;
        for shape in [IntakeShape::Even, IntakeShape::Bell, IntakeShape::Monthly(weights)] {
            let days = daily_tonnes(640.0, &months(), &shape);
            assert_relative_eq!(days.iter().sum::<f64>(), 640.0, max_relative = 1e-12);
        }
    }

    #[test]
    fn monthly_weights_are_shares_of_the_season() {
        let mut weights = [0.0; 12];
        weights[2] = 1.0;
        weights[3] = 3.0;
        let days = daily_tonnes(640.0, &months(), &IntakeShape::Monthly(weights));
        assert_relative_eq!(days[..31].iter().sum::<f64>(), 160.0, max_relative = 1e-12);
        assert_relative_eq!(days[31..61].iter().sum::<f64>(), 480.0, max_relative = 1e-12);
        assert_eq!(days[61], 0.0);
    }

    #[test]
    fn taking_conserves_mass_and_water() {
        let mut heap = WaitingNuts::default();
        heap.arrive(&Delivery { hour: 0, tonnes: 4.0, moisture: 0.30, sort: Sort::default() });
        heap.arrive(&Delivery { hour: 24, tonnes: 4.0, moisture: 0.20, sort: Sort::default() });
        let water = heap.water_kg();
        let (mass, moisture) = heap.take(&Sort::default(), 6000.0);
        assert_relative_eq!(mass, 6000.0, max_relative = 1e-12);
        let taken = mass * moisture / (1.0 + moisture);
        assert_relative_eq!(taken + heap.water_kg(), water, max_relative = 1e-12);
        assert_relative_eq!(heap.mass_kg(), 2000.0, max_relative = 1e-12);
        assert_eq!(heap.longest_wait_h(30), 6.0);
        assert_eq!(heap.take(&Sort::default(), 9000.0).0, 2000.0);
        assert!(heap.is_empty());
    }

    /// Two loads of 2.99 t fill a bin of 6 t; a third waits rather than be torn. A load of 6.2 t goes in
    /// whole, one of 6.4 t is parted.
    #[test]
    fn deliveries_are_not_torn_for_the_last_kilograms_of_a_bin() {
        let bin = BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 };
        let fitting = |tonnes: &[f64]| {
            let mut heap = WaitingNuts::default();
            for &tonnes in tonnes {
                heap.arrive(&Delivery { hour: 0, tonnes, moisture: 0.3, sort: Sort::default() });
            }
            heap.fitting_kg(&Sort::default(), &bin)
        };
        assert_relative_eq!(fitting(&[2.99, 2.99, 2.99]), 5980.0);
        assert_relative_eq!(fitting(&[4.0, 4.0]), 6000.0);
        assert_relative_eq!(fitting(&[6.2]), 6200.0);
        assert_relative_eq!(fitting(&[6.4]), 6000.0);
        assert_relative_eq!(fitting(&[2.0]), 2000.0);
    }

    #[test]
    fn a_load_is_of_one_sort_the_one_that_has_waited_longest_first() {
        let mut heap = WaitingNuts::default();
        let early = Sort { crop: 0, grade: Some(Arc::from("early")) };
        let late = Sort { crop: 0, grade: Some(Arc::from("late")) };
        let other_crop = Sort { crop: 1, ..early.clone() };
        for (hour, sort, tonnes) in [(0, &early, 2.0), (5, &late, 3.0), (7, &other_crop, 0.5), (9, &early, 1.0)] {
            heap.arrive(&Delivery { hour, tonnes, moisture: 0.25, sort: sort.clone() });
        }
        assert_eq!(heap.sorts(), [early.clone(), late.clone(), other_crop.clone()]);
        assert_eq!(heap.longest_wait_of_h(&late, 10), 5.0);
        let (mass, _) = heap.take(&early, 9000.0);
        assert_relative_eq!(mass, 3000.0, max_relative = 1e-12);
        assert_relative_eq!(heap.mass_kg(), 3500.0, max_relative = 1e-12);
        assert_eq!(heap.sorts(), [late, other_crop]);
        let patience_h = |crop: usize| [6.0, 2.0][crop];
        let late = heap.waiting_longer(10, patience_h).expect("the other crop is late");
        assert_eq!((late.waited_h, late.safe_h), (3.0, 2.0));
        assert_relative_eq!(late.mass_kg, 500.0, max_relative = 1e-12);
        // Two hours on the three tonnes of the other crop are late as well, and have waited longest.
        let late = heap.waiting_longer(12, patience_h).expect("both are late");
        assert_eq!((late.waited_h, late.safe_h), (7.0, 6.0));
        assert_relative_eq!(late.mass_kg, 3500.0, max_relative = 1e-12);
        assert_eq!(heap.waiting_longer(9, patience_h), None);
    }
}
