//! A room of bins: where the air comes from, where it goes, and what heat that asks for.

use super::bed::Bed;
use super::bin::{Bin, BinSpec, Phase};
use super::bin_fan::BinFan;
use super::fan_bank::{FanBank, OffCurve};
use super::finish;
use super::layer::AirAt;
use super::passed::Passed;
use super::setback::Setback;
use super::{once_through, recirculating};
use crate::air::{CP_DRY_AIR, CP_VAPOUR, LATENT_AT_ZERO, MoistAir};
use crate::airflow::Standing;

/// Where a room's air goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AirPath {
    /// Outside air -> fan -> heat -> bins -> outside. Each bin has its own air temperature.
    OnceThrough,
    /// Bins draw room air and give it back; extraction exchanges room air for outside air.
    Recirculating,
}

/// Air temperature for nuts above a moisture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// Applies while the moisture (dry basis) that stages go by is above this.
    pub above_moisture: f64,
    /// Air is warmed to this temperature, °C; minus infinite where it is left as it comes.
    pub temperature_c: f64,
}

impl Stage {
    /// Temperature of a stage whose air is not warmed, °C.
    pub const UNHEATED_C: f64 = f64::NEG_INFINITY;

    /// True if its air is warmed.
    pub fn is_heated(&self) -> bool {
        self.temperature_c > Self::UNHEATED_C
    }
}

/// Which nuts of a batch say what stage it has come to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StageBy {
    /// All of them: their mean moisture.
    #[default]
    Mean,
    /// The wettest: hotter air waits until they, too, are dry enough for it.
    Wettest,
}

/// A room as built and as set.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomSpec {
    /// Name in the study.
    pub name: String,
    /// Where its air goes.
    pub air: AirPath,
    /// Its bins.
    pub bins: Vec<BinSpec>,
    /// Layers in which a bed is computed.
    pub layers: usize,
    /// Air through a full bin, m³/s per received tonne, as its fan takes it in; a bin that holds less gets what
    /// its fan gives then ([`BinFan::duty_of_load`]).
    pub airflow_m3_per_s_per_tonne: f64,
    /// Temperature by moisture, wettest first; the last stage holds to the end. A recirculating room
    /// has one stage.
    pub stages: Vec<Stage>,
    /// Whose moisture the stages go by.
    pub stage_by: StageBy,
    /// Humidity limit of a recirculating room, fraction.
    pub relative_humidity_max: f64,
    /// Humidity up to which fresh air is throttled to hold the set temperature when heat is short,
    /// fraction; no less than the limit.
    pub relative_humidity_when_short: f64,
    /// Least fresh air, m³/s of outside air; above zero while nuts dry.
    pub fresh_air_min_m3_per_s: f64,
    /// Most fresh air, m³/s of outside air.
    pub fresh_air_max_m3_per_s: f64,
    /// Loss through the envelope, W/K; where air passes once, through ducts, plenum and walls of all bins.
    pub envelope_ua_w_per_k: f64,
    /// Fans of drying bins stand while the air before the nuts would be damper than this, fraction; `None`
    /// where they run in any air.
    pub fans_off_above_rh: Option<f64>,
    /// Lights and people in the room, kW, while it is in use.
    pub gains_kw: f64,
    /// Part of `gains_kw` that is electricity, kW.
    pub lights_kw: f64,
    /// Heat capacity of bins and fittings, kJ/K, which are as warm as the room or the air at the nuts.
    pub steel_kj_per_k: f64,
    /// What the fans of the bins work against, and how they are driven.
    pub bin_fan: BinFan,
    /// The fans where their curve is known: it then says the air of each bin. `None` where every bin gets
    /// the air it is asked to.
    pub fan_bank: Option<FanBank>,
    /// Extraction: electric power per flow, kW per m³/s, its heat leaving with the air.
    pub extraction_kw_per_m3_per_s: f64,
}

impl RoomSpec {
    /// The same room with other bins; their steel, fans on a plenum, and what bins lose where air passes once
    /// go with what they hold.
    pub fn with_bins(&self, bins: Vec<BinSpec>) -> Self {
        let holds = |bins: &[BinSpec]| bins.iter().map(|bin| bin.capacity_t).sum::<f64>();
        let now_t = holds(&self.bins);
        let factor = if now_t > 0.0 { holds(&bins) / now_t } else { 1.0 };
        let envelope_ua_w_per_k = match self.air {
            AirPath::OnceThrough => self.envelope_ua_w_per_k * factor,
            AirPath::Recirculating => self.envelope_ua_w_per_k,
        };
        Self {
            steel_kj_per_k: self.steel_kj_per_k * factor,
            envelope_ua_w_per_k,
            fan_bank: self.fan_bank.as_ref().map(|bank| bank.for_room_times(factor)),
            bins,
            ..self.clone()
        }
    }

