//! Values of the crop that nobody measured and that move bins, waiting or mould: named in the answer.

use crate::crop::{Crop, Quantity, Status};
use crate::study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// A value of the crop in use that is a placeholder or remembered, and what it moves.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct UnmeasuredFigures {
    /// The crop, as the study names it.
    pub crop: String,
    /// The value in words.
    pub value: String,
    /// True where it stands in for a value that was not found; else it is from memory, not verified.
    pub is_placeholder: bool,
    /// What it moves.
    pub moves: Moves,
}

/// What a value moves besides the energy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Moves {
    /// Time to dry; with it the bins that are needed, waiting, and the growth of mould.
    Drying,
    /// How long nuts may wait.
    Waiting,
    /// The growth of mould.
    Mould,
}

impl Moves {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Drying => "the time to dry, and with it bins, waiting and mould",
            Self::Waiting => "how long nuts may wait",
            Self::Mould => "the growth of mould",
        }
    }

    /// What a quantity moves; `None` for one that moves energy, weight or money alone.
    fn by(quantity: Quantity) -> Option<Self> {
        match quantity {
            Quantity::ReceivedMoisture
            | Quantity::DryingRate
            | Quantity::DryingExponent
            | Quantity::RateTemperature
            | Quantity::ActivationEnergy => Some(Self::Drying),
            Quantity::SafeWait => Some(Self::Waiting),
            Quantity::MouldActivity => Some(Self::Mould),
            Quantity::DriedMoisture
            | Quantity::DryingTemperature
            | Quantity::StoreTemperature
            | Quantity::StoreHumidityLow
            | Quantity::StoreHumidityHigh
            | Quantity::Respiration
            | Quantity::SpecificHeatDry
            | Quantity::SpecificHeatWater
            | Quantity::BulkDensity
            | Quantity::BulkDensityMoisture
            | Quantity::Porosity
            | Quantity::EquivalentDiameter
            | Quantity::ResistanceFactor
            | Quantity::HukillA
            | Quantity::HukillB
            | Quantity::KernelShare => None,
        }
    }
}

/// True of a placeholder, false of a remembered value, `None` of one that rests on more.
fn is_placeholder(status: Status) -> Option<bool> {
    match status {
        Status::Placeholder => Some(true),
        Status::Memory => Some(false),
        Status::Read | Status::Derived | Status::CommonPractice | Status::Given => None,
    }
}

/// All of them, crop by crop, those that move most first.
pub(super) fn figures(study: &Study) -> Vec<UnmeasuredFigures> {
    study.crops.iter().flat_map(|crop| of_crop(&crop.name, &crop.crop)).collect()
}

fn of_crop(name: &str, crop: &Crop) -> Vec<UnmeasuredFigures> {
    let known = Quantity::all().filter_map(|quantity| {
        let status = crop.value(quantity)?.status;
        Some((quantity.name(), status, Moves::by(quantity)?))
    });
    let isotherm = ("sorption isotherm", crop.isotherm_origin().status, Moves::Drying);
    let mut all: Vec<UnmeasuredFigures> = std::iter::once(isotherm)
        .chain(known)
        .filter_map(|(value, status, moves)| {
            Some(UnmeasuredFigures {
                crop: name.to_owned(),
                value: value.to_owned(),
                is_placeholder: is_placeholder(status)?,
                moves,
            })
        })
        .collect();
    all.sort_by_key(|value| value.moves);
    all
}

/// A sentence for each thing that is moved; nothing where all values rest on more.
pub(crate) fn unmeasured_sentences(all: &[UnmeasuredFigures]) -> Vec<String> {
    let mut moved: Vec<Moves> = all.iter().map(|value| value.moves).collect();
    moved.sort_unstable();
    moved.dedup();
    moved
        .into_iter()
        .map(|moves| {
            let of_it: Vec<&UnmeasuredFigures> = all.iter().filter(|value| value.moves == moves).collect();
            // Values of one crop that stand alike are named together.
            let alike = of_it.chunk_by(|one, next| one.crop == next.crop && one.is_placeholder == next.is_placeholder);
            let named: Vec<String> = alike.map(named_together).collect();
            let verb = if of_it.len() == 1 { "moves" } else { "move" };
            format!("{} {verb} {}.", named.join(", "), moves.words())
        })
        .collect()
}

fn named_together(values: &[&UnmeasuredFigures]) -> String {
    let names: Vec<&str> = values.iter().map(|value| value.value.as_str()).collect();
    let standing = match (values[0].is_placeholder, values.len()) {
        (true, 1) => "a placeholder",
        (true, _) => "placeholders",
        (false, _) => "from memory",
    };
    format!("{} of {} ({standing})", names.join(" and "), values[0].crop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::find;

    #[test]
    fn a_placeholder_is_named_until_the_study_gives_its_own() {
        let mut crop = find("macadamia").unwrap().clone();
        let rate = |crop: &Crop| {
            let all = of_crop("macadamia", crop);
            all.into_iter().find(|value| value.value == "thin-layer drying rate")
        };
        let found = rate(&crop).expect("the rate of macadamia is a placeholder");
        assert!(found.is_placeholder);
        assert_eq!(found.moves, Moves::Drying);
        let said = unmeasured_sentences(&[found]);
        assert_eq!(
            said,
            [
                "thin-layer drying rate of macadamia (a placeholder) moves the time to dry, and with it bins, waiting and mould."
            ]
        );
        crop.override_value("drying_rate", 0.03, "measured").unwrap();
        assert_eq!(rate(&crop), None);
    }

    #[test]
    fn what_moves_neither_bins_nor_waiting_nor_mould_is_not_named() {
        for name in ["macadamia", "walnut"] {
            let all = of_crop(name, find(name).unwrap());
            assert!(all.iter().all(|value| !value.value.contains("bulk density")));
        }
        assert!(unmeasured_sentences(&[]).is_empty());
    }
}
