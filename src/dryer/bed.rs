//! A bed: layers of nuts in the direction of flow.

use super::layer::{AirAt, Layer, Trace};
use super::nuts::Nuts;

/// Nuts in layers from the air inlet up.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    pub(super) layers: Vec<Layer>,
    /// Layers after the step last tried; they take effect on [`Bed::accept`].
    tried: Vec<Layer>,
    /// Heat that frees bound water in each layer as it stands, kJ/kg; empty until a step is tried.
    binding_kj_per_kg: Vec<f64>,
    /// Where searches start that are made for another state than the one that becomes the bed's; empty
    /// until there is one.
    aside: Vec<Trace>,
    pub(super) dry_matter_kg: f64,
}

/// What a step did to the air and the nuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Air leaving the last layer.
    pub outlet: AirAt,
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

/// A step being tried: air on its way through the layers of a bed.
#[derive(Debug)]
pub(super) struct Trial<'b> {
    bed: &'b mut Bed,
    nuts: &'b Nuts,
    inlet: AirAt,
    dry_air_kg: f64,
    /// For how long it passes, h.
    hours: f64,
    /// kg of dry air per kg of dry matter of a layer.
    air_per_dry_matter: f64,
    /// Air behind the last layer crossed.
    air: AirAt,
    /// Water by which the start of the last layer's search fell short, kg/kg.
    missed_by: f64,
}

impl<'b> Trial<'b> {
    /// `dry_air_kg` of air before the bed, which it passes in some hours.
    pub fn new(
        bed: &'b mut Bed,
        nuts: &'b Nuts,
        inlet: AirAt,
        (dry_air_kg, hours): (f64, f64),
    ) -> Self {
        if bed.binding_kj_per_kg.is_empty() {
            let binding =
                |layer: &Layer| nuts.binding_kj_per_kg(layer.temperature_c, layer.moisture);
            bed.binding_kj_per_kg.extend(bed.layers.iter().map(binding));
        }
        let per_layer = bed.dry_matter_kg / bed.layers.len() as f64;
        Self {
            bed,
            nuts,
            inlet,
            dry_air_kg,
            hours,
            air_per_dry_matter: dry_air_kg / per_layer,
            air: inlet,
            missed_by: 0.0,
        }
    }

    /// Crosses one layer, counted from the inlet; nothing where the bed has no such layer.
    fn cross(&mut self, place: usize, pressure_pa: f64) {
        let (Some(layer), Some(tried)) =
            (self.bed.layers.get(place), self.bed.tried.get_mut(place))
        else {
            return;
        };
        // The last trial, of this step or the one before, is the best place to start from, but for what
        // the layer below has just missed by: the same air comes on.
        let guess = tried.trace;
        let start = Layer { trace: guess.moved_by(self.missed_by), ..*layer };
        (self.air, *tried) = start.cross_bound(
            self.nuts,
            self.bed.binding_kj_per_kg[place],
            self.air,
            self.air_per_dry_matter,
            pressure_pa,
            self.hours,
        );
        self.missed_by = tried.trace.ahead_by(&guess);
    }

    /// What the step does, once every layer is crossed.
    pub fn passage(&self) -> Passage {
        let (inlet, outlet) = (self.inlet, self.air);
        Passage {
            outlet,
            evaporated_kg: self.dry_air_kg * (outlet.humidity_ratio - inlet.humidity_ratio),
            absorbed_kj: self.dry_air_kg * (inlet.enthalpy() - outlet.enthalpy()),
        }
    }
}

