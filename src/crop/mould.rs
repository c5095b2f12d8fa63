//! Mould on nuts in shell, by a published law for a comparable surface.
//!
//! Source: Hukka & Viitanen 1999, Wood Science and Technology 33:475-485, doi 10.1007/s002260050131 (mould
//! on surfaces of pine; read in two public implementations, the paper itself was not), most sensitive class.
//! A growth index rises while the surface is damp enough for its temperature and falls slowly in dry
//! spells: 1 is the first growth, seen under the microscope; 3 is seen by eye; 6 is full cover.
//!
//! Shell is lignocellulose as wood is, so the law is one for a comparable surface; no law for nuts in
//! moving air was found. Two numbers tie it to nuts:
//!
//! - the water activity below which nothing grows in the warmth, 0.80 for wood. Where a crop's is another,
//!   its dryness (1 - activity) counts as wood's at the same share of the dryness that stops growth;
//! - the hours that saturated nuts at 30 °C take to the first growth. By the law itself they are
//!   [`HOURS_ON_WOOD`]; other hours stretch or shorten all of its times.
//!
//! The nuts count as they are at their wettest place. Between 0 and 50 °C alone anything grows.

/// Water activity at which growth begins on the most sensitive wood above some 13 °C (the source's 80 %).
const CRITICAL_ON_WOOD: f64 = 0.80;

/// Hours in which saturated wood at 30 °C comes to its first growth: the time law below, in weeks, at 30 °C
/// and 100 %.
pub const HOURS_ON_WOOD: f64 = 124.0;

/// Growth index at which mould is first seen under the microscope: what the guard goes by.
pub const FIRST_GROWTH: f64 = 1.0;

/// Temperatures within which anything grows, °C, both excluded.
const GROWS_BETWEEN_C: (f64, f64) = (0.0, 50.0);

const HOURS_OF_WEEK: f64 = 168.0;

/// When mould grows on a crop, and how fast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MouldLaw {
    /// Water activity above which mould grows in the warmth, fraction.
    pub critical_activity: f64,
    /// Hours in which it is first seen on saturated nuts at 30 °C.
    pub hours_to_first_growth: f64,
}

/// What has grown on a batch so far.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mould {
    /// Growth index, 0 to 6.
    pub index: f64,
    /// Hours in which growth was possible.
    pub growing_hours: f64,
    /// Hours since it last was.
    dry_hours: f64,
}

impl Mould {
    /// The further grown of two.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        if other.index > self.index { other } else { self }
    }

    /// True if mould could be seen under the microscope.
    pub fn is_seen(&self) -> bool {
        self.index >= FIRST_GROWTH
    }
}

impl MouldLaw {
    /// Water activity above which mould grows on nuts of this temperature, °C; 1 where nothing grows.
    pub fn critical_activity_at(&self, temperature_c: f64) -> f64 {
        let (coldest, hottest) = GROWS_BETWEEN_C;
        if temperature_c <= coldest || temperature_c >= hottest {
            return 1.0;
        }
        1.0 - (1.0 - critical_on_wood(temperature_c)) / self.woods_dryness()
    }

    /// Hours in which mould is first seen on nuts of this temperature (°C) and water activity, without a pause;
    /// `None` where nothing grows.
    pub fn hours_to_first_growth_at(&self, temperature_c: f64, activity: f64) -> Option<f64> {
        let humidity = self.humidity_of_wood(activity);
        let grows = grows_on_wood(temperature_c, humidity);
        grows.then(|| hours_on_wood(temperature_c, humidity) * self.slowness())
    }

    /// Lets the nuts be so warm (°C) and damp (water activity, fraction) for some hours.
    pub fn live(&self, mould: &mut Mould, temperature_c: f64, activity: f64, hours: f64) {
        let humidity = self.humidity_of_wood(activity);
        if grows_on_wood(temperature_c, humidity) {
            let per_h = growth_per_h(mould.index, temperature_c, humidity) / self.slowness();
            mould.index += per_h * hours;
            mould.growing_hours += hours;
            mould.dry_hours = 0.0;
        } else {
            let lost = lost_in_dry_spell(mould.dry_hours, hours);
            mould.index = (mould.index - lost).max(0.0);
            mould.dry_hours += hours;
        }
    }

    /// Dryness of wood for one of the nuts.
    fn woods_dryness(&self) -> f64 {
        (1.0 - CRITICAL_ON_WOOD) / (1.0 - self.critical_activity)
    }

    /// Relative humidity (fraction) of the air in balance with wood on which mould does as on these nuts.
    fn humidity_of_wood(&self, activity: f64) -> f64 {
        1.0 - (1.0 - activity.clamp(0.0, 1.0)) * self.woods_dryness()
    }

    /// Time that growth takes, for one hour of the law's.
    fn slowness(&self) -> f64 {
        self.hours_to_first_growth / HOURS_ON_WOOD
    }
}

/// Relative humidity (fraction) above which mould grows on wood of this temperature, °C: the source's cubic,
/// no less than 80 %.
fn critical_on_wood(t: f64) -> f64 {
    let cubic = ((-0.00267 * t + 0.160) * t - 3.13) * t + 100.0;
    (cubic / 100.0).max(CRITICAL_ON_WOOD)
}

