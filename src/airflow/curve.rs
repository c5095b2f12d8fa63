//! The pressure that a fan gives against the air it moves, and the speed it turns at.

use crate::interpolate::Place;

/// Density of the air for which fan curves are drawn, kg/m³ (standard air of fan testing, ISO 5801,
/// from memory, not verified).
pub const STANDARD_AIR_KG_PER_M3: f64 = 1.2;

/// A point of a fan's curve at full speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Air, m³/s.
    pub flow_m3_per_s: f64,
    /// Total pressure, Pa.
    pub pressure_pa: f64,
    /// Total efficiency: air power over shaft power, a fraction.
    pub efficiency: f64,
}

/// The falling part of a fan's curve at full speed, from the most pressure it gives without stalling to
/// the most air for which the curve is known.
///
/// At a share n of full speed the fan laws hold: flow n, pressure n², shaft power n³ of the full speed's,
/// at the same efficiency (ASHRAE Handbook - HVAC Systems and Equipment, chapter on fans, from memory,
/// not verified).
#[derive(Clone, Debug, PartialEq)]
pub struct FanCurve {
    shape: Shape,
}

#[derive(Clone, Debug, PartialEq)]
enum Shape {
    /// Straight lines between points, of rising flow and falling pressure.
    Points(Vec<CurvePoint>),
    /// p = p₀ (1 - (q/q₁)²), of one efficiency throughout.
    Parabola { shut_off_pa: f64, free_delivery_m3_per_s: f64, efficiency: f64 },
}

/// Points that make no fan's curve.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NotACurve {
    /// A curve needs two points.
    #[error("a fan's curve needs two points or more")]
    TooFew,
    /// A number is not finite or has the wrong sign.
    #[error(
        "point {place} of the fan's curve has {what} {found}: give flow and pressure of 0 or more, and an efficiency above 0 and at most 1"
    )]
    Number {
        /// The point, from 1.
        place: usize,
        /// Which of its numbers.
        what: &'static str,
        /// What was given.
        found: f64,
    },
    /// Flow does not rise from a point to the next.
    #[error("flow does not rise from point {place} of the fan's curve to the next: order the points by flow")]
    FlowFalls {
        /// The first of the two, from 1.
        place: usize,
    },
    /// Pressure does not fall from a point to the next.
    #[error(
        "pressure does not fall from point {place} of the fan's curve to the next: that is where the fan stalls, so begin the curve at its peak"
    )]
    PressureRises {
        /// The first of the two, from 1.
        place: usize,
    },
}

impl FanCurve {
    /// A curve through points, of rising flow and falling pressure; between them it is straight. The first
    /// is the fan's peak, where it begins to stall.
    pub fn through(points: Vec<CurvePoint>) -> Result<Self, NotACurve> {
        if points.len() < 2 {
            return Err(NotACurve::TooFew);
        }
        for (at, point) in points.iter().enumerate() {
            let wrong = |what, found| {
                let place = at + 1;
                Err(NotACurve::Number { place, what, found })
            };
            if !(point.flow_m3_per_s >= 0.0 && point.flow_m3_per_s.is_finite()) {
                return wrong("flow", point.flow_m3_per_s);
            }
            if !(point.pressure_pa >= 0.0 && point.pressure_pa.is_finite()) {
                return wrong("pressure", point.pressure_pa);
            }
            if !(point.efficiency > 0.0 && point.efficiency <= 1.0) {
                return wrong("efficiency", point.efficiency);
            }
        }
        for (at, pair) in points.windows(2).enumerate() {
            let place = at + 1;
            if pair[1].flow_m3_per_s <= pair[0].flow_m3_per_s {
                return Err(NotACurve::FlowFalls { place });
            }
            if pair[1].pressure_pa >= pair[0].pressure_pa {
                return Err(NotACurve::PressureRises { place });
            }
        }
        Ok(Self { shape: Shape::Points(points) })
    }

