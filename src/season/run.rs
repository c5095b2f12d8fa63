//! The hour loop of one option in one weather year.

use super::plant::{Heating, Intake, Plant};
use super::sun;
use super::supply::{OptionSupply, Shares};
use super::watch::Watch;
use crate::air::{MoistAir, humidity_ratio_of_vapour, saturation_pressure_pa};
use crate::cool_store::{Arrival, CondenserAirs, Condensers, Stand, Store, StoreDemand, StoreHour};
use crate::dryer::{AirPath, Bed, Delivery, Load, Phase, Room, RoomHour, WaitingNuts};
use crate::heat::{AirState, Conditions, Draw, Shifted, Stack};
use crate::ledger::{BatchRecord, Book, Entry, GuardKind, SourceBook, Tonnage};
use crate::weather::{Hour, WeatherYear};
use rayon::prelude::*;

/// Drying may go on this long after the season's last day, h.
pub const TAIL_DRYING_HOURS: usize = 45 * 24;

/// Runs every option in every weather year, in parallel; `done` is called as each ends. The books
/// come back by option, then by year, whatever the order in which they were run.
pub fn run_all(
    plant: &Plant,
    heatings: &[Heating],
    intake: &Intake,
    years: &[WeatherYear],
    done: impl Fn() + Sync,
) -> Vec<Vec<Book>> {
    let pairs: Vec<(usize, usize)> = (0..heatings.len())
        .flat_map(|option| (0..years.len()).map(move |year| (option, year)))
        .collect();
    let books: Vec<Book> = pairs
        .par_iter()
        .map(|&(option, year)| {
            let book = run_option(plant, &heatings[option], intake, &years[year]);
            done();
            book
        })
        .collect();
    let mut by_option: Vec<Vec<Book>> = Vec::with_capacity(heatings.len());
    let mut books = books.into_iter();
    for _ in heatings {
        by_option.push(books.by_ref().take(years.len()).collect());
    }
    by_option
}

/// Runs one option through one weather year.
pub fn run_option(plant: &Plant, heating: &Heating, intake: &Intake, year: &WeatherYear) -> Book {
    let mut run = Run::new(plant, heating, intake, year);
    for (at, hour) in year.hours.iter().enumerate() {
        if run.is_over(at) {
            break;
        }
        run.live(at, hour);
    }
    run.close()
}

/// The same, given up as soon as any nuts have waited for a bin longer than `waiting_hours`: `None`.
pub fn run_while_none_waits(
    plant: &Plant,
    heating: &Heating,
    intake: &Intake,
    year: &WeatherYear,
    waiting_hours: f64,
) -> Option<Book> {
    let mut run = Run::new(plant, heating, intake, year);
    for (at, hour) in year.hours.iter().enumerate() {
        if run.is_over(at) {
            break;
        }
        run.live(at, hour);
        if run.heap.longest_wait_h(at) > waiting_hours {
            return None;
        }
    }
    Some(run.close())
}

/// The state of a season under way.
struct Run<'a> {
    plant: &'a Plant,
    heating: &'a Heating,
    year: &'a WeatherYear,
    deliveries: Vec<Delivery>,
    next_delivery: usize,
    room: Room,
    stack: Stack,
    /// The store with its condensers where the option has them.
    store: Option<Store>,
    /// The same store with its condensers outdoors: what the credit is measured against.
    outdoors: Option<Store>,
    heap: WaitingNuts,
    watch: Watch,
    book: Book,
}

/// What the steps of one hour add up to (means of powers, sums of masses).
#[derive(Default)]
struct HourSum {
    room: RoomHour,
    store: StoreHour,
    recovered_kwh: f64,
    gross_kwh: f64,
    penalty_kwh: f64,
    residual_kwh: f64,
    shifted: ShiftedHour,
    given: Vec<Draw>,
    displaced: Vec<Draw>,
}

/// What the heat stores of a stack did in an hour together, kWh.
#[derive(Default)]
struct ShiftedHour {
    charged: f64,
    given: f64,
    lost: f64,
    held: f64,
}

impl ShiftedHour {
    fn add(&mut self, step: &[Shifted], hours: f64) {
        let sum = |of: fn(&Shifted) -> f64| step.iter().map(of).sum::<f64>();
        self.charged += sum(|one| one.charged_kw) * hours;
        self.given += sum(|one| one.given_kw) * hours;
        self.lost += sum(|one| one.lost_kw) * hours;
        self.held = sum(|one| one.held_kwh);
    }
}

