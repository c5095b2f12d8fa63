//! `dryledger crops`: the crop library, every value with its unit, range, status and source.
//!
//! Answers are composed in a `String`, where writing cannot fail, and printed at once.

use super::Failure;
use super::answer::answer;
use crate::crop::{self, Crop, Isotherm, IsothermOrigin, ProvenanceLine, Quantity, RestedNut, Status, water};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// The crop library: nuts in shell, and where each value comes from.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger crops macadamia\n\
    A study overrides any value by its key, e.g. drying_rate, under [crop].")]
pub(super) struct Args {
    /// One crop in full; all of them in one table if left out
    name: Option<String>,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
}

/// Widest line of wrapped text, in characters.
const WIDTH: usize = 96;
/// Column of the names of quantities, in characters.
const NAMES: usize = 42;
/// Temperatures (°C) and relative humidities (%) at which the isotherm is shown.
const SHOWN_C: [f64; 3] = [20.0, 30.0, 40.0];
const SHOWN_RH_PCT: [f64; 7] = [20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0];
/// Temperature at which kernel and shell are shown, °C.
const PAIR_C: f64 = 25.0;
/// A moisture of a rested nut.
type Part = fn(&RestedNut) -> f64;
/// The parts of a rested nut, in the order in which they are shown.
const PARTS: [(&str, Part); 3] =
    [("in shell", |nut| nut.in_shell), ("kernel", |nut| nut.kernel), ("shell", |nut| nut.shell)];
/// The air for which the table's moisture and hours are stated.
const STORE_AIR: (f64, f64) = (20.0, 0.60);
const DRYING_AIR: (f64, f64) = (40.0, 0.20);

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let text = match &args.name {
        Some(name) => {
            let crop = crop::find(name)?;
            if args.json { format!("{}\n", in_full_json(crop)) } else { in_full(crop) }
        }
        None if args.json => {
            let crops: Vec<_> = crop::all().iter().map(in_full_json).collect();
            format!("{}\n", json!({ "crops": crops }))
        }
        None => table(),
    };
    answer(&text)
}

/// Hours of thin-layer drying from 20 to 10 % w.b. in the air of the table.
fn hours_20_to_10(crop: &Crop) -> Option<f64> {
    let (temperature_c, relative_humidity) = DRYING_AIR;
    let equilibrium = crop.isotherm().equilibrium_moisture(temperature_c, relative_humidity);
    let (wet, dry) = (water::dry_basis_of_percent(20.0), water::dry_basis_of_percent(10.0));
    crop.thin_layer().hours_to_dry(wet, dry, equilibrium, temperature_c)
}

fn held_pct(crop: &Crop, temperature_c: f64, relative_humidity: f64) -> f64 {
    let moisture = crop.isotherm().equilibrium_moisture(temperature_c, relative_humidity);
    water::percent_of_dry_basis(moisture)
}

/// The isotherms that were put together from several sources, in words.
fn composites() -> String {
    let of_one_source = crop::all().iter().filter(|crop| match crop.isotherm_origin().status {
        Status::Derived => false,
        Status::Read | Status::Memory | Status::CommonPractice | Status::Placeholder | Status::Given => true,
    });
    let names: Vec<String> = of_one_source.map(|crop| format!("the {}'s", crop.name())).collect();
    if names.is_empty() { "Isotherms".to_owned() } else { format!("Isotherms but {}", names.join(" and ")) }
}

