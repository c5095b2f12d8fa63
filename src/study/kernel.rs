//! The kernel's own moisture in `[crop]`, by the pair of isotherms.
//!
//! | key | says |
//! | --- | --- |
//! | `dried_kernel_moisture` | what the kernel is dried to, % w.b. of the kernel, in place of `dried_moisture` |
//! | `kernel_temperature` | °C at which shell and kernel are taken to hold one water activity |
//! | `kernel_isotherm`, `kernel_share` | the pair, where the library's is not wanted |

use super::cursor::{Cursor, Kind};
use super::isotherm::isotherm_at;
use crate::crop::{Crop, PairError, Quantity, find, water};

/// The key that says a target of the kernel.
const TARGET: &str = "dried_kernel_moisture";
/// Temperatures at which isotherms are checked to be curves of nuts, °C.
const CHECKED_C: (f64, f64) = (5.0, 60.0);
/// Where samples of nuts rest when there is no store, °C (assumption).
const ROOM_C: f64 = 25.0;

/// Where rested nuts lie, if the study does not say: a temperature, °C, and its reason.
pub(super) struct Rest {
    temperature_c: f64,
    why: &'static str,
}

/// In the store, if there is one. It is read for good only later, with the crops in hand.
pub(super) fn rest(root: &Cursor<'_>, crops: &[Cursor<'_>]) -> Rest {
    let store = (root.kind("cool_store") == Some(Kind::Table)).then(|| root.optional_table("cool_store")).flatten();
    let usual_c = |crop: &Cursor<'_>| {
        let library = || {
            let kind = crop.text("kind").peek()?;
            Some(find(&kind).ok()?.practice().store_temperature_c)
        };
        crop.number(Quantity::StoreTemperature.key()).unit("°C").peek().or_else(library)
    };
    let stored = store.and_then(|store| {
        let coolest = || crops.iter().filter_map(usual_c).reduce(f64::min);
        store.number("temperature_c").unit("°C").peek().or_else(coolest)
    });
    match stored {
        Some(temperature_c) => Rest {
            temperature_c: temperature_c.clamp(CHECKED_C.0, CHECKED_C.1),
            why: "temperature of the cool store, 5 °C at least: dried nuts rest in it until shell and kernel hold one water activity",
        },
        None => Rest {
            temperature_c: ROOM_C,
            why: "assumption: dried nuts rest in a room until shell and kernel hold one water activity",
        },
    }
}

/// True where the study says its target of the kernel.
pub(super) fn is_target(cursor: &Cursor<'_>) -> bool {
    cursor.kind(TARGET).is_some()
}

/// The key by which the study says what the nuts are dried to.
pub(super) fn target_key(cursor: &Cursor<'_>) -> &'static str {
    if is_target(cursor) { TARGET } else { Quantity::DriedMoisture.key() }
}

/// Reads the kernel's isotherm, and the temperature at which shell and kernel rest, °C.
pub(super) fn read(cursor: &Cursor<'_>, crop: &mut Crop, rest: &Rest) -> f64 {
    if let Some((isotherm, source)) = isotherm_at(cursor, "kernel_isotherm") {
        crop.override_kernel_isotherm(isotherm, &source);
    }
    cursor
        .number("kernel_temperature")
        .unit("°C")
        .within(CHECKED_C.0, CHECKED_C.1)
        .hint("give the temperature at which shell and kernel come to one water activity")
        .default(rest.temperature_c, rest.why)
}

/// Turns a target of the kernel into the moisture in shell that holds the same water activity. False if
/// what is given cannot be used.
pub(super) fn read_target(cursor: &Cursor<'_>, crop: &mut Crop, temperature_c: f64) -> bool {
    let in_shell = Quantity::DriedMoisture;
    if let Some(line) = cursor.line_of(in_shell.key()) {
        cursor.complain(
            TARGET,
            &format!("stands beside {} in line {line}", in_shell.key()),
            "one of the two",
            "leave one out: both say to what the nuts are dried, one of the kernel, one in shell",
        );
        cursor.claim(in_shell.key());
        cursor.claim(TARGET);
        return false;
    }
    let asked = cursor
        .number(TARGET)
        .unit("% w.b.")
        .within(0.1, 30.0)
        .hint("give what the kernel alone holds when dried, % of its wet mass")
        .optional();
    let Some(asked) = asked else { return false };
    let found = match target(crop, asked, temperature_c) {
        Ok(found) => found,
        Err([what, expected, cure]) => {
            cursor.complain(TARGET, &what, &expected, &cure);
            return false;
        }
    };
    let (low, high) = in_shell.possible();
    let value =
        cursor.number(in_shell.key()).unit(in_shell.unit()).within(low, high).default(found.pct, found.source.clone());
    match crop.override_value(in_shell.key(), value, &found.source) {
        Ok(()) => true,
        Err(error) => {
            let what = format!("is {asked}, which is {value} % w.b. in shell");
            cursor.complain(TARGET, &what, &error.to_string(), "give another target");
            false
        }
    }
}

/// A moisture in shell, % w.b. to the thousandth, and what it rests on.
struct InShell {
    pct: f64,
    source: String,
}

/// The moisture in shell for a kernel of this moisture (% w.b.); or what is wrong, what is expected, and
/// the cure.
fn target(crop: &Crop, asked: f64, temperature_c: f64) -> Result<InShell, [String; 3]> {
    let (Some(pair), Some(kernel)) = (crop.isotherm_pair(), crop.kernel_isotherm()) else {
        return Err([
            format!("cannot be turned into a moisture in shell: nothing is known of the kernel of {}", crop.name()),
            "an isotherm of the kernel and its share of the dry mass".to_owned(),
            "give [crop.kernel_isotherm] and kernel_share, or dried_moisture in shell".to_owned(),
        ]);
    };
    let nut = pair
        .of_kernel(temperature_c, water::dry_basis_of_percent(asked))
        .map_err(|error| match error {
            PairError::Unreachable {
                low_pct, high_pct, ..
            } => [
                format!("is {asked}"),
                format!(
                    "{low_pct:.1} to {high_pct:.1} % w.b., what kernels of {} can hold at {temperature_c:.0} °C by the isotherm pair",
                    crop.name()
                ),
                "give the kernel's moisture, not that in shell, or dried_moisture in shell".to_owned(),
            ],
            other => [
                format!("cannot be turned into a moisture in shell: {other}"),
                "isotherms that agree".to_owned(),
                "correct isotherm, kernel_isotherm or kernel_share; coefficients take moisture in % dry basis"
                    .to_owned(),
            ],
        })?;
    let pct = (water::percent_of_dry_basis(nut.in_shell) * 1e3).round() / 1e3;
    let source = format!(
        "from dried_kernel_moisture: the kernel holds {asked} % w.b. at a water activity of {:.2} ({temperature_c:.0} °C), at which nuts in shell hold this (isotherm in shell: {}; of the kernel: {})",
        nut.water_activity,
        crop.isotherm_origin().status.words(),
        kernel.origin.status.words()
    );
    Ok(InShell { pct, source })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crop_of_whose_kernel_nothing_is_known_is_told_what_to_give() {
        let pecan = find("pecan").unwrap().clone();
        assert!(target(&pecan, 4.5, 20.0).is_ok());
        let told = target(&pecan.without_kernel(), 4.5, 20.0).err().unwrap();
        assert!(told[0].contains("the kernel of pecan"), "{told:?}");
        assert!(told[2].contains("[crop.kernel_isotherm]"), "{told:?}");
    }
}
