//! Text on a terminal.

/// Text broken at the width of a terminal, with what follows the first line hung below its start.
pub(super) fn hung(start: &str, text: &str) -> String {
    const WIDTH: usize = 100;
    let indent = " ".repeat(start.chars().count());
    let mut lines = vec![start.to_owned()];
    let mut is_empty = true;
    for word in text.split_whitespace() {
        let line_width = lines.last().map_or(0, |line| line.chars().count());
        if !is_empty && line_width + 1 + word.chars().count() > WIDTH {
            lines.push(indent.clone());
            is_empty = true;
        }
        if let Some(line) = lines.last_mut() {
            if !is_empty {
                line.push(' ');
            }
            line.push_str(word);
            is_empty = false;
        }
    }
    lines.join("\n")
}
