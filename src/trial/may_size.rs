//! The numbers of an option's plant that may be bought in another size: those for which the study tells a price.
//!
//! A source is priced by its own `capital_per_kw`, which the reader of sources goes by; what of its kind grows with it
//! (area, surface, coil) is set beside its capacity. The rest is priced by the room's `[room.prices]`, against the
//! plant as the option has it, and stands in the option's `capital`.

use super::size_grid::{counts_about, envelopes_below, sizes_about};
use crate::dryer::{AirPath, BinSpec, RoomSpec};
use crate::heat::{Effectiveness, Kind, Source};
use crate::study::input::{Input, find};
use crate::study::{RoomPrices, Study};

/// An option's plant with the numbers of it that may be sized.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MaySize {
    /// Name of the option.
    pub on: String,
    /// The numbers: sources, the last that is called on first, then those of each room.
    pub numbers: Vec<SizedNumber>,
    /// What cannot be sized, and why.
    pub not_sized: Vec<NotSized>,
    /// True if the plant stands already: less of it gives no money back.
    pub is_installed: bool,
    /// Life of what is built in the rooms, years.
    pub life_years: f64,
    /// True if a grant may pay for the option.
    pub(super) grant: bool,
    /// Names of all options of the study.
    pub(super) taken: Vec<String>,
}

/// A number that may be sized.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SizedNumber {
    /// Which.
    pub of: SizedOf,
    /// What it belongs to: the source, or the room.
    pub name: String,
    /// Sizes that may be bought, least first; as it stands is one of them.
    pub sizes: Vec<f64>,
    /// Place of what stands among them.
    pub now: usize,
    /// What one of its unit costs; of an envelope, what halves it.
    pub price: f64,
    /// Values of the same source that grow with it: their paths, and what they are as it stands.
    pub(super) grow_along: Vec<(String, f64)>,
    /// The path by which it is set.
    pub(super) path: String,
    /// Tonnes that a bin holds which is added, and that the room's bins hold as it stands.
    pub(super) bins_t: (f64, f64),
}

/// What a number that may be sized is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SizedOf {
    /// Heat capacity of a source, kW.
    Source,
    /// Bins of a room, those of the last group of its list.
    Bins,
    /// Air through the bins of a room, m³/s per received tonne.
    Air,
    /// Most fresh air of a room, m³/s.
    FreshAir,
    /// Loss through walls, roof and floor of a room, W/K.
    Envelope,
}

/// What cannot be sized.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NotSized {
    /// What: `bins of "drying room"`.
    pub what: String,
    /// Why, and what the study is to say.
    pub why: String,
}

impl SizedOf {
    /// Its unit.
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::Source => "kW",
            Self::Bins => "bins",
            Self::Air => "m³/s per t",
            Self::FreshAir => "m³/s",
            Self::Envelope => "W/K",
        }
    }

    /// What its price is for.
    pub(crate) fn priced_by(self) -> &'static str {
        match self {
            Self::Source => "kW",
            Self::Bins => "bin",
            Self::Air | Self::FreshAir => "m³/s",
            Self::Envelope => "halving",
        }
    }

    /// What it is called before the name of its source or room.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Source => "heat of",
            Self::Bins => "bins of",
            Self::Air => "air through the bins of",
            Self::FreshAir => "most fresh air of",
            Self::Envelope => "loss through the envelope of",
        }
    }
}

impl SizedNumber {
    /// Its size as the option has it.
    pub(crate) fn as_it_stands(&self) -> f64 {
        self.sizes[self.now]
    }

    /// `bins of "drying room"`.
    pub(crate) fn what(&self) -> String {
        what(self.of, &self.name)
    }
}

fn what(of: SizedOf, name: &str) -> String {
    format!("{} \"{name}\"", of.words())
}

