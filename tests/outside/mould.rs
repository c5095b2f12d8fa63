//! Mould's growth index against a public implementation of the law for wood surfaces.
//!
//! Source: Hukka & Viitanen 1999, Wood Science and Technology 33:475-485, as the public program `mi.py` of
//! the repository anssilaukkarinen/trh-1 states it (classes "vs"); its equations were set up anew and run on
//! the spells below, hour by hour. Tolerance 2e-6: the digits that were kept.

use approx::assert_abs_diff_eq;
use dryledger::crop::{HOURS_ON_WOOD, Mould, MouldLaw};

/// Temperature (°C), relative humidity (fraction) and hours of each spell.
type Spells = Vec<(f64, f64, u32)>;

const WOOD: MouldLaw = MouldLaw { critical_activity: 0.80, hours_to_first_growth: HOURS_ON_WOOD };

fn index_after(spells: &Spells) -> f64 {
    let mut mould = Mould::default();
    for &(temperature_c, humidity, hours) in spells {
        for _ in 0..hours {
            WOOD.live(&mut mould, temperature_c, humidity, 1.0);
        }
    }
    mould.index
}

#[test]
fn the_growth_index_is_that_of_the_published_law() {
    let nights = [(22.0, 0.93, 14), (35.0, 0.60, 10)].repeat(20);
    let cases: [(Spells, f64); 6] = [
        (vec![(25.0, 0.97, 200)], 0.933943),
        (vec![(25.0, 0.97, 480)], 3.474917),
        (vec![(10.0, 0.95, 1000)], 2.745910),
        (vec![(38.0, 0.90, 300)], 0.657373),
        (vec![(30.0, 0.98, 150), (30.0, 0.60, 100)], 0.855746),
        (nights, 0.507530),
    ];
    for (spells, index) in cases {
        assert_abs_diff_eq!(index_after(&spells), index, epsilon = 2e-6);
    }
}

/// Limits at which moulds began to grow on corn, soybean and pinto bean (J. Food Prot. 51(5):361, abstract):
/// 0.69 to 0.75 at 26 °C, 0.77 to 0.85 at 16 °C. The default of the crops lies within the first; that cooler
/// seed may be damper, the law says too, though by less at 16 °C.
#[test]
fn warm_nuts_must_be_as_dry_as_seeds() {
    let nuts = MouldLaw { critical_activity: 0.70, ..WOOD };
    assert!((0.69..=0.75).contains(&nuts.critical_activity_at(26.0)));
    assert!(nuts.critical_activity_at(8.0) > nuts.critical_activity_at(26.0) + 0.04);
}
