//! A unit out of its text: names beside one another, `/`, `per`, brackets and powers.

use super::dimension::Dimension;
use super::names::{NAMES, QUALIFIERS, SCALES};
use super::{MoneyName, Unit};

/// Longer texts are no units.
const LONGEST: usize = 60;
/// The most words that one name has.
const MOST_WORDS: usize = 4;
/// Brackets in brackets beyond this are no unit.
const DEEPEST: usize = 4;

/// The unit that this text is, or the part of it that is not known.
pub(crate) fn parse(text: &str) -> Result<Unit, String> {
    if text.chars().count() > LONGEST {
        return Err(text.chars().take(LONGEST).collect());
    }
    let tokens = tokens(text);
    let mut reader = Reader { tokens: &tokens, at: 0, depth: 0, unknown: None };
    let Some(unit) = reader.whole() else {
        return Err(reader.unknown.unwrap_or_else(|| text.trim().to_owned()));
    };
    match reader.tokens.get(reader.at) {
        None => Ok(unit),
        Some(token) => Err(token.text()),
    }
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Word(String),
    Power(i8),
    Over,
    Per,
    Open,
    Close,
}

impl Token {
    fn text(&self) -> String {
        match self {
            Self::Word(word) => word.clone(),
            Self::Power(power) => format!("^{power}"),
            Self::Over => "/".to_owned(),
            Self::Per => "per".to_owned(),
            Self::Open => "(".to_owned(),
            Self::Close => ")".to_owned(),
        }
    }
}

/// Signs and words. A digit at a word's end stays with it: `H2O`, `ft2`.
fn tokens(text: &str) -> Vec<Token> {
    let text = text.replace(['º', '˚'], "°").replace('²', "^2").replace('³', "^3").replace("**", "^");
    let chars: Vec<char> = text.chars().collect();
    let mut tokens = Vec::new();
    let mut word = String::new();
    let end = |word: &mut String, tokens: &mut Vec<Token>| {
        match word.as_str() {
            "" => {}
            "per" => tokens.push(Token::Per),
            other => tokens.push(Token::Word(other.to_owned())),
        }
        word.clear();
    };
    let mut at = 0;
    while at < chars.len() {
        let c = chars[at];
        let next_is_digit = chars.get(at + 1).is_some_and(char::is_ascii_digit);
        match c {
            '/' => {
                end(&mut word, &mut tokens);
                tokens.push(Token::Over);
            }
            '(' | '[' => {
                end(&mut word, &mut tokens);
                tokens.push(Token::Open);
            }
            ')' | ']' => {
                end(&mut word, &mut tokens);
                tokens.push(Token::Close);
            }
            '^' | '-' if next_is_digit || (c == '^' && chars.get(at + 1) == Some(&'-')) => {
                end(&mut word, &mut tokens);
                let sign = if c == '-' { -1 } else { 1 };
                at += 1;
                let sign = if chars[at] == '-' {
                    at += 1;
                    -sign
                } else {
                    sign
                };
                let power =
                    chars.get(at).and_then(|digit| digit.to_digit(10)).and_then(|digit| i8::try_from(digit).ok());
                tokens.push(Token::Power(power.map_or(0, |power| power * sign)));
            }
            '-' | '·' | '⋅' | '×' | '*' | ',' => end(&mut word, &mut tokens),
            c if c.is_whitespace() => end(&mut word, &mut tokens),
            c => word.push(c),
        }
        at += 1;
    }
    end(&mut word, &mut tokens);
    tokens
}

struct Reader<'t> {
    tokens: &'t [Token],
    at: usize,
    depth: usize,
    /// The first word that is no name.
    unknown: Option<String>,
}

