//! Fans of bins and of extraction.

use super::fan_bank::read_fan_bank;
use super::fan_site::FanSite;
use super::nuts_in_the_way::in_the_way;
use crate::air::{MoistAir, standard_pressure_pa};
use crate::airflow::{
    DIRECT_DRIVE_EFFICIENCY, FAN_EFFICIENCY, FanSpec, MotorClass, MotorPlace, QuadraticResistance, SpeedControl,
};
use crate::dryer::{AirPath, BinFan, BinSpec, FanBank};
use crate::problem::Matter;
use crate::study::crops_read::CropRead;
use crate::study::cursor::Cursor;

/// Temperature at which a fan that draws outside air is given its density, °C.
pub(super) const OUTSIDE_C: f64 = 20.0;

pub(super) fn read_bin_fan(
    room: &Cursor<'_>,
    crop: &CropRead,
    site: &FanSite<'_>,
) -> Option<(BinFan, Option<FanBank>)> {
    let table = room.table("bin_fan");
    let ducts_pa = table.number("duct_pressure_pa").unit("Pa").within(0.0, 5000.0).default(
        350.0,
        "assumption: floor, ducts and heater of one bin at full flow; they usually outweigh the bed, so measure them",
    );
    let fan = read_fan(&table, MotorPlace::InStream);
    let largest_t = site.bins.iter().flat_map(|bins| bins.iter()).map(|bin| bin.capacity_t).fold(0.0, f64::max);
    let full_flow = site.airflow_m3_per_s_per_tonne * largest_t;
    let nuts = in_the_way(crop);
    let mut bin_fan = BinFan {
        bed: nuts.resistance,
        bulk_density_kg_per_m3: nuts.bulk_density_kg_per_m3,
        ducts: QuadraticResistance::from_point(ducts_pa, full_flow).unwrap_or(QuadraticResistance::NONE),
        fan,
        air_density_kg_per_m3: fan_air_density(site),
        air_c: site.stage_c,
    };
    check_pressure(room, site, &bin_fan);
    let bank = read_fan_bank(&table, site, &mut bin_fan);
    table.finish();
    site.bins.map(|_| (bin_fan, bank))
}

/// Above this no fan of a dryer blows, Pa: high-pressure blowers of other trades begin there (common practice,
/// no published source).
const MOST_FAN_PA: f64 = 20_000.0;
/// Above this fans are seldom bought for a dryer, Pa (common practice, no published source).
const USUAL_FAN_PA: f64 = 3_000.0;

/// Air that no fan drives through so deep a bed is a slip in tonnes, floor or airflow.
fn check_pressure(room: &Cursor<'_>, site: &FanSite<'_>, fan: &BinFan) {
    let of = |bin: &BinSpec| {
        let flow = site.airflow_m3_per_s_per_tonne * bin.capacity_t;
        fan.pressure_drop_pa(flow, bin.capacity_t * 1000.0, bin.floor_area_m2)
    };
    let bins = site.bins.unwrap_or_default().iter();
    let Some((pa, bin)) = bins.map(|bin| (of(bin), bin)).max_by(|(a, _), (b, _)| a.total_cmp(b)) else {
        return;
    };
    let what = format!(
        "makes fans blow against {:.1} kPa: {} m³/s a tonne through {} t on {} m²",
        pa / 1000.0,
        site.airflow_m3_per_s_per_tonne,
        bin.capacity_t,
        bin.floor_area_m2
    );
    let cure = "look at tonnes and floor_area_m2, each of one bin, and at airflow_m3_per_s_per_tonne";
    if pa > MOST_FAN_PA {
        let most = format!("at most {:.0} kPa", MOST_FAN_PA / 1000.0);
        room.complain("airflow_m3_per_s_per_tonne", &what, &most, cure);
    } else if pa > USUAL_FAN_PA {
        let what = format!("{what}; fans of dryers seldom go beyond {:.0} kPa", USUAL_FAN_PA / 1000.0);
        let doubt = room.doubted("airflow_m3_per_s_per_tonne", &what).cure(cure);
        room.report(doubt.resting_on(&[Matter::Bins, Matter::Airflow]));
    }
}

/// A fan in a recirculating room moves the room's air; a once-through fan moves outside air.
fn fan_air_density(site: &FanSite<'_>) -> f64 {
    let air_c = if site.air == Some(AirPath::Recirculating) { site.stage_c } else { OUTSIDE_C };
    MoistAir::from_relative_humidity(air_c, 0.4, standard_pressure_pa(site.altitude_m))
        .map_or(1.2, |air| air.density_kg_per_m3())
}

/// Efficiencies of a fan of one speed.
fn read_fan(table: &Cursor<'_>, motor_place: MotorPlace) -> FanSpec {
    let share =
        |key: &str, default: f64, source: &str| table.number(key).within(0.05, 1.0).default(default, source.to_owned());
    FanSpec {
        fan_efficiency: share(
            "fan_efficiency",
            FAN_EFFICIENCY,
            "tube-axial fan, 0.55..0.70 at its best point (from memory, not verified)",
        ),
        drive_efficiency: share("drive_efficiency", DIRECT_DRIVE_EFFICIENCY, "direct drive"),
        motor_efficiency: share(
            "motor_efficiency",
            MotorClass::Ie3.efficiency(1.5),
            "IEC 60034-30-1, 1.5 kW four-pole IE3 at 50 Hz, read in public motor tables",
        ),
        motor_place,
        speed: SpeedControl::Fixed,
    }
}

/// Electricity of extraction per flow, kW per m³/s.
pub(super) fn read_extraction(room: &Cursor<'_>, recirculates: bool) -> f64 {
    let Some(table) = room.optional_table("extraction").or_else(|| recirculates.then(|| room.table("extraction")))
    else {
        return 0.0;
    };
    let pressure_pa = table
        .number("pressure_pa")
        .unit("Pa")
        .within(0.0, 2000.0)
        .default(120.0, "assumption: louvres and ducts of the extraction");
    let fan = read_fan(&table, MotorPlace::InStream);
    table.finish();
    fan.duty(1.0, pressure_pa, pressure_pa / 1000.0).electric_kw
}
