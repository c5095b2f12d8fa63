//! One step of an hour: rooms, sources and store together.

use super::course::{Course, RoomStep};
use super::dispatch::Dispatch;
use super::hour_sum::{HourSum, Spared};
use super::sun;
use super::supply::{OptionSupply, Shares};
use super::watch::{Broken, SHORT_SLACK_KW};
use crate::air::{AirState, MoistAir, humidity_ratio_of_vapour, saturation_pressure_pa};
use crate::cool_store::{CondenserAirs, Condensers, Stand, Store, StoreDemand};
use crate::dryer::{AirPath, RoomSpec};
use crate::heat::{Conditions, Draw, Given, Stack};
use crate::weather::Hour;

impl Dispatch<'_> {
    /// The store says what it asks for, each room's balance closes with what the option can give it, the
    /// units run at the condenser air that this makes. The stack serves the rooms in their order: each
    /// finds what those before it left. Where it is all one to the stack which room its heat goes to, it is
    /// called on for the sum, so that a least load is met by what all rooms take together.
    ///
    /// An error where the course of the nuts cannot go on with what this option answers.
    pub(super) fn step<C: Course>(
        &mut self,
        course: &mut C,
        (at, hour): (usize, &Hour),
        hours: f64,
        sum: &mut HourSum,
    ) -> Result<(), C::Astray> {
        let demand = self.store.as_ref().map(|store| store.demand(&hour.air, hour.global_horizontal_w_per_m2, hours));
        for (source, w_per_m2) in sun::on_collectors(&self.heating.sources, self.plant.place, hour) {
            self.stack.shine(source, w_per_m2);
        }
        let mut stand = None;
        let mut short_kw = 0.0;
        let mut spared = Spared::of(self.heating.sources.len());
        // Heat that water heat pumps of rooms before took from the condensers' water, kW.
        let mut lifted_kw = 0.0;
        let mut left: Option<Stack> = None;
        let mut called = Called::of(self.heating.sources.len());
        let mut together = (self.plant.rooms.len() > 1 && self.stack.serves_rooms_alike()).then(Asked::default);
        for (place, spec) in self.plant.rooms().enumerate() {
            let mut now = conditions(spec, course.hottest_set_c(place, hour.starts), &hour.air);
            now.room = place;
            let stack = left.as_mut().unwrap_or(&mut self.stack);
            if let Some(prices) = self.heating.calling.prices(hour.starts) {
                now.electricity_price = Some(prices.electricity_per_kwh);
                stack.price(&prices, &now);
            }
            let here = place == self.heating.condensers_room;
            let recovers = self.heating.condensers.place.recovers();
            // Condensers that stand in one room warm no water for another.
            let store = (here || !recovers).then(|| self.store.as_ref().map(|store| &store.spec)).flatten();
            let supply = OptionSupply {
                condensers: if here { &self.heating.condensers } else { &Condensers::OUTDOORS },
                stack,
                now,
                store: store.zip(demand.as_ref()),
                condenser_air_kg_per_s_per_kw: self.plant.condenser_air_kg_per_s_per_kw,
                lifted_kw,
                hours,
            };
            let room = course.step_room(place, (at, hour), &supply, hours)?;
            let shares = supply.shares(&room);
            let by_stack_kw = room.heat_given_kw - shares.recovered_kw;
            let next =
                (place + 1 < self.plant.rooms.len()).then(|| stack.left_beside(by_stack_kw, &shares.conditions, hours));
            if let Some(together) = &mut together {
                together.add(by_stack_kw, shares.recovered_kw, &shares.conditions);
            } else {
                let asked = Asked::by_room(by_stack_kw, &shares);
                let given = call_on(stack, &asked, hours, (sum, &mut spared));
                lifted_kw += lifted(stack, &given);
                called.add(&given, &shares.conditions);
                if place > 0 {
                    let brought = stack.clone();
                    self.stack.take_over_supplies(&brought);
                }
            }
            called.drying |= room.bins_drying > 0;
            if here {
                stand = Some(Stood {
                    stand: shares.stand,
                    airs: condenser_airs(&room, &shares),
                    idle: room.bins_drying == 0,
                });
            }
            left = next;
            short_kw += (room.heat_need_kw - room.heat_given_kw).max(0.0);
            sum.rooms_recovered_kwh[place] += shares.recovered_kw * hours;
        }
        if let Some(together) = together {
            let given = call_on(&mut self.stack, &together, hours, (sum, &mut spared));
            called.add(&given, &together.now);
        }
        self.watch.heat(short_kw, at, hours);
        self.shift_heat(&called, hours, sum);
        let is_earned = match &stand {
            Some(stood) => self.settle_store((at, hour), demand.as_ref(), stood, hours, sum),
            None => true,
        };
        sum.credit(&spared, is_earned, hours);
        Ok(())
    }

    /// The stack's heat stores are charged with what its sources have to spare beside what all rooms got.
    fn shift_heat(&mut self, called: &Called, hours: f64, sum: &mut HourSum) {
        let Some(now) = &called.first_found else {
            return;
        };
        let all = self.stack.shift(&called.given, now, hours, called.drying);
        for shifted in &all {
            sum.given[shifted.source].add(&shifted.draw, hours);
        }
        sum.shifted.add(&all, hours);
    }

    /// Both stores settle: the option's, and the one with condensers outdoors it is compared to. True if the
    /// first got its cooling as the second did: only then is a credit earned.
    ///
    /// The penalty is what the cooling that was given took above what the same cooling would have taken with
    /// the condensers outdoors. Where cooling is short it is none or more, so that a compressor that stands
    /// still never saves anything.
    fn settle_store(
        &mut self,
        (at, hour): (usize, &Hour),
        demand: Option<&StoreDemand>,
        stood: &Stood,
        hours: f64,
        sum: &mut HourSum,
    ) -> bool {
        let (Some(store), Some(demand)) = (self.store.as_mut(), demand) else {
            return true;
        };
        let &Stood { stand, airs, idle } = stood;
        let evaporator = demand.asked.store;
        let mut is_earned = true;
        let condensers = &self.heating.condensers;
        let ran = condensers.run(&store.spec.units, &demand.asked, stand, airs);
        let settled = store.settle(demand, &ran);
        let above_set_k = |store: &Store| (store.temperature_c() - store.spec.temperature_c).max(0.0);
        let own_above_k = above_set_k(store);
        // Without a twin the condensers stand outdoors themselves.
        let (mut outdoors_above_k, mut outdoors_unmet_kw) = (own_above_k, settled.units.unmet_kw);
        if let Some(outdoors) = self.outdoors.as_mut() {
            let demand = outdoors.demand(&hour.air, hour.global_horizontal_w_per_m2, hours);
            let units = &outdoors.spec.units;
            let alone = Condensers::OUTDOORS.run(units, &demand.asked, Stand::Outdoors, airs);
            let alone = outdoors.settle(&demand, &alone);
            (outdoors_above_k, outdoors_unmet_kw) = (above_set_k(outdoors), alone.units.unmet_kw);
            let gross_kwh = ran.recovering.rejected_kw * hours;
            sum.gross_kwh += gross_kwh;
            if stand == Stand::Room && idle {
                sum.gross_idle_kwh += gross_kwh;
            }
            let given_kw = settled.units.cooling_kw;
            let there_kw = store.spec.units.electricity_kw(given_kw, airs.outside_c, evaporator);
            let penalty_kw = settled.units.electricity_kw - there_kw;
            is_earned = settled.units.unmet_kw <= alone.units.unmet_kw + SHORT_SLACK_KW;
            sum.penalty_kwh += if is_earned { penalty_kw } else { penalty_kw.max(0.0) } * hours;
        }
        sum.store_above_set_kh += own_above_k * hours;
        sum.outdoors_above_set_kh += outdoors_above_k * hours;
        sum.outdoors_unmet_kwh += outdoors_unmet_kw * hours;
        let condenser_air_c = condensers.air_c(&store.spec.units, &demand.asked, stand, airs);
        let limit = store.spec.units.condenser_air_max_c;
        let condenser_air = Broken { size: condenser_air_c, limit };
        self.watch.store(&settled, condenser_air, at, hours);
        if settled.stored_t > 0.0 {
            sum.condenser_air.0 += condenser_air_c * hours;
            sum.condenser_air.1 += hours;
        }
        sum.residual_kwh += settled.energy_residual_kwh;
        sum.store.add(&settled, hours);
        is_earned
    }
}

