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
pub mod costs;
mod crop;
mod crops_read;
mod cursor;
pub mod document;
mod drawn;
pub mod field;
mod frame;
mod fuel;
mod heat_store;
pub mod input;
mod intake;
mod intake_file;
mod isotherm;
mod kept_targets;
mod kernel;
mod key_list;
pub mod keys;
mod lay;
mod may_set;
mod measures;
mod money;
mod options;
mod own_supply;
mod package;
mod phase;
mod plausible;
mod room;
mod source_kinds;
mod sources;
mod store;
mod tariff;
mod trips;
mod uncertainty;
mod units;
mod value;
mod weather_ask;

pub use application::ApplicationTerms;
pub use change::Change;
pub use columns::column_map_of;
pub use companions::{Companions, NoText};
pub use condensers::{USUAL_PLACES, usual_condensers};
pub use costs::{OptionCost, SourceCost};
pub use drawn::{Drawn, DrawnStudy, read_draws};
pub use frame::Site;
pub use kept_targets::{KeptTarget, kept_targets};
pub use key_list::{File, all_keys};
pub use money::MoneyTerms;
pub use package::Measure;
pub use plausible::doubts;
pub use uncertainty::{UncertainInput, UncertaintyAsk, may_sample, samples_expected};
pub use weather_ask::WeatherAsk;

use crate::crop::{Crop, RestedNut};
use crate::money::{Carriers, Currency};
use crate::problem::{Problem, Problems, meant_or};
use crate::season::{GrowthPhase, Heating, Intake, Plant};
use crate::weather::SeasonWindow;
use chrono::NaiveDate;
use document::{Document, Reading};
use input::{Input, Overrides};

/// One question about one site, checked.
#[derive(Clone, Debug)]
pub struct Study {
    /// Title.
    pub title: String,
    /// The day that the report bears; the day of the run where none is given.
    pub dated: Option<NaiveDate>,
    /// Name of the option that savings are measured against.
    pub baseline: String,
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
    pub phases: Vec<GrowthPhase>,
    /// Inputs that are known only as distributions, if the study names any.
    pub uncertainty: Option<UncertaintyAsk>,
}

/// A study as an option that changes it has it.
#[derive(Clone, Debug)]
pub struct ChangedStudy {
    /// The study with what the option sets.
    pub study: Study,
    /// Every value that was read for it; none of a study that is read for a draw.
    pub inputs: Vec<Input>,
}

/// A crop that the plant dries.
#[derive(Clone, Debug)]
pub struct StudyCrop {
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
    pub fn rested(&self, in_shell: f64) -> Option<RestedNut> {
        let pair = self.crop.isotherm_pair()?;
        pair.of_in_shell(self.kernel_temperature_c, in_shell).ok()
    }
}

impl Study {
    /// The crops in words: the kind of one, the names of several.
    pub fn crop_words(&self) -> String {
        match self.crops.as_slice() {
            [crop] => crop.crop.name().to_owned(),
            _ => self.crop_names().join(" and "),
        }
    }

    /// Names of the crops, in the order of the file.
    pub fn crop_names(&self) -> Vec<String> {
        self.crops.iter().map(|crop| crop.name.clone()).collect()
    }

    /// Reads a study from the text of its file. `companions` gives the files it names (tariff, intake),
    /// and `overrides` numbers that stand in for the file's.
    pub fn read(
        file: &str,
        text: &str,
        companions: &dyn Companions,
        overrides: &Overrides,
    ) -> Result<Reading<Self>, Problems> {
        Self::read_changed(file, text, companions, overrides, &[])
    }

    /// The same with values of any kind that stand in for the file's. What is drawn stands above them.
    pub fn read_changed(
        file: &str,
        text: &str,
        companions: &dyn Companions,
        overrides: &Overrides,
        changes: &[Change],
    ) -> Result<Reading<Self>, Problems> {
        if text.trim_start_matches('\u{feff}').trim().is_empty() {
            return Err(Problem::of_file(file, "the file is empty")
                .expected("a study")
                .cure("`dryledger new DIR` writes one to begin from")
                .into());
        }
        let document = Document::new(file, text).with(overrides).changed(changes);
        let reading = Self::read_document(document, companions)?;
        check_all_were_laid(&reading, changes, 0)?;
        Ok(reading)
    }

    /// Plant, nuts and intake as this option has them: the study's own, unless it changes them.
    pub fn of_option(&self, place: usize) -> &Self {
        self.changed_by(place).map_or(self, |changed| &changed.study)
    }

    /// The study as this option has it, with what was read for it; nothing of an option that changes nothing.
    pub fn changed_by(&self, place: usize) -> Option<&ChangedStudy> {
        self.changed.get(place)?.as_deref()
    }

    /// The options in question alone, all of them of the plant, nuts and intake of the first.
    #[must_use]
    pub fn with_options(&self, places: &[usize]) -> Self {
        let own = places.first().map_or(self, |&place| self.of_option(place));
        Self {
            heatings: places.iter().map(|&place| self.heatings[place].clone()).collect(),
            costs: places.iter().map(|&place| self.costs[place].clone()).collect(),
            measures: places.iter().map(|&place| self.measures[place].clone()).collect(),
            changed: places.iter().map(|_| None).collect(),
            ..own.clone()
        }
    }

