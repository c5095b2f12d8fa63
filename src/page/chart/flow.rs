//! Where energy goes: ribbons from purchase to exit, all to one scale.

use super::Draw;
use super::bars::shortened;
use super::canvas::{BOLD_HAS, text_width_px};
use super::frame::{Area, Drawn, Label, Width, sheet, units};
use super::pen::{Pen, WORD_PX};
use crate::number;
use plotters::element::{Polygon, Rectangle};
use plotters::style::text_anchor::{HPos, VPos};

/// A ribbon from one place to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ribbon {
    /// Where it begins: a place in [`Flow::nodes`].
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// Energy, kWh.
    pub kwh: f64,
    /// Its colour.
    pub pen: Pen,
}

/// A flow chart in four stages: what comes in, what takes it, the drying air, where it leaves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Flow {
    /// Words for those who do not see it.
    pub label: Label,
    /// Names and stages (0..3) of the places, from top to bottom within a stage.
    pub nodes: Vec<(String, usize)>,
    /// The ribbons.
    pub ribbons: Vec<Ribbon>,
    /// Height of one kWh, px: the same in every chart that is to be compared.
    pub px_per_kwh: f64,
    /// How much is said of each place.
    pub words: FlowWords,
}

/// What is said of the places of a flow chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FlowWords {
    /// Name and energy of each, on two lines.
    All,
    /// Name and megawatt-hours on one line, of what comes in and goes out and is not slight: for a chart among many.
    Brief,
}

impl FlowWords {
    /// Least height that a place keeps for its words, px.
    fn slot_px(self) -> f64 {
        match self {
            Self::All => 29.0,
            Self::Brief => 12.0,
        }
    }

    /// Room between two places, px.
    fn gap_px(self) -> f64 {
        match self {
            Self::All => 10.0,
            Self::Brief => 3.0,
        }
    }

    /// Where the stages stand, as shares of the width. Among many, where what takes energy is not named, the names of what
    /// comes in and of what goes out have its room, so that they do not run over the places between.
    fn stages(self) -> [f64; STAGES] {
        match self {
            Self::All => [0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0],
            Self::Brief => [0.0, 0.48, 0.61, 1.0],
        }
    }

    /// True if a place at this stage is named that this share of all that comes in goes through.
    fn names(self, stage: usize, share: f64) -> bool {
        match self {
            Self::All => true,
            Self::Brief => stage != TAKES && share > SLIGHT,
        }
    }
}

/// Share of all that comes in below which nothing is said of a place in a chart among many.
pub(crate) const SLIGHT: f64 = 0.02;

const NODE_PX: f64 = 7.0;
const TOP_PX: f64 = 20.0;
const STAGES: usize = 4;
/// The stage of what takes energy: sources, fans, lights and store.
const TAKES: usize = 1;

/// Where a place is drawn.
#[derive(Clone, Copy, Default)]
struct Spot {
    x: f64,
    top: f64,
    height: f64,
    kwh: f64,
    has_words: bool,
}

impl Flow {
    fn through(&self, node: usize) -> f64 {
        let sum = |wanted: fn(&Ribbon) -> usize| -> f64 {
            self.ribbons.iter().filter(|ribbon| wanted(ribbon) == node).map(|ribbon| ribbon.kwh.max(0.0)).sum()
        };
        sum(|r| r.from).max(sum(|r| r.to))
    }

    /// What comes in, kWh.
    fn comes_in(&self) -> f64 {
        let first = self.nodes.iter().enumerate().filter(|(_, node)| node.1 == 0);
        first.map(|(at, _)| self.through(at)).sum()
    }

