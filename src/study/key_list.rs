//! The list of every key that a study may have: what readers say while they read studies that between them reach every
//! kind of everything.

use super::Study;
use super::companions::{Companions, NoText};
use super::document::Document;
use super::keys::{Instance, Tables};
use super::tariff::read_tariff;
use super::weather_ask::WeatherAsk;
use crate::weather::Spot;
use std::cell::RefCell;

/// A kind of file that a person writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    /// The study.
    Study,
    /// The tariff of electricity beside it.
    Tariff,
}

/// The study that `dryledger new` writes: it comes first, so that tables stand in its order.
const TEMPLATE: &str = include_str!("../../templates/study/study.toml");
const TEMPLATE_TARIFF: &str = include_str!("../../templates/study/tariff.toml");
/// Inputs that are not known, for the template.
const UNCERTAIN: &str = include_str!("key_list/uncertain.toml");
const EVERY_KIND: &str = include_str!("key_list/every_kind.toml");
const EVERY_TARIFF: &str = include_str!("key_list/every_tariff.toml");
/// Parts one study from the next.
const NEXT: &str = "# ---- another study";

/// Every table of a kind of file with every key that it may have.
pub fn all_keys(file: File) -> Tables {
    match file {
        File::Study => {
            let template = format!("{TEMPLATE}{UNCERTAIN}");
            of_studies(std::iter::once(template.as_str()).chain(EVERY_KIND.split(NEXT)))
        }
        File::Tariff => {
            let tables = RefCell::default();
            for text in [TEMPLATE_TARIFF, EVERY_TARIFF] {
                // What is wrong with it does not matter: its keys were read.
                let _ = Document::new("", text).listing(&tables).read(|root| read_tariff(root, None, "money"));
            }
            gathered(tables)
        }
    }
}

/// Every table of these studies, with the keys that were read.
fn of_studies<'t>(texts: impl Iterator<Item = &'t str>) -> Tables {
    let tables = RefCell::default();
    for text in texts {
        let _ = Study::read_document(Document::new("", text).listing(&tables), &Template);
    }
    gathered(tables)
}

fn gathered(tables: RefCell<Vec<Instance>>) -> Tables {
    let mut tables = tables.into_inner();
    // A table that is only looked into by a reader of another has no keys.
    tables.retain(|table| !table.keys.is_empty());
    Tables::of(&tables)
}

/// The files beside the template, and where weather is of.
struct Template;

impl Companions for Template {
    fn text(&self, path: &str) -> Result<String, NoText> {
        match path {
            "tariff.toml" => Ok(TEMPLATE_TARIFF.to_owned()),
            _ => Err(NoText::Unreadable("there is none".to_owned())),
        }
    }

    fn place_of_weather(&self, _ask: &WeatherAsk) -> Spot {
        // Any place will do: what counts is that there is one.
        Spot { latitude: Some(0.0), longitude: Some(0.0), altitude_m: Some(1000.0), utc_offset_h: Some(0.0) }
    }
}

#[cfg(test)]
mod tests;
