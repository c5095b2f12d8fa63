//! A bin as built.

/// One bin as built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinSpec {
    /// Received tonnes that fill it.
    pub capacity_t: f64,
    /// Floor area, m²; sets air velocity and depth.
    pub floor_area_m2: f64,
}

/// A bin within this share of its named tonnes is full, and takes a rest of no more on top: nobody weighs
/// closer what goes into a bin (an assumption).
const PLAY: f64 = 0.05;

impl BinSpec {
    /// Mass as received that it is named for, kg.
    pub fn full_kg(&self) -> f64 {
        self.capacity_t * 1000.0
    }

    /// Mass as received from which it counts as full, kg.
    pub fn full_from_kg(&self) -> f64 {
        self.full_kg() * (1.0 - PLAY)
    }

    /// The most that is put into it rather than leave a small rest, kg as received.
    pub fn most_kg(&self) -> f64 {
        self.full_kg() * (1.0 + PLAY)
    }
}
