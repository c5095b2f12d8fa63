//! `figures.json` as a JSON Schema (draft 2020-12), made of the types that are written: keys, what may be missing, and
//! what each says with its unit.

use crate::answer::Figures;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use serde_json::{Value, json};

/// The schema of a report's figures.
pub(crate) fn figures_schema() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<Figures>();
    RecursiveTransform(plain_description).transform(&mut schema);
    schema.insert("title".to_owned(), json!(concat!("figures.json of dryledger ", env!("CARGO_PKG_VERSION"))));
    schema.to_value()
}

/// Descriptions are the comments of the program, one line each and without its marks of links.
fn plain_description(schema: &mut schemars::Schema) {
    let Some(Value::String(text)) = schema.get_mut("description") else {
        return;
    };
    *text = text.replace("[`", "").replace("`]", "").split_whitespace().collect::<Vec<_>>().join(" ");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_has_its_words_and_what_may_be_missing_is_not_asked_for() {
        let schema = figures_schema();
        let option = &schema["$defs"]["OptionFigures"];
        assert_eq!(option["properties"]["fan_kwh"]["type"], "number");
        assert_eq!(option["properties"]["fan_kwh"]["description"], "Drying fans, kWh.");
        let required = option["required"].as_array().expect("a list");
        assert!(required.contains(&json!("fan_kwh")));
        assert!(!required.contains(&json!("heat_spared_kwh")) && option["properties"]["heat_spared_kwh"].is_object());
        assert!(!schema.to_string().contains("[`"));
    }
}
