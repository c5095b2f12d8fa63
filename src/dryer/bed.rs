//! A bed: layers of nuts in the direction of flow.

use super::layer::{Ahead, Crossing, Layer, Trace, cross_abreast};
use super::nuts::Nuts;
use crate::air::AirState;
use crate::lanes::{Wide, as_wide_as_can_be};

/// Nuts in layers from the air inlet up.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    pub(super) layers: Vec<Layer>,
    /// Layers after the step last tried; they take effect on [`Bed::accept`].
    tried: Vec<Layer>,
    /// What is known of each layer's step before it is tried; empty until one is.
    ahead: Vec<Ahead>,
    /// Air and time that it is known for: kg per kg of dry matter, Pa, h.
    ahead_for: (f64, f64, f64),
    /// Where searches start that are made for another state than the one that becomes the bed's; empty
    /// until there is one.
    aside: Vec<Trace>,
    pub(super) dry_matter_kg: f64,
    /// Temperature of the air that the step last tried began with, °C; `None` before one, or without air.
    inlet_c: Option<f64>,
}

/// What nothing is known ahead for.
const NOT_YET: (f64, f64, f64) = (0.0, 0.0, 0.0);

/// What a step did to the air and the nuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Air leaving the last layer.
    pub outlet: AirState,
    /// Water the nuts gave to the air, kg; negative when they took it up.
    pub evaporated_kg: f64,
    /// Enthalpy that the air left in the bed, kJ; negative when it took some along.
    pub absorbed_kj: f64,
}

/// Nuts at a place in a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutsAt {
    /// Moisture, dry basis.
    pub moisture: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

impl NutsAt {
    fn of(layer: &Layer) -> Self {
        Self { moisture: layer.moisture, temperature_c: layer.temperature_c }
    }
}

/// The wettest that nuts at the face of a layer can be: no wetter than received, unless damp air has
/// rewetted the layer. The face then went further than the layer did, and is taken to have gone no more
/// than twice as far.
fn wettest_at_face(layer: &Layer) -> f64 {
    layer.received_moisture.max(2.0 * layer.moisture - layer.received_moisture)
}

/// A step being tried: air on its way through the layers of a bed.
#[derive(Debug)]
pub(super) struct Trial<'b> {
    bed: &'b mut Bed,
    nuts: &'b Nuts,
    inlet: AirState,
    dry_air_kg: f64,
    /// For how long it passes, h.
    hours: f64,
    pressure_pa: f64,
    /// kg of dry air per kg of dry matter of a layer.
    air_per_dry_matter: f64,
    /// Air behind the last layer crossed.
    air: AirState,
    /// Water by which the start of the last layer's search fell short, kg/kg.
    missed_by: f64,
}

impl<'b> Trial<'b> {
    /// `dry_air_kg` of air before the bed, which it passes in some hours at this pressure, Pa.
    pub(super) fn new(
        bed: &'b mut Bed,
        nuts: &'b Nuts,
        inlet: AirState,
        (dry_air_kg, hours): (f64, f64),
        pressure_pa: f64,
    ) -> Self {
        let per_layer = bed.dry_matter_kg / bed.layers.len() as f64;
        bed.inlet_c = (dry_air_kg > 0.0).then_some(inlet.dry_bulb_c);
        Self {
            bed,
            nuts,
            inlet,
            dry_air_kg,
            hours,
            pressure_pa,
            air_per_dry_matter: dry_air_kg / per_layer,
            air: inlet,
            missed_by: 0.0,
        }
    }

    /// True if no air passes, or for no time: all stays as it is.
    fn stands_still(&self) -> bool {
        self.air_per_dry_matter <= 0.0 || self.hours <= 0.0
    }

    /// Leaves every layer as it is.
    fn stand_still(&mut self) {
        for (layer, tried) in self.bed.layers.iter().zip(&mut self.bed.tried) {
            *tried = Layer { trace: tried.trace, ..*layer };
        }
    }

