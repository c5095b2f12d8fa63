//! How a room's air is exchanged with outside air.

use crate::study::crop::CropRead;
use crate::study::cursor::Cursor;

/// What matters where air recirculates.
pub(super) struct Exchange {
    /// Humidity above which more fresh air is drawn, fraction.
    pub relative_humidity_max: f64,
    /// Humidity up to which fresh air is throttled when heat is short, fraction.
    pub relative_humidity_when_short: f64,
    /// Least fresh air, m³/s.
    pub fresh_air_min_m3_per_s: f64,
    /// Most fresh air, m³/s.
    pub fresh_air_max_m3_per_s: f64,
    /// Loss through walls, roof and floor, W/K.
    pub envelope_ua_w_per_k: f64,
}

impl Exchange {
    /// Of a room whose air passes once.
    const NONE: Self = Self {
        relative_humidity_max: 1.0,
        relative_humidity_when_short: 1.0,
        fresh_air_min_m3_per_s: 0.0,
        fresh_air_max_m3_per_s: 0.0,
        envelope_ua_w_per_k: 0.0,
    };
}

/// The keys that are read here.
const KEYS: [&str; 5] = [
    "relative_humidity_max",
    "relative_humidity_when_short",
    "fresh_air_min_m3_per_s",
    "fresh_air_max_m3_per_s",
    "envelope_ua_w_per_k",
];

/// Marks the keys that are read here as known.
pub(super) fn claim_keys(room: &Cursor<'_>) {
    for key in KEYS {
        room.claim(key);
    }
}

/// Share of the humidity in balance with nuts at their target, in which they still dry to it.
const STILL_DRIES: f64 = 0.9;

/// Humidity (fraction) of room air of this temperature in which mould does not grow and nuts still dry
/// to their target, whichever crop they are of.
pub(super) fn dampest_that_dries(crops: &[CropRead], room_c: f64) -> f64 {
    let dampest = crops.iter().map(|crop| dampest_of(crop, room_c));
    dampest.fold(f64::INFINITY, f64::min)
}

fn dampest_of(crop: &CropRead, room_c: f64) -> f64 {
    let practice = crop.crop.practice();
    let isotherm = &crop.nuts.isotherm;
    let in_balance = isotherm.equilibrium_relative_humidity(room_c, practice.dried_moisture);
    practice.mould_water_activity.min(STILL_DRIES * in_balance)
}

/// Humidity limits, fresh air and envelope. `bins_air_m3_per_s` is the air of all bins together, and
/// `dampest_that_dries` the humidity in which nuts still dry, fraction.
pub(super) fn read_exchange(
    room: &Cursor<'_>,
    recirculates: bool,
    dampest_that_dries: f64,
    bins_air_m3_per_s: f64,
) -> Option<Exchange> {
    if !recirculates {
        for key in KEYS {
            if room.kind(key).is_some() {
                room.claim(key);
                room.warn(key, "has no meaning where air passes once", "leave it out");
            }
        }
        return Some(Exchange::NONE);
    }
    let rh_max = room
        .number("relative_humidity_max")
        .unit("% RH")
        .within(5.0, 95.0)
        .default(45.0, "assumption: keeps the drying rate up without throwing warm air away");
    let when_short = room
        .number("relative_humidity_when_short")
        .unit("% RH")
        .within(5.0, 95.0)
        .when("no less than relative_humidity_max", |ceiling| {
            *ceiling >= rh_max
        })
        .default(
            (100.0 * dampest_that_dries).max(rh_max),
            "rule: the crop's mould threshold, or nine tenths of the humidity in balance with nuts at \
             their target if that is less; fresh air is throttled so far before the temperature falls",
        );
    let fresh_min = room
        .number("fresh_air_min_m3_per_s")
        .unit("m³/s")
        .above(0.0)
        .default(0.02 * bins_air_m3_per_s, "assumption: 2 % of the bins' air");
    let fresh_max = room
        .number("fresh_air_max_m3_per_s")
        .unit("m³/s")
        .above(0.0)
        .default(bins_air_m3_per_s, "assumption: as much as the bins' air");
    // Bins that could not be read give no air to compare with.
    if fresh_min > fresh_max && bins_air_m3_per_s > 0.0 {
        room.complain(
            "fresh_air_min_m3_per_s",
            &format!("is {fresh_min}, above fresh_air_max_m3_per_s, which is {fresh_max}"),
            "no more than the most",
            "exchange the two, or mend one",
        );
    }
    let ua = room
        .number("envelope_ua_w_per_k")
        .unit("W/K")
        .within(0.0, 1e6)
        .hint("give the sum of U x area over walls, roof and floor")
        .required();
    Some(Exchange {
        relative_humidity_max: rh_max / 100.0,
        relative_humidity_when_short: when_short / 100.0,
        fresh_air_min_m3_per_s: fresh_min,
        fresh_air_max_m3_per_s: fresh_max,
        envelope_ua_w_per_k: ua?,
    })
}
