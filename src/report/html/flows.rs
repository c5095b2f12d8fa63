//! Where each kWh goes, for every option.

use super::parts::{Figure, figure, label};
use super::view::View;
use crate::ledger::{Account, Book};
use crate::report::chart::{Drawn, Flow, Pen, Ribbon};
use crate::report::figures::OptionFigures;
use crate::report::number::{energy, percent};
use serde::Serialize;

/// The sixth section.
#[derive(Debug, Serialize)]
pub struct Flows {
    figures: Vec<Figure>,
}

/// Height of the tallest stage of the largest option, px.
const TALL_PX: f64 = 200.0;

/// Builds it.
pub fn flows(view: &View<'_>) -> Drawn<Flows> {
    let sums: Vec<Sums> = view
        .figures
        .options
        .iter()
        .zip(view.books)
        .map(|(option, books)| Sums::of(option, books))
        .collect();
    let largest = sums.iter().map(Sums::bought_and_free).fold(1.0, f64::max);
    let mut figures = Vec::new();
    for (place, (option, sum)) in view.figures.options.iter().zip(&sums).enumerate() {
        let chart = Flow {
            label: label(
                format!("flow-{place}"),
                format!("Where each kWh goes, {}", option.name),
                sum.sentence(option),
            ),
            nodes: sum.nodes(),
            ribbons: sum.ribbons(),
            px_per_kwh: TALL_PX / largest,
        };
        figures.push(figure(&chart, &chart.label, Vec::new())?);
    }
    Ok(Flows { figures })
}

/// Energies of one option in a mean season, kWh.
#[derive(Clone, Debug, Default)]
struct Sums {
    fuels: Vec<(String, f64)>,
    source_electricity: f64,
    source_heat: f64,
    fans: f64,
    fan_heat: f64,
    gains: f64,
    store: f64,
    /// Heat given off by all condensers.
    given_off: f64,
    /// Of which into the drying air, useful or purged.
    into_air: f64,
    ventilation: f64,
    envelope: f64,
    warming: f64,
    binding: f64,
}

impl Sums {
    fn of(option: &OptionFigures, books: &[Book]) -> Self {
        let years = books.len().max(1) as f64;
        let accounts: Vec<Account> = books.iter().map(Account::of_all).collect();
        let mean = |of: &dyn Fn(&Account) -> f64| accounts.iter().map(of).sum::<f64>() / years;
        Self {
            fuels: option
                .carriers
                .iter()
                .filter(|(name, _)| *name != "electricity")
                .map(|(name, carrier)| (name.clone(), carrier.kwh))
                .collect(),
            source_electricity: mean(&|a| a.source_electricity_kwh),
            source_heat: mean(&|a| a.source_heat_kwh.iter().sum()),
            fans: mean(&Account::fan_kwh),
            fan_heat: mean(&|a| a.fan_heat_kwh),
            gains: mean(&|a| a.gains_kwh),
            store: mean(&|a| a.store_kwh),
            given_off: mean(&|a| a.store_units_kwh + a.store_cooling_kwh),
            into_air: mean(&|a| a.credit.useful_kwh + a.purged_kwh),
            ventilation: mean(&|a| a.ventilation_kwh),
            envelope: mean(&|a| a.envelope_kwh),
            warming: mean(&|a| a.warming_kwh),
            binding: mean(&|a| a.binding_kwh),
        }
    }

    fn fuel(&self) -> f64 {
        self.fuels.iter().map(|fuel| fuel.1).sum()
    }

    fn electricity(&self) -> f64 {
        self.source_electricity + self.fans + self.store
    }

    /// Heat that a heat pump lifts from outside air: what sources give beyond what they take.
    fn lifted(&self) -> f64 {
        (self.source_heat - self.source_electricity - self.fuel()).max(0.0)
    }

    fn conversion_loss(&self) -> f64 {
        (self.source_electricity + self.fuel() - self.source_heat).max(0.0)
    }

    /// Heat that the cool store drew from nuts and building.
    fn drawn_from_store(&self) -> f64 {
        (self.given_off - self.store).max(0.0)
    }

    fn bought_and_free(&self) -> f64 {
        self.electricity() + self.fuel() + self.lifted() + self.drawn_from_store() + self.gains
    }

    fn in_air(&self) -> f64 {
        self.source_heat + self.fan_heat + self.into_air + self.gains
    }

    fn out_of_air(&self) -> f64 {
        self.ventilation + self.envelope + self.warming + self.binding
    }

