//! All that sizing finds: each number alone, all together, and what comes of heat and bins.

use super::joint::{Joint, joint};
use super::lever::Lever;
use super::search::{Answer, BinsPoint, Grid, Search, bin_hours, place_of_most};
use super::site::{Limit, Site};
use super::trial::Trial;
use crate::season::plant::Intake;
use crate::season::reference::References;
use crate::weather::WeatherYear;
use rayon::prelude::*;

/// What sizing found.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// The plant as it stands, in every weather year.
    pub as_it_stands: Vec<Trial>,
    /// Place of the weather year in which that plant is busiest.
    pub busiest_year: usize,
    /// An answer for each number that the plant has.
    pub answers: Vec<Answer>,
    /// Heat capacity, kW, against what comes of it, in the heat's deciding year, least first.
    pub heat_curve: Vec<Trial>,
    /// Place of the room whose bins the curve below is of: the one that has the fewest to spare.
    pub bins_room: usize,
    /// Its bins against what comes of them, in the bins' deciding year, least first.
    pub bins_curve: Vec<BinsPoint>,
    /// One plant that keeps the limit with all numbers together; `None` if none that was tried does.
    pub joint: Option<Joint>,
}

/// Sizes a site for an intake.
///
/// The years are those of the weather files; each answer holds in all of them, and names the one that
/// decides. `years` must not be empty.
pub fn size(references: &References, site: &Site, intake: &Intake, years: &[WeatherYear], limit: Limit) -> Sizing {
    let search = Search { references, site: &site.clone().within(limit), intake, years, limit };
    let as_it_stands: Vec<Trial> =
        years.par_iter().map(|year| Trial::of(references, search.site, 1.0, intake, year, limit)).collect();
    let busiest_year = place_of_most(&as_it_stands, bin_hours);
    let answers: Vec<Answer> = Lever::all(search.site)
        .into_par_iter()
        .filter_map(|lever| {
            let grid = Grid::of(lever, search.site)?;
            Some(search.answer(&grid, busiest_year, &as_it_stands))
        })
        .collect();
    let bins_room = scarcest_bins(&answers);
    let (joint, (heat_curve, bins_curve)) = rayon::join(
        || joint(&search, &answers, &as_it_stands),
        || {
            let heat_curve = search.heat_curve(&answers);
            (heat_curve, search.bins_curve(&answers, bins_room))
        },
    );
    Sizing { as_it_stands, busiest_year, answers, heat_curve, bins_room, bins_curve, joint }
}

/// The room whose bins have the least to spare, by what is needed for what there is; the first of equals. Where
/// another room's are short, more of a room's own do not help: such a room is not it.
fn scarcest_bins(answers: &[Answer]) -> usize {
    let mut scarcest = (0, 0.0);
    for answer in answers {
        if let (Lever::Bins(room), Some(least)) = (answer.lever, answer.least)
            && least / answer.as_it_stands > scarcest.1
        {
            scarcest = (room, least / answer.as_it_stands);
        }
    }
    scarcest.0
}
