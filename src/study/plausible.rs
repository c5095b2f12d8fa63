//! What can be but hardly will: inputs that are possible, yet more often a slip than meant. Each is a
//! warning with its reason; nothing is refused here.

mod amounts;
mod drying;
mod financing;
mod growth;
mod hours;
mod owning;
mod prices;
mod sizes;
mod store;
mod targets;

use super::Study;
use super::input::{Input, problem_at};
use super::trips::hot_condensers;
use crate::air::{MoistAir, standard_pressure_pa};
use crate::crop::{RestedNut, water};
use crate::dryer::{AirPath, LoadedBin, RoomSpec, Stage};
use crate::heat::Source;
use crate::problem::Problem;
use crate::season::Heating;
use crate::weather::WeatherYear;

/// Air through in-shell nuts, m³/s per received tonne, where it comes back and where it passes once: what plants
/// are built for (from memory, not verified, with a margin at both ends). Free-flowing bins of walnuts get some
/// 25 ft³/min for each ft³ of nuts, 1.3 m³/s a tonne.
const USUAL_AIRFLOW: (f64, f64) = (0.02, 0.6);
const USUAL_AIRFLOW_ONCE: (f64, f64) = (0.02, 1.6);
/// Air that differs by more than this share from what is named is told.
const OTHER_AIR: f64 = 0.1;
/// Deeper beds are rarely built: the air is saturated before it leaves (common practice, no published
/// source).
const DEEPEST_BED_M: f64 = 3.0;
/// Specific heat of dry air.
const AIR_KJ_PER_KG_K: f64 = 1.006;
/// Heat below this share of a rough estimate is called little.
const LITTLE_HEAT: f64 = 0.7;

/// A study with what it is judged beside.
struct Doubts<'a> {
    study: &'a Study,
    inputs: &'a [Input],
    file: &'a str,
    found: Vec<Problem>,
}

/// Warnings about a study, in no need of its season being run. `file` is the study's name for people;
/// without weather nothing is said of heat.
pub fn doubts(file: &str, study: &Study, inputs: &[Input], years: &[WeatherYear]) -> Vec<Problem> {
    let mut doubts = Doubts { study, inputs, file, found: Vec::new() };
    for room in study.plant.rooms() {
        doubts.airflow(room);
        doubts.air_of_the_fans(room);
        doubts.bed_depth(room);
    }
    doubts.damp_targets();
    doubts.least_load();
    doubts.fill_within();
    doubts.wetter_nuts_are_less_crop();
    doubts.hot_air_on_wet_nuts();
    doubts.hot_condensers(years);
    doubts.store_wets_nuts();
    doubts.little_heat(years);
    doubts.rooms_without_heat();
    doubts.unused_sources();
    doubts.much_heat(years);
    doubts.envelope();
    doubts.days_of_intake();
    doubts.season_tonnes();
    doubts.gains(years);
    doubts.fractions();
    doubts.own_fuel();
    doubts.prices();
    doubts.price_factors();
    doubts.worth_of_own_fuel();
    doubts.costs_of_sources();
    doubts.demand_charges();
    doubts.carbon_of_electricity();
    doubts.heating_values();
    doubts.poor_fans();
    doubts.poor_burners();
    doubts.dear_options();
    doubts.fixed_charges();
    doubts.drying_rates();
    doubts.hidden_periods();
    doubts.endless_setbacks();
    doubts.intake_of_another_year(years);
    doubts.small_pressures();
    doubts.store_envelope();
    doubts.store_volume(years);
    doubts.store_cooling(years);
    doubts.terms();
    doubts.financing();
    doubts.growth();
    doubts.safe_waits();
    doubts.found
}

/// The path of a key of a room.
fn room_key(room: &RoomSpec, key: &str) -> String {
    format!("room.{}.{key}", room.name)
}

