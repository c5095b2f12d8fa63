//! Generated hours as the tool's own weather CSV.

use super::climate::Normals;
use crate::table::{offset_text, whole};
use crate::weather::hour::Hour;
use std::fmt::Write as _;

/// The hours as CSV text, with a head that says they are invented, from which table and seed.
/// Rounded as instruments are read: 0.1 °C, 0.1 % RH, 10 Pa, 1 W/m², 0.1 m/s.
pub fn write_csv(normals: &Normals, hours: &[Hour], made_from: &str, seed: u64) -> String {
    let place = normals.place;
    let mut text = String::with_capacity(hours.len() * 48 + 500);
    let minutes = i32::try_from(whole(place.utc_offset_h * 60.0)).unwrap_or(0);
    let head = [
        "# invented weather: hours drawn at random around monthly normals; never measured".to_owned(),
        format!("# station: {}", normals.site.as_deref().unwrap_or("a site without a name")),
        format!("# normals: {made_from}"),
        format!("# seed: {seed}"),
        format!("# latitude: {}", place.latitude),
        format!("# longitude: {}", place.longitude),
        format!("# altitude_m: {}", normals.altitude_m),
        format!("# utc_offset: {}", offset_text(minutes)),
    ];
    for line in head {
        // A line break in a name must not become a row.
        text.push_str(&line.replace(['\n', '\r'], " "));
        text.push('\n');
    }
    let has_sun = hours.iter().any(|h| h.global_horizontal_w_per_m2.is_some());
    let has_wind = hours.iter().any(|h| h.wind_m_per_s.is_some());
    text.push_str("time,dry_bulb_c,relative_humidity_pct,pressure_pa");
    text.push_str(if has_sun { ",global_horizontal_w_per_m2" } else { "" });
    text.push_str(if has_wind { ",wind_m_per_s\n" } else { "\n" });
    for hour in hours {
        // Writing to a String cannot fail.
        let _ = write!(
            text,
            "{},{:.1},{:.1},{:.0}",
            hour.starts.format("%Y-%m-%dT%H:%M"),
            no_minus_zero(hour.air.dry_bulb_c(), 10.0),
            hour.air.relative_humidity() * 100.0,
            (hour.air.pressure_pa() / 10.0).round() * 10.0,
        );
        if has_sun {
            text.push(',');
            if let Some(global) = hour.global_horizontal_w_per_m2 {
                let _ = write!(text, "{global:.0}");
            }
        }
        if has_wind {
            text.push(',');
            if let Some(wind) = hour.wind_m_per_s {
                let _ = write!(text, "{wind:.1}");
            }
        }
        text.push('\n');
    }
    text
}

/// Rounded to this many parts of one, without the sign of a zero.
fn no_minus_zero(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}
