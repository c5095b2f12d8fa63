//! Nuts that are moved: a bed turned over, and a bed that is filled on.

use super::bed::Bed;
use super::layer::Layer;
use super::nuts::Nuts;

/// Sums over nuts that come to lie in one layer, for each kg of dry matter of the bed.
#[derive(Clone, Copy, Default)]
struct Heap {
    dry: f64,
    water: f64,
    received_water: f64,
    enthalpy: f64,
}

impl Heap {
    fn add(&mut self, layer: &Layer, dry: f64, nuts: &Nuts) {
        self.dry += dry;
        self.water += dry * layer.moisture;
        self.received_water += dry * layer.received_moisture;
        self.enthalpy += dry * nuts.enthalpy(layer.moisture, layer.temperature_c);
    }

    fn layer(&self, nuts: &Nuts) -> Layer {
        let moisture = self.water / self.dry;
        Layer {
            received_moisture: self.received_water / self.dry,
            ..Layer::new(moisture, self.enthalpy / self.dry / nuts.heat_capacity(moisture))
        }
    }
}

impl Bed {
    /// The same nuts turned over: every layer at their mean moisture and temperature. Their water and
    /// enthalpy stay.
    #[must_use]
    pub fn mixed(&self, nuts: &Nuts, layers: usize) -> Self {
        let mut all = Heap::default();
        for layer in &self.layers {
            all.add(layer, 1.0, nuts);
        }
        Self::of_layers(vec![all.layer(nuts); layers.max(1)], self.dry_matter_kg)
    }

    /// The bed with more nuts on top, in as many equal layers as before: each is now thicker, and what
    /// comes to lie in one is mixed. Water and enthalpy add up.
    #[must_use]
    pub fn filled_on(&self, nuts: &Nuts, dry_matter_kg: f64, moisture: f64, t_c: f64) -> Self {
        let count = self.layers.len() as f64;
        let whole = self.dry_matter_kg + dry_matter_kg;
        let there = self.dry_matter_kg / whole;
        let top = Layer::new(moisture, t_c);
        // Bottom and top of each old layer, and of the new nuts, as shares of the whole.
        let old = self.layers.iter().enumerate().map(|(place, layer)| {
            let place = place as f64;
            (layer, place / count * there, (place + 1.0) / count * there)
        });
        let lying: Vec<(&Layer, f64, f64)> = old.chain([(&top, there, 1.0)]).collect();
        let layers = (0..self.layers.len())
            .map(|place| {
                let (low, high) = (place as f64 / count, (place as f64 + 1.0) / count);
                let mut heap = Heap::default();
                for &(layer, from, to) in &lying {
                    let shared = to.min(high) - from.max(low);
                    if shared > 0.0 {
                        heap.add(layer, shared, nuts);
                    }
                }
                heap.layer(nuts)
            })
            .collect();
        Self::of_layers(layers, whole)
    }

    fn of_layers(layers: Vec<Layer>, dry_matter_kg: f64) -> Self {
        let mut bed = Self::new(layers.len(), dry_matter_kg, 0.0, 0.0);
        bed.set_layers(layers);
        bed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A bed that dries from below, filled on and turned over.
    #[test]
    fn moving_nuts_neither_makes_nor_loses_water_or_heat() {
        let nuts = Nuts::INVENTED;
        let layers = (0..7).map(|place| Layer::new(0.10 + 0.02 * f64::from(place), 38.0 - f64::from(place)));
        let bed = Bed::of_layers(layers.collect(), 900.0);
        let fuller = bed.filled_on(&nuts, 500.0, 0.28, 15.0);
        assert_relative_eq!(fuller.water_kg(), bed.water_kg() + 500.0 * 0.28, max_relative = 1e-12);
        let brought = 500.0 * nuts.enthalpy(0.28, 15.0);
        let both = bed.enthalpy_kj(&nuts) + brought;
        assert_relative_eq!(fuller.enthalpy_kj(&nuts), both, max_relative = 1e-12);
        // The bottom is as it was, the top is new.
        assert_relative_eq!(fuller.layers()[6].moisture, 0.28, max_relative = 1e-12);
        assert!(fuller.layers()[0].moisture < 0.12);
        let turned = fuller.mixed(&nuts, 5);
        assert_eq!(turned.layers().len(), 5);
        assert_relative_eq!(turned.water_kg(), fuller.water_kg(), max_relative = 1e-12);
        assert_relative_eq!(turned.enthalpy_kj(&nuts), both, max_relative = 1e-12);
    }
}
