//! `[[phase]]`: growth, as multiples of the study and as values that change, and when it comes.

use super::ChangedStudy;
use super::change::Change;
use super::costs::{USUAL_LIFE, read_life, read_upkeep};
use super::cursor::{Cursor, Kind};
use super::may_set::{By, read_set};
use super::money::{MOST_MONEY, MoneyTerms};
use super::room::{RoomsRead, read_group};
use crate::dryer::BinSpec;
use crate::season::{CapacityFactors, GrowthPhase, Heating};

/// Factors may be as small and as large as this.
const FACTORS: (f64, f64) = (0.05, 100.0);

/// A phase of growth.
#[derive(Clone, Debug)]
pub(crate) struct Phase {
    /// What grows, as multiples of the study.
    pub growth: GrowthPhase,
    /// Values of the study that it changes beside.
    pub set: Vec<Change>,
    /// The study with these values, before it grows; nothing where it sets none, and in a study that is itself read for
    /// a draw or a scenario.
    pub study: Option<Box<ChangedStudy>>,
    /// When it comes and what is bought for it; nothing of a phase that is looked at and not planned.
    pub planned: Option<Planned>,
}

/// Growth with a date.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Planned {
    /// The first season with it, counted from the first of the reckoning, 2 or later. All is bought at the end of the
    /// year before.
    pub year: u32,
    /// Bought for it in every option, at today's prices.
    pub capital: f64,
    /// Bought for it beside in these options: names and money.
    pub capital_of: Vec<(String, f64)>,
    /// Life of what is bought, years.
    pub life_years: f64,
    /// Its upkeep a year.
    pub upkeep_per_year: f64,
}

impl Planned {
    /// What is bought for it in an option.
    pub(crate) fn capital_of(&self, option: &str) -> f64 {
        self.capital + self.capital_of.iter().filter(|(name, _)| name == option).map(|(_, own)| own).sum::<f64>()
    }
}

/// Reads every `[[phase]]`; none if the study has none.
pub(super) fn read(
    root: &Cursor<'_>,
    heatings: Option<&[Heating]>,
    rooms: Option<&RoomsRead>,
    money: &MoneyTerms,
) -> Option<Vec<Phase>> {
    let (mut phases, mut complete) = (Vec::new(), true);
    let mut before = 1;
    for cursor in root.each("phase") {
        let planned = read_planned(&cursor, heatings, money, &mut before);
        let set = read_set(&cursor, By::Phase);
        let growth = read_growth(&cursor, heatings, rooms);
        let phase = match (growth, set, planned) {
            (Some(growth), Some(set), Ok(planned)) => Some(Phase { growth, set, study: None, planned }),
            (_, _, _) => None,
        };
        cursor.finish();
        match phase {
            Some(phase) => phases.push(phase),
            None => complete = false,
        }
    }
    complete.then_some(phases)
}

/// Keys that say what is bought and when it comes.
const PLANNED: [&str; 4] = ["capital", "capital_of", "life_years", "upkeep_per_year"];

/// A problem was recorded.
struct Recorded;

/// When it comes; nothing of a phase without a year. Phases with one follow one another.
fn read_planned(
    cursor: &Cursor<'_>,
    heatings: Option<&[Heating]>,
    money: &MoneyTerms,
    before: &mut u32,
) -> Result<Option<Planned>, Recorded> {
    let year = cursor
        .count("year")
        .unit("a")
        .within(2, 60)
        .hint("the first season with it, from 2: the first is the study as it stands")
        .optional();
    let Some(year) = year else {
        // What is wrong with a year is told already, and then nothing is wrong with the rest.
        let has_a_year = cursor.kind("year").is_some();
        let mut is_whole = !has_a_year;
        for key in PLANNED.into_iter().filter(|key| cursor.kind(key).is_some()) {
            cursor.claim(key);
            if has_a_year {
                continue;
            }
            cursor.complain(
                key,
                "is for growth that is planned, and this phase has no year",
                "a year beside it",
                "say the first season with it, year = 4, or leave this out",
            );
            is_whole = false;
        }
        return if is_whole { Ok(None) } else { Err(Recorded) };
    };
    let mut is_whole = true;
    if year > money.years {
        cursor.complain(
            "year",
            &format!("is {year}, after the last of the {} years of money.years", money.years),
            &format!("a year from 2 to {}", money.years),
            "name an earlier season, or look at more years under [money]",
        );
        is_whole = false;
    }
    if year <= *before {
        cursor.complain(
            "year",
            &format!("is {year}, and a phase before it has its first season in year {before}"),
            "a later year in each phase that follows",
            "put the phases in the order of their years; a phase says all that stands then, against the study",
        );
        is_whole = false;
    }
    *before = year;
    let capital = cursor
        .number("capital")
        .unit("money")
        .within(0.0, MOST_MONEY)
        .hint("all that is bought for it, at today's prices; 0 if nothing is")
        .required();
    let mut capital_of = Vec::new();
    if let Some(table) = cursor.optional_table("capital_of") {
        for heating in heatings.into_iter().flatten() {
            let own = table.number(&heating.name).named_by("OPTION").unit("money").within(-MOST_MONEY, MOST_MONEY);
            let own = own.hint("what is bought for it in this option, beside `capital`").optional();
            capital_of.extend(own.map(|own| (heating.name.clone(), own)));
        }
        // Without options there are no names to hold the table against; that is said elsewhere.
        if heatings.is_some() {
            table.finish();
        }
    }
    let life_years = read_life(cursor, USUAL_LIFE);
    let upkeep = read_upkeep(cursor);
    let capital = capital.filter(|_| is_whole).ok_or(Recorded)?;
    Ok(Some(Planned { year, capital, capital_of, life_years, upkeep_per_year: upkeep }))
}

