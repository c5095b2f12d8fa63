//! The places of the flow picture, and the ribbons between them.

use super::super::carriers::Carriers;
use crate::answer::figures::ELECTRICITY;
use crate::answer::figures::{CarrierFigures, FlowFigures, FreeHeatFrom, OptionFigures, SourceFigures};
use crate::page::chart::{Pen, Ribbon};

/// A place of the picture. Fuels, free heat and sources are there as often as the option has them.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Place {
    Free(FreeHeatFrom),
    OwnFuel(String),
    Fuel(String),
    Electricity,
    People,
    StoreLoad,
    Source(usize, String),
    Fans,
    Lights,
    CoolStore,
    NutsIn,
    EnvelopeIn,
    AirIn,
    DryingAir,
    Evaporation,
    Extracted,
    Envelope,
    Nuts,
    Desorption,
    Loss,
    FanLoss,
    Outdoors,
}

impl Place {
    /// What it is called, and its stage from left to right.
    fn name_and_stage(&self) -> (String, usize) {
        let (name, stage) = match self {
            Self::Free(FreeHeatFrom::OutsideAir) => ("outside air", 0),
            Self::Free(FreeHeatFrom::LeavingAir) => ("air that leaves", 0),
            Self::Free(FreeHeatFrom::Sun) => ("sun", 0),
            Self::Free(FreeHeatFrom::CondenserWater) => ("condensers’ water", 0),
            Self::Free(FreeHeatFrom::Vapour) => ("condensed vapour", 0),
            Self::OwnFuel(name) => return (format!("own {name}"), 0),
            Self::Fuel(name) => return (name.clone(), 0),
            Self::Electricity => ("electricity", 0),
            Self::People => ("people", 0),
            Self::StoreLoad => ("cool-store load", 0),
            Self::Source(_, name) => return (name.clone(), 1),
            Self::Fans => ("drying fans", 1),
            Self::Lights => ("lights, people", 1),
            Self::CoolStore => ("store and units", 1),
            Self::NutsIn => ("warmth of nuts", 1),
            Self::EnvelopeIn => ("heat from outside", 1),
            Self::AirIn => ("warmth of the air", 1),
            Self::DryingAir => ("in the drying air", 2),
            Self::Evaporation => ("evaporation", 3),
            Self::Extracted => ("extracted air", 3),
            Self::Envelope => ("envelope", 3),
            Self::Nuts => ("warm nuts, steel", 3),
            Self::Desorption => ("heat of desorption", 3),
            Self::Loss => ("conversion loss", 3),
            Self::FanLoss => ("fan heat lost", 3),
            Self::Outdoors => ("heat to outdoors", 3),
        };
        (name.to_owned(), stage)
    }
}

/// The picture of one option.
#[derive(Debug)]
pub(super) struct Picture {
    places: Vec<Place>,
    /// Its ribbons.
    pub ribbons: Vec<Ribbon>,
}

impl Picture {
    /// Puts the figures of an option into their places.
    pub(super) fn of(option: &OptionFigures, carriers: &Carriers) -> Self {
        let own = |name: &str| option.carriers.get(name).map_or(0.0, own_share);
        Self::between(ribbons((&option.sources, &option.flow), own, |carrier| carriers.pale(carrier)))
    }

    /// Places in the order in which they are first met, without what is nothing but rounding.
    fn between(all: Vec<(Place, Place, f64, Pen)>) -> Self {
        let least = 1e-6 * all.iter().map(|one| one.2).fold(0.0, f64::max);
        let mut picture = Self { places: Vec::new(), ribbons: Vec::new() };
        for (from, to, kwh, pen) in all.into_iter().filter(|one| one.2 > least) {
            let (from, to) = (picture.place(from), picture.place(to));
            picture.ribbons.push(Ribbon { from, to, kwh, pen });
        }
        picture
    }

    fn place(&mut self, wanted: Place) -> usize {
        self.places.iter().position(|place| *place == wanted).unwrap_or_else(|| {
            self.places.push(wanted);
            self.places.len() - 1
        })
    }

    /// Names and stages of the places.
    pub(super) fn nodes(&self) -> Vec<(String, usize)> {
        self.places.iter().map(Place::name_and_stage).collect()
    }

    /// What comes in on the left, kWh.
    pub(super) fn comes_in(&self) -> f64 {
        let first = |ribbon: &&Ribbon| self.places[ribbon.from].name_and_stage().1 == 0;
        self.ribbons.iter().filter(first).map(|ribbon| ribbon.kwh).sum()
    }
}

