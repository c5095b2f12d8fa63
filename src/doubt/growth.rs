//! Growth that hardly will be: factors and money of another unit, and a larger plant for nothing.

use super::Doubts;

/// A season's intake grows by such factors (assumption: beyond them a study of its own says more).
const USUAL_GROWTH: (f64, f64) = (0.5, 8.0);
/// What grows costs at least this share of what the same heaters cost now (assumption: sums in thousands are below it).
const LITTLE_CAPITAL: f64 = 0.02;
/// Bins larger by such a factor than the study's largest are typed wrong more often than built (assumption).
const LARGER_BIN: f64 = 5.0;

impl Doubts<'_> {
    /// Phases of growth.
    pub(super) fn growth(&mut self) {
        let mut found: Vec<(String, String, &'static str)> = Vec::new();
        let bins = || self.study.plant.rooms().flat_map(|room| &room.bins);
        let largest_t = bins().map(|bin| bin.capacity_t).fold(0.0, f64::max);
        for phase in &self.study.phases {
            let growth = &phase.growth;
            let path = |key: &str| format!("phase.{}.{key}", growth.name);
            let heat = growth.capacity_factors.named.iter().map(|(_, factor)| *factor);
            let most_heat = heat.fold(growth.capacity_factors.others, f64::max);
            let factors = [
                ("intake_factor", growth.intake_factor),
                ("capacity_factor", most_heat),
                ("fresh_air_factor", growth.fresh_air_factor),
                ("store_factor", growth.store_factor),
            ];
            for (key, factor) in factors {
                if !(USUAL_GROWTH.0..=USUAL_GROWTH.1).contains(&factor) {
                    let what = format!("{key} is {factor}: the study's own times that");
                    found.push((path(key), what, "a fifth more is 1.2, twice as much 2.0"));
                }
            }
            if let Some((_, bin)) = growth.bins_added.iter().find(|(_, bin)| bin.capacity_t > LARGER_BIN * largest_t) {
                let what =
                    format!("bins of {} t are added, and the study's largest holds {largest_t} t", bin.capacity_t);
                found.push((path("bins_added"), what, "give what one bin holds, t, not all of them"));
            }
            let Some(planned) = &phase.planned else { continue };
            for (heating, cost) in self.study.heatings.iter().zip(&self.study.costs) {
                let now: f64 = cost.items.iter().map(|item| item.capital).sum();
                let (more, grown) =
                    (planned.capital_of(&heating.name), most_heat > 1.0 || !growth.bins_added.is_empty());
                if grown && now > 0.0 && more < LITTLE_CAPITAL * now {
                    let what =
                        format!("the plant of \"{}\" grows for {more}, and what it has costs {now}", heating.name);
                    let cure = "give all that is bought for it, in whole money: capital for every option, capital_of beside it";
                    found.push((path("capital"), what, cure));
                    break;
                }
            }
        }
        for (path, what, cure) in found {
            self.doubt("phase.growth", &path, what, cure);
        }
    }
}
