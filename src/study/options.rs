//! `[[option]]`: the ways of heating to compare.

use super::costs::{OptionCost, Options, SourceCost, read_life, read_upkeep};
use super::cursor::Cursor;
use super::money::MOST_MONEY;
use super::package::{self, Measure, Package};
use super::room::RoomsRead;
use super::sources::{self, Sources};
use super::{condensers, heat_store, source_kinds};
use crate::cool_store::Place;
use crate::heat::{Dispatch, Source};
use crate::money::{Carrier, Carriers};
use crate::problem::meant_or;
use crate::season::{Calling, HeatPrices, Heating, HourPrices};

/// The options, and what each changes of the study, in the order of the file.
pub(super) fn read(
    root: &Cursor<'_>,
    carriers: Option<&Carriers>,
    baseline: Option<&str>,
    rooms: Option<&RoomsRead>,
) -> Option<(Options, Vec<Measure>)> {
    let has_store = root.kind("cool_store").is_some();
    let sources = sources::read(root, carriers, rooms);
    let mut entries = root.each_of_some("option", "at least one [[option]]", "name a way of heating and its sources");
    if entries.is_empty() {
        return None;
    }
    let packages = package::read(&mut entries, baseline);
    let mut complete = sources.complete && packages.iter().all(Option::is_some);
    let mut all = Vec::new();
    for (cursor, package) in entries.iter().zip(&packages) {
        let option = read_option(cursor, package.as_ref(), &sources, baseline, carriers, has_store);
        let option = option.map(|option| {
            let condensers_room = condensers_room(cursor, &option.heating, rooms);
            OptionRead { heating: Heating { condensers_room, ..option.heating }, ..option }
        });
        cursor.finish();
        complete &= option.is_some();
        all.extend(option);
    }
    complete.then(|| with_included(all, packages.into_iter().flatten().collect()))
}

/// One option as it was read by itself.
struct OptionRead {
    heating: Heating,
    /// Its sources.
    cost: OptionCost,
    /// What it costs besides them, if anything.
    works: Option<SourceCost>,
}

/// The options with the works of those that they include.
fn with_included(all: Vec<OptionRead>, packages: Vec<Package>) -> (Options, Vec<Measure>) {
    let names: Vec<String> = all.iter().map(|option| option.heating.name.clone()).collect();
    let works: Vec<Option<SourceCost>> = all.iter().map(|option| option.works.clone()).collect();
    let (mut heatings, mut costs, mut measures) = (Vec::new(), Vec::new(), Vec::new());
    for (place, (option, package)) in all.into_iter().zip(packages).enumerate() {
        let mut cost = option.cost;
        cost.items.extend(package.includes.iter().chain([&place]).filter_map(|&place| works[place].clone()));
        heatings.push(option.heating);
        costs.push(cost);
        let includes = package.includes.iter().map(|&place| names[place].clone()).collect();
        measures.push(Measure { set: package.set, includes });
    }
    ((heatings, costs), measures)
}

