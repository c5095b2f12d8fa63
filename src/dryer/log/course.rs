//! A log as the bed model walks through it.

use super::DryingLog;
use crate::air::{AirState, MoistAir, PRESSURE_RANGE_PA};
use crate::crop::water::dry_basis_of_percent;
use crate::dryer::{Bed, Nuts};

/// Longest step, h. The season walks in hours; half of that leaves the step's error well below what a
/// sample can tell, at little cost.
const LONGEST_STEP_H: f64 = 0.5;
/// Dry air through a thin layer, kg an hour per kg of dry matter: so much that it keeps its state.
const THIN_LAYER_AIR_PER_H: f64 = 1e6;

/// One step between two samples.
struct Step {
    inlet: AirState,
    pressure_pa: f64,
    hours: f64,
    /// Dry air, kg an hour: for a bed, per tonne of nuts at the start.
    dry_air_kg_per_h: f64,
}

/// A log cut into steps once, to be walked many times with other constants.
pub(super) struct Course {
    /// Steps that lead to each sample after the first.
    stretches: Vec<Vec<Step>>,
    layers: usize,
    /// Temperature of the nuts at the start, °C.
    nuts_c: f64,
    /// True for nuts in a bed, false for those in a thin layer.
    in_bed: bool,
}

impl Course {
    pub(super) fn of(log: &DryingLog) -> Self {
        let stretches: Vec<Vec<Step>> =
            log.samples().windows(2).map(|pair| stretch(log, pair[0].hours, pair[1].hours)).collect();
        let first = stretches.first().and_then(|steps| steps.first());
        let air_c = first.map_or(0.0, |step| step.inlet.dry_bulb_c);
        Self {
            layers: log.bed().map_or(1, |bed| bed.layers),
            nuts_c: log.bed().map_or(air_c, |bed| bed.nuts_c),
            in_bed: log.bed().is_some(),
            stretches,
        }
    }

    /// Mean temperature of the air, °C, on the way to each sample after the first.
    pub(super) fn air_c(&self) -> impl Iterator<Item = f64> {
        self.stretches.iter().map(|steps| {
            let sum: f64 = steps.iter().map(|step| step.inlet.dry_bulb_c).sum();
            sum / steps.len() as f64
        })
    }

    /// Mean moisture, dry basis, at each sample, of nuts that start with this moisture, % w.b.
    pub(super) fn moistures(&self, nuts: &Nuts, start_pct: f64) -> Vec<f64> {
        let mut moistures = vec![dry_basis_of_percent(start_pct)];
        self.walk(nuts, start_pct, |bed, at_sample| {
            if at_sample {
                moistures.push(bed.mean_moisture());
            }
        });
        moistures
    }

    /// Temperature of the nuts while they dried: the sum over the steps of the water given up (dry basis, mean
    /// of the layers) times its layer's temperature, °C, and the sum of the water itself.
    pub(super) fn water_by_temperature(&self, nuts: &Nuts, start_pct: f64) -> (f64, f64) {
        let mut before = vec![dry_basis_of_percent(start_pct); self.layers];
        let (mut weighted, mut water) = (0.0, 0.0);
        self.walk(nuts, start_pct, |bed, _| {
            for (layer, before) in bed.layers().iter().zip(&mut before) {
                let given_up = (*before - layer.moisture).max(0.0);
                weighted += given_up * layer.temperature_c;
                water += given_up;
                *before = layer.moisture;
            }
        });
        let layers = self.layers as f64;
        (weighted / layers, water / layers)
    }

    /// Walks the bed through the log and shows it after each step, with whether a sample was taken then.
    fn walk(&self, nuts: &Nuts, start_pct: f64, mut show: impl FnMut(&Bed, bool)) {
        let start = dry_basis_of_percent(start_pct);
        // A tonne of nuts at the start in a bed; a kilogram of dry matter in a thin layer.
        let dry_matter_kg = if self.in_bed { 1000.0 / (1.0 + start) } else { 1.0 };
        let mut bed = Bed::new(self.layers, dry_matter_kg, start, self.nuts_c);
        for steps in &self.stretches {
            for (at, step) in steps.iter().enumerate() {
                bed.try_step(nuts, step.inlet, step.dry_air_kg_per_h * step.hours, step.pressure_pa, step.hours);
                bed.accept();
                show(&bed, at + 1 == steps.len());
            }
        }
    }
}

/// Equal steps from one sample to the next, each in the air of its middle.
fn stretch(log: &DryingLog, from: f64, to: f64) -> Vec<Step> {
    let mut count = 1.0;
    while (to - from) / count > LONGEST_STEP_H {
        count += 1.0;
    }
    let hours = (to - from) / count;
    let mut steps = Vec::new();
    let mut at = 0.0;
    while at < count {
        let (dry_bulb_c, humidity_ratio, pressure_pa) = log.air_at(from + (at + 0.5) * hours);
        let dry_air_kg_per_h = log.bed().map_or(THIN_LAYER_AIR_PER_H, |bed| {
            let volume = specific_volume(dry_bulb_c, humidity_ratio, pressure_pa);
            bed.airflow_m3_per_s_per_tonne * 3600.0 / volume
        });
        steps.push(Step { inlet: AirState { dry_bulb_c, humidity_ratio }, pressure_pa, hours, dry_air_kg_per_h });
        at += 1.0;
    }
    steps
}

/// m³ per kg of dry air. Air between two readings may lie a whisker above saturation, which is no state
/// of moist air; its volume is then that of saturated air.
fn specific_volume(dry_bulb_c: f64, humidity_ratio: f64, pressure_pa: f64) -> f64 {
    MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa)
        .or_else(|_| MoistAir::from_relative_humidity(dry_bulb_c, 1.0, pressure_pa))
        .map_or(PRESSURE_RANGE_PA.1 / pressure_pa, |air| air.specific_volume_m3_per_kg())
}
