//! Where the station of an unknown table is: from the lines above its header, and from columns that say
//! the same in every row.

use crate::table::offset_minutes;
use crate::table::{DecimalMark, parse};
use crate::weather::read::layout::Layout;
use crate::weather::read::words;
use crate::weather::reading::Station;

/// What the lines above the header say of the station: `Latitude: 45.0`, `ALTITUDE:;785,64`.
pub(crate) fn station_of(layout: &Layout<'_>) -> Station {
    let lines: Vec<String> = layout.preamble.iter().map(|line| String::from_utf8_lossy(line).into_owned()).collect();
    let mut station = station_in(lines.iter().map(String::as_str), layout.decimal);
    station_columns(layout, &mut station);
    station
}

/// What a station lacks and a column repeats in every row: `LAT;LON;ALTI`.
fn station_columns(layout: &Layout<'_>, station: &mut Station) {
    for (place, name) in layout.header.iter().enumerate() {
        let words = words::words(name);
        let (Some(kind), Some(value)) = (words.first().and_then(|word| Where::of(word)), layout.constant(place)) else {
            continue;
        };
        let known = kind.of_station(station);
        *known = known.or(Some(value));
    }
}

/// What a word says of where a station is.
#[derive(Clone, Copy)]
enum Where {
    Latitude,
    Longitude,
    Elevation,
}

impl Where {
    fn of(word: &str) -> Option<Self> {
        Some(match word {
            "lat" | "latitude" | "latitud" | "breite" | "breitengrad" => Self::Latitude,
            "lon" | "long" | "longitude" | "longitud" | "lange" | "langengrad" => Self::Longitude,
            "elevation" | "elev" | "altitude" | "alt" | "alti" | "altitud" | "hohe" | "height" | "stationshohe" => {
                Self::Elevation
            }
            _ => return None,
        })
    }

    fn of_station(self, station: &mut Station) -> &mut Option<f64> {
        match self {
            Self::Latitude => &mut station.latitude,
            Self::Longitude => &mut station.longitude,
            Self::Elevation => &mut station.elevation_m,
        }
    }
}

/// Station data in `key: value` lines; the parting mark may be `:`, `=`, `;`, a tab or a comma.
pub(crate) fn station_in<'a>(lines: impl Iterator<Item = &'a str>, decimal: DecimalMark) -> Station {
    let mut station = Station::default();
    for line in lines.flat_map(pairs) {
        let Some((key, value)) = line.split_once(':').or_else(|| line.split_once(['=', ';', '\t', ','])) else {
            continue;
        };
        let value = value.trim_matches(|c: char| ":;=,\"".contains(c) || c.is_whitespace());
        let words = words::words(key);
        let first = words.first().map_or("", String::as_str);
        let number = || first_number(value, decimal);
        // `Station Height: 81 M` as well as `Height: 81 M`.
        let place = match words.as_slice() {
            [station, what] if station == "station" => Where::of(what),
            _ => Where::of(first),
        };
        if let Some(place) = place {
            *place.of_station(&mut station) = number();
            continue;
        }
        match first {
            "station" | "name" | "estacao" | "estac" | "estacion" | "site" | "location" | "stationsname"
                if station.name.is_empty() && number().is_none() =>
            {
                value.clone_into(&mut station.name);
            }
            "utc" | "timezone" | "time" => {
                let text = value.trim_start_matches("UTC").trim_start_matches("GMT");
                station.utc_offset_minutes = station.utc_offset_minutes.or(offset_minutes(text.as_bytes()));
            }
            _ => {}
        }
    }
    station
}

/// The `key: value` pairs of a line: `Latitude: 53.8, Longitude: -9.0` holds two.
fn pairs(line: &str) -> Vec<&str> {
    let line = line.trim().trim_start_matches('#').trim();
    let parts: Vec<&str> = line.split([',', ';']).collect();
    if parts.len() > 1 && parts.iter().all(|part| part.contains(':')) {
        parts.into_iter().map(str::trim).collect()
    } else {
        vec![line]
    }
}

/// The first number in a text such as `45.0 N` or `250.0 m`; south and west are negative.
pub(crate) fn first_number(text: &str, decimal: DecimalMark) -> Option<f64> {
    let start = text.find(|c: char| c.is_ascii_digit() || c == '-')?;
    let rest = &text[start..];
    let end = rest.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c))).unwrap_or(rest.len());
    let value =
        parse(&rest.as_bytes()[..end], decimal).or_else(|| parse(&rest.as_bytes()[..end], DecimalMark::Point))?;
    let side = rest[end..].trim_start().trim_start_matches('°').trim();
    let southwest = matches!(side, "S" | "W" | "s" | "w") && value > 0.0;
    Some(if southwest { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_above_the_header_say_where_the_station_is() {
        let lines = [
            "Station Name: SOMEWHERE",
            "Station Height: 81 M ",
            "Latitude:53.8  ,Longitude: -9.0",
            "date:  -  Date and Time (utc)",
        ];
        let station = station_in(lines.into_iter(), DecimalMark::Point);
        assert_eq!(station.elevation_m, Some(81.0));
        assert_eq!((station.latitude, station.longitude), (Some(53.8), Some(-9.0)));
        let south = station_in(["# lat = 16.9 S"].into_iter(), DecimalMark::Point);
        assert_eq!(south.latitude, Some(-16.9));
    }

    #[test]
    fn columns_that_never_change_say_it_too_and_are_no_pressure() {
        let mut text = String::from("NUM;LAT;LON;ALTI;AAAAMMJJHH;T;U;PSTAT;PMER\n");
        for hour in 0..24 {
            let (t, p) = (hour % 9, hour % 7);
            text += "7;46.2;5.6;790;";
            text.extend([format!("20310101{hour:02};1{t}.5;80;92{p}.4;1013.1\n")]);
        }
        let guess = crate::weather::read::guess::guess(&text).unwrap();
        assert_eq!(guess.station.elevation_m, Some(790.0));
        assert_eq!(guess.station.latitude, Some(46.2));
        assert_eq!(guess.map.pressure.unwrap().name, "PSTAT");
    }
}
