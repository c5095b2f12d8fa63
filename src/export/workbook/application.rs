//! Baseline against proposal. A formula that the report prints is written as one here: of the same figures by the same
//! signs. What a formula tells in words is linked to where it is made, or stands as computed.

use super::fault::NoWorkbook;
use super::live::Live;
use super::options::{OptionCells, Paybacks, baseline};
use super::prices::Prices;
use super::sheet::{Look, Sheet, Styles};
use super::years::Years;
use crate::answer::{ApplicationFigures, Figures};
use std::collections::BTreeMap;

/// Cells by the sign that stands for them in formulas.
type Signs = BTreeMap<String, Live>;

/// Fills the sheet; there is none where nothing is proposed.
pub(super) fn application<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, years): (&Prices, &Years),
    (cells, paybacks): (&[OptionCells], &[Option<Paybacks>]),
) -> Result<Option<Sheet<'s>>, NoWorkbook> {
    let Some(application) = &figures.application else {
        return Ok(None);
    };
    let place = |name: &String| figures.options.iter().position(|option| option.name == *name);
    let base = baseline(figures);
    let Some(own) = place(&application.proposal) else {
        return Ok(None);
    };
    let title = format!("Application: “{}” against “{}”", application.proposal, application.baseline);
    let note = "Money follows the prices, but for heat’s own costs (A) and the levelised cost of heat; energy and carbon stay as computed.";
    let mut sheet = Sheet::new("Application", styles, &title, note)?;
    let columns = [
        ("sign", "", 7.0),
        ("figure", "", 46.0),
        ("unit", "", 20.0),
        ("baseline", "", 16.0),
        ("proposal", "", 16.0),
        ("saved", "", 16.0),
        ("how it is made", "", 60.0),
    ];
    let mut row = sheet.heads(3, &columns, 2)?;
    let options = [&cells[base], &cells[own]];
    let mut known = figures_of_both(&mut sheet, &mut row, application, (prices, options))?;
    row += 1;
    let links =
        Links { prices, years, own: &cells[own], base: &cells[base], paybacks: paybacks[own].as_ref(), application };
    for figure in &application.of_the_proposal {
        for (column, text) in [(0, &*figure.symbol), (1, &*figure.name), (2, &*figure.unit), (6, &*figure.formula)] {
            sheet.text((row, column), text, Look::Text)?;
        }
        let look = look(&figure.unit);
        let cached = (figure.value, figure.why.as_str());
        if let Some(text) = links.word_or_number(&figure.name) {
            let text = if figure.unit.starts_with('%') { percent_or_word(&text) } else { text };
            sheet.live_or((row, 4), &text, cached, look)?;
        } else if let Some(value) = figure.value {
            let made = links.number(&figure.symbol).or_else(|| read(&figure.formula, &known));
            let cell = match made.filter(|live| agrees(live, value)) {
                Some(live) => {
                    let text = of_something(&live, &figure.formula, &known, "none");
                    sheet.live_or((row, 4), &text, cached, look)?;
                    Live::cell(sheet.name(), (row, 4), value)
                }
                None => sheet.number((row, 4), value, look)?,
            };
            if !figure.symbol.is_empty() {
                known.insert(figure.symbol.clone(), cell);
            }
        } else {
            match part(&figure.formula, &known) {
                Some(live) => {
                    let text = of_something(&live, &figure.formula, &known, &figure.why);
                    sheet.live_or((row, 4), &text, cached, look)?;
                }
                None => sheet.text((row, 4), &figure.why, Look::Text)?,
            }
        }
        row += 1;
    }
    row += 1;
    for remark in &application.remarks {
        sheet.text((row, 1), remark, Look::Text)?;
        row += 1;
    }
    Ok(Some(sheet))
}