impl Reader<'_> {
    /// `kW per kg/s`: what stands behind each `per` is one denominator.
    fn whole(&mut self) -> Option<Unit> {
        let mut unit = self.ratio()?;
        while self.tokens.get(self.at) == Some(&Token::Per) {
            self.at += 1;
            unit = joined(unit, self.ratio()?, -1)?;
        }
        Some(unit)
    }

    fn ratio(&mut self) -> Option<Unit> {
        let mut unit = self.product()?;
        while self.tokens.get(self.at) == Some(&Token::Over) {
            self.at += 1;
            unit = joined(unit, self.product()?, -1)?;
        }
        Some(unit)
    }

    fn product(&mut self) -> Option<Unit> {
        let mut unit = self.one()?;
        while matches!(self.tokens.get(self.at), Some(Token::Word(_) | Token::Open)) {
            unit = joined(unit, self.one()?, 1)?;
        }
        Some(unit)
    }

    /// A name or a bracket, with its power.
    fn one(&mut self) -> Option<Unit> {
        let before = match self.tokens.get(self.at)? {
            Token::Word(word) if ["sq", "square"].contains(&word.as_str()) => 2,
            Token::Word(word) if ["cu", "cubic"].contains(&word.as_str()) => 3,
            _ => 1,
        };
        if before > 1 {
            self.at += 1;
        }
        let unit = if self.tokens.get(self.at) == Some(&Token::Open) {
            self.at += 1;
            self.depth += 1;
            if self.depth > DEEPEST {
                return None;
            }
            let inner = self.whole()?;
            self.depth -= 1;
            if self.tokens.get(self.at) != Some(&Token::Close) {
                return None;
            }
            self.at += 1;
            inner
        } else {
            self.named()?
        };
        let behind = match self.tokens.get(self.at) {
            Some(Token::Power(power)) => {
                self.at += 1;
                *power
            }
            _ => 1,
        };
        to_power(unit, before * behind)
    }

    /// The longest name that begins here.
    fn named(&mut self) -> Option<Unit> {
        let words: Vec<&str> = self.tokens[self.at..]
            .iter()
            .take(MOST_WORDS)
            .map_while(|token| match token {
                Token::Word(word) => Some(word.as_str()),
                _ => None,
            })
            .collect();
        for count in (1..=words.len()).rev() {
            let name = words[..count].join(" ");
            if let Some(unit) = named(&name) {
                self.at += count;
                return Some(unit);
            }
        }
        // `ft2`, `m3`: the power is at the end of the word.
        let word = words.first()?;
        let power = [('2', 2), ('3', 3)].into_iter().find_map(|(digit, power)| {
            let unit = named(word.strip_suffix(digit)?)?;
            to_power(unit, power)
        });
        if power.is_none() {
            self.unknown.get_or_insert_with(|| (*word).to_owned());
        }
        self.at += 1;
        power
    }
}

fn named(name: &str) -> Option<Unit> {
    let plain = |factor: f64, dimension: Dimension| Unit {
        factor,
        dimension,
        freezes_at: None,
        money: None,
        qualifiers: Vec::new(),
    };
    if let Some((names, factor, dimension)) = exactly(name).or_else(|| in_one_case(name)) {
        let freezes_at = SCALES.iter().find(|(scale, _)| names.contains(scale)).map(|(_, freezes_at)| *freezes_at);
        return Some(Unit { freezes_at, ..plain(*factor, *dimension) });
    }
    if let Some(qualifier) = QUALIFIERS.iter().find(|qualifier| **qualifier == name) {
        let qualifier = match *qualifier {
            "wb" => "w.b.",
            "db" => "d.b.",
            other => other,
        };
        return Some(Unit { qualifiers: vec![qualifier], ..plain(1.0, Dimension::NONE) });
    }
    let (money, factor) = match name {
        "money" => (MoneyName::Any, 1.0),
        "ct" | "cts" | "cent" | "cents" | "¢" => (MoneyName::Hundredth, 0.01),
        "$" | "€" | "£" | "¥" => (MoneyName::Sign(name.chars().next()?), 1.0),
        code if code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase()) => {
            (MoneyName::Code(code.to_owned()), 1.0)
        }
        _ => return None,
    };
    Some(Unit { money: Some(money), ..plain(factor, Dimension::MONEY) })
}

type Named = (&'static [&'static str], f64, Dimension);

fn exactly(name: &str) -> Option<&'static Named> {
    NAMES.iter().find(|(names, ..)| names.contains(&name))
}

/// `KWH` and `kwh` are kWh; `mW` is not MW. A single letter means what it is alone.
fn in_one_case(name: &str) -> Option<&'static Named> {
    let lower = name.to_lowercase();
    let is_of_one_case = lower == name || name.to_uppercase() == name;
    if name.chars().count() < 2 || !is_of_one_case {
        return None;
    }
    let mut found = NAMES.iter().filter(|(names, ..)| names.iter().any(|known| known.to_lowercase() == lower));
    found.next().filter(|_| found.next().is_none())
}

/// One beside another, or over it.
fn joined(left: Unit, right: Unit, power: i8) -> Option<Unit> {
    let right = to_power(right, power)?;
    // A qualifier behind a temperature leaves it one that stands alone.
    let freezes_at = match (left.dimension, right.dimension) {
        (_, Dimension::NONE) if right.factor.total_cmp(&1.0).is_eq() => left.freezes_at,
        _ => None,
    };
    let money = match (left.money, right.money) {
        (Some(_), Some(_)) => return None,
        (left, right) => left.or(right),
    };
    let mut qualifiers = left.qualifiers;
    qualifiers.extend(right.qualifiers);
    Some(Unit {
        factor: left.factor * right.factor,
        dimension: left.dimension.times(right.dimension, 1),
        freezes_at,
        money,
        qualifiers,
    })
}

fn to_power(unit: Unit, power: i8) -> Option<Unit> {
    if power == 1 {
        return Some(unit);
    }
    let factor = unit.factor.powi(i32::from(power));
    let dimension = Dimension::NONE.times(unit.dimension, power);
    (factor.is_finite() && factor > 0.0).then_some(Unit { factor, dimension, freezes_at: None, ..unit })
}
