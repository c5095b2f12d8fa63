//! Fans that blow into a plenum from which branches take their air: where the fans' curve meets what the
//! branches resist.

use super::{FanCurve, QuadraticResistance};
use crate::solve::rising_root;

/// Flows and pressures are met to this share.
const TOLERANCE: f64 = 1e-10;

/// A way out of a plenum whose pressure drop, zero without flow, rises with it.
pub trait Branch {
    /// Pressure drop, Pa, at a flow, m³/s.
    fn pressure_drop_pa(&self, flow_m3_per_s: f64) -> f64;
}

/// Whether fans work within the curve that is known of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// On the curve.
    OnCurve,
    /// The branches take less air than the last point of the curve moves: a damper is taken to hold the
    /// fan at that point, since what comes after it is not known.
    Throttled,
    /// The branches resist more than the fan's peak: it stalls.
    Stalled,
}

/// Where fans and branches meet.
#[derive(Clone, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Share of full speed.
    pub speed: f64,
    /// Air of all fans together, m³/s: the sum of the branches'.
    pub flow_m3_per_s: f64,
    /// Total pressure of the fans, Pa.
    pub fan_pa: f64,
    /// Pressure in the plenum, Pa.
    pub plenum_pa: f64,
    /// Shaft power of all fans together, kW.
    pub shaft_kw: f64,
    /// Within the curve or not.
    pub standing: Standing,
    /// Air of each branch, m³/s.
    pub branches_m3_per_s: Vec<f64>,
}

/// Fans, what lies between them and the plenum, and the plenum's open branches.
#[derive(Clone, Copy, Debug)]
pub struct Plenum<'a, B> {
    /// All fans together at full speed.
    pub fans: &'a FanCurve,
    /// Heater and main duct, which all the air passes.
    pub main_duct: QuadraticResistance,
    /// What takes the air; closed branches are not among them.
    pub branches: &'a [B],
}