impl Doubts<'_> {
    /// A warning at an input, by the name that programs know it by.
    fn doubt(&mut self, code: &'static str, path: &str, what: String, cure: &str) {
        let problem = problem_at(self.inputs, self.file, path, what);
        self.found.push(problem.cure(cure).code(code).as_warning());
    }

    /// What is worth knowing of an input, though no figure suffers.
    fn note(&mut self, code: &'static str, path: &str, what: String, cure: &str) {
        let problem = problem_at(self.inputs, self.file, path, what);
        self.found.push(problem.cure(cure).code(code).as_note());
    }

    fn airflow(&mut self, room: &RoomSpec) {
        let flow = room.airflow_m3_per_s_per_tonne;
        let (low, high) = match room.air {
            AirPath::Recirculating => USUAL_AIRFLOW,
            AirPath::OnceThrough => USUAL_AIRFLOW_ONCE,
        };
        if !(low..=high).contains(&flow) {
            let path = room_key(room, "airflow_m3_per_s_per_tonne");
            let what = format!(
                "airflow_m3_per_s_per_tonne is {flow}; dryers of in-shell nuts move {low} to {high} m³/s a tonne"
            );
            self.doubt("room.airflow", &path, what, "look whether it is m³/s for each received tonne");
        }
    }

    /// Fans of a known curve give what they give, whatever the airflow that the study names.
    fn air_of_the_fans(&mut self, room: &RoomSpec) {
        let Some(bank) = &room.fan_bank else {
            return;
        };
        let full: Vec<LoadedBin> = room.bins.iter().map(LoadedBin::full).collect();
        let capacity_t = full.iter().map(|bin| bin.received_kg).sum::<f64>() / 1000.0;
        let asked = room.airflow_m3_per_s_per_tonne;
        let given = bank.shares(&room.bin_fan, asked, &full).iter().map(|share| share.airflow_m3_per_s).sum::<f64>()
            / capacity_t;
        if (given / asked - 1.0).abs() > OTHER_AIR {
            let path = room_key(room, "airflow_m3_per_s_per_tonne");
            let what = format!(
                "airflow_m3_per_s_per_tonne is {asked}, but with every bin full the fans give {given:.3}, and that is what the season is run with"
            );
            let cure =
                "name the air that the fans give, since the drop of the ducts is reckoned at it, or give other fans";
            self.doubt("room.fan_air", &path, what, cure);
        }
    }

    fn bed_depth(&mut self, room: &RoomSpec) {
        // The lightest crop lies deepest.
        let beds = self.study.plant.crops.iter().filter_map(|crop| crop.in_the_way);
        let density = beds.map(|bed| bed.bulk_density_kg_per_m3).fold(room.bin_fan.bulk_density_kg_per_m3, f64::min);
        let deepest = room
            .bins
            .iter()
            .map(|bin| (bin, bin.capacity_t * 1000.0 / density / bin.floor_area_m2))
            .max_by(|(_, a), (_, b)| a.total_cmp(b));
        let Some((bin, depth_m)) = deepest.filter(|(_, depth_m)| *depth_m > DEEPEST_BED_M) else {
            return;
        };
        let what = format!(
            "{} t on {} m² lie {depth_m:.1} m deep; beyond {DEEPEST_BED_M} m the air is moist before it leaves and the top stays wet",
            bin.capacity_t, bin.floor_area_m2
        );
        let path = self
            .inputs
            .iter()
            .find(|input| {
                input.path.starts_with(&room_key(room, "bins."))
                    && input.path.ends_with(".floor_area_m2")
                    && input.number == Some(bin.floor_area_m2)
            })
            .map_or_else(|| room_key(room, "bins"), |input| input.path.clone());
        self.doubt("room.depth", &path, what, "look at tonnes and floor_area_m2, each of one bin");
    }

    /// A load that no bin of the first room holds: a bin that is full is begun all the same.
    fn least_load(&mut self) {
        let room = self.study.plant.first_room();
        let least_t = self.study.plant.loading().least_load_kg / 1000.0;
        let most_t = room.bins.iter().map(|bin| bin.capacity_t).fold(0.0, f64::max);
        if least_t <= most_t {
            return;
        }
        self.doubt(
            "room.least_load",
            &room_key(room, "least_load_t"),
            format!(
                "least_load_t is {least_t}, and no bin holds more than {most_t} t; a full bin is begun all the same"
            ),
            "give the least load of one bin, in received tonnes",
        );
    }

    /// Nuts are never left to wait for a full bin beyond what is safe.
    fn fill_within(&mut self) {
        let study = self.study;
        let asked_h = study.plant.loading().fill_within_hours;
        let path = room_key(study.plant.first_room(), "fill_within_hours");
        if !self.inputs.iter().any(|input| input.path == path && input.is_given()) {
            return;
        }
        let mut crops = study.crops.iter().zip(study.plant.stays());
        let Some((crop, stay)) = crops.find(|(_, stay)| stay.load_within_hours < asked_h) else {
            return;
        };
        self.doubt(
            "room.fill_within",
            &path,
            format!(
                "fill_within_hours is {asked_h}, but {} waits safely for {} h; a bin is begun by then, full or not",
                crop.name, stay.load_within_hours
            ),
            "give no more than safe_wait, or a safe_wait of your own",
        );
    }

    /// At fixed received tonnes a draw of wetter nuts is a smaller crop, which hides what water costs.
    fn wetter_nuts_are_less_crop(&mut self) {
        let drawn = self.study.uncertainty.iter().flat_map(|ask| &ask.inputs).filter(|input| input.standing.is_none());
        let of_tables: Vec<String> = drawn
            .filter_map(|input| input.path.strip_suffix(".received_moisture"))
            .map(|table| format!("{table}.season_tonnes"))
            .collect();
        for path in of_tables {
            if self.inputs.iter().any(|input| input.path == path) {
                let what = "season_tonnes stays as it is while received_moisture is drawn: wetter nuts are then less crop, and dry for less than they cost";
                self.doubt(
                    "intake.drier_crop",
                    &path,
                    what.to_owned(),
                    "give dried_tonnes instead, which holds the crop",
                );
            }
        }
    }

    fn hot_air_on_wet_nuts(&mut self) {
        let study = self.study;
        for crop in &study.crops {
            let received = crop.received_moisture;
            let come_with = study.plant.hand_overs.iter().map(|next| next.at_moisture);
            let wettest = std::iter::once(received).chain(come_with);
            for (room, moisture) in study.plant.rooms().zip(wettest) {
                let air_c = room.temperature_for(moisture);
                let limit_c = crop.crop.max_air_temperature_c(moisture);
                if air_c <= limit_c {
                    continue;
                }
                let what = format!(
                    "nuts of {:.0} % w.b. get air of {air_c} °C; {} wants at most {limit_c} °C at that moisture",
                    water::percent_of_dry_basis(moisture),
                    crop.name
                );
                let path = format!("room.{}.temperature_c", room.name);
                self.doubt("room.hot_air", &path, what, "begin cooler, or give the crop limits of its own");
            }
        }
    }

    fn hot_condensers(&mut self, years: &[WeatherYear]) {
        for hot in hot_condensers(self.study, years) {
            self.doubt("store.condenser_air", "cool_store.units.condenser_air_max_c", hot.what, hot.cure);
        }
    }

    fn store_wets_nuts(&mut self) {
        let study = self.study;
        let plant = &study.plant;
        let Some(store) = &plant.store else { return };
        let (_, dampest) = store.relative_humidity;
        for ((nuts, stay), crop) in plant.nuts_by_crop().zip(plant.stays()).zip(&study.crops) {
            let (isotherm, target) = (&nuts.isotherm, stay.dried_moisture);
            let held = isotherm.equilibrium_moisture(store.temperature_c, dampest);
            if held <= target {
                continue;
            }
            let of_kernel = |nut: Option<RestedNut>| {
                let pct = nut.map(|nut| water::percent_of_dry_basis(nut.kernel));
                pct.map_or_else(String::new, |pct| format!(" (kernel {pct:.1} %)"))
            };
            let dried = of_kernel(crop.rested(target));
            let pair = crop.crop.isotherm_pair();
            let damp = of_kernel(pair.and_then(|pair| pair.at(store.temperature_c, dampest).ok()));
            let what = format!(
                "air of {:.0} % RH at {} °C holds these nuts at {:.1} % w.b.{damp}: nuts dried to {:.1} %{dried} would take up water again",
                dampest * 100.0,
                store.temperature_c,
                water::percent_of_dry_basis(held),
                water::percent_of_dry_basis(target),
            );
            let most = 100.0 * isotherm.equilibrium_relative_humidity(store.temperature_c, target);
            let cure = format!("keep the store at {most:.0} % RH at most, or the nuts in tight bags");
            self.doubt("store.damp", "cool_store.relative_humidity", what, &cure);
        }
    }

    fn little_heat(&mut self, years: &[WeatherYear]) {
        let Some(need) = rough_need(self.study, years) else {
            return;
        };
        let poor: Vec<(String, f64)> = self
            .study
            .heatings
            .iter()
            .map(|heating| (heating.name.clone(), heat_kw(self.study, heating)))
            .filter(|(_, heat_kw)| *heat_kw < LITTLE_HEAT * need.kw)
            .collect();
        for (name, heat_kw) in poor {
            let what =
                format!("option \"{name}\" has {heat_kw:.0} kW of heat at most; {} roughly {:.0} kW", need.of, need.kw);
            let path = format!("option.{name}.sources");
            self.doubt("heat.little", &path, what, "look at capacity_kw, the airflow and the temperature");
        }
    }

    /// A heated room that no source of an option serves.
    fn rooms_without_heat(&mut self) {
        let rooms: Vec<(usize, String)> = self
            .study
            .plant
            .rooms()
            .enumerate()
            .filter(|(_, room)| room.stages.iter().any(Stage::is_heated))
            .map(|(place, room)| (place, room.name.clone()))
            .collect();
        for heating in &self.study.heatings {
            for (place, room) in &rooms {
                let serves = |source: &Source| source.room.is_none_or(|only| only == *place);
                let by_condensers = heating.condensers.place.recovers() && heating.condensers_room == *place;
                if heating.sources.iter().any(serves) || by_condensers {
                    continue;
                }
                let what = format!(
                    "option \"{}\" has no source that serves the room \"{room}\", which is to be heated",
                    heating.name
                );
                let path = format!("option.{}.sources", heating.name);
                let cure = "name a source without a room of its own, or one of that room";
                self.doubt("heat.room", &path, what, cure);
            }
        }
    }

    fn unused_sources(&mut self) {
        let names: Vec<String> = self
            .inputs
            .iter()
            .filter_map(|input| input.path.strip_prefix("source.")?.strip_suffix(".name").map(str::to_owned))
            .collect();
        for name in names {
            let is_used =
                self.study.heatings.iter().any(|heating| heating.sources.iter().any(|source| source.name == name));
            if !is_used {
                let what = format!("no option calls on the source \"{name}\"");
                let path = format!("source.{name}.name");
                self.doubt("source.unused", &path, what, "name it in an option's sources, or strike it out");
            }
        }
    }
}

