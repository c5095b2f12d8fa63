//! Ducts, floors, coils and filters: resistance that grows with the square of the flow.

/// A flow path whose pressure drop is proportional to the square of the flow, as of turbulent air in
/// ducts and through perforated floors. The air's density is taken as the design point's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuadraticResistance {
    pa_per_m3_per_s_squared: f64,
}

/// A drop and a flow that make no resistance.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "a pressure drop of {drop_pa} Pa at {flow_m3_per_s} m³/s makes no duct: give a drop of 0 Pa or more at a flow above 0 m³/s"
)]
pub struct NotAResistance {
    drop_pa: f64,
    flow_m3_per_s: f64,
}

impl QuadraticResistance {
    /// No ducts at all.
    pub const NONE: Self = Self { pa_per_m3_per_s_squared: 0.0 };

    /// From the drop (Pa, 0 or more) at a design flow (m³/s, above 0).
    pub fn from_point(drop_pa: f64, flow_m3_per_s: f64) -> Result<Self, NotAResistance> {
        let sane = drop_pa.is_finite() && drop_pa >= 0.0;
        let coefficient = drop_pa / (flow_m3_per_s * flow_m3_per_s);
        if !(sane && flow_m3_per_s > 0.0 && coefficient.is_finite()) {
            return Err(NotAResistance { drop_pa, flow_m3_per_s });
        }
        Ok(Self { pa_per_m3_per_s_squared: coefficient })
    }

    /// Pressure drop, Pa, at this flow, m³/s.
    pub fn pressure_drop_pa(&self, flow_m3_per_s: f64) -> f64 {
        self.pa_per_m3_per_s_squared * flow_m3_per_s * flow_m3_per_s
    }

    /// The same drop at `factor` times (above 0) the flow: a wider duct, or so many side by side.
    #[must_use]
    pub fn for_flow_times(self, factor: f64) -> Self {
        Self { pa_per_m3_per_s_squared: self.pa_per_m3_per_s_squared / (factor * factor) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_the_flow_is_a_quarter_of_the_drop() {
        let duct = QuadraticResistance::from_point(120.0, 4.0).unwrap();
        assert!((duct.pressure_drop_pa(4.0) - 120.0).abs() < 1e-12);
        assert!((duct.pressure_drop_pa(2.0) - 30.0).abs() < 1e-12);
        let wider = duct.for_flow_times(3.0);
        assert!((wider.pressure_drop_pa(12.0) - 120.0).abs() < 1e-12);
    }

    #[test]
    fn nonsense_is_refused() {
        for (drop, flow) in [(-1.0, 1.0), (1.0, 0.0), (f64::NAN, 1.0), (1.0, f64::NAN)] {
            let error = QuadraticResistance::from_point(drop, flow).unwrap_err();
            assert!(error.to_string().contains("makes no duct"));
        }
    }
}
