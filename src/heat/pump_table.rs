//! A heat pump's capacity and coefficient of performance, as printed in its data sheet.

use crate::interpolate::Place;

/// 0 °C, K.
const KELVIN: f64 = 273.15;

/// One row of a data sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpPoint {
    /// Outside air, °C.
    pub outside_c: f64,
    /// Air that it makes, °C.
    pub supply_c: f64,
    /// Heat that it gives there, kW; above zero.
    pub capacity_kw: f64,
    /// Heat given over electricity taken; above zero.
    pub cop: f64,
}

/// Capacity and COP against outside air and the air that is made, linear in both; beyond an end of the table the
/// end holds. What frost costs is in the figures: data sheets give them with defrosting.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpTable {
    outside_c: Vec<f64>,
    supply_c: Vec<f64>,
    /// Rows by outside air, columns by supply air.
    points: Vec<PumpPoint>,
}

/// Why a table cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum BadPumpTable {
    /// There is no row.
    #[error("it has no row")]
    Empty,
    /// A pair of temperatures has no row, or two.
    #[error("{found} rows stand for {outside_c} °C outside and {supply_c} °C supply; every pair needs one")]
    NotOne {
        /// Rows of the pair.
        found: usize,
        /// Outside air, °C.
        outside_c: f64,
        /// Supply air, °C.
        supply_c: f64,
    },
    /// More heat for its electricity than an ideal machine between these temperatures gives.
    #[error(
        "a COP of {cop} between {outside_c} °C outside and {supply_c} °C supply is above {ideal:.1}, which an ideal machine gives"
    )]
    AboveCarnot {
        /// What was found.
        cop: f64,
        /// Outside air, °C.
        outside_c: f64,
        /// Supply air, °C.
        supply_c: f64,
        /// Carnot's, between the two.
        ideal: f64,
    },
    /// A figure that is not above zero.
    #[error("a {what} of {found} is no figure of a heat pump that runs")]
    NotPositive {
        /// Capacity or COP.
        what: &'static str,
        /// What was found.
        found: f64,
    },
}

impl PumpTable {
    /// A table from rows in any order that fill a grid.
    pub fn of_points(rows: &[PumpPoint]) -> Result<Self, BadPumpTable> {
        let axis = |of: fn(&PumpPoint) -> f64| {
            let mut all: Vec<f64> = rows.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all.dedup();
            all
        };
        let (outside, supply) = (axis(|row| row.outside_c), axis(|row| row.supply_c));
        if rows.is_empty() {
            return Err(BadPumpTable::Empty);
        }
        for row in rows {
            for (what, found) in [("capacity", row.capacity_kw), ("COP", row.cop)] {
                if !(found > 0.0 && found.is_finite()) {
                    return Err(BadPumpTable::NotPositive { what, found });
                }
            }
        }
        for row in rows.iter().filter(|row| row.supply_c > row.outside_c) {
            // Air that is warmed on its way could be had for less; its condenser is as warm as the supply all the
            // same.
            let ideal = (row.supply_c + KELVIN) / (row.supply_c - row.outside_c);
            if row.cop > ideal {
                let PumpPoint { outside_c, supply_c, cop, .. } = *row;
                return Err(BadPumpTable::AboveCarnot { cop, outside_c, supply_c, ideal });
            }
        }
        let mut points = Vec::with_capacity(outside.len() * supply.len());
        for &outside_c in &outside {
            for &supply_c in &supply {
                let mut here = rows.iter().filter(|row| row.outside_c == outside_c && row.supply_c == supply_c);
                match (here.next(), here.count()) {
                    (Some(row), 0) => points.push(*row),
                    (first, more) => {
                        let found = usize::from(first.is_some()) + more;
                        return Err(BadPumpTable::NotOne { found, outside_c, supply_c });
                    }
                }
            }
        }
        Ok(Self { outside_c: outside, supply_c: supply, points })
    }

    /// Capacity, kW, at these temperatures.
    pub fn capacity_kw(&self, outside_c: f64, supply_c: f64) -> f64 {
        self.at(outside_c, supply_c, |point| point.capacity_kw)
    }

    /// COP at these temperatures.
    pub fn cop(&self, outside_c: f64, supply_c: f64) -> f64 {
        self.at(outside_c, supply_c, |point| point.cop)
    }

    /// Its rows, by outside air and then by the air that is made.
    pub fn points(&self) -> &[PumpPoint] {
        &self.points
    }

    /// The largest capacity of the table, kW.
    pub fn largest_kw(&self) -> f64 {
        let all = self.points.iter().map(|point| point.capacity_kw);
        all.fold(0.0, f64::max)
    }

    fn at(&self, outside_c: f64, supply_c: f64, of: fn(&PumpPoint) -> f64) -> f64 {
        let supply = Place::held(&self.supply_c, supply_c);
        let columns = self.supply_c.len();
        Place::held(&self.outside_c, outside_c)
            .between(|row| supply.between(|column| of(&self.points[row * columns + column])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn row(outside_c: f64, supply_c: f64, capacity_kw: f64, cop: f64) -> PumpPoint {
        PumpPoint { outside_c, supply_c, capacity_kw, cop }
    }

    fn rows() -> Vec<PumpPoint> {
        vec![
            row(20.0, 45.0, 60.0, 3.6),
            row(0.0, 35.0, 44.0, 3.0),
            row(20.0, 35.0, 64.0, 4.4),
            row(0.0, 45.0, 40.0, 2.4),
        ]
    }

    /// Halfway between four corners lies their mean.
    #[test]
    fn it_is_linear_between_its_rows_and_holds_at_its_ends() {
        let table = PumpTable::of_points(&rows()).unwrap();
        assert_relative_eq!(table.capacity_kw(10.0, 40.0), 52.0);
        assert_relative_eq!(table.cop(10.0, 40.0), 3.35);
        assert_relative_eq!(table.cop(-30.0, 30.0), 3.0);
        assert_relative_eq!(table.capacity_kw(35.0, 60.0), 60.0);
        assert_relative_eq!(table.largest_kw(), 64.0);
    }

    #[test]
    fn holes_doubles_and_nonsense_are_refused() {
        let refused = |rows: &[PumpPoint]| PumpTable::of_points(rows).unwrap_err();
        assert_eq!(refused(&[]), BadPumpTable::Empty);
        assert!(refused(&rows()[1..]).to_string().contains("0 rows stand for 20 °C"));
        let twice = [rows(), vec![row(0.0, 35.0, 1.0, 1.0)]].concat();
        assert!(refused(&twice).to_string().starts_with("2 rows"));
        let none = vec![row(0.0, 35.0, 0.0, 3.0)];
        assert!(refused(&none).to_string().contains("capacity of 0"));
    }
}
