//! A bed: layers of nuts in the direction of flow.

use super::layer::{AirAt, Layer};
use super::nuts::Nuts;

/// Nuts in layers from the air inlet up.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    pub(super) layers: Vec<Layer>,
    /// Layers after the step last tried; they take effect on [`Bed::accept`].
    tried: Vec<Layer>,
    /// Heat that frees bound water in each layer as it stands, kJ/kg; empty until a step is tried.
    binding_kj_per_kg: Vec<f64>,
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

/// A step being tried: air on its way through the layers of a bed.
#[derive(Debug)]
pub(super) struct Trial<'b> {
    bed: &'b mut Bed,
    nuts: &'b Nuts,
    inlet: AirAt,
    dry_air_kg: f64,
    /// kg of dry air per kg of dry matter of a layer.
    air_per_dry_matter: f64,
    /// Air behind the last layer crossed.
    air: AirAt,
}

impl<'b> Trial<'b> {
    /// `dry_air_kg` of air before the bed.
    pub fn new(bed: &'b mut Bed, nuts: &'b Nuts, inlet: AirAt, dry_air_kg: f64) -> Self {
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
            air_per_dry_matter: dry_air_kg / per_layer,
            air: inlet,
        }
    }

    /// Crosses one layer, counted from the inlet; nothing where the bed has no such layer.
    fn cross(&mut self, place: usize, pressure_pa: f64, hours: f64) {
        let (Some(layer), Some(tried)) =
            (self.bed.layers.get(place), self.bed.tried.get_mut(place))
        else {
            return;
        };
        // The last trial, of this step or the one before, is the best place to start from.
        let start = Layer {
            trace: tried.trace,
            ..*layer
        };
        (self.air, *tried) = start.cross_bound(
            self.nuts,
            self.bed.binding_kj_per_kg[place],
            self.air,
            self.air_per_dry_matter,
            pressure_pa,
            hours,
        );
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
pub(super) fn cross_side_by_side(trials: &mut [Trial<'_>], pressure_pa: f64, hours: f64) {
    let layers = trials.iter().map(|trial| trial.bed.layers.len()).max();
    for place in 0..layers.unwrap_or(0) {
        for trial in &mut *trials {
            trial.cross(place, pressure_pa, hours);
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
            layers,
            dry_matter_kg,
        }
    }

    /// Puts these layers in place of those there are.
    pub(super) fn set_layers(&mut self, layers: Vec<Layer>) {
        self.tried.clone_from(&layers);
        self.binding_kj_per_kg.clear();
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
        let mut trial = [Trial::new(self, nuts, inlet, dry_air_kg)];
        cross_side_by_side(&mut trial, pressure_pa, hours);
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

    /// Moisture of the wettest layer, dry basis.
    pub fn wettest(&self) -> &Layer {
        let mut wettest = &self.layers[0];
        for layer in &self.layers {
            if layer.moisture > wettest.moisture {
                wettest = layer;
            }
        }
        wettest
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
        let capacity: f64 = self
            .layers
            .iter()
            .map(|layer| nuts.heat_capacity(layer.moisture))
            .sum();
        self.layers
            .iter()
            .map(|layer| nuts.enthalpy(layer.moisture, layer.temperature_c))
            .sum::<f64>()
            / capacity
    }
}
