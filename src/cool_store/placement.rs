//! Where the condensers stand, and with it where their heat goes.

use super::condenser_air::CondenserAirs;
use super::performance::StoreAir;
use super::unit::{CoolingUnits, Running, UnitAir};
use schemars::JsonSchema;
use serde::Serialize;

/// Where the condensers stand, and with it where their heat goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Placement {
    /// Outside: their heat is lost.
    Outdoors,
    /// In the intake of the drying plant's fresh air: outside air cools them and goes on, warmer, into
    /// the plant as far as the plant draws fresh air.
    FreshAir,
    /// In the drying room: room air cools them, and all their heat stays there.
    Room,
    /// Behind a damper, in the drying room while their heat is wanted and outdoors otherwise.
    SwitchedRoom(Changeover),
    /// Behind a damper, in the fresh-air intake while their heat is wanted and outdoors otherwise.
    SwitchedFreshAir(Changeover),
}

/// When a damper turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changeover {
    /// The damper turns towards the drying plant when the heat need of the hour is at least this share
    /// of what the condensers would give off there.
    pub need_share: f64,
}

/// Where the condensers' air comes from, and goes to, in one hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// Outside.
    Outdoors,
    /// The plant's fresh-air intake.
    FreshAir,
    /// The drying room.
    Room,
}

/// A placement without the point at which its damper turns: what it is called.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    /// Outside.
    #[default]
    Outdoors,
    /// In the drying room.
    Room,
    /// In the fresh-air intake.
    FreshAir,
    /// Behind a damper, between the drying room and outside.
    SwitchedRoom,
    /// Behind a damper, between the fresh-air intake and outside.
    SwitchedFreshAir,
}

impl Place {
    /// The same place without its damper.
    pub fn without_damper(self) -> Self {
        match self {
            Self::Outdoors => Self::Outdoors,
            Self::Room | Self::SwitchedRoom => Self::Room,
            Self::FreshAir | Self::SwitchedFreshAir => Self::FreshAir,
        }
    }

    /// True behind a damper.
    pub fn has_damper(self) -> bool {
        matches!(self, Self::SwitchedRoom | Self::SwitchedFreshAir)
    }
}

impl Placement {
    /// What it is called.
    pub fn place(self) -> Place {
        match self {
            Self::Outdoors => Place::Outdoors,
            Self::FreshAir => Place::FreshAir,
            Self::Room => Place::Room,
            Self::SwitchedRoom(_) => Place::SwitchedRoom,
            Self::SwitchedFreshAir(_) => Place::SwitchedFreshAir,
        }
    }

    /// True where their heat can ever be used.
    pub fn recovers(self) -> bool {
        self != Self::Outdoors
    }

    /// True where they may stand in the drying room.
    pub fn may_stand_in_room(self) -> bool {
        matches!(self, Self::Room | Self::SwitchedRoom(_))
    }
}

/// The condensers of an option.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Condensers {
    /// Where they stand.
    pub place: Placement,
    /// How many units' condensers stand there; the others stand outdoors. `None`: all of them.
    pub units: Option<u32>,
    /// Where they stand in the plant, what their coils draw is warmer than the air around by air that
    /// has passed them already, K. Outdoors they draw outside air.
    pub short_circuit_k: f64,
    /// In a fresh-air intake they draw the plant's fresh air; where that is less than this share of their
    /// rated air, or so little that their units would trip, they draw more past the plant; (0..1]. At 1 they always have the air
    /// they are rated for, and share it with the plant as far as it takes any.
    pub least_air: f64,
}

impl From<Placement> for Condensers {
    fn from(place: Placement) -> Self {
        Self { place, units: None, short_circuit_k: 0.0, least_air: 1.0 }
    }
}

/// Cooling asked for, and the air that the condensers find.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Asked {
    /// Cooling, kW.
    pub cooling_kw: f64,
    /// The store's air.
    pub store: StoreAir,
    /// Which units stand tripped.
    pub tripped: Tripped,
}

/// Which units tripped and have not run since.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tripped {
    /// Those whose heat may be recovered.
    pub recovering: bool,
    /// Those whose condensers stand outdoors.
    pub outdoors: bool,
}

/// What the two groups of units did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Parted {
    /// Units whose condensers stood where their heat can be used.
    pub recovering: Running,
    /// Units whose condensers stood outdoors.
    pub outdoors: Running,
    /// Which stand tripped after it.
    pub tripped: Tripped,
}

impl Parted {
    /// Both groups together.
    pub fn together(&self) -> Running {
        let (a, b) = (self.recovering, self.outdoors);
        Running {
            cooling_kw: a.cooling_kw + b.cooling_kw,
            electricity_kw: a.electricity_kw + b.electricity_kw,
            rejected_kw: a.rejected_kw + b.rejected_kw,
            unmet_kw: b.unmet_kw,
            tripped: a.tripped || b.tripped,
        }
    }
}

