//! What the steps of an hour add up to.

use crate::cool_store::{Arrival, StoreHour};
use crate::dryer::RoomHour;
use crate::heat::{Draw, Drawn, Shifted};

/// What the steps of one hour add up to (means of powers, sums of masses).
pub(super) struct HourSum {
    /// Condenser heat that met a need of each room, kWh.
    pub rooms_recovered_kwh: Vec<f64>,
    pub store: StoreHour,
    /// Air that the condensers found, mean of the steps in which nuts were stored: K h and h.
    pub condenser_air: (f64, f64),
    /// How far the store stood above its set temperature, K h.
    pub store_above_set_kh: f64,
    /// The same of the store with its condensers outdoors, and the cooling that it lacked, kWh.
    pub outdoors_above_set_kh: f64,
    pub outdoors_unmet_kwh: f64,
    pub recovered_kwh: f64,
    pub gross_kwh: f64,
    /// Of which given off in a room in which no batch dried.
    pub gross_idle_kwh: f64,
    pub penalty_kwh: f64,
    /// Time in which recovered heat met a need and earned no credit, since the store's cooling was short, h;
    /// that heat, and the purchased energy that it spared, kWh.
    pub unearned_hours: f64,
    pub unearned_useful_kwh: f64,
    pub unearned_displaced_kwh: f64,
    pub residual_kwh: f64,
    pub shifted: ShiftedHour,
    pub given: Vec<Drawn>,
    pub displaced: Vec<Drawn>,
}

/// Nuts that came into the store in an hour.
#[derive(Clone, Copy, Default)]
pub(super) struct Arrived {
    pub kg: f64,
    /// Their heat capacity, kJ/K, and with it their heat above 0 °C, kJ.
    pub heat_capacity_kj_per_k: f64,
    pub heat_kj: f64,
}

impl Arrived {
    pub(super) fn add(&mut self, batch: &Arrival) {
        self.kg += batch.mass_kg;
        self.heat_capacity_kj_per_k += batch.heat_capacity_kj_per_k;
        self.heat_kj += batch.heat_capacity_kj_per_k * batch.temperature_c;
    }
}

/// Nuts that wait in an hour, t.
#[derive(Clone, Copy, Debug)]
pub(super) struct Waiting {
    pub all_t: f64,
    /// Of which for a bin to fall free; the others wait until a load has come together.
    pub for_bin_t: f64,
}

impl HourSum {
    /// Nothing yet, of so many rooms and sources.
    pub(super) fn of(rooms: usize, sources: usize) -> Self {
        Self {
            rooms_recovered_kwh: vec![0.0; rooms],
            store: StoreHour::default(),
            condenser_air: (0.0, 0.0),
            store_above_set_kh: 0.0,
            outdoors_above_set_kh: 0.0,
            outdoors_unmet_kwh: 0.0,
            recovered_kwh: 0.0,
            gross_kwh: 0.0,
            gross_idle_kwh: 0.0,
            penalty_kwh: 0.0,
            unearned_hours: 0.0,
            unearned_useful_kwh: 0.0,
            unearned_displaced_kwh: 0.0,
            residual_kwh: 0.0,
            shifted: ShiftedHour::default(),
            given: vec![Drawn::default(); sources],
            displaced: vec![Drawn::default(); sources],
        }
    }

    /// Books what recovered heat spared the sources in a step of so many hours: as displaced where the credit
    /// is earned, else apart. A spare that is a cost is booked all the same.
    pub(super) fn credit(&mut self, spared: &Spared, is_earned: bool, hours: f64) {
        self.recovered_kwh += spared.recovered_kw * hours;
        let purchased_kw: f64 = spared.draws.iter().map(|draw| draw.electricity_kw + draw.fuel_kw).sum();
        if is_earned || purchased_kw < 0.0 {
            for (sum, draw) in self.displaced.iter_mut().zip(&spared.draws) {
                sum.add(draw, hours);
            }
        } else if spared.recovered_kw > 0.0 {
            self.unearned_hours += hours;
            self.unearned_useful_kwh += spared.recovered_kw * hours;
            self.unearned_displaced_kwh += purchased_kw * hours;
        }
    }
}

/// What recovered heat spared the sources in a step.
pub(super) struct Spared {
    /// Of each source, kW.
    pub draws: Vec<Draw>,
    /// Condenser heat that met a need, kW.
    pub recovered_kw: f64,
}

impl Spared {
    pub(super) fn of(sources: usize) -> Self {
        Self { draws: vec![Draw::default(); sources], recovered_kw: 0.0 }
    }
}

/// What the heat stores of a stack did in an hour together, kWh.
#[derive(Default)]
pub(super) struct ShiftedHour {
    pub charged: f64,
    given: f64,
    pub lost: f64,
    pub held: f64,
}

impl ShiftedHour {
    pub(super) fn add(&mut self, step: &[Shifted], hours: f64) {
        let sum = |of: fn(&Shifted) -> f64| step.iter().map(of).sum::<f64>();
        self.charged += sum(|one| one.charged_kw) * hours;
        self.given += sum(|one| one.given_kw) * hours;
        self.lost += sum(|one| one.lost_kw) * hours;
        self.held = sum(|one| one.held_kwh);
    }

    /// Heat that cannot be found again, kWh, when so much was held before.
    pub(super) fn residual_kwh(&self, held_before: f64) -> f64 {
        held_before + self.charged - self.given - self.lost - self.held
    }
}

/// All rooms as one: sums, and of the air the mean over the batches that dry in it. Residuals are added
/// without their signs, so that one room's does not hide another's.
pub(super) fn together(rooms: &[RoomHour]) -> RoomHour {
    let Some((first, others)) = rooms.split_first() else {
        return RoomHour::default();
    };
    if others.is_empty() {
        return *first;
    }
    let mut all = RoomHour::default();
    for room in rooms {
        all.add(room, 1.0);
    }
    all.bins_drying = rooms.iter().map(|room| room.bins_drying).sum();
    let over_batches = |of: &dyn Fn(&RoomHour) -> f64| {
        if all.bins_drying == 0 {
            return of(first);
        }
        let sum: f64 = rooms.iter().map(|room| room.bins_drying as f64 * of(room)).sum();
        sum / all.bins_drying as f64
    };
    RoomHour {
        air_c: over_batches(&|room| room.air_c),
        relative_humidity: over_batches(&|room| room.relative_humidity),
        below_set_k: over_batches(&|room| room.below_set_k),
        water_residual_kg: rooms.iter().map(|room| room.water_residual_kg.abs()).sum(),
        energy_residual_kwh: rooms.iter().map(|room| room.energy_residual_kwh.abs()).sum(),
        ..all
    }
}