fn hottest_c(study: &Study) -> Option<f64> {
    study.plant.first_room().hottest_stage_c()
}

/// The most heat an option can have at any hour: its firm sources', and what all condensers give off at rated
/// conditions.
fn heat_kw(study: &Study, heating: &Heating) -> f64 {
    // What gives what the hour offers gives nothing at night.
    let firm = heating.sources.iter().filter(|source| !source.is_passive());
    let sources_kw: f64 = firm.map(|source| source.capacity_kw).sum();
    let condensers_kw = match &study.plant.store {
        Some(store) if heating.condensers.place.recovers() => {
            let rating = store.units.performance.rating();
            let all = store.units.count;
            let count = heating.condensers.units.unwrap_or(all).min(all);
            f64::from(count) * rating.capacity_kw * (1.0 + 1.0 / rating.cop)
        }
        _ => 0.0,
    };
    sources_kw + condensers_kw
}

/// A rough estimate of heat, kW, with the words that say what it is of.
struct RoughNeed {
    of: &'static str,
    kw: f64,
}

/// Heat that is needed at the mean outside air of the season. Nuts, fabric and the heat of fans are left
/// out: a tenth or two of the whole, well within what is called little. `None` without weather.
fn rough_need(study: &Study, years: &[WeatherYear]) -> Option<RoughNeed> {
    let outside = mean_air(study, years)?;
    match study.plant.first_room().air {
        AirPath::Recirculating => {
            let season_s = 3600.0 * years.first()?.season_hours as f64;
            rough_need_of_room(study, &outside, season_s)
        }
        AirPath::OnceThrough => rough_need_of_bin(study, &outside),
    }
}

