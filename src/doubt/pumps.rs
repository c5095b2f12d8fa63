//! Heat pumps that are better than any that is built.

use super::Doubts;
use crate::heat::{Kind, PumpPoint};

/// What real heat pumps reach of Carnot, between condensing 5 K above the air that they make and evaporating 5 K below the
/// air that they take from, is at most this (assumption, with a margin: refrigerant cycles computed with `CoolProp` give 0.46
/// to 0.59 for the compressor alone, as `heat` says).
const BEST_OF_CARNOT: f64 = 0.7;
/// Exchangers hardly come closer than this to their air, K (common practice, no published source).
const CLOSEST_K: f64 = 5.0;
/// 0 °C, K.
const KELVIN: f64 = 273.15;

impl Doubts<'_> {
    /// Rows of a maker's table above what is built.
    pub(super) fn pumps(&mut self) {
        let mut found: Vec<(String, String)> = Vec::new();
        for source in self.heatings().flat_map(|heating| &heating.sources) {
            let Kind::HeatPump(pump) = &source.kind else { continue };
            let rows = pump.table.iter().flat_map(|table| table.points());
            let Some((row, share)) = rows.map(|row| (row, of_carnot(row))).max_by(|a, b| a.1.total_cmp(&b.1)) else {
                continue;
            };
            if share > BEST_OF_CARNOT {
                let what = format!(
                    "a COP of {} between {} °C outside and {} °C supply is {:.0} % of an ideal machine's with exchangers {CLOSEST_K} K apart; 40 to 60 % is what is built",
                    row.cop,
                    row.outside_c,
                    row.supply_c,
                    share * 100.0
                );
                let table = format!("source.{}.table", source.name);
                let path = self.inputs.iter().map(|input| &input.path).find(|path| path.starts_with(&table));
                let path = path.cloned().unwrap_or_else(|| format!("source.{}.kind", source.name));
                if !found.iter().any(|(known, _)| *known == path) {
                    found.push((path, what));
                }
            }
        }
        for (path, what) in found {
            self.doubt(
                "source.cop",
                &path,
                what,
                "give heat over electricity, fans and pumps counted, at these temperatures",
            );
        }
    }
}

/// What a row reaches of Carnot between its condenser and its evaporator.
fn of_carnot(row: &PumpPoint) -> f64 {
    let (hot_c, cold_c) = (row.supply_c + CLOSEST_K, row.outside_c - CLOSEST_K);
    row.cop * (hot_c - cold_c).max(1.0) / (hot_c + KELVIN)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 318.15 K less 283.15 K is a lift of 35 K, so that Carnot is 9.09.
    #[test]
    fn a_row_is_held_beside_carnot_with_its_exchangers() {
        let row = PumpPoint { outside_c: 15.0, supply_c: 40.0, capacity_kw: 1.0, cop: 4.545 };
        assert!((of_carnot(&row) - 0.5).abs() < 0.001, "{}", of_carnot(&row));
    }
}
