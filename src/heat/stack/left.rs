//! What one room leaves of a stack for the next room in the same step.

use super::super::Conditions;
use super::Stack;

/// A share of a source below this is nothing.
const NOTHING: f64 = 1e-9;

impl Stack {
    /// The stack as it is left for another room in the same step, while it gives `heat_kw` under these
    /// conditions. Of each source the share of its heat that is not taken is left, and runs on without a
    /// least load, since the source runs already; its own supply is less by what it burns, and what a heat store holds by what it gives. An exchanger
    /// stands in each room's own air, and is held to its capacity over all rooms.
    #[must_use]
    pub fn left_beside(&self, heat_kw: f64, now: &Conditions, hours: f64) -> Self {
        let mut left = self.clone();
        for part in self.parts(heat_kw, now, hours) {
            if part.heat_kw <= 0.0 {
                continue;
            }
            let source = &mut left.sources[part.source];
            let used_kw = super::used_kw(source, &source.draw(part.heat_kw, &part.now));
            left.fuel_left_kwh[part.source] -= used_kw * hours;
            if source.kind.says().uses_exhaust() {
                source.capacity_kw = (source.capacity_kw - part.heat_kw).max(0.0);
                continue;
            }
            let most_kw = source.most_kw(&part.now, f64::INFINITY, hours);
            let share = (1.0 - part.heat_kw / most_kw).clamp(0.0, 1.0);
            source.minimum_load = 0.0;
            if share > NOTHING {
                source.leave_share(share);
            } else {
                source.capacity_kw = 0.0;
            }
        }
        left
    }

    /// True if it is all one to the stack which room its heat goes to, so that rooms may be served together:
    /// no source brings or takes water, warms a room's own intake, lives on the condensers' water, may be too
    /// cool for a room's air, or serves one room alone.
    pub fn serves_rooms_alike(&self) -> bool {
        self.sources.iter().all(|source| {
            !source.moves_water()
                && !source.is_passive()
                && !source.lifts_condenser_heat()
                && source.supply_max_c.is_none()
                && source.room.is_none()
        })
    }

    /// Own supplies stand where a stack left beside this one, since called on, has brought them.
    pub fn take_over_supplies(&mut self, from: &Self) {
        self.fuel_left_kwh.clone_from(&from.fuel_left_kwh);
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Dispatch, Stack};
    use crate::heat::{Biomass, Conditions, Kind, Resistance, Source};

    fn stack() -> Stack {
        let shell = Kind::Biomass(Biomass {
            carrier: "shell".into(),
            efficiency: 0.5,
            electricity_share: 0.0,
            own_supply_kwh: Some(100.0),
        });
        let sources = vec![
            Source { minimum_load: 0.5, ..Source::new("shell", 30.0, shell) },
            Source::new("heaters", 20.0, Kind::Resistance(Resistance)),
        ];
        Stack::new(sources, Dispatch::Ordered)
    }

    #[test]
    fn rooms_are_alike_to_heaters_but_not_to_a_source_that_is_cool() {
        let mut stack = stack();
        assert!(stack.serves_rooms_alike());
        stack.sources[1].supply_max_c = Some(45.0);
        assert!(!stack.serves_rooms_alike());
    }

    #[test]
    fn a_source_of_one_room_gives_another_nothing() {
        let mut stack = stack();
        stack.sources[0].room = Some(1);
        let most_in = |room| stack.most_kw(&Conditions { room, ..Conditions::default() }, 1.0);
        assert_eq!((most_in(0), most_in(1), most_in(2)), (20.0, 50.0, 20.0));
        assert!(!stack.serves_rooms_alike());
    }

    #[test]
    fn two_rooms_get_no_more_than_the_stack_has_and_burn_one_supply() {
        let now = Conditions::default();
        let mut first = stack();
        let mut second = first.left_beside(24.0, &now, 1.0);
        assert_eq!(second.most_kw(&now, 1.0), 26.0);
        first.give(24.0, &now, 1.0);
        // 6 kW of the shell burner, below its least load, and 4 kW of the heaters.
        let given = second.give(10.0, &now, 1.0);
        let heat: Vec<f64> = given.iter().map(|given| given.draw.heat_kw).collect();
        assert!((heat[0] - 6.0).abs() < 1e-9 && (heat[1] - 4.0).abs() < 1e-9);
        first.take_over_supplies(&second);
        // 60 of 100 kWh are burnt: 20 kWh of heat are left.
        assert!((first.most_kw(&now, 1.0) - 40.0).abs() < 1e-9);
    }
}
