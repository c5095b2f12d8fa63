//! Constants from drying logs, against logs whose constants are known because they were made with them.
//!
//! The logs are made without the bed model: thin layers by the published curve in closed form, the deep bed
//! by the explicit march of `bed_march`, which shares no search and no scheme with it. Scatter is drawn from
//! a normal distribution by Box and Muller's transform of a fixed sequence, so every run is the same.

use super::bed::{air, newton, pods};
use super::bed_march::March;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use dryledger::air::MoistAir;
use dryledger::crop::ThinLayer;
use dryledger::crop::water::{dry_basis_of_percent, percent_of_dry_basis};
use dryledger::dryer::Nuts;
use dryledger::dryer::log::{
    AirReading, Doubt, DriedBed, DryingLog, Estimate, Fit, FitError, IsothermPart, Sample, fit, holding,
};

const SEA_LEVEL_PA: f64 = 101_325.0;

/// Normal numbers of mean 0 and variance 1.
struct Scatter(u64);

impl Scatter {
    /// Uniform in 0..1, never 0: Steele, Lea & Flood's SplitMix64 (2014), its constants from memory; its
    /// moments are tested below.
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / 9_007_199_254_740_992.0 + f64::EPSILON
    }

    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.uniform().min(1.0).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }
}

#[test]
fn the_scatter_is_normal() {
    let mut scatter = Scatter(7);
    let drawn: Vec<f64> = (0..20_000).map(|_| scatter.normal()).collect();
    let moment = |power: i32| drawn.iter().map(|x| x.powi(power)).sum::<f64>() / 20_000.0;
    // three standard errors of each moment
    assert_abs_diff_eq!(moment(1), 0.0, epsilon = 0.021);
    assert_abs_diff_eq!(moment(2), 1.0, epsilon = 0.03);
    assert_abs_diff_eq!(moment(4), 3.0, epsilon = 0.21);
}

fn moist(dry_bulb_c: f64, relative_humidity: f64) -> MoistAir {
    MoistAir::from_relative_humidity(dry_bulb_c, relative_humidity, SEA_LEVEL_PA).expect("air in range")
}

fn steady(dry_bulb_c: f64, relative_humidity: f64) -> Vec<AirReading> {
    vec![AirReading { hours: 0.0, air: moist(dry_bulb_c, relative_humidity) }]
}

/// A thin layer from 22 % w.b. by the law in closed form, a sample every four hours, with this scatter
/// (points w.b.).
fn thin_log(nuts: &Nuts, air: (f64, f64), samples: u32, sd: f64, scatter: &mut Scatter) -> DryingLog {
    let start = dry_basis_of_percent(22.0);
    let equilibrium = nuts.isotherm.equilibrium_moisture(air.0, air.1);
    let samples = (0..samples)
        .map(|at| {
            let hours = f64::from(at) * 4.0;
            let true_db = nuts.thin_layer.moisture_after(start, start, equilibrium, air.0, hours);
            let seen = percent_of_dry_basis(true_db) + sd * scatter.normal();
            Sample { hours, moisture: dry_basis_of_percent(seen) }
        })
        .collect();
    DryingLog::new(samples, steady(air.0, air.1), None).expect("a log")
}

fn holds(interval: &Estimate, truth: f64) -> bool {
    interval.low <= truth && truth <= interval.high
}

/// The nuts as the fit is given them: right but for the rate.
fn guessed(true_nuts: &Nuts) -> Nuts {
    Nuts { thin_layer: newton(0.3), ..*true_nuts }
}

fn fitted(nuts: &Nuts, logs: &[DryingLog]) -> Fit {
    fit(nuts, logs, IsothermPart::Given).expect("a fit")
}

/// Without scatter the rate comes back to 0.1 %, whichever the law.
#[test]
fn a_log_without_scatter_gives_its_rate_back() {
    let laws = [
        newton(0.06),
        ThinLayer::page(0.05, 0.8, 40.0, 30.0),
        ThinLayer::Sphere { rate_per_h: 0.056, reference_c: 40.0, activation_kj_per_mol: 22.5 },
    ];
    for law in laws {
        let nuts = pods(law);
        let log = thin_log(&nuts, (45.0, 0.20), 12, 0.0, &mut Scatter(1));
        let mut guess = nuts;
        let (ThinLayer::Newton { rate_per_h, .. }
        | ThinLayer::Page { rate_per_h, .. }
        | ThinLayer::Sphere { rate_per_h, .. }) = &mut guess.thin_layer;
        *rate_per_h *= 7.0;
        let found = fitted(&guess, &[log]);
        assert_eq!(found.reference_c, 45.0);
        let truth = law.rate_per_h(45.0);
        assert_relative_eq!(found.rate_per_h.value, truth, max_relative = 1e-3);
        assert_abs_diff_eq!(found.start_pct[0].value, 22.0, epsilon = 1e-3);
        assert!(found.residual_sd_points < 1e-3 && found.r_squared > 0.999_99);
    }
}