/// What leaves a recirculating room with the air that carries the season's water out, and through the
/// envelope.
fn rough_need_of_room(study: &Study, outside: &MoistAir, season_s: f64) -> Option<RoughNeed> {
    let room = study.plant.first_room();
    let set_c = hottest_c(study)?;
    let inside = MoistAir::from_relative_humidity(set_c, room.relative_humidity_max, outside.pressure_pa()).ok()?;
    let carried = inside.humidity_ratio() - outside.humidity_ratio();
    if carried <= 0.0 {
        return None;
    }
    let dried_moisture = study.plant.crops[0].stay.dried_moisture;
    let water_kg =
        study.intake.received_t() * water::water_per_received_tonne_kg(study.received_moisture, dried_moisture);
    let air_kw = water_kg / season_s / carried * (inside.enthalpy_kj_per_kg() - outside.enthalpy_kj_per_kg());
    let warming_k = set_c - outside.dry_bulb_c();
    let envelope_kw = room.envelope_ua_w_per_k * warming_k / 1000.0;
    // Fresh air is drawn in at its least however little water there is to carry.
    let least_kg_per_s = room.fresh_air_min_m3_per_s * outside.density_kg_per_m3();
    let least_air_kw = least_kg_per_s * AIR_KJ_PER_KG_K * warming_k;
    Some(RoughNeed { of: "the season's mean need is", kw: air_kw.max(least_air_kw).max(0.0) + envelope_kw.max(0.0) })
}

