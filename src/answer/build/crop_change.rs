//! Received moisture that is uncertain while the received tonnes are fixed.

use super::made_of::Season;
use crate::answer::figures::CropChangeFigures;
use crate::crop::water::{dry_basis_of_percent, mass_after_drying_kg};
use crate::number::{Measure, Sentence, three, with_unit};
use crate::study::{StudyCrop, UncertainInput};

const MOISTURE: &str = "received_moisture";
const TONNES: &str = "season_tonnes";

/// The received moistures among these inputs whose crop's tonnes are given as received.
pub(super) fn crop_changes(season: &Season<'_>, drawn: &[UncertainInput]) -> Vec<CropChangeFigures> {
    drawn.iter().filter_map(|input| crop_change(season, input)).collect()
}

fn crop_change(season: &Season<'_>, drawn: &UncertainInput) -> Option<CropChangeFigures> {
    let of_crop = drawn.path.strip_suffix(MOISTURE).filter(|path| path.starts_with("crop."))?;
    let fixed = format!("{of_crop}{TONNES}");
    let given = season.inputs.iter().find(|input| input.path == fixed)?;
    let (received_t, crop) = (given.number?, crop_of(&season.study.crops, of_crop)?);
    let target = crop.crop.practice().dried_moisture;
    let dried_t = |received_pct: f64| mass_after_drying_kg(received_t, dry_basis_of_percent(received_pct), target);
    let (low, high) = (drawn.distribution.low(), drawn.distribution.high());
    let (dried_t_at_low, dried_t_at_high) = (dried_t(low), dried_t(high));
    let moisture = |pct: f64| with_unit(&three(pct), "% w.b.");
    let tonnes = |t: f64| Measure::of("t").three(t);
    Some(CropChangeFigures {
        sentence: Sentence::of(|| {
            format!(
                "“{}” changes the crop with it, for “{fixed}” is fixed: of {} received, {} of dried nuts come at {} and {} at {}, so that wetter nuts dry less crop. dried_tonnes in place of {TONNES} keeps the crop the same.",
                drawn.path,
                tonnes(received_t),
                tonnes(dried_t_at_low),
                moisture(low),
                tonnes(dried_t_at_high),
                moisture(high),
            )
        }),
        input: drawn.path.clone(),
        fixed,
        received_t,
        dried_t_at_low,
        dried_t_at_high,
    })
}

/// The crop whose inputs lie below this path: `crop.` of one alone, `crop.NAME.` of one among several.
fn crop_of<'a>(crops: &'a [StudyCrop], path: &str) -> Option<&'a StudyCrop> {
    match crops {
        [one] => Some(one),
        several => several.iter().find(|crop| format!("crop.{}.", crop.name) == path),
    }
}