    /// What comes to this layer, counted from the inlet.
    #[inline(always)]
    fn crossing(&self, place: usize) -> Crossing {
        // The last trial, of this step or the one before, is the best place to start from, but for what
        // the layer below has just missed by: the same air comes on.
        let trace = self.bed.tried[place].trace.moved_by(self.missed_by);
        Crossing {
            start: Layer { trace, ..self.bed.layers[place] },
            ahead: self.bed.ahead[place],
            inlet: self.air,
            air_per_dry_matter: self.air_per_dry_matter,
            pressure_pa: self.pressure_pa,
            hours: self.hours,
        }
    }

    /// This layer has been crossed.
    #[inline(always)]
    fn crossed(&mut self, place: usize, (air, layer): (AirState, Layer)) {
        let tried = &mut self.bed.tried[place];
        self.missed_by = layer.trace.ahead_by(&tried.trace);
        *tried = layer;
        self.air = air;
    }

    /// What the step does, once every layer is crossed.
    pub(super) fn passage(&self) -> Passage {
        let (inlet, outlet) = (self.inlet, self.air);
        Passage {
            outlet,
            evaporated_kg: self.dry_air_kg * (outlet.humidity_ratio - inlet.humidity_ratio),
            absorbed_kj: self.dry_air_kg * (inlet.enthalpy() - outlet.enthalpy()),
        }
    }
}

/// Air crosses all layers of beds that do not depend on each other, layer by layer of all of them side by side.
pub(super) fn cross_side_by_side(trials: &mut [Trial<'_>]) {
    as_wide_as_can_be(SideBySide(trials));
}

struct SideBySide<'t, 'b>(&'t mut [Trial<'b>]);

impl Wide for SideBySide<'_, '_> {
    type Done = ();

    #[inline(always)]
    fn done(self) {
        let Self(trials) = self;
        // Places of the trials in which air passes; those of like nuts follow each other.
        let mut open: Vec<usize> = Vec::with_capacity(trials.len());
        for (at, trial) in trials.iter_mut().enumerate() {
            trial.bed.look_ahead(trial.nuts, (trial.air_per_dry_matter, trial.pressure_pa, trial.hours));
            if trial.stands_still() {
                trial.stand_still();
            } else {
                open.push(at);
            }
        }
        while let Some(&first) = open.first() {
            let nuts = trials[first].nuts;
            let (like, others): (Vec<usize>, Vec<usize>) =
                open.into_iter().partition(|&at| std::ptr::eq(trials[at].nuts, nuts) || *trials[at].nuts == *nuts);
            let layers = like.iter().map(|&at| trials[at].bed.layers.len()).max().unwrap_or(0);
            for place in 0..layers {
                let mut rest: &[usize] = &like;
                while !rest.is_empty() {
                    let taken;
                    (taken, rest) = rest.split_at(rest.len().min(MANY));
                    match taken.len() {
                        1 => cross_layer::<1>(trials, taken, nuts, place),
                        2..=FEW => cross_layer::<FEW>(trials, taken, nuts, place),
                        _ => cross_layer::<MANY>(trials, taken, nuts, place),
                    }
                }
            }
            open = others;
        }
    }
}

/// So many beds, at most, are crossed at a time; and so many where no more are left.
const MANY: usize = 8;
const FEW: usize = 4;