    /// The same room with other air through its bins, m³/s per received tonne (above 0): ducts keep the
    /// drop that they have at full flow, and fans of a known curve keep their pressure.
    #[must_use]
    pub fn with_airflow(&self, airflow_m3_per_s_per_tonne: f64) -> Self {
        let factor = airflow_m3_per_s_per_tonne / self.airflow_m3_per_s_per_tonne;
        let mut changed = self.clone();
        changed.airflow_m3_per_s_per_tonne = airflow_m3_per_s_per_tonne;
        changed.bin_fan.ducts = self.bin_fan.ducts.for_flow_times(factor);
        changed.fan_bank = self.fan_bank.as_ref().map(|bank| bank.for_air_times(factor));
        changed
    }

    /// Loss, W/K, and heat capacity of steel, kJ/K, of one of its bins where air passes once: the bins share
    /// them by what they hold.
    pub(super) fn of_bin(&self, bin: &BinSpec) -> (f64, f64) {
        match self.air {
            AirPath::Recirculating => (0.0, 0.0),
            AirPath::OnceThrough => {
                let all_t: f64 = self.bins.iter().map(|bin| bin.capacity_t).sum();
                let share = bin.capacity_t / all_t;
                (self.envelope_ua_w_per_k * share, self.steel_kj_per_k * share)
            }
        }
    }

    /// The hottest of its stages, °C; `None` where none is heated.
    pub fn hottest_stage_c(&self) -> Option<f64> {
        let heated = self.stages.iter().filter(|stage| stage.is_heated());
        heated.map(|stage| stage.temperature_c).reduce(f64::max)
    }

    /// Temperature to which air is warmed for this batch, °C; minus infinite where it is not.
    pub fn temperature_for_bed(&self, bed: &Bed) -> f64 {
        self.temperature_for(match self.stage_by {
            StageBy::Mean => bed.mean_moisture(),
            StageBy::Wettest => bed.wettest().moisture,
        })
    }

    /// Temperature to which air is warmed for nuts of this moisture (dry basis), °C; minus infinite where it is
    /// not.
    pub fn temperature_for(&self, moisture: f64) -> f64 {
        self.stages
            .iter()
            .find(|stage| moisture > stage.above_moisture)
            .or(self.stages.last())
            .map_or(Stage::UNHEATED_C, |stage| stage.temperature_c)
    }
}

/// What a supply is asked for, and the air that it finds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ask {
    /// Heat lacking at the set temperature, kW: what dampers go by.
    pub need_kw: f64,
    /// Air that the heat goes into: the room's (recirculating), or the heated air before the bins.
    pub air: AirAt,
    /// Air that leaves the plant for good.
    pub exhaust: AirAt,
    /// Fresh air, kg of dry air per second.
    pub fresh_air_kg_per_s: f64,
}

/// Heat that may come into a room in an hour: the room's balance asks, the option's sources and
/// condensers answer.
pub trait Supply {
    /// Heat that is released in the room whether wanted or not, kW: condensers that stand in it.
    fn unasked_kw(&self, ask: &Ask) -> f64;
    /// The most heat that can be had in all, kW; includes the unasked.
    fn most_kw(&self, ask: &Ask) -> f64;
    /// True if the state of the air that leaves matters to it.
    fn uses_exhaust(&self) -> bool;
    /// True if water may come along with its heat.
    fn moves_water(&self) -> bool;
    /// Water that comes along when it gives this much heat, kg/s: vapour from an open flame; less than
    /// zero where a source condenses water out of the air. Never falls as heat rises but by sources that
    /// condense; none without heat.
    fn water_kg_per_s(&self, heat_kw: f64, ask: &Ask) -> f64;
}

