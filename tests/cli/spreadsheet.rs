//! A spreadsheet's working of the formulas that the workbook has, of the file alone: as much of the formulas as it uses
//! and no more. What it does not know is a fault of the test that asks.

use super::workbook::opened;
use calamine::{Data, Range, Reader};
use std::cell::RefCell;
use std::collections::HashMap;

/// What a cell or a part of a formula gives.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Given {
    Number(f64),
    Text(String),
    Truth(bool),
    Nothing,
    /// What a spreadsheet shows as an error: a division by nothing, a rate that is not found.
    Error,
}

/// A cell: sheet, row and column from 0.
type At = (String, u32, u32);

/// A workbook whose formulas are worked anew.
pub(crate) struct Spreadsheet {
    sheets: HashMap<String, (Range<Data>, Range<String>)>,
    names: HashMap<String, String>,
    changed: HashMap<At, f64>,
    known: RefCell<HashMap<At, Given>>,
}

impl Spreadsheet {
    /// Reads a file.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        let mut book = opened(bytes);
        let names = book.defined_names().iter().cloned().collect();
        let mut sheets = HashMap::new();
        for name in book.sheet_names() {
            let values = book.worksheet_range(&name).expect("cells");
            let formulas = book.worksheet_formula(&name).expect("formulas");
            sheets.insert(name, (values, formulas));
        }
        Self { sheets, names, changed: HashMap::new(), known: RefCell::default() }
    }

    /// The same with another number in the cell of a name.
    pub(crate) fn with(mut self, name: &str, value: f64) -> Self {
        let (sheet, cell) = self.names[name].split_once('!').expect("a cell");
        let (row, column) = place(cell);
        self.changed.insert((sheet.to_owned(), row, column), value);
        self.known.borrow_mut().clear();
        self
    }

    /// Names of the sheets.
    pub(crate) fn sheets(&self) -> Vec<String> {
        let mut names: Vec<String> = self.sheets.keys().cloned().collect();
        names.sort();
        names
    }

    /// The rows of a sheet, each cell as it is worked.
    pub(crate) fn rows(&self, sheet: &str) -> Vec<Vec<Data>> {
        let end = self.sheets[sheet].0.end().expect("cells");
        let cell = |row: u32, column: u32| match self.cell(&(sheet.to_owned(), row, column)) {
            Given::Number(value) => Data::Float(value),
            Given::Text(text) => Data::String(text),
            Given::Truth(is) => Data::Bool(is),
            Given::Nothing => Data::Empty,
            Given::Error => Data::Error(calamine::CellErrorType::NA),
        };
        (0..=end.0).map(|row| (0..=end.1).map(|column| cell(row, column)).collect()).collect()
    }

    /// How many formulas a sheet has.
    pub(crate) fn formulas(&self, sheet: &str) -> usize {
        self.sheets[sheet].1.used_cells().filter(|(_, _, formula)| !formula.is_empty()).count()
    }

    /// True if a cell of a sheet holds a formula.
    pub(crate) fn is_formula(&self, sheet: &str, row: u32, column: u32) -> bool {
        self.sheets[sheet].1.get_value((row, column)).is_some_and(|formula| !formula.is_empty())
    }

    fn cell(&self, at: &At) -> Given {
        if let Some(value) = self.changed.get(at) {
            return Given::Number(*value);
        }
        if let Some(known) = self.known.borrow().get(at) {
            return known.clone();
        }
        let (values, formulas) = &self.sheets[&at.0];
        let formula = formulas.get_value((at.1, at.2)).filter(|formula| !formula.is_empty());
        let given = match formula {
            Some(formula) => {
                let letters: Vec<char> = formula.chars().collect();
                let mut reader = Reading { letters: &letters, at: 0, sheet: &at.0, book: self };
                let given = reader.compared();
                assert_eq!(reader.at, letters.len(), "{at:?}: {formula} was not read whole");
                given
            }
            None => match values.get_value((at.1, at.2)) {
                Some(Data::Float(value)) => Given::Number(*value),
                Some(Data::Int(value)) => Given::Number(*value as f64),
                Some(Data::String(text)) => Given::Text(text.clone()),
                Some(Data::Bool(is)) => Given::Truth(*is),
                Some(Data::Empty) | None => Given::Nothing,
                Some(other) => panic!("{at:?} holds {other:?}"),
            },
        };
        self.known.borrow_mut().insert(at.clone(), given.clone());
        given
    }
}

/// Row and column of `$C$5`, from 0.
fn place(cell: &str) -> (u32, u32) {
    let plain = cell.replace('$', "");
    let split = plain.find(|c: char| c.is_ascii_digit()).expect("a row");
    let column = plain[..split].bytes().fold(0, |column, letter| column * 26 + u32::from(letter - b'A') + 1);
    (plain[split..].parse::<u32>().expect("a row") - 1, column - 1)
}

/// An argument of a function.
enum Argument {
    One(Given),
    Cells(Vec<Given>),
}