/// Where the condensers stood in a step.
struct Stood {
    stand: Stand,
    airs: CondenserAirs,
    /// True if no batch dried in their room.
    idle: bool,
}

/// What the stack was called on for in a step, by all rooms.
struct Called {
    given: Vec<Given>,
    /// What the first room found.
    first_found: Option<Conditions>,
    /// True if nuts dry in any room.
    drying: bool,
}

impl Called {
    fn of(sources: usize) -> Self {
        Self {
            given: (0..sources).map(|source| Given { source, draw: Draw::default() }).collect(),
            first_found: None,
            drying: false,
        }
    }

    fn add(&mut self, given: &[Given], found: &Conditions) {
        for given in given {
            self.given[given.source].draw += given.draw;
        }
        self.first_found.get_or_insert(*found);
    }
}

/// What this outside air is like for the sources, with the air inside as it is set to be.
fn conditions(spec: &RoomSpec, hottest_set_c: Option<f64>, outside: &MoistAir) -> Conditions {
    let outside_c = outside.dry_bulb_c();
    let supply_c = hottest_set_c.unwrap_or(outside_c);
    let vapour_pa = spec.relative_humidity_max * saturation_pressure_pa(supply_c);
    let inside =
        AirState { dry_bulb_c: supply_c, humidity_ratio: humidity_ratio_of_vapour(vapour_pa, outside.pressure_pa()) };
    Conditions {
        outside: AirState { dry_bulb_c: outside_c, humidity_ratio: outside.humidity_ratio() },
        outside_relative_humidity: outside.relative_humidity(),
        pressure_pa: outside.pressure_pa(),
        supply_c,
        air: inside,
        exhaust: inside,
        recirculates: spec.air == AirPath::Recirculating,
        intake_c: outside_c,
        ..Conditions::default()
    }
}

