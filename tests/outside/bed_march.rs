//! The bed against an independent march of the same differential equations, and its own convergence.
//!
//! The equations are those of a fixed bed with nuts and air at one temperature (the partial differential
//! equations of Bakker-Arkema and others, with the heat transfer between them instant):
//!
//! - nuts: ∂M/∂t = -k(T) (M - Mₑ(T, φ));
//! - vapour: G ∂W/∂z = -ρ ∂M/∂t, and
//!   no air holds more than saturation at the nuts' temperature, what is over settles on them;
//! - heat: ρ c(M) ∂T/∂t = -G (c_a + c_v W) ∂T/∂z + ρ (h_fg(T) + q(T, M)) ∂M/∂t, h_fg being vapour's
//!   enthalpy less the held water's.
//!
//! Here they are differenced explicitly in time with steps far below the limit of stability, the heat
//! equation in temperature and not in enthalpy, with no search of any kind: nothing but the laws of the
//! nuts and the saturation curve is shared with the bed.

use super::bed::{air, humidity_of, newton, pods};
use approx::assert_abs_diff_eq;
use dryledger::air::{AirState, CP_DRY_AIR, CP_VAPOUR, LATENT_AT_ZERO, saturation_humidity_ratio};
use dryledger::dryer::{Bed, Nuts};

const SEA_LEVEL_PA: f64 = 101_325.0;

/// Cells with their moisture and temperature.
pub(super) struct March {
    moisture: Vec<f64>,
    temperature_c: Vec<f64>,
}

impl March {
    pub(super) fn new(cells: usize, moisture: f64, temperature_c: f64) -> Self {
        Self { moisture: vec![moisture; cells], temperature_c: vec![temperature_c; cells] }
    }

    /// One explicit step; `air_per_h` is kg of air per hour and kg of dry matter of the whole bed.
    pub(super) fn step(&mut self, nuts: &Nuts, inlet: AirState, air_per_h: f64, hours: f64) {
        let per_cell = air_per_h * self.moisture.len() as f64;
        let mut entering = inlet;
        for (moisture, temperature_c) in self.moisture.iter_mut().zip(&mut self.temperature_c) {
            let here = AirState { dry_bulb_c: *temperature_c, humidity_ratio: entering.humidity_ratio };
            // The midpoint rule: the cell's nuts meet the mean of entering and leaving air.
            let t_within = 0.5 * (entering.dry_bulb_c + *temperature_c);
            let rate = nuts.thin_layer.rate_per_h(t_within);
            let drying = |leaving: AirState| {
                let within = AirState {
                    dry_bulb_c: t_within,
                    humidity_ratio: 0.5 * (entering.humidity_ratio + leaving.humidity_ratio),
                };
                let humidity = humidity_of(within).min(0.995);
                let equilibrium = nuts.isotherm.equilibrium_moisture(t_within, humidity);
                rate * (*moisture - equilibrium)
            };
            // The vapour equation at the cell's outlet: a few substitutions settle it.
            let saturated = saturation_humidity_ratio(*temperature_c, SEA_LEVEL_PA);
            let mut leaving = here;
            for _ in 0..4 {
                let by_law = entering.humidity_ratio + drying(leaving) / per_cell;
                leaving.humidity_ratio = by_law.min(saturated);
            }
            let lost_per_h = (leaving.humidity_ratio - entering.humidity_ratio) * per_cell;
            let free = LATENT_AT_ZERO + (CP_VAPOUR - nuts.held_water_kj_per_kg_k) * *temperature_c;
            let bound = nuts.isotherm.net_heat_of_desorption_kj_per_kg(*temperature_c, *moisture);
            let carried =
                per_cell * (CP_DRY_AIR + CP_VAPOUR * entering.humidity_ratio) * (entering.dry_bulb_c - *temperature_c);
            let warming = (carried - lost_per_h * (free + bound)) / nuts.heat_capacity(*moisture);
            entering = AirState { dry_bulb_c: *temperature_c, humidity_ratio: leaving.humidity_ratio };
            *moisture -= lost_per_h * hours;
            *temperature_c += warming * hours;
        }
    }

    pub(super) fn mean_moisture(&self) -> f64 {
        self.moisture.iter().sum::<f64>() / self.moisture.len() as f64
    }
}

/// A bed that lives under this air: nuts, moisture and temperature at first, air per hour and kg of dry
/// matter, hours.
struct Life {
    nuts: Nuts,
    moisture: f64,
    temperature_c: f64,
    inlet: AirState,
    air_per_h: f64,
    hours: f64,
}

