//! A compressor described by ten-coefficient polynomials.

use super::duty::Duty;

/// Coefficients of 1, S, D, S², SD, D², S³, DS², SD², D³, with S the suction and D the discharge dew
/// point, °C: the form of AHRI 540 (its coefficients, in the order C1 to C10).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TenCoefficients(pub [f64; 10]);

impl TenCoefficients {
    /// The polynomial at suction dew point `s` and discharge dew point `d`, °C.
    pub fn at(&self, s: f64, d: f64) -> f64 {
        let c = &self.0;
        c[0] + c[1] * s
            + c[2] * d
            + c[3] * s * s
            + c[4] * s * d
            + c[5] * d * d
            + c[6] * s * s * s
            + c[7] * d * s * s
            + c[8] * s * d * d
            + c[9] * d * d * d
    }
}

/// A compressor with the coils it works between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compressor {
    /// Cooling, kW.
    pub capacity_kw: TenCoefficients,
    /// Power of the compressor, kW.
    pub power_kw: TenCoefficients,
    /// Suction dew point below the store's air, K.
    pub evaporating_below_store_k: f64,
    /// Discharge dew point above the air that enters the condenser, K.
    pub condensing_above_air_k: f64,
    /// Lowest discharge dew point that head-pressure control lets it reach, °C.
    pub condensing_min_c: f64,
    /// Electricity of the condenser's fan, kW.
    pub fan_kw: f64,
}

impl Compressor {
    /// A compressor so many times as large between the same temperatures.
    pub(super) fn times(&self, factor: f64) -> Self {
        let grown = |of: TenCoefficients| TenCoefficients(of.0.map(|c| c * factor));
        Self {
            capacity_kw: grown(self.capacity_kw),
            power_kw: grown(self.power_kw),
            fan_kw: self.fan_kw * factor,
            ..*self
        }
    }

    pub(super) fn duty(&self, condenser_air_c: f64, store_air_c: f64) -> Duty {
        let s = store_air_c - self.evaporating_below_store_k;
        let d = (condenser_air_c + self.condensing_above_air_k).max(self.condensing_min_c);
        let capacity_kw = self.capacity_kw.at(s, d).max(0.0);
        let power_kw = self.power_kw.at(s, d).max(0.0) + self.fan_kw;
        Duty { capacity_kw: if power_kw > 0.0 { capacity_kw } else { 0.0 }, power_kw }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each coefficient meets its own term and no other.
    #[test]
    fn the_terms_stand_in_the_standards_order() {
        let (s, d) = (3.0, 40.0_f64);
        let terms = [1.0, s, d, s * s, s * d, d * d, s.powi(3), d * s * s, s * d * d, d.powi(3)];
        for (at, term) in terms.into_iter().enumerate() {
            let mut coefficients = [0.0; 10];
            coefficients[at] = 1.0;
            assert_eq!(TenCoefficients(coefficients).at(s, d), term);
        }
    }
}