impl Argument {
    fn one(self) -> Given {
        match self {
            Self::One(given) => given,
            Self::Cells(cells) => panic!("{} cells where one value is asked for", cells.len()),
        }
    }

    fn cells(self) -> Vec<Given> {
        match self {
            Self::One(given) => vec![given],
            Self::Cells(cells) => cells,
        }
    }
}

/// A number, of which nothing is 0; nothing of a word or an error.
fn number(given: &Given) -> Option<f64> {
    match given {
        Given::Number(value) => Some(*value),
        Given::Truth(is) => Some(f64::from(u8::from(*is))),
        Given::Nothing => Some(0.0),
        Given::Text(_) | Given::Error => None,
    }
}

fn finite(value: f64) -> Given {
    if value.is_finite() { Given::Number(value) } else { Given::Error }
}

/// A formula as it is read and worked.
struct Reading<'a> {
    letters: &'a [char],
    at: usize,
    sheet: &'a str,
    book: &'a Spreadsheet,
}

impl Reading<'_> {
    fn takes(&mut self, wanted: &str) -> bool {
        let is_next = wanted.chars().enumerate().all(|(at, c)| self.letters.get(self.at + at) == Some(&c));
        self.at += if is_next { wanted.chars().count() } else { 0 };
        is_next
    }

    fn must_take(&mut self, wanted: &str) {
        assert!(self.takes(wanted), "{wanted} at {} of {}", self.at, self.letters.iter().collect::<String>());
    }

    fn compared(&mut self) -> Given {
        let one = self.sum();
        let signs = ["<=", ">=", "<>", "<", ">", "="];
        let Some(sign) = signs.into_iter().find(|sign| self.takes(sign)) else {
            return one;
        };
        let other = self.sum();
        if one == Given::Error || other == Given::Error {
            return Given::Error;
        }
        // A spreadsheet has every word above every number.
        let order = match (number(&one), number(&other)) {
            (Some(a), Some(b)) => a.partial_cmp(&b).expect("numbers"),
            (None, Some(_)) => std::cmp::Ordering::Greater,
            (Some(_), None) => std::cmp::Ordering::Less,
            (None, None) => panic!("two words are compared"),
        };
        Given::Truth(match sign {
            "<=" => order.is_le(),
            ">=" => order.is_ge(),
            "<>" => order.is_ne(),
            "<" => order.is_lt(),
            ">" => order.is_gt(),
            _ => order.is_eq(),
        })
    }

    fn sum(&mut self) -> Given {
        let mut all = self.product();
        loop {
            let with: fn(f64, f64) -> f64 = if self.takes("+") {
                |a, b| a + b
            } else if self.takes("-") {
                |a, b| a - b
            } else {
                return all;
            };
            let other = self.product();
            all = joined(&all, &other, with);
        }
    }

    fn product(&mut self) -> Given {
        let mut all = self.power();
        loop {
            let with: fn(f64, f64) -> f64 = if self.takes("*") {
                |a, b| a * b
            } else if self.takes("/") {
                |a, b| a / b
            } else {
                return all;
            };
            let other = self.power();
            all = joined(&all, &other, with);
        }
    }

    fn power(&mut self) -> Given {
        let mut all = self.single();
        while self.takes("^") {
            let other = self.single();
            all = joined(&all, &other, f64::powf);
        }
        all
    }

    fn single(&mut self) -> Given {
        if self.takes("-") {
            let given = self.single();
            return joined(&Given::Number(0.0), &given, |a, b| a - b);
        }
        match self.argument() {
            Argument::One(given) => given,
            Argument::Cells(_) => panic!("a range in a sum: {}", self.letters.iter().collect::<String>()),
        }
    }

    /// A number, a word, brackets, a function, a cell or a range of cells.
    fn argument(&mut self) -> Argument {
        if self.takes("(") {
            let given = self.compared();
            self.must_take(")");
            return Argument::One(given);
        }
        if self.takes("\"") {
            let rest = &self.letters[self.at..];
            let text: String = rest.iter().take_while(|c| **c != '"').collect();
            self.at += text.chars().count() + 1;
            return Argument::One(Given::Text(text));
        }
        let rest = &self.letters[self.at..];
        let word: String = rest.iter().take_while(|c| c.is_ascii_alphanumeric() || "$.!_".contains(**c)).collect();
        assert!(!word.is_empty(), "at {} of {}", self.at, self.letters.iter().collect::<String>());
        self.at += word.len();
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            return Argument::One(Given::Number(word.parse().expect("a number")));
        }
        if self.takes("(") {
            return Argument::One(self.function(&word));
        }
        let (sheet, cell) = word.split_once('!').unwrap_or((self.sheet, &word));
        let from = place(cell);
        if !self.takes(":") {
            return Argument::One(self.book.cell(&(sheet.to_owned(), from.0, from.1)));
        }
        let rest = &self.letters[self.at..];
        let last: String = rest.iter().take_while(|c| c.is_ascii_alphanumeric() || **c == '$').collect();
        self.at += last.len();
        let until = place(&last);
        let cells = (from.0..=until.0)
            .flat_map(|row| (from.1..=until.1).map(move |column| (row, column)))
            .map(|(row, column)| self.book.cell(&(sheet.to_owned(), row, column)));
        Argument::Cells(cells.collect())
    }

    fn arguments(&mut self) -> Vec<Argument> {
        let mut all = Vec::new();
        loop {
            let from = self.at;
            let argument = self.argument();
            // What goes on after its first part is no bare range.
            let is_bare = self.letters.get(self.at).is_some_and(|c| [',', ')'].contains(c));
            all.push(if is_bare {
                argument
            } else {
                self.at = from;
                Argument::One(self.compared())
            });
            if !self.takes(",") {
                self.must_take(")");
                return all;
            }
        }
    }

    fn function(&mut self, name: &str) -> Given {
        let mut arguments = self.arguments();
        if ["IF", "IFERROR"].contains(&name) {
            let mut given = arguments.into_iter().map(Argument::one);
            let mut next = || given.next().expect("an argument");
            let (first, second) = (next(), next());
            return match (name, first) {
                ("IFERROR", Given::Error) => second,
                ("IFERROR", first) => first,
                (_, Given::Error) => Given::Error,
                (_, first) if number(&first).expect("a truth") != 0.0 => second,
                _ => next(),
            };
        }
        if name == "IRR" {
            let guess = if arguments.len() > 1 { arguments.pop().map(Argument::one) } else { None };
            let guess = guess.and_then(|guess| number(&guess)).unwrap_or(0.1);
            let sums = arguments.remove(0).cells();
            return internal_return(&sums.iter().filter_map(number).collect::<Vec<_>>(), guess);
        }
        if name == "SUMIFS" {
            let mut columns = arguments.into_iter().map(Argument::cells);
            let money = columns.next().expect("what is summed");
            let columns: Vec<Vec<Given>> = columns.collect();
            let is_asked = |row: usize| columns.chunks(2).all(|pair| pair[0][row] == pair[1][0]);
            let asked = (0..money.len()).filter(|row| is_asked(*row));
            return finite(asked.filter_map(|row| number(&money[row])).sum());
        }
        if name == "ISNUMBER" {
            return Given::Truth(matches!(arguments.remove(0).one(), Given::Number(_)));
        }
        let columns: Vec<Vec<Given>> = arguments.into_iter().map(Argument::cells).collect();
        if columns.iter().flatten().any(|given| *given == Given::Error) {
            return Given::Error;
        }
        // Words and empty cells of a range count as nothing.
        let numbers = || columns.iter().flatten().filter(|given| matches!(given, Given::Number(_))).filter_map(number);
        let at = |place: usize| number(&columns[place][0]).expect("a number");
        let scale = || 10f64.powf(at(1));
        match name {
            "AND" => Given::Truth(columns.iter().flatten().all(|given| number(given) != Some(0.0))),
            "SUM" => finite(numbers().sum()),
            "MIN" => finite(numbers().fold(f64::INFINITY, f64::min)),
            "MAX" => finite(numbers().fold(f64::NEG_INFINITY, f64::max)),
            "COUNT" => finite(numbers().count() as f64),
            "INT" => finite(at(0).floor()),
            "MOD" => finite(at(0).rem_euclid(at(1))),
            "ROUND" => finite((at(0) * scale()).round() / scale()),
            "ROUNDUP" => finite((at(0) * scale()).abs().ceil().copysign(at(0)) / scale()),
            "SUMPRODUCT" => {
                let product =
                    |row: usize| columns.iter().map(|column| number(&column[row]).unwrap_or(0.0)).product::<f64>();
                finite((0..columns[0].len()).map(product).sum())
            }
            _ => panic!("{name} is no function that the workbook is known to use"),
        }
    }
}

fn joined(one: &Given, other: &Given, with: fn(f64, f64) -> f64) -> Given {
    match (number(one), number(other)) {
        (Some(a), Some(b)) => finite(with(a, b)),
        _ => Given::Error,
    }
}

/// The rate at which sums come to nothing, from a guess on, by Newton's steps; an error where they find none.
fn internal_return(sums: &[f64], guess: f64) -> Given {
    let worth = |rate: f64| (0..).zip(sums).map(|(year, sum)| sum * (1.0 + rate).powi(-year)).sum::<f64>();
    let slope = |rate: f64| {
        (0..).zip(sums).map(|(year, sum)| -f64::from(year) * sum * (1.0 + rate).powi(-year - 1)).sum::<f64>()
    };
    let mut rate = guess;
    for _ in 0..200 {
        let step = worth(rate) / slope(rate);
        rate -= step;
        if !rate.is_finite() || rate <= -1.0 {
            return Given::Error;
        }
        if step.abs() < 1e-12 {
            return Given::Number(rate);
        }
    }
    Given::Error
}
