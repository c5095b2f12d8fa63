//! An option's sources, and who is called on first.

mod left;

use super::{Conditions, Draw, Kind, Shifted, Source};

/// Who is called on first. Passive sources always are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dispatch {
    /// In the order of the list.
    #[default]
    Ordered,
    /// By what a kilowatt-hour of heat costs in that hour, cheapest first.
    CheapestFirst,
}

/// What a kilowatt-hour costs in an hour, in any one currency.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// Of electricity.
    pub electricity_per_kwh: f64,
    /// Of each source's fuel, on the net (lower) heating value; zero for one that burns none.
    pub fuel_per_kwh: Vec<f64>,
}

/// Sources: each gives what it can of what the ones called on before it left.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    sources: Vec<Source>,
    dispatch: Dispatch,
    /// Places of the sources, first called first.
    order: Vec<usize>,
    /// Fuel energy left of each source's own supply, kWh; of a heat store, the heat that it holds.
    fuel_left_kwh: Vec<f64>,
    /// Sun on each source's plane, W/m².
    sun_w_per_m2: Vec<f64>,
}

/// What one source of a stack gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// Its place in the stack, from 0.
    pub source: usize,
    /// What it took in and gave.
    pub draw: Draw,
}

/// One source's part in a plan.
#[derive(Clone, Copy, Debug)]
struct Part {
    source: usize,
    now: Conditions,
    heat_kw: f64,
    most_kw: f64,
}

/// What a draw takes out of what its source has left, kW: fuel, or of a heat store the heat it holds.
fn used_kw(source: &Source, draw: &Draw) -> f64 {
    if source.kind.says().is_store() { draw.heat_kw } else { draw.fuel_kw }
}

impl Stack {
    /// A stack at the start of a season.
    pub fn new(sources: Vec<Source>, dispatch: Dispatch) -> Self {
        let mut order: Vec<usize> = (0..sources.len()).collect();
        order.sort_by_key(|&source| !sources[source].is_passive());
        Self {
            fuel_left_kwh: sources.iter().map(Source::own_supply_kwh).collect(),
            sun_w_per_m2: vec![0.0; sources.len()],
            order,
            sources,
            dispatch,
        }
    }

    /// The sources, in the order of the list.
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// True if any source brings water into the air or takes it out.
    pub fn moves_water(&self) -> bool {
        self.sources.iter().any(Source::moves_water)
    }

    /// Says what the sun puts on the plane of a source, W/m².
    pub fn shine(&mut self, source: usize, w_per_m2: f64) {
        if let Some(sun) = self.sun_w_per_m2.get_mut(source) {
            *sun = w_per_m2;
        }
    }

    /// True if it must be told what energy costs.
    pub fn asks_prices(&self) -> bool {
        self.dispatch == Dispatch::CheapestFirst
    }

    /// Says what energy costs in the hours to come, and what they are like: the order of a cheapest-first
    /// stack follows, and holds until the next call.
    pub fn price(&mut self, prices: &Prices, now: &Conditions) {
        if self.asks_prices() {
            let sources = &self.sources;
            let rank: Vec<f64> =
                (0..sources.len()).map(|source| marginal_price(&sources[source], source, prices, now)).collect();
            self.order.sort_by(|&a, &b| {
                let active = |source: usize| !sources[source].is_passive();
                active(a).cmp(&active(b)).then(rank[a].total_cmp(&rank[b])).then(a.cmp(&b))
            });
        }
    }

    /// The most heat the stack can give under these conditions, kW.
    pub fn most_kw(&self, now: &Conditions, hours: f64) -> f64 {
        self.parts(f64::INFINITY, now, hours).iter().map(|part| part.heat_kw).sum()
    }

    /// Shares `heat_kw` out, without using up any supply: what it would take, in the order of the list.
    pub fn plan(&self, heat_kw: f64, now: &Conditions, hours: f64) -> Vec<Given> {
        let mut all: Vec<Given> =
            (0..self.sources.len()).map(|source| Given { source, draw: Draw::default() }).collect();
        for part in self.parts(heat_kw, now, hours) {
            all[part.source].draw = self.sources[part.source].draw(part.heat_kw, &part.now);
        }
        all
    }

    /// Shares `heat_kw` out and uses up the supplies it burns.
    pub fn give(&mut self, heat_kw: f64, now: &Conditions, hours: f64) -> Vec<Given> {
        let all = self.plan(heat_kw, now, hours);
        for given in &all {
            let used_kw = used_kw(&self.sources[given.source], &given.draw);
            self.fuel_left_kwh[given.source] -= used_kw * hours;
        }
        all
    }

