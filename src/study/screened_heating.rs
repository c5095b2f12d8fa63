//! Measures of the standing list that change the baseline's way of heating: where condensers stand, and new sources.

use super::standing_measure::{StandingMeasure, number, text, three_figures};
use crate::cool_store::Place;
use crate::heat::{Kind, Source};

/// Share of the temperature difference that an exchanger recovers.
const EXCHANGER_EFFECTIVENESS: f64 = 0.6;
/// A heat pump's share of the highest hour of heat.
const PUMP_SHARE: f64 = 0.5;
/// The baseline's way of heating.
pub(super) struct Base<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its sources.
    pub sources: &'a [Source],
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
                let block = format!(
                    "[[option]]\nname = {}\nincludes = [{}]\ncondensers = {word}\n",
                    text(&name),
                    text(self.name)
                );
                let does = where_they_stand(place);
                StandingMeasure { name, does, block }
            })
            .collect()
    }

    /// Sources of kinds that the baseline does not have, called on before its own.
    pub(super) fn new_sources(&self, heat_peak_kw: f64) -> Vec<StandingMeasure> {
        let has = |is_kind: fn(&Kind) -> bool| self.sources.iter().any(|source| is_kind(&source.kind));
        let mut all = Vec::new();
        if !has(|kind| matches!(kind, Kind::Exchanger(_))) {
            let percent = EXCHANGER_EFFECTIVENESS * 100.0;
            all.extend(self.source(
                ("exchanger", "exhaust to fresh air"),
                heat_peak_kw,
                &format!("effectiveness = {EXCHANGER_EFFECTIVENESS:?}\n"),
                format!("an exchanger brings {percent} % of the difference from exhaust to fresh air"),
            ));
        }
        if !has(|kind| matches!(kind, Kind::HeatPump(_))) {
            let percent = PUMP_SHARE * 100.0;
            all.extend(self.source(
                ("heat-pump", "heat pump on outside air"),
                heat_peak_kw * PUMP_SHARE,
                "",
                format!("a heat pump on outside air is called on first, for {percent} % of the highest hour of heat"),
            ));
        }
        all
    }

    /// A source of this kind and name before the baseline's own; none where a name is taken or no heat is needed.
    fn source(
        &self,
        (kind, name): (&str, &str),
        capacity_kw: f64,
        more: &str,
        does: String,
    ) -> Option<StandingMeasure> {
        let kw = three_figures(capacity_kw);
        if kw <= 0.0 || self.sources.iter().any(|source| source.name == name) {
            return None;
        }
        let own = self.sources.iter().map(|source| source.name.as_str());
        let called: Vec<String> = std::iter::once(name).chain(own).map(text).collect();
        let option = format!("with {name}");
        let block = format!(
            "[[source]]\nname = {}\nkind = \"{kind}\"\ncapacity_kw = {}\n{more}\n[[option]]\nname = {}\nincludes = [{}]\nsources = [{}]\n",
            text(name),
            number(kw),
            text(&option),
            text(self.name),
            called.join(", ")
        );
        Some(StandingMeasure { name: option, does, block })
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