/// Air crosses one layer, counted from the inlet, of each of up to `N` beds; a bed that has no such layer is through.
#[inline(always)]
fn cross_layer<const N: usize>(trials: &mut [Trial<'_>], places: &[usize], nuts: &Nuts, layer: usize) {
    let has_layer = |at: usize| trials[at].bed.layers.len() > layer;
    let Some(&any) = places.iter().find(|&&at| has_layer(at)) else {
        return;
    };
    // A lane without a bed does as another does, and nothing comes of it.
    let at: [usize; N] =
        std::array::from_fn(|lane| places.get(lane).copied().filter(|&at| has_layer(at)).unwrap_or(any));
    let crossings: [Crossing; N] = std::array::from_fn(|lane| trials[at[lane]].crossing(layer));
    let crossed = cross_abreast(nuts, &crossings);
    for (lane, of_lane) in crossed.into_iter().enumerate() {
        let is_spare = at[..lane].contains(&at[lane]);
        if !is_spare {
            trials[at[lane]].crossed(layer, of_lane);
        }
    }
}

/// The same air passes a bed for several steps on end. A layer's step needs the layer before it in that step, and
/// itself in the step before: what lies on a diagonal of steps and layers does not depend on each other.
struct OnEnd<'b> {
    bed: &'b mut Bed,
    nuts: &'b Nuts,
    inlet: AirState,
    /// Of one step, kg per kg of dry matter of a layer.
    air_per_dry_matter: f64,
    /// Of one step, h.
    hours: f64,
    pressure_pa: f64,
    steps: usize,
}

/// A step on its way through the layers.
#[derive(Clone, Copy)]
struct OnTheWay {
    air: AirState,
    missed_by: f64,
}

impl Wide for OnEnd<'_> {
    type Done = ();

    #[inline(always)]
    fn done(self) {
        if self.steps <= FEW { self.cross::<FEW>() } else { self.cross::<MANY>() }
    }
}

impl OnEnd<'_> {
    /// So many steps at a time at most.
    #[inline(always)]
    fn cross<const N: usize>(mut self) {
        let layers = self.bed.layers.len();
        let mut steps = self.steps;
        while steps > 0 {
            let together = steps.min(N);
            let mut on_the_way = [OnTheWay { air: self.inlet, missed_by: 0.0 }; N];
            for diagonal in 0..layers + together - 1 {
                self.cross_diagonal(diagonal, together, &mut on_the_way);
            }
            steps -= together;
        }
    }

    /// Each step crosses its layer of this diagonal: the first step the layer of the diagonal's number, the next the
    /// one before.
    #[inline(always)]
    fn cross_diagonal<const N: usize>(&mut self, diagonal: usize, steps: usize, on_the_way: &mut [OnTheWay; N]) {
        let bed = &mut *self.bed;
        let (first, last) = ((diagonal + 1).saturating_sub(bed.layers.len()), diagonal.min(steps - 1));
        // A lane without a layer does as another does, and nothing comes of it.
        let of: [usize; N] = std::array::from_fn(|lane| lane.clamp(first, last));
        let start: [Layer; N] = std::array::from_fn(|lane| {
            let place = diagonal - of[lane];
            let trace = bed.tried[place].trace.moved_by(on_the_way[of[lane]].missed_by);
            Layer { trace, ..bed.layers[place] }
        });
        let (air, hours) = (self.air_per_dry_matter, self.hours);
        let layers: [&Layer; N] = std::array::from_fn(|lane| &start[lane]);
        let ahead = Ahead::of(layers, self.nuts, air, self.pressure_pa, hours);
        let crossings: [Crossing; N] = std::array::from_fn(|lane| Crossing {
            start: start[lane],
            ahead: ahead[lane],
            inlet: on_the_way[of[lane]].air,
            air_per_dry_matter: air,
            pressure_pa: self.pressure_pa,
            hours,
        });
        let crossed = cross_abreast(self.nuts, &crossings);
        for (lane, (air, layer)) in crossed.into_iter().enumerate().take(last + 1).skip(first) {
            let place = diagonal - lane;
            let missed_by = layer.trace.ahead_by(&bed.tried[place].trace);
            on_the_way[lane] = OnTheWay { air, missed_by };
            bed.tried[place] = layer;
            bed.accept_layer(place);
        }
    }
}

