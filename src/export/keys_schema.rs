//! The keys of a study as a JSON Schema (draft 2020-12).
//!
//! It says what single keys may be and when they must be there. What hangs on several values at once, such as names of
//! sources in options, is told by `dryledger check` alone.

use crate::study::keys::{Key, MOST_ENTRIES, Shape, Table, TableKey, Tables, Takes};
use serde_json::{Map, Value, json};

/// The schema of a file with these tables.
pub(crate) fn keys_schema(tables: &Tables) -> Value {
    let root = Vec::new();
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.extend(object_at(tables, &root));
    Value::Object(schema)
}

type Path = [(String, Shape)];

/// The table at this path, with all below it.
fn object_at(tables: &Tables, path: &Path) -> Map<String, Value> {
    let mut schema = Map::new();
    schema.insert("type".into(), json!("object"));
    let mut properties = Map::new();
    let table = tables.0.iter().find(|table| table.path == path);
    for key in table.map_or(&[][..], |table| &table.keys) {
        let value = value_of(tables, path, key);
        if key.key.is_name {
            schema.insert("additionalProperties".into(), value);
        } else {
            properties.insert(key.key.name.clone(), value);
        }
    }
    schema.insert("properties".into(), Value::Object(properties));
    if let Some(table) = table {
        schema.extend(needs(table));
    }
    schema.entry("additionalProperties").or_insert(json!(false));
    schema
}

/// Keys that must be there, always or with a word of another key.
fn needs(table: &Table) -> Map<String, Value> {
    let mut schema = Map::new();
    let required = table.keys.iter().filter(|key| key.is_required && !key.key.is_name);
    let always: Vec<&str> =
        required.clone().filter(|key| key.only_with.is_none()).map(|key| key.key.name.as_str()).collect();
    if !always.is_empty() {
        schema.insert("required".into(), json!(always));
    }
    let with_words: Vec<Value> = required
        .filter_map(|key| {
            let (name, words) = key.only_with.as_ref()?;
            let word = json!({ "properties": { name: { "enum": words } }, "required": [name] });
            Some(json!({ "if": word, "then": { "required": [key.key.name] } }))
        })
        .collect();
    if !with_words.is_empty() {
        schema.insert("allOf".into(), json!(with_words));
    }
    schema
}

fn value_of(tables: &Tables, path: &Path, key: &TableKey) -> Value {
    let forms: Vec<Value> = key.key.takes.iter().map(|takes| form(tables, path, &key.key, takes)).collect();
    let mut value = match <[Value; 1]>::try_from(forms) {
        Ok([only]) => only,
        Err(several) => json!({ "anyOf": several }),
    };
    if let Some(object) = value.as_object_mut() {
        object.extend(words_of(key));
    }
    value
}

/// What editors show beside a key.
fn words_of(key: &TableKey) -> Map<String, Value> {
    let mut words = Vec::new();
    if !key.key.unit.is_empty() && !key.unit_differs {
        words.push(format!("In {}.", key.key.unit));
    }
    if !key.key.hint.is_empty() {
        words.push(format!("{}.", key.key.hint));
    }
    let mut object = Map::new();
    if let Some(otherwise) = key.if_left_out() {
        words.push(format!("If left out, {otherwise}."));
    }
    if !words.is_empty() {
        object.insert("description".into(), json!(words.join(" ")));
    }
    object
}

fn form(tables: &Tables, path: &Path, key: &Key, takes: &Takes) -> Value {
    let or_list = |one: Value| json!({ "anyOf": [one.clone(), { "type": "array", "items": one }] });
    match takes {
        Takes::Number => or_with_unit(number("number", key), key),
        Takes::Count => or_with_unit(number("integer", key), key),
        Takes::Numbers => or_list(or_with_unit(number("number", key), key)),
        Takes::Text | Takes::Form(_) => json!({ "type": "string", "minLength": 1 }),
        Takes::Texts | Takes::Forms(_) => or_list(json!({ "type": "string", "minLength": 1 })),
        Takes::YesNo => json!({ "type": "boolean" }),
        Takes::Word(words) => json!({ "enum": words }),
        Takes::Words(words) => or_list(json!({ "enum": words })),
        Takes::Table => Value::Object(object_below(tables, path, key)),
        Takes::Tables => {
            let one = Value::Object(object_below(tables, path, key));
            json!({ "anyOf": [one.clone(), { "type": "array", "items": one, "maxItems": MOST_ENTRIES }] })
        }
    }
}

/// The table at this key of the table at a path.
fn object_below(tables: &Tables, path: &Path, key: &Key) -> Map<String, Value> {
    let is_here =
        |table: &&Table| table.path.split_last().is_some_and(|(last, above)| above == path && last.0 == key.name);
    match tables.0.iter().find(is_here) {
        Some(table) => object_at(tables, &table.path),
        None => Map::from_iter([("type".to_owned(), json!("object"))]),
    }
}

/// A quantity may be text with a unit of its own; which units fit is told by `dryledger check`.
fn or_with_unit(plain: Value, key: &Key) -> Value {
    if key.takes_units() {
        json!({ "anyOf": [plain, { "type": "string", "pattern": "^[^0-9]{0,5}[-+]?[0-9.]" }] })
    } else {
        plain
    }
}

fn number(kind: &str, key: &Key) -> Value {
    let mut schema = Map::from_iter([("type".to_owned(), json!(kind))]);
    let low = if key.range.is_open { "exclusiveMinimum" } else { "minimum" };
    schema.extend(key.range.low.map(|value| (low.to_owned(), json!(value))));
    if key.range.low.is_none() && kind == "integer" {
        schema.insert("minimum".to_owned(), json!(0));
    }
    schema.extend(key.range.high.map(|value| ("maximum".to_owned(), json!(value))));
    Value::Object(schema)
}