/// What a room did in a step. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RoomHour {
    /// Batches drying.
    pub bins_drying: usize,
    /// Of which with fans that damp air stopped, as bins over the step or bin-hours.
    pub bins_stopped: f64,
    /// Bins whose fans are off their curve.
    pub off_curve: OffCurve,
    /// Temperature of the room (recirculating) or mean of the heated air (once-through), °C.
    pub air_c: f64,
    /// Hottest air that met nuts, °C.
    pub hottest_c: f64,
    /// Relative humidity of the same air, fraction.
    pub relative_humidity: f64,
    /// What the supply was asked, in the state that was settled on.
    pub asked: Ask,
    /// Heat lacking at the set temperature before any source and before recovered heat, kW.
    pub heat_need_kw: f64,
    /// Air that met nuts below its set temperature, mean over the air, K: heat was short.
    pub below_set_k: f64,
    /// Heat that sources and recovered heat gave towards it, kW.
    pub heat_given_kw: f64,
    /// Recovered heat released in the room beyond the need and purged with outside air, kW.
    pub purged_kw: f64,
    /// Fresh air, kg of dry air per second.
    pub fresh_air_kg_per_s: f64,
    /// Water evaporated, kg, in drying and in cooling bins.
    pub evaporated_kg: f64,
    /// Of which in cooling bins, kg.
    pub cooling_evaporated_kg: f64,
    /// Fresh air as it met the nuts that dry: in a recirculating room, the room's air.
    pub met_nuts: Passed,
    /// Fresh air as it left the plant.
    pub left: Passed,
    /// Outside air that cooled bins, as it left them.
    pub left_cooling: Passed,
    /// Of which settled on the surfaces of a saturated room, because no fresh air could carry it, kg.
    pub condensed_kg: f64,
    /// Electricity of the bin fans, kW.
    pub bin_fan_kw: f64,
    /// Electricity of the extraction fan, kW.
    pub extraction_fan_kw: f64,
    /// Electricity of the lights, kW.
    pub lights_kw: f64,
    /// Fan heat that stayed in the air that dries or cools, kW.
    pub fan_heat_kw: f64,
    /// Lights and people, kW.
    pub gains_kw: f64,
    /// Water that sources gave to the air, kg; less than zero where they condensed it out.
    pub source_water_kg: f64,
    /// Enthalpy of that water as vapour, kW.
    pub source_water_kw: f64,
    /// Enthalpy that extracted or exhausted air and condensed water carry off above the outside air's
    /// and that of the vapour which sources gave, kW.
    pub ventilation_kw: f64,
    /// Loss through the envelope, kW.
    pub envelope_kw: f64,
    /// Warming of nuts, held water and steel, kW (with the liquid water that left them).
    pub warming_kw: f64,
    /// Heat that freed bound water beyond free water's latent heat, kW.
    pub binding_kw: f64,
    /// Water in less water out of the step, kg; what the balance failed to close.
    pub water_residual_kg: f64,
    /// Energy in less energy out of the step, kWh; what the balance failed to close.
    pub energy_residual_kwh: f64,
}

/// A room in the course of a season.
#[derive(Clone, Debug)]
pub struct Room {
    /// As built and set.
    pub spec: RoomSpec,
    /// Its bins.
    pub bins: Vec<Bin>,
    /// Room temperature at the end of the last step, °C; `None` while idle.
    pub(super) last_c: Option<f64>,
    /// The batches that the fans were last set for, by bin.
    pub(super) fans_set_for: Vec<Option<usize>>,
    pub(super) setback: Setback,
    /// True if fans were set back in the step before.
    pub(super) fans_were_slow: bool,
    /// Whether fans known by their curve were on it when they were set, by bin.
    standings: Vec<Option<Standing>>,
    pub(super) search: recirculating::Search,
}

impl Room {
    /// An empty room.
    pub fn new(spec: RoomSpec) -> Self {
        Self {
            bins: spec.bins.iter().map(|&bin| Bin::new(bin)).collect(),
            spec,
            last_c: None,
            fans_set_for: Vec::new(),
            setback: Setback::NONE,
            fans_were_slow: false,
            standings: Vec::new(),
            search: recirculating::Search::default(),
        }
    }

