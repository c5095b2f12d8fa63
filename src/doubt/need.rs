//! Roughly what heat a plant needs and has, to hold inputs beside.

use crate::air::{MoistAir, standard_pressure_pa};
use crate::crop::water;
use crate::dryer::AirPath;
use crate::season::Heating;
use crate::study::Study;
use crate::weather::WeatherYear;

/// Specific heat of dry air.
pub(super) const AIR_KJ_PER_KG_K: f64 = 1.006;

fn hottest_c(study: &Study) -> Option<f64> {
    study.plant.first_room().hottest_stage_c()
}

/// The most heat an option can have at any hour: its firm sources', and what all condensers give off at rated
/// conditions.
pub(super) fn heat_kw(study: &Study, heating: &Heating) -> f64 {
    // What gives what the hour offers gives nothing at night.
    let firm = heating.sources.iter().filter(|source| !source.is_passive());
    let sources_kw: f64 = firm.map(|source| source.capacity_kw).sum();
    let condensers_kw = match &study.plant.store {
        Some(store) if heating.condensers.place.recovers() => {
            let rating = store.units.performance.rating();
            let all = store.units.count;
            let count = heating.condensers.units.unwrap_or(all).min(all);
            f64::from(count) * rating.capacity_kw * (1.0 + 1.0 / rating.cop)
        }
        _ => 0.0,
    };
    sources_kw + condensers_kw
}

/// A rough estimate of heat, kW, with the words that say what it is of.
pub(super) struct RoughNeed {
    pub of: &'static str,
    pub kw: f64,
}

/// Heat that is needed at the mean outside air of the season. Nuts, fabric and the heat of fans are left
/// out: a tenth or two of the whole, well within what is called little. `None` without weather.
pub(super) fn rough_need(study: &Study, years: &[WeatherYear]) -> Option<RoughNeed> {
    let outside = mean_air(study, years)?;
    match study.plant.first_room().air {
        AirPath::Recirculating => {
            let season_s = 3600.0 * years.first()?.season_hours as f64;
            rough_need_of_room(study, &outside, season_s)
        }
        AirPath::OnceThrough => rough_need_of_bin(study, &outside),
    }
}

/// What leaves a recirculating room with the air that carries the season's water out, and through the
/// envelope.
fn rough_need_of_room(study: &Study, outside: &MoistAir, season_s: f64) -> Option<RoughNeed> {
    let room = study.plant.first_room();
    let set_c = hottest_c(study)?;
    let inside = MoistAir::from_relative_humidity(set_c, room.relative_humidity_max, outside.pressure_pa()).ok()?;
    let carried = inside.humidity_ratio() - outside.humidity_ratio();
    if carried <= 0.0 {
        return None;
    }
    let air_kw =
        season_water_kg(study) / season_s / carried * (inside.enthalpy_kj_per_kg() - outside.enthalpy_kj_per_kg());
    let warming_k = set_c - outside.dry_bulb_c();
    let envelope_kw = room.envelope_ua_w_per_k * warming_k / 1000.0;
    // Fresh air is drawn in at its least however little water there is to carry.
    let least_kg_per_s = room.fresh_air_min_m3_per_s * outside.density_kg_per_m3();
    let least_air_kw = least_kg_per_s * AIR_KJ_PER_KG_K * warming_k;
    Some(RoughNeed { of: "the season's mean need is", kw: air_kw.max(least_air_kw).max(0.0) + envelope_kw.max(0.0) })
}

/// Water that the season's nuts give up, kg.
pub(super) fn season_water_kg(study: &Study) -> f64 {
    let dried_moisture = study.plant.crops[0].stay.dried_moisture;
    study.intake.received_t() * water::water_per_received_tonne_kg(study.received_moisture, dried_moisture)
}

/// What the air of the largest bin must be warmed by, where it passes once.
fn rough_need_of_bin(study: &Study, outside: &MoistAir) -> Option<RoughNeed> {
    let room = study.plant.first_room();
    let largest_t = room.bins.iter().map(|bin| bin.capacity_t).fold(0.0, f64::max);
    let flow_m3_per_s = room.airflow_m3_per_s_per_tonne * largest_t;
    let warming_k = (hottest_c(study)? - outside.dry_bulb_c()).max(0.0);
    let all_t: f64 = room.bins.iter().map(|bin| bin.capacity_t).sum();
    let loss_kw_per_k = room.envelope_ua_w_per_k / 1000.0 * largest_t / all_t;
    let air_kw_per_k = flow_m3_per_s * outside.density_kg_per_m3() * AIR_KJ_PER_KG_K;
    Some(RoughNeed {
        of: "the air of one bin alone, with what its ducts and walls lose, needs",
        kw: (air_kw_per_k + loss_kw_per_k) * warming_k,
    })
}

/// Mean outside air of the seasons.
pub(super) fn mean_air(study: &Study, years: &[WeatherYear]) -> Option<MoistAir> {
    let hours = || years.iter().flat_map(WeatherYear::season);
    let count = hours().count() as f64;
    if count == 0.0 {
        return None;
    }
    let dry_bulb_c = hours().map(|hour| hour.air.dry_bulb_c()).sum::<f64>() / count;
    let humidity_ratio = hours().map(|hour| hour.air.humidity_ratio()).sum::<f64>() / count;
    let pressure_pa = standard_pressure_pa(study.site.altitude_m);
    MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa).ok()
}
