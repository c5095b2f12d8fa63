//! Can the target be reached in air that is not heated?

use crate::air::{saturation_pressure_pa, vapour_pressure_pa};
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::{Nuts, RoomSpec};
use crate::weather::WeatherYear;

/// A target that unheated air never reaches, and the air that would reach it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "drying to {target_pct_wb:.1} % w.b. without heat never ends: {air}; air of at most {needed_humidity_pct:.0} % RH at {at_c:.1} °C would do{warmer}; heat the last stage, or raise the target"
)]
pub struct NeverDryUnheated {
    pub(super) crop: usize,
    target_pct_wb: f64,
    air: String,
    needed_humidity_pct: f64,
    at_c: f64,
    warmer: String,
}

/// Air before the nuts in one hour: outside air, warmed by the fan.
struct Blown {
    dry_bulb_c: f64,
    vapour_pa: f64,
}

impl Blown {
    fn relative_humidity_at(&self, t_c: f64) -> f64 {
        (self.vapour_pa / saturation_pressure_pa(t_c)).min(1.0)
    }

    fn held(&self, nuts: &Nuts, t_c: f64) -> f64 {
        nuts.isotherm.equilibrium_moisture(t_c, self.relative_humidity_at(t_c))
    }
}

/// What the fan of a full bin warms its air by, K.
fn fan_warms_by_k(room: &RoomSpec) -> f64 {
    let Some(bin) = room.bins.first() else {
        return 0.0;
    };
    let flow = room.airflow_m3_per_s_per_tonne * bin.capacity_t;
    let duty = room.bin_fan.duty(flow, bin.capacity_t * 1000.0, bin.floor_area_m2).duty;
    let capacity_kw_per_k = flow * room.bin_fan.air_density_kg_per_m3 * crate::air::CP_DRY_AIR;
    duty.heat_to_air_kw / capacity_kw_per_k
}

/// Refuses a target that the nuts do not reach in the driest tenth of the hours in which the fans run.
pub(super) fn check_target(
    room: &RoomSpec,
    (crop, nuts): (usize, &Nuts),
    target: f64,
    years: &[WeatherYear],
) -> Result<(), NeverDryUnheated> {
    let warmer_k = fan_warms_by_k(room);
    let limit = room.fans_off_above_rh.unwrap_or(f64::INFINITY);
    let mut blown: Vec<Blown> = years
        .iter()
        .flat_map(WeatherYear::season)
        .map(|hour| Blown {
            dry_bulb_c: hour.air.dry_bulb_c() + warmer_k,
            vapour_pa: vapour_pressure_pa(hour.air.humidity_ratio(), hour.air.pressure_pa()),
        })
        .collect();
    let held = |air: &Blown| air.held(nuts, air.dry_bulb_c);
    blown.sort_by(|a, b| held(a).total_cmp(&held(b)));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of a length
    let place = |count: usize| (count as f64 * super::DRY_SHARE) as usize;
    let runs = |air: &&Blown| air.relative_humidity_at(air.dry_bulb_c) <= limit;
    let running: Vec<&Blown> = blown.iter().filter(runs).collect();
    let Some(driest) = running.get(place(running.len())).copied().or(blown.first()) else {
        return Ok(());
    };
    let (at_c, humidity) = (driest.dry_bulb_c, driest.relative_humidity_at(driest.dry_bulb_c));
    if !running.is_empty() && held(driest) < target {
        return Ok(());
    }
    let air = if running.is_empty() {
        format!(
            "the season has no hour with air of {:.0} % RH or less before the nuts, above which fans_off_above_rh stops the fans",
            limit * 100.0
        )
    } else {
        format!(
            "outside air of the season's driest tenth of hours, {at_c:.1} °C behind the fan, has {:.0} % RH and holds these nuts at {:.1} % w.b.",
            humidity * 100.0,
            percent_of_dry_basis(held(driest))
        )
    };
    let warm_enough = (1..=160)
        .map(|step| at_c + 0.5 * f64::from(step))
        .find(|t| *t <= super::HOTTEST_C && driest.held(nuts, *t) < target);
    Err(NeverDryUnheated {
        crop,
        target_pct_wb: percent_of_dry_basis(target),
        air,
        needed_humidity_pct: nuts.isotherm.equilibrium_relative_humidity(at_c, target) * 100.0,
        at_c,
        warmer: warm_enough.map_or_else(String::new, |t| format!(", or the same air at {t:.1} °C")),
    })
}