fn table() -> String {
    let mut text = String::new();
    let _ = writeln!(text, "Nuts in shell. * marks a placeholder: no measurement was found.\n");
    let _ = writeln!(
        text,
        "{:<11} {:>9} {:>8} {:>9} {:>11} {:>8} {:>7} {:>9} {:>7}",
        "", "drying", "air", "holds", "thin layer", "hours", "bulk", "porosity", "size"
    );
    let _ = writeln!(
        text,
        "{:<11} {:>9} {:>8} {:>9} {:>11} {:>8} {:>7} {:>9} {:>7}",
        "crop", "% w.b.", "°C", "% w.b.", "1/h, 40 °C", "20..10 %", "kg/m³", "-", "mm"
    );
    let _ = writeln!(text, "{}", "─".repeat(87));
    for crop in crop::all() {
        let (at, rh) = STORE_AIR;
        let hours = hours_20_to_10(crop).map_or("never".to_owned(), |hours| format!("{hours:.0}"));
        let uncertain = mark(crop, Quantity::DryingRate);
        let _ = writeln!(
            text,
            "{:<11} {:>9} {:>8} {:>9} {:>11} {:>8} {:>7} {:>9} {:>7}",
            crop.name(),
            format!(
                "{}..{}",
                marked(crop, Quantity::ReceivedMoisture, 0).trim(),
                marked(crop, Quantity::DriedMoisture, 0)
            ),
            marked(crop, Quantity::DryingTemperature, 0),
            format!("{:.1}", held_pct(crop, at, rh)),
            marked(crop, Quantity::DryingRate, 3),
            format!("{hours}{uncertain}"),
            marked(crop, Quantity::BulkDensity, 0),
            marked(crop, Quantity::Porosity, 3),
            marked(crop, Quantity::EquivalentDiameter, 1),
        );
    }
    text.push('\n');
    let notes = format!(
        "Drying: usual moisture as received and when dried. Air: drying air. Holds: moisture in \
         equilibrium with air of {} °C and {} % RH. Hours: one thin layer from 20 to 10 % w.b. in air of \
         {} °C and {} % RH; a deep bed takes longer. {} are composites, good \
         to 1..2 points. `dryledger crops NAME` shows every value with its source.",
        STORE_AIR.0,
        STORE_AIR.1 * 100.0,
        DRYING_AIR.0,
        DRYING_AIR.1 * 100.0,
        composites()
    );
    for line in wrapped(&notes, WIDTH) {
        let _ = writeln!(text, "{line}");
    }
    text
}

fn mark(crop: &Crop, quantity: Quantity) -> &'static str {
    match crop.value(quantity) {
        Some(sourced) if sourced.status == Status::Placeholder => "*",
        _ => " ",
    }
}

fn shown(crop: &Crop, quantity: Quantity, decimals: usize) -> String {
    crop.value(quantity).map_or("none".to_owned(), |sourced| format!("{:.decimals$}", sourced.value))
}

fn marked(crop: &Crop, quantity: Quantity, decimals: usize) -> String {
    shown(crop, quantity, decimals) + mark(crop, quantity)
}

fn in_full(crop: &Crop) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}, in shell (shell and kernel together)\n", crop.name());
    if crop.drying_is_placeholder() {
        let warning = "! The drying rate is a PLACEHOLDER, not a measurement: drying times from it \
            may be wrong by a factor of two or more. Fit a rate to your own drying log and give it to the \
            study as drying_rate.";
        for line in wrapped(warning, WIDTH) {
            let _ = writeln!(text, "{line}");
        }
        text.push('\n');
    }
    let _ = writeln!(text, "Thin-layer law: {}\n", crop.law_name());
    for line in crop.provenance() {
        entry(&mut text, &line);
    }
    isotherm_grid(&mut text, crop);
    pair_grid(&mut text, crop);
    text
}

fn entry(text: &mut String, line: &ProvenanceLine) {
    let flag = if line.status == Status::Placeholder { "!" } else { " " };
    let range = if line.range_text.is_empty() { String::new() } else { format!("  ({})", line.range_text) };
    let unit = if line.unit == "-" { "" } else { &line.unit };
    let key = if Quantity::of_key(&line.key).is_some() { format!("  [{}]", line.key) } else { String::new() };
    let value = format!("{} {unit}", line.value_text);
    let head = format!("{}{range}{key}", value.trim_end());
    if head.chars().count() + NAMES <= WIDTH {
        let _ = writeln!(text, "{flag} {:<NAMES$}{head}", line.quantity);
    } else {
        let _ = writeln!(text, "{flag} {}", line.quantity);
        for part in wrapped(&head, WIDTH - 6) {
            let _ = writeln!(text, "      {part}");
        }
    }
    for part in wrapped(&format!("{}: {}", line.status.words(), line.source), WIDTH - 6) {
        let _ = writeln!(text, "      {part}");
    }
}

fn isotherm_grid(text: &mut String, crop: &Crop) {
    let _ = writeln!(text, "\nMoisture in equilibrium with air, % w.b.");
    let _ = write!(text, "{:>10}", "% RH");
    for rh in SHOWN_RH_PCT {
        let _ = write!(text, "{rh:>7.0}");
    }
    text.push('\n');
    for temperature_c in SHOWN_C {
        let _ = write!(text, "{:>10}", format!("{temperature_c:.0} °C"));
        for rh in SHOWN_RH_PCT {
            let _ = write!(text, "{:>7.1}", held_pct(crop, temperature_c, rh / 100.0));
        }
        text.push('\n');
    }
}

