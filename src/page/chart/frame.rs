//! A sheet to draw on, and a frame of axes to draw in.

use super::canvas::{Canvas, TENTHS, text_width_px};
use super::pen::{Pen, WORD_PX};
use crate::page::kit::axis::tick_words;
use crate::page::kit::document::escape;
use crate::page::kit::months;
use plotters::chart::{ChartBuilder, ChartContext, LabelAreaPosition};
use plotters::coord::Shift;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter};
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{PathElement, Polygon};
use plotters::style::text_anchor::{HPos, VPos};
use std::convert::Infallible;
use std::ops::Range;

/// What drawing on a sheet gives: plotters asks for a result, and nothing of ours can fail.
pub(super) type Drawn<T = ()> = Result<T, DrawingAreaErrorKind<Infallible>>;
/// A sheet being drawn on.
pub(super) type Area<'a> = DrawingArea<Canvas<'a>, Shift>;
/// A frame with its axes.
pub(super) type Chart<'a, 'b> = ChartContext<'a, Canvas<'b>, Cartesian2d<Scale, Scale>>;

/// A linear axis with words at chosen places.
#[derive(Clone, Debug)]
pub(crate) struct Scale {
    range: Range<f64>,
    words: Vec<(f64, String)>,
}

impl Ranged for Scale {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limit: (i32, i32)) -> i32 {
        let span = self.range.end - self.range.start;
        let share = (value - self.range.start) / span;
        let place = f64::from(limit.0) + share * f64::from(limit.1 - limit.0);
        #[allow(clippy::cast_possible_truncation)] // within a page
        let place = place.round() as i32;
        place
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        // Asked twice, for strong and for faint lines; one set of lines is enough.
        if hint.weight().allow_light_points() {
            return Vec::new();
        }
        self.words.iter().map(|word| word.0).collect()
    }

    fn range(&self) -> Range<f64> {
        self.range.clone()
    }
}

impl ValueFormatter<f64> for Scale {
    fn format_ext(&self, value: &f64) -> String {
        self.words.iter().find(|word| word.0 == *value).map_or_else(String::new, |word| word.1.clone())
    }
}

/// Where a chart will be read. Each is drawn for both, so that words keep their size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Width {
    /// On a page or a wide screen.
    Wide,
    /// On a narrow screen.
    Narrow,
}

impl Width {
    /// Width, px.
    pub(crate) fn px(self) -> f64 {
        match self {
            Self::Wide => 740.0,
            Self::Narrow => 336.0,
        }
    }

    /// The class that the style sheet shows or hides.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::Wide => "wide",
            Self::Narrow => "narrow",
        }
    }

    /// One of two values.
    pub(crate) fn pick<T>(self, wide: T, narrow: T) -> T {
        match self {
            Self::Wide => wide,
            Self::Narrow => narrow,
        }
    }
}

/// What a drawing is called and says, for those who do not see it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Label {
    /// Unique in the page.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What it shows, in a sentence or two.
    pub desc: String,
}

/// Pixels as canvas units.
#[allow(clippy::cast_possible_truncation)] // within a page
pub(super) fn units(px: f64) -> i32 {
    (px * TENTHS).round() as i32
}

/// Draws one SVG of a given height.
pub(super) fn sheet(label: &Label, width: Width, height_px: f64, paint: impl FnOnce(&Area<'_>) -> Drawn) -> String {
    let mut body = String::new();
    let size = (u32::try_from(units(width.px())).unwrap_or(1), u32::try_from(units(height_px)).unwrap_or(1));
    {
        let area = Canvas::new(&mut body, size).into_drawing_area();
        // The canvas refuses nothing and asks for no font.
        let painted = paint(&area).and_then(|()| area.present());
        debug_assert!(painted.is_ok(), "{painted:?}");
    }
    let (id, class) = (&label.id, width.class());
    format!(
        "<svg class=\"{class}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"{id}-{class}-t {id}-{class}-d\">\n\
         <title id=\"{id}-{class}-t\">{}</title>\n<desc id=\"{id}-{class}-d\">{}</desc>\n{body}</svg>",
        width.px(),
        height_px,
        escape(&label.title),
        escape(&label.desc),
    )
}

/// A frame on a sheet: its place in px, its ranges and what stands on its axes.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// Left, top, right and bottom edges of the plotted field, px from the sheet's corner.
    pub edges: [f64; 4],
    /// Range across.
    pub x: Range<f64>,
    /// Range up.
    pub y: Range<f64>,
    /// Words below, at their places.
    pub x_words: Vec<(f64, String)>,
    /// Faint upright lines.
    pub x_lines: Vec<f64>,
    /// Words at the left, each with a faint line across.
    pub y_words: Vec<(f64, String)>,
    /// What the left axis counts, written above the field.
    pub y_title: String,
}

