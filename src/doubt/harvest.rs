//! A season in the half of the year in which the nuts do not ripen.

use super::Doubts;
use crate::problem::Matter;
use crate::weather::{MonthDay, SeasonWindow};

/// Nuts of trees that stand bare in winter: they flower in spring and ripen from late summer to the end of autumn (common
/// practice, no published source). Macadamias and peanuts are not among them: they are gathered in most months somewhere.
const OF_BARE_TREES: [&str; 5] = ["walnut", "pecan", "hazelnut", "almond", "pistachio"];
/// Nearer to the equator than this, degrees of latitude, such trees may keep another calendar (assumption).
const HAS_WINTER_DEG: f64 = 25.0;
/// From the end of winter to the first weeks of summer nothing of them ripens: month and day north of the equator, and half
/// a year later south of it (common practice, no published source, with a month's margin: the first almonds come in late
/// July, the last pecans are gathered in January).
const NORTH: ((u32, u32), (u32, u32)) = ((2, 15), (6, 30));
const SOUTH: ((u32, u32), (u32, u32)) = ((8, 15), (12, 31));

impl Doubts<'_> {
    /// A season that lies wholly where nothing ripens: one of the other hemisphere, or of another column of a calendar.
    pub(super) fn harvest(&mut self) {
        let study = self.study;
        let Some(place) = study.plant.place.filter(|place| place.latitude.abs() > HAS_WINTER_DEG) else { return };
        let is_of_bare_trees = |name: &str| OF_BARE_TREES.contains(&name);
        if !study.crops.iter().all(|crop| is_of_bare_trees(crop.crop.name())) {
            return;
        }
        let (barren, side) = if place.latitude < 0.0 { (SOUTH, "south") } else { (NORTH, "north") };
        if !lies_within(study.season, barren) {
            return;
        }
        let what = format!(
            "the season is from {} to {}, spring and early summer {side} of the equator; {} ripens from late summer to winter",
            study.season.starts,
            study.season.ends,
            study.crop_words()
        );
        let cure = "look at the months of season.starts and season.ends: half a year parts the two hemispheres; nuts of the harvest before may be dried in any month";
        self.doubt("season.harvest", "season.starts", what, cure).is_about = &[Matter::OutsideAir];
    }
}

/// True if a season begins and ends within these days of one year.
fn lies_within(season: SeasonWindow, (first, last): ((u32, u32), (u32, u32))) -> bool {
    let of = |day: MonthDay| (day.month(), day.day());
    !season.crosses_new_year() && of(season.starts) >= first && of(season.ends) <= last
}
