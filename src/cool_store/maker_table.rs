//! A table of a unit's capacity and power, as printed in its data sheet.

use super::duty::Duty;
use crate::interpolate::Place;

/// Capacity and power against condenser-air and store-air temperature.
///
/// Linear in both. Below the coolest condenser air its figures hold (the unit holds its head pressure);
/// above the hottest the last stretch goes on, up to the trip limit; beyond the store air's ends the end
/// holds.
#[derive(Clone, Debug, PartialEq)]
pub struct MakerTable {
    condenser_air_c: Vec<f64>,
    store_air_c: Vec<f64>,
    /// Rows by condenser air, columns by store air.
    duties: Vec<Duty>,
}

/// Why a table cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BadTable {
    /// The figures are not one for each pair of temperatures.
    #[error("{found} figures stand for {condenser} condenser-air by {store} store-air temperatures; give {}, row by row", condenser * store)]
    Count {
        /// Figures found.
        found: usize,
        /// Condenser-air temperatures.
        condenser: usize,
        /// Store-air temperatures.
        store: usize,
    },
    /// Temperatures that do not rise.
    #[error("the {0} temperatures do not rise; sort them, each once")]
    NotRising(&'static str),
    /// A figure that is not above zero.
    #[error("a {what} of {found} kW is no figure of a unit that runs; give kilowatts above zero")]
    NotPositive {
        /// Capacity or power.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// A row of a list of points has no partner.
    #[error(
        "no figure stands for {condenser_air_c} °C condenser air and {store_air_c} °C store air; every pair needs one row, once"
    )]
    Hole {
        /// Condenser air of the missing row, °C.
        condenser_air_c: f64,
        /// Store air of the missing row, °C.
        store_air_c: f64,
    },
}

/// One row of a table written as points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TablePoint {
    /// Air into the condenser, °C.
    pub condenser_air_c: f64,
    /// Store air, dry bulb, °C.
    pub store_air_c: f64,
    /// What the unit does there.
    pub duty: Duty,
}

impl MakerTable {
    /// A table from its rising temperatures and its figures row by row (one row for each condenser-air
    /// temperature), kW.
    pub fn new(
        condenser_air_c: Vec<f64>,
        store_air_c: Vec<f64>,
        capacity_kw: &[f64],
        power_kw: &[f64],
    ) -> Result<Self, BadTable> {
        let rising = |list: &[f64]| !list.is_empty() && list.is_sorted_by(|a, b| a < b);
        if !rising(&condenser_air_c) {
            return Err(BadTable::NotRising("condenser-air"));
        }
        if !rising(&store_air_c) {
            return Err(BadTable::NotRising("store-air"));
        }
        for (what, list) in [("capacity", capacity_kw), ("power", power_kw)] {
            if list.len() != condenser_air_c.len() * store_air_c.len() {
                return Err(BadTable::Count {
                    found: list.len(),
                    condenser: condenser_air_c.len(),
                    store: store_air_c.len(),
                });
            }
            if let Some(&found) = list.iter().find(|kw| !(kw.is_finite() && **kw > 0.0)) {
                return Err(BadTable::NotPositive { what, found });
            }
        }
        let duties =
            capacity_kw.iter().zip(power_kw).map(|(&capacity_kw, &power_kw)| Duty { capacity_kw, power_kw }).collect();
        Ok(Self { condenser_air_c, store_air_c, duties })
    }

    /// A table from points in any order that fill a grid.
    pub fn of_points(points: &[TablePoint]) -> Result<Self, BadTable> {
        let axis = |of: fn(&TablePoint) -> f64| {
            let mut all: Vec<f64> = points.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all.dedup();
            all
        };
        let (condenser, store) = (axis(|point| point.condenser_air_c), axis(|point| point.store_air_c));
        let (mut capacity, mut power) = (Vec::new(), Vec::new());
        for &condenser_air_c in &condenser {
            for &store_air_c in &store {
                let mut here = points
                    .iter()
                    .filter(|point| point.condenser_air_c == condenser_air_c && point.store_air_c == store_air_c);
                let (Some(point), None) = (here.next(), here.next()) else {
                    return Err(BadTable::Hole { condenser_air_c, store_air_c });
                };
                capacity.push(point.duty.capacity_kw);
                power.push(point.duty.power_kw);
            }
        }
        Self::new(condenser, store, &capacity, &power)
    }

