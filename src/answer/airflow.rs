//! Airflow against energy in figures, and in lines of a table.

use super::build::Unreckoned;
use super::rooms;
use crate::money::SeasonBill;
use crate::season::size::{AirflowCurve, AirflowPoint, LeastAt, Limit, Site, airflow_curve};
use crate::study::Study;
use crate::weather::WeatherYear;
use schemars::JsonSchema;
use serde::Serialize;

/// Energy per water over airflow, and where it is least.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct AirflowFigures {
    /// The room whose air it is, where there are several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// Seasons at each airflow, least air first.
    pub points: Vec<AirflowPointFigures>,
    /// Where energy per kg of water evaporated is least. Too little air leaves the layers unlike, so that
    /// more water is dried out than is asked for: per kg of water that looks cheap.
    pub least_per_kg_water: LeastAirflow,
    /// Where energy per received tonne is least.
    pub least_per_received_t: LeastAirflow,
}

/// Airflows of the least energy among those that dry all nuts, m³/s per received tonne.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LeastAirflow {
    /// Of all of them; null if none dries all nuts.
    pub of_all_m3_per_s_per_tonne: Option<f64>,
    /// Of those that keep the waiting limit in every weather year; null if none does.
    pub within_limit_m3_per_s_per_tonne: Option<f64>,
    /// False if the least of all is at an end of what was tried: it may fall on.
    pub is_bracketed: bool,
}

/// Seasons at one airflow, means over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct AirflowPointFigures {
    /// Air asked for, m³/s per received tonne; ducts are built for it.
    pub airflow_m3_per_s_per_tonne: f64,
    /// Air that the batches got, m³/s per received tonne.
    pub given_m3_per_s_per_tonne: f64,
    /// Heat delivered and drying fans, MJ per kg of water; null where nothing evaporated.
    pub mj_per_kg_water: Option<f64>,
    /// The same, kWh per received tonne.
    pub kwh_per_received_t: f64,
    /// Heat delivered, kWh a season.
    pub heat_kwh: f64,
    /// Bin and extraction fans, kWh a season.
    pub fan_kwh: f64,
    /// Waiting nuts summed over time, tonne-days a season.
    pub waiting_tonne_days: f64,
    /// Batch-hours in which the mould guard fired: the growth index on the wettest nuts past its limit, a season.
    pub mould_hours: f64,
    /// Days from the season's start until the last batch was dry, in the slowest weather year; null if
    /// none was.
    pub last_dry_days: Option<f64>,
    /// Received nuts never dried, t a season.
    pub left_t: f64,
    /// A season's bill.
    pub total_cost: f64,
    /// True if the waiting limit was kept in every weather year.
    pub meets: bool,
}

/// Runs the seasons of a site with other air through the bins of the room at this place, and prices them.
pub(crate) fn airflow_figures(
    study: &Study,
    site: &Site,
    years: &[WeatherYear],
    limit: Limit,
    room: usize,
) -> Result<AirflowFigures, Unreckoned> {
    let curve = airflow_curve(site, &study.intake, years, limit, room, |book| {
        let bill = SeasonBill::of(book, &study.carriers, study.currency)?;
        Ok::<f64, Unreckoned>(study.currency.value(bill.total()))
    })?;
    Ok(AirflowFigures { room: rooms::name_among_several(&site.plant, Some(room)), ..curve.into() })
}

impl From<AirflowCurve> for AirflowFigures {
    fn from(curve: AirflowCurve) -> Self {
        let at = |place: Option<usize>| place.map(|at| curve.points[at].asked_m3_per_s_per_tonne);
        let least = |least: LeastAt| LeastAirflow {
            of_all_m3_per_s_per_tonne: at(least.of_all),
            within_limit_m3_per_s_per_tonne: at(least.within_limit),
            is_bracketed: curve.is_bracketed(least),
        };
        Self {
            room: None,
            least_per_kg_water: least(curve.per_water),
            least_per_received_t: least(curve.per_received_t),
            points: curve.points.iter().map(AirflowPointFigures::from).collect(),
        }
    }
}

impl From<&AirflowPoint> for AirflowPointFigures {
    fn from(point: &AirflowPoint) -> Self {
        Self {
            airflow_m3_per_s_per_tonne: point.asked_m3_per_s_per_tonne,
            given_m3_per_s_per_tonne: point.given_m3_per_s_per_tonne,
            mj_per_kg_water: point.mj_per_kg_water,
            kwh_per_received_t: point.kwh_per_received_t,
            heat_kwh: point.heat_kwh,
            fan_kwh: point.fan_kwh,
            waiting_tonne_days: point.waiting_tonne_days,
            mould_hours: point.mould_hours,
            last_dry_days: point.last_dry_days,
            left_t: point.left_t,
            total_cost: point.cost,
            meets: point.meets,
        }
    }
}
