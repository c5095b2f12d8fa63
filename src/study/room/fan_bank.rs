//! Fans of bins as designed: their curve, and how they are joined to the bins.

use super::fan_site::FanSite;
use crate::airflow::{
    CONVERTER_EFFICIENCY, CurvePoint, FanCurve, LEAST_SPEED, QuadraticResistance, STANDARD_AIR_KG_PER_M3, SpeedControl,
    Standing,
};
use crate::dryer::{BinFan, FanBank, FanLayout, LoadedBin};
use crate::study::cursor::Cursor;

/// The keys that say what a fan gives.
const CURVE_KEYS: [&str; 3] = ["curve", "shut_off_pa", "free_delivery_m3_per_s"];
/// The keys that mean nothing where no curve says what the fans give.
const NEED_A_CURVE: [&str; 5] =
    ["curve_air_density_kg_per_m3", "layout", "count", "main_duct_pressure_pa", "speed_min"];

/// How fans are joined to bins, as the study says it.
#[derive(Clone, Copy, PartialEq)]
enum Layout {
    PerBin,
    CommonPlenum,
}

/// How fans follow the air that is asked for, as the study says it.
#[derive(Clone, Copy, PartialEq)]
enum Speed {
    Fixed,
    Variable,
}

/// Reads the fans' curve and all that goes with it, and sets the speed control of `fan`; `None` where no
/// curve is given, or a wrong one.
pub(super) fn read_fan_bank(table: &Cursor<'_>, site: &FanSite<'_>, fan: &mut BinFan) -> Option<FanBank> {
    let has = |key: &str| table.kind(key).is_some();
    if !CURVE_KEYS.into_iter().any(has) {
        for key in CURVE_KEYS.into_iter().chain(NEED_A_CURVE) {
            table.claim(key);
        }
        for key in NEED_A_CURVE.into_iter().filter(|key| has(key)) {
            table.complain(
                key,
                "is given without the fans' curve",
                "curve, or shut_off_pa and free_delivery_m3_per_s",
                "give what one fan moves against which pressure, or leave the key out",
            );
        }
        read_speed(table, fan);
        return None;
    }
    let curve = read_curve(table, fan.fan.fan_efficiency);
    let drawn_for = table
        .number("curve_air_density_kg_per_m3")
        .unit("kg/m³")
        .within(0.5, 1.5)
        .default(STANDARD_AIR_KG_PER_M3, "standard air of fan testing (ISO 5801, from memory, not verified)");
    let layout = table
        .choice("layout", &[("per-bin", Layout::PerBin), ("common-plenum", Layout::CommonPlenum)])
        .default(Layout::PerBin, "each bin with its own fans");
    let fans = table
        .count("count")
        .within(1, 1000)
        .default(1, "one fan: in each bin, or for all bins where they share a plenum");
    let main_duct = read_main_duct(table, layout, site);
    let least_speed = read_speed(table, fan);
    let bank = FanBank {
        curve: curve?.in_air(drawn_for, fan.air_density_kg_per_m3),
        layout: match layout {
            Layout::PerBin => FanLayout::PerBin,
            Layout::CommonPlenum => FanLayout::CommonPlenum { main_duct },
        },
        fans: f64::from(fans),
        least_speed,
    };
    check_full(table, &bank, fan, site);
    Some(bank)
}

/// Points, or the two ends of a parabola.
fn read_curve(table: &Cursor<'_>, efficiency: f64) -> Option<FanCurve> {
    let entries = table.each("curve");
    if entries.is_empty() {
        let shut_off = table
            .number("shut_off_pa")
            .unit("Pa")
            .within(10.0, 20_000.0)
            .hint("give the total pressure of one fan that moves no air, at full speed")
            .required();
        let free_delivery = table
            .number("free_delivery_m3_per_s")
            .unit("m³/s")
            .within(0.01, 500.0)
            .hint("give the air of one fan against no pressure, at full speed")
            .required();
        return FanCurve::parabola(shut_off?, free_delivery?, efficiency).ok();
    }
    for key in ["shut_off_pa", "free_delivery_m3_per_s"] {
        if table.kind(key).is_some() {
            table.claim(key);
            table.complain(key, "is given beside curve", "one of the two", "leave it out; the curve's points say more");
        }
    }
    let mut points = Vec::new();
    let mut complete = true;
    for entry in &entries {
        let flow = entry.number("flow_m3_per_s").unit("m³/s").within(0.0, 500.0).required();
        let pressure = entry.number("pressure_pa").unit("Pa").within(0.0, 20_000.0).required();
        let efficiency =
            entry.number("efficiency").within(0.01, 1.0).default(efficiency, "fan_efficiency, the same at every point");
        entry.finish();
        match (flow, pressure) {
            (Some(flow_m3_per_s), Some(pressure_pa)) => {
                points.push(CurvePoint { flow_m3_per_s, pressure_pa, efficiency });
            }
            _ => complete = false,
        }
    }
    if !complete {
        return None;
    }
    FanCurve::through(points)
        .map_err(|error| {
            table.complain(
                "curve",
                &format!("is not one: {error}"),
                "two points or more, flow rising and pressure falling",
                "take the points from the fan's falling side, peak first",
            );
        })
        .ok()
}