/// Air crosses all layers of beds that do not depend on each other, layer by layer of all of them: a
/// processor that waits for one bed's logarithms works on the next bed's meanwhile.
pub(super) fn cross_side_by_side(trials: &mut [Trial<'_>], pressure_pa: f64) {
    let layers = trials.iter().map(|trial| trial.bed.layers.len()).max();
    for place in 0..layers.unwrap_or(0) {
        for trial in &mut *trials {
            trial.cross(place, pressure_pa);
        }
    }
}

impl Bed {
    /// A bed of `layers` equal layers that hold `dry_matter_kg` together.
    pub fn new(layers: usize, dry_matter_kg: f64, moisture: f64, temperature_c: f64) -> Self {
        let layers = vec![Layer::new(moisture, temperature_c); layers.max(1)];
        Self {
            tried: layers.clone(),
            binding_kj_per_kg: Vec::with_capacity(layers.len()),
            aside: Vec::new(),
            layers,
            dry_matter_kg,
        }
    }

    /// Puts these layers in place of those there are.
    pub(super) fn set_layers(&mut self, layers: Vec<Layer>) {
        self.tried.clone_from(&layers);
        self.binding_kj_per_kg.clear();
        self.aside.clear();
        self.layers = layers;
    }

    /// Tries one step with `dry_air_kg` of air over `hours`; nothing changes until [`Bed::accept`].
    pub fn try_step(
        &mut self,
        nuts: &Nuts,
        inlet: AirAt,
        dry_air_kg: f64,
        pressure_pa: f64,
        hours: f64,
    ) -> Passage {
        let mut trial = [Trial::new(self, nuts, inlet, (dry_air_kg, hours))];
        cross_side_by_side(&mut trial, pressure_pa);
        trial[0].passage()
    }

    /// Makes the step last tried the bed's state.
    pub fn accept(&mut self) {
        for (layer, tried) in self.layers.iter_mut().zip(&mut self.tried) {
            let ahead = tried.trace.ahead_of(&layer.trace);
            *layer = *tried;
            tried.trace = ahead;
        }
        self.binding_kj_per_kg.clear();
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

    /// Dry matter, kg.
    pub fn dry_matter_kg(&self) -> f64 {
        self.dry_matter_kg
    }

    /// Mean moisture, dry basis.
    pub fn mean_moisture(&self) -> f64 {
        self.layers.iter().map(|layer| layer.moisture).sum::<f64>() / self.layers.len() as f64
    }

    /// The wettest nuts of the bed. A layer is as wet as its nuts in the mean; those at a face of the bed
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
            let wettest = outer.received_moisture.max(outer.moisture);
            Some(NutsAt {
                moisture: (outer.moisture + beyond).clamp(0.0, wettest),
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
        self.layers
            .iter()
            .map(|layer| per_layer * nuts.enthalpy(layer.moisture, layer.temperature_c))
            .sum()
    }

    /// Heat that freed bound water between the state before and after the step last tried, kJ: what
    /// the air's enthalpy does not carry. Positive while drying.
    pub fn binding_kj_of_step(&self) -> f64 {
        let per_layer = self.dry_matter_kg / self.layers.len() as f64;
        self.layers
            .iter()
            .zip(&self.tried)
            .zip(&self.binding_kj_per_kg)
            .map(|((before, after), binding)| {
                per_layer * (before.moisture - after.moisture) * binding
            })
            .sum()
    }

    /// Mean temperature weighted by heat capacity, °C.
    pub fn mean_temperature_c(&self, nuts: &Nuts) -> f64 {
        let capacity: f64 =
            self.layers.iter().map(|layer| nuts.heat_capacity(layer.moisture)).sum();
        self.layers
            .iter()
            .map(|layer| nuts.enthalpy(layer.moisture, layer.temperature_c))
            .sum::<f64>()
            / capacity
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn half_dried(layers: usize) -> Bed {
        let mut bed = Bed::new(layers, 1000.0, 0.28, 20.0);
        let inlet = AirAt { dry_bulb_c: 40.0, humidity_ratio: 0.012 };
        for _ in 0..48 {
            bed.try_step(&Nuts::INVENTED, inlet, 600.0, 95_000.0, 1.0);
            bed.accept();
        }
        bed
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

    #[test]
    fn nuts_at_a_face_are_never_wetter_than_received() {
        let bed = half_dried(6).filled_on(&Nuts::INVENTED, 150.0, 0.28, 20.0);
        assert!(bed.wettest().moisture <= 0.28 + 1e-12);
        let one = Bed::new(1, 1000.0, 0.28, 20.0);
        assert_eq!((one.wettest(), one.driest()), (one.wettest(), one.wettest()));
    }
}
