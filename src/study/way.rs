//! The way from the baseline to a package: the measures that it includes, joined one after the other and each left out,
//! as options that the reader of options joins.

use super::Study;
use crate::printable::toml_text;

/// A package and what it is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackageParts {
    /// Place of the package among the options.
    pub package: usize,
    /// Places of the measures that it includes, in the order in which they are joined; two at least.
    pub measures: Vec<usize>,
}

/// More measures than these are not taken apart: each more asks for two seasons more.
const MOST_MEASURES: usize = 6;

/// Every package of the study.
pub fn packages(study: &Study) -> Vec<PackageParts> {
    let place = |name: &String| study.heatings.iter().position(|heating| heating.name == *name);
    let parts = study.measures.iter().enumerate().map(|(package, measure)| {
        let included = measure.includes.iter().filter(|name| **name != study.baseline);
        PackageParts { package, measures: included.filter_map(place).collect() }
    });
    parts.filter(|parts| (2..=MOST_MEASURES).contains(&parts.measures.len())).collect()
}

impl PackageParts {
    /// The sets of measures whose seasons no option of the study is: those joined so far, then all but each; every set
    /// once.
    pub fn unknown_sets(&self) -> Vec<Vec<usize>> {
        let all = &self.measures;
        let mut sets: Vec<Vec<usize>> = (2..all.len()).map(|joined| all[..joined].to_vec()).collect();
        for left_out in all {
            let rest: Vec<usize> = all.iter().copied().filter(|place| place != left_out).collect();
            if rest.len() > 1 && !sets.contains(&rest) {
                sets.push(rest);
            }
        }
        sets
    }
}

/// An option that joins the options at these places, as it would be written behind the study's text.
pub fn joining(study: &Study, measures: &[usize]) -> String {
    let names: Vec<&str> = measures.iter().map(|&place| study.heatings[place].name.as_str()).collect();
    let quoted: Vec<String> = names.iter().copied().map(toml_text).collect();
    // A name that no person gives.
    let name = toml_text(&format!("joined: {}", names.join(" + ")));
    format!("[[option]]\nname = {name}\nincludes = [{}]\n", quoted.join(", "))
}
