//! Saturation of water vapour over ice and over water, and the vapour pressure of moist air.

use super::constants::RATIO_OF_MOLAR_MASSES;
use crate::lanes::{Lanes, any, each};
use std::sync::LazyLock;

/// Range of the saturation equations, °C (Hyland & Wexler 1983: ice -100..0.01, water 0..200).
pub const SATURATION_RANGE_C: (f64, f64) = (-100.0, 200.0);

/// The triple point of water, °C, where the ice and the water equation meet. Changing over at 0 °C
/// instead would leave a step in the curve.
const TRIPLE_POINT_C: f64 = 0.01;

const KELVIN: f64 = 273.15;

/// Saturation pressure of water vapour, Pa, at `t_c` in °C (-100..200), over ice below 0.01 °C.
///
/// Hyland & Wexler (1983); ASHRAE Fundamentals (2017) ch. 1 eq. 5 (ice) and eq. 6 (water).
/// Differs from IAPWS-95 by at most 0.021 % over -20..100 °C. Between the triple point and 100 °C the equation's
/// own Taylor series stand in for it, to rounding: a season asks for it a million times.
#[inline]
pub fn saturation_pressure_pa(t_c: f64) -> f64 {
    let [pressure] = saturation_pressures_pa(&[t_c]);
    pressure
}

/// The same of several, each by itself.
#[inline(always)]
pub(crate) fn saturation_pressures_pa<const N: usize>(t_c: &Lanes<N>) -> Lanes<N> {
    let cells: Lanes<N> = each!(i => t_c[i] - TRIPLE_POINT_C);
    if any!(i => !(cells[i] > 0.0 && cells[i] < CELLS as f64)) {
        return each!(i => pressure_wherever_pa(t_c[i]));
    }
    let table = &*OVER_WATER;
    let places: [usize; N] = std::array::from_fn(|i| place_of(cells[i]));
    let dt: Lanes<N> = each!(i => cells[i] - places[i] as f64 - 0.5);
    let mut sum: Lanes<N> = each!(i => table[places[i]][TERMS - 1]);
    for term in (0..TERMS - 1).rev() {
        sum = each!(i => sum[i] * dt[i] + table[places[i]][term]);
    }
    sum
}

/// Place of a cell, of a number of cells within the table.
#[inline(always)]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within a few hundred
fn place_of(cells: f64) -> usize {
    (cells as usize).min(CELLS - 1)
}

/// Within the table or not.
#[inline(never)]
fn pressure_wherever_pa(t_c: f64) -> f64 {
    let cells = t_c - TRIPLE_POINT_C;
    if cells > 0.0 && cells < CELLS as f64 {
        let [pressure] = saturation_pressures_pa(&[t_c]);
        pressure
    } else {
        ln_saturation_pressure(t_c).exp()
    }
}

/// Kelvins over which the series stand in.
const CELLS: usize = 100;

/// Terms of a Taylor series: the first left out is below 1e-16 of the value half a kelvin away.
const TERMS: usize = 8;

/// The saturation pressure over water as Taylor series, Pa and K, about the middle of every kelvin from the triple
/// point on.
static OVER_WATER: LazyLock<[[f64; TERMS]; CELLS]> =
    LazyLock::new(|| std::array::from_fn(|cell| series_over_water(TRIPLE_POINT_C + cell as f64 + 0.5)));

/// Taylor series of the saturation pressure over water about `t_c`: that of its logarithm term by term, then of the
/// exponential by p' = p (ln p)'.
fn series_over_water(t_c: f64) -> [f64; TERMS] {
    let t = t_c + KELVIN;
    let mut of_ln = [0.0; TERMS];
    for (k, term) in (0_i32..).zip(&mut of_ln).skip(1) {
        let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
        // 1/T and ln T, each over its k-th power.
        *term = -5.8002206e3 * sign / t.powi(k + 1) - 6.5459673 * sign / (f64::from(k) * t.powi(k));
    }
    of_ln[1] += -4.8640239e-2 + t * (2.0 * 4.1764768e-5 - t * 3.0 * 1.4452093e-8);
    of_ln[2] += 4.1764768e-5 - t * 3.0 * 1.4452093e-8;
    of_ln[3] -= 1.4452093e-8;
    let mut series = [0.0; TERMS];
    series[0] = ln_saturation_pressure(t_c).exp();
    for k in 1..TERMS {
        let sum: f64 = (1..=k).map(|j| j as f64 * of_ln[j] * series[k - j]).sum();
        series[k] = sum / k as f64;
    }
    series
}

fn ln_saturation_pressure(t_c: f64) -> f64 {
    let t = t_c + KELVIN;
    if t_c <= TRIPLE_POINT_C {
        -5.6745359e3 / t
            + 6.3925247
            + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.484024e-13)))
            + 4.1635019 * t.ln()
    } else {
        -5.8002206e3 / t + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8)) + 6.5459673 * t.ln()
    }
}

/// d(ln p_s)/dT, 1/K: the exact derivative of the equations above.
#[inline(always)]
pub fn slope_of_ln_saturation(t_c: f64) -> f64 {
    let t = t_c + KELVIN;
    if t_c <= TRIPLE_POINT_C {
        5.6745359e3 / (t * t) - 9.677843e-3
            + t * (2.0 * 6.2215701e-7 + t * (3.0 * 2.0747825e-9 - t * 4.0 * 9.484024e-13))
            + 4.1635019 / t
    } else {
        5.8002206e3 / (t * t) - 4.8640239e-2 + t * (2.0 * 4.1764768e-5 - t * 3.0 * 1.4452093e-8) + 6.5459673 / t
    }
}

