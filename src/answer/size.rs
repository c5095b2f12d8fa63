//! Sizing in figures: what `size` found, priced.

use super::airflow::AirflowFigures;
use super::build::{Unreckoned, covers, peak_week_of_heat, peak_week_of_water};
use super::figures::PhaseFigures;
use super::figures::{CoverFigures, GuardFigures, PeakWeekFigures};
use super::guards;
use super::rooms;
use crate::ledger::{Account, Book, DurationCurve, Entry};
use crate::money::SeasonBill;
use crate::season::size::{Answer, BinsPoint, Joint, Lever, Limit, Site, Sizing, Trial};
use crate::study::Study;
use schemars::JsonSchema;
use serde::Serialize;

/// Everything that sizing says.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SizeFigures {
    /// Title of the study.
    pub study: String,
    /// The option that was sized.
    pub option: String,
    /// Currency of all money.
    pub currency: String,
    /// Nuts wait for a bin at most so long, days.
    pub waiting_limit_days: f64,
    /// A part load is dried when its first nuts have waited so long, h: the study's, or the limit where
    /// that is less.
    pub part_load_after_hours: f64,
    /// Labels of the weather years.
    pub weather_years: Vec<String>,
    /// The weather year in which the plant as it stands is busiest.
    pub busiest_year: String,
    /// The plant as it stands, in each weather year; `value` is the year's place.
    pub as_it_stands: Vec<SizePoint>,
    /// The least of each number with all others as they stand.
    pub least: Vec<LeastFigures>,
    /// Heat capacity (`value`, kW) against what comes of it.
    pub heat_curve: Vec<SizePoint>,
    /// The room whose bins the curve below is of, where there are several: the one with the fewest to spare.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bins_curve_room: Option<String>,
    /// Bins against what comes of them.
    pub bins_curve: Vec<BinsFigures>,
    /// One plant that keeps the limit with all numbers together, of many that do; null if none tried does.
    pub together: Option<TogetherFigures>,
    /// Air through the bins against energy, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub airflow: Option<AirflowFigures>,
    /// Loads of the plant as it stands in its busiest year.
    pub loads: Vec<LoadFigures>,
    /// The seven days in a row with the most heat need, and with the most water, in that year.
    pub peak_weeks: Vec<PeakWeekFigures>,
    /// Phases of growth; empty if the study has none.
    pub phases: Vec<PhaseFigures>,
}

/// One season that was run for sizing.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SizePoint {
    /// What the number was set to.
    pub value: f64,
    /// The weather year.
    pub weather_year: String,
    /// True if the limit was kept.
    pub meets: bool,
    /// The longest that any nuts waited to be loaded, h.
    pub longest_wait_h: f64,
    /// Waiting nuts summed over time, tonne-days: the two that follow together.
    pub waiting_tonne_days: f64,
    /// Waiting for a bin to fall free, tonne-days.
    pub waiting_for_bin_tonne_days: f64,
    /// Waiting until a load has come together, tonne-days.
    pub waiting_for_load_tonne_days: f64,
    /// Received nuts never dried, t.
    pub left_t: f64,
    /// Hours in which heat was short.
    pub hours_short: usize,
    /// Heat short, added up hour by hour, percent of the season's need: what a report judges the plant by.
    pub heat_short_pct: f64,
    /// Mean hours from loading to dry; null if no batch was dried.
    pub mean_drying_hours: Option<f64>,
    /// Day on which the last batch was dry, `YYYY-MM-DD`; null if none was.
    pub last_dry: Option<String>,
    /// The site's highest hour, kW.
    pub electric_peak_kw: f64,
    /// The season's bill.
    pub total_cost: f64,
    /// The same per dried tonne; null if none was dried.
    pub cost_per_dried_t: Option<f64>,
    /// Guards that fired.
    pub guards: Vec<GuardFigures>,
}

/// The least of one number.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LeastFigures {
    /// `heat`, `bins`, `airflow` or `extraction`.
    pub what: String,
    /// The room that it is of, where there are several and it is not the whole plant's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// Its unit.
    pub unit: String,
    /// Its value as the plant stands.
    pub as_it_stands: f64,
    /// The least that keeps the limit in every weather year; null if no value tried does.
    pub least: Option<f64>,
    /// The least with which the mould guard fires in no more batch-hours either than in the plant as it stands;
    /// null if no value tried does.
    pub least_without_more_mould: Option<f64>,
    /// Steps in which it was sought.
    pub step: f64,
    /// The largest value tried.
    pub most_tried: f64,
    /// The weather year that decides.
    pub deciding_year: String,
    /// The season in that year with the least, or else with the most tried.
    pub season: SizePoint,
    /// Where no least was found although no hour is short of heat there: the number that decides instead, or
    /// `loads` where none of the plant's numbers does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decided_by: Option<String>,
    /// Guards that fire there and not, or in fewer hours, as the plant stands: what binds next.
    pub binding: Vec<GuardFigures>,
}

