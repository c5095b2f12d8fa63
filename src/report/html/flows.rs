//! Where each kWh goes, for every option.

use super::parts::{Figure, figure, label};
use super::view::View;
use super::whose;
use crate::ledger::{Account, Book};
use crate::report::chart::{Drawn, Flow, Pen, Ribbon};
use crate::report::figures::OptionFigures;
use crate::report::number::percent;
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
    let largest = sums.iter().map(Sums::used_and_free).fold(1.0, f64::max);
    let mut figures = Vec::new();
    for (place, (option, sum)) in view.figures.options.iter().zip(&sums).enumerate() {
        let chart = Flow {
            label: label(
                format!("flow-{place}"),
                format!("Where each kWh goes: {}", option.name),
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
    /// Lights and people in the drying room.
    gains: f64,
    /// Of which lights, which are metered.
    lights: f64,
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
            lights: mean(&|a| a.lights_kwh),
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
        self.source_electricity + self.fans + self.lights + self.store
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

    fn used_and_free(&self) -> f64 {
        self.electricity()
            + self.fuel()
            + self.lifted()
            + self.drawn_from_store()
            + (self.gains - self.lights)
    }

    fn in_air(&self) -> f64 {
        self.source_heat
            + self.fan_heat
            + self.into_air
            + self.gains
            + self.cooling()
            + self.gained_by_envelope()
    }

    fn out_of_air(&self) -> f64 {
        let exits = [self.ventilation, self.envelope, self.warming, self.binding];
        exits.into_iter().map(|kwh| kwh.max(0.0)).sum()
    }

    /// Heat of nuts and steel that the air took up: they left colder than they came.
    fn cooling(&self) -> f64 {
        (-self.warming).max(0.0)
    }

    /// Heat that came in through the envelope in a season warmer than the room.
    fn gained_by_envelope(&self) -> f64 {
        (-self.envelope).max(0.0)
    }

    fn sentence(&self, option: &OptionFigures) -> String {
        let air = self.in_air().max(1e-9);
        let exits = [
            ("extracted air", self.ventilation),
            ("the envelope", self.envelope),
            ("warm nuts and steel", self.warming),
            ("freeing bound water", self.binding),
        ];
        let (way, most) =
            exits.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(("extracted air", 0.0));
        let residual = (self.in_air() - self.out_of_air()).abs() / air;
        format!(
            "The site {}. Of the heat in the drying air {} leaves with {way}. What enters the drying air less what leaves it is {} of it; the largest hourly residual of energy is {} and of water {} of the season’s total.",
            whose::uses(option),
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

    /// Places, fuels first: the ribbons count from [`Sums::place`].
    fn nodes(&self) -> Vec<(String, usize)> {
        let fuels = self.fuels.iter().map(|fuel| (fuel.0.as_str(), 0));
        let others = PLACES.into_iter().map(|(_, name, stage)| (name, stage));
        fuels.chain(others).map(|(name, stage)| (name.to_owned(), stage)).collect()
    }

    /// Place of a node other than a fuel.
    fn place(&self, wanted: Place) -> usize {
        let at = PLACES.iter().position(|(place, _, _)| *place == wanted);
        self.fuels.len() + at.unwrap_or(0)
    }

    fn ribbons(&self) -> Vec<Ribbon> {
        use Place::{
            Air, Bound, CoolStore, Electricity, Envelope, EnvelopeIn, Extracted, FanLoss, Fans,
            Lights, Loss, Nuts, NutsIn, Outdoors, OutsideAir, People, Sources, Stored,
        };
        let ribbon = |from: Place, to: Place, kwh: f64, pen: Pen| Ribbon {
            from: self.place(from),
            to: self.place(to),
            kwh,
            pen,
        };
        let mut all: Vec<Ribbon> = self
            .fuels
            .iter()
            .enumerate()
            .map(|(from, (_, kwh))| Ribbon {
                from,
                to: self.place(Sources),
                kwh: *kwh,
                pen: Pen::Pale2,
            })
            .collect();
        all.extend([
            ribbon(OutsideAir, Sources, self.lifted(), Pen::Pale2),
            ribbon(Electricity, Sources, self.source_electricity, Pen::Pale2),
            ribbon(Electricity, Fans, self.fans, Pen::Pale4),
            ribbon(Electricity, Lights, self.lights, Pen::Pale5),
            ribbon(Electricity, CoolStore, self.store, Pen::Pale1),
            ribbon(People, Lights, self.gains - self.lights, Pen::Pale5),
            ribbon(Stored, CoolStore, self.drawn_from_store(), Pen::Pale1),
            ribbon(Sources, Air, self.source_heat, Pen::Pale2),
            ribbon(Fans, Air, self.fan_heat, Pen::Pale4),
            ribbon(Lights, Air, self.gains, Pen::Pale5),
            ribbon(CoolStore, Air, self.into_air, Pen::Pale3),
            ribbon(NutsIn, Air, self.cooling(), Pen::Pale5),
            ribbon(EnvelopeIn, Air, self.gained_by_envelope(), Pen::Pale5),
            ribbon(Air, Extracted, self.ventilation, Pen::Pale2),
            ribbon(Air, Envelope, self.envelope, Pen::Pale2),
            ribbon(Air, Nuts, self.warming, Pen::Pale2),
            ribbon(Air, Bound, self.binding, Pen::Pale2),
            ribbon(Sources, Loss, self.conversion_loss(), Pen::Pale5),
            ribbon(Fans, FanLoss, self.fans - self.fan_heat, Pen::Pale4),
            ribbon(CoolStore, Outdoors, self.given_off - self.into_air, Pen::Pale1),
        ]);
        // Below 1e-6 of all it is rounding.
        let least = 1e-6 * self.used_and_free();
        all.retain(|ribbon| ribbon.kwh > least);
        all
    }
}

/// Places of the chart other than fuels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Electricity,
    OutsideAir,
    People,
    Stored,
    NutsIn,
    EnvelopeIn,
    Sources,
    Fans,
    Lights,
    CoolStore,
    Air,
    Extracted,
    Envelope,
    Nuts,
    Bound,
    Loss,
    FanLoss,
    Outdoors,
}

/// Each place with its name and stage, from top to bottom.
const PLACES: [(Place, &str, usize); 18] = [
    (Place::OutsideAir, "outside air", 0),
    (Place::Electricity, "electricity", 0),
    (Place::People, "people", 0),
    (Place::Stored, "cool-store load", 0),
    (Place::Sources, "heat sources", 1),
    (Place::Fans, "drying fans", 1),
    (Place::Lights, "lights, people", 1),
    (Place::CoolStore, "cool store", 1),
    (Place::NutsIn, "heat of the nuts", 1),
    (Place::EnvelopeIn, "heat from outside", 1),
    (Place::Air, "in the drying air", 2),
    (Place::Extracted, "extracted air", 3),
    (Place::Envelope, "envelope", 3),
    (Place::Nuts, "warm nuts, steel", 3),
    (Place::Bound, "bound water", 3),
    (Place::Loss, "conversion loss", 3),
    (Place::FanLoss, "fan heat lost", 3),
    (Place::Outdoors, "heat to outdoors", 3),
];

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
            lights: 0.8,
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
            // Heat that nuts and envelope give to the air begins in stage 1.
            let begins = name.starts_with("heat of") || name.starts_with("heat from");
            if !(1..=2).contains(stage) || begins {
                continue;
            }
            let into: f64 = ribbons.iter().filter(|r| r.to == at).map(|r| r.kwh).sum();
            let out: f64 = ribbons.iter().filter(|r| r.from == at).map(|r| r.kwh).sum();
            assert!((into - out).abs() < 1e-9, "{name}: {into} {out}");
        }
    }

    #[test]
    fn nuts_that_leave_colder_give_heat_to_the_air() {
        let sums = Sums { warming: -5.0, ventilation: 90.0, ..sums() };
        let ribbons = sums.ribbons();
        let air = sums.place(Place::Air);
        let into: f64 = ribbons.iter().filter(|r| r.to == air).map(|r| r.kwh).sum();
        let out: f64 = ribbons.iter().filter(|r| r.from == air).map(|r| r.kwh).sum();
        assert!((into - out).abs() < 1e-9, "{into} {out}");
        assert!((sums.in_air() - sums.out_of_air()).abs() < 1e-9);
    }

    #[test]
    fn a_heat_pump_lifts_heat_and_a_burner_loses_some() {
        assert_eq!(sums().lifted(), 0.0);
        assert_eq!(sums().conversion_loss(), 10.0);
        let pump = Sums { fuels: Vec::new(), source_electricity: 20.0, ..sums() };
        assert_eq!(pump.lifted(), 30.0);
        assert_eq!(pump.conversion_loss(), 0.0);
    }
}
