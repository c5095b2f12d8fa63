//! A cool store whose walls, volume, air and units do not fit one another, or the nuts.

use super::Doubts;
use super::need::{AIR_KJ_PER_KG_K, mean_air};
use crate::problem::Matter;
use crate::season::Plant;
use crate::study::Study;
use crate::study::input::Input;
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
/// Stores of nuts are held between these, fractions: below the driest nuts crack and the store is no cool store but a dryer;
/// an upper end below the second is a tenth of what was meant (common practice, no published source: 0.45 to 0.7).
const DRIEST_STORE: f64 = 0.15;
const DRIEST_UPPER_END: f64 = 0.25;
/// Fans, and lights with people, beyond this part of what the units cool with heat the store that they serve (assumption:
/// fans of coolers take some 3 to 10 % of the cooling; common practice, no published source).
const MUCH_INSIDE: f64 = 0.4;

impl Doubts<'_> {
    /// Humidities of another scale: a tenth of what was meant.
    pub(super) fn store_humidity(&mut self) {
        const PATH: &str = "cool_store.relative_humidity";
        let Some(store) = &self.study.plant.store else { return };
        let (low, high) = store.relative_humidity;
        let is_given = self.inputs.iter().any(|input| input.path == PATH && !input.is_default());
        if !is_given || (low >= DRIEST_STORE && high >= DRIEST_UPPER_END) {
            return;
        }
        let what =
            format!("the store is held at {} to {} % RH; nuts are kept at some 45 to 70 %", low * 100.0, high * 100.0);
        self.doubt("store.humidity", PATH, what, "give percent, the lower end first, as [50, 62]");
    }

    /// Nuts that leave the store as they come: worth a note, for then nothing in it is the nuts'.
    pub(super) fn store_stay(&mut self) {
        if self.study.plant.store.is_none() {
            return;
        }
        let ends = |input: &&Input| {
            (input.path == "cool_store.stay_days"
                || (input.path.starts_with("crop.") && input.path.ends_with(".stay_days")))
                && !input.is_default()
                && input.number == Some(0.0)
        };
        let paths: Vec<String> = self.inputs.iter().filter(ends).map(|input| input.path.clone()).collect();
        for path in paths {
            let what =
                "stay_days is 0: nuts leave the store as they come, and its units cool its walls and its air alone";
            let cure = "give the days that dried nuts lie there, or leave [cool_store] out where there is none";
            self.note("store.stay", &path, what.to_owned(), cure);
        }
    }

    /// Fans, lights and people that heat the store more than they can be meant to.
    pub(super) fn store_fans(&mut self) {
        let Some(store) = &self.study.plant.store else { return };
        let capacity_kw = f64::from(store.units.count) * store.units.performance.rating().capacity_kw;
        let inside = [
            ("fan_kw", "fans", store.fan_kw, "fans of coolers take some 3 to 10 % of that"),
            ("lights_kw", "lights", store.lights_kw, "lights give a few % of that"),
            ("people", "people", store.gains_kw - store.lights_kw, "those who work there give a few % of that"),
        ];
        for (key, whose, kw, usual) in inside {
            let path = format!("cool_store.{key}");
            let is_given = self.inputs.iter().any(|input| input.path == path && !input.is_default());
            if is_given && kw > MUCH_INSIDE * capacity_kw {
                let what = format!(
                    "{whose} bring {kw:.1} kW into the store in every hour, and its units cool with {capacity_kw:.0} kW; {usual}"
                );
                let cure = "give kW as a mean over the day, of all of them together, and people by their number";
                self.doubt("store.inside", &path, what, cure).is_about = &[Matter::StoreGains];
            }
        }
    }

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
        let doubt = self.doubt("store.envelope", "cool_store.envelope_ua_w_per_k", what, cure);
        doubt.is_about = &[Matter::StoreWalls];
        doubt.follows_from = &[Matter::StoreVolume];
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
        let doubt = self.doubt("store.volume", "cool_store.volume_m3", what, cure);
        doubt.is_about = &[Matter::StoreVolume];
        doubt.follows_from = &[Matter::Deliveries, Matter::DayTonnes, Matter::SeasonTonnes, Matter::Stay];
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
        self.doubt("store.cooling", "cool_store.units.capacity_kw", what, cure).follows_from =
            &[Matter::OutsideAir, Matter::StoreVolume, Matter::StoreWalls, Matter::StoreGains];
    }
}

/// Tonnes that lie in the store at a time, were the season even, and the room that they take, m³: less than at the
/// season's height.
fn nuts_held(study: &Study, years: &[WeatherYear]) -> Option<(f64, f64)> {
    let plant: &Plant = &study.plant;
    let season_h = years.first()?.season_hours as f64;
    let stays_h = plant.stays().map(|stay| stay.store_hours).fold(f64::INFINITY, f64::min);
    if stays_h <= 0.0 {
        // Nothing lies there, whatever its volume.
        return None;
    }
    let share = (stays_h / season_h).min(1.0);
    let held_t = study.intake.received_t() * share;
    let density = study.crops.iter().map(|crop| {
        let practice = crop.crop.practice();
        crop.crop.bed().bulk_density_at_kg_per_m3(practice.dried_moisture)
    });
    let density_kg_per_m3 = density.fold(0.0, f64::max);
    (density_kg_per_m3 > 0.0).then(|| (held_t, 1000.0 * held_t / density_kg_per_m3))
}
