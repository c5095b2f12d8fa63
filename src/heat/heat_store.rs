//! A tank of hot water or a bed of pebbles that shifts heat by some hours: charged while electricity is cheap,
//! called on while it is dear.

use super::{Conditions, Draw, HeatSource, Left, Origin};

/// A heat store and how it is run.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatStore {
    /// Heat it holds when full, kWh above the temperature at which it serves no more.
    pub capacity_kwh: f64,
    /// Most heat that goes into it, kW.
    pub charge_kw: f64,
    /// Share of what it holds that it loses in an hour, 0..1.
    pub loss_per_hour: f64,
    /// Temperature that it is charged to, °C: what a heat pump that charges it must reach.
    pub temperature_c: f64,
    /// Name of the source of the same stack that charges it with what it has to spare.
    pub charged_by: String,
    /// Carrier which that source burns; `None` if it burns none.
    pub fuel: Option<String>,
    /// It is charged while a kWh of electricity costs no more than this.
    pub charge_up_to_price: f64,
    /// It is called on while a kWh of electricity costs at least this.
    pub discharge_from_price: f64,
}

/// What a heat store did in a step besides giving heat. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shifted {
    /// Its place in the stack, from 0.
    pub source: usize,
    /// What charging it took: electricity and fuel of the source that charged it. No heat to the air.
    pub draw: Draw,
    /// Heat that went into it, kW.
    pub charged_kw: f64,
    /// Heat that it gave to the air, kW.
    pub given_kw: f64,
    /// Heat that it lost, kW.
    pub lost_kw: f64,
    /// Heat that it holds after the step, kWh.
    pub held_kwh: f64,
}

impl HeatStore {
    /// The most that goes into it with so much in it at this price of electricity, kW.
    pub(super) fn most_charge_kw(&self, (held_kwh, hours): (f64, f64), price: Option<f64>) -> f64 {
        if price.is_some_and(|price| price <= self.charge_up_to_price) {
            self.charge_kw.min((self.capacity_kwh - held_kwh).max(0.0) / hours)
        } else {
            0.0
        }
    }

    /// What is lost of so much in a step, kWh.
    pub(super) fn lost_kwh(&self, held_kwh: f64, hours: f64) -> f64 {
        held_kwh * (1.0 - (1.0 - self.loss_per_hour).powf(hours))
    }
}

impl HeatSource for HeatStore {
    fn words(&self) -> &'static str {
        "heat store, charged by another source"
    }

    /// With so much in it at this price of electricity; none where no price is known.
    fn most_kw(&self, capacity_kw: f64, now: &Conditions, held: Left) -> f64 {
        if now.electricity_price.is_some_and(|price| price >= self.discharge_from_price) {
            capacity_kw.min(held.kwh.max(0.0) / held.hours)
        } else {
            0.0
        }
    }

    /// It was paid for when it was charged.
    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        Draw { heat_kw, ..Draw::default() }
    }

    fn fuel(&self) -> Option<&str> {
        self.fuel.as_deref()
    }

    fn origin(&self) -> Origin<'_> {
        Origin::OfCharger(&self.charged_by)
    }

    fn is_store(&self) -> bool {
        true
    }

    fn grow(&mut self, factor: f64) {
        self.capacity_kwh *= factor;
        self.charge_kw *= factor;
    }
}
