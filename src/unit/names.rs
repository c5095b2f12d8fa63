//! The one table of units: names, factors, what they measure.
//!
//! Factors are those of NIST SP 811 (2008), appendix B, as reprinted in public implementations; where one is given
//! there to seven figures it is built here from the exact figures that it rounds (foot 0.3048 m, pound 0.45359237 kg,
//! gallon of 231 cubic inches, 1055.05585262 J to the Btu of the International Table: from memory, and equal to the
//! reprint in all its figures).

use super::dimension::Dimension as D;

const FOOT_M: f64 = 0.304_8;
const INCH_M: f64 = 0.025_4;
const POUND_KG: f64 = 0.453_592_37;
const BTU_J: f64 = 1_055.055_852_62;
/// Therm (U.S.), the legal unit of gas there; that of the European Communities is 0.02 % larger.
const THERM_J: f64 = 1.054_804e8;
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
const GRAVITY: f64 = 9.806_65;
/// Mechanical: 550 foot pounds-force a second.
const HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_KG * GRAVITY;
const KWH_J: f64 = 3.6e6;
const HOUR_S: f64 = 3_600.0;
const MINUTE_S: f64 = 60.0;
const DAY_S: f64 = 86_400.0;
const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
const FAHRENHEIT_K: f64 = 5.0 / 9.0;

/// Units by name: what one is in base units (m, kg, s, K, money, degree, year), and its dimension.
pub(super) const NAMES: &[(&[&str], f64, D)] = &[
    (&["m", "metre", "metres", "meter", "meters"], 1.0, D::LENGTH),
    (&["mm"], 1e-3, D::LENGTH),
    (&["cm"], 1e-2, D::LENGTH),
    (&["km"], 1e3, D::LENGTH),
    (&["in", "inch", "inches"], INCH_M, D::LENGTH),
    (&["ft", "foot", "feet"], FOOT_M, D::LENGTH),
    (&["yd", "yard", "yards"], 3.0 * FOOT_M, D::LENGTH),
    (&["mi", "mile", "miles"], 5_280.0 * FOOT_M, D::LENGTH),
    (&["ha", "hectare", "hectares"], 1e4, D::AREA),
    (&["sqft", "sf"], FOOT_M * FOOT_M, D::AREA),
    (&["L", "l", "litre", "litres", "liter", "liters"], 1e-3, D::VOLUME),
    (&["cuft", "cf"], CUBIC_FOOT_M3, D::VOLUME),
    (&["gal", "gallon", "gallons", "US gal", "US gallon", "US gallons"], GALLON_M3, D::VOLUME),
    (&["imperial gallon", "imperial gallons", "imp gal", "UK gal"], IMPERIAL_GALLON_M3, D::VOLUME),
    (&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1.0, D::MASS),
    (&["g", "gram", "grams"], 1e-3, D::MASS),
    (&["t", "tonne", "tonnes", "metric ton", "metric tons"], 1e3, D::MASS),
    (&["lb", "lbs", "pound", "pounds"], POUND_KG, D::MASS),
    (&["gr", "grain", "grains"], POUND_KG / 7_000.0, D::MASS),
    (&["short ton", "short tons", "US ton", "US tons"], 2_000.0 * POUND_KG, D::MASS),
    (&["long ton", "long tons"], 2_240.0 * POUND_KG, D::MASS),
    (&["s", "sec", "second", "seconds"], 1.0, D::TIME),
    (&["min", "mins", "minute", "minutes"], MINUTE_S, D::TIME),
    (&["h", "H", "hr", "hrs", "hour", "hours"], HOUR_S, D::TIME),
    (&["d", "day", "days"], DAY_S, D::TIME),
    (&["week", "weeks"], 7.0 * DAY_S, D::TIME),
    (&["a", "yr", "yrs", "year", "years"], 1.0, D::CALENDAR),
    (&["month", "months"], 1.0 / 12.0, D::CALENDAR),
    (&["K", "k", "kelvin", "degK"], 1.0, D::TEMPERATURE),
    (&["°C", "C", "c", "degC", "deg C", "celsius", "degrees celsius", "degrees C"], 1.0, D::TEMPERATURE),
    (&["°F", "F", "f", "degF", "deg F", "fahrenheit", "degrees fahrenheit", "degrees F"], FAHRENHEIT_K, D::TEMPERATURE),
    (&["°R", "degR", "rankine"], FAHRENHEIT_K, D::TEMPERATURE),
    (&["m/s", "m/sec", "mps"], 1.0, D::SPEED),
    (&["km/h", "kmh", "kph"], 1e3 / HOUR_S, D::SPEED),
    (&["fpm"], FOOT_M / MINUTE_S, D::SPEED),
    (&["mph"], 5_280.0 * FOOT_M / HOUR_S, D::SPEED),
    (&["kt", "kn", "knot", "knots"], 1_852.0 / HOUR_S, D::SPEED),
    (&["cfm", "CFM"], CUBIC_FOOT_M3 / MINUTE_S, D::FLOW),
    (&["gpm"], GALLON_M3 / MINUTE_S, D::FLOW),
    (&["J"], 1.0, D::ENERGY),
    (&["kJ"], 1e3, D::ENERGY),
    (&["MJ"], 1e6, D::ENERGY),
    (&["GJ"], 1e9, D::ENERGY),
    (&["Wh"], KWH_J / 1e3, D::ENERGY),
    (&["kWh", "KWh", "Kwh"], KWH_J, D::ENERGY),
    (&["MWh"], 1e3 * KWH_J, D::ENERGY),
    (&["GWh"], 1e6 * KWH_J, D::ENERGY),
    (&["kcal"], 4_186.8, D::ENERGY),
    (&["Btu", "BTU", "btu"], BTU_J, D::ENERGY),
    (&["kBtu", "kBTU"], 1e3 * BTU_J, D::ENERGY),
    (&["MMBtu", "MMBTU", "mmBtu"], 1e6 * BTU_J, D::ENERGY),
    (&["therm", "therms", "thm"], THERM_J, D::ENERGY),
    (&["dekatherm", "dekatherms", "Dth"], 10.0 * THERM_J, D::ENERGY),
    (&["W", "w", "watt", "watts"], 1.0, D::POWER),
    (&["kW", "kilowatt", "kilowatts"], 1e3, D::POWER),
    (&["MW"], 1e6, D::POWER),
    (&["kVA"], 1e3, D::POWER),
    (&["MBH"], 1e3 * BTU_J / HOUR_S, D::POWER),
    (&["hp", "HP", "horsepower"], HORSEPOWER_W, D::POWER),
    (
        &["ton of refrigeration", "tons of refrigeration", "refrigeration ton", "refrigeration tons", "TR"],
        12e3 * BTU_J / HOUR_S,
        D::POWER,
    ),
    (&["Pa"], 1.0, D::PRESSURE),
    (&["hPa", "mbar", "mb", "millibar", "millibars"], 100.0, D::PRESSURE),
    (&["kPa"], 1e3, D::PRESSURE),
    (&["bar"], 1e5, D::PRESSURE),
    (&["psi"], POUND_KG * GRAVITY / (INCH_M * INCH_M), D::PRESSURE),
    (
        &[
            "in H2O",
            "inH2O",
            "in of water",
            "inch of water",
            "inches of water",
            "in wc",
            "in w.c.",
            "in wg",
            "in w.g.",
            "iwc",
            "iwg",
            "inwc",
            "inwg",
        ],
        249.088_9,
        D::PRESSURE,
    ),
    (&["mm H2O", "mmH2O", "mm of water", "mm wc", "mm wg"], GRAVITY, D::PRESSURE),
    (&["inHg", "in Hg", "inches of mercury", "inch of mercury"], 3_386.389, D::PRESSURE),
    (&["mmHg", "mm Hg", "torr", "Torr"], 133.322_4, D::PRESSURE),
    (&["%", "percent", "pct", "per cent", "points"], 1e-2, D::NONE),
    (&["1"], 1.0, D::NONE),
    (&["°", "deg", "degree", "degrees"], 1.0, D::ANGLE),
];

