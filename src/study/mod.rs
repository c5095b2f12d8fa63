//! From TOML to a checked study: everything wrong is said at once, with file, line, column and cure;
//! every value used is recorded with who says so.
//!
//! One file a section of the study. After a [`Study`] exists nothing in it is missing by accident, NaN
//! or out of range.

mod application;
mod biomass_value;
mod carriers;
mod change;
mod columns;
mod companions;
mod condensers;
pub(crate) mod costs;
mod crop;
mod crops_read;
mod cursor;
pub(crate) mod document;
mod drawn;
mod expectation;
pub(crate) mod field;
mod frame;
mod fuel;
mod heat_store;
pub(crate) mod input;
mod intake;
mod intake_file;
mod isotherm;
mod kept_targets;
mod kernel;
mod key_list;
pub(crate) mod keys;
mod lay;
mod may_set;
mod measured;
mod measures;
mod money;
mod options;
mod own_supply;
mod package;
mod phase;
mod reading;
mod room;
mod scenario;
mod source_kinds;
mod sources;
mod standing_doubt;
mod store;
mod tariff;
mod uncertainty;
mod units;
mod value;
mod weather_ask;

pub(crate) use application::ApplicationTerms;
pub(crate) use biomass_value::kg_per;
pub(crate) use change::Change;
pub(crate) use columns::column_map_of;
pub(crate) use companions::{Companions, NoText};
pub(crate) use condensers::{USUAL_PLACES, usual_condensers};
pub(crate) use costs::{OptionCost, SourceCost};
pub(crate) use drawn::{Drawn, DrawnStudy, read_draws};
pub(crate) use frame::Site;
pub(crate) use kept_targets::{KeptTarget, kept_targets};
pub use key_list::{File, all_keys};
pub(crate) use measures::because_of;
pub(crate) use money::{MOST_YEARS, MoneyTerms};
pub(crate) use package::Measure;
pub(crate) use phase::{Phase, Planned};
pub(crate) use room::RoomPrices;
pub(crate) use uncertainty::{UncertainInput, UncertaintyAsk, may_sample, samples_expected};
pub(crate) use weather_ask::WeatherAsk;

use crate::crop::{Crop, RestedNut};
use crate::money::{Carriers, Currency};
use crate::number::Reader;
use crate::season::{Heating, Intake, Plant};
use crate::weather::SeasonWindow;
use chrono::NaiveDate;
use input::Input;

/// One question about one site, checked.
#[derive(Clone, Debug)]
pub(crate) struct Study {
    /// Title.
    pub title: String,
    /// The day that the report bears; the day of the run where none is given.
    pub dated: Option<NaiveDate>,
    /// Who reads the report: in which units, and how numbers are written.
    pub(crate) reader: Reader,
    /// Name of the option that savings are measured against.
    pub baseline: String,
    /// True if the standing list of measures is to be tried on the baseline, to see where to look.
    pub is_screened: bool,
    /// Currency of all prices.
    pub currency: Currency,
    /// Where it stands.
    pub site: Site,
    /// Which weather, and how far it may be mended.
    pub weather: WeatherAsk,
    /// The drying season.
    pub season: SeasonWindow,
    /// The nuts, in the order of the file; one crop at least.
    pub crops: Vec<StudyCrop>,
    /// The nuts that come.
    pub intake: Intake,
    /// Moisture as received (mean of all crops), dry basis.
    pub received_moisture: f64,
    /// The plant.
    pub plant: Plant,
    /// What more, or less, of each of its rooms costs to build, where the study says.
    pub room_prices: Vec<Option<RoomPrices>>,
    /// The options, in the order of the file.
    pub heatings: Vec<Heating>,
    /// What each option costs to build and keep, in the same order.
    pub costs: Vec<OptionCost>,
    /// What each option changes of the study, in the same order.
    pub measures: Vec<Measure>,
    /// The study as each option that changes it has it, in the same order; nothing of one that changes nothing.
    pub changed: Vec<Option<Box<ChangedStudy>>>,
    /// Energy carriers and their prices.
    pub carriers: Carriers,
    /// Terms of the life-cycle reckoning.
    pub money: MoneyTerms,
    /// What an application for a grant is held against.
    pub application: ApplicationTerms,
    /// Phases of growth, in the order of the file.
    pub phases: Vec<Phase>,
    /// The world as it might be, in the order of the file.
    pub scenarios: Vec<Scenario>,
    /// Inputs that are known only as distributions, named by the study or not; `None` where all are known.
    pub uncertainty: Option<UncertaintyAsk>,
}