/// Nut, kernel and shell at a few water activities.
fn pair_grid(text: &mut String, crop: &Crop) {
    let Some(pair) = crop.isotherm_pair() else {
        return;
    };
    let _ = writeln!(text, "\nShell and kernel at one water activity, % w.b. at {PAIR_C:.0} °C");
    let _ = write!(text, "{:>10}", "activity");
    for rh in SHOWN_RH_PCT {
        let _ = write!(text, "{:>7.2}", rh / 100.0);
    }
    text.push('\n');
    for (name, part) in PARTS {
        let _ = write!(text, "{name:>10}");
        for rh in SHOWN_RH_PCT {
            let held = pair
                .at(PAIR_C, rh / 100.0)
                .map_or("-".to_owned(), |nut| format!("{:.1}", water::percent_of_dry_basis(part(&nut))));
            let _ = write!(text, "{held:>7}");
        }
        text.push('\n');
    }
    let note = "So do rested nuts, as in a store. While nuts dry, and at harvest, shell and kernel are apart. The \
        shell's moisture follows from the other two by the kernel's share of the dry mass.";
    for line in wrapped(note, WIDTH) {
        let _ = writeln!(text, "{line}");
    }
}

fn pair_json(crop: &Crop) -> Value {
    let Some(pair) = crop.isotherm_pair() else {
        return Value::Null;
    };
    let rows = SHOWN_RH_PCT.iter().filter_map(|rh| pair.at(PAIR_C, rh / 100.0).ok()).map(|nut| {
        let mut row = Map::new();
        row.insert("water_activity".to_owned(), json!(nut.water_activity));
        for (name, part) in PARTS {
            let key = format!("{}_pct_wb", name.replace(' ', "_"));
            row.insert(key, json!(water::percent_of_dry_basis(part(&nut))));
        }
        Value::Object(row)
    });
    json!({ "temperature_c": PAIR_C, "rested": rows.collect::<Vec<_>>() })
}

fn isotherm_json(isotherm: &Isotherm, origin: &IsothermOrigin) -> Value {
    let coefficients: Map<_, _> =
        isotherm.coefficients().into_iter().map(|(name, value)| (name.to_owned(), json!(value))).collect();
    json!({
        "form": isotherm.form_name(),
        "coefficients": coefficients,
        "range": origin.range,
        "status": origin.status.words(),
        "source": origin.source,
    })
}

fn in_full_json(crop: &Crop) -> Value {
    let mut values = Map::new();
    for quantity in Quantity::all() {
        if let Some(sourced) = crop.value(quantity) {
            values.insert(
                quantity.key().to_owned(),
                json!({
                    "name": quantity.name(),
                    "value": sourced.value,
                    "unit": quantity.unit(),
                    "low": sourced.range.map(|(low, _)| low),
                    "high": sourced.range.map(|(_, high)| high),
                    "status": sourced.status.words(),
                    "placeholder": sourced.status == Status::Placeholder,
                    "source": sourced.source,
                }),
            );
        }
    }
    let limits: Vec<_> = crop
        .limits()
        .iter()
        .map(|limit| {
            json!({
                "above_moisture_pct_wb": (water::percent_of_dry_basis(limit.above_moisture) * 1e6).round() / 1e6,
                "max_air_c": limit.max_air_c,
                "status": limit.status.words(),
                "source": limit.source,
            })
        })
        .collect();
    json!({
        "name": crop.name(),
        "form": "in shell",
        "drying_is_placeholder": crop.drying_is_placeholder(),
        "thin_layer_law": crop.law_name(),
        "values": values,
        "isotherm": isotherm_json(crop.isotherm(), crop.isotherm_origin()),
        "kernel_isotherm": crop
            .kernel_isotherm()
            .map(|kernel| isotherm_json(&kernel.isotherm, &kernel.origin)),
        "pair": pair_json(crop),
        "limits": limits,
    })
}

/// Text in lines of at most this many characters, broken at spaces.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut length = 0;
    for word in text.split_whitespace() {
        let letters = word.chars().count();
        if length > 0 && length + 1 + letters > width {
            lines.push(String::new());
            length = 0;
        }
        if let Some(line) = lines.last_mut() {
            if length > 0 {
                line.push(' ');
                length += 1;
            }
            line.push_str(word);
            length += letters;
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn wrapping_keeps_every_word_and_the_width() {
        let text = "one two three fourteen µ °C";
        let lines = wrapped(text, 9);
        assert_eq!(lines, ["one two", "three", "fourteen", "µ °C"]);
        assert_eq!(wrapped("", 9), [""]);
    }
}
