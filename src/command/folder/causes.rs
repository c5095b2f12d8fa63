//! Findings with their causes first: what only follows from a value that is doubted already is counted there and not
//! told by itself. Decided here alone, for every command.

use crate::problem::{Problem, Problems};

/// Whose finding it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    /// The study's own, or its weather's.
    Study,
    /// One of its options, scenarios or phases, by its place among them.
    Part(usize),
}

/// A finding that is told, with what is counted there.
#[derive(Debug)]
struct Told {
    of: Of,
    problem: Problem,
    /// What stands before its words.
    within: String,
    /// Findings that only follow from it.
    following: usize,
}

/// Findings as they are gathered: the study's own first, then those of its parts.
#[derive(Debug, Default)]
pub(super) struct Causes {
    told: Vec<Told>,
    parts: usize,
}

impl Causes {
    /// Findings of a study and its weather.
    pub(super) fn of_study(found: Vec<Problem>) -> Self {
        let mut causes = Self::default();
        causes.add(Of::Study, "", found);
        causes
    }

    /// Findings of the study as an option, a scenario or a phase has it: those alone that it has by itself.
    pub(super) fn add_part(&mut self, within: &str, found: Vec<Problem>) {
        self.parts += 1;
        self.add(Of::Part(self.parts), within, found);
    }

    /// Errors, then warnings, then notes, each in the order of the file; a cause says how much follows from it.
    pub(super) fn into_told(self) -> Vec<Problem> {
        let told = self.told.into_iter().map(|told| {
            let problem = told.problem.within(&told.within);
            match told.following {
                0 => problem,
                following => {
                    let left_out = if following == 1 {
                        "1 doubt that only follows from it is left out until then".to_owned()
                    } else {
                        format!("{following} doubts that only follow from it are left out until then")
                    };
                    let cure = format!("{}; {left_out}", problem.cure);
                    problem.cure(cure)
                }
            }
        });
        Problems::new(told.collect()).into_vec()
    }

    fn add(&mut self, of: Of, within: &str, found: Vec<Problem>) {
        let mut news: Vec<Problem> = Vec::new();
        for problem in found {
            let of_study = self.told.iter().filter(|told| told.of == Of::Study).map(|told| &told.problem);
            let is_known =
                of_study.clone().any(|known| says_the_same(known, &problem) || of_one_value(known, &problem));
            let mut others = self.told.iter().map(|told| &told.problem).chain(&news);
            let is_twice = others.any(|known| says_the_same(known, &problem) && is_at_one_place(known, &problem));
            if !is_twice && (of == Of::Study || !is_known) {
                news.push(problem);
            }
        }
        // Causes before what may follow from them.
        news.sort_by_key(|problem| problem.is_about.iter().min().map_or((true, None), |matter| (false, Some(*matter))));
        let mut followed: Vec<(Problem, usize)> = Vec::new();
        for problem in news {
            let is_told =
                |told: &Told| (told.of == Of::Study || told.of == of) && problem.only_follows_from(&told.problem);
            let by_another = || followed.iter().find(|(other, _)| problem.only_follows_from(other)).map(|(_, at)| *at);
            match self.told.iter().position(is_told).or_else(by_another) {
                Some(cause) => {
                    self.told[cause].following += 1;
                    followed.push((problem, cause));
                }
                None => self.told.push(Told { of, problem, within: within.to_owned(), following: 0 }),
            }
        }
    }
}

fn says_the_same(one: &Problem, other: &Problem) -> bool {
    one.what == other.what && one.code == other.code
}

fn is_at_one_place(one: &Problem, other: &Problem) -> bool {
    (&one.file, one.line, one.column) == (&other.file, other.line, other.column)
}

/// True if both doubt one written value in the same way: it is as doubtful in a part of the study, whatever the figures
/// beside it there. What is of a file as a whole stands at its first line.
fn of_one_value(one: &Problem, other: &Problem) -> bool {
    let is_value = one.line > Some(1) && !one.code.is_empty();
    is_value && one.code == other.code && is_at_one_place(one, other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Matter;

    fn doubt(what: &str, about: &'static [Matter], follows_from: &'static [Matter]) -> Problem {
        Problem::said(what).cure("look").into_warning().about(about).resting_on(follows_from)
    }

    fn words(causes: Causes) -> Vec<String> {
        causes.into_told().iter().map(Problem::message).collect()
    }

    #[test]
    fn a_cause_is_told_and_what_follows_is_counted() {
        let mut causes = Causes::of_study(vec![
            doubt("little heat", &[], &[Matter::SeasonTonnes]),
            doubt("a season of kilograms", &[Matter::SeasonTonnes], &[Matter::DayTonnes]),
            doubt("walls", &[Matter::RoomWalls], &[]),
        ]);
        causes.add_part("in option \"b\": ", vec![doubt("little heat there", &[], &[Matter::SeasonTonnes])]);
        let told = words(causes);
        let cause = "a season of kilograms; look; 2 doubts that only follow from it are left out until then";
        assert_eq!(told, [cause, "walls; look"]);
    }

    #[test]
    fn what_follows_from_what_follows_is_counted_at_the_first_cause() {
        let causes = Causes::of_study(vec![
            doubt("little heat", &[], &[Matter::Bins]),
            doubt("deep beds", &[Matter::Bins], &[Matter::Nuts]),
            doubt("light nuts", &[Matter::Nuts], &[]),
        ]);
        assert_eq!(words(causes), ["light nuts; look; 2 doubts that only follow from it are left out until then"]);
    }

    #[test]
    fn what_a_part_doubts_hides_nothing_of_another() {
        let mut causes = Causes::of_study(Vec::new());
        causes.add_part("in option \"a\": ", vec![doubt("much air", &[Matter::Airflow], &[])]);
        causes.add_part("in option \"b\": ", vec![doubt("little heat", &[], &[Matter::Airflow])]);
        assert_eq!(words(causes), ["in option \"a\": much air; look", "in option \"b\": little heat; look"]);
    }

    #[test]
    fn a_value_doubted_in_the_study_is_not_doubted_again_in_its_parts() {
        let at = |line: usize, what: &str| doubt(what, &[], &[]).code("intake.season").moved_to(line, 1);
        let mut causes = Causes::of_study(vec![at(7, "fills 1500 times")]);
        causes.add_part("in option \"a\": ", vec![at(7, "fills 750 times"), at(9, "fills 750 times")]);
        assert_eq!(words(causes), ["fills 1500 times; look", "in option \"a\": fills 750 times; look"]);
    }

    #[test]
    fn the_same_of_one_value_is_told_once() {
        let at = |line| doubt("much air", &[Matter::Airflow], &[]).moved_to(line, 1);
        let mut causes = Causes::of_study(vec![at(3), at(3)]);
        causes.add_part("in option \"a\": ", vec![at(3)]);
        assert_eq!(words(causes), ["much air; look"]);
    }
}
