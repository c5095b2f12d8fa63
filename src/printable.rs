//! What may reach a terminal, a page or a table. Names come from files that others wrote: a control character among them could
//! rewrite what the reader sees.

use std::fmt::Write;

/// The text with every control character but line ends and tabs, and every sign that turns the direction of
/// writing, as `\u` and four digits. In JSON such an escape means the character itself.
pub(crate) fn printable(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        if is_harmless(c) {
            shown.push(c);
        } else {
            // Writing to a String cannot fail.
            let _ = write!(shown, "\\u{:04x}", u32::from(c));
        }
    }
    shown
}

fn is_harmless(c: char) -> bool {
    let turns = matches!(
        c,
        '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    );
    !turns && (!c.is_control() || matches!(c, '\n' | '\t'))
}

/// A text as TOML has it on one line, in quotes.
pub(crate) fn toml_text(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_and_turned_text_are_shown_and_not_obeyed() {
        assert_eq!(printable("a\u{1b}[2Jb"), "a\\u001b[2Jb");
        assert_eq!(printable("x\u{202e}y\u{7}\u{9b}"), "x\\u202ey\\u0007\\u009b");
        assert_eq!(printable("Überschuß, 18\u{a0}%\n\tgut"), "Überschuß, 18\u{a0}%\n\tgut");
    }

    #[test]
    fn json_keeps_its_meaning() {
        let text = serde_json::to_string("a\u{202e}b").unwrap();
        let again: String = serde_json::from_str(&printable(&text)).unwrap();
        assert_eq!(again, "a\u{202e}b");
    }
}
