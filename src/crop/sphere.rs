//! Diffusion out of a sphere whose surface is at equilibrium (Crank, *The Mathematics of Diffusion*,
//! 2nd ed. 1975, eq. 6.20 and 6.22; from memory, not verified): the share MR still to go after a
//! Fourier number Fo = D t/r².
//!
//! Two forms of one solution are used where each is exact to 3e-9: MR = 1 - 6 √(Fo/π) + 3 Fo for
//! Fo < 0.06, and MR = (6/π²) Σ uⁿ²/n² with u = exp(-π² Fo) and six terms beyond. Written in u the
//! series is a polynomial, so going on from a known MR costs one exponential.

use std::f64::consts::PI;

/// Fourier number where the short-time form hands over to the series.
const HANDOVER: f64 = 0.06;

/// Share of the way still to go at this Fourier number (0 or more).
pub fn moisture_ratio_of_sphere(fourier: f64) -> f64 {
    if fourier < HANDOVER {
        1.0 - 6.0 * (fourier / PI).sqrt() + 3.0 * fourier
    } else {
        6.0 / (PI * PI) * series((-PI * PI * fourier).exp()).0
    }
}

/// Fourier number at which this share (0 to 1, not 0) is still to go.
pub fn fourier_of_sphere(moisture_ratio: f64) -> f64 {
    let slope = 6.0 / PI.sqrt();
    let at_handover = 1.0 - slope * HANDOVER.sqrt() + 3.0 * HANDOVER;
    if moisture_ratio >= at_handover {
        let root = (slope * slope - 12.0 * (1.0 - moisture_ratio)).sqrt();
        let s = (2.0 * (1.0 - moisture_ratio) / (slope + root)).max(0.0);
        return s * s;
    }
    // The polynomial is convex and rises: Newton from the right of the root descends onto it.
    let target = moisture_ratio * PI * PI / 6.0;
    let mut u = target;
    for _ in 0..20 {
        let (value, derivative) = series(u);
        let step = (value - target) / derivative;
        u -= step;
        if step.abs() <= 1e-15 * u {
            break;
        }
    }
    -u.ln() / (PI * PI)
}

/// Σ uⁿ²/n² over six terms, and its derivative.
#[inline]
fn series(u: f64) -> (f64, f64) {
    let u3 = u * u * u;
    let u8 = u3 * u3 * u * u;
    let u15 = u8 * u3 * u3 * u;
    let u24 = u8 * u8 * u8;
    let u35 = u24 * u8 * u3;
    let value = u * (1.0 + u3 / 4.0 + u8 / 9.0 + u15 / 16.0 + u24 / 25.0 + u35 / 36.0);
    (value, 1.0 + u3 + u8 + u15 + u24 + u35)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_forms_meet() {
        let short = moisture_ratio_of_sphere(HANDOVER - 1e-12);
        let long = moisture_ratio_of_sphere(HANDOVER);
        assert!((short - long).abs() < 1e-8, "{short} {long}");
    }

    #[test]
    fn the_inverse_inverts() {
        for fo in [0.0, 1e-6, 0.01, 0.059, 0.061, 0.1, 0.3, 1.0, 5.0] {
            let back = fourier_of_sphere(moisture_ratio_of_sphere(fo));
            assert!((back - fo).abs() < 1e-7 * (1.0 + fo), "{fo} came back as {back}");
        }
    }
}