impl<'a> Run<'a> {
    fn new(plant: &'a Plant, heating: &'a Heating, intake: &Intake, year: &'a WeatherYear) -> Self {
        let store = plant.store.clone().map(Store::new);
        let outdoors = heating
            .condensers
            .place
            .recovers()
            .then(|| store.clone())
            .flatten();
        let sources = heating
            .sources
            .iter()
            .map(|source| SourceBook {
                name: source.name.clone(),
                fuel: source.fuel().map(str::to_owned),
                given: Vec::with_capacity(year.hours.len()),
                displaced: Vec::new(),
            })
            .collect();
        Self {
            plant,
            heating,
            year,
            deliveries: intake.deliveries(year.season()),
            next_delivery: 0,
            room: Room::new(plant.room.clone()),
            stack: Stack::new(heating.sources.clone(), heating.calling.dispatch()),
            store,
            outdoors,
            heap: WaitingNuts::default(),
            watch: Watch::default(),
            book: Book {
                option: heating.name.clone(),
                year: year.label.clone(),
                hours: Vec::with_capacity(year.hours.len()),
                sources,
                batches: Vec::new(),
                tonnage: Tonnage::default(),
                guards: Vec::new(),
            },
        }
    }

    /// True when the season is past and nothing is left to do: no nuts to dry (or no time left to dry
    /// them) and an empty store.
    fn is_over(&self, at: usize) -> bool {
        let past_season = at >= self.year.season_hours;
        let nothing_to_dry =
            self.heap.is_empty() && self.room.bins.iter().all(|b| b.load.is_none());
        past_season
            && (nothing_to_dry || self.drying_time_is_up(at))
            && self.store.as_ref().is_none_or(|store| !store.in_use())
    }

    fn drying_time_is_up(&self, at: usize) -> bool {
        at >= self.year.season_hours + TAIL_DRYING_HOURS
    }

    /// One hour: nuts move, then air, heat and cold.
    fn live(&mut self, at: usize, hour: &Hour) {
        self.receive(at);
        self.finish_batches(at);
        if self.drying_time_is_up(at) {
            self.abandon(at);
        }
        self.load_bins(at, hour);
        let waiting_t = self.heap.mass_kg() / 1000.0;
        self.book.tonnage.waiting_tonne_days += waiting_t / 24.0;
        self.watch.waiting(&self.heap, &self.plant.stay, at, 1.0);

        let steps = self.plant.steps_per_hour.max(1);
        let length = 1.0 / f64::from(steps);
        let mut sum = HourSum {
            given: vec![Draw::default(); self.heating.sources.len()],
            displaced: vec![Draw::default(); self.heating.sources.len()],
            ..HourSum::default()
        };
        for _ in 0..steps {
            self.step(at, hour, length, &mut sum);
        }
        self.write_down(at, hour, waiting_t, sum);
    }

    fn receive(&mut self, at: usize) {
        while let Some(delivery) = self.deliveries.get(self.next_delivery) {
            if delivery.hour > at {
                break;
            }
            self.heap.arrive(delivery);
            let mass_kg = delivery.tonnes * 1000.0;
            self.book.tonnage.received_kg += mass_kg;
            self.book.tonnage.received_water_kg +=
                mass_kg * delivery.moisture / (1.0 + delivery.moisture);
            self.next_delivery += 1;
        }
    }

