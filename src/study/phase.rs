//! `[[phase]]`: growth, as multiples of the study.

use super::cursor::{Cursor, Kind};
use super::room::{RoomsRead, read_group};
use crate::dryer::BinSpec;
use crate::season::{CapacityFactors, GrowthPhase, Heating};

/// Factors may be as small and as large as this.
const FACTORS: (f64, f64) = (0.05, 100.0);

/// Reads every `[[phase]]`; none if the study has none.
pub(super) fn read(
    root: &Cursor<'_>,
    heatings: Option<&[Heating]>,
    rooms: Option<&RoomsRead>,
) -> Option<Vec<GrowthPhase>> {
    let (mut phases, mut complete) = (Vec::new(), true);
    for cursor in root.each("phase") {
        let phase = read_phase(&cursor, heatings, rooms);
        cursor.finish();
        match phase {
            Some(phase) => phases.push(phase),
            None => complete = false,
        }
    }
    complete.then_some(phases)
}

fn read_phase(cursor: &Cursor<'_>, heatings: Option<&[Heating]>, rooms: Option<&RoomsRead>) -> Option<GrowthPhase> {
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
