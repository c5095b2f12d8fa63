//! The air that condensers draw: how warm it is, and what too little of it costs.

use super::cycle::CONDENSING_ABOVE_AIR_K;
use crate::air::CP_DRY_AIR;
use crate::solve::rising_root;

/// What condensers find in an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CondenserAirs {
    /// Outside air, °C.
    pub outside_c: f64,
    /// The drying room's air, °C.
    pub room_c: f64,
    /// Fresh air that the plant draws, kg of dry air per second.
    pub fresh_kg_per_s: f64,
    /// Air that condensers draw by their rating, kg of dry air per second and kW given off; above 0.
    pub rated_kg_per_s_per_kw: f64,
}

/// Air into condensers warms by some 10 K if the study does not say, kg/s per kW.
const USUAL_AIR_KG_PER_S_PER_KW: f64 = 0.1;

impl From<(f64, f64)> for CondenserAirs {
    /// Outside and room air, °C, with as much fresh air as any condenser asks for.
    fn from((outside_c, room_c): (f64, f64)) -> Self {
        Self { outside_c, room_c, fresh_kg_per_s: f64::INFINITY, rated_kg_per_s_per_kw: USUAL_AIR_KG_PER_S_PER_KW }
    }
}

impl CondenserAirs {
    /// Share of its rated air that a condenser in the fresh-air intake draws while it gives off this much
    /// heat: the plant's fresh air, between `least` of the rated air and all of it.
    pub fn share_of_rated(&self, heat_kw: f64, least: f64) -> f64 {
        let rated = heat_kw * self.rated_kg_per_s_per_kw;
        if rated > 0.0 { (self.fresh_kg_per_s / rated).clamp(least, 1.0) } else { 1.0 }
    }

    /// How much warmer rated air would have to be to make a condenser condense as high as it does with
    /// this share (0..1] of its rated air, K.
    ///
    /// A condenser is an exchanger whose one side stays at the condensing temperature: effectiveness
    /// `1 - exp(-NTU)` (any heat-transfer text, for a capacity ratio of zero), NTU = UA over the air's heat
    /// capacity flow. UA follows from the rated air, with which it condenses
    /// [`CONDENSING_ABOVE_AIR_K`] above the air that enters; it is held, which for little air understates the
    /// cost.
    pub fn short_of_air_k(&self, share: f64) -> f64 {
        // Above this the rated condenser would have to be larger than any is.
        const MOST_EFFECTIVE: f64 = 0.95;
        let rise_k = 1.0 / (self.rated_kg_per_s_per_kw * CP_DRY_AIR);
        let rated = (rise_k / CONDENSING_ABOVE_AIR_K).min(MOST_EFFECTIVE);
        let ntu = -(1.0 - rated).ln();
        let effectiveness = 1.0 - (-ntu / share).exp();
        rise_k * (1.0 / (effectiveness * share) - 1.0 / rated)
    }

    /// The least share (0..1] of its rated air with which a condenser is short by no more than this, K; 1
    /// where it may not be short at all.
    pub fn share_short_by(&self, short_k: f64) -> f64 {
        if short_k <= 0.0 {
            return 1.0;
        }
        // By the air's inverse, in which the cost rises; a hundredth of the air is less than any draws.
        let most = 100.0;
        let root = rising_root(1.0 + short_k / 10.0, 10.0, (1.0, most), 1e-9, |inverse| {
            self.short_of_air_k(1.0 / inverse) - short_k
        });
        1.0 / root.x
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn airs(fresh_kg_per_s: f64) -> CondenserAirs {
        CondenserAirs { fresh_kg_per_s, ..CondenserAirs::from((20.0, 38.0)) }
    }

    /// By hand: 0.1 kg/s a kW warms by 9.94 K; 12 K of condensing above the entering air is an
    /// effectiveness of 0.8284, an NTU of 1.761. With half of the air NTU is 3.522, effectiveness 0.9705, and
    /// it condenses 9.94 / (0.9705 x 0.5) = 20.49 K above the entering air: 8.49 K more.
    #[test]
    fn half_of_the_air_costs_what_a_hand_reckons() {
        assert_relative_eq!(airs(1.0).short_of_air_k(0.5), 8.485, max_relative = 1e-3);
        assert!(airs(1.0).short_of_air_k(1.0).abs() < 1e-9);
    }

    #[test]
    fn less_air_costs_more() {
        let mut last = 0.0;
        for tenths in (1..10).rev() {
            let cost = airs(1.0).short_of_air_k(f64::from(tenths) / 10.0);
            assert!(cost > last);
            last = cost;
        }
    }

    #[test]
    fn a_share_is_found_from_what_it_may_cost() {
        for share in [0.2, 0.5, 0.9] {
            let cost = airs(1.0).short_of_air_k(share);
            assert_relative_eq!(airs(1.0).share_short_by(cost), share, max_relative = 1e-6);
        }
        assert_eq!(airs(1.0).share_short_by(0.0), 1.0);
        assert_eq!(airs(1.0).share_short_by(-5.0), 1.0);
        assert!(airs(1.0).share_short_by(1e9) < 0.011);
    }

    #[test]
    fn the_share_lies_between_its_least_and_all() {
        assert_relative_eq!(airs(2.0).share_of_rated(40.0, 0.2), 0.5);
        assert_relative_eq!(airs(0.0).share_of_rated(40.0, 0.2), 0.2);
        assert_relative_eq!(airs(9.0).share_of_rated(40.0, 0.2), 1.0);
        assert_relative_eq!(airs(0.0).share_of_rated(0.0, 0.2), 1.0);
    }
}
