//! What the target moisture of each crop means for mould: its water activity as it is kept.

use crate::crop::water::percent_of_dry_basis;
use crate::number::{self, Measure, Sentence};
use crate::study::{Study, kept_targets};
use schemars::JsonSchema;
use serde::Serialize;

/// The target of one crop.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct TargetFigures {
    /// Name of the crop in the study.
    pub crop: String,
    /// Target in shell, % w.b.
    pub dried_moisture_pct_wb: f64,
    /// Temperature that the nuts are kept at, °C: the cool store's, or room warmth without one.
    pub temperature_c: f64,
    /// Water activity of nuts at the target, by the crop's isotherm in shell.
    pub target_water_activity: f64,
    /// Water activity above which mould grows at that temperature.
    pub mould_water_activity: f64,
    /// The wettest that keeps there, % w.b.
    pub keeps_at_pct_wb: f64,
    /// True where mould can grow on nuts at their target.
    pub mould_can_grow: bool,
    /// How far the isotherm can be trusted.
    pub isotherm_status: &'static str,
    /// A sentence where mould can grow; empty where it cannot.
    pub sentence: Sentence,
}

/// The target of every crop.
pub(super) fn figures(study: &Study) -> Vec<TargetFigures> {
    let crops = kept_targets(study).into_iter().zip(&study.crops);
    crops
        .map(|(kept, crop)| {
            let mut figures = TargetFigures {
                crop: crop.name.clone(),
                dried_moisture_pct_wb: percent_of_dry_basis(kept.moisture),
                temperature_c: kept.temperature_c,
                target_water_activity: kept.activity,
                mould_water_activity: kept.critical_activity,
                keeps_at_pct_wb: percent_of_dry_basis(kept.safe_moisture),
                mould_can_grow: kept.lets_mould_grow(),
                isotherm_status: crop.crop.isotherm_origin().status.words(),
                sentence: Sentence::default(),
            };
            if figures.mould_can_grow {
                figures.sentence = Sentence::of(|| sentence(&figures, study.crops.len() > 1));
            }
            figures
        })
        .collect()
}

fn sentence(figures: &TargetFigures, of_several: bool) -> String {
    let whose = if of_several { format!(" of “{}”", figures.crop) } else { String::new() };
    format!(
        "The target itself is damp: nuts{whose} dried to {} have a water activity of {} at {} (isotherm: {}), above the {} at which mould begins to grow; they keep if dried to {} or less, or if they dry on where they are kept.",
        number::with_unit(&number::fixed(figures.dried_moisture_pct_wb, 1), "% w.b."),
        number::fixed(figures.target_water_activity, 2),
        Measure::of("°C").plain_figure(figures.temperature_c),
        figures.isotherm_status,
        number::fixed(figures.mould_water_activity, 2),
        number::with_unit(&number::fixed(figures.keeps_at_pct_wb, 1), "% w.b."),
    )
}