/// The air that condensers in this room find: the room's own, the outside's in an idle one.
fn condenser_airs(room: &RoomStep, shares: &Shares) -> CondenserAirs {
    let room_c = if room.bins_drying > 0 { room.asked.air.dry_bulb_c } else { room.air_c };
    CondenserAirs { room_c, ..shares.airs }
}

/// What a stack is asked for at once: by one room, or by all of them together.
#[derive(Default)]
struct Asked {
    by_stack_kw: f64,
    recovered_kw: f64,
    now: Conditions,
}

impl Asked {
    fn by_room(by_stack_kw: f64, shares: &Shares) -> Self {
        Self { by_stack_kw, recovered_kw: shares.recovered_kw, now: shares.conditions }
    }

    /// Another room's heat with it. The air to be heated is as warm as the rooms' is on average, weighed by
    /// their heat.
    fn add(&mut self, by_stack_kw: f64, recovered_kw: f64, now: &Conditions) {
        let (before_kw, here_kw) = (self.by_stack_kw + self.recovered_kw, by_stack_kw + recovered_kw);
        self.by_stack_kw += by_stack_kw;
        self.recovered_kw += recovered_kw;
        if here_kw <= 0.0 {
            return;
        }
        let share = here_kw / (before_kw + here_kw);
        self.now = Conditions { supply_c: self.now.supply_c * (1.0 - share) + now.supply_c * share, ..*now };
    }
}

/// The stack gives what recovered heat left of what is asked for.
fn call_on(stack: &mut Stack, asked: &Asked, hours: f64, (sum, spared): (&mut HourSum, &mut Spared)) -> Vec<Given> {
    let Asked { by_stack_kw, recovered_kw, ref now } = *asked;
    // What the stack would have been called on for without recovery, with the supplies as they are.
    let without = (recovered_kw > 0.0).then(|| stack.plan(by_stack_kw + recovered_kw, now, hours));
    let given = stack.give(by_stack_kw, now, hours);
    for (place, given) in given.iter().enumerate() {
        sum.given[place].add(&given.draw, hours);
        if let Some(without) = &without {
            spared.draws[place] += without[place].draw.over(&given.draw);
        }
    }
    spared.recovered_kw += recovered_kw;
    given
}

/// Heat that the stack's water heat pumps took from the condensers' water, kW.
fn lifted(stack: &Stack, given: &[Given]) -> f64 {
    stack
        .sources()
        .iter()
        .zip(given)
        .filter(|(source, _)| source.lifts_condenser_heat())
        .map(|(_, given)| given.draw.heat_kw - given.draw.electricity_kw)
        .sum()
}