    /// Dry batches begin to cool; cooled ones leave for the store.
    fn finish_batches(&mut self, at: usize) {
        let stay = &self.plant.stay;
        for bin in &mut self.room.bins {
            let Some(load) = bin.load.as_mut() else {
                continue;
            };
            if load.phase == Phase::Drying {
                let dry = load.bed.mean_moisture() <= stay.dried_moisture
                    && load.bed.wettest().moisture <= stay.dried_moisture + stay.spread;
                if !dry {
                    continue;
                }
                load.phase = Phase::Cooling;
                load.hours_in_phase = 0.0;
                self.book.batches[load.batch].dry_hour = Some(at);
            }
            if load.hours_in_phase + 1e-9 >= stay.cooling_hours {
                let nuts = &self.plant.nuts;
                let bed = &load.bed;
                let moisture = bed.mean_moisture();
                let driest = bed
                    .layers()
                    .iter()
                    .map(|l| l.moisture)
                    .fold(f64::INFINITY, f64::min);
                let record = &mut self.book.batches[load.batch];
                record.out_hour = Some(at);
                record.out_kg = bed.mass_kg();
                record.out_moisture = moisture;
                record.out_spread = bed.wettest().moisture - driest;
                self.book.tonnage.dried_kg += bed.mass_kg();
                self.book.tonnage.dried_water_kg += bed.water_kg();
                let arrival = Arrival {
                    mass_kg: bed.mass_kg(),
                    moisture,
                    heat_capacity_kj_per_k: bed.dry_matter_kg() * nuts.heat_capacity(moisture),
                    temperature_c: bed.mean_temperature_c(nuts),
                    stay_hours: stay.store_hours,
                };
                for store in [self.store.as_mut(), self.outdoors.as_mut()]
                    .into_iter()
                    .flatten()
                {
                    store.take_in(&arrival);
                }
                bin.load = None;
            }
        }
    }

    /// Time is up: what is still wet is taken out of the books and said to be left.
    fn abandon(&mut self, at: usize) {
        let (mut left_kg, mut water_kg) = (self.heap.mass_kg(), self.heap.water_kg());
        self.heap = WaitingNuts::default();
        for bin in &mut self.room.bins {
            if let Some(load) = bin.load.take() {
                left_kg += load.bed.mass_kg();
                water_kg += load.bed.water_kg();
            }
        }
        if left_kg > 0.0 {
            self.book.tonnage.left_kg += left_kg;
            self.book.tonnage.left_water_kg += water_kg;
            self.watch
                .note(GuardKind::Unfinished, 1.0, left_kg / 1000.0, at);
        }
    }

    /// Free bins take waiting nuts: full loads at once, part loads when the first have waited long
    /// enough or when nothing more is to come.
    fn load_bins(&mut self, at: usize, hour: &Hour) {
        let spec = &self.plant.room;
        for (place, bin) in self.room.bins.iter_mut().enumerate() {
            if bin.load.is_some() || self.heap.is_empty() {
                continue;
            }
            let full_kg = bin.spec.capacity_t * 1000.0;
            let overdue = self.heap.longest_wait_h(at) >= self.plant.stay.fill_within_hours
                || self.next_delivery >= self.deliveries.len();
            if self.heap.mass_kg() < full_kg && !overdue {
                continue;
            }
            let (mass_kg, moisture) = self.heap.take(full_kg);
            let airflow = spec.airflow_m3_per_s_per_tonne * mass_kg / 1000.0;
            let duty = spec
                .bin_fan
                .duty(airflow, mass_kg, bin.spec.floor_area_m2)
                .duty;
            let batch = self.book.batches.len();
            self.book.batches.push(BatchRecord {
                bin: place,
                loaded_hour: at,
                dry_hour: None,
                out_hour: None,
                received_kg: mass_kg,
                out_kg: 0.0,
                received_moisture: moisture,
                out_moisture: 0.0,
                out_spread: 0.0,
            });
            bin.load = Some(Load {
                batch,
                bed: Bed::new(
                    spec.layers,
                    mass_kg / (1.0 + moisture),
                    moisture,
                    hour.air.dry_bulb_c(),
                ),
                phase: Phase::Drying,
                received_kg: mass_kg,
                hours_in_phase: 0.0,
                airflow_m3_per_s: airflow,
                fan_kw: duty.electric_kw,
                fan_heat_kw: duty.heat_to_air_kw,
                hours_mouldy: 0.0,
            });
        }
    }

