//! Can the target be reached at all with the air there is?

mod unheated;

use super::plant::Plant;
use crate::air::{saturation_pressure_pa, vapour_pressure_pa};
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::{Nuts, Stage};
use crate::weather::WeatherYear;

/// A target that drying never reaches, and the air that would reach it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unreachable {
    /// By heated air.
    #[error(transparent)]
    Heated(#[from] NeverDry),
    /// By air that is not heated.
    #[error(transparent)]
    Unheated(#[from] NeverDryUnheated),
}

impl Unreachable {
    /// Place of the crop among the plant's, from 0.
    pub fn crop(&self) -> usize {
        match self {
            Self::Heated(never) => never.crop,
            Self::Unheated(never) => never.crop,
        }
    }
}

/// A target that heated air never reaches, and the air that would reach it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "drying to {target_pct_wb:.1} % w.b. never ends: outside air of the season's driest tenth of hours, heated to {air_c:.1} °C, has {air_humidity_pct:.0} % RH and holds these nuts at {equilibrium_pct_wb:.1} % w.b.; air of at most {needed_humidity_pct:.0} % RH at that temperature would do{warmer}; raise the air temperature, or the target"
)]
pub struct NeverDry {
    crop: usize,
    target_pct_wb: f64,
    air_c: f64,
    air_humidity_pct: f64,
    equilibrium_pct_wb: f64,
    needed_humidity_pct: f64,
    warmer: String,
}

pub use unheated::NeverDryUnheated;

/// The share of hours that are drier than the air taken for the test.
const DRY_SHARE: f64 = 0.1;
/// Air is not looked for beyond this temperature, °C.
const HOTTEST_C: f64 = 80.0;

/// Refuses a target below the equilibrium with the driest tenth of the season's air, heated to the
/// temperature of the stage in which a batch reaches it: the moisture at which each room hands its batches
/// over, and the target of each crop.
pub fn check_reach(plant: &Plant, years: &[WeatherYear]) -> Result<(), Unreachable> {
    let mut ratios: Vec<(f64, f64)> = years
        .iter()
        .flat_map(WeatherYear::season)
        .map(|hour| (hour.air.humidity_ratio(), hour.air.pressure_pa()))
        .collect();
    if ratios.is_empty() {
        return Ok(());
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of a length
    let place = (ratios.len() as f64 * DRY_SHARE) as usize;
    let drier = |a: &(f64, f64), b: &(f64, f64)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1));
    let (_, &mut (humidity_ratio, pressure_pa), _) = ratios.select_nth_unstable_by(place, drier);
    let vapour_pa = vapour_pressure_pa(humidity_ratio, pressure_pa);
    let handed_over = plant.hand_overs.iter().map(|next| next.at_moisture);
    for (crop, (nuts, stay)) in plant.nuts_by_crop().zip(plant.stays()).enumerate() {
        let targets = handed_over.clone().chain([stay.dried_moisture]);
        for (room, target) in plant.rooms().zip(targets) {
            let air_c = room.temperature_for(target);
            if air_c > Stage::UNHEATED_C {
                check_target((crop, nuts), target, air_c, vapour_pa)?;
            } else {
                unheated::check_target(room, (crop, nuts), target, years)?;
            }
        }
    }
    Ok(())
}

fn check_target((crop, nuts): (usize, &Nuts), target: f64, air_c: f64, vapour_pa: f64) -> Result<(), NeverDry> {
    let isotherm = &nuts.isotherm;
    let humidity_at = |t: f64| (vapour_pa / saturation_pressure_pa(t)).min(1.0);
    let holds_at = |t: f64| isotherm.equilibrium_moisture(t, humidity_at(t));
    if holds_at(air_c) < target {
        return Ok(());
    }
    let warm_enough =
        (0..=160).map(|step| air_c + 0.5 * f64::from(step)).find(|t| *t <= HOTTEST_C && holds_at(*t) < target);
    Err(NeverDry {
        crop,
        target_pct_wb: percent_of_dry_basis(target),
        air_c,
        air_humidity_pct: humidity_at(air_c) * 100.0,
        equilibrium_pct_wb: percent_of_dry_basis(holds_at(air_c)),
        needed_humidity_pct: isotherm.equilibrium_relative_humidity(air_c, target) * 100.0,
        warmer: warm_enough.map_or_else(String::new, |t| format!(", or the same air at {t:.1} °C")),
    })
}
