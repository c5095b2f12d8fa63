//! A drawing backend that writes clean SVG: tenths of a pixel, classes in place of inline styles,
//! words as words, and runs of like rectangles in one path.

use super::pen::Pen;
use crate::page::kit::document::escape;
use plotters::style::text_anchor::{HPos, VPos};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind};
use std::convert::Infallible;
use std::fmt::Write as _;

/// Canvas units in a pixel.
pub(super) const TENTHS: f64 = 10.0;

/// Nothing is refused: the canvas is a text that grows.
type Outcome = Result<(), DrawingErrorKind<Infallible>>;

/// The body of one SVG drawing as it grows. Coordinates are tenths of a pixel.
#[derive(Debug)]
pub(crate) struct Canvas<'a> {
    body: &'a mut String,
    size: (u32, u32),
    /// A path of filled rectangles of one class, not yet closed.
    run: Option<(&'static str, String)>,
}

impl<'a> Canvas<'a> {
    /// An empty canvas of `size` tenths of a pixel.
    pub(crate) fn new(body: &'a mut String, size: (u32, u32)) -> Self {
        Self { body, size, run: None }
    }

    fn end_run(&mut self) {
        if let Some((class, path)) = self.run.take() {
            let _ = writeln!(self.body, "<path class=\"{class}\" d=\"{path}\"/>");
        }
    }

    fn add_rect(&mut self, class: &'static str, upper_left: BackendCoord, bottom_right: BackendCoord) {
        if self.run.as_ref().is_some_and(|(open, _)| *open != class) {
            self.end_run();
        }
        let (_, path) = self.run.get_or_insert_with(|| (class, String::new()));
        let (left, right) = ordered(upper_left.0, bottom_right.0);
        let (top, bottom) = ordered(upper_left.1, bottom_right.1);
        let (wide, high) = (right - left, bottom - top);
        let _ = write!(path, "M{} {}h{}v{}h{}z", px(left), px(top), px(wide), px(high), px(-wide));
    }

    fn add_path(&mut self, class: &str, points: &[BackendCoord], close: bool) {
        self.end_run();
        let mut path = String::new();
        let mut last: Option<BackendCoord> = None;
        for &(x, y) in points {
            match last {
                None => {
                    let _ = write!(path, "M{} {}", px(x), px(y));
                }
                Some(before) if before == (x, y) => {}
                Some((_, before)) if before == y => {
                    let _ = write!(path, "H{}", px(x));
                }
                Some((before, _)) if before == x => {
                    let _ = write!(path, "V{}", px(y));
                }
                Some(_) => {
                    let _ = write!(path, "L{} {}", px(x), px(y));
                }
            }
            last = Some((x, y));
        }
        if close {
            path.push('Z');
        }
        let _ = writeln!(self.body, "<path class=\"{class}\" d=\"{path}\"/>");
    }
}

impl Drop for Canvas<'_> {
    fn drop(&mut self) {
        self.end_run();
    }
}

/// Tenths of a pixel as pixels with at most one decimal.
fn px(tenths: i32) -> String {
    if tenths % 10 == 0 {
        (tenths / 10).to_string()
    } else {
        let sign = if tenths < 0 { "-" } else { "" };
        format!("{sign}{}.{}", tenths.abs() / 10, tenths.abs() % 10)
    }
}

/// Bold letters are wider: of a room, so much is theirs in letters of the usual width.
pub(super) const BOLD_HAS: f64 = 0.85;

/// Width of a text, px, in a wide sans-serif face: the reader's own is not known, and is narrower if anything. Estimates,
/// no published source; the browser tests hold them against what is drawn.
pub(super) fn text_width_px(text: &str, height_px: f64) -> f64 {
    let letters: f64 = text
        .chars()
        .map(|letter| match letter {
            '\u{202f}' => 0.22,
            'i' | 'j' | 'l' | ' ' | '.' | ',' | '\u{a0}' | '\u{b7}' | '’' => 0.32,
            'f' | 'r' | 't' | 'I' | 'J' | ':' | ';' | '/' | '-' | '(' | ')' => 0.41,
            'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | '“' | '”' | '–' => 0.58,
            'm' | 'w' | 'M' | 'W' | '%' | '…' | '—' => 0.98,
            'A'..='Z' | '+' | '=' | '\u{2212}' => 0.76,
            // Letters of other scripts, and signs as wide as they are high.
            '\u{370}'..='\u{1fff}' => 0.72,
            '\u{2e80}'..='\u{ffdc}' => 1.02,
            _ => 0.635,
        })
        .sum();
    letters * height_px
}