/// A study as an option that changes it has it.
#[derive(Clone, Debug)]
pub(crate) struct ChangedStudy {
    /// The study with what the option sets.
    pub study: Study,
    /// Every value that was read for it; none of a study that is read for a draw.
    pub inputs: Vec<Input>,
}

/// The world as it might be.
#[derive(Clone, Debug)]
pub(crate) struct Scenario {
    /// Name.
    pub name: String,
    /// What it sets; one value at least.
    pub set: Vec<Change>,
    /// The study with these values, and what options change laid over them; nothing in a study that is itself read
    /// for a draw or a scenario.
    pub study: Option<Box<ChangedStudy>>,
}

/// A crop that the plant dries.
#[derive(Clone, Debug)]
pub(crate) struct StudyCrop {
    /// Name in the study; its kind, unless it is named.
    pub name: String,
    /// The nuts, with the study's own values in place of the library's.
    pub crop: Crop,
    /// What dried nuts sell for, money per tonne at the target, if the study says.
    pub price_per_dried_t: Option<f64>,
    /// Moisture as received (mean), dry basis.
    pub received_moisture: f64,
    /// Temperature at which shell and kernel are taken to hold one water activity, °C.
    pub kernel_temperature_c: f64,
}

impl StudyCrop {
    /// The rested nut of this moisture in shell (dry-basis fraction); `None` where nothing is known of its
    /// kernel, or where the pair of isotherms does not reach.
    pub(crate) fn rested(&self, in_shell: f64) -> Option<RestedNut> {
        let pair = self.crop.isotherm_pair()?;
        pair.of_in_shell(self.kernel_temperature_c, in_shell).ok()
    }
}

impl Study {
    /// The crops in words: the kind of one, the names of several.
    pub(crate) fn crop_words(&self) -> String {
        match self.crops.as_slice() {
            [crop] => crop.crop.name().to_owned(),
            _ => self.crop_names().join(" and "),
        }
    }

    /// Names of the crops, in the order of the file.
    pub(crate) fn crop_names(&self) -> Vec<String> {
        self.crops.iter().map(|crop| crop.name.clone()).collect()
    }

    /// Plant, nuts and intake as this option has them: the study's own, unless it changes them.
    pub(crate) fn of_option(&self, place: usize) -> &Self {
        self.changed_by(place).map_or(self, |changed| &changed.study)
    }

    /// The study as this option has it, with what was read for it; nothing of an option that changes nothing.
    pub(crate) fn changed_by(&self, place: usize) -> Option<&ChangedStudy> {
        self.changed.get(place)?.as_deref()
    }

    /// The plants of the study: its own, that of every option that changes it, and all these in every scenario.
    pub(crate) fn plants(&self) -> Vec<&Plant> {
        let mut all = vec![&self.plant];
        all.extend(self.changed.iter().flatten().map(|changed| &changed.study.plant));
        let scenarios = self.scenarios.iter().filter_map(|scenario| scenario.study.as_ref());
        all.extend(scenarios.flat_map(|changed| changed.study.plants()));
        all
    }

    /// The options in question alone, all of them of the plant, nuts and intake of the first.
    #[must_use]
    pub(crate) fn with_options(&self, places: &[usize]) -> Self {
        let own = places.first().map_or(self, |&place| self.of_option(place));
        Self {
            heatings: places.iter().map(|&place| self.heatings[place].clone()).collect(),
            costs: places.iter().map(|&place| self.costs[place].clone()).collect(),
            measures: places.iter().map(|&place| self.measures[place].clone()).collect(),
            changed: places.iter().map(|_| None).collect(),
            ..own.clone()
        }
    }
}