/// Figures that both options have; the signs by which formulas of the proposal call them.
fn figures_of_both(
    sheet: &mut Sheet<'_>,
    row: &mut u32,
    application: &ApplicationFigures,
    (prices, options): (&Prices, [&OptionCells; 2]),
) -> Result<Signs, NoWorkbook> {
    // One table of signs for each of the columns: baseline, proposal, saved.
    let mut of_both: [Signs; 3] = Default::default();
    for figure in &application.of_both {
        for (column, text) in [(0, &*figure.symbol), (1, &*figure.name), (2, &*figure.unit), (6, &*figure.formula)] {
            sheet.text((*row, column), text, Look::Text)?;
        }
        let mut pair = Vec::new();
        for (at, (option, value)) in options.into_iter().zip([figure.baseline, figure.proposal]).enumerate() {
            let made = linked(&figure.symbol, option, prices, application)
                .or_else(|| read(&figure.formula, &of_both[at]).filter(|live| agrees(live, value)));
            let to = (*row, if at == 0 { 3 } else { 4 });
            let cell = match made {
                Some(live) => sheet.live(to, &live, look(&figure.unit))?,
                None => sheet.number(to, value, look(&figure.unit))?,
            };
            if !figure.symbol.is_empty() {
                of_both[at].insert(figure.symbol.clone(), cell.clone());
            }
            pair.push(cell);
        }
        let saved = sheet.live((*row, 5), &pair[0].less(&pair[1]), look(&figure.unit))?;
        if !figure.symbol.is_empty() {
            of_both[2].insert(figure.symbol.clone(), saved);
        }
        *row += 1;
    }
    let mut known = Signs::new();
    for (before, [baseline, proposal, saved]) in application
        .of_both
        .iter()
        .map(|figure| &figure.symbol)
        .filter(|sign| !sign.is_empty())
        .map(|sign| (sign, of_both.each_ref().map(|signs| &signs[sign])))
    {
        known.insert(format!("{before}0"), baseline.clone());
        known.insert(format!("{before}1"), proposal.clone());
        known.insert(format!("Δ{before}"), saved.clone());
    }
    Ok(known)
}

/// A formula that gives what was computed; another is not written.
fn agrees(live: &Live, value: f64) -> bool {
    (live.value() - value).abs() <= 1e-6 * value.abs().max(1.0)
}

fn look(unit: &str) -> Look {
    if unit.is_empty() || unit.contains("/kWh") || unit == "ratio" { Look::Fine } else { Look::Tenths }
}

/// A share as percent, and a word as it is.
fn percent_or_word(cell: &str) -> String {
    format!("IF(ISNUMBER({cell}),{cell}*100,{cell})")
}

/// Where money that is told in words is made: bills of carriers, upkeep, capital.
fn linked(symbol: &str, cells: &OptionCells, prices: &Prices, application: &ApplicationFigures) -> Option<Live> {
    match symbol {
        "M" => return Some(cells.upkeep.clone()),
        "K" => return Some(cells.capital.clone()),
        _ => {}
    }
    let at = carrier_of(symbol, 'B', prices, application)?;
    Some(cells.carriers[at].clone())
}

/// Place among the study's carriers of that whose sign this is: the letter's, by the figure's own name.
fn carrier_of(symbol: &str, kind: char, prices: &Prices, application: &ApplicationFigures) -> Option<usize> {
    let letter = symbol.strip_prefix(kind).filter(|letter| letter.chars().count() == 1)?;
    let bill = application.of_both.iter().find(|figure| figure.symbol == format!("B{letter}"))?;
    let name = bill.name.strip_prefix("bill of ")?;
    prices.carriers.iter().position(|(carrier, _)| carrier == name)
}

/// Cells of other sheets that figures of the proposal are.
struct Links<'a> {
    prices: &'a Prices,
    years: &'a Years,
    own: &'a OptionCells,
    base: &'a OptionCells,
    paybacks: Option<&'a Paybacks>,
    application: &'a ApplicationFigures,
}

impl Links<'_> {
    fn number(&self, symbol: &str) -> Option<Live> {
        let live = match symbol {
            "N" => self.prices.years.clone(),
            "Q" => self.own.eligible.clone(),
            "r" => self.prices.share.times(&Live::number(100.0)),
            "X" => self.prices.most.clone(),
            "J" => self.own.grant.clone(),
            "f" => self.years.level_factor.clone(),
            "W" => self.own.singles.less(&self.base.singles),
            _ => {
                let at = carrier_of(symbol, 'f', self.prices, self.application)?;
                self.years.factors[at].clone()
            }
        };
        Some(live)
    }

    /// Figures that may have a word in place of a number.
    fn word_or_number(&self, name: &str) -> Option<String> {
        let paybacks = self.paybacks?;
        match name {
            "simple payback" => Some(paybacks.simple.clone()),
            "discounted payback" => Some(paybacks.discounted.clone()),
            "internal rate of return" => Some(paybacks.internal_return.clone()),
            _ => None,
        }
    }
}

/// A printed formula of known signs; nothing of words, or of factors that are printed rounded.
fn read(formula: &str, known: &Signs) -> Option<Live> {
    part(formula, known).filter(|live| live.value().is_finite())
}

/// The same, though it may give no number.
fn part(formula: &str, known: &Signs) -> Option<Live> {
    Some(with_divisors(formula, known)?.0)
}