/// Temperature, °C, at which vapour of this pressure saturates; `None` for vapour so thin that it
/// would saturate below -100 °C (perfectly dry air has no dew point).
///
/// Newton on ln p_s, kept inside a bracket; converges to 1e-10 K.
pub fn dew_point_of_vapour_c(vapour_pa: f64) -> Option<f64> {
    let (mut low, mut high) = SATURATION_RANGE_C;
    if vapour_pa.is_nan() || vapour_pa < saturation_pressure_pa(low) || vapour_pa > saturation_pressure_pa(high) {
        return None;
    }
    let target = vapour_pa.ln();
    // Magnus form as a first guess only; its constants do not touch the answer.
    let magnus = (vapour_pa / 611.2).ln();
    let mut t = (243.12 * magnus / (17.62 - magnus)).clamp(low, high);
    for _ in 0..100 {
        let miss = ln_saturation_pressure(t) - target;
        if miss > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let newton = t - miss / slope_of_ln_saturation(t);
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        if (next - t).abs() < 1e-10 {
            return Some(next);
        }
        t = next;
    }
    Some(t)
}

/// Humidity ratio, kg/kg, of air at `pressure_pa` whose vapour has the partial pressure `vapour_pa`
/// (ASHRAE Fundamentals 2017 ch. 1 eq. 20). The vapour pressure must be below the total pressure.
#[inline(always)]
pub fn humidity_ratio_of_vapour(vapour_pa: f64, pressure_pa: f64) -> f64 {
    RATIO_OF_MOLAR_MASSES * vapour_pa / (pressure_pa - vapour_pa)
}

/// Partial pressure of the vapour, Pa, in air of this humidity ratio (the same equation, inverted).
#[inline(always)]
pub fn vapour_pressure_pa(humidity_ratio: f64, pressure_pa: f64) -> f64 {
    pressure_pa * humidity_ratio / (RATIO_OF_MOLAR_MASSES + humidity_ratio)
}

/// Humidity ratio at saturation, kg/kg; infinite where the saturation pressure reaches the total
/// pressure, since such air can hold any amount of vapour.
#[inline]
pub fn saturation_humidity_ratio(t_c: f64, pressure_pa: f64) -> f64 {
    let [ratio] = saturation_humidity_ratios(&[t_c], &[pressure_pa]);
    ratio
}

/// The same of several, each by itself.
#[inline(always)]
pub(crate) fn saturation_humidity_ratios<const N: usize>(t_c: &Lanes<N>, pressures_pa: &Lanes<N>) -> Lanes<N> {
    let vapour = saturation_pressures_pa(t_c);
    each!(i => {
        let ratio = humidity_ratio_of_vapour(vapour[i], pressures_pa[i]);
        if vapour[i] >= pressures_pa[i] { f64::INFINITY } else { ratio }
    })
}

/// The same, and its slope with temperature, 1/K. Of water that boils both mean nothing.
pub(super) fn saturation_humidity_ratio_and_slope(t_c: f64, pressure_pa: f64) -> (f64, f64) {
    let vapour = saturation_pressure_pa(t_c);
    if vapour >= pressure_pa {
        return (f64::INFINITY, f64::INFINITY);
    }
    let saturated = humidity_ratio_of_vapour(vapour, pressure_pa);
    (saturated, saturated * slope_of_ln_saturation(t_c) * pressure_pa / (pressure_pa - vapour))
}

/// Pressure of the standard atmosphere, Pa, at an altitude in metres (-500..5500 m).
///
/// p = 101325 (1 - 2.25577e-5 z)^5.2559, ASHRAE Fundamentals (2017) ch. 1 eq. 3.
pub fn standard_pressure_pa(altitude_m: f64) -> f64 {
    101_325.0 * (1.0 - 2.25577e-5 * altitude_m).powf(5.2559)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_curve_has_no_step_at_the_triple_point() {
        let ice = saturation_pressure_pa(TRIPLE_POINT_C);
        let water = saturation_pressure_pa(TRIPLE_POINT_C + 1e-9);
        assert_relative_eq!(ice, water, max_relative = 1e-4);
    }

    /// A cell's ends are where its series is worst. The equation itself rounds to a few 1e-16 of its terms, which
    /// are tens.
    #[test]
    fn the_series_are_the_equation() {
        let mut worst: f64 = 0.0;
        for step in 1..200_001 {
            let t = 0.01 + f64::from(step) * 5e-4;
            let law = ln_saturation_pressure(t).exp();
            worst = worst.max((saturation_pressure_pa(t) / law - 1.0).abs());
        }
        assert!(worst < 3e-14, "{worst}");
        for t in [-60.0, -0.5, 0.0, 0.01, 100.02, 150.0] {
            assert_eq!(saturation_pressure_pa(t), ln_saturation_pressure(t).exp());
        }
        assert!(saturation_pressure_pa(f64::NAN).is_nan());
    }

    #[test]
    fn the_slope_is_the_derivative() {
        for t in [-60.0, -20.0, -1.0, 1.0, 20.0, 60.0, 99.0] {
            let h = 1e-4;
            let numeric = (ln_saturation_pressure(t + h) - ln_saturation_pressure(t - h)) / (2.0 * h);
            assert_relative_eq!(slope_of_ln_saturation(t), numeric, max_relative = 1e-6);
        }
    }

    #[test]
    fn dew_point_inverts_saturation() {
        for t in [-90.0, -60.0, -0.5, 0.0, 0.005, 0.02, 5.0, 40.0, 99.0] {
            let back = dew_point_of_vapour_c(saturation_pressure_pa(t)).unwrap();
            assert!((back - t).abs() < 1e-3, "{t} came back as {back}");
        }
        assert_eq!(dew_point_of_vapour_c(0.0), None);
        assert_eq!(dew_point_of_vapour_c(f64::NAN), None);
    }
}