impl Frame {
    /// A frame whose lower axis is months (1..12), one step each.
    pub(crate) fn of_months(
        edges: [f64; 4],
        months: impl ExactSizeIterator<Item = u32>,
        (y, ticks): (Range<f64>, Vec<f64>),
        y_title: &str,
    ) -> Self {
        Self {
            edges,
            x: 0.0..months.len().max(1) as f64,
            y,
            x_words: months.enumerate().map(|(at, month)| (at as f64 + 0.5, months::short(month).to_owned())).collect(),
            x_lines: Vec::new(),
            y_words: tick_words(&ticks),
            y_title: y_title.to_owned(),
        }
    }

    /// A frame of rows below each other, each one step high, above an axis of these ticks.
    pub(super) fn of_rows(edges: [f64; 4], (x, ticks): (Range<f64>, Vec<f64>), rows: f64) -> Self {
        Self {
            edges,
            x,
            y: 0.0..rows,
            x_words: tick_words(&ticks),
            x_lines: ticks,
            y_words: Vec::new(),
            y_title: String::new(),
        }
    }

    /// Opens a narrow frame of months, one of several side by side. The words of the left axis stand at those that have
    /// it, its lines at all.
    pub(super) fn open_of_months<'a, 'b>(
        area: &'a Area<'b>,
        edges: [f64; 4],
        months: impl ExactSizeIterator<Item = u32>,
        (y, ticks): (Range<f64>, Vec<f64>),
        has_axis: bool,
    ) -> Drawn<Chart<'a, 'b>> {
        let mut frame = Self::of_months(edges, months, (y, ticks.clone()), "");
        // Twelve names have no room: a letter each does.
        for word in &mut frame.x_words {
            word.1.truncate(1);
        }
        if has_axis {
            return frame.open_bare(area);
        }
        frame.y_words.clear();
        let mut chart = frame.open_bare(area)?;
        let across = |tick: &f64| vec![(0.0, *tick), (frame.x.end, *tick)];
        chart.draw_series(ticks.iter().map(|tick| PathElement::new(across(tick), Pen::Grid.stroke())))?;
        Ok(chart)
    }

    /// Draws the axes, and above them what the left axis counts.
    pub(crate) fn open<'a, 'b>(&self, area: &'a Area<'b>) -> Drawn<Chart<'a, 'b>> {
        let at = (units(2.0), units(self.edges[1] - 9.0));
        let words = Pen::Quiet.words(HPos::Left, VPos::Bottom);
        area.draw_text(&self.y_title, &words, at)?;
        self.open_bare(area)
    }

    /// The field's left edge: further in where the words of its axis are longer than the room that was left for them.
    fn left(&self) -> f64 {
        let rooms = self.y_words.iter().map(|(_, word)| text_width_px(word, WORD_PX) + 4.0);
        rooms.fold(self.edges[0], f64::max)
    }

    /// Words below, every second or fourth of them where all would lie on each other.
    fn words_below(&self) -> Vec<(f64, String)> {
        let px = (self.edges[2] - self.left()) / (self.x.end - self.x.start);
        let mut words = self.x_words.clone();
        let overlap = |words: &[(f64, String)]| {
            words.windows(2).any(|pair| {
                let half = |word: &str| text_width_px(word, WORD_PX) / 2.0;
                half(&pair[0].1) + half(&pair[1].1) > (pair[1].0 - pair[0].0) * px
            })
        };
        while words.len() > 2 && overlap(&words) {
            words = words.into_iter().step_by(2).collect();
        }
        words
    }