impl DrawingBackend for Canvas<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Outcome {
        Ok(())
    }

    fn present(&mut self) -> Outcome {
        self.end_run();
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, color: BackendColor) -> Outcome {
        self.add_rect(Pen::class_of(color.rgb.0), (x, y), (x + 1, y + 1));
        Ok(())
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> Outcome {
        self.add_path(Pen::class_of(style.color().rgb.0), &[from, to], false);
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        _fill: bool,
    ) -> Outcome {
        self.add_rect(Pen::class_of(style.color().rgb.0), upper_left, bottom_right);
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(&mut self, path: I, style: &S) -> Outcome {
        let points: Vec<_> = path.into_iter().collect();
        self.add_path(Pen::class_of(style.color().rgb.0), &points, false);
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(&mut self, center: BackendCoord, radius: u32, style: &S, _fill: bool) -> Outcome {
        self.end_run();
        let class = Pen::class_of(style.color().rgb.0);
        let radius = i32::try_from(radius).unwrap_or(0);
        let _ = writeln!(
            self.body,
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            px(center.0),
            px(center.1),
            px(radius)
        );
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(&mut self, vert: I, style: &S) -> Outcome {
        let points: Vec<_> = vert.into_iter().collect();
        self.add_path(Pen::class_of(style.color().rgb.0), &points, true);
        Ok(())
    }

    fn draw_text<T: BackendTextStyle>(&mut self, text: &str, style: &T, at: BackendCoord) -> Outcome {
        self.end_run();
        let class = Pen::class_of(style.color().rgb.0);
        let (anchor, height) = (style.anchor(), style.size());
        let side = match anchor.h_pos {
            HPos::Left => "",
            HPos::Center => " m",
            HPos::Right => " e",
        };
        let down = match anchor.v_pos {
            VPos::Top => 0.80,
            VPos::Center => 0.35,
            VPos::Bottom => -0.22,
        };
        #[allow(clippy::cast_possible_truncation)] // within a page
        let baseline = at.1 + (height * down).round() as i32;
        let _ = writeln!(
            self.body,
            "<text class=\"{class}{side}\" x=\"{}\" y=\"{}\">{}</text>",
            px(at.0),
            px(baseline),
            escape(text)
        );
        Ok(())
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within a page
    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        text: &str,
        style: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let height = style.size();
        Ok((text_width_px(text, height).ceil() as u32, height.ceil() as u32))
    }
}

/// Smaller first.
fn ordered(a: i32, b: i32) -> (i32, i32) {
    (a.min(b), a.max(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use plotters::style::text_anchor::{HPos, VPos};

    #[test]
    fn coordinates_have_at_most_one_decimal() {
        for (tenths, text) in [(0, "0"), (125, "12.5"), (-5, "-0.5"), (130, "13"), (-130, "-13")] {
            assert_eq!(px(tenths), text);
        }
    }

    #[test]
    fn like_rectangles_share_a_path_and_words_stay_words() {
        let mut body = String::new();
        {
            let mut canvas = Canvas::new(&mut body, (1000, 1000));
            canvas.draw_rect((0, 0), (10, 20), &Pen::Fill1.color_of(), true).unwrap();
            canvas.draw_rect((10, 0), (20, 20), &Pen::Fill1.color_of(), true).unwrap();
            canvas.draw_rect((0, 0), (5, 5), &Pen::Fill2.color_of(), true).unwrap();
            canvas.draw_text("a < b & c", &Pen::Text.words(HPos::Right, VPos::Center), (0, 0)).unwrap();
        }
        assert_eq!(
            body,
            "<path class=\"c1\" d=\"M0 0h1v2h-1zM1 0h1v2h-1z\"/>\n\
             <path class=\"c2\" d=\"M0 0h0.5v0.5h-0.5z\"/>\n\
             <text class=\"t e\" x=\"0\" y=\"4.2\">a &lt; b &amp; c</text>\n"
        );
    }

    #[test]
    fn a_pixel_is_a_small_square() {
        let mut body = String::new();
        Canvas::new(&mut body, (10, 10)).draw_pixel((2, 3), Pen::Grid.color_of()).unwrap();
        assert_eq!(body, "<path class=\"grid\" d=\"M0.2 0.3h0.1v0.1h-0.1z\"/>\n");
    }

    impl Pen {
        fn color_of(self) -> BackendColor {
            BackendColor { alpha: 1.0, rgb: (self as u8, 0, 0) }
        }
    }
}