fn grows_on_wood(t: f64, humidity: f64) -> bool {
    let (coldest, hottest) = GROWS_BETWEEN_C;
    humidity >= CRITICAL_ON_WOOD && t > coldest && t < hottest && humidity >= critical_on_wood(t)
}

/// Time to the first growth on wood, h: exp(-0.68 ln T - 13.9 ln RH + 66.02) weeks, RH in %, resawn pine.
fn hours_on_wood(t: f64, humidity: f64) -> f64 {
    HOURS_OF_WEEK * (66.02 - 0.68 * t.ln() - 13.9 * (100.0 * humidity).ln()).exp()
}

/// Growth per hour on wood: an index of 1 in the time to the first growth, twice as fast after it, and ever
/// slower towards the highest index that this humidity can bring.
fn growth_per_h(index: f64, t: f64, humidity: f64) -> f64 {
    let critical = critical_on_wood(t);
    let damp = if critical < 1.0 { (critical - humidity) / (critical - 1.0) } else { 0.0 };
    let highest = (1.0 + 7.0 * damp - 2.0 * damp * damp).max(0.0);
    let stage = if index < FIRST_GROWTH { 1.0 } else { 2.0 };
    let slowed = (1.0 - (2.3 * (index - highest)).exp()).max(0.0);
    stage * slowed / hours_on_wood(t, humidity)
}

/// What the index loses in `hours` of a dry spell that has lasted `since` hours: 0.032 a day in its first six
/// hours, nothing to the end of its first day, then 0.016 a day.
fn lost_in_dry_spell(since: f64, hours: f64) -> f64 {
    let lost_by = |at: f64| (0.032 * at.min(6.0) + 0.016 * (at - 24.0).max(0.0)) / 24.0;
    lost_by(since + hours) - lost_by(since)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    const WOOD: MouldLaw = MouldLaw { critical_activity: CRITICAL_ON_WOOD, hours_to_first_growth: HOURS_ON_WOOD };

    fn after(law: MouldLaw, spells: &[(f64, f64, u32)]) -> Mould {
        let mut mould = Mould::default();
        for &(temperature_c, activity, hours) in spells {
            for _ in 0..hours {
                law.live(&mut mould, temperature_c, activity, 1.0);
            }
        }
        mould
    }

    #[test]
    fn saturated_nuts_at_30_c_take_the_hours_that_are_named() {
        let by_law = hours_on_wood(30.0, 1.0);
        assert_abs_diff_eq!(by_law, HOURS_ON_WOOD, epsilon = 0.5);
        let slow = MouldLaw { hours_to_first_growth: 300.0, ..WOOD };
        let hours = slow.hours_to_first_growth_at(30.0, 1.0);
        assert_relative_eq!(hours.unwrap_or(0.0), 300.0, max_relative = 5e-3);
    }

    #[test]
    fn nothing_grows_in_the_cold_in_great_heat_or_where_it_is_dry() {
        for (t, activity) in [(-2.0, 1.0), (55.0, 1.0), (25.0, 0.79), (5.0, 0.86)] {
            let mould = after(WOOD, &[(t, activity, 1000)]);
            assert_eq!((mould.index, mould.growing_hours), (0.0, 0.0), "{t} {activity}");
            assert_eq!(WOOD.hours_to_first_growth_at(t, activity), None);
        }
    }

    #[test]
    fn a_dry_spell_lets_it_rest_and_decline() {
        let wet = after(WOOD, &[(30.0, 0.98, 100)]);
        let rested = after(WOOD, &[(30.0, 0.98, 100), (30.0, 0.50, 20)]);
        let dried = after(WOOD, &[(30.0, 0.98, 100), (30.0, 0.50, 24 + 240)]);
        assert_relative_eq!(wet.index - rested.index, 0.008, max_relative = 1e-9);
        assert_relative_eq!(wet.index - dried.index, 0.008 + 0.16, max_relative = 1e-9);
        assert_eq!(dried.growing_hours, 100.0);
    }

    #[test]
    fn a_crop_that_is_safe_at_more_water_grows_mould_later() {
        let careful = MouldLaw { critical_activity: 0.70, ..WOOD };
        for activity in [0.75, 0.85, 0.95] {
            let hours = |law: MouldLaw| law.hours_to_first_growth_at(25.0, activity);
            let (sooner, later) = (hours(careful), hours(WOOD));
            let sooner = sooner.expect("mould grows");
            assert!(later.is_none_or(|later| later > 1.1 * sooner), "{activity}");
        }
        // The source's cubic passes 80 % by 0.03 points at 25 °C.
        assert_abs_diff_eq!(careful.critical_activity_at(25.0), 0.70, epsilon = 1e-3);
        // Colder nuts may be damper: at 5 °C wood's 88 % is three fifths of the dryness of 80 %.
        assert_abs_diff_eq!(careful.critical_activity_at(5.0), 0.82, epsilon = 5e-3);
    }
}
