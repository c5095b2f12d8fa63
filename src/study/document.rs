//! Reads a TOML document table by table, and collects everything that is wrong with it instead of
//! stopping at the first.
//!
//! The first test below reads one.
//!
//! Read every field of a table into a variable, call `finish`, and only then use `?`: so that one bad
//! field hides no other.

use super::change::{Change, Writing};
use super::cursor::Cursor;
use super::input::{Input, Origin, Overrides};
use super::keys::{Instance, Key, Shape};
use super::lay::{Missed, lay};
use crate::money::Currency;
use crate::problem::{LineStarts, Problem, Problems, Refusal, Severity, meant_or};
use std::cell::RefCell;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// A TOML document about to be read.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Document<'t> {
    file: &'t str,
    text: &'t str,
    under: &'t str,
    overrides: &'t Overrides,
    changes: &'t [Change],
    option: Option<usize>,
    listing: Option<&'t RefCell<Vec<Instance>>>,
}

/// Nothing set from outside.
static NO_OVERRIDES: Overrides = Overrides::new();

/// What a reading without errors gave.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Reading<T> {
    /// What was built.
    pub value: T,
    /// Every value used, in the order of reading.
    pub inputs: Vec<Input>,
    /// Problems that do not stand in the way.
    pub warnings: Vec<Problem>,
    /// Places of the changes that found what they change, in this document or in one that it names.
    pub(super) laid: Vec<usize>,
}

impl<'t> Document<'t> {
    /// The text of a file, with the file's name as the user wrote it.
    pub(crate) fn new(file: &'t str, text: &'t str) -> Self {
        Self {
            file,
            text: text.strip_prefix('\u{feff}').unwrap_or(text),
            under: "",
            overrides: &NO_OVERRIDES,
            changes: &[],
            option: None,
            listing: None,
        }
    }

    /// Paths of the inputs begin with this: for a file that belongs to an entry of another file.
    #[must_use]
    pub(crate) fn under(self, path: &'t str) -> Self {
        Self { under: path, ..self }
    }

    /// Numbers that replace what the file gives.
    #[must_use]
    pub(crate) fn with(self, overrides: &'t Overrides) -> Self {
        Self { overrides, ..self }
    }

    /// Values that stand in for the file's, laid over it in this order before it is read.
    #[must_use]
    pub(super) fn changed(self, changes: &'t [Change]) -> Self {
        Self { changes, ..self }
    }

    /// What is laid over it.
    pub(super) fn changes(&self) -> &'t [Change] {
        self.changes
    }

    /// The same read as the option at this place has it: of the options, this one alone must fit the plant.
    #[must_use]
    pub(super) fn as_option_has_it(self, place: usize) -> Self {
        Self { option: Some(place), ..self }
    }

    /// Place of the option that it is read for, if it is read for one.
    pub(super) fn option(&self) -> Option<usize> {
        self.option
    }

    /// Numbers that replace what it gives.
    pub(super) fn overrides(&self) -> &'t Overrides {
        self.overrides
    }

    /// True if no number is drawn.
    pub(super) fn is_as_written(&self) -> bool {
        self.overrides.is_empty()
    }

    /// Every table that is read is listed here, with its keys.
    #[must_use]
    pub(super) fn listing(self, tables: &'t RefCell<Vec<Instance>>) -> Self {
        Self { listing: Some(tables), ..self }
    }

    /// Reads the document with a function that builds something from its root table. The function may
    /// return `None` only after a problem was recorded, as `required` does.
    pub(crate) fn read<T>(self, build: impl FnOnce(&Cursor<'_>) -> Option<T>) -> Result<Reading<T>, Problems> {
        let (mut root, faults) = DeTable::parse_recoverable(self.text);
        if !faults.is_empty() {
            return Err(Problems::new(self.syntax_problems(&faults)));
        }
        let desk = Desk {
            document: self,
            line_starts: LineStarts::of(self.text),
            currency: currency_of(root.get_ref()),
            problems: RefCell::default(),
            inputs: RefCell::default(),
            laid: RefCell::default(),
        };
        desk.lay_changes(root.get_mut());
        let value = build(&Cursor::root(&desk, &root, self.under));
        let problems = desk.problems.into_inner();
        let refused = problems.iter().any(|p| p.severity == Severity::Error);
        match value {
            Some(value) if !refused => Ok(Reading {
                value,
                inputs: desk.inputs.into_inner(),
                warnings: problems,
                laid: desk.laid.into_inner(),
            }),
            _ if refused => Err(Problems::new(problems)),
            // A slip in the program, not in the file; the user still gets a sentence.
            _ => Err(Problem::of_file(self.file, "the file says too little to go on").into()),
        }
    }

    /// One problem for each line that is not TOML, in words.
    fn syntax_problems(&self, faults: &[toml::de::Error]) -> Vec<Problem> {
        let mut problems: Vec<Problem> = Vec::new();
        for fault in faults {
            let span = fault.span().unwrap_or(0..0);
            let (what, expected) = match fault.message().split_once(", expected ") {
                Some((what, expected)) => (what, expected),
                None => (fault.message(), ""),
            };
            let written = self.text.get(span.clone()).unwrap_or("").trim();
            let problem = if what == "duplicate key" {
                Problem::at(self.file, self.text, &span, format!("`{written}` is given twice"))
                    .cure("keep one of the two")
            } else {
                Problem::at(self.file, self.text, &span, format!("this is not TOML: {what}"))
                    .expected(expected)
                    .cure("write name = value, with text in double quotes and numbers with a decimal point")
            };
            // What follows the first fault of a line is mostly its echo.
            if problems.last().is_none_or(|last| last.line != problem.line) {
                problems.push(problem);
            }
        }
        problems
    }
}

