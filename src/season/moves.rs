//! Nuts on their way: from the heap into bins, from room to room, and out to the store.

use super::drying::{Drying, Underway};
use super::watch::Broken;
use crate::cool_store::Arrival;
use crate::crop::Mould;
use crate::dryer::{
    Bed, BinSpec, BrokenHours, Course, FanRun, Finish, Load, NutBed, Nuts, Phase, RoomSpec, Sort, WaitingNuts,
};
use crate::ledger::{BatchMove, BatchRecord, GuardKind};
use crate::weather::Hour;
use std::sync::Arc;

impl Drying<'_> {
    pub(super) fn receive(&mut self, at: usize) {
        while let Some(delivery) = self.deliveries.get(self.next_delivery) {
            if delivery.hour > at {
                break;
            }
            self.heap.arrive(delivery);
            let mass_kg = delivery.tonnes * 1000.0;
            self.tonnage.received_kg += mass_kg;
            self.tonnage.received_water_kg += mass_kg * delivery.moisture / (1.0 + delivery.moisture);
            self.next_delivery += 1;
        }
    }

    /// Writes down which batches got dry in a step that began `from` hours into the season.
    pub(super) fn note_ends(&mut self, from: f64) {
        for load in self.rooms.iter().flat_map(|room| &room.bins).filter_map(|bin| bin.load.as_ref()) {
            let Some(into_step) = load.course.ended_in_step else {
                continue;
            };
            let record = &mut self.batches[load.batch];
            let dry_hour = from + into_step;
            record.dry_hour = Some(dry_hour);
            record.mean_dry_hour =
                load.course.mean_done_hours.map(|hours| (load.drying_from_hour + hours).min(dry_hour));
        }
    }

    /// Writes down how moist the batches are that are in bins or on their way to others.
    pub(super) fn look_at_batches(&mut self) {
        let in_bins = self.rooms.iter().flat_map(|room| &room.bins).filter_map(|bin| bin.load.as_ref());
        for load in in_bins.chain(self.underway.iter().map(|batch| &batch.load)) {
            Arc::make_mut(&mut self.batches[load.batch].moistures).push(load.bed.mean_moisture());
        }
    }

    /// Batches that are cool leave for the store. Bins are emptied on the hour.
    pub(super) fn finish_batches(&mut self, at: usize) {
        for bin in self.rooms.iter_mut().flat_map(|room| &mut room.bins) {
            let Some(load) = bin.load.as_mut() else {
                continue;
            };
            let stay = self.plant.stay_of(load.crop);
            if load.phase == Phase::Cooling && load.hours_in_phase + 1e-9 >= stay.cooling_hours {
                let nuts = &load.nuts;
                let bed = &load.bed;
                let moisture = bed.mean_moisture();
                let record = &mut self.batches[load.batch];
                let cool_hour = record.dry_hour.map(|dry| dry + stay.cooling_hours);
                record.out_hour = Some(cool_hour.unwrap_or(at as f64).min(at as f64));
                record.out_kg = bed.mass_kg();
                record.out_moisture = moisture;
                record.out_spread = bed.wettest().moisture - bed.driest().moisture;
                record.overdried_kg = (bed.dry_matter_kg() * (stay.dried_moisture - moisture)).max(0.0);
                note_stay(record, load);
                self.tonnage.dried_kg += bed.mass_kg();
                self.tonnage.dried_water_kg += bed.water_kg();
                let arrival = Arrival {
                    crop: load.crop,
                    keeping: stay.keeping,
                    mass_kg: bed.mass_kg(),
                    moisture,
                    heat_capacity_kj_per_k: bed.dry_matter_kg() * nuts.heat_capacity(moisture),
                    temperature_c: bed.mean_temperature_c(nuts),
                    stay_hours: stay.store_hours,
                };
                self.leaving.push(arrival);
                bin.load = None;
            }
        }
    }

    /// Time is up: what is still wet is taken out of the books and said to be left.
    pub(super) fn abandon(&mut self, at: usize) {
        let (mut left_kg, mut water_kg) = (self.heap.mass_kg(), self.heap.water_kg());
        // Less than a gram is the rounding of what was taken.
        if left_kg > 1e-3 {
            let waited_h = self.heap.longest_wait_h(at);
            let longest_h = &mut self.tonnage.longest_wait_h;
            *longest_h = longest_h.max(waited_h);
        }
        self.heap = WaitingNuts::default();
        let in_bins = self.rooms.iter_mut().flat_map(|room| &mut room.bins).filter_map(|bin| bin.load.take());
        for load in in_bins.chain(self.underway.drain(..).map(|batch| batch.load)) {
            left_kg += load.bed.mass_kg();
            water_kg += load.bed.water_kg();
            note_stay(&mut self.batches[load.batch], &load);
        }
        if left_kg > 0.0 {
            self.tonnage.left_kg += left_kg;
            self.tonnage.left_water_kg += water_kg;
            self.watch.note(GuardKind::Unfinished, 1.0, Broken::by(left_kg / 1000.0), at);
        }
    }

    /// Batches dry enough for the next room go there, the oldest first, as bins fall free; those that
    /// find none stay in their air and block their bin. Moving mixes a batch: it arrives as one layer.
    pub(super) fn hand_over(&mut self, at: usize) {
        self.arrive_in_rooms(at);
        for link in (0..self.plant.hand_overs.len()).rev() {
            let next = self.plant.hand_overs[link];
            let bins = &self.plant.rooms[link + 1].bins;
            let mut ready: Vec<(usize, usize)> = self.rooms[link]
                .bins
                .iter()
                .enumerate()
                .filter_map(|(bin, held)| {
                    let load = held.load_in(Phase::Drying)?;
                    (load.bed.mean_moisture() <= next.at_moisture).then_some((load.batch, bin))
                })
                .collect();
            ready.sort_unstable();
            for (_, bin) in ready {
                let received_kg = self.rooms[link].bins[bin].load.as_ref().map_or(0.0, |load| load.received_kg);
                let free = (0..bins.len()).find(|&to| {
                    let holds_kg = bins[to].most_kg();
                    self.is_free(link + 1, to) && holds_kg >= received_kg * (1.0 - 1e-9)
                });
                let Some(to) = free else {
                    self.room_sums[link].blocked_bin_hours += 1.0;
                    continue;
                };
                let Some(load) = self.rooms[link].bins[bin].load.take() else {
                    continue;
                };
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few days
                let arrives = at + next.hours.ceil() as usize;
                self.batches[load.batch].moves.push(BatchMove {
                    left_hour: at,
                    arrived_hour: arrives,
                    room: link + 1,
                    bin: to,
                });
                self.underway.push(Underway { load, from: (link, bin), to: (link + 1, to), arrives });
            }
        }
        self.arrive_in_rooms(at);
    }

    /// Batches whose way is done are in their new bins.
    fn arrive_in_rooms(&mut self, at: usize) {
        for batch in std::mem::take(&mut self.underway) {
            if batch.arrives > at {
                self.underway.push(batch);
                continue;
            }
            let (room, bin) = batch.to;
            let spec = &self.rooms[room].spec;
            let Load { crop, nuts, in_the_way, bed, .. } = batch.load;
            let held = Held { bed: bed.mixed(&nuts, spec.layers), crop, nuts, in_the_way };
            let (received_kg, number) = (batch.load.received_kg, batch.load.batch);
            let finish = self.plant.stay_of(crop).finish();
            let load = set_up(spec, &spec.bins[bin], held, received_kg, (number, at, finish));
            self.room_sums[room].batches += 1;
            self.rooms[room].bins[bin].load =
                Some(Load { fan_run: batch.load.fan_run, mould: batch.load.mould, broken: batch.load.broken, ..load });
        }
    }

    /// True if a batch may be put into this bin.
    fn is_free(&self, room: usize, bin: usize) -> bool {
        self.rooms[room].bins[bin].load.is_none()
            && self.underway.iter().all(|batch| batch.from != (room, bin) && batch.to != (room, bin))
    }

    /// Batches that may be filled on take waiting nuts of their sort; then free bins do, of sorts that make
    /// a load. A bin holds one crop and one grade of it. Of those that make a load, a free bin takes the one
    /// whose nuts have waited longest; of those that came together, the one that the study names first.
    pub(super) fn load_bins(&mut self, at: usize, hour: &Hour) {
        let outside_c = hour.air.dry_bulb_c();
        if self.plant.stays().any(|stay| stay.fill_over_hours > 0.0) {
            self.fill_on(at, outside_c);
        }
        for place in 0..self.rooms[0].bins.len() {
            if !self.is_free(0, place) {
                continue;
            }
            let bin = self.plant.first_room().bins[place];
            let sorts = self.heap.sorts();
            let Some(sort) = sorts.into_iter().find(|sort| self.makes_a_load(sort, &bin, at)) else {
                continue;
            };
            let late_hours = self.note_wait(&sort, at);
            let asked_kg = self.mass_to_load_kg(&sort, place, at);
            let mould = self.heap.mould_of(&sort);
            let (mass_kg, moisture) = self.heap.take(&sort, asked_kg);
            self.begin_batch(place, (mass_kg, moisture, sort), mould, (at, outside_c));
            if let Some(record) = self.batches.last_mut() {
                record.late_hours = late_hours;
            }
        }
    }

    /// True if a bin is begun with what waits of this sort: it fills the bin, or nothing is to come that
    /// would add to it, or it can wait no longer. A least load is begun sooner, when it has waited as long as
    /// nuts do for a full bin, or when nothing comes by then.
    fn makes_a_load(&self, sort: &Sort, bin: &BinSpec, at: usize) -> bool {
        let stay = self.plant.stay_of(sort.crop);
        let mass_kg = self.heap.mass_of_kg(sort);
        let waited_h = self.heap.longest_wait_of_h(sort, at);
        // Bins are loaded on the hour: the next may be too late.
        let can_wait = waited_h + 1.0 <= stay.load_within_hours;
        if mass_kg >= bin.full_from_kg() || !can_wait || self.next_of(sort).is_none() {
            return true;
        }
        let fills_on = stay.fill_over_hours > 0.0;
        mass_kg >= stay.least_load_kg.min(bin.full_kg()) && (fills_on || !self.more_comes_in_time(sort, waited_h, at))
    }

    /// Hour of the next delivery of a sort.
    fn next_of(&self, sort: &Sort) -> Option<usize> {
        let mut to_come = self.deliveries[self.next_delivery..].iter();
        to_come.find(|next| next.sort == *sort && next.tonnes > 0.0).map(|next| next.hour)
    }

    /// True if nuts of a sort that have waited so long may wait for the next delivery of it.
    fn more_comes_in_time(&self, sort: &Sort, waited_h: f64, at: usize) -> bool {
        let stay = self.plant.stay_of(sort.crop);
        let may_wait_h = stay.fill_within_hours.min(stay.load_within_hours);
        self.next_of(sort).is_some_and(|next| waited_h + (next - at) as f64 <= may_wait_h)
    }

    /// What goes into a free bin of a sort that makes a load, kg. A rest that is too little to begin a bin
    /// with, and that nothing is added to in time, is not left over: two bins share alike.
    fn mass_to_load_kg(&self, sort: &Sort, place: usize, at: usize) -> f64 {
        let mass_kg = self.heap.mass_of_kg(sort);
        let fitting_kg = self.heap.fitting_kg(sort, &self.plant.first_room().bins[place]);
        let rest_kg = mass_kg - fitting_kg;
        let least_kg = self.plant.stay_of(sort.crop).least_load_kg;
        if rest_kg <= 0.0 || rest_kg >= least_kg || mass_kg < 2.0 * least_kg {
            return fitting_kg;
        }
        let waited_h = self.heap.last_arrival_of(sort).map_or(0.0, |came| (at - came) as f64);
        let another_is_free = (place + 1..self.plant.first_room().bins.len()).any(|other| self.is_free(0, other));
        if another_is_free && !self.more_comes_in_time(sort, waited_h, at) { mass_kg / 2.0 } else { fitting_kg }
    }

    /// Mass of the nuts that a bin would be begun with, were one free, kg. All others that wait do so until
    /// a load has come together.
    pub(super) fn waiting_for_bin_kg(&self, at: usize) -> f64 {
        let bins = &self.plant.first_room().bins;
        let smallest = bins.iter().min_by(|a, b| a.capacity_t.total_cmp(&b.capacity_t));
        let Some(smallest) = smallest.filter(|_| !self.heap.is_empty()) else {
            return 0.0;
        };
        if (0..bins.len()).any(|place| self.is_free(0, place)) {
            return 0.0;
        }
        let sorts = self.heap.sorts();
        let ready = sorts.iter().filter(|sort| self.makes_a_load(sort, smallest, at));
        ready.map(|sort| self.heap.mass_of_kg(sort)).sum()
    }

    fn begin_batch(
        &mut self,
        place: usize,
        (mass_kg, moisture, sort): (f64, f64, Sort),
        mould: Mould,
        (at, outside_c): (usize, f64),
    ) {
        let spec = self.plant.first_room();
        let batch = self.batches.len();
        self.batches.push(BatchRecord {
            bin: place,
            crop: sort.crop,
            grade: sort.grade,
            loaded_hour: at,
            received_kg: mass_kg,
            fill: mass_kg / spec.bins[place].full_kg(),
            received_moisture: moisture,
            ..BatchRecord::default()
        });
        let dry_matter_kg = mass_kg / (1.0 + moisture);
        let held = Held {
            crop: sort.crop,
            nuts: Arc::clone(&self.nuts[sort.crop]),
            in_the_way: self.plant.in_the_way_of(sort.crop),
            bed: Bed::new(spec.layers, dry_matter_kg, moisture, outside_c),
        };
        self.room_sums[0].batches += 1;
        let finish = self.plant.stay_of(held.crop).finish();
        let load = set_up(spec, &spec.bins[place], held, mass_kg, (batch, at, finish));
        self.rooms[0].bins[place].load = Some(Load { mould, ..load });
    }

    /// An hour's growth of mould on nuts that no air passes: in the heap, as warm as outside, and on their way
    /// between rooms.
    pub(super) fn let_mould_live(&mut self, hour: &Hour) {
        let outside_c = hour.air.dry_bulb_c();
        let (plant, nuts) = (self.plant, &self.nuts);
        self.heap.live_on(|crop, moisture, mould| {
            let activity = nuts[crop].water_activity(outside_c, moisture);
            plant.stay_of(crop).mould_law().live(mould, outside_c, activity, 1.0);
        });
        for batch in &mut self.underway {
            let law = plant.stay_of(batch.load.crop).mould_law();
            batch.load.let_mould_live(&law, 1.0);
        }
    }

    /// Waiting nuts go on top of batches that dry and are not full, the oldest batch first. The fan is
    /// set for the deeper bed.
    fn fill_on(&mut self, at: usize, outside_c: f64) {
        let mut filling: Vec<(usize, usize)> = self.rooms[0]
            .bins
            .iter()
            .enumerate()
            .filter_map(|(place, bin)| Some((bin.load_in(Phase::Drying)?.batch, place)))
            .filter(|&(batch, _)| {
                let record = &self.batches[batch];
                let hours = at - record.loaded_hour;
                (hours as f64) < self.plant.stay_of(record.crop).fill_over_hours
            })
            .collect();
        filling.sort_unstable();
        for (batch, place) in filling {
            let record = &self.batches[batch];
            let sort = Sort { crop: record.crop, grade: record.grade.clone() };
            let spec = self.plant.first_room();
            let (bin, holds_kg) = (&spec.bins[place], self.batches[batch].received_kg);
            let room_kg = bin.full_kg() - holds_kg;
            if holds_kg >= bin.full_from_kg() || self.heap.mass_of_kg(&sort) <= 0.0 {
                continue;
            }
            let late_hours = self.note_wait(&sort, at);
            let mould = self.heap.mould_of(&sort);
            let (mass_kg, moisture) = self.heap.take(&sort, room_kg);
            let record = &mut self.batches[batch];
            record.late_hours = record.late_hours.max(late_hours);
            let dry_kg = |mass_kg: f64, moisture: f64| mass_kg / (1.0 + moisture);
            let dry = dry_kg(record.received_kg, record.received_moisture) + dry_kg(mass_kg, moisture);
            record.received_kg += mass_kg;
            record.fill = record.received_kg / spec.bins[place].full_kg();
            record.received_moisture = record.received_kg / dry - 1.0;
            let bin = &mut self.rooms[0].bins[place];
            let Some(load) = bin.load.take() else {
                continue;
            };
            let added_kg = dry_kg(mass_kg, moisture);
            let bed = load.bed.filled_on(&load.nuts, added_kg, moisture, outside_c);
            let held = Held { crop: load.crop, nuts: load.nuts, in_the_way: load.in_the_way, bed };
            bin.load = Some(Load {
                hours_in_phase: load.hours_in_phase,
                fan_run: load.fan_run,
                mould: load.mould.worse(mould),
                broken: load.broken,
                drying_from_hour: load.drying_from_hour,
                ..set_up(spec, &spec.bins[place], held, record.received_kg, (batch, at, load.finish))
            });
            self.rooms[0].loads_changed();
        }
    }

    /// How long nuts had waited that are now put into a bin. Gives the hours in which the first of them had
    /// waited longer than is safe, as the guard counts them.
    fn note_wait(&mut self, sort: &Sort, at: usize) -> f64 {
        let waited_h = self.heap.longest_wait_of_h(sort, at);
        let longest_h = &mut self.tonnage.longest_wait_h;
        *longest_h = longest_h.max(waited_h);
        let safe_h = self.plant.stay_of(sort.crop).safe_waiting_hours;
        self.heap.hours_waited_longer_of(sort, at, safe_h)
    }
}