/// What the air of all bins passes before the plenum.
fn read_main_duct(table: &Cursor<'_>, layout: Layout, site: &FanSite<'_>) -> QuadraticResistance {
    if layout == Layout::PerBin {
        let key = "main_duct_pressure_pa";
        if table.kind(key).is_some() {
            table.claim(key);
            table.warn(key, "has no meaning where each bin has its own fans", "leave it out");
        }
        return QuadraticResistance::NONE;
    }
    let pressure_pa = table.number("main_duct_pressure_pa").unit("Pa").within(0.0, 5000.0).default(
        0.0,
        "assumption: heater and ducts before the plenum are reckoned in duct_pressure_pa; at the full flow of all bins",
    );
    let capacity_t: f64 = site.bins.iter().flat_map(|bins| bins.iter()).map(|bin| bin.capacity_t).sum();
    QuadraticResistance::from_point(pressure_pa, site.airflow_m3_per_s_per_tonne * capacity_t)
        .unwrap_or(QuadraticResistance::NONE)
}

/// The least speed; the control itself is set in `fan`.
fn read_speed(table: &Cursor<'_>, fan: &mut BinFan) -> f64 {
    let speed = table
        .choice("speed", &[("fixed", Speed::Fixed), ("variable", Speed::Variable)])
        .default(Speed::Fixed, "one speed: a bin that is not full gets more air, not less");
    if speed == Speed::Fixed {
        for key in ["speed_min", "converter_efficiency"] {
            if table.kind(key).is_some() {
                table.claim(key);
                table.warn(key, "has no meaning at one speed", "give speed = \"variable\"");
            }
        }
        return 1.0;
    }
    let least = table.number("speed_min").within(0.05, 1.0).default(
        LEAST_SPEED,
        "share of full speed; motors cool themselves poorly below it (common practice, no published source)",
    );
    let converter_efficiency = table
        .number("converter_efficiency")
        .within(0.5, 1.0)
        .default(CONVERTER_EFFICIENCY, "frequency converter, 0.95..0.97 (from memory, not verified)");
    fan.fan.speed = SpeedControl::Variable { converter_efficiency };
    least
}

/// With all bins full the fans must be on their curve: anything else is a slip or a plant that does not
/// work.
fn check_full(table: &Cursor<'_>, bank: &FanBank, fan: &BinFan, site: &FanSite<'_>) {
    let bins: Vec<LoadedBin> = site.bins.iter().flat_map(|bins| bins.iter()).map(LoadedBin::full).collect();
    let shares = bank.shares(fan, site.airflow_m3_per_s_per_tonne, &bins);
    let worst = shares.iter().zip(&bins).max_by_key(|(share, _)| share.standing);
    let Some((share, bin)) = worst else {
        return;
    };
    let key = if table.kind("curve").is_some() { "curve" } else { "shut_off_pa" };
    let air = share.airflow_m3_per_s;
    let takes_pa = fan.pressure_drop_pa(air, bin.received_kg, bin.floor_area_m2);
    match share.standing {
        Standing::OnCurve => {}
        Standing::Stalled => table.complain(
            key,
            &format!(
                "is of fans that stall: with every bin full a bin takes {takes_pa:.0} Pa at {air:.2} m³/s, and their curve begins at more air"
            ),
            "bins that meet the falling side of the curve",
            "give fans of more pressure, fewer fans, wider ducts or a shallower bed",
        ),
        Standing::Throttled => table.complain(
            key,
            &format!(
                "ends too soon: with every bin full a bin takes {takes_pa:.0} Pa at {air:.2} m³/s, all the air of the last point, and the fans still give more pressure there"
            ),
            "a curve that meets what the bins take",
            "give its points to a larger flow and less pressure",
        ),
    }
}