    /// One step of the hour: the store says what it asks for, the room's balance closes with what the
    /// option can give, the units run at the condenser air that this makes.
    fn step(&mut self, at: usize, hour: &Hour, hours: f64, sum: &mut HourSum) {
        let demand = self
            .store
            .as_ref()
            .map(|store| store.demand(&hour.air, hour.global_horizontal_w_per_m2, hours));
        for (source, w_per_m2) in sun::on_collectors(&self.heating.sources, self.plant.place, hour)
        {
            self.stack.shine(source, w_per_m2);
        }
        let mut now = self.conditions(&hour.air);
        if let Some(prices) = self.heating.calling.prices(hour.starts) {
            now.electricity_price = Some(prices.electricity_per_kwh);
            self.stack.price(&prices, &now);
        }
        let supply = OptionSupply {
            condensers: &self.heating.condensers,
            stack: &self.stack,
            now,
            store: self
                .store
                .as_ref()
                .map(|store| &store.spec)
                .zip(demand.as_ref()),
            condenser_air_kg_per_s_per_kw: self.plant.condenser_air_kg_per_s_per_kw,
            hours,
        };
        let room = self.room.step(&hour.air, &self.plant.nuts, &supply, hours);
        let shares = supply.shares(&room);
        self.call_on_stack(&room, &shares, hours, sum);
        let air_c = if room.bins_drying > 0 {
            room.asked.air.dry_bulb_c
        } else {
            room.air_c
        };
        let airs = CondenserAirs {
            room_c: air_c,
            ..shares.airs
        };
        let stand = (shares.stand, airs);
        self.settle_store(at, hour, demand.as_ref(), stand, hours, sum);
        let stay = &self.plant.stay;
        self.watch.room(&self.room, &room, at, hours);
        self.watch
            .batches(&mut self.room, &self.plant.nuts, stay, &room, (at, hours));
        sum.room.add(&room, hours);
    }

