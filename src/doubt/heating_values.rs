//! Heating values that a study gives of a fuel that is known: of another unit, or of another basis.

use super::Doubts;
use crate::money::{Carrier, Fuel, HeatingBasis, Unit};

/// A heating value this far from the published one is of another unit, MJ for kWh above all (assumption).
const OTHER_HEAT: f64 = 1.5;
/// A value this near to the published one of another unit is of that unit, where it is not as near to its own: fuels of one
/// name differ by some 5 % (assumption).
const SAME_HEAT: f64 = 1.06;
/// By what a fuel is sold whose heat differs by its density alone.
const BY_MASS_OR_VOLUME: [Unit; 3] = [Unit::Kilogram, Unit::Litre, Unit::CubicMetre];

impl Doubts<'_> {
    pub(super) fn heating_values(&mut self) {
        let study = self.study;
        for (name, carrier) in &study.carriers.fuels {
            let path = format!("carrier.{name}.heating_value_kwh_per_unit");
            let is_given = self.inputs.iter().any(|input| input.path == path && input.is_given());
            let Some(what) = is_given.then(|| odd(carrier)).flatten() else { continue };
            let cure =
                "give kWh on the lower heating value for the unit of the price, or text with its unit: \"46 MJ/kg\"";
            self.doubt("fuel.heating_value", &path, what, cure);
        }
    }
}

/// What is odd about the heat of a unit of a fuel; nothing where it is of a known fuel and near to what is published.
fn odd(carrier: &Carrier) -> Option<String> {
    let fuel = Fuel::named(&carrier.fuel)?;
    let holds = |unit: Unit| fuel.lower_kwh_per(unit, HeatingBasis::Lower);
    let (given, known) = (carrier.kwh_per_unit, holds(carrier.unit)?);
    let is_within = |known: f64, times: f64| (1.0 / times..=times).contains(&(given / known));
    let is_of = |unit: &Unit| holds(*unit).is_some_and(|other| is_within(other, SAME_HEAT));
    let may_be_mistaken = BY_MASS_OR_VOLUME.contains(&carrier.unit) && !is_within(known, SAME_HEAT);
    let meant = BY_MASS_OR_VOLUME.into_iter().filter(|_| may_be_mistaken).find(is_of);
    if meant.is_none() && is_within(known, OTHER_HEAT) {
        return None;
    }
    let own = format!(
        "heating_value_kwh_per_unit is {given}, and a {} of {} holds some {known:.1} kWh",
        carrier.unit.symbol(),
        carrier.fuel
    );
    Some(meant.map_or(own.clone(), |unit| format!("{own}: a {} holds so much", unit.symbol())))
}