impl Bed {
    /// A bed of `layers` equal layers that hold `dry_matter_kg` together.
    pub fn new(layers: usize, dry_matter_kg: f64, moisture: f64, temperature_c: f64) -> Self {
        let layers = vec![Layer::new(moisture, temperature_c); layers.max(1)];
        Self {
            tried: layers.clone(),
            ahead: Vec::with_capacity(layers.len()),
            ahead_for: NOT_YET,
            aside: Vec::new(),
            layers,
            dry_matter_kg,
            inlet_c: None,
        }
    }

    /// Puts these layers in place of those there are.
    pub(super) fn set_layers(&mut self, layers: Vec<Layer>) {
        self.tried.clone_from(&layers);
        self.ahead.clear();
        self.aside.clear();
        self.inlet_c = None;
        self.layers = layers;
    }

    /// Finds what is known of each layer's step with so much air before it is tried, unless it is found.
    #[inline(always)]
    fn look_ahead(&mut self, nuts: &Nuts, with: (f64, f64, f64)) {
        if self.ahead.len() == self.layers.len() && self.ahead_for == with {
            return;
        }
        let (air_per_dry_matter, pressure_pa, hours) = with;
        self.ahead.clear();
        for layers in self.layers.chunks(FEW) {
            // A lane without a layer does as the first does.
            let of: [&Layer; FEW] = std::array::from_fn(|lane| layers.get(lane).unwrap_or(&layers[0]));
            let ahead = Ahead::of(of, nuts, air_per_dry_matter, pressure_pa, hours);
            self.ahead.extend_from_slice(&ahead[..layers.len()]);
        }
        self.ahead_for = with;
    }

    /// Tries one step with `dry_air_kg` of air over `hours`; nothing changes until [`Bed::accept`].
    pub fn try_step(&mut self, nuts: &Nuts, inlet: AirState, dry_air_kg: f64, pressure_pa: f64, hours: f64) -> Passage {
        let mut trial = [Trial::new(self, nuts, inlet, (dry_air_kg, hours), pressure_pa)];
        cross_side_by_side(&mut trial);
        trial[0].passage()
    }

    /// Makes the step last tried the bed's state.
    pub fn accept(&mut self) {
        for place in 0..self.layers.len() {
            self.accept_layer(place);
        }
        self.ahead.clear();
        self.ahead_for = NOT_YET;
    }

    #[inline(always)]
    fn accept_layer(&mut self, place: usize) {
        let (layer, tried) = (&mut self.layers[place], &mut self.tried[place]);
        let ahead = tried.trace.ahead_of(&layer.trace);
        *layer = *tried;
        tried.trace = ahead;
    }

    /// Lets the same air pass for so many steps on end, `dry_air_kg` over `hours` in each: as if each were tried and
    /// accepted, and quicker.
    pub(super) fn pass_on_end(
        &mut self,
        nuts: &Nuts,
        inlet: AirState,
        (dry_air_kg, hours): (f64, f64),
        pressure_pa: f64,
        steps: usize,
    ) {
        let per_layer = self.dry_matter_kg / self.layers.len() as f64;
        let air_per_dry_matter = dry_air_kg / per_layer;
        self.inlet_c = (dry_air_kg > 0.0).then_some(inlet.dry_bulb_c);
        self.ahead.clear();
        self.ahead_for = NOT_YET;
        if air_per_dry_matter > 0.0 && hours > 0.0 {
            as_wide_as_can_be(OnEnd { bed: self, nuts, inlet, air_per_dry_matter, hours, pressure_pa, steps });
        }
    }

    /// Trials that follow are made for another state than those before, or for that one again: each kind
    /// starts where the last of its own ended.
    pub(super) fn turn_aside(&mut self) {
        if self.aside.is_empty() {
            self.aside.extend(self.tried.iter().map(|layer| layer.trace));
        }
        for (layer, aside) in self.tried.iter_mut().zip(&mut self.aside) {
            std::mem::swap(&mut layer.trace, aside);
        }
    }