/// Of 200 logs of twelve samples with 0.5 points of scatter, the 95 % interval must hold the true rate in
/// 91..99 %: 95 % and 2.6 times its standard error (1.5 %).
#[test]
fn the_interval_holds_the_true_rate_as_often_as_it_says() {
    let nuts = pods(newton(0.06));
    let truth = nuts.thin_layer.rate_per_h(45.0);
    let (mut rate_held, mut start_held) = (0, 0);
    for seed in 0..200 {
        let log = thin_log(&nuts, (45.0, 0.20), 12, 0.5, &mut Scatter(seed));
        let found = fitted(&guessed(&nuts), &[log]);
        rate_held += i32::from(holds(&found.rate_per_h, truth));
        start_held += i32::from(holds(&found.start_pct[0], 22.0));
    }
    assert!((182..=198).contains(&rate_held), "rate: {rate_held} of 200");
    assert!((182..=198).contains(&start_held), "start: {start_held} of 200");
}

/// The same for the activation energy, from two batches at 35 and 50 °C. Half the batches would be told
/// as too vague if the scatter were large; here it is 0.3 points.
#[test]
fn two_temperatures_give_the_activation_energy_and_an_honest_interval() {
    let nuts = pods(newton(0.06));
    let mut guess = guessed(&nuts);
    if let ThinLayer::Newton { activation_kj_per_mol, .. } = &mut guess.thin_layer {
        *activation_kj_per_mol = 55.0;
    }
    let logs = |scatter: &mut Scatter, sd: f64| {
        [thin_log(&nuts, (35.0, 0.30), 14, sd, scatter), thin_log(&nuts, (50.0, 0.15), 14, sd, scatter)]
    };
    let exact = fitted(&guess, &logs(&mut Scatter(0), 0.0));
    let activation = exact.activation_kj_per_mol.expect("two temperatures");
    assert_relative_eq!(activation.value, 30.0, max_relative = 1e-2);
    let (mut held, mut told) = (0, 0);
    for seed in 0..200 {
        let found = fitted(&guess, &logs(&mut Scatter(1_000 + seed), 0.3));
        if let Some(activation) = found.activation_kj_per_mol {
            told += 1;
            held += i32::from(holds(&activation, 30.0));
        }
    }
    assert_eq!(told, 200);
    assert!((182..=198).contains(&held), "{held} of 200");
}

#[test]
fn one_temperature_keeps_the_activation_energy_and_says_so() {
    let nuts = pods(newton(0.06));
    let log = thin_log(&nuts, (45.0, 0.20), 12, 0.2, &mut Scatter(3));
    let found = fitted(&guessed(&nuts), &[log]);
    assert_eq!(found.activation_kj_per_mol, None);
    assert_eq!(found.activation_in_use_kj_per_mol(), 30.0);
    assert!(matches!(
        found.doubts[0],
        Doubt::OneTemperature { spread_k } if spread_k < 0.1
    ));
}

/// Air that comes in as days and nights make it: 32..44 °C, 0.10 m³/s a tonne.
fn day_and_night(hours: f64) -> (f64, f64) {
    let wave = (std::f64::consts::TAU * hours / 24.0).sin();
    (38.0 + 6.0 * wave, 0.25 - 0.05 * wave)
}

/// A bed of 24 cells marched explicitly in steps of 36 s.
fn deep_log(nuts: &Nuts, layers: usize, sd: f64, scatter: &mut Scatter) -> DryingLog {
    let start = dry_basis_of_percent(22.0);
    let bed = DriedBed { airflow_m3_per_s_per_tonne: 0.10, layers, nuts_c: 20.0 };
    let mut march = March::new(24, start, bed.nuts_c);
    let mut samples = Vec::new();
    let per_hour = 100;
    for step in 0..=96 * per_hour {
        let hours = f64::from(step) / f64::from(per_hour);
        if step % (8 * per_hour) == 0 {
            let seen = percent_of_dry_basis(march.mean_moisture()) + sd * scatter.normal();
            samples.push(Sample { hours, moisture: dry_basis_of_percent(seen) });
        }
        let (c, rh) = day_and_night(hours);
        let volume = moist(c, rh).specific_volume_m3_per_kg();
        // m³/s a tonne of nuts at the start into kg of air an hour and kg of dry matter
        let air_per_h = bed.airflow_m3_per_s_per_tonne * 3600.0 / volume / (1000.0 / (1.0 + start));
        march.step(nuts, air(c, rh), air_per_h, 1.0 / f64::from(per_hour));
    }
    let readings = (0..=96)
        .map(|hour| {
            let hours = f64::from(hour);
            let (c, rh) = day_and_night(hours);
            AirReading { hours, air: moist(c, rh) }
        })
        .collect();
    DryingLog::new(samples, readings, Some(bed)).expect("a log")
}