    fn spots(&self, width: Width) -> (Vec<Spot>, f64) {
        let mut spots = vec![Spot::default(); self.nodes.len()];
        let all = self.comes_in().max(1e-9);
        let mut bottom = 0.0_f64;
        for stage in 0..STAGES {
            let x = (width.px() - NODE_PX) * self.words.stages()[stage];
            let mut y = TOP_PX;
            for (at, node) in self.nodes.iter().enumerate() {
                let kwh = self.through(at);
                if node.1 != stage || kwh <= 0.0 {
                    continue;
                }
                let height = kwh * self.px_per_kwh;
                let has_words = self.words.names(stage, kwh / all);
                spots[at] = Spot { x, top: y, height, kwh, has_words };
                y += if has_words { height.max(self.words.slot_px()) } else { height } + self.words.gap_px();
            }
            bottom = bottom.max(y - self.words.gap_px());
        }
        (spots, bottom + 4.0)
    }

    /// Room for the name of a place, px: as far as the next place at its height towards the middle.
    fn room(&self, width: Width, spots: &[Spot], at: usize) -> f64 {
        let most = match self.words {
            FlowWords::All => return width.pick(170.0, 90.0),
            FlowWords::Brief => width.pick(250.0, 190.0),
        };
        let (stage, own) = (self.nodes[at].1, spots[at]);
        let inner = if stage == 0 { TAKES } else { STAGES - 2 };
        let middle = own.top + own.height.max(self.words.slot_px()) / 2.0;
        let is_beside = |spot: &Spot| {
            spot.kwh > 0.0 && spot.top < middle + WORD_PX / 2.0 && spot.top + spot.height > middle - WORD_PX / 2.0
        };
        let beside = self.nodes.iter().zip(spots).filter(|(node, _)| node.1 == inner).any(|(_, spot)| is_beside(spot));
        let stages = self.words.stages();
        let gap = (width.px() - NODE_PX) * (stages[inner] - stages[stage]).abs() - NODE_PX - 8.0;
        if beside { gap.min(most) } else { most }
    }

    /// Writes what each place is called and how much goes through it.
    fn names(&self, area: &Area<'_>, width: Width, spots: &[Spot]) -> Drawn {
        for (at, ((name, stage), spot)) in self.nodes.iter().zip(spots).enumerate() {
            if spot.kwh <= 0.0 || !spot.has_words {
                continue;
            }
            let room = self.room(width, spots, at);
            let value = match self.words {
                FlowWords::All => number::heat(spot.kwh),
                FlowWords::Brief => number::three(number::Measure::heat("MWh").value(spot.kwh / 1000.0)),
            };
            if *stage == 2 {
                let middle = units(spot.x + NODE_PX / 2.0);
                let words = Pen::Strong.words(HPos::Center, VPos::Bottom);
                let said = match self.words {
                    FlowWords::All => format!("{name}, {value}"),
                    FlowWords::Brief => format!("{name} {value}"),
                };
                area.draw_text(&said, &words, (middle, units(spot.top - 4.0)))?;
                continue;
            }
            let (side, x) =
                if *stage == STAGES - 1 { (HPos::Right, spot.x - 4.0) } else { (HPos::Left, spot.x + NODE_PX + 4.0) };
            let middle = spot.top + spot.height.max(self.words.slot_px()) / 2.0;
            let first = Pen::Strong.words(side, VPos::Center);
            let second = Pen::Text.words(side, VPos::Center);
            match self.words {
                FlowWords::All => {
                    area.draw_text(&shortened(name, room * BOLD_HAS), &first, (units(x), units(middle - 7.0)))?;
                    area.draw_text(&value, &second, (units(x), units(middle + 7.0)))?;
                }
                FlowWords::Brief => {
                    let left = room - text_width_px(&format!(" {value}"), WORD_PX);
                    let said = format!("{} {value}", shortened(name, left));
                    area.draw_text(&said, &second, (units(x), units(middle)))?;
                }
            }
        }
        Ok(())
    }
}

