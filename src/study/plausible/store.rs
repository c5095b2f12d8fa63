//! A cool store whose walls, volume and units do not fit one another, or the nuts.

use super::{AIR_KJ_PER_KG_K, Doubts, mean_air};
use crate::season::Plant;
use crate::study::Study;
use crate::weather::WeatherYear;

/// Least and most U of a store's envelope, W/(m² K): 30 cm of foam, and bare sheet steel with draughts (common practice,
/// no published source). Its area is that of a cube of its volume, times these.
const STORE_U: (f64, f64) = (0.08, 8.0);
/// A flat hall has more envelope than a cube of its volume (assumption).
const FLATTER: f64 = 1.6;
/// Nuts take this share of a store at most: aisles, plenums and what stands above the heap take the rest (assumption).
const FULL: f64 = 0.9;
/// A store of so many times what its nuts take is more often one in litres or cubic feet (assumption).
const EMPTY: f64 = 1000.0;
/// Cooling beyond so many times a rough load is more often kW typed for W (assumption).
const MUCH_COOLING: f64 = 100.0;
/// Cooling below this share of the season's mean load leaves the store warm (assumption: the load is rough).
const LITTLE_COOLING: f64 = 0.5;
/// Load of a store is held beside this much warmth outside at the least, K: units are bought for more (assumption).
const LEAST_WARMTH_K: f64 = 15.0;

impl Doubts<'_> {
    /// Walls that no store of this volume has.
    pub(super) fn store_envelope(&mut self) {
        let Some(store) = &self.study.plant.store else { return };
        let (ua, volume_m3) = (store.envelope_ua_w_per_k, store.volume_m3);
        let area_m2 = 6.0 * volume_m3.powf(2.0 / 3.0);
        let (low, high) = (STORE_U.0 * area_m2, STORE_U.1 * FLATTER * area_m2);
        if ua == 0.0 || (low..=high).contains(&ua) {
            return;
        }
        let what = format!("envelope_ua_w_per_k is {ua}; a store of {volume_m3:.0} m³ has {low:.0} to {high:.0} W/K");
        let cure = "give the sum of U x area over walls, roof and floor, in W/K, and the volume in m³";
        self.doubt("store.envelope", "cool_store.envelope_ua_w_per_k", what, cure);
    }

    /// Nuts that do not fit, or are lost in the store.
    pub(super) fn store_volume(&mut self, years: &[WeatherYear]) {
        let Some((held_t, nuts_m3)) = nuts_held(self.study, years) else { return };
        let Some(store) = &self.study.plant.store else { return };
        let volume_m3 = store.volume_m3;
        let (what, cure) = if nuts_m3 > FULL * volume_m3 {
            (
                format!(
                    "volume_m3 is {volume_m3}, and some {held_t:.0} t of nuts that lie there at a time take {nuts_m3:.0} m³"
                ),
                "look at volume_m3, stay_days and the season's tonnes",
            )
        } else if volume_m3 > EMPTY * nuts_m3.max(1.0) {
            (
                format!("volume_m3 is {volume_m3}, and what lies there at a time takes {nuts_m3:.0} m³"),
                "give m³, not litres or cubic feet",
            )
        } else {
            return;
        };
        self.doubt("store.volume", "cool_store.volume_m3", what, cure);
    }

    /// Units that are far from what the store asks of them.
    pub(super) fn store_cooling(&mut self, years: &[WeatherYear]) {
        let Some(store) = &self.study.plant.store else { return };
        let Some(outside) = mean_air(self.study, years) else { return };
        let capacity_kw = f64::from(store.units.count) * store.units.performance.rating().capacity_kw;
        let air_kg_per_s = store.air_changes_per_hour * store.volume_m3 * outside.density_kg_per_m3() / 3600.0;
        let kw_per_k = store.envelope_ua_w_per_k / 1000.0 + air_kg_per_s * AIR_KJ_PER_KG_K;
        let inside_kw = store.gains_kw + store.fan_kw;
        let warmth_k = outside.dry_bulb_c() - store.temperature_c;
        let mean_kw = kw_per_k * warmth_k + inside_kw;
        let bought_for_kw = kw_per_k * warmth_k.max(LEAST_WARMTH_K) + inside_kw;
        let what = if capacity_kw < LITTLE_COOLING * mean_kw {
            format!(
                "the units cool with {capacity_kw:.1} kW; the season's mean load, without the nuts, is roughly {mean_kw:.0} kW"
            )
        } else if capacity_kw > MUCH_COOLING * bought_for_kw.max(0.1) {
            format!(
                "the units cool with {capacity_kw:.0} kW; the store asks for roughly {bought_for_kw:.1} kW, the nuts left out"
            )
        } else {
            return;
        };
        let cure = "give the cooling of one unit in kW, their count, and the store's envelope_ua_w_per_k in W/K";
        self.doubt("store.cooling", "cool_store.units.capacity_kw", what, cure);
    }
}

/// Tonnes that lie in the store at a time, were the season even, and the room that they take, m³: less than at the
/// season's height.
fn nuts_held(study: &Study, years: &[WeatherYear]) -> Option<(f64, f64)> {
    let plant: &Plant = &study.plant;
    let season_h = years.first()?.season_hours as f64;
    let stays_h = plant.stays().map(|stay| stay.store_hours).fold(f64::INFINITY, f64::min);
    let share = (stays_h / season_h).min(1.0);
    let held_t = study.intake.received_t() * share;
    let density = study.crops.iter().map(|crop| {
        let practice = crop.crop.practice();
        crop.crop.bed().bulk_density_at_kg_per_m3(practice.dried_moisture)
    });
    let density_kg_per_m3 = density.fold(0.0, f64::max);
    (density_kg_per_m3 > 0.0).then(|| (held_t, 1000.0 * held_t / density_kg_per_m3))
}