    /// The hottest set temperature of the batches that dry, °C; `None` while none does in heated air.
    pub fn hottest_set_c(&self) -> Option<f64> {
        self.bins
            .iter()
            .filter_map(|bin| bin.load_in(Phase::Drying))
            .map(|load| self.spec.temperature_for_bed(&load.bed))
            .filter(|&set_c| set_c > Stage::UNHEATED_C)
            .reduce(f64::max)
            .map(|set_c| set_c.min(self.setback.temperature_c))
    }

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

/// Water and heat held by all batches: what an audit compares before and after a step.
struct Held {
    water_kg: f64,
    enthalpy_kj: f64,
}

impl Held {
    fn of(bins: &[Bin]) -> Self {
        let loads = || bins.iter().filter_map(|bin| bin.load.as_ref());
        Self {
            water_kg: loads().map(|load| load.bed.water_kg()).sum(),
            enthalpy_kj: loads().map(|load| load.bed.enthalpy_kj(&load.nuts)).sum(),
        }
    }
}

impl RoomHour {
    /// Adds a step of `hours` to an hour's account: powers weighted by time, masses summed, states as
    /// the last step left them.
    pub fn add(&mut self, step: &Self, hours: f64) {
        self.bins_drying = self.bins_drying.max(step.bins_drying);
        self.bins_stopped += step.bins_stopped * hours;
        self.off_curve = step.off_curve;
        self.air_c = step.air_c;
        self.hottest_c = self.hottest_c.max(step.hottest_c);
        self.relative_humidity = step.relative_humidity;
        self.heat_need_kw += step.heat_need_kw * hours;
        self.below_set_k += step.below_set_k * hours;
        self.heat_given_kw += step.heat_given_kw * hours;
        self.purged_kw += step.purged_kw * hours;
        self.fresh_air_kg_per_s += step.fresh_air_kg_per_s * hours;
        self.evaporated_kg += step.evaporated_kg;
        self.cooling_evaporated_kg += step.cooling_evaporated_kg;
        self.met_nuts.add(&step.met_nuts);
        self.left.add(&step.left);
        self.left_cooling.add(&step.left_cooling);
        self.source_water_kg += step.source_water_kg;
        self.source_water_kw += step.source_water_kw * hours;
        self.condensed_kg += step.condensed_kg;
        self.bin_fan_kw += step.bin_fan_kw * hours;
        self.extraction_fan_kw += step.extraction_fan_kw * hours;
        self.lights_kw += step.lights_kw * hours;
        self.fan_heat_kw += step.fan_heat_kw * hours;
        self.gains_kw += step.gains_kw * hours;
        self.ventilation_kw += step.ventilation_kw * hours;
        self.envelope_kw += step.envelope_kw * hours;
        self.warming_kw += step.warming_kw * hours;
        self.binding_kw += step.binding_kw * hours;
        self.water_residual_kg += step.water_residual_kg;
        self.energy_residual_kwh += step.energy_residual_kwh;
    }

    /// Closes the step's books from the states of the nuts themselves, not from what the solver
    /// believed: water and energy that came in less those found again.
    fn audit(&mut self, before: &Held, after: &Held, hours: f64) {
        self.water_residual_kg += before.water_kg - after.water_kg - self.evaporated_kg;
        let nuts_kw = (after.enthalpy_kj - before.enthalpy_kj) / (hours * 3600.0);
        self.warming_kw += nuts_kw;
        let came_in = self.heat_given_kw + self.purged_kw + self.fan_heat_kw + self.gains_kw;
        let found = self.ventilation_kw + self.envelope_kw + self.warming_kw + self.binding_kw;
        self.energy_residual_kwh = (came_in - found) * hours;
    }
}

/// Enthalpy of water vapour at a temperature, kJ/kg.
pub(super) fn vapour_enthalpy(t_c: f64) -> f64 {
    LATENT_AT_ZERO + CP_VAPOUR * t_c
}

/// Air after a fan that gives it `heat_kw`.
pub(super) fn after_fan(air: AirAt, heat_kw: f64, dry_air_kg_per_s: f64) -> AirAt {
    if dry_air_kg_per_s <= 0.0 {
        return air;
    }
    let capacity = dry_air_kg_per_s * (CP_DRY_AIR + CP_VAPOUR * air.humidity_ratio);
    AirAt { dry_bulb_c: air.dry_bulb_c + heat_kw / capacity, humidity_ratio: air.humidity_ratio }
}

/// Outside air as a bed sees it.
pub(super) fn outside_at(outside: &MoistAir) -> AirAt {
    AirAt { dry_bulb_c: outside.dry_bulb_c(), humidity_ratio: outside.humidity_ratio() }
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