impl Condensers {
    /// All outdoors, each drawing outside air: what recovered heat is measured against.
    pub const OUTDOORS: Self = Self { place: Placement::Outdoors, units: None, short_circuit_k: 0.0, least_air: 1.0 };

    /// Where the recovering condensers stand in an hour with this heat need, kW, and this air.
    pub fn stand(&self, units: &CoolingUnits, asked: &Asked, airs: impl Into<CondenserAirs>, need_kw: f64) -> Stand {
        let (there, changeover) = match self.place {
            Placement::Outdoors => return Stand::Outdoors,
            Placement::FreshAir => return Stand::FreshAir,
            Placement::Room => return Stand::Room,
            Placement::SwitchedRoom(changeover) => (Stand::Room, changeover),
            Placement::SwitchedFreshAir(changeover) => (Stand::FreshAir, changeover),
        };
        let heat_kw = self.run(units, asked, there, airs).recovering.rejected_kw;
        if need_kw > 0.0 && heat_kw > 0.0 && need_kw >= changeover.need_share * heat_kw {
            there
        } else {
            Stand::Outdoors
        }
    }

    /// Air into the recovering condensers standing there, °C: of those short of air, the rated air that
    /// would make them condense as high.
    pub fn air_c(&self, units: &CoolingUnits, asked: &Asked, stand: Stand, airs: impl Into<CondenserAirs>) -> f64 {
        let airs = airs.into();
        match stand {
            Stand::Outdoors => airs.outside_c,
            Stand::FreshAir => {
                let share = self.share_of_air(units, asked, &airs);
                airs.outside_c + self.short_circuit_k + airs.short_of_air_k(share)
            }
            Stand::Room => airs.room_c + self.short_circuit_k,
        }
    }

    /// Share of their rated air that condensers in the intake draw. By the heat they would give off with all
    /// of it: that they give off a little more with less is left out here.
    fn share_of_air(&self, units: &CoolingUnits, asked: &Asked, airs: &CondenserAirs) -> f64 {
        if self.least_air >= 1.0 {
            return 1.0;
        }
        let air = UnitAir { condenser_c: airs.outside_c + self.short_circuit_k, store: asked.store, tripped: false };
        let heat_kw = units.run(self.moved(units), asked.cooling_kw, air).rejected_kw;
        let share = airs.share_of_rated(heat_kw, self.least_air);
        // Before a unit trips, or fails to start again, for want of air, more is drawn past the plant: whether
        // it runs depends on how warm the outside air is, never on how much of it the plant takes.
        let starts_below_c = units.condenser_air_max_c - units.restart_below_k;
        share.max(airs.share_short_by(starts_below_c - air.condenser_c))
    }

    /// Of the heat that condensers in the intake give off, the share that the plant takes with its fresh air.
    pub fn share_taken(&self, units: &CoolingUnits, asked: &Asked, airs: &CondenserAirs, rejected_kw: f64) -> f64 {
        let rated = rejected_kw * airs.rated_kg_per_s_per_kw;
        let drawn = rated * self.share_of_air(units, asked, airs);
        if drawn > 0.0 { (airs.fresh_kg_per_s / drawn).min(1.0) } else { 0.0 }
    }

    fn moved(&self, units: &CoolingUnits) -> u32 {
        self.units.unwrap_or(units.count).min(units.count)
    }

    /// Runs the units with the recovering condensers standing there: these are called on first, since
    /// their heat has a use; the others give what is left.
    pub fn run(&self, units: &CoolingUnits, asked: &Asked, stand: Stand, airs: impl Into<CondenserAirs>) -> Parted {
        let airs = airs.into();
        let moved = self.moved(units);
        let group = |count: u32, cooling_kw: f64, condenser_c: f64, tripped: bool| {
            let air = UnitAir { condenser_c, store: asked.store, tripped };
            units.run(count, cooling_kw, air)
        };
        let first = group(moved, asked.cooling_kw, self.air_c(units, asked, stand, airs), asked.tripped.recovering);
        let rest = group(units.count - moved, first.unmet_kw, airs.outside_c, asked.tripped.outdoors);
        let tripped = Tripped { recovering: first.tripped, outdoors: rest.tripped };
        let rest = Running { unmet_kw: first.unmet_kw - rest.cooling_kw, ..rest };
        if stand == Stand::Outdoors {
            // None recovers: one group, in two parts.
            let together = Parted { recovering: first, outdoors: rest, tripped }.together();
            return Parted { recovering: Running::default(), outdoors: together, tripped };
        }
        Parted { recovering: first, outdoors: rest, tripped }
    }
}

#[cfg(test)]
mod tests {
    use super::super::performance::{Performance, Rating};
    use super::*;
    use approx::assert_relative_eq;

    fn units() -> CoolingUnits {
        CoolingUnits {
            count: 4,
            performance: Performance::Curve(Rating { capacity_kw: 10.0, cop: 3.2 }),
            condenser_air_max_c: 43.0,
            restart_below_k: 3.0,
            cycling_loss: 0.25,
        }
    }