    /// The table of a unit so many times as large.
    pub(super) fn times(&self, factor: f64) -> Self {
        let mut grown = self.clone();
        for duty in &mut grown.duties {
            duty.capacity_kw *= factor;
            duty.power_kw *= factor;
        }
        grown
    }

    /// What the unit does in this air.
    pub(super) fn duty(&self, condenser_air_c: f64, store_air_c: f64) -> Duty {
        let row = Place::extended(&self.condenser_air_c, condenser_air_c);
        let column = Place::held(&self.store_air_c, store_air_c);
        let at = |of: fn(&Duty) -> f64| {
            row.between(|row| column.between(|column| of(&self.duties[row * self.store_air_c.len() + column])))
        };
        Duty {
            capacity_kw: at(|duty| duty.capacity_kw).max(0.0),
            // A falling power column may not be followed to nothing.
            power_kw: at(|duty| duty.power_kw).max(self.least_power_kw()),
        }
    }

    fn least_power_kw(&self) -> f64 {
        let least = self.duties.iter().map(|duty| duty.power_kw);
        0.5 * least.fold(f64::INFINITY, f64::min)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn table() -> MakerTable {
        MakerTable::new(
            vec![25.0, 35.0, 45.0],
            vec![15.0, 25.0],
            &[10.0, 14.0, 9.0, 12.0, 7.0, 10.0],
            &[2.0, 2.2, 2.6, 2.8, 3.4, 3.6],
        )
        .unwrap()
    }

    #[test]
    fn corners_are_met_and_the_middle_is_their_mean() {
        let duty = table().duty(35.0, 15.0);
        assert_eq!((duty.capacity_kw, duty.power_kw), (9.0, 2.6));
        let duty = table().duty(30.0, 20.0);
        assert_relative_eq!(duty.capacity_kw, 45.0 / 4.0);
        assert_relative_eq!(duty.power_kw, 9.6 / 4.0);
    }

    #[test]
    fn beyond_the_ends_it_holds_or_goes_on_as_stated() {
        assert_eq!(table().duty(0.0, 0.0), table().duty(25.0, 15.0));
        assert_eq!(table().duty(30.0, 40.0), table().duty(30.0, 25.0));
        assert_relative_eq!(table().duty(50.0, 15.0).capacity_kw, 6.0);
    }

    #[test]
    fn points_make_the_same_table_in_any_order() {
        let mut points = Vec::new();
        for condenser_air_c in [45.0, 25.0, 35.0] {
            for store_air_c in [25.0, 15.0] {
                points.push(TablePoint {
                    condenser_air_c,
                    store_air_c,
                    duty: table().duty(condenser_air_c, store_air_c),
                });
            }
        }
        assert_eq!(MakerTable::of_points(&points).unwrap(), table());
        points.pop();
        assert!(matches!(MakerTable::of_points(&points), Err(BadTable::Hole { .. })));
    }

    #[test]
    fn tables_that_say_nothing_are_refused() {
        let new =
            |air: Vec<f64>, capacity: &[f64]| MakerTable::new(air, vec![20.0], capacity, &[1.0, 1.0]).unwrap_err();
        assert!(matches!(new(vec![30.0, 20.0], &[1.0, 1.0]), BadTable::NotRising(_)));
        assert!(matches!(new(vec![20.0, 30.0], &[1.0]), BadTable::Count { .. }));
        assert!(matches!(new(vec![20.0, 30.0], &[1.0, f64::NAN]), BadTable::NotPositive { .. }));
        assert!(matches!(new(Vec::new(), &[]), BadTable::NotRising(_)));
    }
}
