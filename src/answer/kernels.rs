//! What the kernels hold where the nuts are dried to a moisture in shell.

use super::crops::of_crop;
use crate::crop::RestedNut;
use crate::crop::water::percent_of_dry_basis;
use crate::ledger::{BatchRecord, Book};
use crate::number::{Digits, Measure, Sentence};
use crate::study::{Study, StudyCrop};
use schemars::JsonSchema;
use serde::Serialize;
use std::fmt::Write;

/// The kernels of a crop, by the pair of isotherms: rested nuts, whose shell and kernel hold one water
/// activity.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct KernelFigures {
    /// Name of the crop in the study.
    pub crop: String,
    /// Temperature at which the nuts rest, °C.
    pub temperature_c: f64,
    /// Target in shell, % w.b.
    pub dried_moisture_pct_wb: f64,
    /// The kernel's moisture at the target, % w.b.; nothing where the pair gives none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dried_kernel_moisture_pct_wb: Option<f64>,
    /// The shell's moisture at the target, % w.b.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dried_shell_moisture_pct_wb: Option<f64>,
    /// Water activity at the target.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_activity: Option<f64>,
    /// The kernel's moisture at the mean that the nuts left with (baseline option), % w.b.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reached_kernel_moisture_pct_wb: Option<f64>,
    /// The kernel's moisture in the cool store's driest and dampest air, % w.b.; nothing without a store.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub store_air_kernel_moisture_pct_wb: Option<[f64; 2]>,
    /// How far the isotherm in shell can be trusted.
    pub isotherm_status: &'static str,
    /// How far the kernel's isotherm can be trusted.
    pub kernel_isotherm_status: &'static str,
    /// All of it in a sentence or two.
    pub sentence: Sentence,
}

/// The kernels of each crop of which something is known, from the books of one option.
pub(super) fn figures(study: &Study, books: &[Book]) -> Vec<KernelFigures> {
    let crops = study.crops.iter().zip(study.plant.stays()).enumerate();
    crops
        .filter_map(|(place, (crop, stay))| {
            let (pair, kernel) = (crop.crop.isotherm_pair()?, crop.crop.kernel_isotherm()?);
            let nut = crop.rested(stay.dried_moisture);
            let reached = reached(books, place).and_then(|moisture| crop.rested(moisture));
            let pct = percent_of_dry_basis;
            let store_air = study.plant.store.as_ref().and_then(|store| {
                let (low, high) = store.relative_humidity;
                let in_air = |rh| Some(pct(pair.at(store.temperature_c, rh).ok()?.kernel));
                Some([in_air(low)?, in_air(high)?])
            });
            let mut figures = KernelFigures {
                crop: crop.name.clone(),
                temperature_c: crop.kernel_temperature_c,
                dried_moisture_pct_wb: pct(stay.dried_moisture),
                dried_kernel_moisture_pct_wb: nut.map(|nut| pct(nut.kernel)),
                dried_shell_moisture_pct_wb: nut.map(|nut| pct(nut.shell)),
                water_activity: nut.map(|nut| nut.water_activity),
                reached_kernel_moisture_pct_wb: reached.map(|nut| pct(nut.kernel)),
                store_air_kernel_moisture_pct_wb: store_air,
                isotherm_status: crop.crop.isotherm_origin().status.words(),
                kernel_isotherm_status: kernel.origin.status.words(),
                sentence: Sentence::default(),
            };
            figures.sentence = Sentence::of(|| sentence(&figures, nut.as_ref(), &whose(study, crop)));
            Some(figures)
        })
        .collect()
}

fn whose(study: &Study, crop: &StudyCrop) -> String {
    match study.crops.as_slice() {
        [_] => "Nuts".to_owned(),
        _ => format!("Nuts of “{}”", crop.name),
    }
}

/// Mean moisture with which a crop's batches left, dry basis; `None` where none left.
fn reached(books: &[Book], crop: usize) -> Option<f64> {
    let dry_kg = |batch: &BatchRecord| batch.out_kg / (1.0 + batch.out_moisture);
    let (mut kg, mut dry) = (0.0, 0.0);
    for batch in of_crop(books, crop).filter(|batch| batch.out_hour.is_some()) {
        kg += batch.out_kg;
        dry += dry_kg(batch);
    }
    (dry > 0.0).then(|| kg / dry - 1.0)
}

fn sentence(figures: &KernelFigures, nut: Option<&RestedNut>, whose: &str) -> String {
    let target = Digits(figures.dried_moisture_pct_wb);
    let celsius = Measure::of("°C");
    let at = format!("{:.0} {}", Digits(celsius.value(figures.temperature_c)), celsius.sign());
    let Some(nut) = nut else {
        return format!(
            "{whose} dried to {target:.1} % w.b. in shell lie outside what the isotherm pair reaches at {at}, so nothing is said of their kernels."
        );
    };
    let pct = percent_of_dry_basis;
    let kernel = pct(nut.kernel);
    let trust = if figures.isotherm_status == figures.kernel_isotherm_status {
        format!("isotherm pair {}", figures.isotherm_status)
    } else {
        format!("isotherm pair: in shell {}, of the kernel {}", figures.isotherm_status, figures.kernel_isotherm_status)
    };
    let mut said = format!(
        "{whose} dried to {target:.1} % w.b. in shell hold about {:.1} % in the kernel and {:.1} % in the shell once both have come to one water activity ({:.2} at {at}; {trust}).",
        Digits(kernel),
        Digits(pct(nut.shell)),
        Digits(nut.water_activity)
    );
    if let Some([low, high]) = figures.store_air_kernel_moisture_pct_wb
        && high > kernel + 0.05
    {
        let _ = write!(
            said,
            " The store’s air would bring the kernel to {:.1} to {:.1} % in time.",
            Digits(low),
            Digits(high)
        );
    }
    said
}
