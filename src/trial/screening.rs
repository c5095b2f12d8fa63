//! Where to look: a standing list of measures, each written as the option that a person would put into the study. They
//! are read by the reader that reads options, below the same bounds; what does not fit the plant is refused by it.
//!
//! A measure belongs on the list if plants of this kind are known to differ in it, and if it can be said of a plant
//! without asking its owner. How far each goes is a round step to look with, no design.

use super::screened_heating::Base;
use super::standing_measure::{Set, StandingMeasure, number, setting, three_figures};
use crate::heat::Source;
use crate::number::{Digits, Measure, Sentence};
use crate::printable::toml_text;
use crate::study::Study;
use crate::study::input::Input;

// Steps to look with, all assumptions: as large as one is likely to try, and round.

/// Humidity limit, points above the study's.
const DAMPER_POINTS: f64 = 10.0;
/// Set temperature, K above or below the study's.
const TEMPERATURE_STEP_K: f64 = 3.0;
/// Airflow, times the study's.
const LESS_AIR: f64 = 0.75;
const MORE_AIR: f64 = 1.25;
/// A room set back at night, K below its set temperature.
const SETBACK_K: f64 = 10.0;
/// Hours of the night in which it is.
const NIGHT: &str = "22-6";
/// The wettest nuts of a batch may be so many points further above the target.
const ENDING_POINTS: f64 = 1.0;
/// Cool store, K warmer.
const STORE_STEP_K: f64 = 2.0;
/// Loads of a row of bins come to this share of a bin at least.
const FULL_LOAD: f64 = 0.9;

/// The list for the option of this study at a place. `inputs` is what was read of the study as that option has it, and
/// `heat_peak_kw` the most heat that its plant needs in an hour, kW: what new sources are sized by.
pub(crate) fn standing_measures(
    study: &Study,
    place: usize,
    inputs: &[Input],
    heat_peak_kw: f64,
) -> Vec<StandingMeasure> {
    let Some(heating) = study.heatings.get(place) else { return Vec::new() };
    let plant = Plant { on: &heating.name, inputs, rooms: rooms(inputs) };
    let known: Vec<&Source> = study.heatings.iter().flat_map(|heating| &heating.sources).collect();
    let base = Base { name: &heating.name, sources: &heating.sources, known };
    let mut all = plant.of_rooms();
    all.extend(plant.of_loads());
    all.extend(plant.of_hours());
    all.extend(plant.of_store());
    if study.of_option(place).plant.store.is_some() {
        all.extend(base.condensers(heating.condensers.place.place(), plant.recirculates()));
    }
    all.extend(base.new_sources(heat_peak_kw));
    all
}

/// A difference of temperatures in words: a space of its own, as it stands in files.
fn in_kelvin(kelvin: f64) -> String {
    let measure = Measure::of("K");
    format!("{} {}", measure.number(kelvin), measure.sign())
}

/// What is known of the plant: every value that was read of it.
struct Plant<'a> {
    /// Name of the option whose plant it is.
    on: &'a str,
    inputs: &'a [Input],
    /// Paths of the rooms: `room.drying room`.
    rooms: Vec<String>,
}

/// Paths of the rooms, in their order.
fn rooms(inputs: &[Input]) -> Vec<String> {
    let of_rooms = inputs.iter().filter(|input| input.path.starts_with("room."));
    of_rooms.filter_map(|input| Some(input.path.strip_suffix(".air")?.to_owned())).collect()
}

