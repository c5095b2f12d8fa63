//! The thermodynamic wet bulb of moist air.

use super::constants::{CP_DRY_AIR, CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO};
use super::saturation::{
    SATURATION_RANGE_C, saturation_humidity_ratio, saturation_humidity_ratio_and_slope, saturation_pressure_pa,
    vapour_pressure_pa,
};

/// The wick: wet with water, or iced over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wick {
    Water,
    Ice,
}

impl Wick {
    /// Water from 0 °C on, ice below (ASHRAE Fundamentals 2017 ch. 1, eqs. 33 and 35).
    fn at(wet_bulb_c: f64) -> Self {
        if wet_bulb_c >= 0.0 { Self::Water } else { Self::Ice }
    }

    /// Heat that a kilogram takes to evaporate, kJ/kg, and its slope, kJ/(kg K): eq. 33 (water), eq. 35
    /// (ice).
    fn evaporation(self, wet_bulb_c: f64) -> (f64, f64) {
        match self {
            Self::Water => (LATENT_AT_ZERO - 2.326 * wet_bulb_c, -2.326),
            Self::Ice => (2830.0 - 0.24 * wet_bulb_c, -0.24),
        }
    }

    /// The same from the air's own vapour, at the dry bulb: the divisor of both equations, and its slope
    /// with the wet bulb.
    fn vapour_evaporation(self, dry_bulb_c: f64, wet_bulb_c: f64) -> (f64, f64) {
        match self {
            Self::Water => (LATENT_AT_ZERO + CP_VAPOUR * dry_bulb_c - CP_LIQUID_WATER * wet_bulb_c, -CP_LIQUID_WATER),
            Self::Ice => (2830.0 + CP_VAPOUR * dry_bulb_c - 2.1 * wet_bulb_c, -2.1),
        }
    }
}

/// Humidity ratio, kg/kg, of air whose thermodynamic wet bulb is `wet_bulb_c`
/// (ASHRAE Fundamentals 2017 ch. 1 eq. 33 over water, eq. 35 over ice).
pub(super) fn humidity_ratio_at_wet_bulb(dry_bulb_c: f64, wet_bulb_c: f64, pressure_pa: f64) -> f64 {
    let wick = Wick::at(wet_bulb_c);
    let saturated = saturation_humidity_ratio(wet_bulb_c, pressure_pa);
    let cooling = CP_DRY_AIR * (dry_bulb_c - wet_bulb_c);
    (wick.evaporation(wet_bulb_c).0 * saturated - cooling) / wick.vapour_evaporation(dry_bulb_c, wet_bulb_c).0
}

/// How far the humidity ratio at a wet bulb is above the air's own, times the divisor of eq. 33 or 35, and
/// the slope of that with the wet bulb: a smooth curve that rises and bends upwards.
fn excess(wick: Wick, dry_bulb_c: f64, humidity_ratio: f64, pressure_pa: f64, t: f64) -> (f64, f64) {
    let (saturated, slope) = saturation_humidity_ratio_and_slope(t, pressure_pa);
    let (evaporation, evaporation_slope) = wick.evaporation(t);
    let (vapour, vapour_slope) = wick.vapour_evaporation(dry_bulb_c, t);
    (
        evaporation * saturated - CP_DRY_AIR * (dry_bulb_c - t) - humidity_ratio * vapour,
        evaporation * slope + evaporation_slope * saturated + CP_DRY_AIR - humidity_ratio * vapour_slope,
    )
}

/// Thermodynamic wet bulb, °C, of air with this dry bulb (°C), humidity ratio (kg/kg, at most saturation)
/// and pressure (Pa), to 1e-9 K: Newton on eq. 35 where ice gives less than 0 °C, and on eq. 33 elsewhere.
///
/// The two equations do not meet at 0 °C: some air has one wet bulb over ice and one over water that
/// satisfy them. Ice is taken then.
pub(super) fn wet_bulb_c(dry_bulb_c: f64, humidity_ratio: f64, pressure_pa: f64) -> f64 {
    let saturated_pa = saturation_pressure_pa(dry_bulb_c);
    let saturation = vapour_pressure_pa(humidity_ratio, pressure_pa) / saturated_pa;
    if saturation >= 1.0 {
        return dry_bulb_c;
    }
    let of = |wick: Wick, t: f64| excess(wick, dry_bulb_c, humidity_ratio, pressure_pa, t);
    let guess_c = first_guess_c(dry_bulb_c, saturation * 100.0);
    if dry_bulb_c < 0.0 || of(Wick::Ice, 0.0).0 > 0.0 {
        newton(guess_c, dry_bulb_c.min(0.0), |t| of(Wick::Ice, t))
    } else {
        newton(guess_c, dry_bulb_c, |t| of(Wick::Water, t))
    }
}

