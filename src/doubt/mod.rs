//! What can be but hardly will: inputs that are possible, yet more often a slip than meant. Each is a
//! warning with its reason; nothing is refused here.

mod amounts;
mod beds;
mod burners;
mod collectors;
mod deliveries;
mod drying;
mod financing;
mod fresh_air;
mod growth;
mod harvest;
mod heater_costs;
mod heating_values;
mod hours;
mod need;
mod owning;
mod prices;
mod pumps;
mod sizes;
mod stages;
mod store;
mod taken;
mod targets;
mod trips;
mod usual;

use crate::crop::{RestedNut, water};
use crate::dryer::{AirPath, LoadedBin, RoomSpec, Stage};
use crate::heat::Source;
use crate::problem::{Matter, Problem};
use crate::season::Heating;
use crate::study::Study;
use crate::study::input::{Input, problem_at};
use crate::weather::WeatherYear;
use need::{heat_kw, rough_need};
use trips::hot_condensers;

/// Air through in-shell nuts, m³/s per received tonne, where it comes back and where it passes once: what plants
/// are built for (from memory, not verified, with a margin at both ends). Free-flowing bins of walnuts get some
/// 25 ft³/min for each ft³ of nuts, 1.3 m³/s a tonne.
const USUAL_AIRFLOW: (f64, f64) = (0.02, 0.6);
const USUAL_AIRFLOW_ONCE: (f64, f64) = (0.02, 1.6);
/// Air that differs by more than this share from what is named is told.
const OTHER_AIR: f64 = 0.1;
/// Heat below this share of a rough estimate is called little.
const LITTLE_HEAT: f64 = 0.7;

/// What the heat that is needed rests on.
const HEAT_NEED: &[Matter] = &[
    Matter::OutsideAir,
    Matter::Deliveries,
    Matter::Moisture,
    Matter::Bins,
    Matter::DayTonnes,
    Matter::SeasonTonnes,
    Matter::Airflow,
    Matter::RoomAir,
    Matter::RoomWalls,
];

/// Which options are run with plant, nuts and intake as the study in hand has them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Run {
    /// Those that change nothing of it.
    Unchanged,
    /// The one at this place alone: the study is as it has it.
    Alone(usize),
}

/// A study with what it is judged beside.
struct Doubts<'a> {
    study: &'a Study,
    inputs: &'a [Input],
    file: &'a str,
    run: Run,
    found: Vec<Problem>,
}

/// Warnings about a study, in no need of its season being run. `file` is the study's name for people;
/// without weather nothing is said of heat, and of an option only where it is run so.
pub(crate) fn doubts(file: &str, study: &Study, inputs: &[Input], years: &[WeatherYear], run: Run) -> Vec<Problem> {
    let mut doubts = Doubts { study, inputs, file, run, found: Vec::new() };
    for room in study.plant.rooms() {
        doubts.airflow(room);
        doubts.air_of_the_fans(room);
        doubts.bed_depth(room);
        doubts.thin_bed(room);
        doubts.cooling_stages(room);
    }
    doubts.cooling_rooms();
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
    doubts.least_outputs(years);
    doubts.fresh_air(years);
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
    doubts.efficiencies();
    doubts.dear_options();
    doubts.cheap_options();
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
    doubts.library_values();
    doubts.received_moistures();
    doubts.usual_values();
    doubts.dear_nights();
    doubts.odd_periods();
    doubts.pumps();
    doubts.collectors();
    doubts.store_humidity();
    doubts.store_stay();
    doubts.store_fans();
    doubts.prices_of_nuts();
    doubts.small_money();
    doubts.lost_deliveries();
    doubts.long_season();
    doubts.harvest();
    doubts.found
}

/// The path of a key of a room.
fn room_key(room: &RoomSpec, key: &str) -> String {
    format!("room.{}.{key}", room.name)
}

impl Doubts<'_> {
    /// A warning at an input, by the name that programs know it by. What it casts doubt on, and what it follows from,
    /// may be said of what comes back.
    fn doubt(&mut self, code: &'static str, path: &str, what: String, cure: &str) -> &mut Problem {
        let problem = problem_at(self.inputs, self.file, path, what);
        let at = self.found.len();
        self.found.push(problem.cure(cure).code(code).into_warning());
        &mut self.found[at]
    }

    /// Options that are run with the study as it is in hand.
    fn heatings(&self) -> impl Iterator<Item = &Heating> {
        let is_run = |place: usize| match self.run {
            Run::Unchanged => self.study.changed_by(place).is_none(),
            Run::Alone(only) => place == only,
        };
        let all = self.study.heatings.iter().enumerate();
        all.filter(move |(place, _)| is_run(*place)).map(|(_, heating)| heating)
    }

    /// What is worth knowing of an input, though no figure suffers.
    fn note(&mut self, code: &'static str, path: &str, what: String, cure: &str) {
        let problem = problem_at(self.inputs, self.file, path, what);
        self.found.push(problem.cure(cure).code(code).into_note());
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
            let cure = "look whether it is m³/s for each received tonne";
            self.doubt("room.airflow", &path, what, cure).is_about = &[Matter::Airflow];
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
            self.doubt("room.fan_air", &path, what, cure).follows_from = &[Matter::Bins, Matter::Airflow];
        }
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
                let path = self.temperature_path(room, air_c);
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
            .heatings()
            .map(|heating| (heating.name.clone(), heat_kw(self.study, heating)))
            .filter(|(_, heat_kw)| *heat_kw < LITTLE_HEAT * need.kw)
            .collect();
        for (name, heat_kw) in poor {
            let what =
                format!("option \"{name}\" has {heat_kw:.0} kW of heat at most; {} roughly {:.0} kW", need.of, need.kw);
            let path = format!("option.{name}.sources");
            let cure = "look at capacity_kw, the airflow and the temperature";
            self.doubt("heat.little", &path, what, cure).follows_from = HEAT_NEED;
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
        let mut found = Vec::new();
        for heating in self.heatings() {
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
                found.push((format!("option.{}.sources", heating.name), what));
            }
        }
        for (path, what) in found {
            let cure = "name a source without a room of its own, or one of that room";
            self.doubt("heat.room", &path, what, cure);
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