/// Warm drying of wet nuts, gentle drying of deep and cool ones, and rewetting of dry ones.
fn lives() -> [Life; 3] {
    [
        Life {
            nuts: pods(newton(0.06)),
            moisture: 0.30,
            temperature_c: 20.0,
            inlet: air(40.0, 0.25),
            air_per_h: 0.8,
            hours: 40.0,
        },
        Life {
            nuts: pods(newton(0.02)),
            moisture: 0.22,
            temperature_c: 12.0,
            inlet: air(25.0, 0.45),
            air_per_h: 0.3,
            hours: 150.0,
        },
        Life {
            nuts: pods(newton(0.05)),
            moisture: 0.06,
            temperature_c: 25.0,
            inlet: air(25.0, 0.75),
            air_per_h: 0.6,
            hours: 48.0,
        },
    ]
}

fn steps_of(life: &Life, step_hours: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = (life.hours / step_hours).round() as u32;
    steps
}

fn bed_after(life: &Life, layers: usize, step_hours: f64) -> Bed {
    let mut bed = Bed::new(layers, 1.0, life.moisture, life.temperature_c);
    for _ in 0..steps_of(life, step_hours) {
        let blown = life.air_per_h * step_hours;
        bed.try_step(&life.nuts, life.inlet, blown, SEA_LEVEL_PA, step_hours);
        bed.accept();
    }
    bed
}

fn march_after(life: &Life, cells: usize, step_hours: f64) -> March {
    let mut march = March::new(cells, life.moisture, life.temperature_c);
    for _ in 0..steps_of(life, step_hours) {
        march.step(&life.nuts, life.inlet, life.air_per_h, step_hours);
    }
    march
}

/// The same cells and short steps: both schemes are of first order in the step. Measured, largest of all
/// layers: 4.3e-5 of moisture and 0.003 K at 0.02 h, half of that at 0.01 h, a quarter at 0.005 h, so
/// they have one limit. Tolerance: 1.5 times the measured.
#[test]
fn with_short_steps_every_layer_agrees_with_the_explicit_march() {
    for life in lives() {
        let bed = bed_after(&life, 20, 0.02);
        let march = march_after(&life, 20, 0.005);
        for (place, layer) in bed.layers().iter().enumerate() {
            assert_abs_diff_eq!(layer.moisture, march.moisture[place], epsilon = 6.5e-5);
            assert_abs_diff_eq!(layer.temperature_c, march.temperature_c[place], epsilon = 4.5e-3);
        }
    }
}

/// The bed as it is run by default, 12 layers and steps of 1 h, against 60 cells and 14 s: the water
/// that moved is within 0.2 %. Measured: 0.08, 0.09 and 0.03 % for the three lives.
#[test]
fn the_default_bed_moves_the_water_of_the_finest_march() {
    for life in lives() {
        let bed = bed_after(&life, 12, 1.0);
        let march = march_after(&life, 60, 0.004);
        let moved = life.moisture - march.mean_moisture();
        let miss = (bed.mean_moisture() - march.mean_moisture()) / moved;
        assert!(miss.abs() < 0.002, "{miss} of {moved}");
    }
}

/// Hours to a mean moisture of 0.12, interpolated within the last step.
fn hours_to_dry(life: &Life, layers: usize, step_hours: f64) -> f64 {
    let mut bed = Bed::new(layers, 1.0, life.moisture, life.temperature_c);
    let mut hours = 0.0;
    loop {
        let before = bed.mean_moisture();
        let blown = life.air_per_h * step_hours;
        bed.try_step(&life.nuts, life.inlet, blown, SEA_LEVEL_PA, step_hours);
        bed.accept();
        let after = bed.mean_moisture();
        if after <= 0.12 {
            return hours + step_hours * (before - 0.12) / (before - after);
        }
        hours += step_hours;
    }
}

/// Refining step and layers together brings the drying time to a limit: each halving changes it by about half
/// of what the one before did, since the step is of first order, and the first by less than 0.1 %. Measured,
/// first life above, hours to a mean moisture of 0.12:
///
/// | layers | step, h | hours | change |
/// |-------:|--------:|------:|-------:|
/// | 12 | 1 | 40.104 | |
/// | 12 | 0.5 | 40.113 | +0.02 % |
/// | 24 | 1 | 40.120 | +0.04 % |
/// | 24 | 0.5 | 40.132 | +0.07 % |
/// | 48 | 0.25 | 40.147 | +0.04 % |
/// | 96 | 0.125 | 40.154 | +0.02 % |
/// | 192 | 0.0625 | 40.158 | +0.01 % |
///
/// The limit is near 40.16 h: 12 layers dry 0.14 % too fast there.
#[test]
fn halving_the_step_and_doubling_the_layers_converges() {
    let [life, ..] = lives();
    let times: Vec<f64> = (0..4).map(|halving| hours_to_dry(&life, 12 << halving, 0.5_f64.powi(halving))).collect();
    let changes: Vec<f64> = times.windows(2).map(|pair| (pair[1] / pair[0] - 1.0).abs()).collect();
    assert!(changes[0] < 0.001, "{changes:?}");
    for pair in changes.windows(2) {
        assert!((0.4..0.6).contains(&(pair[1] / pair[0])), "{changes:?}");
    }
}