fn read_option(
    cursor: &Cursor<'_>,
    package: Option<&Package>,
    sources: &Sources,
    baseline: Option<&str>,
    carriers: Option<&Carriers>,
    has_store: bool,
) -> Option<OptionRead> {
    let name = cursor.text("name").hint("give the option a short name").required();
    let condensers = condensers::read(cursor, has_store);
    let called = cursor
        .texts("sources")
        .hint("list its heaters in the order in which they are called on")
        .when("at least one source", |list| !list.is_empty());
    let called = match package.map(|package| &package.sources) {
        Some(Some(taken_over)) => {
            let whose = "as the options that it includes, or the baseline, have them";
            Some(called.default(taken_over.clone(), whose))
        }
        Some(None) => called.required(),
        // What it includes cannot be joined, which was told.
        None => called.optional(),
    };
    let changes_the_plant = package.is_some_and(|package| !package.set.is_empty());
    // Less of a plant that is still to be built costs less than the study's.
    let least = if changes_the_plant { -MOST_MONEY } else { 0.0 };
    let capital =
        cursor.number("capital").unit("money").within(least, MOST_MONEY).default(0.0, "nothing besides its sources");
    let upkeep = read_upkeep(cursor);
    let life = read_life(cursor, "as its sources");
    let is_baseline = name.is_some() && name.as_deref() == baseline;
    let grant = cursor.yes_no("grant").default(!is_baseline, "a grant pays for proposals, not for the baseline");
    let dispatch = cursor
        .choice("dispatch", &[("ordered", Dispatch::Ordered), ("cheapest-first", Dispatch::CheapestFirst)])
        .default(Dispatch::Ordered, "sources are called on as they are listed");
    if condensers.place.recovers() && !has_store {
        cursor.complain(
            "condensers",
            match condensers.place.place() {
                Place::Outdoors => "stand outdoors",
                Place::Room => "stand in the room",
                Place::FreshAir => "stand in the fresh-air intake",
                Place::SwitchedRoom | Place::SwitchedFreshAir => "are switched",
            },
            "a [cool_store]",
            "describe the cool store whose condensers they are, or leave condensers out",
        );
    }
    let stack = called.and_then(|called| read_stack(cursor, &called, sources));
    let (name, (stack, items)) = (name?, stack?);
    source_kinds::check_stack(cursor, &stack, &condensers);
    let mut stack = stack;
    heat_store::connect(cursor, &mut stack);
    let shifts = |source: &Source| source.kind.says().is_store();
    let calling = match dispatch {
        Dispatch::Ordered if stack.iter().any(shifts) => Calling::OrderedByHour(prices_of(&stack, carriers?)),
        Dispatch::Ordered => Calling::Ordered,
        Dispatch::CheapestFirst => Calling::CheapestFirst(prices_of(&stack, carriers?)),
    };
    let has_works = capital != 0.0 || upkeep > 0.0;
    let works = has_works.then(|| SourceCost {
        name: format!("{name}: works"),
        capital,
        capital_per_kw: None,
        upkeep_per_year: upkeep,
        life_years: life,
    });
    let heating = Heating { name, condensers, condensers_room: 0, sources: stack, calling };
    Some(OptionRead { heating, cost: OptionCost { items, grant }, works })
}

/// The room in which an option's condensers stand, or whose fresh air they warm: the first unless it is
/// named.
fn condensers_room(cursor: &Cursor<'_>, heating: &Heating, rooms: Option<&RoomsRead>) -> usize {
    const KEY: &str = "condensers_room";
    if cursor.kind(KEY).is_some() && !heating.condensers.place.recovers() {
        cursor.claim(KEY);
        cursor.complain(
            KEY,
            "is given, but the condensers stand outdoors",
            "condensers in a room or in an intake",
            "leave it out, or say condensers = \"room\"",
        );
        return 0;
    }
    let room = cursor
        .text(KEY)
        .hint("name the room in which they stand, or whose fresh air they warm; left out, it is the first");
    RoomsRead::named(rooms, cursor, KEY, room).unwrap_or(0)
}

/// What a cheapest-first option goes by: energy prices alone, without demand charges; a fuel of which the
/// plant has its own counts as that.
fn prices_of(stack: &[Source], carriers: &Carriers) -> HeatPrices {
    let fuel = |source: &Source| {
        source.fuel().and_then(|name| carriers.fuels.get(name)).map_or(0.0, Carrier::first_price_per_kwh)
    };
    HeatPrices {
        electricity: HourPrices {
            times: carriers.electricity.times.clone(),
            per_kwh: carriers.electricity.prices_with_tax(),
        },
        fuel_per_kwh: stack.iter().map(fuel).collect(),
    }
}

/// The sources that an option calls on, with what they cost.
fn read_stack(cursor: &Cursor<'_>, called: &[String], sources: &Sources) -> Option<(Vec<Source>, Vec<SourceCost>)> {
    for (at, name) in called.iter().enumerate() {
        if called[..at].contains(name) {
            cursor.complain(
                "sources",
                &format!("names \"{name}\" twice"),
                "each source once",
                "strike one out, or describe a second source of its own name",
            );
        }
        if !sources.names.contains(name) {
            let names = || sources.names.iter().map(String::as_str);
            let known = if sources.names.is_empty() {
                "a [[source]], of which there are none".to_owned()
            } else {
                format!("one of {}", names().collect::<Vec<_>>().join(", "))
            };
            let cure = meant_or(name, names(), "mend the name or add a [[source]]");
            cursor.complain_of_stranger("sources", &format!("names \"{name}\", which is no source"), &known, &cure);
        }
    }
    // A source that could not be read was told where it stands.
    called
        .iter()
        .map(|name| sources.find(name).cloned())
        .collect::<Option<Vec<_>>>()
        .map(|stack| stack.into_iter().unzip())
}
