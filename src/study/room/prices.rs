//! `[room.prices]`: what more, or less, of a room costs to build. `size --by-money` alone goes by them: what an option
//! costs is what the option says.
//!
//! ```toml
//! [room.prices]
//! bin = 19000.0
//! air_m3_per_s = 4000.0
//! fresh_air_m3_per_s = 2500.0
//! half_envelope = 26000.0
//! life_years = 25
//! ```

use crate::study::cursor::Cursor;
use crate::study::money::MOST_MONEY;

/// What more of a room costs, where the study says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RoomPrices {
    /// A bin more, like the last of the room's list, with fan and ducts for the air that the room's bins have.
    pub bin: Option<f64>,
    /// Larger fans and ducts of the bins, a m³/s of air through all of them together.
    pub air_m3_per_s: Option<f64>,
    /// A larger extraction, a m³/s of its most fresh air.
    pub fresh_air_m3_per_s: Option<f64>,
    /// Insulation that brings the loss through walls, roof and floor down to half.
    pub half_envelope: Option<f64>,
    /// Life of what is built, years.
    pub life_years: f64,
}

/// The prices of a room; nothing where the study tells none.
pub(super) fn read(room: &Cursor<'_>) -> Option<RoomPrices> {
    let table = room.optional_table("prices")?;
    let price =
        |key: &str, unit: &str, hint: &str| table.number(key).unit(unit).within(0.0, MOST_MONEY).hint(hint).optional();
    let prices = RoomPrices {
        bin: price("bin", "money", "a bin more like the last of the list, with its fan and ducts, built"),
        air_m3_per_s: price(
            "air_m3_per_s",
            "money/(m³/s)",
            "larger fans and ducts of the bins, for each m³/s through all of them together",
        ),
        fresh_air_m3_per_s: price(
            "fresh_air_m3_per_s",
            "money/(m³/s)",
            "a larger extraction, for each m³/s of fresh_air_max_m3_per_s",
        ),
        half_envelope: price(
            "half_envelope",
            "money",
            "insulation that halves envelope_ua_w_per_k; to a quarter it is three times that, for what a layer holds back goes with its thickness",
        ),
        life_years: table
            .number("life_years")
            .unit("a")
            .within(1.0, 60.0)
            .default(15.0, "as an option's own life_years"),
    };
    table.finish();
    Some(prices)
}
