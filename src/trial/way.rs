//! The way from the baseline to a package: the measures that it includes, joined one after the other and each left out,
//! as options that the reader of options joins.

use crate::printable::toml_text;
use crate::study::Study;

/// A package and what it is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PackageParts {
    /// Place of the package among the options.
    pub package: usize,
    /// Places of the measures that it includes, in the order in which they are joined; two at least.
    pub measures: Vec<usize>,
}

/// More measures than these are not taken apart: each more asks for two seasons more.
const MOST_MEASURES: usize = 6;

/// Every package of the study.
pub(crate) fn packages(study: &Study) -> Vec<PackageParts> {
    let place = |name: &String| study.heatings.iter().position(|heating| heating.name == *name);
    let parts = study.measures.iter().enumerate().map(|(package, measure)| {
        let included = measure.includes.iter().filter(|name| **name != study.baseline);
        PackageParts { package, measures: included.filter_map(place).collect() }
    });
    parts.filter(|parts| (2..=MOST_MEASURES).contains(&parts.measures.len())).collect()
}

/// Some measures of a package joined, and which season has them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Join {
    /// None: the baseline's.
    Baseline,
    /// The option at this place: one measure is its own, all of them are the package.
    Option(usize),
    /// No option's: these measures, by their places, are to be run joined.
    Season(Vec<usize>),
}

impl PackageParts {
    /// The first so many measures in their order.
    pub(crate) fn first(&self, count: usize) -> Join {
        self.join(self.measures.iter().copied().take(count).collect())
    }

    /// All measures but this one.
    pub(crate) fn all_but(&self, left_out: usize) -> Join {
        self.join(self.measures.iter().copied().filter(|place| *place != left_out).collect())
    }

    fn join(&self, measures: Vec<usize>) -> Join {
        match measures.as_slice() {
            [] => Join::Baseline,
            [one] => Join::Option(*one),
            all if all == self.measures => Join::Option(self.package),
            _ => Join::Season(measures),
        }
    }

    /// The sets of measures whose seasons no option of the study is: those joined so far, then all but each; every set
    /// once.
    pub(crate) fn unknown_sets(&self) -> Vec<Vec<usize>> {
        let joined = (0..=self.measures.len()).map(|count| self.first(count));
        let rests = self.measures.iter().map(|&left_out| self.all_but(left_out));
        let mut sets: Vec<Vec<usize>> = Vec::new();
        for join in joined.chain(rests) {
            match join {
                Join::Baseline | Join::Option(_) => {}
                Join::Season(measures) if sets.contains(&measures) => {}
                Join::Season(measures) => sets.push(measures),
            }
        }
        sets
    }
}

/// An option that joins the options at these places, as it would be written behind the study's text.
pub(crate) fn joining(study: &Study, measures: &[usize]) -> String {
    let names: Vec<&str> = measures.iter().map(|&place| study.heatings[place].name.as_str()).collect();
    let quoted: Vec<String> = names.iter().copied().map(toml_text).collect();
    // A name that no person gives.
    let name = toml_text(&format!("joined: {}", names.join(" + ")));
    format!("[[option]]\nname = {name}\nincludes = [{}]\n", quoted.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_season_of_the_way_is_an_options_or_is_asked_for() {
        for count in 2..=MOST_MEASURES {
            let parts = PackageParts { package: 9, measures: (1..=count).rev().collect() };
            let asked = parts.unknown_sets();
            let on_the_way = (0..=count).map(|first| parts.first(first));
            for join in on_the_way.chain(parts.measures.iter().map(|&one| parts.all_but(one))) {
                match join {
                    Join::Baseline => {}
                    Join::Option(place) => assert!(place == 9 || parts.measures.contains(&place), "{place}"),
                    Join::Season(measures) => assert!(asked.contains(&measures), "{measures:?} of {asked:?}"),
                }
            }
            assert_eq!((parts.first(0), parts.first(count)), (Join::Baseline, Join::Option(9)));
        }
        let three = PackageParts { package: 9, measures: vec![4, 1, 2] };
        assert_eq!(three.unknown_sets(), [vec![4, 1], vec![1, 2], vec![4, 2]]);
    }
}
