//! The question and its frame: the study as given, and the weather it meets.

use super::reckoned::mean;
use crate::air::heat_to;
use crate::answer::figures::{StudyFigures, WeatherYearFigures};
use crate::answer::ranking::Ranking;
use crate::answer::rooms::air_word;
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::RoomSpec;
use crate::money::WARMING_POTENTIALS;
use crate::number::{self, Measure, Sentence};
use crate::season::Plant;
use crate::study::Study;
use crate::weather::WeatherYear;

/// The frame; of a plant that options change, the baseline's.
pub(super) fn study_figures(study: &Study, base: usize, ranking: &Ranking, proposal: Option<usize>) -> StudyFigures {
    let name = |option: usize| study.heatings[option].name.clone();
    let own = study.of_option(base);
    let room = own.plant.first_room();
    StudyFigures {
        title: study.title.clone(),
        dated: study.dated,
        has_cool_store: own.plant.store.is_some(),
        baseline: study.baseline.clone(),
        recommended: ranking.best().map(name),
        runner_up: ranking.runner_up().map(name),
        proposal: proposal.map(name),
        baseline_installed: study.application.baseline_installed,
        currency: study.currency.to_string(),
        season_starts: study.season.starts.to_string(),
        season_ends: study.season.ends.to_string(),
        crop: study.crop_words(),
        air: air_word(room.air).to_owned(),
        air_words: Sentence::of(|| air_words(&own.plant)),
        air_temperature_c: first_heated_c(own),
        received_moisture_pct_wb: percent_of_dry_basis(own.received_moisture),
        dried_moisture_pct_wb: percent_of_dry_basis(own.plant.crops[0].stay.dried_moisture),
        latitude: study.site.latitude,
        longitude: study.site.longitude,
        altitude_m: Some(study.site.altitude_m),
        money_years: study.money.years,
        discount_rate: study.money.discount_rate,
        grant_share: study.money.grant_share,
        grid_carbon_kg_per_kwh: study.carriers.electricity_carbon_kg_per_kwh,
        warming_potentials: WARMING_POTENTIALS.to_owned(),
    }
}

/// `once-through at 20/38/50 °C by stage`; of several rooms, each by its name.
fn air_words(plant: &Plant) -> String {
    let celsius = Measure::of("°C");
    let of_room = |room: &RoomSpec| {
        let temperatures: Vec<String> = room
            .stages
            .iter()
            .map(|stage| {
                let set = stage.is_heated().then(|| celsius.number(stage.temperature_c));
                set.unwrap_or_else(|| "unheated".to_owned())
            })
            .collect();
        let by_stage = if temperatures.len() > 1 { " by stage" } else { "" };
        let way = air_word(room.air);
        match room.hottest_stage_c() {
            Some(_) => {
                let set = number::with_unit(&temperatures.join("/"), celsius.sign());
                format!("{way} at {set}{by_stage}")
            }
            None => format!("{way}, unheated"),
        }
    };
    let rooms: Vec<&RoomSpec> = plant.rooms().collect();
    match rooms.as_slice() {
        [one] => of_room(one),
        several => {
            let each = several.iter().map(|room| format!("“{}” {}", room.name, of_room(room)));
            each.collect::<Vec<_>>().join("; ")
        }
    }
}

/// Temperature of the wettest stage of the first room that is heated, °C.
fn first_heated_c(study: &Study) -> Option<f64> {
    let mut stages = study.plant.first_room().stages.iter();
    stages.find(|stage| stage.is_heated()).map(|stage| stage.temperature_c)
}

pub(super) fn weather_year(study: &Study, year: &WeatherYear) -> WeatherYearFigures {
    let hours = year.season();
    let set_c = first_heated_c(study);
    let mean_of = |of: &dyn Fn(&crate::weather::Hour) -> f64| mean(hours.iter().map(of));
    WeatherYearFigures {
        label: year.label.clone(),
        season_hours: hours.len(),
        mean_dry_bulb_c: mean_of(&|hour| hour.air.dry_bulb_c()),
        mean_relative_humidity_pct: mean_of(&|hour| hour.air.relative_humidity() * 100.0),
        mean_humidity_ratio_g_per_kg: mean_of(&|hour| hour.air.humidity_ratio() * 1000.0),
        heat_to_set_kwh_per_kg_per_s: set_c
            .map_or(0.0, |set_c| hours.iter().map(|hour| heat_to(&hour.air, set_c)).sum()),
        borrowed_hours: year.borrowed_hours,
    }
}
