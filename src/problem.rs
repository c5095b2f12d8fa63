//! What is wrong in what a person wrote, in a file or as an option: where, what was found, what was expected, what to
//! do. One shape for studies, tables, weather, logs and requests, on the terminal and as JSON.

mod alike;
mod line_starts;
mod matter;
mod refusal;
mod said;

pub(crate) use alike::{meant_or, nearest};
pub(crate) use line_starts::LineStarts;
use line_starts::floor_to_character;
pub(crate) use matter::Matter;
pub(crate) use refusal::Refusal;
pub(crate) use said::Said;

use serde::ser::{Serialize, SerializeStruct, Serializer};
use std::cmp::Reverse;
use std::fmt::{self, Write as _};
use std::ops::Range;

/// How bad a problem is, the worst last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; no figure suffers.
    Note,
    /// It can be used, but figures rest on a repair or an assumption: the reader should look here.
    Warning,
    /// It cannot be used until it is mended.
    Error,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        })
    }
}

impl Severity {
    /// What stands before the sentence; an error needs no word.
    fn label(self) -> &'static str {
        match self {
            Self::Error => "",
            Self::Warning => "warning: ",
            Self::Note => "note: ",
        }
    }
}

impl Serialize for Severity {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// One thing wrong, with its place. `Display` gives the sentence and, where there is one,
/// the line of the file with a caret below the fault; [`Problem::sentence`] gives the sentence alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// The file, as the user named it; empty where the fault is in what was asked.
    pub file: String,
    /// Line, from 1; `None` of a file as a whole.
    pub line: Option<usize>,
    /// Column in characters, from 1; `None` of a line as a whole.
    pub column: Option<usize>,
    /// What was found: `received_moisture is 150`.
    pub what: String,
    /// What was expected: `0 to 60 % w.b.`; may be empty.
    pub expected: String,
    /// What to do; may be empty.
    pub cure: String,
    /// A stable name for programs, such as `site.distance`; empty where the finding has none.
    pub code: &'static str,
    /// In which way a key or its value is refused, where it is one of the usual ways.
    pub refusal: Option<Refusal>,
    /// Whether the fault is in what is written, or in a file that cannot be read.
    pub lies_in: LiesIn,
    /// What it casts doubt on; empty where nothing else rests on it.
    pub is_about: &'static [Matter],
    /// What it rests on: where that is doubted by another finding, this one only follows.
    pub follows_from: &'static [Matter],
    /// What was found as its reader has it, where that is not as files hold it.
    told: Option<String>,
    excerpt: Option<Excerpt>,
}

/// Where a fault lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiesIn {
    /// In what is written.
    Content,
    /// In a file that is named but cannot be read.
    UnreadableFile,
}

/// The line of the file with the fault, and how many characters of it the fault takes.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Excerpt {
    line: String,
    width: usize,
}

/// Longest line shown below a sentence, characters; longer ones are not shown.
const LONGEST_EXCERPT: usize = 160;

impl Problem {
    /// An error at these bytes of a file's text. Say [`Problem::expected`] and [`Problem::cure`] next.
    pub fn at(file: &str, text: &str, span: &Range<usize>, what: impl Into<String>) -> Self {
        let start = floor_to_character(text, span.start);
        let line_starts = LineStarts::of(text);
        let (line, column) = line_starts.place(text, start);
        let content = text[line_starts.start_of(line)..].lines().next().unwrap_or("");
        let width = text[start..floor_to_character(text, span.end).max(start)]
            .lines()
            .next()
            .map_or(1, |marked| marked.chars().count().max(1));
        let shown = !content.trim().is_empty() && content.chars().count() <= LONGEST_EXCERPT;
        Self {
            severity: Severity::Error,
            file: file.to_owned(),
            line: Some(line),
            column: Some(column),
            excerpt: shown.then(|| Excerpt { line: content.to_owned(), width }),
            ..Self::said(what)
        }
    }

    /// An error at the start of a file, such as a table of a study that is not there.
    pub fn of_file(file: &str, what: impl Into<String>) -> Self {
        Self::at(file, "", &(0..0), what)
    }