    /// What this outside air is like for the sources, with the air inside as it is set to be.
    fn conditions(&self, outside: &MoistAir) -> Conditions {
        let outside_c = outside.dry_bulb_c();
        let spec = &self.plant.room;
        let supply_c = self.room.hottest_set_c().unwrap_or(outside_c);
        let vapour_pa = spec.relative_humidity_max * saturation_pressure_pa(supply_c);
        let inside = AirState {
            dry_bulb_c: supply_c,
            humidity_ratio: humidity_ratio_of_vapour(vapour_pa, outside.pressure_pa()),
        };
        Conditions {
            outside: AirState {
                dry_bulb_c: outside_c,
                humidity_ratio: outside.humidity_ratio(),
            },
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

    /// The stack gives what recovered heat left of the heat that the room was given.
    fn call_on_stack(&mut self, room: &RoomHour, shares: &Shares, hours: f64, sum: &mut HourSum) {
        let recovered_kw = shares.recovered_kw;
        let now = &shares.conditions;
        // What the stack would have been called on for without recovery, with the supplies as they are.
        let without = (recovered_kw > 0.0).then(|| self.stack.plan(room.heat_given_kw, now, hours));
        let given = self
            .stack
            .give(room.heat_given_kw - recovered_kw, now, hours);
        for (place, given) in given.iter().enumerate() {
            accumulate(&mut sum.given[place], &given.draw, hours);
            if let Some(without) = &without {
                accumulate(
                    &mut sum.displaced[place],
                    &more(&without[place].draw, &given.draw),
                    hours,
                );
            }
        }
        sum.recovered_kwh += recovered_kw * hours;
        let drying = room.bins_drying > 0;
        let shifted = self.stack.shift(&given, now, hours, drying);
        for shifted in &shifted {
            accumulate(&mut sum.given[shifted.source], &shifted.draw, hours);
        }
        sum.shifted.add(&shifted, hours);
    }

    /// Both stores settle: the option's, and the one with condensers outdoors it is compared to.
    fn settle_store(
        &mut self,
        at: usize,
        hour: &Hour,
        demand: Option<&StoreDemand>,
        (stand, airs): (Stand, CondenserAirs),
        hours: f64,
        sum: &mut HourSum,
    ) {
        let (Some(store), Some(demand)) = (self.store.as_mut(), demand) else {
            return;
        };
        let condensers = &self.heating.condensers;
        let ran = condensers.run(&store.spec.units, &demand.asked, stand, airs);
        let settled = store.settle(demand, &ran);
        if let Some(outdoors) = self.outdoors.as_mut() {
            let demand = outdoors.demand(&hour.air, hour.global_horizontal_w_per_m2, hours);
            let units = &outdoors.spec.units;
            let alone = Condensers::OUTDOORS.run(units, &demand.asked, Stand::Outdoors, airs);
            let alone = outdoors.settle(&demand, &alone);
            sum.gross_kwh += ran.recovering.rejected_kw * hours;
            sum.penalty_kwh += (settled.units.electricity_kw - alone.units.electricity_kw) * hours;
        }
        let condenser_air_c = condensers.air_c(&store.spec.units, &demand.asked, stand, airs);
        self.watch.store(&settled, condenser_air_c, at, hours);
        sum.residual_kwh += settled.energy_residual_kwh;
        sum.store.add(&settled, hours);
    }

    fn write_down(&mut self, at: usize, hour: &Hour, waiting_t: f64, sum: HourSum) {
        let room = &sum.room;
        let source_electricity_kwh = sum.given.iter().map(|draw| draw.electricity_kw).sum();
        let cooling = self
            .room
            .bins
            .iter()
            .filter(|bin| bin.load_in(Phase::Cooling).is_some());
        self.book.tonnage.evaporated_kg += room.evaporated_kg;
        let shifted = &sum.shifted;
        let held_before = self
            .book
            .hours
            .last()
            .map_or(0.0, |hour| hour.heat_store_kwh);
        let unshifted = held_before + shifted.charged - shifted.given - shifted.lost - shifted.held;
        let entry = Entry {
            starts: hour.starts,
            in_season: at < self.year.season_hours,
            outside_c: hour.air.dry_bulb_c(),
            outside_relative_humidity: hour.air.relative_humidity(),
            mended: hour.mended,
            air_c: room.air_c,
            air_relative_humidity: room.relative_humidity,
            bins_drying: u32::try_from(room.bins_drying).unwrap_or(u32::MAX),
            bins_cooling: u32::try_from(cooling.count()).unwrap_or(u32::MAX),
            waiting_t,
            stored_t: sum.store.stored_t,
            evaporated_kg: room.evaporated_kg,
            fresh_air_kg_per_s: room.fresh_air_kg_per_s,
            heat_need_kwh: room.heat_need_kw,
            heat_delivered_kwh: room.heat_given_kw,
            recovered_kwh: sum.recovered_kwh,
            purged_kwh: room.purged_kw,
            bin_fan_kwh: room.bin_fan_kw,
            extraction_fan_kwh: room.extraction_fan_kw,
            lights_kwh: room.lights_kw,
            source_electricity_kwh,
            heat_store_kwh: shifted.held,
            heat_store_charged_kwh: shifted.charged,
            heat_store_lost_kwh: shifted.lost,
            store_cooling_kwh: sum.store.units.cooling_kw,
            store_unmet_kwh: sum.store.units.unmet_kw,
            store_units_kwh: sum.store.units.electricity_kw,
            store_fans_kwh: sum.store.fans_and_lights_kw,
            store_c: sum.store.temperature_c,
            store_nuts_lost_kg: sum.store.nuts_lost_kg,
            store_relative_humidity: sum.store.relative_humidity,
            gross_kwh: sum.gross_kwh,
            penalty_kwh: sum.penalty_kwh,
            ventilation_kwh: room.ventilation_kw,
            envelope_kwh: room.envelope_kw,
            warming_kwh: room.warming_kw,
            binding_kwh: room.binding_kw,
            fan_heat_kwh: room.fan_heat_kw,
            gains_kwh: room.gains_kw,
            water_residual_kg: room.water_residual_kg,
            energy_residual_kwh: room.energy_residual_kwh.abs()
                + sum.residual_kwh.abs()
                + unshifted.abs(),
        };
        self.book.hours.push(entry);
        let recovers = self.heating.condensers.place.recovers();
        for ((source, given), displaced) in self
            .book
            .sources
            .iter_mut()
            .zip(sum.given)
            .zip(sum.displaced)
        {
            source.given.push(given);
            if recovers {
                source.displaced.push(displaced);
            }
        }
    }

    /// Ends the season: nuts still inside are said to be left.
    fn close(mut self) -> Book {
        let at = self.book.hours.len();
        self.abandon(at.saturating_sub(1));
        self.book.guards = self.watch.into_guards();
        self.book
    }
}

/// What the first draw has over the second.
fn more(draw: &Draw, than: &Draw) -> Draw {
    Draw {
        heat_kw: draw.heat_kw - than.heat_kw,
        electricity_kw: draw.electricity_kw - than.electricity_kw,
        fuel_kw: draw.fuel_kw - than.fuel_kw,
        water_kg_per_h: draw.water_kg_per_h - than.water_kg_per_h,
    }
}

fn accumulate(sum: &mut Draw, draw: &Draw, hours: f64) {
    sum.heat_kw += draw.heat_kw * hours;
    sum.electricity_kw += draw.electricity_kw * hours;
    sum.fuel_kw += draw.fuel_kw * hours;
    sum.water_kg_per_h += draw.water_kg_per_h * hours;
}