/// The numbers of the option at this place that may be sized. `inputs` is what was read of the study as that option has
/// it.
pub(crate) fn may_size(study: &Study, place: usize, inputs: &[Input]) -> MaySize {
    let own = study.of_option(place);
    let mut all = Gathered { inputs, numbers: Vec::new(), not_sized: Vec::new() };
    for source in study.heatings[place].sources.iter().rev() {
        let item = study.costs[place].items.iter().find(|item| item.name == source.name);
        all.add_source(source, item.and_then(|item| item.capital_per_kw));
    }
    let mut lives = Vec::new();
    for (room, prices) in own.plant.rooms().zip(&own.room_prices) {
        all.add_room(room, prices.as_ref());
        lives.extend(prices.as_ref().map(|prices| prices.life_years));
    }
    let base = study.heatings.iter().position(|heating| heating.name == study.baseline);
    MaySize {
        on: study.heatings[place].name.clone(),
        numbers: all.numbers,
        not_sized: all.not_sized,
        is_installed: study.application.baseline_installed,
        // One life for all that an option costs besides its sources: the shortest.
        life_years: lives.into_iter().reduce(f64::min).unwrap_or(15.0),
        // The baseline asks for no grant, and another plant in its place may.
        grant: base == Some(place) || study.costs[place].grant,
        taken: study.heatings.iter().map(|heating| heating.name.clone()).collect(),
    }
}

struct Gathered<'a> {
    inputs: &'a [Input],
    numbers: Vec<SizedNumber>,
    not_sized: Vec<NotSized>,
}

/// A number of a plant before it is known whether it may be sized.
struct Asked<'a> {
    of: SizedOf,
    name: &'a str,
    path: String,
    price: Option<f64>,
    /// Where the study would tell the price.
    key: &'a str,
}