    /// An error at no place of a file: of what was asked, or of a place that is told later.
    pub fn said(what: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            file: String::new(),
            line: None,
            column: None,
            what: what.into(),
            expected: String::new(),
            cure: String::new(),
            code: "",
            refusal: None,
            lies_in: LiesIn::Content,
            is_about: &[],
            follows_from: &[],
            told: None,
            excerpt: None,
        }
    }

    /// The same at a line and column.
    #[must_use]
    pub fn moved_to(mut self, line: usize, column: usize) -> Self {
        self.line = Some(line);
        self.column = Some(column);
        self
    }

    /// The same of a file, or of a line of it.
    #[must_use]
    pub fn placed(mut self, file: &str, line: Option<usize>) -> Self {
        file.clone_into(&mut self.file);
        self.line = line;
        self
    }

    /// The same with what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = expected.into();
        self
    }

    /// The same with what to do.
    #[must_use]
    pub fn cure(mut self, cure: impl Into<String>) -> Self {
        self.cure = cure.into();
        self
    }

    /// The same, of a file that is named here but cannot be read.
    #[must_use]
    pub fn of_unreadable_file(mut self) -> Self {
        self.lies_in = LiesIn::UnreadableFile;
        self
    }

    /// The same, as bad as this.
    #[must_use]
    pub fn of_severity(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }

    /// The same, told to its reader in these words; files hold it as it is.
    #[must_use]
    pub fn told(mut self, told: Option<String>) -> Self {
        self.told = told;
        self
    }

    /// The same of an option, a scenario: what stands before its words.
    #[must_use]
    pub fn within(mut self, of: &str) -> Self {
        self.what.insert_str(0, of);
        self.told = self.told.map(|told| format!("{of}{told}"));
        self
    }

    /// The same, casting doubt on these matters.
    #[must_use]
    pub fn about(mut self, matters: &'static [Matter]) -> Self {
        self.is_about = matters;
        self
    }

    /// The same, resting on these matters.
    #[must_use]
    pub fn resting_on(mut self, matters: &'static [Matter]) -> Self {
        self.follows_from = matters;
        self
    }

    /// True if it rests on what the other, a warning or an error, casts doubt on: a cause, and not a matter that itself
    /// may follow from this one.
    pub fn only_follows_from(&self, other: &Self) -> bool {
        let own = self.is_about.iter().min();
        other.severity > Severity::Note
            && other.is_about.iter().any(|cause| self.follows_from.contains(cause) && own.is_none_or(|own| cause < own))
    }

    /// What was found, as its reader has it.
    pub fn what_told(&self) -> &str {
        self.told.as_ref().unwrap_or(&self.what)
    }

    /// The same as a warning.
    #[must_use]
    pub fn into_warning(mut self) -> Self {
        self.severity = Severity::Warning;
        self
    }

    /// The same as a note.
    #[must_use]
    pub fn into_note(mut self) -> Self {
        self.severity = Severity::Note;
        self
    }

    /// The same by the name that programs know it by.
    #[must_use]
    pub fn code(mut self, code: &'static str) -> Self {
        self.code = code;
        self
    }

    /// The same, refused in this way.
    #[must_use]
    pub fn refused(mut self, refusal: Refusal) -> Self {
        self.refusal = Some(refusal);
        self
    }

    /// What and cure with the file alone, for readers who do not have it before them.
    pub fn unplaced(&self) -> String {
        self.with_file(&self.what)
    }

    /// The same as its reader has it.
    pub fn unplaced_told(&self) -> String {
        self.with_file(self.what_told())
    }

    fn with_file(&self, what: &str) -> String {
        let cure = if self.cure.is_empty() { String::new() } else { format!("; {}", self.cure) };
        format!("{}: {what}{cure}", self.file)
    }

    /// Place and sentence on one line, without the excerpt.
    pub fn sentence(&self) -> String {
        self.labelled(self.severity.label())
    }

    /// The same without a word for how bad it is, where a heading says so.
    pub fn unlabelled(&self) -> String {
        self.labelled("")
    }

    fn labelled(&self, label: &str) -> String {
        let code = if self.code.is_empty() { String::new() } else { format!(" [{}]", self.code) };
        format!("{}{label}{}{code}", self.place(), self.message_of(self.what_told()))
    }

    /// What was found, what was expected and what to do, without the place.
    pub fn message(&self) -> String {
        self.message_of(&self.what)
    }

    fn message_of(&self, what: &str) -> String {
        let mut message = what.to_owned();
        if !self.expected.is_empty() {
            message.push_str(", expected ");
            message.push_str(&self.expected);
        }
        if !self.cure.is_empty() {
            message.push_str("; ");
            message.push_str(&self.cure);
        }
        message
    }

    /// `study.toml:3:21: `, as far as it is known.
    fn place(&self) -> String {
        let mut place = self.file.clone();
        for number in [self.line, self.column].into_iter().flatten() {
            let _ = write!(place, ":{number}");
        }
        if !place.is_empty() {
            place.push_str(": ");
        }
        place
    }
}