fn read_growth(cursor: &Cursor<'_>, heatings: Option<&[Heating]>, rooms: Option<&RoomsRead>) -> Option<GrowthPhase> {
    let factor = |key: &str| cursor.number(key).unit("times the study's").within(FACTORS.0, FACTORS.1);
    let name = cursor.text("name").hint("say what grows: \"twice the orchard\"").required();
    let intake_factor =
        factor("intake_factor").hint("give the intake as a multiple of the study's, such as 2.0").required();
    let bins_added = read_bins(cursor, rooms);
    let capacity_factors = read_capacities(cursor, heatings);
    let fresh_air_factor = factor("fresh_air_factor").default(1.0, "no more than the study has");
    let store_factor = factor("store_factor").default(1.0, "no more than the study has");
    let own_supply_factor = factor("own_supply_factor")
        .default(intake_factor.unwrap_or(1.0), "as the intake: shell and husk come with the nuts");
    Some(GrowthPhase {
        name: name?,
        intake_factor: intake_factor?,
        bins_added: bins_added?,
        capacity_factors,
        fresh_air_factor,
        store_factor,
        own_supply_factor,
    })
}

/// Groups of alike bins that are built, in the form of a room's; in the first room, unless they name another.
fn read_bins(cursor: &Cursor<'_>, rooms: Option<&RoomsRead>) -> Option<Vec<(usize, BinSpec)>> {
    let (mut bins, mut complete) = (Vec::new(), true);
    for group in cursor.each("bins_added") {
        let read = read_group(&group);
        let room = read_room(&group, rooms);
        group.finish();
        match read {
            Some((count, bin)) => bins.extend((0..count).map(|_| (room, bin))),
            None => complete = false,
        }
    }
    complete.then_some(bins)
}

/// The place of the room in which bins are built.
fn read_room(group: &Cursor<'_>, rooms: Option<&RoomsRead>) -> usize {
    if let Some(RoomsRead { all, .. }) = rooms
        && group.kind("room").is_none()
        && all.len() > 1
    {
        // Of several rooms it is told which.
        group.text("room").default(all[0].name.clone(), "the first of the rooms");
        return 0;
    }
    let room = group.text("room").hint("name the room in which they are built; left out, it is the first");
    RoomsRead::named(rooms, group, "room", room).unwrap_or(0)
}

/// One factor for all sources, or a table of them by the source's name.
fn read_capacities(cursor: &Cursor<'_>, heatings: Option<&[Heating]>) -> CapacityFactors {
    if cursor.kind("capacity_factor") != Some(Kind::Table) {
        let others = cursor
            .number("capacity_factor")
            .unit("times the study's")
            .within(FACTORS.0, FACTORS.1)
            .default(1.0, "no more heat than the study has");
        return CapacityFactors { others, named: Vec::new() };
    }
    let table = cursor.table("capacity_factor");
    let mut names: Vec<&str> = heatings
        .into_iter()
        .flatten()
        .flat_map(|heating| &heating.sources)
        .map(|source| source.name.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    let named = names
        .into_iter()
        .filter_map(|name| {
            let factor = table
                .number(name)
                .named_by("SOURCE")
                .unit("times the study's")
                .within(FACTORS.0, FACTORS.1)
                .optional()?;
            Some((name.to_owned(), factor))
        })
        .collect();
    // Without options there are no names to hold the table against; that is said elsewhere.
    if heatings.is_some() {
        table.finish();
    }
    CapacityFactors { others: 1.0, named }
}