impl Draw for Flow {
    fn draw(&self, width: Width) -> String {
        let (spots, height) = self.spots(width);
        sheet(&self.label, width, height, |area| {
            let mut out: Vec<f64> = spots.iter().map(|spot| spot.top).collect();
            let mut into = out.clone();
            for ribbon in &self.ribbons {
                let thick = ribbon.kwh.max(0.0) * self.px_per_kwh;
                if thick <= 0.0 {
                    continue;
                }
                let (a, b) = (spots[ribbon.from], spots[ribbon.to]);
                let shape = swing((a.x + NODE_PX, out[ribbon.from]), (b.x, into[ribbon.to]), thick);
                area.draw(&Polygon::new(shape, ribbon.pen.fill()))?;
                out[ribbon.from] += thick;
                into[ribbon.to] += thick;
            }
            for spot in spots.iter().filter(|spot| spot.kwh > 0.0) {
                let corners =
                    [(units(spot.x), units(spot.top)), (units(spot.x + NODE_PX), units(spot.top + spot.height))];
                area.draw(&Rectangle::new(corners, Pen::Axis.fill()))?;
            }
            self.names(area, width, &spots)
        })
    }
}

/// A ribbon of even thickness that swings from one point to another.
fn swing(from: (f64, f64), to: (f64, f64), thick: f64) -> Vec<(i32, i32)> {
    const STEPS: usize = 12;
    let edge = |drop: f64| {
        (0..=STEPS).map(move |step| {
            let t = step as f64 / STEPS as f64;
            let ease = t * t * (3.0 - 2.0 * t);
            (units(from.0 + (to.0 - from.0) * t), units(from.1 + (to.1 - from.1) * ease + drop))
        })
    };
    let lower: Vec<_> = edge(thick).collect();
    edge(0.0).chain(lower.into_iter().rev()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::frame::tests::assert_readable;
    use super::*;

    fn flow() -> Flow {
        let ribbon = |from, to, kwh, pen| Ribbon { from, to, kwh, pen };
        Flow {
            label: Label { id: "flow".into(), title: "Flow".into(), desc: "From left to right.".into() },
            nodes: vec![
                ("electricity purchased".into(), 0),
                ("nothing".into(), 0),
                ("heaters".into(), 1),
                ("fans".into(), 1),
                ("drying air".into(), 2),
                ("with extracted air".into(), 3),
                ("through the envelope of the drying room".into(), 3),
            ],
            ribbons: vec![
                ribbon(0, 2, 90_000.0, Pen::Pale2),
                ribbon(0, 3, 10_000.0, Pen::Pale3),
                ribbon(1, 3, 0.0, Pen::Pale3),
                ribbon(2, 4, 90_000.0, Pen::Pale2),
                ribbon(3, 4, 10_000.0, Pen::Pale3),
                ribbon(4, 5, 99_000.0, Pen::Pale2),
                ribbon(4, 6, 1_000.0, Pen::Pale2),
            ],
            px_per_kwh: 180.0 / 100_000.0,
            words: FlowWords::All,
        }
    }

    #[test]
    fn thin_ribbons_still_leave_room_for_words() {
        for width in [Width::Wide, Width::Narrow] {
            let svg = flow().draw(width);
            assert_readable(&svg);
            assert!(!svg.contains("nothing"), "a place without flow is left out");
        }
    }

    #[test]
    fn a_chart_among_many_is_low_and_says_nothing_of_what_is_slight() {
        let brief = Flow { words: FlowWords::Brief, ..flow() };
        let svg = brief.draw(Width::Narrow);
        assert_readable(&svg);
        assert!(svg.contains(" 100<") && svg.contains(" 99.0<"), "{svg}");
        assert!(!svg.contains("heaters") && !svg.contains("through the"), "{svg}");
        let height = |flow: &Flow| flow.spots(Width::Narrow).1;
        assert!(height(&brief) < height(&flow()));
    }

    #[test]
    fn what_flows_through_a_place_is_the_larger_of_in_and_out() {
        assert_eq!(flow().through(0), 100_000.0);
        assert_eq!(flow().through(4), 100_000.0);
        assert_eq!(flow().through(6), 1_000.0);
    }
}