/// The one shape in which programs are told of problems; `null` is what is not known.
impl Serialize for Problem {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let or_null = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        let mut object = to.serialize_struct("Problem", 9)?;
        object.serialize_field("severity", &self.severity)?;
        object.serialize_field("code", &or_null(self.refusal.map_or(self.code, Refusal::code)))?;
        object.serialize_field("file", &or_null(&self.file))?;
        object.serialize_field("line", &self.line)?;
        object.serialize_field("column", &self.column)?;
        object.serialize_field("what", &self.what)?;
        object.serialize_field("expected", &or_null(&self.expected))?;
        object.serialize_field("cure", &or_null(&self.cure))?;
        object.serialize_field("message", &self.message())?;
        object.end()
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.sentence())?;
        let Some(Excerpt { line, width }) = &self.excerpt else {
            return Ok(());
        };
        let (Some(line_number), Some(column)) = (self.line, self.column) else {
            return Ok(());
        };
        let number = line_number.to_string();
        let gutter = " ".repeat(number.len());
        // A tab before the fault stays a tab, so that the caret falls below it at any tab width.
        let indent: String = line.chars().take(column - 1).map(|c| if c == '\t' { '\t' } else { ' ' }).collect();
        write!(f, "\n  {number} | {line}\n  {gutter} | {indent}{}", "^".repeat(*width))
    }
}