/// The currency that a study names: prices may be read before it is.
fn currency_of(root: &DeTable<'_>) -> Option<Currency> {
    let DeValue::Table(study) = root.get("study")?.get_ref() else {
        return None;
    };
    study.get("currency")?.get_ref().as_str()?.parse().ok()
}

/// What all cursors of one reading share.
#[derive(Debug)]
pub(super) struct Desk<'t> {
    document: Document<'t>,
    line_starts: LineStarts,
    currency: Option<Currency>,
    problems: RefCell<Vec<Problem>>,
    inputs: RefCell<Vec<Input>>,
    laid: RefCell<Vec<usize>>,
}

impl<'t> Desk<'t> {
    pub(super) fn file_problem(&self, what: impl Into<String>) -> Problem {
        Problem::of_file(self.document.file, what)
    }

    pub(super) fn problem_at(&self, span: &Range<usize>, what: impl Into<String>) -> Problem {
        match self.change_at(span) {
            Some((change, within)) => change.problem(&within, what),
            None => Problem::at(self.document.file, self.document.text, span, what),
        }
    }

    /// A problem of a key at these bytes, whose value stands at those. A key that was laid stands where its value does:
    /// its problem is one of the path by which it was laid.
    pub(super) fn problem_at_key(&self, key: &Range<usize>, value: &Range<usize>, what: impl Into<String>) -> Problem {
        match self.change_at(key) {
            Some((change, _)) if key == value => change.problem_of_path(what),
            Some(_) | None => self.problem_at(key, what),
        }
    }

    /// Lays the changes over the document that belong to it. Their places are counted on from the end of its text.
    fn lay_changes(&self, root: &mut DeTable<'t>) {
        let under = self.document.under;
        for (place, (change, base)) in self.changes().enumerate() {
            let own_path = if under.is_empty() {
                Some(change.path.as_str())
            } else {
                change.path.strip_prefix(under).and_then(|rest| rest.strip_prefix('.'))
            };
            let Some(own_path) = own_path else { continue };
            match lay(root, own_path, change.parsed(base), self.document.text.len()) {
                Ok(()) => self.laid.borrow_mut().push(place),
                // It may belong to the file that is named there.
                Err(Missed::Beyond) => {}
                Err(Missed::NoEntry { list, named, known }) => {
                    let names = || known.iter().map(String::as_str);
                    let what = format!("`{}`: {list} has no \"{named}\"", change.path);
                    let problem = change.problem_of_path(what).refused(Refusal::Name);
                    let expected = format!("one of {}", known.join(", "));
                    self.record(problem.expected(expected).cure(meant_or(&named, names(), "mend the path")));
                }
            }
        }
    }

    /// The changes, each with the place at which its value begins: past the end of the text, none in another.
    fn changes(&self) -> impl Iterator<Item = (&'t Change, usize)> {
        let first = self.document.text.len() + 1;
        self.document.changes.iter().scan(first, |next, change| {
            let base = *next;
            *next += change.whole().end + 1;
            Some((change, base))
        })
    }

    /// The change in which these bytes stand, and which they are of it.
    fn change_at(&self, span: &Range<usize>) -> Option<(&'t Change, Range<usize>)> {
        let (change, base) = self.changes().take_while(|(_, base)| *base <= span.start).last()?;
        Some((change, span.start - base..span.end - base))
    }

    /// What stands at these bytes, as a change of the value at a path. `None` where it does not stand in one piece.
    pub(super) fn as_change(&self, path: String, key: &Range<usize>, span: &Range<usize>) -> Option<Change> {
        if let Some((change, within)) = self.change_at(span) {
            let (_, key) = self.change_at(key)?;
            return change.part(path, &key, &within);
        }
        let Document { file, text, .. } = self.document;
        Change::written(&Writing { file: file.into(), text: text.into() }, path, key.clone(), span)
    }

    /// Who says the value at these bytes.
    pub(super) fn origin(&self, span: &Range<usize>) -> Origin {
        match self.change_at(span) {
            Some((change, _)) if change.is_asked() => Origin::Set,
            Some(_) | None => {
                let (file, line, column) = self.place(span);
                Origin::Given { file, line, column }
            }
        }
    }

