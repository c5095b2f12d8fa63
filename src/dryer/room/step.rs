//! A room lives through a step: fans, the balance of its air, the batches that get dry within it, and those that
//! cool.

use super::hour::{Held, RoomHour};
use super::spec::AirPath;
use super::state::Room;
use super::supply::Supply;
use super::{once_through, recirculating};
use crate::air::MoistAir;
use crate::dryer::bed::Bed;
use crate::dryer::bin::{Bin, Phase};
use crate::dryer::fan_bank::OffCurve;
use crate::dryer::finish;
use crate::dryer::passed::Passed;
use crate::dryer::streams::outside_at;

impl Room {
    /// Lives through one step of `hours` with this outside air: solves the room's balance, dries and
    /// cools the batches, and says what it took. A batch that gets dry within the step stops drying at that
    /// moment: the step is gone through once to find it, and again with the air of that batch for a part of
    /// the step alone. The room's balance stays that of the whole step's means.
    pub fn step(&mut self, outside: &MoistAir, supply: &dyn Supply, hours: f64) -> RoomHour {
        self.set_fans();
        self.slow_fans();
        let stopped = self.stop_fans_in_damp_air(outside, hours);
        let mut hour = self.step_to_the_end(outside, supply, hours);
        hour.bins_stopped = stopped.len() as f64;
        self.start_fans_again(stopped);
        hour
    }

    fn step_to_the_end(&mut self, outside: &MoistAir, supply: &dyn Supply, hours: f64) -> RoomHour {
        for load in self.bins.iter_mut().filter_map(|bin| bin.load.as_mut()) {
            load.course.ended_in_step = None;
            load.course.aired_hours = 0.0;
        }
        if !finish::any_is_near(&self.bins, outside, hours) {
            return self.live(outside, supply, hours);
        }
        let (bins, last_c, search) = (self.bins.clone(), self.last_c, self.search);
        let hour = self.live(outside, supply, hours);
        let ends = finish::ends(&bins, &mut self.bins, outside, hours);
        if ends.is_empty() {
            return hour;
        }
        let lived = std::mem::replace(&mut self.bins, bins);
        (self.last_c, self.search) = (last_c, search);
        for (bin, lived) in self.bins.iter_mut().zip(lived) {
            if let (Some(load), Some(lived)) = (bin.load.as_mut(), lived.load) {
                load.course.keep_in_mind(&lived.course);
            }
        }
        for (place, share) in ends {
            if let Some(load) = self.bins[place].load.as_mut() {
                load.end_at(share);
            }
        }
        self.live(outside, supply, hours)
    }

    /// One step in which batches dry for the share of it that is theirs.
    fn live(&mut self, outside: &MoistAir, supply: &dyn Supply, hours: f64) -> RoomHour {
        for bin in &mut self.bins {
            if bin.load_in(Phase::Drying).is_none() {
                bin.steel_c = None;
            }
        }
        let before = Held::of(&self.bins);
        let moistures = finish::moistures(&self.bins);
        let mut hour = match self.spec.air {
            AirPath::OnceThrough => once_through::step(self, outside, supply, hours),
            AirPath::Recirculating => recirculating::step(self, outside, supply, hours),
        };
        finish::begin_cooling(&mut self.bins, hours);
        cool_bins(&mut self.bins, outside, hours, &mut hour);
        finish::note_step(&moistures, &mut self.bins, hours);
        let after = Held::of(&self.bins);
        hour.audit(&before, &after, hours);
        hour.off_curve = OffCurve::of(&self.bins, &self.standings);
        hour
    }

    /// Where fans are known by their curve, a bin's air changes with the set of bins that are loaded.
    fn set_fans(&mut self) {
        let Some(bank) = &self.spec.fan_bank else {
            return;
        };
        let batches = self.bins.iter().map(|bin| Some(bin.load.as_ref()?.batch));
        if self.fans_set_for.iter().copied().eq(batches.clone()) {
            return;
        }
        self.fans_set_for = batches.collect();
        let share = self.setback.fan_share;
        let airflow = self.spec.airflow_m3_per_s_per_tonne * if share > 0.0 { share } else { 1.0 };
        self.standings = bank.set(&self.spec.bin_fan, airflow, &mut self.bins);
    }
}

/// Batches that have dried are cooled with outside air, which leaves again, until they have been for as long
/// as they are to be.
fn cool_bins(bins: &mut [Bin], outside: &MoistAir, hours: f64, hour: &mut RoomHour) {
    let air = outside_at(outside);
    for bin in bins.iter_mut() {
        let Some(load) = bin.load_in_mut(Phase::Cooling) else {
            continue;
        };
        let left_of_step = hours - load.course.ended_in_step.unwrap_or(0.0);
        let to_go = (load.finish.cooling_hours - load.hours_in_phase).max(0.0);
        let cools_hours = left_of_step.min(to_go);
        if cools_hours <= 0.0 {
            continue;
        }
        let share = cools_hours / hours;
        let mut bed = std::mem::replace(&mut load.bed, Bed::new(1, 0.0, 0.0, 0.0));
        let passage = finish::cool(&mut bed, load, outside, cools_hours);
        load.bed = bed;
        hour.binding_kw += load.bed.binding_kj_of_step() / (hours * 3600.0);
        load.bed.accept();
        load.course.aired_hours += cools_hours;
        hour.evaporated_kg += passage.evaporated_kg;
        hour.cooling_evaporated_kg += passage.evaporated_kg;
        hour.bin_fan_kw += share * load.fan_kw;
        hour.fan_heat_kw += share * load.fan_heat_kw;
        let flow = share * load.airflow_m3_per_s / outside.specific_volume_m3_per_kg();
        hour.ventilation_kw += flow * (passage.outlet.enthalpy() - air.enthalpy());
        hour.left_cooling.add(&Passed::of(flow, passage.outlet, hours));
    }
}
