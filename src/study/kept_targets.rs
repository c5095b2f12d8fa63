//! Whether nuts that are dried to their target are dry enough for mould not to grow where they are kept.

use super::Study;

/// Where nuts are kept without a cool store, °C: room warmth, an assumption.
const ROOM_WARM_C: f64 = 25.0;

/// The target of one crop as it is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct KeptTarget {
    /// Temperature that the nuts are kept at, °C.
    pub temperature_c: f64,
    /// Target, dry basis.
    pub moisture: f64,
    /// Its water activity there.
    pub activity: f64,
    /// Water activity above which mould grows there.
    pub critical_activity: f64,
    /// The wettest that does not let it grow, dry basis.
    pub safe_moisture: f64,
}

impl KeptTarget {
    /// True where mould can grow on nuts at their target.
    pub(crate) fn lets_mould_grow(&self) -> bool {
        self.activity > self.critical_activity
    }
}

/// The targets of a study's crops in their order.
pub(crate) fn kept_targets(study: &Study) -> Vec<KeptTarget> {
    let plant = &study.plant;
    let temperature_c = plant.store.as_ref().map_or(ROOM_WARM_C, |store| store.temperature_c);
    let crops = plant.nuts_by_crop().zip(plant.stays());
    crops
        .map(|(nuts, stay)| {
            let critical_activity = stay.mould_law().critical_activity_at(temperature_c);
            KeptTarget {
                temperature_c,
                moisture: stay.dried_moisture,
                activity: nuts.water_activity(temperature_c, stay.dried_moisture),
                critical_activity,
                safe_moisture: nuts.equilibrium_moisture(temperature_c, critical_activity),
            }
        })
        .collect()
}