impl Gathered<'_> {
    fn leave_out(&mut self, of: SizedOf, name: &str, why: impl Into<String>) {
        self.not_sized.push(NotSized { what: what(of, name), why: why.into() });
    }

    /// Adds a number with its sizes, or says what its price would stand under.
    fn add(&mut self, asked: Asked<'_>, now: f64, sizes: Vec<f64>, bins_t: (f64, f64)) {
        let Asked { of, name, path, price, key } = asked;
        let Some(price) = price else {
            self.leave_out(of, name, format!("nothing tells what it costs: {key}"));
            return;
        };
        let Some(place) = sizes.iter().position(|size| *size == now) else {
            self.leave_out(of, name, "there is none of it");
            return;
        };
        let name = name.to_owned();
        self.numbers.push(SizedNumber { of, name, sizes, now: place, price, grow_along: Vec::new(), path, bins_t });
    }

    fn add_source(&mut self, source: &Source, price: Option<f64>) {
        let Some(keys) = grows_along(&source.kind) else {
            let why = "its effectiveness says nothing of its size: give ua_w_per_k in its place";
            self.leave_out(SizedOf::Source, &source.name, why);
            return;
        };
        let path = |key: &str| format!("source.{}.{key}", source.name);
        let along = keys.iter().filter_map(|key| {
            let path = path(key);
            let own = find(self.inputs, &path).ok()?.number?;
            Some((path, own))
        });
        let along: Vec<(String, f64)> = along.collect();
        let (asked, kw) = (
            Asked {
                of: SizedOf::Source,
                name: &source.name,
                path: path("capacity_kw"),
                price,
                key: "capital_per_kw in its [[source]]",
            },
            source.capacity_kw,
        );
        let before = self.numbers.len();
        self.add(asked, kw, sizes_about(kw, 0.0), (0.0, 0.0));
        for number in &mut self.numbers[before..] {
            number.grow_along.clone_from(&along);
        }
    }

    fn add_room(&mut self, room: &RoomSpec, prices: Option<&RoomPrices>) {
        let path = |key: &str| format!("room.{}.{key}", room.name);
        let all_t: f64 = room.bins.iter().map(|bin| bin.capacity_t).sum();
        let group = self.last_group(&room.name);
        let last_t = room.bins.last().map_or(0.0, |bin: &BinSpec| bin.capacity_t);
        let asked = |of, path, price, key| Asked { of, name: &room.name, path, price, key };
        let of_bins = |group: usize| path(&format!("bins.{group}.count"));
        let count = group.and_then(|group| find(self.inputs, &of_bins(group)).ok()?.number);
        if let Some((group, count)) = group.zip(count) {
            let bins = asked(SizedOf::Bins, of_bins(group), prices.and_then(|p| p.bin), "bin in [room.prices]");
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count
            self.add(bins, count, counts_about(count as u32), (last_t, all_t));
        }

        let air = room.airflow_m3_per_s_per_tonne;
        let price = prices.and_then(|prices| prices.air_m3_per_s);
        let asked_air = asked(SizedOf::Air, path("airflow_m3_per_s_per_tonne"), price, "air_m3_per_s in [room.prices]");
        if room.fan_bank.is_some() {
            self.leave_out(SizedOf::Air, &room.name, "it follows from the fan's curve: size fans by their curves");
        } else {
            self.add(asked_air, air, sizes_about(air, 0.0), (last_t, all_t));
        }

        if room.air == AirPath::Recirculating {
            let fresh = room.fresh_air_max_m3_per_s;
            let price = prices.and_then(|prices| prices.fresh_air_m3_per_s);
            let key = "fresh_air_max_m3_per_s";
            if self.is_stated(&path(key)) {
                let sizes = sizes_about(fresh, room.fresh_air_min_m3_per_s);
                let fresh_air = asked(SizedOf::FreshAir, path(key), price, "fresh_air_m3_per_s in [room.prices]");
                self.add(fresh_air, fresh, sizes, (0.0, 0.0));
            } else {
                self.leave_out(
                    SizedOf::FreshAir,
                    &room.name,
                    format!("it goes with the bins' air until the study states {key}"),
                );
            }
        }

        let key = "envelope_ua_w_per_k";
        let ua = room.envelope_ua_w_per_k;
        if self.is_stated(&path(key)) {
            let price = prices.and_then(|prices| prices.half_envelope);
            let sizes = if ua > 0.0 { envelopes_below(ua) } else { Vec::new() };
            self.add(
                asked(SizedOf::Envelope, path(key), price, "half_envelope in [room.prices]"),
                ua,
                sizes,
                (0.0, 0.0),
            );
        } else {
            self.leave_out(SizedOf::Envelope, &room.name, format!("it is an assumption until the study states {key}"));
        }
    }

    /// The number of the last group of a room's bins, from 1.
    fn last_group(&self, room: &str) -> Option<usize> {
        let (before, after) = (format!("room.{room}.bins."), ".count");
        let groups = self.inputs.iter().filter_map(|input| {
            let group = input.path.strip_prefix(&before)?.strip_suffix(after)?;
            group.parse().ok()
        });
        groups.max()
    }

    /// True of a value that the study states, an option sets or this run sets.
    fn is_stated(&self, path: &str) -> bool {
        find(self.inputs, path).is_ok_and(|input| !input.is_default())
    }
}

/// Keys of a kind of source that grow with its capacity; `None` where its size does not follow from its capacity.
fn grows_along(kind: &Kind) -> Option<&'static [&'static str]> {
    match kind {
        Kind::Resistance(_)
        | Kind::Burner(_)
        | Kind::Biomass(_)
        | Kind::HeatPump(_)
        | Kind::OpenFlame(_)
        | Kind::HotWater(_)
        | Kind::WaterHeatPump(_) => Some(&[]),
        Kind::Dehumidifier(_) => Some(&["coil_air_kg_per_s"]),
        Kind::Exchanger(exchanger) => match exchanger.effectiveness {
            Effectiveness::OfSurface { .. } => Some(&["ua_w_per_k"]),
            Effectiveness::Stated(_) => None,
        },
        Kind::Collector(_) => Some(&["area_m2", "fan_kw"]),
        Kind::HeatStore(_) => Some(&["capacity_kwh", "charge_kw"]),
    }
}