    /// Draws the axes alone.
    pub(crate) fn open_bare<'a, 'b>(&self, area: &'a Area<'b>) -> Drawn<Chart<'a, 'b>> {
        let [_, top, right, bottom] = self.edges;
        let left = self.left();
        let (wide, high) = area.dim_in_pixel();
        let (wide, high) = (f64::from(wide) / TENTHS, f64::from(high) / TENTHS);
        let below = 20.0_f64.min(high - bottom);
        let scale = |range: &Range<f64>, words: &[(f64, String)]| Scale { range: range.clone(), words: words.to_vec() };
        let mut chart = ChartBuilder::on(area)
            .margin_top(units(top))
            .margin_right(units(wide - right))
            .margin_bottom(units(high - bottom - below))
            .set_label_area_size(LabelAreaPosition::Left, units(left))
            .set_label_area_size(LabelAreaPosition::Bottom, units(below))
            .build_cartesian_2d(scale(&self.x, &self.words_below()), scale(&self.y, &self.y_words))?;
        for &x in &self.x_lines {
            let line = PathElement::new(vec![(x, self.y.start), (x, self.y.end)], Pen::Grid.stroke());
            chart.draw_series([line])?;
        }
        let quiet = Pen::Quiet.words(HPos::Center, VPos::Center);
        chart
            .configure_mesh()
            .disable_x_mesh()
            .bold_line_style(Pen::Grid.stroke())
            .axis_style(Pen::Grid.stroke())
            .label_style(quiet)
            .set_tick_mark_size(LabelAreaPosition::Left, 30)
            .set_tick_mark_size(LabelAreaPosition::Bottom, 25)
            .draw()?;
        let base = self.y.start.max(0.0_f64.min(self.y.end));
        let ends = vec![(self.x.start, base), (self.x.end, base)];
        chart.draw_series([PathElement::new(ends, Pen::Axis.stroke())])?;
        Ok(chart)
    }
}

/// Steps of equal width between an upper and a lower edge, as one closed shape.
pub(super) fn step_shape(lower: &[f64], upper: &[f64], pen: Pen) -> Polygon<(f64, f64)> {
    let mut points = Vec::with_capacity(4 * upper.len());
    for (at, &value) in upper.iter().enumerate() {
        points.push((at as f64, value));
        points.push((at as f64 + 1.0, value));
    }
    for (at, &value) in lower.iter().enumerate().rev() {
        points.push((at as f64 + 1.0, value));
        points.push((at as f64, value));
    }
    Polygon::new(points, pen.fill())
}

/// Layers of equal steps on each other, from the base up; what has nothing is left out.
pub(super) fn stack(chart: &mut Chart<'_, '_>, layers: &[(Pen, Vec<f64>)]) -> Drawn {
    let mut base = vec![0.0; layers.first().map_or(0, |layer| layer.1.len())];
    for (pen, layer) in layers {
        if layer.iter().all(|value| *value <= 0.0) {
            continue;
        }
        let upper: Vec<f64> = base.iter().zip(layer).map(|(a, b)| a + b).collect();
        chart.draw_series([step_shape(&base, &upper, *pen)])?;
        base = upper;
    }
    Ok(())
}

/// The highest of layers that stand on each other.
pub(super) fn stack_height(layers: &[(Pen, Vec<f64>)]) -> f64 {
    let steps = layers.first().map_or(0, |layer| layer.1.len());
    (0..steps).map(|step| layers.iter().map(|layer| layer.1[step]).sum()).fold(0.0, f64::max)
}