    /// Charges the heat stores with what the sources that charge them have to spare beside what was given in
    /// the same step, and lets them lose what they lose. Nothing is charged where `charging` is false: when
    /// no nuts are drying none will be called on.
    pub fn shift(&mut self, given: &[Given], now: &Conditions, hours: f64, charging: bool) -> Vec<Shifted> {
        let mut all = Vec::new();
        for source in 0..self.sources.len() {
            let Kind::HeatStore(store) = &self.sources[source].kind else {
                continue;
            };
            let held_kwh = self.fuel_left_kwh[source];
            let lost_kwh = store.lost_kwh(held_kwh, hours);
            let room_kw =
                if charging { store.most_charge_kw((held_kwh - lost_kwh, hours), now.electricity_price) } else { 0.0 };
            let charger = self.sources.iter().position(|other| other.name == store.charged_by);
            let mut shifted = Shifted {
                source,
                given_kw: given[source].draw.heat_kw,
                lost_kw: lost_kwh / hours,
                ..Shifted::default()
            };
            if let Some(charger) = charger
                && room_kw > 0.0
            {
                let by = &self.sources[charger];
                let hot = Conditions { supply_c: store.temperature_c, room: by.room.unwrap_or(now.room), ..*now };
                let most_kw = by.most_kw(&hot, self.fuel_left_kwh[charger], hours);
                let spare_kw = (most_kw - given[charger].draw.heat_kw).max(0.0);
                shifted.charged_kw = room_kw.min(spare_kw);
                let taken = by.draw(shifted.charged_kw, &hot);
                shifted.draw = Draw { heat_kw: 0.0, charged_kw: shifted.charged_kw, ..taken };
                self.fuel_left_kwh[charger] -= shifted.draw.fuel_kw * hours;
            }
            self.fuel_left_kwh[source] += shifted.charged_kw * hours - lost_kwh;
            shifted.held_kwh = self.fuel_left_kwh[source];
            all.push(shifted);
        }
        all
    }

    /// Water that `heat_kw` of the stack brings into the air, kg/s.
    pub fn water_kg_per_s(&self, heat_kw: f64, now: &Conditions, hours: f64) -> f64 {
        if heat_kw <= 0.0 || !self.moves_water() {
            return 0.0;
        }
        self.parts(heat_kw, now, hours)
            .iter()
            .map(|part| {
                let draw = self.sources[part.source].draw(part.heat_kw, &part.now);
                draw.water_kg_per_h / 3600.0
            })
            .sum()
    }

    /// Who gives how much, in the order in which they are called on.
    ///
    /// What is left for a source may be below its least. Then those before it give way, the last first,
    /// down to their own least; if that is not enough it stands still and the next is called on. Only if
    /// none can give what is still left does one that stood still cycle within the hour.
    fn parts(&self, heat_kw: f64, now: &Conditions, hours: f64) -> Vec<Part> {
        let mut left_kw = heat_kw;
        let mut parts: Vec<Part> = Vec::with_capacity(self.sources.len());
        let mut intake_c = now.intake_c;
        for &source in &self.order {
            let here = Conditions { intake_c, sun_w_per_m2: self.sun_w_per_m2[source], ..*now };
            let asked = &self.sources[source];
            let most_kw = asked.most_kw(&here, self.fuel_left_kwh[source], hours);
            let least_kw = asked.least_kw();
            let mut heat_kw = left_kw.min(most_kw).max(0.0);
            if heat_kw > 0.0 && heat_kw < least_kw {
                let lacking_kw = least_kw - heat_kw;
                if most_kw >= least_kw && self.give_way(&mut parts, lacking_kw) {
                    left_kw += lacking_kw;
                    heat_kw = least_kw;
                } else {
                    heat_kw = 0.0;
                }
            }
            left_kw -= heat_kw;
            let warms_intake = asked.is_passive() || !now.recirculates;
            if warms_intake && heat_kw > 0.0 && now.fresh_kg_per_s > 0.0 {
                intake_c += heat_kw / now.fresh_capacity_kw_per_k();
            }
            parts.push(Part { source, now: here, heat_kw, most_kw });
        }
        if left_kw > 0.0 {
            for part in &mut parts {
                let more_kw = left_kw.min(part.most_kw - part.heat_kw).max(0.0);
                part.heat_kw += more_kw;
                left_kw -= more_kw;
            }
        }
        parts
    }

    /// Takes this much off those already called on, if they can spare it.
    fn give_way(&self, parts: &mut [Part], lacking_kw: f64) -> bool {
        let spare = |part: &Part| (part.heat_kw - self.sources[part.source].least_kw()).max(0.0);
        if parts.iter().map(spare).sum::<f64>() < lacking_kw {
            return false;
        }
        let mut lacking_kw = lacking_kw;
        for part in parts.iter_mut().rev() {
            let given_up = spare(part).min(lacking_kw);
            part.heat_kw -= given_up;
            lacking_kw -= given_up;
        }
        true
    }
}

/// What a kilowatt-hour of heat from a source costs under these conditions; without bound where it can
/// give none.
fn marginal_price(source: &Source, place: usize, prices: &Prices, now: &Conditions) -> f64 {
    let draw = source.draw(1.0, now);
    if draw.heat_kw <= 0.0 {
        return f64::INFINITY;
    }
    let fuel = prices.fuel_per_kwh.get(place).copied().unwrap_or(0.0);
    (draw.electricity_kw * prices.electricity_per_kwh + draw.fuel_kw * fuel) / draw.heat_kw
}

#[cfg(test)]
mod tests;