    /// The layers, inlet first.
    pub fn layers(&self) -> &[Layer] {
        &self.layers
    }

    /// The air, °C, that each layer met in the last step, and the layer's moisture, dry basis; nothing where no
    /// air came.
    pub fn air_met(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let behind = self.layers.iter().map(|layer| layer.temperature_c);
        let before = self.inlet_c.into_iter().chain(behind);
        let met = before.zip(&self.layers).map(|(air_c, layer)| (air_c, layer.moisture));
        met.take(if self.inlet_c.is_some() { self.layers.len() } else { 0 })
    }

    /// Dry matter, kg.
    pub fn dry_matter_kg(&self) -> f64 {
        self.dry_matter_kg
    }

    /// Mean moisture, dry basis.
    pub fn mean_moisture(&self) -> f64 {
        self.layers.iter().map(|layer| layer.moisture).sum::<f64>() / self.layers.len() as f64
    }

    /// The wettest nuts of the bed. A layer is as wet as its nuts on average; those at a face of the bed
    /// are as much wetter or drier as the two layers next to it differ (a straight line through them), so
    /// that what is found hardly depends on the number of layers.
    pub fn wettest(&self) -> NutsAt {
        self.ends_and_layers()
            .reduce(|a, b| if b.moisture > a.moisture { b } else { a })
            .unwrap_or_else(|| NutsAt::of(&self.layers[0]))
    }

    /// The driest nuts of the bed, found in the same way.
    pub fn driest(&self) -> NutsAt {
        self.ends_and_layers()
            .reduce(|a, b| if b.moisture < a.moisture { b } else { a })
            .unwrap_or_else(|| NutsAt::of(&self.layers[0]))
    }