    fn sentence(&self, option: &OptionFigures) -> String {
        let air = self.in_air().max(1e-9);
        let exits = [
            ("extracted air", self.ventilation),
            ("the envelope", self.envelope),
            ("warm nuts and steel", self.warming),
            ("freeing bound water", self.binding),
        ];
        let (way, most) = exits
            .into_iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or(("extracted air", 0.0));
        let residual = (self.in_air() - self.out_of_air()).abs() / air;
        format!(
            "The site buys {}. Of the heat in the drying air {} leaves with {way}. What enters the drying air less what leaves it is {} of it; the largest hourly residual of energy is {} and of water {} of the season’s total.",
            energy(option.purchased_kwh),
            percent(most / air * 100.0),
            if residual < 5e-4 {
                "less than 0.05\u{a0}%".to_owned()
            } else {
                percent(residual * 100.0)
            },
            super::method::scientific(option.residuals.energy),
            super::method::scientific(option.residuals.water),
        )
    }

    fn nodes(&self) -> Vec<(String, usize)> {
        let mut nodes: Vec<(String, usize)> = [
            ("electricity", 0),
            ("outside air", 0),
            ("stored nuts, building", 0),
            ("lights, people", 0),
            ("heat sources", 1),
            ("drying fans", 1),
            ("cool store", 1),
            ("in the drying air", 2),
            ("extracted air", 3),
            ("envelope", 3),
            ("warm nuts, steel", 3),
            ("freeing bound water", 3),
            ("conversion losses", 3),
            ("fan heat outdoors", 3),
            ("condensers outdoors", 3),
        ]
        .map(|(name, stage)| (name.to_owned(), stage))
        .to_vec();
        // Fuels stand above electricity's other uses: put last here, they are drawn in stage order.
        nodes.extend(self.fuels.iter().map(|fuel| (fuel.0.clone(), 0)));
        nodes
    }

    fn ribbons(&self) -> Vec<Ribbon> {
        const FIRST_FUEL: usize = 15;
        let ribbon = |from, to, kwh: f64, pen| Ribbon { from, to, kwh, pen };
        let mut all = vec![
            ribbon(0, 4, self.source_electricity, Pen::Fill2),
            ribbon(1, 4, self.lifted(), Pen::Fill2),
            ribbon(0, 5, self.fans, Pen::Fill4),
            ribbon(0, 6, self.store, Pen::Fill1),
            ribbon(2, 6, self.drawn_from_store(), Pen::Fill1),
            ribbon(4, 7, self.source_heat, Pen::Fill2),
            ribbon(5, 7, self.fan_heat, Pen::Fill4),
            ribbon(6, 7, self.into_air, Pen::Fill3),
            ribbon(3, 7, self.gains, Pen::Fill5),
            ribbon(7, 8, self.ventilation, Pen::Fill2),
            ribbon(7, 9, self.envelope, Pen::Fill2),
            ribbon(7, 10, self.warming, Pen::Fill2),
            ribbon(7, 11, self.binding, Pen::Fill2),
            ribbon(4, 12, self.conversion_loss(), Pen::Fill5),
            ribbon(5, 13, self.fans - self.fan_heat, Pen::Fill5),
            ribbon(6, 14, self.given_off - self.into_air, Pen::Fill1),
        ];
        for (place, (_, kwh)) in self.fuels.iter().enumerate() {
            all.push(ribbon(FIRST_FUEL + place, 4, *kwh, Pen::Fill2));
        }
        // Below 1e-6 of all it is rounding.
        let least = 1e-6 * self.bought_and_free();
        all.retain(|ribbon| ribbon.kwh > least);
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sums() -> Sums {
        Sums {
            fuels: vec![("lpg".into(), 50.0)],
            source_electricity: 10.0,
            source_heat: 50.0,
            fans: 8.0,
            fan_heat: 7.0,
            gains: 1.0,
            store: 20.0,
            given_off: 60.0,
            into_air: 40.0,
            ventilation: 80.0,
            envelope: 10.0,
            warming: 5.0,
            binding: 3.0,
        }
    }

    #[test]
    fn what_enters_each_place_leaves_it() {
        let sums = sums();
        let ribbons = sums.ribbons();
        for (at, (name, stage)) in sums.nodes().iter().enumerate() {
            if !(1..=2).contains(stage) {
                continue;
            }
            let into: f64 = ribbons.iter().filter(|r| r.to == at).map(|r| r.kwh).sum();
            let out: f64 = ribbons.iter().filter(|r| r.from == at).map(|r| r.kwh).sum();
            assert!((into - out).abs() < 1e-9, "{name}: {into} {out}");
        }
    }

    #[test]
    fn a_heat_pump_lifts_heat_and_a_burner_loses_some() {
        assert_eq!(sums().lifted(), 0.0);
        assert_eq!(sums().conversion_loss(), 10.0);
        let pump = Sums {
            fuels: Vec::new(),
            source_electricity: 20.0,
            ..sums()
        };
        assert_eq!(pump.lifted(), 30.0);
        assert_eq!(pump.conversion_loss(), 0.0);
    }
}
