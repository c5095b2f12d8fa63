//! What sources ask of those beside them, and of the place they stand in.

use crate::cool_store::Condensers;
use crate::heat::Source;
use crate::season::Heating;
use crate::study::cursor::Cursor;
use crate::study::frame::Site;

/// What sources of one option may not do together.
pub(in crate::study) fn check_stack(option: &Cursor<'_>, sources: &[Source], condensers: &Condensers) {
    let dries = |source: &Source| source.kind.says().dries_the_room();
    let heats = |source: &Source| !source.is_passive() && !dries(source);
    if let Some(dehumidifier) = sources.iter().find(|source| dries(source))
        && !sources.iter().any(heats)
    {
        option.complain(
            "sources",
            &format!("has \"{}\" alone", dehumidifier.name),
            "a heater beside a dehumidifier",
            "name one: a dehumidifier cannot start a cold room",
        );
    }
    if let Some(pump) = sources.iter().find(|source| source.lifts_condenser_heat())
        && condensers.place.recovers()
    {
        option.complain(
            "sources",
            &format!(
                "has \"{}\", which takes the condensers' heat, beside condensers that stand in the plant",
                pump.name
            ),
            "condensers = \"outdoors\" in such an option",
            "their heat can be used but once",
        );
    }
    let limited = sources.iter().find(|source| source.minimum_load > 0.0);
    let wet = sources.iter().find(|source| source.moves_water());
    if let (Some(limited), Some(wet)) = (limited, wet) {
        option.complain(
            "sources",
            &format!(
                "has \"{}\" with a minimum_load beside \"{}\", whose heat comes with water",
                limited.name, wet.name
            ),
            "no minimum_load in such an option",
            "leave minimum_load out: the source then turns down to nothing",
        );
    }
}

/// A collector needs a place under the sun.
pub(in crate::study) fn check_place(root: &Cursor<'_>, heatings: &[Heating], site: &Site) {
    let shines = |source: &Source| source.kind.says().plane().is_some();
    let collector = heatings.iter().flat_map(|heating| &heating.sources).find(|source| shines(source));
    if let Some(collector) = collector
        && site.place().is_none()
    {
        root.complain(
            "site",
            &format!("says too little for the collector \"{}\"", collector.name),
            "latitude, longitude and utc_offset",
            "give all three: the sun's path depends on them",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cool_store::Placement;
    use crate::study::document::Document;
    use crate::study::source_kinds::Word;
    use crate::study::source_kinds::tests::read_kind;

    #[test]
    fn sources_that_cannot_work_together_are_refused() {
        let refusal = |condensers: Placement, sources: &[Source]| {
            Document::new("s.toml", "sources = [\"a\"]")
                .read(|root| {
                    check_stack(root, sources, &condensers.into());
                    root.claim("sources");
                    Some(())
                })
                .err()
                .map(|problems| problems.to_string())
                .unwrap_or_default()
        };
        let of = |word: Word, text: &str| Source::new("a", 50.0, read_kind(word, text).expect("a kind"));
        let dehumidifier = of(Word::Dehumidifier, "coil_air_kg_per_s = 2.5");
        let pump = of(Word::CondenserHeatPump, "");
        let mut boiler = of(Word::HotWater, "carrier = \"chips\"");
        let out = Placement::Outdoors;
        assert!(refusal(out, std::slice::from_ref(&dehumidifier)).contains("alone"));
        let both = [dehumidifier, boiler.clone()];
        assert_eq!(refusal(out, &both), "");
        boiler.minimum_load = 0.3;
        let [dehumidifier, _] = both;
        assert!(refusal(out, &[dehumidifier, boiler]).contains("minimum_load"));
        assert_eq!(refusal(out, std::slice::from_ref(&pump)), "");
        assert!(refusal(Placement::Room, &[pump]).contains("used but once"));
    }
}
