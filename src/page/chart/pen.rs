//! What a shape or a word stands for. The page's style sheet turns each into colour, so that one
//! drawing serves light, dark and print.

use crate::palette::Fill;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontFamily, IntoFont, RGBColor, ShapeStyle, TextStyle};

/// The part a shape or a word plays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Pen {
    /// First series: dark blue.
    Fill1,
    /// Second series: brick.
    Fill2,
    /// Third series: sea green.
    Fill3,
    /// Fourth series: ochre.
    Fill4,
    /// Fifth series: pale.
    Fill5,
    /// What was asked for and not given.
    Lack,
    /// A hollow shape: a frame for what is compared with it.
    Hollow,
    /// A band between two lines.
    Band,
    /// Steps of a map, least first.
    Shade1,
    /// Second step.
    Shade2,
    /// Third step.
    Shade3,
    /// Fourth step.
    Shade4,
    /// Fifth step.
    Shade5,
    /// Sixth step.
    Shade6,
    /// First line.
    Line1,
    /// Second line.
    Line2,
    /// A level to compare with: dashed.
    Level,
    /// A line across a bar: the baseline's value.
    Tick,
    /// Lines of the grid.
    Grid,
    /// The base line of an axis.
    Axis,
    /// Plain words.
    Text,
    /// Words of the axes.
    Quiet,
    /// Words that matter.
    Strong,
    /// Words on a dark fill.
    OnDark,
    /// Words on a light fill.
    OnLight,
    /// First series where shapes cross and words lie upon them.
    Pale1,
    /// Second series, the same.
    Pale2,
    /// Third series, the same.
    Pale3,
    /// Fourth series, the same.
    Pale4,
    /// Fifth series, the same.
    Pale5,
    /// Sixth series: slate.
    Fill6,
    /// How far a value ranges.
    Whisker,
    /// Seventh series: olive.
    Fill7,
    /// Seventh series, pale.
    Pale7,
    /// The line of what is recommended.
    LineBest,
    /// The line of the baseline.
    LineBase,
    /// Words of what is recommended.
    Best,
    /// Steps of what is gained, least first.
    Gain1,
    /// Second step.
    Gain2,
    /// Third step.
    Gain3,
    /// Fourth step.
    Gain4,
    /// Steps of what is lost, least first.
    Loss1,
    /// Second step.
    Loss2,
    /// Steps of moisture, driest first.
    Moist1,
    /// Second step.
    Moist2,
    /// Third step.
    Moist3,
    /// Fourth step.
    Moist4,
    /// Fifth step.
    Moist5,
    /// Sixth step.
    Moist6,
    /// Nuts that are dry and cool.
    Cooling,
    /// A gap between shapes that lie side by side.
    Gap,
}

/// Classes in the order of the pens.
const CLASSES: [&str; 51] = [
    "c1", "c2", "c3", "c4", "c5", "lack", "hollow", "band", "h1", "h2", "h3", "h4", "h5", "h6", "l1", "l2", "level",
    "tick", "grid", "axis", "t", "q", "s", "d", "o", "p1", "p2", "p3", "p4", "p5", "c6", "wh", "c7", "p7", "lw", "lb",
    "b", "g1", "g2", "g3", "g4", "e1", "e2", "m1", "m2", "m3", "m4", "m5", "m6", "mc", "gap",
];

impl From<Fill> for Pen {
    fn from(fill: Fill) -> Self {
        match fill {
            Fill::Blue => Self::Fill1,
            Fill::Brick => Self::Fill2,
            Fill::Green => Self::Fill3,
            Fill::Ochre => Self::Fill4,
            Fill::Pale => Self::Fill5,
            Fill::Slate => Self::Fill6,
            Fill::Olive => Self::Fill7,
            Fill::Accent => Self::LineBest,
            Fill::Quiet => Self::LineBase,
            Fill::Band => Self::Band,
        }
    }
}

/// Height of the words of a chart, px.
pub(super) const WORD_PX: f64 = 12.0;

impl Pen {
    /// Steps of a map in order.
    pub(crate) const SHADES: [Self; 6] =
        [Self::Shade1, Self::Shade2, Self::Shade3, Self::Shade4, Self::Shade5, Self::Shade6];

    /// Steps of moisture in order, driest first.
    const MOISTURES: [Self; 6] = [Self::Moist1, Self::Moist2, Self::Moist3, Self::Moist4, Self::Moist5, Self::Moist6];
    /// Most steps of moisture that can be told apart.
    pub(crate) const MOST_MOISTURES: usize = Self::MOISTURES.len();

    /// So many steps of moisture, driest first, as far apart as they can be.
    pub(crate) fn moistures(count: usize) -> Vec<Self> {
        let last = Self::MOST_MOISTURES - 1;
        (0..count).map(|at| Self::MOISTURES[(at * last / count.saturating_sub(1).max(1)).min(last)]).collect()
    }

    /// The class in the style sheet.
    pub(crate) fn class(self) -> &'static str {
        CLASSES[self as usize]
    }

    /// The class of a colour that a pen made.
    pub(super) fn class_of(red: u8) -> &'static str {
        CLASSES.get(usize::from(red)).copied().unwrap_or("t")
    }

    /// The pen as a colour: its number, read back by the canvas.
    pub(crate) fn color(self) -> RGBColor {
        RGBColor(self as u8, 0, 0)
    }

    /// The pen for words on this fill.
    pub(crate) fn words_on(self) -> Self {
        match self {
            Self::Fill1 | Self::Fill2 | Self::Fill6 | Self::Fill7 => Self::OnDark,
            _ => Self::OnLight,
        }
    }

    /// The same colour where shapes cross and words lie upon them, or where it stands for a second thing of its kind.
    pub(crate) fn pale(self) -> Self {
        match self {
            Self::Fill1 => Self::Pale1,
            Self::Fill2 => Self::Pale2,
            Self::Fill3 => Self::Pale3,
            Self::Fill4 => Self::Pale4,
            Self::Fill7 => Self::Pale7,
            _ => Self::Pale5,
        }
    }

    /// A stroke.
    pub(crate) fn stroke(self) -> ShapeStyle {
        self.color().stroke_width(1)
    }

    /// A fill.
    pub(crate) fn fill(self) -> ShapeStyle {
        self.color().filled()
    }

    /// Words that begin, centre or end at their place.
    pub(crate) fn words(self, across: HPos, down: VPos) -> TextStyle<'static> {
        let color = self.color();
        let style: TextStyle<'static> = (FontFamily::SansSerif, WORD_PX * 10.0).into_font().color(&color);
        style.pos(Pos::new(across, down))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pen_has_its_own_class() {
        assert_eq!(Pen::Gap as usize, CLASSES.len() - 1);
        assert_eq!(Pen::Fill1.class(), "c1");
        assert_eq!(Pen::Level.class(), "level");
        assert_eq!(Pen::class_of(Pen::Strong as u8), "s");
    }

    #[test]
    fn few_steps_of_moisture_lie_far_apart() {
        let classes = |count: usize| Pen::moistures(count).into_iter().map(Pen::class).collect::<Vec<_>>();
        assert_eq!(classes(6), ["m1", "m2", "m3", "m4", "m5", "m6"]);
        assert_eq!(classes(4), ["m1", "m2", "m4", "m6"]);
        assert_eq!(classes(1), ["m1"]);
    }
}