impl Plant<'_> {
    /// The option with these values set; nothing where there are none.
    fn setting(&self, name: &str, does: impl Into<Sentence>, set: Set) -> Option<StandingMeasure> {
        setting(self.on, name, does, set)
    }

    fn input(&self, path: &str) -> Option<&Input> {
        self.inputs.iter().find(|input| input.path == path)
    }

    fn number(&self, path: &str) -> Option<f64> {
        self.input(path)?.number
    }

    fn says(&self, path: &str, word: &str) -> bool {
        self.input(path).is_some_and(|input| input.value_text == word)
    }

    /// True if the air of some room goes round.
    fn recirculates(&self) -> bool {
        self.rooms.iter().any(|room| self.says(&format!("{room}.air"), "recirculating"))
    }

    /// A number of every room that has it, changed; rooms of which nothing comes are left as they are.
    fn each_room(&self, key: &str, to: impl Fn(f64) -> f64) -> Set {
        let paths = self.rooms.iter().map(|room| format!("{room}.{key}"));
        paths
            .filter_map(|path| Some((self.number(&path)?, path)))
            .filter(|(own, _)| *own > 0.0)
            .map(|(own, path)| (path, number(three_figures(to(own)))))
            .collect()
    }

    /// A word of every room that says another.
    fn each_room_says(&self, key: &str, from: &str, to: &str) -> Set {
        let paths = self.rooms.iter().map(|room| format!("{room}.{key}"));
        paths.filter(|path| self.says(path, from)).map(|path| (path, to.to_owned())).collect()
    }

    /// Temperatures that rooms are set to, each with its path: those of stages where there are any.
    fn temperatures(&self) -> Vec<(&str, f64)> {
        let is_set = |path: &str| {
            self.rooms.iter().any(|room| {
                path.strip_prefix(room.as_str()).is_some_and(|rest| {
                    rest == ".temperature_c" || (rest.starts_with(".stages.") && rest.ends_with(".temperature_c"))
                })
            })
        };
        let set = self.inputs.iter().filter(|input| is_set(&input.path));
        set.filter_map(|input| Some((input.path.as_str(), input.number?))).collect()
    }

    fn warmer_by(&self, kelvin: f64) -> Set {
        let set = self.temperatures().into_iter();
        set.map(|(path, own_c)| (path.to_owned(), number(own_c + kelvin))).collect()
    }

    /// Walls, air and set points of the rooms.
    fn of_rooms(&self) -> Vec<StandingMeasure> {
        let kelvin = TEMPERATURE_STEP_K;
        let drying_air = |how: &str| Sentence::of(|| format!("drying air {} {how}", in_kelvin(kelvin)));
        let all = [
            self.setting(
                "half the heat through walls",
                "walls, ducts and plenums of the drying rooms lose half of what they lose now (insulation)",
                self.each_room("envelope_ua_w_per_k", |ua| ua / 2.0),
            ),
            self.setting(
                "damper room air",
                &format!(
                    "the humidity limit of the room stands {DAMPER_POINTS} points higher, so that less warm air is let out"
                ),
                self.damper(),
            ),
            self.setting("warmer drying air", drying_air("warmer"), self.warmer_by(kelvin)),
            self.setting("cooler drying air", drying_air("cooler"), self.warmer_by(-kelvin)),
            self.setting(
                "recirculated air",
                "the room's air goes round, and only what carries the water out is replaced",
                self.recirculated(),
            ),
            self.setting("less air", Sentence::of(|| format!("{} times the air on every bin", Digits(LESS_AIR))), self.air_times(LESS_AIR)),
            self.setting("more air", Sentence::of(|| format!("{} times the air on every bin", Digits(MORE_AIR))), self.air_times(MORE_AIR)),
            self.setting(
                "fans of variable speed",
                "bin fans follow their load (frequency converters)",
                self.each_room_says("bin_fan.speed", "fixed", "\"variable\""),
            ),
            self.setting(
                "an unheated first stage",
                "the wettest half of the drying goes on in air as it is outside",
                self.unheated_first(),
            ),
        ];
        all.into_iter().flatten().collect()
    }

    /// Every room whose air passes once, with one temperature for all its bins and the walls that it has.
    fn recirculated(&self) -> Set {
        let mut set = Set::new();
        for (path, word) in self.each_room_says("air", "once-through", "\"recirculating\"") {
            let room = path.trim_end_matches(".air").to_owned();
            set.push((path, word));
            let walls = format!("{room}.envelope_ua_w_per_k");
            set.extend(self.number(&walls).map(|ua| (walls, number(three_figures(ua)))));
            if self.has_stages(&room) {
                let hottest = self.hottest_c(&room).map(|c| format!("[{{ temperature_c = {} }}]", number(c)));
                set.extend(hottest.map(|stages| (format!("{room}.stages"), stages)));
            }
        }
        set
    }

    fn has_stages(&self, room: &str) -> bool {
        self.inputs.iter().any(|input| input.path.starts_with(&format!("{room}.stages.")))
    }

    /// The hottest that a room is set to, °C.
    fn hottest_c(&self, room: &str) -> Option<f64> {
        let own = self.temperatures().into_iter().filter(|(path, _)| path.starts_with(&format!("{room}.")));
        own.map(|(_, own_c)| own_c).reduce(f64::max)
    }

    /// No damper than the room may be when heat is short.
    fn damper(&self) -> Set {
        let mut set = Set::new();
        for room in &self.rooms {
            let path = format!("{room}.relative_humidity_max");
            // Both are read of every room that has a limit, given or default.
            let most = self.number(&format!("{room}.relative_humidity_when_short"));
            let Some((own, most)) = self.number(&path).zip(most) else { continue };
            let damper = (own + DAMPER_POINTS).min(three_figures(most.floor()));
            if damper > own {
                set.push((path, number(damper)));
            }
        }
        set
    }

    /// Ducts resist as the square of the air. Rooms whose air follows from the curves of their fans are left out.
    fn air_times(&self, times: f64) -> Set {
        let is_of_curve = |room: &String| {
            self.inputs.iter().any(|input| {
                let rest = input.path.strip_prefix(room.as_str()).unwrap_or_default();
                rest.starts_with(".bin_fan.curve") || rest == ".bin_fan.shut_off_pa"
            })
        };
        if self.rooms.iter().any(is_of_curve) {
            return Set::new();
        }
        let mut set = self.each_room("airflow_m3_per_s_per_tonne", |air| air * times);
        if !set.is_empty() {
            set.extend(self.each_room("bin_fan.duct_pressure_pa", |pa| pa * times * times));
        }
        set
    }

    /// The wettest half of the way from received to dried in a stage that is not heated, where air passes once.
    fn unheated_first(&self) -> Set {
        let Some(room) = self.rooms.first().filter(|room| self.says(&format!("{room}.air"), "once-through")) else {
            return Set::new();
        };
        let moisture = |key: &str| {
            let suffix = format!(".{key}");
            let of_crops =
                self.inputs.iter().filter(|input| input.path.starts_with("crop.") && input.path.ends_with(&suffix));
            of_crops.filter_map(|input| input.number).reduce(f64::max)
        };
        let (Some(received), Some(dried)) = (moisture("received_moisture"), moisture("dried_moisture")) else {
            return Set::new();
        };
        let own_c = self.number(&format!("{room}.temperature_c"));
        match own_c {
            Some(own_c) if self.rooms.len() == 1 && !self.has_stages(room) => {
                let half = three_figures(f64::midpoint(received, dried));
                let stages = format!(
                    "[{{ above_moisture = {}, heated = false }}, {{ temperature_c = {} }}]",
                    number(half),
                    number(own_c)
                );
                vec![(format!("{room}.stages"), stages)]
            }
            Some(_) | None => Set::new(),
        }
    }

    /// What bins are loaded with, and when a batch is dry.
    fn of_loads(&self) -> Vec<StandingMeasure> {
        let points = ENDING_POINTS;
        let ending = self.rooms.last().and_then(|room| {
            let path = format!("{room}.moisture_spread");
            Some(vec![(path.clone(), number(self.number(&path)? + points))])
        });
        let all = [
            self.setting(
                "fuller loads",
                &format!(
                    "a bin is not begun before {} % of the smallest are there, unless its nuts can wait no longer",
                    FULL_LOAD * 100.0
                ),
                self.fuller_loads().unwrap_or_default(),
            ),
            self.setting(
                "earlier ending",
                &format!(
                    "drying ends when the wettest nuts are {points} point further above the target: less overdrying, less even nuts"
                ),
                ending.unwrap_or_default(),
            ),
            self.setting(
                "an ending that foresees cooling",
                "drying ends when cooling will take the rest",
                self.each_room_says("foresee_cooling", "false", "true"),
            ),
        ];
        all.into_iter().flatten().collect()
    }

    fn fuller_loads(&self) -> Option<Set> {
        let room = self.rooms.first()?;
        let bins = format!("{room}.bins.");
        let tonnes =
            self.inputs.iter().filter(|input| input.path.starts_with(&bins) && input.path.ends_with(".tonnes"));
        let smallest_t = tonnes.filter_map(|input| input.number).reduce(f64::min)?;
        let path = format!("{room}.least_load_t");
        let full_t = three_figures(smallest_t * FULL_LOAD);
        (self.number(&path)? < full_t).then(|| vec![(path, number(full_t))])
    }

    /// Hours in which rooms rest.
    fn of_hours(&self) -> Vec<StandingMeasure> {
        let is_free =
            |room: &&String| !self.inputs.iter().any(|input| input.path.starts_with(&format!("{room}.setback.")));
        let free: Vec<&String> = self.rooms.iter().filter(is_free).collect();
        let at_night = free.iter().filter_map(|room| {
            let back_c = self.hottest_c(room)? - SETBACK_K;
            let setback = format!("[{{ hours = \"{NIGHT}\", temperature_c = {} }}]", number(back_c));
            (back_c > 0.0).then(|| (format!("{room}.setback"), setback))
        });
        let at_night: Set = at_night.collect();
        let dear = self.dearest_hours().map(|period| {
            let setback = format!("[{{ when = {}, fan_share = 0.0 }}]", toml_text(period));
            let set: Set = free.iter().map(|room| (format!("{room}.setback"), setback.clone())).collect();
            (period, set)
        });
        let does_dear = |period: &str| -> Sentence {
            (&format!("fans and heat rest in the tariff’s dearest hours, “{period}”")).into()
        };
        let cooler = Sentence::of(|| format!("drying air {} cooler in hours {NIGHT}", in_kelvin(SETBACK_K)));
        let all = [
            self.setting("set back at night", cooler, at_night),
            dear.and_then(|(period, set)| self.setting("at rest in dear hours", does_dear(period), set)),
        ];
        all.into_iter().flatten().collect()
    }

    /// Name of the dearest period of the electricity tariff, where it is dearer than all other times.
    fn dearest_hours(&self) -> Option<&str> {
        const TARIFF: &str = "carrier.electricity.tariff.";
        let price_of = |input: &Input| {
            let of = input.path.strip_prefix(TARIFF)?;
            Some((of.strip_suffix(".price")?.to_owned(), input.number?))
        };
        let prices: Vec<(String, f64)> = self.inputs.iter().filter_map(price_of).collect();
        let (otherwise, periods): (Vec<_>, Vec<_>) =
            prices.iter().filter(|(of, _)| !of.starts_with("demand.")).partition(|(of, _)| of == "otherwise");
        let (dearest, price) =
            periods.into_iter().filter(|(of, _)| of.starts_with("period.")).max_by(|a, b| a.1.total_cmp(&b.1))?;
        let is_dearer = otherwise.iter().all(|(_, other)| price > other);
        let name = self.input(&format!("{TARIFF}{dearest}.name")).filter(|_| is_dearer)?;
        Some(&name.value_text)
    }

    /// The cool store's walls, temperature and doors.
    fn of_store(&self) -> Vec<StandingMeasure> {
        let one = |path: &str, to: &dyn Fn(f64) -> f64| -> Set {
            let own = self.number(path).filter(|own| *own > 0.0);
            own.map(|own| (path.to_owned(), number(three_figures(to(own))))).into_iter().collect()
        };
        let curtain = "cool_store.doors.curtain";
        let doors = if self.says(curtain, "none") {
            vec![(curtain.to_owned(), "\"strips\"".to_owned())]
        } else {
            one("cool_store.doors.open_minutes_per_day", &|minutes| minutes / 2.0)
        };
        let all = [
            self.setting(
                "half the heat through the store’s walls",
                "walls, roof and floor of the cool store let in half of what they let in now (insulation)",
                one("cool_store.envelope_ua_w_per_k", &|ua| ua / 2.0),
            ),
            self.setting(
                "a warmer store",
                Sentence::of(|| format!("the cool store {} warmer", in_kelvin(STORE_STEP_K))),
                one("cool_store.temperature_c", &|own_c| own_c + STORE_STEP_K),
            ),
            self.setting(
                "better closed doors",
                "strips in the store’s doors, or half the time that they stand open",
                doors,
            ),
        ];
        all.into_iter().flatten().collect()
    }
}