impl<B: Branch> Plenum<'_, B> {
    /// The operating point at a share of full speed (above 0 to 1). There must be a branch.
    ///
    /// Sought is the pressure in the plenum at which the branches take what the fans give against it and
    /// the main duct. By the fan laws a fan at the share n of its speed gives n² p(q/n).
    pub fn at_speed(&self, speed: f64) -> OperatingPoint {
        let gives = |flow: f64| speed * speed * self.fans.pressure_pa(flow / speed);
        let most_flow = speed * self.fans.most_flow_m3_per_s();
        let left_at_most = gives(most_flow) - self.main_duct.pressure_drop_pa(most_flow);
        if left_at_most > 0.0 && self.flow_at(left_at_most, 2.0 * most_flow) > most_flow {
            let plenum_pa = self.pressure_for(most_flow);
            return self.point(speed, plenum_pa, Standing::Throttled);
        }
        let peak_pa = gives(0.0);
        let guess = 0.5 * peak_pa;
        let root = rising_root(guess, 2.0, (0.0, peak_pa), TOLERANCE * peak_pa, |plenum_pa| {
            let flow = self.flow_at(plenum_pa, most_flow);
            plenum_pa + self.main_duct.pressure_drop_pa(flow) - gives(flow)
        });
        self.point(speed, root.x, Standing::OnCurve)
    }

    /// The operating point of fans whose speed holds `asked` m³/s (above 0), as far as speeds from
    /// `least_speed` to full can: slower fans are not, and full speed is all there is.
    ///
    /// By the fan laws, points of different speeds are alike where pressure goes with the square of the
    /// flow; the one on the full speed's curve tells the speed.
    pub fn holding(&self, asked_m3_per_s: f64, least_speed: f64) -> OperatingPoint {
        let asked = asked_m3_per_s;
        let plenum_pa = self.pressure_for(asked);
        let system_pa = plenum_pa + self.main_duct.pressure_drop_pa(asked);
        let most_flow = self.fans.most_flow_m3_per_s();
        let scale = asked * asked * self.fans.pressure_pa(0.0);
        let guess = asked.min(most_flow);
        let slope = scale / most_flow;
        let alike = rising_root(guess, slope, (0.0, most_flow), TOLERANCE * scale, |flow| {
            system_pa * flow * flow - asked * asked * self.fans.pressure_pa(flow)
        });
        let speed = asked / alike.x;
        if !(least_speed..=1.0).contains(&speed) {
            return self.at_speed(speed.clamp(least_speed, 1.0));
        }
        let gives = speed * speed * self.fans.pressure_pa(alike.x);
        let is_throttled = gives > system_pa * (1.0 + 1e-6);
        let standing = if is_throttled { Standing::Throttled } else { Standing::OnCurve };
        self.point(speed, plenum_pa, standing)
    }

    fn point(&self, speed: f64, plenum_pa: f64, standing: Standing) -> OperatingPoint {
        let most_flow = self.fans.most_flow_m3_per_s();
        let branches_m3_per_s = self.branch_flows(plenum_pa, most_flow).collect::<Vec<_>>();
        let flow = branches_m3_per_s.iter().sum::<f64>();
        let at_full_speed = flow / speed;
        let stalls = at_full_speed < self.fans.least_flow_m3_per_s() * (1.0 - 1e-9);
        OperatingPoint {
            speed,
            flow_m3_per_s: flow,
            fan_pa: speed * speed * self.fans.pressure_pa(at_full_speed),
            plenum_pa,
            shaft_kw: speed.powi(3) * self.fans.shaft_kw(at_full_speed),
            standing: if stalls { Standing::Stalled } else { standing },
            branches_m3_per_s,
        }
    }

    /// Air of each branch at a pressure in the plenum, none above `most`.
    fn branch_flows(&self, plenum_pa: f64, most: f64) -> impl Iterator<Item = f64> {
        self.branches.iter().map(move |branch| {
            let slope = branch.pressure_drop_pa(most) / most;
            rising_root(plenum_pa / slope, slope, (0.0, most), TOLERANCE * plenum_pa, |flow| {
                branch.pressure_drop_pa(flow) - plenum_pa
            })
            .x
        })
    }

    /// Air of all branches at a pressure in the plenum.
    fn flow_at(&self, plenum_pa: f64, most: f64) -> f64 {
        self.branch_flows(plenum_pa, most).sum()
    }

    /// Pressure in the plenum at which all branches together take so much air.
    fn pressure_for(&self, flow: f64) -> f64 {
        if let [only] = self.branches {
            return only.pressure_drop_pa(flow);
        }
        // One branch alone would need more than all together do.
        let high = self.branches.iter().map(|branch| branch.pressure_drop_pa(flow)).fold(0.0, f64::max);
        let slope = flow / high;
        rising_root(0.1 * high, slope, (0.0, high), TOLERANCE * flow, |pa| self.flow_at(pa, flow) - flow).x
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::airflow::CurvePoint;
    use approx::assert_relative_eq;

    impl Branch for QuadraticResistance {
        fn pressure_drop_pa(&self, flow_m3_per_s: f64) -> f64 {
            self.pressure_drop_pa(flow_m3_per_s)
        }
    }

    /// 400 Pa s²/m⁶.
    fn duct() -> QuadraticResistance {
        QuadraticResistance::from_point(400.0, 1.0).unwrap()
    }

    fn steep() -> FanCurve {
        let point = |flow_m3_per_s, pressure_pa| CurvePoint { flow_m3_per_s, pressure_pa, efficiency: 0.6 };
        FanCurve::through(vec![point(0.5, 800.0), point(1.5, 300.0)]).unwrap()
    }

    fn plenum<'a>(fans: &'a FanCurve, branches: &'a [QuadraticResistance]) -> Plenum<'a, QuadraticResistance> {
        Plenum { fans, main_duct: QuadraticResistance::NONE, branches }
    }

    /// A parabola of 900 Pa and 1.5 m³/s is 900 - 400 q²; it meets 400 q² at 450 Pa and √1.125 m³/s, by hand.
    #[test]
    fn the_operating_point_is_where_the_parabolas_cross() {
        let fans = FanCurve::parabola(900.0, 1.5, 0.6).unwrap();
        let point = plenum(&fans, &[duct()]).at_speed(1.0);
        assert_relative_eq!(point.fan_pa, 450.0, max_relative = 1e-9);
        assert_relative_eq!(point.flow_m3_per_s, 1.125f64.sqrt(), max_relative = 1e-9);
        assert_eq!(point.standing, Standing::OnCurve);
        let ducts = [duct()];
        // With a main duct of 400 Pa s²/m⁶ besides: 900 = 1200 q², of which the plenum keeps a third.
        let main = Plenum { main_duct: duct(), ..plenum(&fans, &ducts) };
        let point = main.at_speed(1.0);
        assert_relative_eq!(point.flow_m3_per_s, 0.75f64.sqrt(), max_relative = 1e-9);
        assert_relative_eq!(point.plenum_pa, 300.0, max_relative = 1e-9);
        assert_relative_eq!(point.fan_pa, 600.0, max_relative = 1e-9);
    }

    /// On ducts alone every speed meets at a point alike: q, q² and q³ of the full speed's.
    #[test]
    fn on_ducts_the_fan_laws_tell_flow_pressure_and_power_of_any_speed() {
        for fans in [FanCurve::parabola(900.0, 1.5, 0.6).unwrap(), steep()] {
            let ducts = [duct()];
            let plenum = plenum(&fans, &ducts);
            let full = plenum.at_speed(1.0);
            for speed in [0.3, 0.5, 0.8] {
                let slow = plenum.at_speed(speed);
                let law = super::super::affinity(speed);
                assert_relative_eq!(slow.flow_m3_per_s, law.flow * full.flow_m3_per_s, max_relative = 1e-9);
                assert_relative_eq!(slow.fan_pa, law.pressure * full.fan_pa, max_relative = 1e-8);
                assert_relative_eq!(slow.shaft_kw, law.power * full.shaft_kw, max_relative = 1e-8);
                let held = plenum.holding(law.flow * full.flow_m3_per_s, 0.1);
                assert_relative_eq!(held.speed, speed, max_relative = 1e-8);
            }
        }
    }

    #[test]
    fn equal_branches_of_a_plenum_are_one_branch_of_so_much_flow() {
        let one_fan = steep();
        let alone = plenum(&one_fan, &[duct()]).at_speed(1.0);
        for count in [2, 7] {
            let times = count as f64;
            let fans = steep().side_by_side(times);
            let ducts = vec![duct(); count];
            let together = plenum(&fans, &ducts).at_speed(1.0);
            for flow in &together.branches_m3_per_s {
                assert_relative_eq!(*flow, alone.flow_m3_per_s, max_relative = 1e-8);
            }
            assert_relative_eq!(together.shaft_kw, times * alone.shaft_kw, max_relative = 1e-8);
        }
    }

    #[test]
    fn fewer_open_branches_get_more_air_each() {
        let fans = FanCurve::parabola(900.0, 6.0, 0.6).unwrap();
        let mut last = 0.0;
        for open in (1..=6).rev() {
            let ducts = vec![duct(); open];
            let each = plenum(&fans, &ducts).at_speed(1.0).branches_m3_per_s[0];
            assert!(each > last, "{open} open: {each} after {last}");
            last = each;
        }
    }

    #[test]
    fn unlike_branches_share_one_pressure() {
        let fans = FanCurve::parabola(900.0, 4.0, 0.6).unwrap();
        let ducts = [1.0, 2.0, 3.0].map(|at| QuadraticResistance::from_point(500.0, at).unwrap());
        let point = plenum(&fans, &ducts).at_speed(1.0);
        for (duct, flow) in ducts.iter().zip(&point.branches_m3_per_s) {
            let drop = duct.pressure_drop_pa(*flow);
            assert_relative_eq!(drop, point.plenum_pa, max_relative = 1e-8);
        }
    }

    #[test]
    fn speed_stays_between_its_least_and_full() {
        let fans = FanCurve::parabola(900.0, 1.5, 0.6).unwrap();
        let ducts = [duct()];
        let plenum = plenum(&fans, &ducts);
        let full = plenum.at_speed(1.0).flow_m3_per_s;
        let held = plenum.holding(0.7 * full, 0.2);
        assert_relative_eq!(held.flow_m3_per_s, 0.7 * full, max_relative = 1e-9);
        assert_eq!(plenum.holding(1.2 * full, 0.2).speed, 1.0);
        let slowest = plenum.holding(0.1 * full, 0.2);
        assert_eq!(slowest.speed, 0.2);
        assert_relative_eq!(slowest.flow_m3_per_s, 0.2 * full, max_relative = 1e-8);
    }

    #[test]
    fn a_fan_off_its_curve_says_so() {
        let choked = QuadraticResistance::from_point(4000.0, 1.0).unwrap();
        let fans = steep();
        let point = plenum(&fans, &[choked]).at_speed(1.0);
        assert_eq!(point.standing, Standing::Stalled);
        assert_relative_eq!(point.fan_pa, 800.0, max_relative = 1e-9);
        let open = QuadraticResistance::from_point(50.0, 1.0).unwrap();
        let point = plenum(&fans, &[open]).at_speed(1.0);
        assert_eq!(point.standing, Standing::Throttled);
        assert_relative_eq!(point.flow_m3_per_s, 1.5, max_relative = 1e-9);
        assert_relative_eq!(point.fan_pa, 300.0, max_relative = 1e-9);
        assert_relative_eq!(point.plenum_pa, 112.5, max_relative = 1e-9);
        let held = plenum(&fans, &[open]).holding(0.75, 0.2);
        assert_eq!(held.standing, Standing::Throttled);
        assert_relative_eq!(held.speed, 0.5, max_relative = 1e-9);
    }
}
