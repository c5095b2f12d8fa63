//! `figures.json`.

use crate::answer::{Figures, SizeFigures};
use serde::Serialize;
use serde_json::Value;

/// A figure that is not a number: a fault of the program, never written to a file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the figure {path} could not be computed (not a finite number), so nothing was written; please report the study that leads to it"
)]
pub struct NotFinite {
    /// Where in the figures.
    pub path: String,
}

/// The figures as JSON, with every number checked to be finite: `serde_json` would write NaN as null,
/// and null has a meaning here.
pub fn figures_json(figures: &Figures) -> Result<String, NotFinite> {
    finite_json(figures)
}

/// What sizing found as JSON, checked in the same way.
pub fn size_json(figures: &SizeFigures) -> Result<String, NotFinite> {
    finite_json(figures)
}

fn finite_json(figures: &impl Serialize) -> Result<String, NotFinite> {
    let fault = |path: &str| NotFinite { path: path.to_owned() };
    let mut value = serde_json::to_value(figures).map_err(|_| fault("(all)"))?;
    // A null where the struct holds a number would be a NaN; optional figures are listed here.
    if let Some(path) = null_that_may_not_be(&value, "") {
        return Err(NotFinite { path });
    }
    unsign_zeros(&mut value);
    serde_json::to_string_pretty(&value).map(|text| text + "\n").map_err(|_| fault("(all)"))
}

/// Keys that may be null, because the figure may have no answer.
const MAY_BE_NULL: &[&str] = &[
    "recommended",
    "runner_up",
    "proposal",
    "place",
    "latitude",
    "longitude",
    "altitude_m",
    "station",
    "cop_of_recovery",
    "mj_per_kg_water",
    "used_mj_per_kg_water",
    "purchased_mj_per_kg_water",
    "kg_water_per_purchased_kwh",
    "simple_payback_years",
    "discounted_payback_years",
    "irr",
    "savings_to_investment",
    "levelised_heat_cost_per_kwh",
    "last_dry",
    "fuel",
    "free_heat_from",
    "at",
    "note",
    "mean_drying_hours",
    "cost_per_dried_t",
    "least",
    "least_without_more_mould",
    "with_least_heat",
    "together",
    "load_factor",
    "of_all_m3_per_s_per_tonne",
    "within_limit_m3_per_s_per_tonne",
    "last_dry_days",
    "spearman",
    "partial",
    "rank_correlation_noise",
    "steady_from",
    "bill_steady_from",
    "p10",
    "p90",
];

/// Nothing has no minus: a sum of no terms is `-0.0`.
fn unsign_zeros(value: &mut Value) {
    match value {
        Value::Object(object) => object.values_mut().for_each(unsign_zeros),
        Value::Array(list) => list.iter_mut().for_each(unsign_zeros),
        Value::Number(number) => {
            let is_signed = number.as_f64().is_some_and(|it| it == 0.0 && it.is_sign_negative());
            if is_signed {
                *value = Value::from(0.0);
            }
        }
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

fn null_that_may_not_be(value: &Value, path: &str) -> Option<String> {
    match value {
        Value::Object(object) => object.iter().find_map(|(key, value)| {
            if value.is_null() {
                (!MAY_BE_NULL.contains(&key.as_str())).then(|| format!("{path}.{key}"))
            } else {
                null_that_may_not_be(value, &format!("{path}.{key}"))
            }
        }),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .find_map(|(at, value)| null_that_may_not_be(value, &format!("{path}[{at}]"))),
        Value::Null => Some(path.to_owned()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_no_minus() {
        let empty: f64 = std::iter::empty::<f64>().sum();
        let figures = serde_json::json!({ "a": [empty, -0.0, -0.5], "b": { "c": -0.0, "d": 0 } });
        let said = finite_json(&figures).unwrap().replace([' ', '\n'], "");
        assert_eq!(said, r#"{"a":[0.0,0.0,-0.5],"b":{"c":0.0,"d":0}}"#);
    }
}