/// Everything wrong in one reading: errors, then warnings, then notes. At least one is an error.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// These problems: errors, then warnings, then notes, each in the order of file, line and column. The order of files
    /// is the order in which they first appear.
    pub fn new(mut problems: Vec<Problem>) -> Self {
        let mut files: Vec<String> = Vec::new();
        for problem in &problems {
            if !files.contains(&problem.file) {
                files.push(problem.file.clone());
            }
        }
        problems.sort_by_key(|problem| {
            let file = files.iter().position(|file| *file == problem.file);
            (Reverse(problem.severity), file, problem.line, problem.column)
        });
        Self(problems)
    }

    /// The problems.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// True if nothing stands in the way but files that cannot be read.
    pub fn only_unreadable_files(&self) -> bool {
        self.0
            .iter()
            .filter(|problem| problem.severity == Severity::Error)
            .all(|problem| problem.lies_in == LiesIn::UnreadableFile)
    }

    /// The same of a file, or of a line of it.
    #[must_use]
    pub fn placed(self, file: &str, line: Option<usize>) -> Self {
        Self(self.0.into_iter().map(|problem| problem.placed(file, line)).collect())
    }

    /// The problems, taken out.
    pub fn into_vec(self) -> Vec<Problem> {
        self.0
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "[crop]\nkind = \"nuts\"\nreceived_moisture = 150\n";

    #[test]
    fn a_problem_says_where_what_and_what_to_do_with_a_caret() {
        let at = TEXT.find("150").unwrap();
        let problem = Problem::at("study.toml", TEXT, &(at..at + 3), "received_moisture is 150")
            .expected("0 to 60 % w.b.")
            .cure("give the moisture nuts arrive at, wet basis");
        assert_eq!(
            problem.to_string(),
            "study.toml:3:21: received_moisture is 150, expected 0 to 60 % w.b.; give the moisture nuts \
             arrive at, wet basis\n  \
             3 | received_moisture = 150\n    \
             |                     ^^^"
        );
    }

    #[test]
    fn columns_count_characters_not_bytes() {
        let text = "naïveté = \"Überschuß\" # é\nx = 1";
        let at = text.find("Über").unwrap();
        assert_eq!(Problem::at("f", text, &(at..at + 3), "").column, Some(12));
        // A byte inside a character and one past the end are no reason to panic.
        assert_eq!(Problem::at("f", text, &(at + 1..at + 2), "").column, Some(12));
        assert_eq!(Problem::at("f", text, &(999..1000), "").line, Some(2));
    }

    #[test]
    fn lines_with_carriage_returns_and_tabs_keep_the_caret_in_place() {
        let text = "a = 1\r\n\tb = 2\r\n";
        let at = text.find('2').unwrap();
        let problem = Problem::at("f", text, &(at..at + 1), "b is 2");
        assert_eq!((problem.line, problem.column), (Some(2), Some(6)));
        assert!(problem.to_string().ends_with("2 | \tb = 2\n    | \t    ^"));
    }

    #[test]
    fn problems_come_in_the_order_of_the_file() {
        let late = Problem::at("f", TEXT, &(30..31), "late");
        let early = Problem::at("f", TEXT, &(0..1), "early");
        let shown = Problems::new(vec![late, early]).to_string();
        assert!(shown.find("early") < shown.find("late"));
    }

    #[test]
    fn what_stops_the_reading_comes_before_what_does_not() {
        let warning = Problem::at("f", TEXT, &(0..1), "doubtful").into_warning();
        let error = Problem::at("f", TEXT, &(30..31), "wrong");
        let shown = Problems::new(vec![warning, error]).to_string();
        assert!(shown.find("wrong") < shown.find("doubtful"));
    }

    #[test]
    fn what_has_no_place_names_none() {
        let problem = Problem::said("--to is 300 °C").cure("give a temperature of air");
        assert_eq!(problem.sentence(), "--to is 300 °C; give a temperature of air");
        let problem = problem.placed("log.csv", Some(4));
        assert_eq!(problem.sentence(), "log.csv:4: --to is 300 °C; give a temperature of air");
    }

    #[test]
    fn programs_are_told_every_part_and_null_for_what_is_not_known() {
        let told = serde_json::to_value(Problem::said("no crop").placed("log.csv", None)).unwrap();
        let keys: Vec<&String> = told.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["severity", "code", "file", "line", "column", "what", "expected", "cure", "message"]);
        assert_eq!(told["severity"], "error");
        assert_eq!((&told["line"], &told["cure"]), (&serde_json::Value::Null, &serde_json::Value::Null));
    }

    #[test]
    fn what_follows_is_told_from_its_cause_one_way_alone() {
        let of = |about: &'static [Matter], follows_from: &'static [Matter]| {
            Problem::said("").into_warning().about(about).resting_on(follows_from)
        };
        let tonnes = of(&[Matter::SeasonTonnes], &[Matter::Bins, Matter::StoreWalls]);
        let heat = of(&[], &[Matter::SeasonTonnes, Matter::Airflow]);
        assert!(heat.only_follows_from(&tonnes) && !tonnes.only_follows_from(&heat));
        // A note casts no doubt, a finding does not follow from itself, and a later matter is no cause of an earlier one.
        assert!(!heat.only_follows_from(&tonnes.clone().into_note()));
        assert!(!tonnes.only_follows_from(&tonnes) && !heat.only_follows_from(&of(&[Matter::StoreWalls], &[])));
        assert!(tonnes.only_follows_from(&of(&[Matter::Bins], &[])));
        assert!(!tonnes.only_follows_from(&of(&[Matter::StoreWalls], &[])));
    }

    #[test]
    fn a_warning_says_so() {
        let warning = Problem::of_file("f", "no weather").into_warning();
        assert_eq!(warning.to_string(), "f:1:1: warning: no weather");
    }
}
