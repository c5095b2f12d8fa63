//! Units as readers have them: what stands on a page where a figure is in SI, for growers who read in US customary
//! units. Factors are those of the one table in `unit`.
//!
//! Heat is told in Btu, electricity in kWh: a figure in kW or kWh is electricity unless it is said to be heat
//! ([`Measure::heat`]). Carbon dioxide equivalent stays in kg and metric tons, which American programmes ask for as well
//! (common practice, no published source).

use super::digits::{fixed, plain, three, with_unit};
use super::reader::Reader;
use crate::unit;

/// A unit as it is shown, and how a figure in SI comes to it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Measure {
    /// The unit's sign, as its reader has it.
    sign: String,
    /// How many of it one of the SI unit is.
    slope: f64,
    /// What it reads where SI reads 0.
    offset: f64,
}

/// A unit of SI and what a reader of US units has in its place: as it is shown, and as the table of units knows it.
struct Twin {
    si: &'static str,
    us: &'static str,
    from: &'static str,
    to: &'static str,
}

const fn twin(si: &'static str, us: &'static str, from: &'static str, to: &'static str) -> Twin {
    Twin { si, us, from, to }
}

/// Units that are shown by their own names.
const fn own(si: &'static str, us: &'static str) -> Twin {
    twin(si, us, si, us)
}

/// Of whatever is not heat.
const TWINS: &[Twin] = &[
    own("°C", "°F"),
    own("K", "°F"),
    twin("K\u{a0}h", "°F\u{a0}h", "K", "°F"),
    twin("K h", "°F h", "K", "°F"),
    twin("kelvin-hours", "°F-hours", "K", "°F"),
    own("1/K", "1/°F"),
    own("m", "ft"),
    own("mm", "in"),
    own("km", "mi"),
    own("m²", "ft²"),
    own("m³", "ft³"),
    own("L", "gal"),
    own("kg", "lb"),
    own("t", "short tons"),
    twin("t received", "short tons received", "t", "short tons"),
    twin("t dried", "short tons dried", "t", "short tons"),
    twin("t in store", "short tons in store", "t", "short tons"),
    twin("t d", "short ton-days", "t", "short tons"),
    twin("tonne-days", "short ton-days", "t", "short tons"),
    own("kg/s", "lb/min"),
    own("kg/t", "lb/short ton"),
    twin("kW of heat", "kBtu/h of heat", "kW", "kBtu/h"),
    twin("t CO₂e", "metric tons CO₂e", "t", "t"),
    twin("t CO₂", "metric tons CO₂", "t", "t"),
    own("kWh/t", "kWh/short ton"),
    twin("kg CO₂e/t", "kg CO₂e/short ton", "kg/t", "kg/short ton"),
    own("kg/m³", "lb/ft³"),
    own("g/kg", "gr/lb"),
    own("m/s", "fpm"),
    own("m³/s", "cfm"),
    own("m³/h", "cfm"),
    own("m³/s per t", "cfm per short ton"),
    own("m³/s per received t", "cfm per short ton"),
    own("m³/s per tonne", "cfm per short ton"),
    twin("Pa", "in H₂O", "Pa", "in H2O"),
    own("hPa", "inHg"),
    own("W/K", "Btu/(h °F)"),
    own("W/(m² K)", "Btu/(h ft² °F)"),
    own("W/m²", "Btu/(h ft²)"),
    own("W/t", "Btu/h per short ton"),
    own("MJ/kg", "Btu/lb"),
    own("kJ/kg", "Btu/lb"),
    own("kJ/K", "Btu/°F"),
    own("kWh/L", "Btu/gal"),
    own("kWh/kg", "Btu/lb"),
];

/// Of water, which is told in pounds however much of it there is.
const WATER: &[Twin] = &[own("t", "lb"), own("kg", "lb")];

/// Of heat.
const HEAT: &[Twin] = &[
    own("kW", "kBtu/h"),
    own("kWh", "kBtu"),
    own("MWh", "MMBtu"),
    own("MJ", "kBtu"),
    own("GJ", "MMBtu"),
    own("kWh/t", "kBtu/short ton"),
    own("kWh per kg/s", "kBtu per lb/min"),
    twin("kWh a season", "kBtu a season", "kWh", "kBtu"),
];

/// What prices are for.
const PRICED: &[Twin] = &[
    twin("t CO₂e", "metric ton CO₂e", "t", "t"),
    own("t", "short ton"),
    own("kg", "lb"),
    own("L", "gal"),
    own("m³", "ft³"),
    own("m²", "ft²"),
    own("MJ", "kBtu"),
];

/// What prices of heat, and of fuel by its heat, are for.
const HEAT_PRICED: &[Twin] = &[own("kWh", "therm"), own("MWh", "MMBtu"), own("GJ", "MMBtu")];

impl Measure {
    /// Of whatever is not heat, or of no unit at all. Of money for each so much of something it is `USD/t`.
    pub(crate) fn of(sign: &str) -> Self {
        Self::among(TWINS, sign).or_else(|| Self::price(PRICED, sign)).unwrap_or_else(|| Self::plain(sign))
    }