/// Moves the centres of labels apart, so that each has `room` to itself between `low` and `high`;
/// the order stays. Labels that have no room for all stay as close as they must.
pub(super) fn spread(wanted: &[f64], room: f64, low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    let mut placed = vec![0.0; wanted.len()];
    let mut floor = low;
    for &at in &order {
        placed[at] = wanted[at].max(floor);
        floor = placed[at] + room;
    }
    let mut ceiling = high;
    for &at in order.iter().rev() {
        placed[at] = placed[at].min(ceiling);
        ceiling = placed[at] - room;
    }
    placed
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    #[test]
    fn labels_are_spread_without_changing_their_order() {
        let placed = spread(&[10.0, 11.0, 50.0, 9.0], 12.0, 0.0, 60.0);
        assert!(placed[3] + 12.0 <= placed[0] && placed[0] + 12.0 <= placed[1]);
        assert!(placed.iter().all(|at| (0.0..=60.0).contains(at)));
    }

    /// Sums of a currency of small units are long: their words stay on the sheet and off each other.
    #[test]
    fn long_words_of_an_axis_have_room() {
        let long = |count: u32| (0..count).map(|at| (f64::from(at), format!("{at}0 000 000 000"))).collect::<Vec<_>>();
        let frame = Frame {
            edges: [40.0, 20.0, 330.0, 120.0],
            x: 0.0..8.0,
            y: 0.0..3.0,
            x_words: long(8),
            x_lines: Vec::new(),
            y_words: long(3),
            y_title: String::new(),
        };
        assert!(frame.left() > 70.0);
        assert!(frame.words_below().len() < 5, "{:?}", frame.words_below());
        let label = Label { id: "a".into(), title: "an axis".into(), desc: "with long words".into() };
        let svg = sheet(&label, Width::Narrow, 150.0, |area| frame.open_bare(area).map(|_| ()));
        assert_readable(&svg);
        // Short words stand where they were asked for.
        let short = Frame { x_words: vec![(1.0, "M".into()), (2.0, "A".into())], y_words: long(0), ..frame };
        assert!((short.left() - 40.0).abs() < 1e-9 && short.words_below().len() == 2);
    }

    /// Fails if a drawing has no title, shows what is no number, or lets two texts overlap or one
    /// leave the sheet.
    pub(crate) fn assert_readable(svg: &str) {
        assert!(svg.contains("<title") && svg.contains("<desc"), "named");
        for bad in ["NaN", "inf", "-0\"", ">-0<", "></title>", "></desc>", "style="] {
            assert!(!svg.contains(bad), "{bad} in {svg}");
        }
        let attribute = |line: &str, name: &str| -> f64 {
            let from = line.find(&format!("{name}=\"")).expect("the attribute") + name.len() + 2;
            line[from..].split('"').next().unwrap().parse().unwrap()
        };
        let view = svg.split("viewBox=\"0 0 ").nth(1).unwrap();
        let sheet_width: f64 = view.split(' ').next().unwrap().parse().unwrap();
        let boxes: Vec<(String, [f64; 4])> = svg
            .lines()
            .filter(|line| line.starts_with("<text"))
            .map(|line| {
                let class = line.split('"').nth(1).unwrap();
                let text = line.split('>').nth(1).unwrap().split('<').next().unwrap();
                let text = text.replace("&amp;", "&").replace("&lt;", "<");
                let width = text_width_px(&text, WORD_PX) * 0.92;
                let (x, y) = (attribute(line, " x"), attribute(line, " y"));
                let left = match class.split(' ').nth(1) {
                    Some("m") => x - width / 2.0,
                    Some("e") => x - width,
                    _ => x,
                };
                (text, [left, y - 9.0, left + width, y + 1.0])
            })
            .collect();
        for (at, (text, a)) in boxes.iter().enumerate() {
            assert!(!text.is_empty(), "an empty label");
            assert!(a[0] > -2.0 && a[2] < sheet_width + 2.0, "{text:?} leaves the sheet: {a:?}");
            for (other, b) in &boxes[at + 1..] {
                let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                assert!(apart, "{text:?} and {other:?} overlap: {a:?} {b:?}");
            }
        }
    }
}