/// What is put into a bin.
struct Held {
    crop: usize,
    nuts: Arc<Nuts>,
    in_the_way: Option<NutBed>,
    bed: Bed,
}

/// A batch that begins to dry in a bin of a room, with the air that the bin's fan gives it there.
fn set_up(
    room: &RoomSpec,
    bin: &BinSpec,
    held: Held,
    received_kg: f64,
    (batch, at, finish): (usize, usize, Finish),
) -> Load {
    let full = room.airflow_m3_per_s_per_tonne * bin.capacity_t;
    let air = room.bin_fan.before(held.in_the_way).duty_of_load(full, bin, received_kg, 1.0);
    Load {
        batch,
        crop: held.crop,
        nuts: held.nuts,
        in_the_way: held.in_the_way,
        bed: held.bed,
        phase: Phase::Drying,
        finish,
        course: Course::default(),
        drying_from_hour: at as f64,
        received_kg,
        hours_in_phase: 0.0,
        airflow_m3_per_s: air.airflow_m3_per_s,
        fan_kw: air.duty.electric_kw,
        fan_heat_kw: air.duty.heat_to_air_kw,
        fan_run: FanRun::default(),
        mould: Mould::default(),
        broken: BrokenHours::default(),
    }
}

/// What a bin's fan did for a batch that leaves it, what grew on its nuts, and which limits were broken.
fn note_stay(record: &mut BatchRecord, load: &Load) {
    let run = &load.fan_run;
    record.mould_index = load.mould.index;
    record.mould_growing_hours = load.mould.growing_hours;
    record.mould_seen_hours = load.broken.mould_seen;
    record.hot_air_hours = load.broken.hot_air;
    record.fan_kwh = run.fan_kwh;
    record.fan_hours = run.running_hours;
    record.mean_airflow_m3_per_s = run.mean_m3_per_s();
}