    /// Nuts at both faces of the bed and in the middle of every layer.
    fn ends_and_layers(&self) -> impl Iterator<Item = NutsAt> + '_ {
        let face = |at: usize, inside: usize| {
            let (outer, inner) = (self.layers.get(at)?, self.layers.get(inside)?);
            let beyond = 0.5 * (outer.moisture - inner.moisture);
            Some(NutsAt {
                moisture: (outer.moisture + beyond).clamp(0.0, wettest_at_face(outer)),
                temperature_c: outer.temperature_c,
            })
        };
        let last = self.layers.len() - 1;
        let faces = [face(0, 1), face(last, last.wrapping_sub(1))];
        let faces = faces.into_iter().flatten();
        faces.chain(self.layers.iter().map(NutsAt::of))
    }

    /// Water held, kg.
    pub fn water_kg(&self) -> f64 {
        self.mean_moisture() * self.dry_matter_kg
    }

    /// Mass of the nuts with their water, kg.
    pub fn mass_kg(&self) -> f64 {
        self.dry_matter_kg + self.water_kg()
    }

    /// Sensible enthalpy of the nuts and their water, kJ from 0 °C.
    pub fn enthalpy_kj(&self, nuts: &Nuts) -> f64 {
        let per_layer = self.dry_matter_kg / self.layers.len() as f64;
        self.layers.iter().map(|layer| per_layer * nuts.enthalpy(layer.moisture, layer.temperature_c)).sum()
    }

    /// Heat that freed bound water between the state before and after the step last tried, kJ: what
    /// the air's enthalpy does not carry. Positive while drying.
    pub fn binding_kj_of_step(&self) -> f64 {
        let per_layer = self.dry_matter_kg / self.layers.len() as f64;
        self.layers
            .iter()
            .zip(&self.tried)
            .zip(&self.ahead)
            .map(|((before, after), ahead)| per_layer * (before.moisture - after.moisture) * ahead.binding_kj_per_kg)
            .sum()
    }

    /// Mean temperature weighted by heat capacity, °C.
    pub fn mean_temperature_c(&self, nuts: &Nuts) -> f64 {
        let capacity: f64 = self.layers.iter().map(|layer| nuts.heat_capacity(layer.moisture)).sum();
        self.layers.iter().map(|layer| nuts.enthalpy(layer.moisture, layer.temperature_c)).sum::<f64>() / capacity
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn half_dried(layers: usize) -> Bed {
        let mut bed = Bed::new(layers, 1000.0, 0.28, 20.0);
        let inlet = AirState { dry_bulb_c: 40.0, humidity_ratio: 0.012 };
        for _ in 0..48 {
            bed.try_step(&Nuts::INVENTED, inlet, 600.0, 95_000.0, 1.0);
            bed.accept();
        }
        bed
    }

    #[test]
    fn steps_on_end_are_steps_one_by_one() {
        for (layers, steps) in [(12, 8), (12, 3), (3, 8), (1, 5), (20, 19)] {
            let mut one_by_one = half_dried(layers);
            let mut on_end = one_by_one.clone();
            let inlet = AirState { dry_bulb_c: 12.0, humidity_ratio: 0.006 };
            for _ in 0..steps {
                one_by_one.try_step(&Nuts::INVENTED, inlet, 500.0, 95_000.0, 0.75);
                one_by_one.accept();
            }
            on_end.pass_on_end(&Nuts::INVENTED, inlet, (500.0, 0.75), 95_000.0, steps);
            assert!(one_by_one.mean_temperature_c(&Nuts::INVENTED) < 30.0);
            assert_eq!(
                (on_end.layers(), on_end.inlet_c),
                (one_by_one.layers(), one_by_one.inlet_c),
                "{layers} {steps}"
            );
        }
    }

    #[test]
    fn the_wettest_nuts_hardly_depend_on_the_number_of_layers() {
        let (few, many) = (half_dried(6), half_dried(60));
        let wettest_of_layers = |bed: &Bed| bed.layers()[bed.layers().len() - 1].moisture;
        let by_face = (few.wettest().moisture - many.wettest().moisture).abs();
        let by_layer = (wettest_of_layers(&few) - wettest_of_layers(&many)).abs();
        assert!(by_face < 0.5 * by_layer, "{by_face} {by_layer}");
        assert!(few.driest().moisture < few.layers()[0].moisture);
    }

    /// Cold damp air on warm dry nuts: the inlet face takes up water first.
    fn rewetted(layers: usize, steps_per_hour: u32) -> Bed {
        let mut bed = Bed::new(layers, 1000.0, 0.12, 25.0);
        let inlet = AirState { dry_bulb_c: 8.0, humidity_ratio: 0.0067 };
        let hours = 1.0 / f64::from(steps_per_hour);
        for _ in 0..48 * steps_per_hour {
            bed.try_step(&Nuts::INVENTED, inlet, 600.0 * hours, 95_000.0, hours);
            bed.accept();
        }
        bed
    }

    #[test]
    fn a_rewetted_face_is_as_wet_by_few_layers_as_by_many() {
        let (few, many) = (rewetted(12, 1), rewetted(60, 6));
        assert!(many.wettest().moisture > 0.13, "rewetted: {:?}", many.wettest());
        let taken_up = many.wettest().moisture - 0.12;
        let by_face = (few.wettest().moisture - many.wettest().moisture).abs();
        let by_layer = (few.layers()[0].moisture - many.wettest().moisture).abs();
        assert!(by_face < 0.03 * taken_up && by_face < 0.3 * by_layer, "{by_face} {by_layer}");
    }

    #[test]
    fn nuts_at_a_face_that_was_not_rewetted_are_never_wetter_than_received() {
        let bed = half_dried(6).filled_on(&Nuts::INVENTED, 150.0, 0.28, 20.0);
        assert!(bed.wettest().moisture <= 0.28 + 1e-12);
        let one = Bed::new(1, 1000.0, 0.28, 20.0);
        assert_eq!((one.wettest(), one.driest()), (one.wettest(), one.wettest()));
    }
}