/// A number of bins.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BinsFigures {
    /// How many.
    pub bins: f64,
    /// The season with the heat capacity there is; `value` is the number of bins.
    pub with_heat_there_is: SizePoint,
    /// The season with the least heat capacity (`value`, kW) that keeps the limit; null if none does.
    pub with_least_heat: Option<SizePoint>,
}

/// A plant that keeps the limit with all numbers together.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct TogetherFigures {
    /// True if the plant as it stands keeps the limit; else it was enlarged first.
    pub began_as_it_stands: bool,
    /// Its numbers, in the order in which they were made smaller.
    pub numbers: Vec<TogetherNumber>,
    /// Its seasons, one for each weather year; `value` is the year's place.
    pub seasons: Vec<SizePoint>,
    /// The weeks of most heat and of most water in the busiest weather year, on this plant.
    pub peak_weeks: Vec<PeakWeekFigures>,
}

/// One number of it.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct TogetherNumber {
    /// `heat`, `bins`, `airflow` or `extraction`.
    pub what: String,
    /// The room that it is of, where there are several and it is not the whole plant's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// Its unit.
    pub unit: String,
    /// Its value as the plant stands.
    pub as_it_stands: f64,
    /// Its value on this plant.
    pub value: f64,
}

/// A load-duration curve in figures.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LoadFigures {
    /// `heat` (need before any source, recovered heat taken off) or `electricity` (of the site).
    pub what: String,
    /// Hours with a load.
    pub hours: usize,
    /// Energy, kWh.
    pub energy_kwh: f64,
    /// Highest hour, kW.
    pub peak_kw: f64,
    /// Mean over all hours divided by the peak; null without load. Hours of electricity are those of the run,
    /// of heat those of the season and of what the plant with ample heat dries after it.
    pub load_factor: Option<f64>,
    /// Capacity that covers shares of the hours with a load.
    pub covers: Vec<CoverFigures>,
}

/// Prices what sizing found. `site` is the one that was sized, `airflow` what comes of other air through its
/// bins, `phases` the study's growth.
pub(crate) fn size_figures(
    study: &Study,
    site: &Site,
    limit: Limit,
    sizing: &Sizing,
    airflow: Option<AirflowFigures>,
    phases: Vec<PhaseFigures>,
) -> Result<SizeFigures, Unreckoned> {
    let point = |trial: &Trial| point(study, trial);
    let room = |place: Option<usize>| rooms::name_among_several(&site.plant, place);
    let busiest = &sizing.as_it_stands[sizing.busiest_year].book;
    let label = |year: usize| sizing.as_it_stands[year].book.year.clone();
    let mut as_it_stands = Vec::new();
    for (place, trial) in sizing.as_it_stands.iter().enumerate() {
        as_it_stands.push(SizePoint { value: place as f64, ..point(trial)? });
    }
    let mut least = Vec::new();
    for answer in &sizing.answers {
        let (what, unit) = words(answer.lever);
        let season = point(&answer.at)?;
        least.push(LeastFigures {
            what: what.to_owned(),
            room: room(answer.lever.room()),
            unit: unit.to_owned(),
            as_it_stands: answer.as_it_stands,
            least: answer.least,
            least_without_more_mould: answer.least_without_more_mould,
            step: answer.step,
            most_tried: answer.most_tried,
            deciding_year: label(answer.year),
            decided_by: decided_by(sizing, answer, season.hours_short),
            binding: more_than(&season.guards, &as_it_stands[answer.year].guards),
            season,
        });
    }
    let bins = |at: &BinsPoint| -> Result<BinsFigures, Unreckoned> {
        Ok(BinsFigures {
            bins: at.with_heat_there_is.value,
            with_heat_there_is: point(&at.with_heat_there_is)?,
            with_least_heat: at.with_least_heat.as_ref().map(point).transpose()?,
        })
    };
    Ok(SizeFigures {
        study: study.title.clone(),
        option: site.heating.name.clone(),
        currency: study.currency.to_string(),
        waiting_limit_days: limit.waiting_hours / 24.0,
        part_load_after_hours: site.plant.loading().fill_within_hours.min(limit.waiting_hours),
        weather_years: (0..sizing.as_it_stands.len()).map(label).collect(),
        busiest_year: busiest.year.clone(),
        as_it_stands,
        least,
        heat_curve: sizing.heat_curve.iter().map(point).collect::<Result<_, _>>()?,
        bins_curve_room: room(Some(sizing.bins_room)),
        bins_curve: sizing.bins_curve.iter().map(bins).collect::<Result<_, _>>()?,
        together: sizing.joint.as_ref().map(|joint| together(study, site, joint, sizing.busiest_year)).transpose()?,
        airflow,
        loads: loads(busiest),
        peak_weeks: peak_weeks(busiest),
        phases,
    })
}