    /// The parabola from shut-off (no air, most pressure) to free delivery (most air, no pressure), of one
    /// efficiency throughout. It has no part that stalls.
    pub fn parabola(shut_off_pa: f64, free_delivery_m3_per_s: f64, efficiency: f64) -> Result<Self, NotACurve> {
        // Two points of a falling curve are asked the same questions.
        Self::through(vec![
            CurvePoint { flow_m3_per_s: 0.0, pressure_pa: shut_off_pa, efficiency },
            CurvePoint { flow_m3_per_s: free_delivery_m3_per_s, pressure_pa: 0.0, efficiency },
        ])?;
        Ok(Self { shape: Shape::Parabola { shut_off_pa, free_delivery_m3_per_s, efficiency } })
    }

    /// Air below which the fan stalls, m³/s; zero where the curve begins at shut-off.
    pub fn least_flow_m3_per_s(&self) -> f64 {
        match &self.shape {
            Shape::Points(points) => points[0].flow_m3_per_s,
            Shape::Parabola { .. } => 0.0,
        }
    }

    /// The most air for which the curve is known, m³/s.
    pub fn most_flow_m3_per_s(&self) -> f64 {
        match &self.shape {
            Shape::Points(points) => points[points.len() - 1].flow_m3_per_s,
            Shape::Parabola { free_delivery_m3_per_s, .. } => *free_delivery_m3_per_s,
        }
    }

    /// Total pressure, Pa, at this flow, m³/s; before the first point the first one's, and after the last
    /// the last one's.
    pub fn pressure_pa(&self, flow_m3_per_s: f64) -> f64 {
        match &self.shape {
            Shape::Points(points) => between(points, flow_m3_per_s, |point| point.pressure_pa),
            Shape::Parabola { shut_off_pa, free_delivery_m3_per_s, .. } => {
                let share = (flow_m3_per_s / free_delivery_m3_per_s).clamp(0.0, 1.0);
                shut_off_pa * (1.0 - share * share)
            }
        }
    }

    /// Shaft power, kW, at this flow, m³/s: air power over efficiency. A stalled fan is given the shaft
    /// power of the curve's first point (an assumption: curves say nothing of stall).
    pub fn shaft_kw(&self, flow_m3_per_s: f64) -> f64 {
        let flow = flow_m3_per_s.clamp(self.least_flow_m3_per_s(), self.most_flow_m3_per_s());
        let efficiency = match &self.shape {
            Shape::Points(points) => between(points, flow, |point| point.efficiency),
            Shape::Parabola { efficiency, .. } => *efficiency,
        };
        flow * self.pressure_pa(flow) / 1000.0 / efficiency
    }

    /// The largest shaft power on the curve, kW: what its motor is taken to be sized for.
    pub fn most_shaft_kw(&self) -> f64 {
        const LOOKED_AT: u32 = 100;
        let (low, high) = (self.least_flow_m3_per_s(), self.most_flow_m3_per_s());
        (0..=LOOKED_AT)
            .map(|at| low + (high - low) * f64::from(at) / f64::from(LOOKED_AT))
            .map(|flow| self.shaft_kw(flow))
            .fold(0.0, f64::max)
    }

    /// So many equal fans side by side, or one that is so many times as large: flow times `fans` (above
    /// zero) at each pressure.
    #[must_use]
    pub fn side_by_side(mut self, fans: f64) -> Self {
        match &mut self.shape {
            Shape::Points(points) => {
                for point in points {
                    point.flow_m3_per_s *= fans;
                }
            }
            Shape::Parabola { free_delivery_m3_per_s, .. } => *free_delivery_m3_per_s *= fans,
        }
        self
    }

    /// The same fan in air of another density than the curve was drawn for, both kg/m³: pressure and shaft
    /// power go with density, flow and efficiency stay (fan laws, as above).
    #[must_use]
    pub fn in_air(mut self, drawn_for_kg_per_m3: f64, density_kg_per_m3: f64) -> Self {
        let ratio = density_kg_per_m3 / drawn_for_kg_per_m3;
        match &mut self.shape {
            Shape::Points(points) => {
                for point in points {
                    point.pressure_pa *= ratio;
                }
            }
            Shape::Parabola { shut_off_pa, .. } => *shut_off_pa *= ratio,
        }
        self
    }
}