/// Who gives how much to whom: every ribbon there may be. `own` is the share of a carrier that is the plant's own, and
/// `pale` its colour.
fn ribbons(
    (sources, flow): (&[SourceFigures], &FlowFigures),
    own: impl Fn(&str) -> f64,
    pale: impl Fn(&str) -> Pen,
) -> Vec<(Place, Place, f64, Pen)> {
    let electric = pale(ELECTRICITY);
    let source_place = |at: usize, source: &SourceFigures| Place::Source(at, source.name.clone());
    let mut all: Vec<(Place, Place, f64, Pen)> = Vec::new();
    let mut ribbon = |from: Place, to: Place, kwh: f64, pen: Pen| all.push((from, to, kwh, pen));
    for (at, source) in sources.iter().enumerate() {
        let to = || source_place(at, source);
        // Heat from the condensers' water comes by way of the cool store.
        match source.free_heat_from {
            Some(FreeHeatFrom::CondenserWater) => {
                ribbon(Place::CoolStore, to(), source.free_heat_kwh, Pen::Pale3);
            }
            Some(from) => ribbon(Place::Free(from), to(), source.free_heat_kwh, Pen::Pale3),
            None => {}
        }
        if let Some(name) = &source.fuel {
            let own_kwh = source.fuel_kwh * own(name);
            let pen = pale(name);
            ribbon(Place::OwnFuel(name.clone()), to(), own_kwh, pen);
            ribbon(Place::Fuel(name.clone()), to(), source.fuel_kwh - own_kwh, pen);
        }
        ribbon(Place::Electricity, to(), source.electricity_kwh, electric);
    }
    ribbon(Place::Electricity, Place::Fans, flow.fans_kwh, electric);
    ribbon(Place::Electricity, Place::Lights, flow.lights_kwh, electric);
    ribbon(Place::Electricity, Place::CoolStore, flow.store_electricity_kwh, electric);
    ribbon(Place::People, Place::Lights, flow.people_kwh, Pen::Pale5);
    ribbon(Place::StoreLoad, Place::CoolStore, flow.store_load_kwh, Pen::Pale5);
    for (at, source) in sources.iter().enumerate() {
        let carrier = source.fuel.as_deref().unwrap_or(ELECTRICITY);
        ribbon(source_place(at, source), Place::DryingAir, source.heat_kwh, pale(carrier));
    }
    let into_air = [
        (Place::Fans, flow.fan_heat_kwh, electric),
        (Place::Lights, flow.lights_kwh + flow.people_kwh, Pen::Pale5),
        (Place::CoolStore, flow.rejected_to_air_kwh, Pen::Pale3),
        (Place::NutsIn, flow.nuts_cooling_kwh, Pen::Pale5),
        (Place::EnvelopeIn, flow.envelope_gain_kwh, Pen::Pale5),
        (Place::AirIn, flow.outside_air_kwh, Pen::Pale5),
    ];
    for (from, kwh, pen) in into_air {
        ribbon(from, Place::DryingAir, kwh, pen);
    }
    let out_of_air = [
        (Place::Evaporation, flow.evaporation_kwh, Pen::Pale3),
        (Place::Extracted, flow.extracted_air_kwh, Pen::Pale5),
        (Place::Envelope, flow.envelope_kwh, Pen::Pale5),
        (Place::Nuts, flow.warming_kwh, Pen::Pale5),
        (Place::Desorption, flow.desorption_kwh, Pen::Pale3),
    ];
    for (to, kwh, pen) in out_of_air {
        ribbon(Place::DryingAir, to, kwh, pen);
    }
    for (at, source) in sources.iter().enumerate() {
        ribbon(source_place(at, source), Place::Loss, source.loss_kwh, Pen::Pale5);
    }
    ribbon(Place::Fans, Place::FanLoss, flow.fan_loss_kwh, Pen::Pale5);
    ribbon(Place::CoolStore, Place::Outdoors, flow.rejected_to_outdoors_kwh, Pen::Pale5);
    all
}

