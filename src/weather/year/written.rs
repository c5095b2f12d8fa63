//! A clean copy in the tool's own CSV.

use super::series::Series;
use crate::table::offset_text;
use crate::weather::reading::Station;
use std::fmt::Write as _;

/// The series as the tool's own CSV, whole and without gaps where the series has none. The station
/// stands in `#` lines above the header.
pub fn to_csv(series: &Series, station: &Station) -> String {
    let has_sun = series.hours.iter().any(|hour| hour.global_horizontal_w_per_m2.is_some());
    let has_wind = series.hours.iter().any(|hour| hour.wind_m_per_s.is_some());
    let mut csv = String::with_capacity(series.hours.len() * 48 + 400);
    // Writing to a String cannot fail.
    let _ = head(&mut csv, series, station, has_sun, has_wind);
    for hour in &series.hours {
        let _ = write!(
            csv,
            "{},{:.3},{:.3},{:.1}",
            hour.starts.format("%Y-%m-%dT%H:%M"),
            hour.air.dry_bulb_c(),
            hour.air.relative_humidity() * 100.0,
            hour.air.pressure_pa()
        );
        for (column, value) in [(has_sun, hour.global_horizontal_w_per_m2), (has_wind, hour.wind_m_per_s)] {
            if column {
                csv.push(',');
                if let Some(value) = value {
                    let _ = write!(csv, "{value:.2}");
                }
            }
        }
        csv.push('\n');
    }
    csv
}

fn head(csv: &mut String, series: &Series, station: &Station, has_sun: bool, has_wind: bool) -> std::fmt::Result {
    if series.invented {
        writeln!(csv, "# invented weather: made from hours that were never measured")?;
    }
    if !station.name.is_empty() {
        writeln!(csv, "# station: {}", station.name.replace(['\n', '\r'], " "))?;
    }
    for (key, value) in
        [("latitude", station.latitude), ("longitude", station.longitude), ("elevation_m", station.elevation_m)]
    {
        if let Some(value) = value {
            writeln!(csv, "# {key}: {value}")?;
        }
    }
    if let Some(minutes) = series.utc_offset_minutes {
        writeln!(csv, "# utc_offset: {}", offset_text(minutes))?;
    }
    if series.typical {
        writeln!(csv, "# typical year: months come from different years")?;
    }
    csv.push_str("time,dry_bulb_c,relative_humidity_pct,pressure_pa");
    if has_sun {
        csv.push_str(",global_horizontal_w_per_m2");
    }
    if has_wind {
        csv.push_str(",wind_m_per_s");
    }
    csv.push('\n');
    Ok(())
}