/// What points have at a flow, on straight lines between them; beyond an end the end holds.
fn between(points: &[CurvePoint], flow: f64, of: impl Fn(&CurvePoint) -> f64) -> f64 {
    let flows: Vec<f64> = points.iter().map(|point| point.flow_m3_per_s).collect();
    Place::held(&flows, flow).between(|at| of(&points[at]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn point(flow_m3_per_s: f64, pressure_pa: f64, efficiency: f64) -> CurvePoint {
        CurvePoint { flow_m3_per_s, pressure_pa, efficiency }
    }

    fn curve() -> FanCurve {
        let points = vec![point(0.4, 900.0, 0.50), point(0.8, 700.0, 0.65), point(1.2, 200.0, 0.40)];
        FanCurve::through(points).unwrap()
    }

    #[test]
    fn a_curve_is_straight_between_its_points_and_flat_beyond_them() {
        let curve = curve();
        assert_relative_eq!(curve.pressure_pa(0.6), 800.0, max_relative = 1e-12);
        assert_relative_eq!(curve.pressure_pa(1.0), 450.0, max_relative = 1e-12);
        assert_eq!(curve.pressure_pa(0.1), 900.0);
        assert_eq!(curve.pressure_pa(9.0), 200.0);
        assert_relative_eq!(curve.shaft_kw(0.8), 0.8 * 0.7 / 0.65);
        assert_eq!(curve.shaft_kw(0.1), curve.shaft_kw(0.4));
    }

    #[test]
    fn fans_side_by_side_share_the_air_and_thin_air_takes_less_pressure() {
        let four = curve().side_by_side(4.0);
        assert_relative_eq!(four.pressure_pa(3.2), 700.0);
        assert_relative_eq!(four.shaft_kw(3.2), 4.0 * curve().shaft_kw(0.8));
        let thin = curve().in_air(1.2, 0.9);
        assert_relative_eq!(thin.pressure_pa(0.8), 525.0);
        assert_relative_eq!(thin.shaft_kw(0.8), 0.75 * curve().shaft_kw(0.8));
    }

    #[test]
    fn the_parabola_goes_from_shut_off_to_free_delivery() {
        let curve = FanCurve::parabola(1000.0, 2.0, 0.6).unwrap();
        assert_eq!(curve.pressure_pa(0.0), 1000.0);
        assert_eq!(curve.pressure_pa(1.0), 750.0);
        assert_eq!(curve.pressure_pa(2.0), 0.0);
        // q (1 - (q/2)²) is largest at q = 2/√3.
        let most = 2.0 / 3f64.sqrt() * (2.0 / 3.0) / 0.6;
        assert_relative_eq!(curve.most_shaft_kw(), most, max_relative = 1e-3);
    }

    #[test]
    fn what_is_no_falling_curve_is_refused_with_its_place() {
        let refused = |points: Vec<CurvePoint>| FanCurve::through(points).unwrap_err();
        assert_eq!(refused(vec![point(1.0, 500.0, 0.5)]), NotACurve::TooFew);
        let hump = vec![point(0.0, 600.0, 0.1), point(0.4, 700.0, 0.5), point(1.0, 100.0, 0.4)];
        assert_eq!(refused(hump), NotACurve::PressureRises { place: 1 });
        let back = vec![point(0.5, 600.0, 0.5), point(0.4, 500.0, 0.5)];
        assert_eq!(refused(back), NotACurve::FlowFalls { place: 1 });
        let free = vec![point(0.5, 600.0, 0.5), point(0.6, 500.0, 1.2)];
        assert!(refused(free).to_string().contains("point 2"));
        assert!(FanCurve::parabola(f64::NAN, 2.0, 0.6).is_err());
        assert!(FanCurve::parabola(900.0, 0.0, 0.6).is_err());
    }
}