    /// Of heat, of fuel by its heat, or of energy of several kinds together.
    pub(crate) fn heat(sign: &str) -> Self {
        let heat = Self::among(HEAT, sign).or_else(|| Self::price(HEAT_PRICED, sign));
        heat.unwrap_or_else(|| Self::of(sign))
    }

    /// Of water.
    pub(crate) fn water(sign: &str) -> Self {
        Self::among(WATER, sign).unwrap_or_else(|| Self::of(sign))
    }

    /// Of a fuel, by what it is sold by: gas by the therm.
    pub(crate) fn fuel(sign: &str) -> Self {
        Self::among(HEAT_PRICED, sign).unwrap_or_else(|| Self::heat(sign))
    }

    /// Of a value of the study, by its path and its unit there; `code` is the currency's. Fuel that is sold by the kWh
    /// is sold by the therm.
    pub(crate) fn of_input(path: &str, unit: &str, code: &str) -> Self {
        let is_fuel = path.starts_with("carrier.") && !path.starts_with("carrier.electricity");
        let words = unit_words(unit, code);
        if is_fuel { Self::heat(&words) } else { Self::of(&words) }
    }

    fn plain(sign: &str) -> Self {
        Self { sign: sign.to_owned(), slope: 1.0, offset: 0.0 }
    }

    /// `None` where the unit stays what it is.
    fn among(twins: &[Twin], sign: &str) -> Option<Self> {
        let twin = twins.iter().find(|twin| twin.si == sign).filter(|_| Reader::now().is_us())?;
        let (slope, offset) = (unit::slope(twin.from, twin.to), unit::offset(twin.from, twin.to));
        Some(Self { sign: twin.us.to_owned(), slope, offset })
    }

    /// Money for each so much of something: fewer of it for a smaller unit.
    fn price(twins: &[Twin], sign: &str) -> Option<Self> {
        let (money, of) = sign.split_once('/')?;
        let priced =
            Self::among(twins, of).filter(|_| money.len() == 3 && money.bytes().all(|c| c.is_ascii_uppercase()));
        priced.map(|of| Self { sign: format!("{money}/{}", of.sign), slope: 1.0 / of.slope, offset: 0.0 })
    }

    /// As it is shown.
    pub(crate) fn sign(&self) -> &str {
        &self.sign
    }

    /// True if its reader has another unit than SI.
    pub(crate) fn is_converted(&self) -> bool {
        self.slope.total_cmp(&1.0).is_ne() || self.offset != 0.0
    }

    /// A figure in the SI unit, in this one.
    pub(crate) fn value(&self, si: f64) -> f64 {
        // Left alone where nothing is to be done, to the last bit.
        if self.is_converted() { si * self.slope + self.offset } else { si }
    }

    /// Figures in the SI unit, in this one.
    pub(crate) fn values(&self, si: &[f64]) -> Vec<f64> {
        si.iter().map(|value| self.value(*value)).collect()
    }

    /// Decimals that show a figure as closely as so many do in the SI unit.
    pub(crate) fn decimals(&self, in_si: usize) -> usize {
        if !self.is_converted() {
            return in_si;
        }
        #[allow(clippy::cast_possible_truncation)] // a few powers of ten
        let more = -(self.slope.log10().trunc() as i32);
        let wanted = i32::try_from(in_si).unwrap_or(0) + more;
        usize::try_from(wanted.clamp(0, 4)).unwrap_or(0)
    }

    /// A figure in the SI unit, three figures of it, with its unit.
    pub(crate) fn three(&self, si: f64) -> String {
        with_unit(&three(self.value(si)), &self.sign)
    }

    /// A figure in the SI unit with as many decimals as so many are there, and its unit.
    pub(crate) fn fixed(&self, si: f64, decimals: usize) -> String {
        with_unit(&fixed(self.value(si), self.decimals(decimals)), &self.sign)
    }

    /// A figure in the SI unit as it was given, with its unit: `38 °C`. What was converted is cut to tenths.
    pub(crate) fn plain_figure(&self, si: f64) -> String {
        with_unit(&self.number(si), &self.sign)
    }

    /// A figure in the SI unit as a list of inputs has it: four figures of it, with its unit.
    pub(crate) fn four(&self, si: f64) -> String {
        let value = self.value(si);
        let short: f64 = format!("{value:.3e}").parse().unwrap_or(value);
        with_unit(&plain(short), &self.sign)
    }

    /// A figure as [`Self::plain_figure`] has it, without its unit.
    pub(crate) fn number(&self, si: f64) -> String {
        let value = self.value(si);
        plain(if self.is_converted() { (value * 10.0).round() / 10.0 } else { value })
    }
}

impl From<&str> for Measure {
    fn from(sign: &str) -> Self {
        Self::of(sign)
    }
}

impl From<String> for Measure {
    fn from(sign: String) -> Self {
        Self::of(&sign)
    }
}

impl From<&String> for Measure {
    fn from(sign: &String) -> Self {
        Self::of(sign)
    }
}