    /// Reads the study, and again for each option that changes it.
    fn read_document(document: Document<'_>, companions: &dyn Companions) -> Result<Reading<Self>, Problems> {
        let mut reading = Self::read_once(document, companions, document.is_as_written())?;
        let warnings = measures::read_changed(&mut reading.value, document, |document| {
            Self::read_once(document, companions, false)
        })?;
        let news = warnings.into_iter().filter(|warning| !reading.warnings.contains(warning));
        let news: Vec<Problem> = news.collect();
        reading.warnings.extend(news);
        Ok(reading)
    }

    /// Reads the study as it stands, with what is laid over it.
    fn read_once(
        document: Document<'_>,
        companions: &dyn Companions,
        may_be_uncertain: bool,
    ) -> Result<Reading<Self>, Problems> {
        document.read(|root| {
            let frame = frame::read(root, companions);
            let crops = crop::read(root);
            let nuts = crops.as_ref().map(|crops| crops.all.as_slice());
            if nuts.is_none() {
                // Without nuts there are no values to read these with.
                root.claim("room");
                root.claim("cool_store");
            }
            let carriers = carriers::read(root, &frame, companions);
            let rooms = nuts.and_then(|crops| room::read(root, crops, &frame, carriers.as_ref()));
            let store = nuts.map(|crops| store::read(root, crops, companions));
            let smallest_bin_t = rooms.as_ref().and_then(room::RoomsRead::smallest_bin_t);
            let intake = crops.as_ref().and_then(|crops| intake::read(crops, &frame, smallest_bin_t, companions));
            let (options, measures) =
                options::read(root, carriers.as_ref(), frame.baseline.as_deref(), rooms.as_ref()).unzip();
            let money = money::read(root, carriers.as_ref());
            let application = application::read(root, money.grant_share, frame.baseline.as_deref(), options.as_ref());
            let heatings = options.as_ref().map(|read| read.0.as_slice());
            let phases = phase::read(root, heatings, rooms.as_ref());
            frame.check_baseline(root, options.as_ref());
            // Paths can be looked up only among values that could be read.
            let is_read = crops.is_some() && rooms.is_some() && options.is_some() && carriers.is_some();
            let uncertainty = if is_read && may_be_uncertain {
                uncertainty::read(root)
            } else {
                root.claim("uncertainty");
                None
            };
            root.finish();

            let (crops, rooms, intake) = (crops?.all, rooms?, intake?);
            if let Some(heatings) = &options {
                source_kinds::check_place(root, &heatings.0, &frame.site);
                rooms.check_condensers(root, heatings);
            }
            let (heatings, costs) = options?;
            let store = store.flatten();
            Some(Self {
                title: frame.title?,
                dated: frame.dated,
                baseline: frame.baseline?,
                currency: frame.currency?,
                site: frame.site,
                weather: frame.weather?,
                season: frame.season?,
                received_moisture: intake.all.mean_moisture,
                plant: Plant {
                    crops: rooms.crops(&crops, store.as_ref()),
                    rooms: rooms.all,
                    hand_overs: rooms.hand_overs,
                    setbacks: rooms.setbacks,
                    store: store.as_ref().map(|store| store.spec.clone()),
                    condenser_air_kg_per_s_per_kw: store
                        .as_ref()
                        .map_or(0.1, |store| store.condenser_air_kg_per_s_per_kw),
                    place: frame.site.place(),
                    steps_per_hour: frame.steps_per_hour,
                },
                intake: intake.all.intake,
                crops: crops
                    .into_iter()
                    .zip(intake.mean_moistures)
                    .map(|(crop, received_moisture)| StudyCrop {
                        name: crop.name,
                        crop: crop.crop,
                        price_per_dried_t: crop.price_per_dried_t,
                        received_moisture,
                        kernel_temperature_c: crop.kernel_temperature_c,
                    })
                    .collect(),
                measures: measures?,
                changed: heatings.iter().map(|_| None).collect(),
                heatings,
                costs,
                carriers: carriers?,
                money,
                application,
                phases: phases?,
                uncertainty,
            })
        })
    }
}

/// Refuses changes, from this one on, that found nothing to change.
fn check_all_were_laid(reading: &Reading<Study>, changes: &[Change], from: usize) -> Result<(), Problems> {
    let lost = changes.iter().enumerate().skip(from).filter(|(place, _)| !reading.laid.contains(place));
    let problems: Vec<Problem> = lost
        .map(|(_, change)| {
            let paths = reading.inputs.iter().map(|input| input.path.as_str());
            let what = format!("`{}` is no value of this study", change.path);
            let cure = meant_or(&change.path, paths, "the report's list of inputs shows the paths");
            change.problem(&change.whole(), what).cure(cure)
        })
        .collect();
    if problems.is_empty() { Ok(()) } else { Err(Problems::new(problems)) }
}