/// Share of a carrier that is the plant's own.
fn own_share(carrier: &CarrierFigures) -> f64 {
    if carrier.used_kwh > 0.0 { carrier.own_kwh / carrier.used_kwh } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(
        name: &str,
        free: Option<FreeHeatFrom>,
        [free_heat_kwh, fuel_kwh, electricity_kwh]: [f64; 3],
    ) -> SourceFigures {
        let taken_kwh = free_heat_kwh + fuel_kwh + electricity_kwh;
        SourceFigures {
            name: name.to_owned(),
            kind: String::new(),
            capacity_kw: 0.0,
            heat_kwh: 0.9 * taken_kwh,
            peak_kw: 0.0,
            electricity_kwh,
            fuel_kwh,
            fuel: (fuel_kwh > 0.0).then(|| "shells".to_owned()),
            free_heat_kwh,
            free_heat_from: free,
            loss_kwh: 0.1 * taken_kwh,
            hours: 0.0,
            starts: 0.0,
            seasonal_performance: None,
        }
    }

    /// Sources of every kind of heat, and a plant in which everything happens: no two of its flows are alike.
    fn closed() -> (Vec<SourceFigures>, FlowFigures) {
        let sources = vec![
            source("pump on the store", Some(FreeHeatFrom::CondenserWater), [310.0, 0.0, 105.0]),
            source("exchanger", Some(FreeHeatFrom::LeavingAir), [170.0, 0.0, 3.0]),
            source("burner", None, [0.0, 640.0, 11.0]),
        ];
        let heat_kwh: f64 = sources.iter().map(|source| source.heat_kwh).sum();
        let mut flow = FlowFigures {
            fans_kwh: 57.0,
            fan_heat_kwh: 50.0,
            fan_loss_kwh: 7.0,
            lights_kwh: 13.0,
            people_kwh: 5.0,
            store_electricity_kwh: 130.0,
            store_load_kwh: 390.0,
            rejected_kwh: 520.0,
            rejected_to_air_kwh: 120.0,
            rejected_to_pumps_kwh: 310.0,
            rejected_to_outdoors_kwh: 90.0,
            nuts_cooling_kwh: 17.0,
            envelope_gain_kwh: 19.0,
            outside_air_kwh: 23.0,
            extracted_air_kwh: 290.0,
            envelope_kwh: 71.0,
            warming_kwh: 61.0,
            desorption_kwh: 43.0,
            ..FlowFigures::default()
        };
        flow.air_in_kwh = heat_kwh + 50.0 + 13.0 + 5.0 + 120.0 + 17.0 + 19.0 + 23.0;
        flow.air_out_kwh = flow.air_in_kwh;
        flow.evaporation_kwh = flow.air_out_kwh - 290.0 - 71.0 - 61.0 - 43.0;
        (sources, flow)
    }

    /// A ribbon that hangs on another place than its figure speaks of leaves two places open.
    #[test]
    fn what_is_drawn_into_a_middle_place_is_drawn_out_of_it() {
        let (sources, flow) = closed();
        let all = ribbons((&sources, &flow), |_| 0.3, |_| Pen::Pale5);
        let picture = Picture::between(all);
        let sum = |is_of: &dyn Fn(&Ribbon) -> bool| -> f64 {
            picture.ribbons.iter().filter(|ribbon| is_of(ribbon)).map(|ribbon| ribbon.kwh).sum()
        };
        let mut closed = 0;
        for (at, place) in picture.places.iter().enumerate() {
            let (drawn_in, drawn_out) = (sum(&|ribbon| ribbon.to == at), sum(&|ribbon| ribbon.from == at));
            match place {
                Place::Source(..) | Place::Fans | Place::Lights | Place::CoolStore | Place::DryingAir => {
                    assert!((drawn_in - drawn_out).abs() < 1e-9, "{place:?}: {drawn_in} in, {drawn_out} out");
                    closed += 1;
                }
                Place::Free(_)
                | Place::OwnFuel(_)
                | Place::Fuel(_)
                | Place::Electricity
                | Place::People
                | Place::StoreLoad
                | Place::NutsIn
                | Place::EnvelopeIn
                | Place::AirIn => assert_eq!(drawn_in, 0.0, "{place:?}"),
                Place::Evaporation
                | Place::Extracted
                | Place::Envelope
                | Place::Nuts
                | Place::Desorption
                | Place::Loss
                | Place::FanLoss
                | Place::Outdoors => assert_eq!(drawn_out, 0.0, "{place:?}"),
            }
        }
        assert_eq!(closed, 7);
        let own: Vec<f64> = picture
            .ribbons
            .iter()
            .filter(|ribbon| picture.places[ribbon.from] == Place::OwnFuel("shells".to_owned()))
            .map(|ribbon| ribbon.kwh)
            .collect();
        assert_eq!(own, [0.3 * 640.0]);
    }
}
