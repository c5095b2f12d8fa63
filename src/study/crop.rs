//! `[crop]`: the nuts, with the library's values unless the study gives its own. Where a plant dries
//! several, there is a `[[crop]]` for each, by its `name`.

use super::crops_read::{CropRead, CropsRead};
use super::cursor::{Cursor, Kind};
use super::isotherm::isotherm_at;
use super::kernel::{self, Rest};
use crate::crop::{Crop, Quantity, Status, TemperatureLimit, all, find, water};
use crate::dryer::Nuts;

pub(super) fn read<'t>(root: &Cursor<'t>) -> Option<CropsRead<'t>> {
    const CURE: &str = "add [crop] with kind = \"macadamia\" or another crop of the library";
    let cursors = match root.kind("crop") {
        Some(Kind::List) => root.each_of_some("crop", "a [[crop]] for each crop", CURE),
        _ => root.required_table("crop", CURE).into_iter().collect(),
    };
    let of_several = root.kind("crop") == Some(Kind::List);
    let rest = kernel::rest(root, &cursors);
    let all: Option<Vec<CropRead>> = cursors.iter().map(|cursor| read_crop(cursor, of_several, &rest)).collect();
    let all = all.filter(|all| !all.is_empty())?;
    for (place, cursor) in cursors.iter().enumerate() {
        let of_same_name = |other: usize| {
            let both_named = cursor.kind("name").is_some() && cursors[other].kind("name").is_some();
            // Two that are both given one name are found where the list is read.
            all[other].name == all[place].name && !both_named
        };
        if (0..place).any(of_same_name) {
            cursor.complain(
                "kind",
                &format!("makes a second crop called \"{}\"", all[place].name),
                "a name for each crop",
                "give each of the two a name = \"...\" of its own",
            );
        }
    }
    Some(CropsRead { cursors, all })
}

/// A crop alone is called by its kind unless it is named.
fn read_name(cursor: &Cursor<'_>, crop: &Crop, of_several: bool) -> String {
    if !of_several && cursor.kind("name").is_none() {
        return crop.name().to_owned();
    }
    cursor.text("name").default(crop.name().to_owned(), "the crop's kind")
}

fn read_crop(cursor: &Cursor<'_>, of_several: bool, rest: &Rest) -> Option<CropRead> {
    let known = read_kind(cursor);
    // With no known crop the study is refused, but the rest of it can still be checked.
    let mut crop = known.or(all().first())?.clone();
    let name = read_name(cursor, &crop, of_several);
    let mut sound = known.is_some();
    for quantity in Quantity::all() {
        // A target of the kernel needs all else first.
        if quantity != Quantity::DriedMoisture || !kernel::is_target(cursor) {
            sound &= read_value(cursor, &mut crop, quantity);
        }
    }
    if let Some((isotherm, source)) = isotherm_at(cursor, "isotherm") {
        crop.override_isotherm(isotherm, &source);
    }
    let kernel_temperature_c = kernel::read(cursor, &mut crop, rest);
    if kernel::is_target(cursor) {
        sound &= kernel::read_target(cursor, &mut crop, kernel_temperature_c);
    }
    read_limits(cursor, &mut crop);
    let nuts = Nuts::of(&crop);
    if sound {
        check_moistures(cursor, &crop);
    }
    let price_per_dried_t = cursor
        .number("price_per_dried_t")
        .unit("money/t dried")
        .within(0.0, 1e13)
        .hint("give what a tonne of nuts at dried_moisture sells for")
        .optional();
    let stay_days = super::store::read_stay(cursor);
    super::intake::claim_keys(cursor);
    cursor.finish();
    Some(CropRead { name, crop, nuts, price_per_dried_t, kernel_temperature_c, stay_days })
}

fn read_kind(cursor: &Cursor<'_>) -> Option<&'static Crop> {
    let kind = cursor.text("kind").hint("`dryledger crops` lists the library").required()?;
    find(&kind)
        .map_err(|unknown| {
            cursor.complain_of_stranger(
                "kind",
                &format!("is \"{kind}\""),
                &format!("one of {}", unknown.known),
                &unknown.nearest.map_or_else(
                    || "take the one most like yours and put your own values in it".to_owned(),
                    |nearest| format!("did you mean \"{nearest}\"?"),
                ),
            );
        })
        .ok()
}

/// Puts a value of the study in the place of the library's. False if what is given cannot be used.
fn read_value(cursor: &Cursor<'_>, crop: &mut Crop, quantity: Quantity) -> bool {
    let key = quantity.key();
    let (low, high) = quantity.possible();
    let field = cursor.number(key).unit(quantity.unit()).within(low, high);
    let Some(library) = crop.value(quantity).cloned() else {
        // Coefficients that this crop has none of: used only if given, in pairs.
        if let Some(value) = field.optional() {
            let _ = crop.override_value(key, value, "given in the study");
        }
        return true;
    };
    let range = library.range.map_or(String::new(), |(low, high)| format!(", range {low}..{high}"));
    let source = format!("{}: {}{range}", library.status.words(), library.source);
    let value = if cursor.kind(key).is_some() {
        let Some(value) = field.optional() else {
            return false;
        };
        value
    } else {
        field.default(library.value, source)
    };
    if value != library.value
        && let Err(error) = crop.override_value(key, value, "given in the study")
    {
        cursor.complain(key, &format!("is {value}"), &error.to_string(), "give another value");
        return false;
    }
    true
}

fn read_limits(cursor: &Cursor<'_>, crop: &mut Crop) {
    let entries = cursor.each("limits");
    if entries.is_empty() {
        return;
    }
    let mut limits = Vec::new();
    for entry in &entries {
        let above = entry.number("above_moisture").unit("% w.b.").within(0.0, 70.0).required();
        let max = entry.number("air_max_c").unit("°C").within(0.0, 100.0).required();
        entry.finish();
        if let Some((above, max_air_c)) = above.zip(max) {
            limits.push(TemperatureLimit {
                above_moisture: water::dry_basis_of_percent(above),
                max_air_c,
                source: "given in the study".to_owned(),
                status: Status::Given,
            });
        }
    }
    if let Err(error) = crop.override_limits(limits) {
        cursor.complain("limits", "cannot be used", &error.to_string(), "give the last with above_moisture = 0");
    }
}

fn check_moistures(cursor: &Cursor<'_>, crop: &Crop) {
    let practice = crop.practice();
    if practice.dried_moisture >= practice.received_moisture {
        let pct = water::percent_of_dry_basis;
        let key = kernel::target_key(cursor);
        let of_shell = if key == Quantity::DriedMoisture.key() { "" } else { " in shell" };
        cursor.complain(
            key,
            &format!(
                "is {:.1} % w.b.{of_shell}, no drier than the {:.1} % w.b. that nuts arrive with",
                pct(practice.dried_moisture),
                pct(practice.received_moisture)
            ),
            "less than received_moisture",
            "give a target below the received moisture; there is nothing to dry otherwise",
        );
    }
}