    pub(super) fn record(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    pub(super) fn note(&self, input: Input) {
        self.inputs.borrow_mut().push(input);
    }

    /// Takes over what the reading of another file gave.
    pub(super) fn adopt<T>(&self, reading: Result<Reading<T>, Problems>) -> Option<T> {
        match reading {
            Ok(reading) => {
                self.inputs.borrow_mut().extend(reading.inputs);
                self.problems.borrow_mut().extend(reading.warnings);
                self.laid.borrow_mut().extend(reading.laid);
                Some(reading.value)
            }
            Err(problems) => {
                self.problems.borrow_mut().extend(problems.into_vec());
                None
            }
        }
    }

    pub(super) fn place(&self, span: &Range<usize>) -> (String, usize, usize) {
        let Some((change, within)) = self.change_at(span) else {
            let (line, column) = self.line_starts.place(self.document.text, span.start);
            return (self.document.file.to_owned(), line, column);
        };
        let problem = change.problem(&within, "");
        (problem.file, problem.line.unwrap_or(1), problem.column.unwrap_or(1))
    }

    /// The currency of prices, if the document names one.
    pub(super) fn currency(&self) -> Option<Currency> {
        self.currency
    }

    pub(super) fn under(&self) -> &str {
        self.document.under
    }

    pub(super) fn replacement(&self, path: &str) -> Option<f64> {
        self.document.overrides.get(path).copied()
    }

    /// A document that this one names, with what stands in for its values.
    pub(super) fn companion<'c>(&self, file: &'c str, text: &'c str) -> Document<'c>
    where
        't: 'c,
    {
        Document { overrides: self.document.overrides, changes: self.document.changes, ..Document::new(file, text) }
    }

    /// Begins the list of a table's keys, if keys are listed.
    pub(super) fn begin_table(&self, above: Option<usize>, name: &str, shape: Shape) -> Option<usize> {
        let mut tables = self.document.listing?.borrow_mut();
        let mut path = above.map_or_else(Vec::new, |above| tables[above].path.clone());
        if above.is_some() {
            path.push((name.to_owned(), shape));
        }
        tables.push(Instance { path, keys: Vec::new(), words: Vec::new() });
        Some(tables.len() - 1)
    }

    pub(super) fn list(&self, table: usize, word: Option<String>, key: Key) {
        let Some(tables) = self.document.listing else { return };
        let table = &mut tables.borrow_mut()[table];
        table.words.extend(word.map(|word| (key.name.clone(), word)));
        table.add(key);
    }

    /// What was read or taken by default so far, looked at.
    pub(super) fn with_inputs<T>(&self, look: impl FnOnce(&[Input]) -> T) -> T {
        look(&self.inputs.borrow())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_table_is_read_value_by_value() {
        let text = "[crop]\nreceived_moisture = 22.0\n";
        let reading = Document::new("study.toml", text).read(|root| {
            let crop = root.table("crop");
            let received = crop
                .number("received_moisture")
                .unit("% w.b.")
                .within(0.0, 60.0)
                .hint("give the moisture nuts arrive at, wet basis")
                .required();
            let dried = crop
                .number("dried_moisture")
                .unit("% w.b.")
                .within(0.0, 60.0)
                .default(10.0, "storage moisture of the crop library");
            crop.finish();
            root.finish();
            Some((received?, dried))
        });
        assert_eq!(reading.map(|reading| reading.value), Ok((22.0, 10.0)));
    }

    fn read_all(text: &str) -> Result<Reading<()>, Problems> {
        Document::new("s.toml", text).read(|root| {
            for key in ["a", "b"] {
                let _ = root.number(key).within(0.0, 1.0).optional();
                let _ = root.numbers(key).exactly(2).rising().optional();
                let _ = root.text(key).required();
                root.each(key).iter().for_each(Cursor::finish);
            }
            root.rest("NAME").iter().for_each(|(_, table)| table.finish());
            root.finish();
            Some(())
        })
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "(\\PC|\n|\r|\t){0,80}") {
            if let Err(problems) = read_all(&text) {
                prop_assert!(problems.to_string().starts_with("s.toml:"));
            }
        }

        #[test]
        fn no_toml_makes_the_reader_panic(
            lines in prop::collection::vec(
                "(\\[\\[?[abc.é]{1,3}\\]?\\]|[abcé.]{1,3} ?= ?([0-9e.+_-]{1,6}|nan|\"\\PC{0,9}\"|\\[[0-9, ]{0,9}\\]|\\{ ?[ab] = [0-9] ?\\}))",
                0..8,
            ),
        ) {
            if let Err(problems) = read_all(&lines.join("\n")) {
                prop_assert!(problems.to_string().starts_with("s.toml:"));
            }
        }
    }
}