fn together(study: &Study, site: &Site, joint: &Joint, busiest_year: usize) -> Result<TogetherFigures, Unreckoned> {
    let numbers = joint.numbers.iter().map(|number| {
        let (what, unit) = words(number.lever);
        TogetherNumber {
            what: what.to_owned(),
            room: rooms::name_among_several(&site.plant, number.lever.room()),
            unit: unit.to_owned(),
            as_it_stands: number.as_it_stands,
            value: number.value,
        }
    });
    let busiest = joint.seasons.get(busiest_year);
    Ok(TogetherFigures {
        began_as_it_stands: joint.began_as_it_stands,
        numbers: numbers.collect(),
        seasons: joint.seasons.iter().map(|season| point(study, season)).collect::<Result<_, _>>()?,
        peak_weeks: busiest.map_or_else(Vec::new, |season| peak_weeks(&season.book)),
    })
}

/// What decides where more heat does not help, for no hour is short of it: the number that takes most above what
/// stands, each alone.
fn decided_by(sizing: &Sizing, answer: &Answer, hours_short: usize) -> Option<String> {
    if answer.lever != Lever::Heat || answer.least.is_some() || hours_short > 0 {
        return None;
    }
    let more = |other: &&Answer| other.least.is_some_and(|least| least > other.as_it_stands);
    let deciding = sizing.answers.iter().filter(more).max_by(|a, b| {
        let times = |other: &Answer| other.least.unwrap_or(0.0) / other.as_it_stands;
        times(a).total_cmp(&times(b))
    });
    Some(deciding.map_or("loads", |other| words(other.lever).0).to_owned())
}

/// Key and unit of a number that is sized.
fn words(lever: Lever) -> (&'static str, &'static str) {
    match lever {
        Lever::Heat => ("heat", "kW"),
        Lever::Bins(_) => ("bins", "bins"),
        Lever::Airflow(_) => ("airflow", "m³/s per t"),
        Lever::Extraction(_) => ("extraction", "m³/s"),
    }
}

fn point(study: &Study, trial: &Trial) -> Result<SizePoint, Unreckoned> {
    let book = &trial.book;
    let account = Account::of_all(book);
    let bill = SeasonBill::of(book, &study.carriers, study.currency)?;
    let total_cost = study.currency.value(bill.total());
    let dried_t = book.tonnage.dried_kg / 1000.0;
    Ok(SizePoint {
        value: trial.value,
        weather_year: book.year.clone(),
        meets: trial.meets,
        longest_wait_h: trial.longest_wait_h,
        waiting_tonne_days: book.tonnage.waiting_tonne_days,
        waiting_for_bin_tonne_days: book.tonnage.waiting_for_bin_tonne_days,
        waiting_for_load_tonne_days: book.tonnage.waiting_for_load_tonne_days(),
        left_t: book.tonnage.left_kg / 1000.0,
        hours_short: account.hours_short,
        heat_short_pct: if account.heat_need_kwh > 0.0 {
            account.heat_short_kwh / account.heat_need_kwh * 100.0
        } else {
            0.0
        },
        mean_drying_hours: book.mean_drying_hours(),
        last_dry: book.last_dry_hour().and_then(|hour| book.moment(hour)).map(|moment| moment.date().to_string()),
        electric_peak_kw: account.electric_peak_kw,
        total_cost,
        cost_per_dried_t: (dried_t > 0.0).then(|| total_cost / dried_t),
        guards: guards::sentences(std::slice::from_ref(book)),
    })
}

/// The guards that fire in more hours than before.
fn more_than(now: &[GuardFigures], before: &[GuardFigures]) -> Vec<GuardFigures> {
    let hours_before = |key: &str| before.iter().find(|guard| guard.key == key).map_or(0.0, |guard| guard.hours);
    now.iter().filter(|guard| guard.hours > hours_before(&guard.key)).cloned().collect()
}

fn loads(book: &Book) -> Vec<LoadFigures> {
    let heat = |hour: &Entry| hour.heat_need_kwh - hour.recovered_kwh;
    // The need's span is the plant's, however long an option that is short of heat goes on.
    let season = book.hours.iter().take_while(|hour| hour.in_season).count();
    let of_need = season.max(book.reference.need_kwh.len()).min(book.hours.len());
    let of = |what: &str, hours: &[Entry], load: &dyn Fn(&Entry) -> f64| {
        let curve = DurationCurve::of(hours.iter().map(load));
        LoadFigures {
            what: what.to_owned(),
            hours: curve.hours(),
            energy_kwh: curve.energy_kwh(),
            peak_kw: curve.peak_kw(),
            load_factor: curve.load_factor(),
            covers: covers(&curve, 1),
        }
    };
    let hours = book.hours.open();
    vec![of("heat", &hours[..of_need], &heat), of("electricity", &hours, &Entry::site_electricity_kwh)]
}

fn peak_weeks(book: &Book) -> Vec<PeakWeekFigures> {
    let hours = book.hours.open();
    [peak_week_of_heat(&hours), peak_week_of_water(&hours)].into_iter().flatten().collect()
}
