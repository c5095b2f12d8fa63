//! A room as built and as set.

use crate::dryer::bed::Bed;
use crate::dryer::bin_fan::BinFan;
use crate::dryer::bin_spec::BinSpec;
use crate::dryer::fan_bank::FanBank;

/// Where a room's air goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AirPath {
    /// Outside air -> fan -> heat -> bins -> outside. Each bin has its own air temperature.
    OnceThrough,
    /// Bins draw room air and give it back; extraction exchanges room air for outside air.
    Recirculating,
}

/// Air temperature for nuts above a moisture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// Applies while the moisture (dry basis) that stages go by is above this.
    pub above_moisture: f64,
    /// Air is warmed to this temperature, °C; minus infinite where it is left as it comes.
    pub temperature_c: f64,
}

impl Stage {
    /// Temperature of a stage whose air is not warmed, °C.
    pub const UNHEATED_C: f64 = f64::NEG_INFINITY;

    /// True if its air is warmed.
    pub fn is_heated(&self) -> bool {
        self.temperature_c > Self::UNHEATED_C
    }
}

/// Which nuts of a batch say what stage it has come to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StageBy {
    /// All of them: their mean moisture.
    #[default]
    Mean,
    /// The wettest: hotter air waits until they, too, are dry enough for it.
    Wettest,
}

/// A room as built and as set.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomSpec {
    /// Name in the study.
    pub name: String,
    /// Where its air goes.
    pub air: AirPath,
    /// Its bins.
    pub bins: Vec<BinSpec>,
    /// Layers in which a bed is computed.
    pub layers: usize,
    /// Air through a full bin, m³/s per received tonne, as its fan takes it in; a bin that holds less gets what
    /// its fan gives then ([`BinFan::duty_of_load`]).
    pub airflow_m3_per_s_per_tonne: f64,
    /// Temperature by moisture, wettest first; the last stage holds to the end. A recirculating room
    /// has one stage.
    pub stages: Vec<Stage>,
    /// Whose moisture the stages go by.
    pub stage_by: StageBy,
    /// Humidity limit of a recirculating room, fraction.
    pub relative_humidity_max: f64,
    /// Humidity up to which fresh air is throttled to hold the set temperature when heat is short,
    /// fraction; no less than the limit.
    pub relative_humidity_when_short: f64,
    /// Least fresh air, m³/s of outside air; above zero while nuts dry.
    pub fresh_air_min_m3_per_s: f64,
    /// Most fresh air, m³/s of outside air.
    pub fresh_air_max_m3_per_s: f64,
    /// Loss through the envelope, W/K; where air passes once, through ducts, plenum and walls of all bins.
    pub envelope_ua_w_per_k: f64,
    /// Fans of drying bins stand while the air before the nuts would be damper than this, fraction; `None`
    /// where they run in any air.
    pub fans_off_above_rh: Option<f64>,
    /// Lights and people in the room, kW, while it is in use.
    pub gains_kw: f64,
    /// Part of `gains_kw` that is electricity, kW.
    pub lights_kw: f64,
    /// Heat capacity of bins and fittings, kJ/K, which are as warm as the room or the air at the nuts.
    pub steel_kj_per_k: f64,
    /// What the fans of the bins work against, and how they are driven.
    pub bin_fan: BinFan,
    /// The fans where their curve is known: it then says the air of each bin. `None` where every bin gets
    /// the air it is asked to.
    pub fan_bank: Option<FanBank>,
    /// Extraction: electric power per flow, kW per m³/s, its heat leaving with the air.
    pub extraction_kw_per_m3_per_s: f64,
}

impl RoomSpec {
    /// The same room with other bins; their steel, fans on a plenum, and what bins lose where air passes once
    /// go with what they hold.
    pub fn with_bins(&self, bins: Vec<BinSpec>) -> Self {
        let holds = |bins: &[BinSpec]| bins.iter().map(|bin| bin.capacity_t).sum::<f64>();
        let now_t = holds(&self.bins);
        let factor = if now_t > 0.0 { holds(&bins) / now_t } else { 1.0 };
        let envelope_ua_w_per_k = match self.air {
            AirPath::OnceThrough => self.envelope_ua_w_per_k * factor,
            AirPath::Recirculating => self.envelope_ua_w_per_k,
        };
        Self {
            steel_kj_per_k: self.steel_kj_per_k * factor,
            envelope_ua_w_per_k,
            fan_bank: self.fan_bank.as_ref().map(|bank| bank.for_room_times(factor)),
            bins,
            ..self.clone()
        }
    }

    /// The same room with other air through its bins, m³/s per received tonne (above 0): ducts keep the
    /// drop that they have at full flow, and fans of a known curve keep their pressure.
    #[must_use]
    pub fn with_airflow(&self, airflow_m3_per_s_per_tonne: f64) -> Self {
        let factor = airflow_m3_per_s_per_tonne / self.airflow_m3_per_s_per_tonne;
        let mut changed = self.clone();
        changed.airflow_m3_per_s_per_tonne = airflow_m3_per_s_per_tonne;
        changed.bin_fan.ducts = self.bin_fan.ducts.for_flow_times(factor);
        changed.fan_bank = self.fan_bank.as_ref().map(|bank| bank.for_air_times(factor));
        changed
    }

    /// Loss, W/K, and heat capacity of steel, kJ/K, of one of its bins where air passes once: the bins share
    /// them by what they hold.
    pub(super) fn of_bin(&self, bin: &BinSpec) -> (f64, f64) {
        match self.air {
            AirPath::Recirculating => (0.0, 0.0),
            AirPath::OnceThrough => {
                let all_t: f64 = self.bins.iter().map(|bin| bin.capacity_t).sum();
                let share = bin.capacity_t / all_t;
                (self.envelope_ua_w_per_k * share, self.steel_kj_per_k * share)
            }
        }
    }

    /// The hottest of its stages, °C; `None` where none is heated.
    pub fn hottest_stage_c(&self) -> Option<f64> {
        let heated = self.stages.iter().filter(|stage| stage.is_heated());
        heated.map(|stage| stage.temperature_c).reduce(f64::max)
    }

    /// Temperature to which air is warmed for this batch, °C; minus infinite where it is not.
    pub fn temperature_for_bed(&self, bed: &Bed) -> f64 {
        self.temperature_for(match self.stage_by {
            StageBy::Mean => bed.mean_moisture(),
            StageBy::Wettest => bed.wettest().moisture,
        })
    }

    /// Temperature to which air is warmed for nuts of this moisture (dry basis), °C; minus infinite where it is
    /// not.
    pub fn temperature_for(&self, moisture: f64) -> f64 {
        self.stages
            .iter()
            .find(|stage| moisture > stage.above_moisture)
            .or(self.stages.last())
            .map_or(Stage::UNHEATED_C, |stage| stage.temperature_c)
    }
}

/// What a room is set back to. Drying goes on in what air there is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setback {
    /// Air is held no warmer than this, °C; infinite where the temperature stays as it is.
    pub temperature_c: f64,
    /// Air through drying bins as a share of what they get otherwise, 0 (fans off) to 1.
    pub fan_share: f64,
}

impl Setback {
    /// Everything as it is without.
    pub const NONE: Self = Self { temperature_c: f64::INFINITY, fan_share: 1.0 };
}
