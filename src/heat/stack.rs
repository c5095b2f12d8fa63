//! An option's sources in the order in which they are called on.

use super::{Conditions, Draw, Source};

/// Sources in order: each gives what it can of what the ones before it left.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    sources: Vec<Source>,
    /// Fuel energy left of each source's own supply, kWh.
    fuel_left_kwh: Vec<f64>,
}

/// What one source of a stack gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// Its place in the stack, from 0.
    pub source: usize,
    /// What it took in and gave.
    pub draw: Draw,
}

impl Stack {
    /// A stack at the start of a season.
    pub fn new(sources: Vec<Source>) -> Self {
        let fuel_left_kwh = sources.iter().map(Source::own_supply_kwh).collect();
        Self {
            sources,
            fuel_left_kwh,
        }
    }

    /// The sources, first called first.
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// The most heat the stack can give under these conditions, kW.
    pub fn most_kw(&self, now: &Conditions, hours: f64) -> f64 {
        self.sources
            .iter()
            .zip(&self.fuel_left_kwh)
            .map(|(source, &left)| source.most_kw(now, left, hours))
            .sum()
    }

    /// Shares `heat_kw` out in order, without using up any supply: what it would take.
    pub fn plan(&self, heat_kw: f64, now: &Conditions, hours: f64) -> Vec<Given> {
        let mut left_kw = heat_kw;
        let mut all = Vec::with_capacity(self.sources.len());
        for (place, source) in self.sources.iter().enumerate() {
            let most = source.most_kw(now, self.fuel_left_kwh[place], hours);
            let heat = left_kw.min(most).max(0.0);
            left_kw -= heat;
            all.push(Given {
                source: place,
                draw: source.draw(heat, now),
            });
        }
        all
    }

    /// Shares `heat_kw` out in order and uses up the supplies it burns.
    pub fn give(&mut self, heat_kw: f64, now: &Conditions, hours: f64) -> Vec<Given> {
        let all = self.plan(heat_kw, now, hours);
        for given in &all {
            self.fuel_left_kwh[given.source] -= given.draw.fuel_kw * hours;
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Biomass, Burner, Kind, Resistance};
    use super::*;
    use approx::assert_relative_eq;

    const NOW: Conditions = Conditions {
        outside_c: 20.0,
        outside_relative_humidity: 0.6,
        supply_c: 38.0,
    };

    fn stack() -> Stack {
        let burner = Burner {
            carrier: "lpg".into(),
            efficiency: 0.8,
            electricity_share: 0.01,
        };
        let shell = Biomass {
            carrier: "shell".into(),
            efficiency: 0.75,
            electricity_share: 0.02,
            own_supply_kwh: Some(100.0),
        };
        let source = |name: &str, capacity_kw, kind| Source {
            name: name.into(),
            capacity_kw,
            kind,
        };
        Stack::new(vec![
            source("shell", 50.0, Kind::Biomass(shell)),
            source("gas", 40.0, Kind::Burner(burner)),
            source("electric", 30.0, Kind::Resistance(Resistance)),
        ])
    }

    #[test]
    fn sources_are_called_on_in_order_up_to_their_capacity() {
        let mut stack = stack();
        let given = stack.give(100.0, &NOW, 1.0);
        let heat: Vec<f64> = given.iter().map(|g| g.draw.heat_kw).collect();
        assert_eq!(heat, [50.0, 40.0, 10.0]);
        assert_relative_eq!(given[1].draw.fuel_kw, 50.0);
        assert_relative_eq!(given[2].draw.electricity_kw, 10.0);
    }

    #[test]
    fn a_supply_runs_out() {
        let mut stack = stack();
        // 100 kWh of shell at 75 % is 75 kWh of heat: 50 in the first hour, 25 in the next.
        stack.give(50.0, &NOW, 1.0);
        let second = stack.give(50.0, &NOW, 1.0);
        assert_relative_eq!(second[0].draw.heat_kw, 25.0, max_relative = 1e-9);
        assert_relative_eq!(stack.most_kw(&NOW, 1.0), 70.0, epsilon = 1e-9);
    }

    #[test]
    fn planning_uses_nothing_up() {
        let stack = stack();
        let before = stack.clone();
        let _ = stack.plan(100.0, &NOW, 1.0);
        assert_eq!(stack, before);
    }
}
