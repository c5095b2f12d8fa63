//! Measures of the standing list that change an option's way of heating: where condensers stand, and new sources.

use super::standing_measure::{StandingMeasure, number, three_figures};
use crate::cool_store::Place;
use crate::heat::{Kind, Source};
use crate::printable::toml_text;

/// Share of the temperature difference that an exchanger recovers (assumption: a round step to look with).
const EXCHANGER_EFFECTIVENESS: f64 = 0.6;
/// A heat pump's share of the highest hour of heat (assumption: a round step to look with).
const PUMP_SHARE: f64 = 0.5;
/// The way of heating of the option that measures are tried on.
pub(super) struct Base<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its sources.
    pub sources: &'a [Source],
    /// All sources that any option of the study calls on.
    pub known: Vec<&'a Source>,
}

impl Base<'_> {
    /// The store's condensers at the places where they do not stand; in a room only where one recirculates.
    pub(super) fn condensers(&self, own: Place, recirculates: bool) -> Vec<StandingMeasure> {
        const IN_ROOM: [(&str, Place); 2] = [("\"room\"", Place::Room), ("\"switched\"", Place::SwitchedRoom)];
        const ANYWHERE: [(&str, Place); 3] = [
            ("\"outdoors\"", Place::Outdoors),
            ("\"fresh-air\"", Place::FreshAir),
            ("{ place = \"switched\", to = \"fresh-air\" }", Place::SwitchedFreshAir),
        ];
        let in_room = IN_ROOM.into_iter().filter(|_| recirculates);
        let others = ANYWHERE.into_iter().chain(in_room).filter(|(_, place)| *place != own);
        others
            .map(|(word, place)| {
                let name = format!("condensers {}", place_words(place));
                let says = format!("includes = [{}]\ncondensers = {word}\n", toml_text(self.name));
                StandingMeasure { name, does: (&where_they_stand(place)).into(), source: String::new(), says }
            })
            .collect()
    }

    /// Sources of kinds that the option does not have, called on before its own.
    pub(super) fn new_sources(&self, heat_peak_kw: f64) -> Vec<StandingMeasure> {
        let has = |is_kind: fn(&Kind) -> bool| self.sources.iter().any(|source| is_kind(&source.kind));
        let mut all = Vec::new();
        if !has(|kind| matches!(kind, Kind::Exchanger(_))) {
            let percent = EXCHANGER_EFFECTIVENESS * 100.0;
            all.extend(self.source(
                ("exchanger", "exhaust to fresh air", |kind| matches!(kind, Kind::Exchanger(_))),
                heat_peak_kw,
                &format!("effectiveness = {EXCHANGER_EFFECTIVENESS:?}\n"),
                &format!("an exchanger brings {percent} % of the difference from exhaust to fresh air"),
            ));
        }
        if !has(|kind| matches!(kind, Kind::HeatPump(_))) {
            let percent = PUMP_SHARE * 100.0;
            all.extend(self.source(
                ("heat-pump", "heat pump on outside air", |kind| matches!(kind, Kind::HeatPump(_))),
                heat_peak_kw * PUMP_SHARE,
                "",
                &format!("a heat pump on outside air is called on first, for {percent} % of the highest hour of heat"),
            ));
        }
        all
    }

    /// A source of this kind and name before the option's own: the study's, where it has one. None where the name is
    /// another kind's, or no heat is needed.
    fn source(
        &self,
        (kind, name, is_kind): (&str, &str, fn(&Kind) -> bool),
        capacity_kw: f64,
        more: &str,
        does: &str,
    ) -> Option<StandingMeasure> {
        let kw = three_figures(capacity_kw);
        let known = self.known.iter().find(|source| source.name == name);
        if kw <= 0.0 || known.is_some_and(|source| !is_kind(&source.kind)) {
            return None;
        }
        let own = self.sources.iter().map(|source| source.name.as_str());
        let called: Vec<String> = std::iter::once(name).chain(own).map(toml_text).collect();
        let option = format!("with {name}");
        let new = || {
            format!("[[source]]\nname = {}\nkind = \"{kind}\"\ncapacity_kw = {}\n{more}\n", toml_text(name), number(kw))
        };
        let source = if known.is_some() { String::new() } else { new() };
        let says = format!("includes = [{}]\nsources = [{}]\n", toml_text(self.name), called.join(", "));
        Some(StandingMeasure { name: option, does: does.into(), source, says })
    }
}

/// What becomes of them there, in words.
fn where_they_stand(place: Place) -> String {
    let whose = "the cool store’s condensers";
    match place {
        Place::Outdoors => format!("{whose} stand outdoors"),
        Place::Room => format!("{whose} stand in the drying room"),
        Place::FreshAir => format!("{whose} stand in the fresh-air intake"),
        Place::SwitchedRoom => format!("a damper turns {whose} to the room while their heat is needed"),
        Place::SwitchedFreshAir => format!("a damper turns {whose} to the intake while their heat is needed"),
    }
}

/// Where they stand, in a name.
fn place_words(place: Place) -> &'static str {
    match place {
        Place::Outdoors => "outdoors",
        Place::Room => "in the drying room",
        Place::FreshAir => "in the fresh-air intake",
        Place::SwitchedRoom => "switched to the room",
        Place::SwitchedFreshAir => "switched to the intake",
    }
}