/// Through a deep bed in changing air, made by the explicit march. With the march's own 24 layers the rate
/// comes back to 1 % (half-hour steps against 36 s); with the twelve that a room has by default to 3 %, as
/// coarser layers smear the front and the rate makes up for it. A fit that ignored the bed misses by far
/// more, which the last lines check.
#[test]
fn a_deep_bed_in_changing_air_gives_the_rate_of_its_nuts() {
    let nuts = pods(newton(0.05));
    let mut guess = guessed(&nuts);
    if let ThinLayer::Newton { rate_per_h, .. } = &mut guess.thin_layer {
        *rate_per_h = 0.2;
    }
    for (layers, tolerance) in [(24, 0.01), (12, 0.03)] {
        let log = deep_log(&nuts, layers, 0.0, &mut Scatter(0));
        let found = fitted(&guess, &[log]);
        assert!((25.0..37.0).contains(&found.reference_c));
        let truth = nuts.thin_layer.rate_per_h(found.reference_c);
        assert_relative_eq!(found.rate_per_h.value, truth, max_relative = tolerance);
        assert!(found.residual_sd_points < 0.05);
    }
    let log = deep_log(&nuts, 12, 0.0, &mut Scatter(0));
    let as_thin = DryingLog::new(log.samples().to_vec(), steady(38.0, 0.25), None).expect("a log");
    let naive = fitted(&guess, &[as_thin]);
    let truth = nuts.thin_layer.rate_per_h(naive.reference_c);
    assert!(naive.rate_per_h.value < 0.8 * truth, "{:?}", naive.rate_per_h);
    let noisy = fitted(&guess, &[deep_log(&nuts, 24, 0.4, &mut Scatter(5))]);
    let truth = nuts.thin_layer.rate_per_h(noisy.reference_c);
    assert!(holds(&noisy.rate_per_h, truth), "{:?}", noisy.rate_per_h);
}

/// Nuts that hold 15 % more water than the isotherm says: dried to near equilibrium they tell it.
#[test]
fn nuts_that_hold_more_water_are_found_out() {
    let true_nuts = Nuts { isotherm: holding(&pods(newton(0.06)).isotherm, 1.15), ..pods(newton(0.06)) };
    let guess = pods(newton(0.3));
    let log = thin_log(&true_nuts, (45.0, 0.20), 24, 0.1, &mut Scatter(11));
    let found = fit(&guess, std::slice::from_ref(&log), IsothermPart::Sought).expect("a fit");
    let factor = found.isotherm_factor.expect("a factor");
    assert!(holds(&factor, 1.15), "{factor:?}");
    assert!(factor.high - factor.low < 0.1, "{factor:?}");
    let truth = true_nuts.thin_layer.rate_per_h(45.0);
    assert!(holds(&found.rate_per_h, truth));
    // cut off before the end they do not
    let early = DryingLog::new(log.samples()[..4].to_vec(), steady(45.0, 0.20), None).expect("a log");
    let found = fit(&guess, &[early], IsothermPart::Sought).expect("a fit");
    assert_eq!(found.isotherm_factor, None);
    assert!(found.doubts.contains(&Doubt::IsothermNotTold));
}

#[test]
fn odd_samples_are_pointed_at() {
    let nuts = pods(newton(0.06));
    let log = thin_log(&nuts, (45.0, 0.20), 16, 0.0, &mut Scatter(1));
    let mut samples = log.samples().to_vec();
    samples[5].moisture = dry_basis_of_percent(18.0);
    let last = samples.len() - 1;
    samples[last].moisture = dry_basis_of_percent(1.5);
    let odd = DryingLog::new(samples, steady(45.0, 0.20), None).expect("a log");
    let found = fitted(&guessed(&nuts), &[odd]);
    let rising: Vec<usize> = found
        .doubts
        .iter()
        .filter(|doubt| matches!(doubt, Doubt::Rises { .. }))
        .filter_map(Doubt::place)
        .map(|place| place.sample)
        .collect();
    assert_eq!(rising, [5]);
    let below: Vec<usize> = found
        .doubts
        .iter()
        .filter(|doubt| matches!(doubt, Doubt::BelowEquilibrium { .. }))
        .filter_map(Doubt::place)
        .map(|place| place.sample)
        .collect();
    assert_eq!(below, [last]);
}

#[test]
fn nuts_that_do_not_dry_give_no_rate() {
    let samples = |moistures: [f64; 5]| {
        let samples = (0..5)
            .zip(moistures)
            .map(|(at, pct)| Sample { hours: f64::from(at) * 6.0, moisture: dry_basis_of_percent(pct) })
            .collect();
        DryingLog::new(samples, steady(45.0, 0.20), None).expect("a log")
    };
    let nuts = pods(newton(0.06));
    let wetter = fit(&nuts, &[samples([12.0, 13.0, 14.0, 15.0, 16.0])], IsothermPart::Given);
    assert!(matches!(wetter, Err(FitError::NoRate { .. })), "{wetter:?}");
    assert_eq!(fit(&nuts, &[], IsothermPart::Given), Err(FitError::NoLog));
}
