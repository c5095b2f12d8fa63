//! The column map of an unknown table, guessed from its names, its units and its content.

pub(crate) mod station;
mod time;

use super::layout::Layout;
use super::stated_units;
use super::words::{Quantity, fit};
use crate::air::standard_pressure_pa;
use crate::table::{parse, parse_with_tail};
use crate::weather::check::agreement::{Triple, mean_miss_pct};
use crate::weather::columns::{Column, ColumnMap};
use crate::weather::problem::Problem;
use crate::weather::reading::Station;
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureLevel, PressureUnit, SpeedUnit, TemperatureUnit};
use station::station_of;

/// A guessed map, what is doubtful about it, and what the lines above the header say of the station.
pub(crate) struct Guess {
    pub map: ColumnMap,
    pub problems: Vec<Problem>,
    pub station: Station,
}

/// Guesses, or says which column is lacking and what there is instead.
pub(crate) fn guess(text: &str) -> Result<Guess, String> {
    let layout = Layout::find(text)?;
    let mut problems = Vec::new();
    let time = time::guess(&layout, &mut problems)?;
    let best = |quantity| best_column(&layout, quantity, &time.places);
    let header = |place: usize| layout.name_of(place);
    let lacking =
        |what: &str| format!("no {what} column: found {}; name the columns in [weather.columns]", layout.shown());
    let dry_bulb = best(Quantity::DryBulb).ok_or_else(|| lacking("temperature"))?;
    let relative_humidity = relative_humidity_column(&layout).or_else(|| best(Quantity::RelativeHumidity));
    let dew_point = best(Quantity::DewPoint);
    let wet_bulb = best(Quantity::WetBulb);
    if relative_humidity.is_none() && dew_point.is_none() && wet_bulb.is_none() {
        return Err(lacking("relative humidity, dew point or wet bulb"));
    }
    if relative_humidity.is_none() {
        let instead = dew_point.or(wet_bulb).map_or_else(String::new, header);
        problems.push(Problem::note(
            "columns.humidity",
            format!("no relative humidity column: found {instead}, humidity is computed from it"),
        ));
    }
    let station = station_of(&layout);
    let mut map = ColumnMap::new("", header(dry_bulb));
    map.separator = layout.separator;
    map.decimal = layout.decimal;
    map.time = time.columns;
    map.time_form = time.form;
    map.zone = time.zone;
    map.utc = time.utc;
    map.dry_bulb.unit = temperature_unit(&layout, dry_bulb, relative_humidity, dew_point, &mut problems);
    let temperature = |place: usize| {
        let unit = stated_temperature(&layout, place).unwrap_or(map.dry_bulb.unit);
        Column::new(header(place), unit)
    };
    map.dew_point = dew_point.map(temperature);
    map.wet_bulb = wet_bulb.map(temperature);
    map.relative_humidity = relative_humidity.map(|place| {
        let highest = layout.numbers(place).into_iter().fold(0.0, f64::max);
        // Told by the check of values; the map says what was concluded.
        let fraction = highest > 0.0 && highest <= 1.5 && !states_percent(&layout, place);
        let unit = if fraction { HumidityUnit::Fraction } else { HumidityUnit::Percent };
        if fraction {
            problems.push(Problem::warning(
                "humidity.fraction",
                format!(
                    "the largest relative humidity is {highest}: looks like a fraction and is read as 0..1; read \
                     as percent the air would be about 100 times too dry. State relative_humidity_unit to be sure"
                ),
            ));
        }
        Column::new(header(place), unit)
    });
    pressure(&layout, &best, &station, &mut map);
    sun_and_wind(&layout, &best, &mut map);
    Ok(Guess { map, problems, station })
}

/// Some synoptic archives call rain `RH` and relative humidity `U`: where both stand, it is `U`.
fn relative_humidity_column(layout: &Layout<'_>) -> Option<usize> {
    let find = |wanted: &str| layout.header.iter().position(|name| name.eq_ignore_ascii_case(wanted));
    find("RH").and_then(|_| find("U"))
}

/// The best named column of a quantity that holds numbers.
fn best_column(layout: &Layout<'_>, quantity: Quantity, taken: &[usize]) -> Option<usize> {
    let mut best: Option<(usize, u32)> = None;
    for (place, name) in layout.header.iter().enumerate() {
        let fits = fit(name, quantity);
        if fits == 0 || taken.contains(&place) || best.is_some_and(|(_, most)| fits <= most) {
            continue;
        }
        let holds_numbers = layout.column(place).any(|cell| parse_with_tail(cell, layout.decimal).is_some());
        // `ALTI` is an altimeter's pressure in some tables and the station's altitude in others.
        let is_fixed = matches!(quantity, Quantity::StationPressure | Quantity::SeaLevelPressure)
            && layout.constant(place).is_some();
        if holds_numbers && !is_fixed {
            best = Some((place, fits));
        }
    }
    best.map(|(place, _)| place)
}

fn unit_cell<'l>(layout: &'l Layout<'_>, place: usize) -> &'l str {
    layout.units.get(place).map_or("", String::as_str)
}

fn states_percent(layout: &Layout<'_>, place: usize) -> bool {
    let text = format!("{} {}", layout.header[place], unit_cell(layout, place)).to_lowercase();
    text.contains('%') || text.contains("pct") || text.contains("percent")
}

