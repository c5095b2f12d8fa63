//! What quantity a column's name speaks of, in the languages of the services whose tables
//! are read (English, German, French, Spanish, Portuguese, Italian, Dutch).

/// Quantities that a column may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Quantity {
    DryBulb,
    RelativeHumidity,
    DewPoint,
    WetBulb,
    StationPressure,
    SeaLevelPressure,
    GlobalHorizontal,
    WindSpeed,
}

/// Words of a name: lower case, without accents, parted at everything that is no letter or digit and
/// where `camelCase` begins a new word.
pub(crate) fn words(name: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut was_lower = false;
    for c in name.chars() {
        if !c.is_alphanumeric() {
            words.push(String::new());
            was_lower = false;
            continue;
        }
        if c.is_uppercase() && was_lower {
            words.push(String::new());
        }
        was_lower = c.is_lowercase();
        if let Some(word) = words.last_mut() {
            word.extend(c.to_lowercase().map(plain));
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The letter without its accent.
fn plain(c: char) -> char {
    match c {
        'á' | 'à' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'é' | 'è' | 'ê' | 'ë' => 'e',
        'í' | 'ì' | 'î' | 'ï' => 'i',
        'ó' | 'ò' | 'ô' | 'õ' | 'ö' => 'o',
        'ú' | 'ù' | 'û' | 'ü' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        other => other,
    }
}

/// Statistics, flags and other places: such a column is not the hour's own value of the outside air.
#[rustfmt::skip] // words side by side
const NOT_THE_VALUE: &[&str] = &[
    "max", "maxima", "maximo", "maximum", "maximale", "min", "minima", "minimo", "minimum",
    "minimale", "ant", "count", "flag", "flags", "quality", "qualitat", "qn", "qc", "source",
    "uncert", "uncertainty", "std", "stdev", "sd", "var", "deviation", "soil", "boden", "solo",
    "suelo", "ground", "grass", "surface", "skin", "sea", "water", "chill", "feels", "apparent",
    "index", "indoor", "inside", "room", "battery", "logger", "internal", "module", "cell",
    "panel", "globe", "departure", "normal", "range", "tendency", "change", "trend",
    "depression", "deficit", "wert", "fill", "10cm", "5cm", "daily", "monthly", "high", "low",
    "hi", "lo",
];

fn has(words: &[String], any: &[&str]) -> bool {
    words.iter().any(|word| any.contains(&word.as_str()))
}

fn begins(words: &[String], any: &[&str]) -> bool {
    words.iter().any(|word| any.iter().any(|start| word.starts_with(start)))
}

/// What the words of a name speak of.
#[allow(clippy::struct_excessive_bools)] // nine findings that do not exclude one another
struct Speaks {
    dew: bool,
    wet: bool,
    humidity: bool,
    pressure: bool,
    vapour: bool,
    temperature: bool,
    sun: bool,
    wind: bool,
    elsewhere: bool,
}

impl Speaks {
    #[rustfmt::skip] // words side by side
    fn of(words: &[String]) -> Self {
        Self {
            dew: begins(words, &[
                "dew", "dwp", "taupunkt", "orvalho", "rocio", "rosee", "rugiada", "dauwpunt", "tde200",
            ]) || has(words, &["td", "tdew", "tdp", "t2mdew", "d2m", "dpt"]),
            wet: begins(words, &["wet", "feuchttemp", "humedo", "umido", "humide", "twb"])
                || has(words, &["tw", "t2mwet", "wbt", "wb"]),
            humidity: begins(words, &[
                "humid", "hum", "feucht", "luftfeucht", "umid", "humed", "vochtig", "relhum", "rhum", "relh",
                "ure200",
            ]) || has(words, &["rh", "rh2m", "hr", "ur", "rf", "hurs", "u"]),
            pressure: begins(words, &[
                "press", "luftdruck", "druck", "baro", "presion", "pression", "mslp", "altim", "presta",
            ]) || has(words, &[
                "bp", "p", "pmer", "slp", "msl", "qnh", "qff", "qfe", "sp", "ps", "psfc", "pres", "stp", "pp",
                "p0", "patm", "alti", "pstat",
            ]),
            vapour: begins(words, &["vapo", "dampf", "vpd"]),
            temperature: begins(words, &["temp", "drybulb", "lufttemp", "tre200", "tmp", "tair"])
                || has(words, &["t2m", "tc", "airtc", "airt", "tdb", "dbt", "ta", "tt", "tas", "t", "oat"])
                || (has(words, &["dry"]) && has(words, &["bulb"])),
            sun: begins(words, &[
                "ghi", "global", "shortwave", "ssrd", "srad", "radia", "irradia", "solar", "allsky",
            ]) || has(words, &["glo", "gh", "fg", "rs", "rg"])
                || words.first().is_some_and(|word| word == "g") && has(words, &["h", "i"]),
            wind: begins(words, &["wind", "vent", "viento", "wspd", "wspeed"])
                || has(words, &["ws", "ws10m", "ws2m", "ff", "sknt", "speed"]),
            elsewhere: has(words, NOT_THE_VALUE),
        }
    }
}

/// How well a name fits a quantity; zero if it does not.
pub(crate) fn fit(name: &str, quantity: Quantity) -> u32 {
    let words = words(name);
    let is = Speaks::of(&words);
    // Weather stations at home write `In Temp` beside `Out Temp`.
    let indoors = words.first().is_some_and(|word| word == "in");
    let fits = match quantity {
        Quantity::DryBulb => is.temperature && !is.dew && !is.wet && !is.elsewhere && !is.wind && !indoors,
        Quantity::RelativeHumidity => {
            let other = has(&words, &["absolute", "specific", "ratio", "abs"]);
            is.humidity && !is.wet && !is.dew && !is.elsewhere && !other && !indoors
        }
        Quantity::DewPoint => is.dew && !is.elsewhere,
        Quantity::WetBulb => is.wet && !is.elsewhere && !has(&words, &["days"]),
        Quantity::StationPressure => is.pressure && !is.vapour && !is_sea_level(&words) && !spoilt(&words),
        Quantity::SeaLevelPressure => is.pressure && !is.vapour && is_sea_level(&words) && !spoilt(&words),
        Quantity::GlobalHorizontal => {
            let part = begins(
                &words,
                &["diff", "direct", "dni", "dhi", "beam", "long", "net", "uv", "clear", "illum", "time", "zenith"],
            );
            is.sun && !is.elsewhere && !part
        }
        Quantity::WindSpeed => {
            let other = begins(&words, &["dir", "gust", "rajada", "deg", "richt", "drct", "vis", "rafaga"]);
            is.wind && !is.elsewhere && !other
        }
    };
    if !fits {
        return 0;
    }
    // Of several that fit, the one that names the outside air, then one that says it is the hour's.
    let of_air = quantity == Quantity::DryBulb
        && (begins(&words, &["air", "luft", "outdoor", "outside", "ambient", "aire", "drybulb"])
            || has(&words, &["ar", "dry", "seco", "sec", "t2m", "2m", "200"]));
    let of_hour = has(&words, &["mean", "avg", "average", "mittel", "media", "horaria"]);
    10 + u32::from(of_air) * 3 + u32::from(of_hour)
}

fn is_sea_level(words: &[String]) -> bool {
    has(
        words,
        &[
            "sea",
            "msl",
            "mslp",
            "slp",
            "qnh",
            "qff",
            "mar",
            "mer",
            "nn",
            "reduced",
            "relative",
            "pmer",
            "alti",
            "altimeter",
            "meereshohe",
            "psl",
        ],
    )
}

/// The statistics and flags that spoil a pressure; "sea" and "surface" do not.
fn spoilt(words: &[String]) -> bool {
    words
        .iter()
        .any(|word| NOT_THE_VALUE.contains(&word.as_str()) && !["sea", "surface", "ground"].contains(&word.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity::{
        DewPoint, DryBulb, GlobalHorizontal, RelativeHumidity, SeaLevelPressure, StationPressure, WetBulb, WindSpeed,
    };

    #[test]
    fn names_in_many_languages_are_understood() {
        for (name, quantity) in [
            ("Temperatur [°C]", DryBulb),
            ("rel. Feuchte [%]", RelativeHumidity),
            ("TEMPERATURA DO AR - BULBO SECO, HORARIA (°C)", DryBulb),
            ("TEMPERATURA DO PONTO DE ORVALHO (°C)", DewPoint),
            ("UMIDADE RELATIVA DO AR, HORARIA (%)", RelativeHumidity),
            ("PRESSAO ATMOSFERICA AO NIVEL DA ESTACAO, HORARIA (mB)", StationPressure),
            ("RADIACAO GLOBAL (KJ/m²)", GlobalHorizontal),
            ("VENTO, VELOCIDADE HORARIA (m/s)", WindSpeed),
            ("station level pressure mean", StationPressure),
            ("msl pressure mean", SeaLevelPressure),
            ("air temp mean", DryBulb),
            ("wet bulb mean", WetBulb),
            ("AirTemp_C", DryBulb),
            ("temperature_2m (°C)", DryBulb),
            ("surface_pressure (hPa)", StationPressure),
            ("pressure_msl (hPa)", SeaLevelPressure),
            ("shortwave_radiation (W/m²)", GlobalHorizontal),
            ("T2M", DryBulb),
            ("T2MDEW", DewPoint),
            ("dwpf", DewPoint),
            ("Humedad relativa", RelativeHumidity),
            ("Température", DryBulb),
            ("HourlyDryBulbTemperature", DryBulb),
            ("HourlyRelativeHumidity", RelativeHumidity),
            ("HourlyStationPressure", StationPressure),
            ("Air Temperature in degrees C", DryBulb),
            ("Relative humidity in percentage %", RelativeHumidity),
            ("Station level pressure in hPa", StationPressure),
            ("tre200h0", DryBulb),
            ("ure200h0", RelativeHumidity),
            ("prestah0", StationPressure),
            ("pmer", SeaLevelPressure),
            ("Relative Pressure (inHg)", SeaLevelPressure),
            ("Absolute Pressure (inHg)", StationPressure),
            ("d2m", DewPoint),
        ] {
            assert!(fit(name, quantity) > 0, "{name}");
            for other in [DryBulb, RelativeHumidity, DewPoint, WetBulb, StationPressure, SeaLevelPressure] {
                assert!(other == quantity || fit(name, other) == 0, "{name} also {other:?}");
            }
        }
    }

    #[test]
    fn statistics_and_other_places_are_left_alone() {
        for name in [
            "TEMPERATURA MÁXIMA NA HORA ANT. (AUT) (°C)",
            "air temp max",
            "air temp count",
            "Soil temperature",
            "wind chill temp",
            "apparent_temperature (°C)",
            "Dry-bulb source",
            "In Temp",
            "High Temp - °C",
            "DailyAverageDryBulbTemperature",
            "Quality of air temperature",
        ] {
            assert_eq!(fit(name, DryBulb), 0, "{name}");
        }
        assert_eq!(fit("wind direction", WindSpeed), 0);
        assert_eq!(fit("Vapour pressure", StationPressure), 0);
    }
}
