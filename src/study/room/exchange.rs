//! How a room's air is exchanged with outside air.

use crate::dryer::AirPath;
use crate::study::crops_read::CropRead;
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
    /// Loss through walls, roof and floor, or through ducts, plenum and bins, W/K.
    pub envelope_ua_w_per_k: f64,
    /// Humidity of the air before the nuts above which fans stand, fraction.
    pub fans_off_above_rh: Option<f64>,
}

/// Keys of a room whose air comes back.
const KEYS_OF_RECIRCULATING: [&str; 4] =
    ["relative_humidity_max", "relative_humidity_when_short", "fresh_air_min_m3_per_s", "fresh_air_max_m3_per_s"];
/// The key of a room whose air passes once.
const FANS_OFF: &str = "fans_off_above_rh";
const ENVELOPE: &str = "envelope_ua_w_per_k";

/// Marks the keys that are read here as known.
pub(super) fn claim_keys(room: &Cursor<'_>) {
    for key in KEYS_OF_RECIRCULATING.into_iter().chain([FANS_OFF, ENVELOPE]) {
        room.claim(key);
    }
}

/// What ducts, plenum and bins lose where air passes once, W/K per m² of bin floor: 3 m² of wall in the
/// warm air for each m² of floor, at 4 W/(m² K) of bare sheet metal. An assumption: no measured value was found.
const LOSS_W_PER_K_M2: f64 = 12.0;

/// What matters where air passes once.
fn read_of_once_through(room: &Cursor<'_>, floor_area_m2: f64) -> Exchange {
    for key in KEYS_OF_RECIRCULATING {
        if room.kind(key).is_some() {
            room.claim(key);
            room.warn(key, "has no meaning where air passes once", "leave it out");
        }
    }
    let ua = room.number(ENVELOPE).unit("W/K").within(0.0, 1e6).default(
        LOSS_W_PER_K_M2 * floor_area_m2,
        "assumption, nothing measured was found: ducts, plenum and bin walls of bare sheet metal lose 12 W/K for each m² of bin floor (3 m² of wall at 4 W/(m² K)); all bins together, each loses its share while it dries",
    );
    let fans_off = room
        .number(FANS_OFF)
        .unit("% RH")
        .within(5.0, 100.0)
        .hint("give the humidity of the air before the nuts above which the fans stand")
        .optional();
    Exchange {
        relative_humidity_max: 1.0,
        relative_humidity_when_short: 1.0,
        fresh_air_min_m3_per_s: 0.0,
        fresh_air_max_m3_per_s: 0.0,
        envelope_ua_w_per_k: ua,
        fans_off_above_rh: fans_off.map(|pct| pct / 100.0),
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

/// All bins of a room together.
pub(super) struct AllBins {
    /// Air through them, m³/s.
    pub air_m3_per_s: f64,
    /// Their floor, m².
    pub floor_area_m2: f64,
}

/// Humidity limits, fresh air and envelope; `dampest_that_dries` is the humidity in which nuts still dry,
/// fraction.
pub(super) fn read_exchange(
    room: &Cursor<'_>,
    air: AirPath,
    dampest_that_dries: f64,
    bins: &AllBins,
) -> Option<Exchange> {
    match air {
        AirPath::OnceThrough => Some(read_of_once_through(room, bins.floor_area_m2)),
        AirPath::Recirculating => read_of_recirculating(room, dampest_that_dries, bins.air_m3_per_s),
    }
}

fn read_of_recirculating(room: &Cursor<'_>, dampest_that_dries: f64, bins_air_m3_per_s: f64) -> Option<Exchange> {
    if room.kind(FANS_OFF).is_some() {
        room.claim(FANS_OFF);
        room.complain(
            FANS_OFF,
            "is given, but the room's air comes back",
            "relative_humidity_max, which holds the room's humidity by fresh air",
            "leave it out, or set air = \"once-through\"",
        );
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
            "rule: the water activity above which mould grows on the crop, or nine tenths of the humidity in \
             balance with nuts at their target if that is less; fresh air is throttled so far before the temperature falls",
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
        .number(ENVELOPE)
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
        fans_off_above_rh: None,
    })
}