fn stated_temperature(layout: &Layout<'_>, place: usize) -> Option<TemperatureUnit> {
    stated_units::temperature(&layout.header[place], unit_cell(layout, place))
}

/// The unit of the dry bulb: stated, or the one that fits what humidity and dew point say, or the one
/// that makes weather of the numbers.
fn temperature_unit(
    layout: &Layout<'_>,
    dry_bulb: usize,
    relative_humidity: Option<usize>,
    dew_point: Option<usize>,
    problems: &mut Vec<Problem>,
) -> TemperatureUnit {
    if let Some(unit) = stated_temperature(layout, dry_bulb) {
        return unit;
    }
    let mut values = layout.numbers(dry_bulb);
    if values.is_empty() {
        return TemperatureUnit::Celsius;
    }
    values.sort_by(f64::total_cmp);
    let median = values[values.len() / 2];
    let highest = values[values.len() * 99 / 100];
    let (unit, why) = if let Some(unit) = by_humidity(layout, dry_bulb, relative_humidity, dew_point) {
        (unit, "agreement with relative humidity and dew point")
    } else if median > 200.0 {
        (TemperatureUnit::Kelvin, "their size")
    } else if highest > 55.0 {
        (TemperatureUnit::Fahrenheit, "their size")
    } else {
        return TemperatureUnit::Celsius;
    };
    let name = match unit {
        TemperatureUnit::Fahrenheit => "°F",
        TemperatureUnit::Kelvin => "K",
        TemperatureUnit::TenthCelsius => "tenths of °C",
        TemperatureUnit::Celsius => return unit,
    };
    problems.push(Problem::warning(
        "columns.unit",
        format!("temperatures name no unit; by {why} they are in {name}: state dry_bulb_unit to be sure"),
    ));
    unit
}

/// °C, °F, tenths of °C or K, whichever makes dry bulb, dew point and relative humidity agree.
fn by_humidity(
    layout: &Layout<'_>,
    dry_bulb: usize,
    relative_humidity: Option<usize>,
    dew_point: Option<usize>,
) -> Option<TemperatureUnit> {
    let (humidity, dew_point) = (relative_humidity?, dew_point?);
    let triples: Vec<Triple> = layout
        .spread
        .iter()
        .filter_map(|cells| {
            let number = |place: usize| parse(cells.get(place)?, layout.decimal);
            Some((number(dry_bulb)?, number(dew_point)?, number(humidity)?))
        })
        .collect();
    let units =
        [TemperatureUnit::Celsius, TemperatureUnit::Fahrenheit, TemperatureUnit::TenthCelsius, TemperatureUnit::Kelvin];
    let misses = units.map(|unit| mean_miss_pct(&triples, unit));
    let best = units
        .into_iter()
        .zip(misses)
        .filter_map(|(unit, miss)| Some((unit, miss?)))
        .min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(best.0)
}

fn pressure(layout: &Layout<'_>, best: &impl Fn(Quantity) -> Option<usize>, station: &Station, map: &mut ColumnMap) {
    let at_station = best(Quantity::StationPressure);
    let at_sea = best(Quantity::SeaLevelPressure);
    let Some(place) = at_station.or(at_sea) else {
        return;
    };
    let mut values = layout.numbers(place);
    values.sort_by(f64::total_cmp);
    let Some(&median) = values.get(values.len() / 2) else {
        return;
    };
    let stated = stated_units::pressure(&layout.header[place], unit_cell(layout, place));
    let unit = stated.unwrap_or_else(|| pressure_unit_by_size(median, station));
    map.pressure = Some(Column::new(layout.name_of(place), unit));
    map.pressure_level = if at_station.is_some() { PressureLevel::Station } else { PressureLevel::SeaLevel };
}

/// The unit in which a pressure of this size is nearest to the standard atmosphere's.
fn pressure_unit_by_size(median: f64, station: &Station) -> PressureUnit {
    let expected = station.elevation_m.map_or(98_000.0, standard_pressure_pa);
    let mut best = (PressureUnit::Hectopascal, f64::INFINITY);
    for unit in [
        PressureUnit::Hectopascal,
        PressureUnit::Pascal,
        PressureUnit::Kilopascal,
        PressureUnit::InchOfMercury,
        PressureUnit::MillimetreOfMercury,
    ] {
        let miss = (median * unit.pascals() / expected - 1.0).abs();
        if miss < best.1 {
            best = (unit, miss);
        }
    }
    best.0
}

/// Irradiance and wind are taken only if their unit is beyond doubt; nothing rests on them here.
fn sun_and_wind(layout: &Layout<'_>, best: &impl Fn(Quantity) -> Option<usize>, map: &mut ColumnMap) {
    if let Some(place) = best(Quantity::GlobalHorizontal) {
        let highest = layout.numbers(place).into_iter().fold(0.0, f64::max);
        let unit = stated_units::irradiance(&layout.header[place], unit_cell(layout, place))
            .or_else(|| (highest <= 1_500.0 && highest > 100.0).then_some(IrradianceUnit::WattPerSquareMetre));
        map.global_horizontal = unit.map(|unit| Column::new(layout.name_of(place), unit));
    }
    if let Some(place) = best(Quantity::WindSpeed) {
        let unit: Option<SpeedUnit> = stated_units::speed(&layout.header[place], unit_cell(layout, place));
        map.wind = unit.map(|unit| Column::new(layout.name_of(place), unit));
    }
}