/// Unit of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unit {
    /// Things that are counted.
    Count,
    /// A unit by its sign.
    Of(&'static str),
    /// A unit of heat, or of energy of several kinds, by its sign.
    Heat(&'static str),
    /// Money.
    Money,
    /// Money per unit of something.
    MoneyPer(&'static str),
    /// Money per unit of heat.
    MoneyPerHeat(&'static str),
}

impl Unit {
    /// As its reader has it; `code` is the currency's.
    pub(crate) fn measure(self, code: &str) -> Measure {
        match self {
            Self::Count => Measure::of(""),
            Self::Of(unit) => Measure::of(unit),
            Self::Heat(unit) => Measure::heat(unit),
            Self::Money => Measure::of(code),
            Self::MoneyPer(what) => Measure::of(&format!("{code}/{what}")),
            Self::MoneyPerHeat(what) => Measure::heat(&format!("{code}/{what}")),
        }
    }
}

/// Units in words where their sign is for readers of code.
pub(crate) fn unit_words(unit: &str, code: &str) -> String {
    match unit {
        "-" => String::new(),
        "a" => "years".to_owned(),
        "1/a" => "a year".to_owned(),
        "money/a" => format!("{code} a year"),
        _ => unit.replace("money", code),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::{NumberWriting, Units, telling};

    fn to_us<T>(tell: impl FnOnce() -> T) -> T {
        Reader { units: Units::Us, numbers: NumberWriting::CommaPoint }.listens(|| telling(tell))
    }

    /// Worked outside this project with the exact factors of NIST SP 811.
    #[test]
    fn figures_are_those_of_the_published_factors() {
        to_us(|| {
            for (measure, si, us, sign) in [
                (Measure::of("°C"), 40.0, 104.0, "°F"),
                (Measure::of("K"), 10.0, 18.0, "°F"),
                (Measure::of("t"), 100.0, 110.231_131_1, "short tons"),
                (Measure::of("kg/t"), 150.0, 300.0, "lb/short ton"),
                (Measure::of("MJ/kg"), 2.326, 1000.0, "Btu/lb"),
                (Measure::of("m³/s per t"), 0.08, 153.777_248, "cfm per short ton"),
                (Measure::of("Pa"), 249.088_9, 1.0, "in H₂O"),
                (Measure::of("g/kg"), 7.0, 49.0, "gr/lb"),
                (Measure::of("L"), 3.785_411_784, 1.0, "gal"),
                (Measure::heat("kW"), 29.307_107_017, 100.0, "kBtu/h"),
                (Measure::heat("MWh"), 1.0, 3.412_141_633, "MMBtu"),
                (Measure::of("USD/t"), 110.231_131_1, 100.0, "USD/short ton"),
                (Measure::of("USD/L"), 1.0, 3.785_411_784, "USD/gal"),
                (Measure::heat("EUR/kWh"), 0.1, 2.930_011, "EUR/therm"),
                (Measure::fuel("kWh"), 29.300_111_1, 1.0, "therm"),
                (Measure::of("kW"), 7.0, 7.0, "kW"),
                (Measure::of("t CO₂e"), 7.0, 7.0, "metric tons CO₂e"),
                (Measure::of("USD/kWh"), 0.2, 0.2, "USD/kWh"),
                (Measure::of("1 apple"), 7.0, 7.0, "1 apple"),
            ] {
                let found = measure.value(si);
                assert!((found / us - 1.0).abs() < 2e-6, "{sign}: {found} and not {us}");
                assert_eq!(measure.sign(), sign);
            }
        });
    }

    #[test]
    fn what_is_for_files_is_in_si_to_the_last_bit() {
        for sign in TWINS.iter().chain(HEAT).chain(PRICED).chain(HEAT_PRICED).map(|twin| twin.si) {
            for measure in [Measure::of(sign), Measure::heat(sign), Measure::fuel(sign)] {
                assert_eq!((measure.sign(), measure.value(0.1).to_bits()), (sign, 0.1f64.to_bits()));
            }
        }
        assert_eq!(Measure::of("°C").plain_figure(38.0), "38\u{a0}°C");
    }

    #[test]
    fn every_twin_is_known_to_the_table_of_units() {
        to_us(|| {
            for twin in TWINS.iter().chain(HEAT).chain(PRICED).chain(HEAT_PRICED) {
                let slope = unit::slope(twin.from, twin.to);
                assert!(slope.is_finite() && slope > 0.0, "{} {}", twin.si, twin.us);
            }
        });
    }

    #[test]
    fn as_many_decimals_are_shown_as_say_something() {
        to_us(|| {
            assert_eq!(Measure::of("°C").fixed(38.0, 1), "100.4\u{a0}°F");
            assert_eq!(Measure::of("°C").plain_figure(38.0), "100.4\u{a0}°F");
            assert_eq!(Measure::of("m³/s per t").fixed(0.08, 3), "154\u{a0}cfm per short ton");
            assert_eq!(Measure::of("Pa").fixed(500.0, 0), "2.01\u{a0}in H₂O");
            assert_eq!(Measure::of("t").three(12.3), "13.6\u{a0}short tons");
        });
    }
}