/// Scales of temperature: where water freezes on each.
pub(super) const SCALES: [(&str, f64); 4] = [("°C", 0.0), ("°F", 32.0), ("K", 273.15), ("°R", 491.67)];

/// Words that say what is measured and not how much. A value may leave them out, and may not say another.
pub(super) const QUALIFIERS: &[&str] = &[
    "received",
    "dried",
    "w.b.",
    "wb",
    "d.b.",
    "db",
    "RH",
    "lower",
    "higher",
    "of heat",
    "heat",
    "of dry air",
    "dry air",
    "of dry mass",
    "dry mass",
    "in store",
    "nuts",
    "from north through east",
];

/// Units to offer where another was written, the likeliest first.
pub(super) const EXAMPLES: &[&str] = &[
    "°C",
    "°F",
    "K",
    "kg",
    "t",
    "lb",
    "short tons",
    "m",
    "ft",
    "in",
    "m²",
    "ft2",
    "m³",
    "ft3",
    "L",
    "gal",
    "m³/s",
    "m³/h",
    "cfm",
    "h",
    "min",
    "d",
    "years",
    "months",
    "kWh",
    "MJ",
    "MMBtu",
    "therm",
    "kW",
    "kBtu/h",
    "hp",
    "tons of refrigeration",
    "Pa",
    "kPa",
    "in H2O",
    "psi",
    "%",
    "°",
    "m³/s per t",
    "m³/h per t",
    "cfm/lb",
    "m³/h per m³",
    "cfm/ft3",
    "W/K",
    "Btu/(h °F)",
    "W/(m² K)",
    "Btu/(h ft2 °F)",
    "kg/m³",
    "lb/ft3",
    "MJ/kg",
    "kWh/t",
    "Btu/lb",
    "kWh/L",
    "Btu/gal",
    "W/t",
    "Btu/h per short ton",
    "kg/kWh",
    "lb/kWh",
    "kg/MMBtu",
    "1/h",
    "%/h",
    "%/a",
    "kJ/K",
    "Btu/°F",
    "money/kWh",
    "money/therm",
    "money/MMBtu",
    "money/L",
    "money/gal",
    "money/t",
    "money/lb",
    "money/short ton",
    "money/m³",
    "money/ft3",
    "money/kW/month",
    "money/a",
    "money/month",
    "kg/s",
    "lb/min",
];

/// What one unit of this name is in base units. For other rooms that know a unit by its name.
pub(crate) const fn factor_of(name: &str) -> f64 {
    let mut at = 0;
    while at < NAMES.len() {
        let (names, factor, _) = NAMES[at];
        let mut which = 0;
        while which < names.len() {
            if is_equal(names[which].as_bytes(), name.as_bytes()) {
                return factor;
            }
            which += 1;
        }
        at += 1;
    }
    panic!("no unit of this name")
}

const fn is_equal(a: &[u8], b: &[u8]) -> bool {
    if a.len() != b.len() {
        return false;
    }
    let mut at = 0;
    while at < a.len() {
        if a[at] != b[at] {
            return false;
        }
        at += 1;
    }
    true
}
