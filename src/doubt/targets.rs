//! Targets at which nuts are still damp enough for mould.

use super::Doubts;
use crate::crop::water;
use crate::number::apart;
use crate::study::input::Input;
use crate::study::kept_targets;

impl Doubts<'_> {
    /// Nuts that are at their target and still damp enough for mould.
    pub(super) fn damp_targets(&mut self) {
        for (kept, crop) in kept_targets(self.study).into_iter().zip(&self.study.crops) {
            if !kept.lets_mould_grow() {
                continue;
            }
            let (activity, critical) = apart(kept.activity, kept.critical_activity, 2);
            let what = format!(
                "nuts dried to {:.1} % w.b. have a water activity of {activity} at {} °C, above the {critical} at which mould begins to grow",
                water::percent_of_dry_basis(kept.moisture),
                kept.temperature_c,
            );
            let cure = format!(
                "dry to {:.1} % w.b. or less, or make sure that they dry on where they are kept",
                // Rounded down: who follows it to the digit is on the dry side.
                (water::percent_of_dry_basis(kept.safe_moisture) * 10.0).floor() / 10.0
            );
            let path = self.target_path(&crop.name);
            self.doubt("crop.damp_target", &path, what, &cure);
        }
    }

    /// The path of a crop's target, as the study names it.
    fn target_path(&self, crop: &str) -> String {
        let of_crop = |input: &&Input| {
            let path = &input.path;
            let one = self.study.crops.len() == 1 || path.contains(crop);
            path.starts_with("crop.") && one && path.ends_with("dried_moisture")
        };
        let found = self.inputs.iter().find(of_crop);
        found.map_or_else(|| "crop.dried_moisture".to_owned(), |input| input.path.clone())
    }
}
