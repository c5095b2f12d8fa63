//! Heat as a room asks for it, and whoever gives it.

use crate::air::AirState;

/// What a supply is asked for, and the air that it finds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ask {
    /// Heat lacking at the set temperature, kW: what dampers go by.
    pub need_kw: f64,
    /// Air that the heat goes into: the room's (recirculating), or the heated air before the bins.
    pub air: AirState,
    /// Air that leaves the plant for good.
    pub exhaust: AirState,
    /// Fresh air, kg of dry air per second.
    pub fresh_air_kg_per_s: f64,
}

/// Heat that may come into a room in an hour: the room's balance asks, the option's sources and
/// condensers answer.
pub trait Supply {
    /// Heat that is released in the room whether wanted or not, kW: condensers that stand in it.
    fn unasked_kw(&self, ask: &Ask) -> f64;
    /// The most heat that can be had in all, kW; includes the unasked.
    fn most_kw(&self, ask: &Ask) -> f64;
    /// True if the state of the air that leaves matters to it.
    fn uses_exhaust(&self) -> bool;
    /// True if its answers depend on the heat lacking that it is told of, as those of dampers do.
    fn goes_by_need(&self) -> bool;
    /// True if water may come along with its heat.
    fn moves_water(&self) -> bool;
    /// Water that comes along when it gives this much heat, kg/s: vapour from an open flame; less than
    /// zero where a source condenses water out of the air. Never falls as heat rises but by sources that
    /// condense; none without heat.
    fn water_kg_per_s(&self, heat_kw: f64, ask: &Ask) -> f64;
}