/// Newton steps at most; 2 to 4 are usual.
const MOST_STEPS: usize = 60;
/// A step below this is the last, K. Newton's error after a step is about 0.03 per kelvin times its square
/// (half the curvature of saturation over its slope): here below 1e-11 K.
const LAST_STEP_K: f64 = 1e-5;

/// Where a rising curve crosses zero below `most_c`, kept inside a bracket; `f` gives it and its slope.
fn newton(guess_c: f64, most_c: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let (mut low, mut high) = (SATURATION_RANGE_C.0, most_c);
    let mut t = guess_c.clamp(low, high);
    for _ in 0..MOST_STEPS {
        let (miss, slope) = f(t);
        if miss > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let next = t - miss / slope;
        // Out of the bracket, or no number where water would boil.
        if !(low..=high).contains(&next) {
            t = f64::midpoint(low, high);
            continue;
        }
        let step = (next - t).abs();
        t = next;
        if step < LAST_STEP_K {
            break;
        }
    }
    t
}

/// Wet bulb, °C, to about a kelvin from dry bulb and relative humidity (%): Stull (2011), J. Appl. Meteorol.
/// Climatol. 50:2267-2269, eq. 1, for -20..50 °C and 5..99 % at sea level. A first guess only: its constants
/// do not touch the answer.
fn first_guess_c(dry_bulb_c: f64, rh: f64) -> f64 {
    dry_bulb_c * (0.151977 * (rh + 8.313659).sqrt()).atan() + (dry_bulb_c + rh).atan() - (rh - 1.676331).atan()
        + 0.00391838 * rh * rh.sqrt() * (0.023101 * rh).atan()
        - 4.686035
}

#[cfg(test)]
mod tests {
    use super::super::{DRY_BULB_RANGE_C, MoistAir, PRESSURE_RANGE_PA};
    use super::*;

    /// Every state of a grid over the whole range of this room.
    fn states() -> impl Iterator<Item = MoistAir> {
        let steps = |(low, high): (f64, f64), count: u32| {
            (0..=count).map(move |at| low + (high - low) * f64::from(at) / f64::from(count))
        };
        steps(PRESSURE_RANGE_PA, 6).flat_map(move |pressure_pa| {
            steps(DRY_BULB_RANGE_C, 64).flat_map(move |dry_bulb_c| {
                steps((0.0, 1.0), 20).filter_map(move |humidity| {
                    MoistAir::from_relative_humidity(dry_bulb_c, humidity, pressure_pa).ok()
                })
            })
        })
    }

    /// Halving on the equation itself, from the range's low end or 0 °C to 0 °C or the dry bulb.
    fn by_halving(air: &MoistAir, (mut low, mut high): (f64, f64)) -> f64 {
        for _ in 0..100 {
            let t = f64::midpoint(low, high);
            let there = humidity_ratio_at_wet_bulb(air.dry_bulb_c(), t, air.pressure_pa());
            if there > air.humidity_ratio() { high = t } else { low = t }
        }
        f64::midpoint(low, high)
    }

    #[test]
    fn it_is_where_halving_ends_over_the_whole_range() {
        let mut seen = 0;
        for air in states() {
            let t = air.dry_bulb_c();
            // The last of what is below 0 °C.
            let frozen = -f64::MIN_POSITIVE;
            let at_zero = humidity_ratio_at_wet_bulb(t, frozen, air.pressure_pa());
            let is_ice = t < 0.0 || at_zero > air.humidity_ratio();
            let bracket = if is_ice { (SATURATION_RANGE_C.0, t.min(frozen)) } else { (0.0, t) };
            let (found, halved) = (air.wet_bulb_c(), by_halving(&air, bracket));
            // The saturation curve itself has a step of 1e-4 of its value at the triple point.
            let within = if (halved - 0.01).abs() < 0.01 { 2e-3 } else { 1e-9 };
            assert!((found - halved).abs() < within, "{air:?}: {found} and {halved}");
            seen += 1;
        }
        assert!(seen > 8_000, "{seen}");
    }

    #[test]
    fn a_handful_of_evaluations_are_enough() {
        let mut worst = 0;
        let (mut all, mut states) = (0, 0);
        for humidity in 1_u32..20 {
            for dry_bulb_c in 5_u32..=40 {
                let (t, rh) = (f64::from(dry_bulb_c), f64::from(humidity) / 20.0);
                let air = MoistAir::from_relative_humidity(t, rh, 101_325.0).unwrap();
                let tries = std::cell::Cell::new(0);
                newton(first_guess_c(t, rh * 100.0), t, |wet| {
                    tries.set(tries.get() + 1);
                    excess(Wick::Water, t, air.humidity_ratio(), 101_325.0, wet)
                });
                worst = worst.max(tries.get());
                all += tries.get();
                states += 1;
            }
        }
        assert!(worst <= 5 && all <= states * 7 / 2, "{worst} at most, {all} for {states}");
    }
}
