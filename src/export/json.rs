//! `figures.json`.

use super::finite::{NotFinite, all_finite};
use crate::answer::{ByMoneyFigures, Differences, Figures, SizeFigures};
use serde::Serialize;
use serde::ser::Error;
use serde_json::Value;

/// The figures as JSON, with every number checked to be finite.
pub(crate) fn figures_json(figures: &Figures) -> Result<String, NotFinite> {
    finite_json(figures)
}

/// What sizing found as JSON, checked in the same way.
pub(crate) fn size_json(figures: &SizeFigures) -> Result<String, NotFinite> {
    finite_json(figures)
}

/// The plant of least net present cost as JSON, checked in the same way.
pub(crate) fn by_money_json(figures: &ByMoneyFigures) -> Result<String, NotFinite> {
    finite_json(figures)
}

/// Reports held beside each other as JSON.
pub(crate) fn differences_json(found: &Differences) -> Result<String, NotFinite> {
    finite_json(found)
}

fn finite_json(figures: &impl Serialize) -> Result<String, NotFinite> {
    all_finite(figures)?;
    let mut value = serde_json::to_value(figures).map_err(NotFinite::custom)?;
    unsign_zeros(&mut value);
    serde_json::to_string_pretty(&value).map(|text| text + "\n").map_err(NotFinite::custom)
}

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