    fn asked(cooling_kw: f64) -> Asked {
        Asked { cooling_kw, store: StoreAir { dry_bulb_c: 21.0, wet_bulb_c: 15.3 }, tripped: Tripped::default() }
    }

    #[test]
    fn two_of_four_in_the_room_give_their_share_of_the_heat() {
        let condensers = Condensers { units: Some(2), ..Placement::Room.into() };
        let all = Condensers::from(Placement::Room);
        for cooling_kw in [5.0, 15.0, 30.0] {
            let some = condensers.run(&units(), &asked(cooling_kw), Stand::Room, (20.0, 38.0));
            let whole = all.run(&units(), &asked(cooling_kw), Stand::Room, (20.0, 38.0));
            assert_relative_eq!(some.together().cooling_kw, cooling_kw, max_relative = 1e-12);
            assert!(some.recovering.rejected_kw <= whole.recovering.rejected_kw + 1e-9);
            assert!(some.together().electricity_kw <= whole.together().electricity_kw + 1e-9);
        }
    }

    #[test]
    fn a_trip_in_the_room_leaves_the_units_outdoors_running() {
        let condensers = Condensers { units: Some(2), ..Placement::Room.into() };
        let parted = condensers.run(&units(), &asked(15.0), Stand::Room, (20.0, 50.0));
        assert!(parted.tripped.recovering && !parted.tripped.outdoors);
        assert_eq!(parted.recovering.cooling_kw, 0.0);
        assert_relative_eq!(parted.outdoors.cooling_kw, 15.0);
    }

    #[test]
    fn a_damper_turns_where_enough_heat_is_needed() {
        let condensers: Condensers = Placement::SwitchedRoom(Changeover { need_share: 0.5 }).into();
        let stand = |need_kw| condensers.stand(&units(), &asked(10.0), (20.0, 38.0), need_kw);
        assert_eq!(stand(0.0), Stand::Outdoors);
        assert_eq!(stand(5.0), Stand::Outdoors);
        assert_eq!(stand(50.0), Stand::Room);
    }

    #[test]
    fn switched_outdoors_is_the_same_as_standing_there() {
        let switched: Condensers = Placement::SwitchedRoom(Changeover { need_share: 0.5 }).into();
        let run =
            |condensers: &Condensers| condensers.run(&units(), &asked(25.0), Stand::Outdoors, (30.0, 38.0)).together();
        assert_eq!(run(&switched), run(&Condensers::OUTDOORS));
    }

    /// The physics of a narrow intake: less fresh air makes warmer condensers and more electricity, but the
    /// plant takes a larger share of what they give off.
    #[test]
    fn condensers_short_of_fresh_air_cost_more_and_waste_less() {
        let airs = |fresh_kg_per_s| CondenserAirs { fresh_kg_per_s, ..CondenserAirs::from((20.0, 38.0)) };
        let narrow = Condensers { least_air: 0.4, ..Placement::FreshAir.into() };
        let wide = Condensers::from(Placement::FreshAir);
        let power = |condensers: &Condensers, fresh: f64| {
            condensers.run(&units(), &asked(30.0), Stand::FreshAir, airs(fresh)).recovering.electricity_kw
        };
        let taken =
            |condensers: &Condensers, fresh: f64| condensers.share_taken(&units(), &asked(30.0), &airs(fresh), 37.0);
        for (less, more) in [(1.6, 2.4), (2.4, 3.4)] {
            assert!(power(&narrow, less) > power(&narrow, more));
            assert_relative_eq!(power(&wide, less), power(&wide, more));
            assert!(taken(&narrow, less) > taken(&wide, less));
        }
        assert_relative_eq!(power(&narrow, 9.0), power(&wide, 9.0));
        assert_relative_eq!(taken(&wide, 1.85), 0.5);
        assert_eq!(taken(&narrow, 0.0), 0.0);
    }

    /// A unit that ran only while the plant draws much air, and by its heat made it draw little, would never
    /// settle: so want of air alone never trips it.
    #[test]
    fn want_of_air_never_trips_a_unit() {
        let narrow = Condensers { least_air: 0.1, ..Placement::FreshAir.into() };
        for fresh_kg_per_s in [0.0, 0.1, 1.0, 9.0] {
            let airs = CondenserAirs { fresh_kg_per_s, ..CondenserAirs::from((20.0, 38.0)) };
            let ran = narrow.run(&units(), &asked(30.0), Stand::FreshAir, airs);
            assert!(ran.recovering.cooling_kw > 0.0, "{fresh_kg_per_s}");
        }
    }

    #[test]
    fn short_circuited_air_costs_as_warmer_air_does() {
        let near = Condensers { short_circuit_k: 4.0, ..Placement::Room.into() };
        let clear = Condensers::from(Placement::Room);
        assert_eq!(
            near.run(&units(), &asked(25.0), Stand::Room, (30.0, 34.0)),
            clear.run(&units(), &asked(25.0), Stand::Room, (30.0, 38.0))
        );
    }
}
