//! What a unit measures, as powers of base quantities.

/// Powers of length, mass, time, temperature, money, angle and calendar time. A year has no fixed
/// number of hours and a month no fixed number of days: they are a time of their own, which fits no other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Dimension {
    pub length: i8,
    pub mass: i8,
    pub time: i8,
    pub temperature: i8,
    pub money: i8,
    pub angle: i8,
    pub calendar: i8,
}

impl Dimension {
    pub(crate) const NONE: Self = Self { length: 0, mass: 0, time: 0, temperature: 0, money: 0, angle: 0, calendar: 0 };
    pub(crate) const LENGTH: Self = Self { length: 1, ..Self::NONE };
    pub(crate) const AREA: Self = Self { length: 2, ..Self::NONE };
    pub(crate) const VOLUME: Self = Self { length: 3, ..Self::NONE };
    pub(crate) const MASS: Self = Self { mass: 1, ..Self::NONE };
    pub(crate) const TIME: Self = Self { time: 1, ..Self::NONE };
    pub(crate) const TEMPERATURE: Self = Self { temperature: 1, ..Self::NONE };
    pub(crate) const MONEY: Self = Self { money: 1, ..Self::NONE };
    pub(crate) const ANGLE: Self = Self { angle: 1, ..Self::NONE };
    pub(crate) const CALENDAR: Self = Self { calendar: 1, ..Self::NONE };
    pub(crate) const SPEED: Self = Self { length: 1, time: -1, ..Self::NONE };
    pub(crate) const FLOW: Self = Self { length: 3, time: -1, ..Self::NONE };
    pub(crate) const ENERGY: Self = Self { length: 2, mass: 1, time: -2, ..Self::NONE };
    pub(crate) const POWER: Self = Self { length: 2, mass: 1, time: -3, ..Self::NONE };
    pub(crate) const PRESSURE: Self = Self { length: -1, mass: 1, time: -2, ..Self::NONE };
    pub(crate) const DENSITY: Self = Self { length: -3, mass: 1, ..Self::NONE };

    /// The product with so many powers of another; beyond what any unit has, it stays at the end.
    pub(crate) fn times(self, other: Self, power: i8) -> Self {
        let sum = |a: i8, b: i8| a.saturating_add(b.saturating_mul(power));
        Self {
            length: sum(self.length, other.length),
            mass: sum(self.mass, other.mass),
            time: sum(self.time, other.time),
            temperature: sum(self.temperature, other.temperature),
            money: sum(self.money, other.money),
            angle: sum(self.angle, other.angle),
            calendar: sum(self.calendar, other.calendar),
        }
    }
}
