//! Where the condensers stand.

/// Where the condensers stand, and with it where their heat goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Placement {
    /// Outside: their heat is lost.
    Outdoors,
    /// In the intake of the drying plant's fresh air: outside air cools them and goes on, warmer, into
    /// the plant as far as the plant draws fresh air.
    FreshAir,
    /// In the drying room: room air cools them, and all their heat stays there.
    Room,
}

impl Placement {
    /// The name in a study.
    pub fn name(self) -> &'static str {
        match self {
            Self::Outdoors => "outdoors",
            Self::FreshAir => "fresh-air",
            Self::Room => "room",
        }
    }
}
