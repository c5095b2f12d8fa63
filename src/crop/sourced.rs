//! Values that say where they come from.

/// How far a value can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Read in a public source.
    Read,
    /// From memory of a source that could not be read.
    Memory,
    /// Computed from other values; it inherits their doubt.
    Derived,
    /// Stands in for a value that was not found; no measurement.
    Placeholder,
    /// Common practice of the trade, with no published source.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Given by the user in place of the library's.
    Given,
}

impl Status {
    /// The status in words, as people read it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "read in a public source",
            Self::Memory => "from memory, not verified",
            Self::Derived => "derived",
            Self::Placeholder => "PLACEHOLDER, not a measurement",
            Self::CommonPractice => "common practice, no published source",
            Self::Given => "given for this study",
        }
    }
}

/// A number with its origin. The unit is that of its [`Quantity`].
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced {
    /// The value.
    pub value: f64,
    /// Where it comes from, written out.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
    /// Lowest and highest plausible value, where known.
    pub range: Option<(f64, f64)>,
}

/// Every scalar that the library holds of a crop, in the order in which people read them. Moisture is in
/// % wet basis here, because these are the values that people read, give and override.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // each is named, with its unit, in `TABLE` below
pub enum Quantity {
    ReceivedMoisture,
    DriedMoisture,
    DryingTemperature,
    SafeWait,
    MouldActivity,
    StoreTemperature,
    StoreHumidityLow,
    StoreHumidityHigh,
    Respiration,
    DryingRate,
    DryingExponent,
    RateTemperature,
    ActivationEnergy,
    SpecificHeatDry,
    SpecificHeatWater,
    BulkDensity,
    BulkDensityMoisture,
    Porosity,
    EquivalentDiameter,
    ResistanceFactor,
    HukillA,
    HukillB,
    KernelShare,
}

struct Row(Quantity, &'static str, &'static str, &'static str, f64, f64);

/// Quantity, key, name, unit, and the lowest and highest value that can be meant.
#[rustfmt::skip]
const TABLE: [Row; 23] = {
    use Quantity as Q;
    [
        Row(Q::ReceivedMoisture, "received_moisture", "moisture as received", "% w.b.", 1.0, 70.0),
        Row(Q::DriedMoisture, "dried_moisture", "moisture when dried", "% w.b.", 0.5, 30.0),
        Row(Q::DryingTemperature, "drying_temperature", "drying-air temperature", "°C", 0.0, 80.0),
        Row(Q::SafeWait, "safe_wait", "safe wait of wet nuts without air", "h", 0.0, 1000.0),
        Row(Q::MouldActivity, "mould_activity", "water activity above which mould grows in the warmth", "-", 0.5, 0.99),
        Row(Q::StoreTemperature, "store_temperature", "store temperature", "°C", -30.0, 40.0),
        Row(Q::StoreHumidityLow, "store_humidity_low", "lowest store humidity", "% RH", 5.0, 95.0),
        Row(Q::StoreHumidityHigh, "store_humidity_high", "highest store humidity", "% RH", 5.0, 95.0),
        Row(Q::Respiration, "respiration", "heat of respiration at 20 °C", "W/t", 0.0, 500.0),
        Row(Q::DryingRate, "drying_rate", "thin-layer drying rate", "1/h", 1e-4, 20.0),
        Row(Q::DryingExponent, "drying_exponent", "thin-layer exponent", "-", 0.2, 2.5),
        Row(Q::RateTemperature, "rate_temperature", "temperature of the drying rate", "°C", 0.0, 100.0),
        Row(Q::ActivationEnergy, "activation_energy", "activation energy of the drying rate", "kJ/mol", 0.0, 100.0),
        Row(Q::SpecificHeatDry, "specific_heat_dry", "specific heat of dry matter", "kJ/(kg K)", 0.5, 4.0),
        Row(Q::SpecificHeatWater, "specific_heat_water", "specific heat of water in nuts", "kJ/(kg K)", 3.0, 5.0),
        Row(Q::BulkDensity, "bulk_density", "bulk density", "kg/m³", 50.0, 1200.0),
        Row(Q::BulkDensityMoisture, "bulk_density_moisture", "moisture of the bulk density", "% w.b.", 0.0, 60.0),
        Row(Q::Porosity, "porosity", "air between nuts, of the bed's volume", "-", 0.2, 0.9),
        Row(Q::EquivalentDiameter, "equivalent_diameter", "equivalent diameter of a nut", "mm", 1.0, 150.0),
        Row(Q::ResistanceFactor, "resistance_factor", "bed resistance over that of the clean law", "-", 0.3, 5.0),
        Row(Q::HukillA, "hukill_a", "Hukill-Ives coefficient a", "Pa s²/m³", 1.0, 1e6),
        Row(Q::HukillB, "hukill_b", "Hukill-Ives coefficient b", "m² s/m³", 0.1, 1e4),
        Row(Q::KernelShare, "kernel_share", "kernel's share of the dry mass", "-", 0.05, 0.95),
    ]
};

impl Quantity {
    /// Every quantity, in reading order.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| row.0)
    }

    /// The quantity with this key.
    pub fn of_key(key: &str) -> Option<Self> {
        TABLE.iter().find(|row| row.1 == key).map(|row| row.0)
    }

    fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }

    /// Key, as in the library and in a study.
    pub fn key(self) -> &'static str {
        self.row().1
    }

    /// Name, as people read it.
    pub fn name(self) -> &'static str {
        self.row().2
    }

    /// Unit.
    pub fn unit(self) -> &'static str {
        self.row().3
    }

    /// Lowest and highest value that can be meant; anything outside is an error of unit or typing.
    pub fn possible(self) -> (f64, f64) {
        (self.row().4, self.row().5)
    }
}

/// One line of a crop's origins, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProvenanceLine {
    /// Key in the library and in a study.
    pub key: String,
    /// Name of the quantity.
    pub quantity: String,
    /// The value as text, without its unit.
    pub value_text: String,
    /// Unit.
    pub unit: String,
    /// Lowest and highest plausible value as text; empty where unknown.
    pub range_text: String,
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_quantities() {
        for (at, quantity) in Quantity::all().enumerate() {
            assert_eq!(quantity as usize, at);
            assert_eq!(Quantity::of_key(quantity.key()), Some(quantity));
            let (low, high) = quantity.possible();
            assert!(low < high);
        }
    }
}
