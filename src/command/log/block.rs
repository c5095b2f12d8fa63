//! The `[crop]` block that a study takes: the constants found, each with what is known of it.

use super::fitted::Fitted;
use super::words::{interval, short, significant};
use crate::crop::Isotherm;
use std::fmt::Write;

/// The block, as TOML.
pub(super) fn block(fitted: &Fitted) -> String {
    let Fitted { crop, logs, fit } = fitted;
    let names: Vec<String> = logs.iter().map(|log| plain(short(&log.name))).collect();
    let samples: usize = fit.residuals.iter().map(Vec::len).sum();
    let mut text = format!(
        "# Fitted to {samples} samples of {}; misses of {} points w.b.\n[crop]\n",
        names.join(", "),
        significant(fit.residual_sd_points, 2)
    );
    let _ = writeln!(text, "kind = \"{}\"", crop.name());
    let _ = writeln!(
        text,
        "drying_rate = {:<12} # 1/h, 95 % within {}; law: {}",
        significant(fit.rate_per_h.value, 4),
        interval(&fit.rate_per_h, 3),
        crop.law_name()
    );
    let _ =
        writeln!(text, "rate_temperature = {:<7} # °C, of the nuts while they dried", format!("{:?}", fit.reference_c));
    let _ = writeln!(
        text,
        "activation_energy = {:<6} # kJ/mol, {}",
        significant(fit.activation_in_use_kj_per_mol(), 4),
        fit.activation_kj_per_mol.map_or("the library's: the logs do not tell it".to_owned(), |energy| format!(
            "95 % within {}",
            interval(&energy, 3)
        ))
    );
    if fit.isotherm_factor.is_some() {
        text.push_str(&isotherm(fitted, &names));
    }
    text
}

/// The isotherm with the factor taken into its coefficients, which every form does exactly.
fn isotherm(fitted: &Fitted, names: &[String]) -> String {
    let (Some(factor), isotherm) = (&fitted.fit.isotherm_factor, fitted.fit.isotherm()) else {
        return String::new();
    };
    let coefficients = isotherm.coefficients();
    let owned: Vec<_> = coefficients.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect();
    if let Err(error) = Isotherm::of_form(isotherm.form_name(), &owned) {
        return format!("# The isotherm is left out: {error}\n");
    }
    let mut text = format!(
        "\n[crop.isotherm] # 95 % within {} times the library's moisture\nform = \"{}\"\n",
        interval(factor, 3),
        isotherm.form_name()
    );
    for (name, value) in coefficients {
        let _ = writeln!(text, "{name} = {value:?}");
    }
    let _ = writeln!(
        text,
        "source = \"the library's, its moisture times {} by the drying log {}\"",
        significant(factor.value, 4),
        names.join(", ").replace(['"', '\\'], "'")
    );
    text
}

/// A name without what would end a comment or a text.
fn plain(name: &str) -> String {
    name.chars().map(|c| if c.is_control() { '?' } else { c }).collect()
}