/// The same with all that is divided by.
fn with_divisors(formula: &str, known: &Signs) -> Option<(Live, Vec<Live>)> {
    let letters = formula.chars().filter(|c| !c.is_whitespace()).collect();
    let mut reader = Reader { letters, at: 0, known, divisors: Vec::new() };
    let live = reader.sum()?;
    (reader.at == reader.letters.len()).then_some((live, reader.divisors))
}

/// A figure in words where it is a share of nothing, or comes to nothing because there is none.
fn of_something(live: &Live, formula: &str, known: &Signs, why: &str) -> String {
    let divisors = with_divisors(formula, known).map(|(_, divisors)| divisors).unwrap_or_default();
    let mut asked: Vec<String> =
        divisors.iter().filter(|by| !by.is_plain_number()).map(|by| format!("{}>0", by.text())).collect();
    let word = why.replace('"', "”");
    let comes_to_nothing = live.value() == 0.0 && !divisors.is_empty();
    if comes_to_nothing {
        asked.push(format!("{}<>0", live.text()));
    }
    match asked.as_slice() {
        [] => live.text().to_owned(),
        asked => format!("IFERROR(IF(AND({}),{},\"{word}\"),\"{word}\")", asked.join(","), live.text()),
    }
}

struct Reader<'a> {
    letters: Vec<char>,
    at: usize,
    known: &'a Signs,
    divisors: Vec<Live>,
}

impl Reader<'_> {
    fn takes(&mut self, wanted: char) -> bool {
        let is_next = self.letters.get(self.at) == Some(&wanted);
        self.at += usize::from(is_next);
        is_next
    }

    fn sum(&mut self) -> Option<Live> {
        let mut live = self.product()?;
        loop {
            if self.takes('+') {
                live = live.plus(&self.product()?);
            } else if self.takes('−') {
                live = live.less(&self.product()?);
            } else {
                return Some(live);
            }
        }
    }

    fn product(&mut self) -> Option<Live> {
        let mut live = self.single()?;
        loop {
            if self.takes('×') {
                live = live.times(&self.single()?);
            } else if self.takes('/') {
                let by = self.single()?;
                live = live.over(&by);
                self.divisors.push(by);
            } else {
                return Some(live);
            }
        }
    }

    fn single(&mut self) -> Option<Live> {
        if self.takes('(') {
            let live = self.sum()?;
            return self.takes(')').then(|| bracketed(&live));
        }
        let rest = &self.letters[self.at..];
        let word: String = rest.iter().take_while(|c| c.is_alphanumeric() || **c == '.').collect();
        self.at += word.chars().count();
        if (word == "min" || word == "max") && self.takes('(') {
            let first = self.sum()?;
            let second = self.takes(',').then(|| self.sum())??;
            let live = if word == "min" { first.min(&second) } else { first.max(&second) };
            return self.takes(')').then_some(live);
        }
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            let is_whole = word.chars().all(|c| c.is_ascii_digit());
            return is_whole.then(|| word.parse().ok().map(Live::number))?;
        }
        self.known.get(&word).cloned()
    }
}

fn bracketed(live: &Live) -> Live {
    Live::function(format!("({})", live.text()), live.value())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn printed_formulas_become_formulas_of_cells() {
        let cell = |row: u32, value: f64| Live::cell("Application", (row, 4), value);
        let known = Signs::from([
            ("K1".to_owned(), cell(1, 100.0)),
            ("K0".to_owned(), cell(2, 40.0)),
            ("J".to_owned(), cell(3, 10.0)),
            ("ΔE".to_owned(), cell(4, 5.0)),
        ]);
        let found =
            |formula: &str| read(formula, &known).map(|live| (live.text().replace("Application!", ""), live.value()));
        assert_eq!(found("K1 − J − K0"), Some(("$E$2-$E$4-$E$3".to_owned(), 50.0)));
        assert_eq!(found("max(K1 − K0, 0)"), Some(("MAX($E$2-$E$3,0)".to_owned(), 60.0)));
        assert_eq!(found("ΔE / (K1 − K0) × 100"), Some(("($E$5/($E$2-$E$3))*100".to_owned(), 5.0 / 60.0 * 100.0)));
        assert_eq!(found("K1 − (J − K0)"), Some(("$E$2-($E$4-$E$3)".to_owned(), 130.0)));
        for words in ["given in the study", "Z / K1", "K1 × 0.25", "from the season", ""] {
            assert_eq!(found(words), None, "{words}");
        }
    }
}