/// What the air of the largest bin must be warmed by, where it passes once.
fn rough_need_of_bin(study: &Study, outside: &MoistAir) -> Option<RoughNeed> {
    let room = study.plant.first_room();
    let largest_t = room.bins.iter().map(|bin| bin.capacity_t).fold(0.0, f64::max);
    let flow_m3_per_s = room.airflow_m3_per_s_per_tonne * largest_t;
    let warming_k = (hottest_c(study)? - outside.dry_bulb_c()).max(0.0);
    let all_t: f64 = room.bins.iter().map(|bin| bin.capacity_t).sum();
    let loss_kw_per_k = room.envelope_ua_w_per_k / 1000.0 * largest_t / all_t;
    let air_kw_per_k = flow_m3_per_s * outside.density_kg_per_m3() * AIR_KJ_PER_KG_K;
    Some(RoughNeed {
        of: "the air of one bin alone, with what its ducts and walls lose, needs",
        kw: (air_kw_per_k + loss_kw_per_k) * warming_k,
    })
}

/// Mean outside air of the seasons.
fn mean_air(study: &Study, years: &[WeatherYear]) -> Option<MoistAir> {
    let hours = || years.iter().flat_map(WeatherYear::season);
    let count = hours().count() as f64;
    if count == 0.0 {
        return None;
    }
    let dry_bulb_c = hours().map(|hour| hour.air.dry_bulb_c()).sum::<f64>() / count;
    let humidity_ratio = hours().map(|hour| hour.air.humidity_ratio()).sum::<f64>() / count;
    let pressure_pa = standard_pressure_pa(study.site.altitude_m);
    MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa).ok()
}
