//! Where bytes of a text stand, in lines and columns.

/// Where the lines of a text begin.
#[derive(Clone, Debug)]
pub(crate) struct LineStarts(Vec<usize>);

impl LineStarts {
    pub(crate) fn of(text: &str) -> Self {
        Self(std::iter::once(0).chain(text.match_indices('\n').map(|(newline, _)| newline + 1)).collect())
    }

    /// Line and column, from 1, of the character of this text in which a byte stands; its end for what is beyond.
    pub(crate) fn place(&self, text: &str, byte: usize) -> (usize, usize) {
        let at = floor_to_character(text, byte);
        let line = self.0.partition_point(|start| *start <= at);
        (line, text[self.0[line - 1]..at].chars().count() + 1)
    }

    /// The byte at which a line begins, counted from 1.
    pub(super) fn start_of(&self, line: usize) -> usize {
        self.0[line - 1]
    }
}

/// The start of the character that byte `at` falls in, or the end of the text.
pub(super) fn floor_to_character(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_has_its_line_and_column() {
        let text = "[crop]\r\nmoisture = 22 # °\n\nend";
        let starts = LineStarts::of(text);
        let mut expected = (1, 1);
        for (at, character) in text.char_indices() {
            for byte in at..at + character.len_utf8() {
                assert_eq!(starts.place(text, byte), expected, "{byte}");
            }
            expected = if character == '\n' { (expected.0 + 1, 1) } else { (expected.0, expected.1 + 1) };
        }
        assert_eq!(starts.place(text, text.len() + 9), expected);
        assert_eq!(LineStarts::of("").place("", 0), (1, 1));
    }
}
