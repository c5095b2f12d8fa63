//! Amounts of prose: energy, mass, water and carbon in a unit that fits their size, and what they are told for each of.

use super::digits::{three, with_unit};
use super::measure::Measure;
use super::reader::Reader;

/// Electricity for prose: kWh below 10 MWh, MWh above.
pub(crate) fn energy(kwh: f64) -> String {
    if kwh.abs() < 10_000.0 { with_unit(&three(kwh), "kWh") } else { with_unit(&three(kwh / 1000.0), "MWh") }
}

/// What a tonne of nuts is called where something is told for each.
pub(crate) fn tonne() -> &'static str {
    if Reader::now().is_us() { "short ton" } else { "tonne" }
}

/// What a kilogram of water is called where something is told for each.
pub(crate) fn kilogram() -> &'static str {
    if Reader::now().is_us() { "lb" } else { "kg" }
}

/// The unit by which energy of every kind is told, in a heading.
pub(crate) fn unit_of_energy() -> &'static str {
    if Reader::now().is_us() { "Btu" } else { "kWh" }
}

/// Money for a tonne, as money for what [`tonne`] names.
pub(crate) fn for_a_tonne(money: f64) -> f64 {
    Measure::of("USD/t").value(money)
}

/// Energy of prose in the smaller unit below a bound, else in the larger.
pub(crate) fn heat(kwh: f64) -> String {
    if !Reader::now().is_us() {
        return energy(kwh);
    }
    let (small, large) = (Measure::heat("kWh"), Measure::heat("MWh"));
    if small.value(kwh).abs() < 10_000.0 { small.three(kwh) } else { large.three(kwh / 1000.0) }
}

/// What tonnes of carbon dioxide equivalent are called.
pub(crate) fn tonnes_of_carbon() -> &'static str {
    if Reader::now().is_us() { "metric tons" } else { "t" }
}

/// Carbon dioxide equivalent of prose.
pub(crate) fn carbon(kg: f64) -> String {
    if kg.abs() < 1_000.0 { with_unit(&three(kg), "kg") } else { with_unit(&three(kg / 1000.0), tonnes_of_carbon()) }
}

/// Water of prose: pounds.
pub(crate) fn water(kg: f64) -> String {
    if Reader::now().is_us() { Measure::water("kg").three(kg) } else { mass(kg) }
}

/// Mass of prose: pounds below a short ton.
fn mass(kg: f64) -> String {
    let (small, large) = (Measure::of("kg"), Measure::of("t"));
    if large.value(kg / 1000.0).abs() < 1.0 { small.three(kg) } else { large.three(kg / 1000.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::{Money, NumberWriting, Units, not_nothing, percent, telling};

    #[test]
    fn energy_and_money_pick_a_readable_size() {
        assert_eq!(energy(9_870.0), "9\u{202f}870\u{a0}kWh");
        assert_eq!(energy(98_700.0), "98.7\u{a0}MWh");
        assert_eq!(energy(0.0), "0\u{a0}kWh");
        assert_eq!(carbon(77_600.0), "77.6\u{a0}t");
        assert_eq!(water(950.0), "950\u{a0}kg");
        let usd = Money::of("USD");
        assert_eq!(usd.prose(48_312.0), "$48\u{202f}300");
        assert_eq!(usd.prose(-1_250_000.0), "\u{2212}$1.25\u{a0}million");
        assert_eq!(Money::of("CHF").prose(12.0), "CHF\u{a0}12.0", "a code keeps its distance");
        assert_eq!(Money::of("???").code(), "???");
        assert_eq!(percent(38.46), "38\u{a0}%");
        assert_eq!(percent(3.846), "3.8\u{a0}%");
        assert_eq!(percent(0.01), "less than 0.1\u{a0}%");
        assert_eq!(percent(0.0), "0\u{a0}%");
        assert_eq!(not_nothing(0.0049, 2, "%"), "less than 0.01\u{a0}%");
        assert_eq!(not_nothing(0.0051, 2, "%"), "0.01\u{a0}%");
        assert_eq!(not_nothing(0.0, 2, "%"), "0.00\u{a0}%");
        assert_eq!(not_nothing(0.2, 0, "kg"), "less than 1\u{a0}kg");
    }

    #[test]
    fn a_reader_of_us_units_is_told_sizes_that_are_in_use() {
        let pounds = telling(|| for_a_tonne(100.0));
        assert_eq!(pounds.to_bits(), 100f64.to_bits());
        Reader { units: Units::Us, numbers: NumberWriting::CommaPoint }.listens(|| {
            telling(|| {
                assert_eq!(heat(1_000.0), "3,410\u{a0}kBtu");
                assert_eq!(heat(98_700.0), "337\u{a0}MMBtu");
                assert_eq!(energy(1_000.0), "1,000\u{a0}kWh");
                assert_eq!(water(77_600.0), "171,000\u{a0}lb");
                assert_eq!(carbon(77_600.0), "77.6\u{a0}metric tons");
                assert_eq!((tonne(), kilogram(), unit_of_energy()), ("short ton", "lb", "Btu"));
                // A short ton is 0.90718474 t.
                assert!((for_a_tonne(100.0) - 90.718_474).abs() < 1e-9);
            });
        });
    }
}
