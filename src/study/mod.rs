//! From TOML to a checked study: everything wrong is said at once, with file, line, column and cure;
//! every value used is recorded with who says so.
//!
//! One file a section of the study. After a [`Study`] exists nothing in it is missing by accident, NaN
//! or out of range.

mod carriers;
mod companions;
mod condensers;
mod crop;
pub mod cursor;
pub mod document;
pub mod field;
mod frame;
pub mod input;
mod intake;
mod money;
mod options;
pub mod problem;
mod room;
mod source_kinds;
mod store;
mod tariff;
mod units;

pub use companions::{Companions, NoCompanions};
pub use frame::{Site, WeatherAsk};
pub use money::MoneyTerms;
pub use options::{OptionCost, SourceCost};

use crate::crop::Crop;
use crate::money::{Carriers, Currency};
use crate::season::{Heating, Intake, Plant};
use crate::weather::SeasonWindow;
use document::{Document, Reading};
use input::Overrides;
use problem::Problems;

/// One question about one site, checked.
#[derive(Clone, Debug)]
pub struct Study {
    /// Title.
    pub title: String,
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
    /// The nuts, with the study's own values in place of the library's.
    pub crop: Crop,
    /// The nuts that come.
    pub intake: Intake,
    /// Moisture as received (mean), dry basis.
    pub received_moisture: f64,
    /// The plant.
    pub plant: Plant,
    /// The options, in the order of the file.
    pub heatings: Vec<Heating>,
    /// What each option costs to build and keep, in the same order.
    pub costs: Vec<OptionCost>,
    /// Energy carriers and their prices.
    pub carriers: Carriers,
    /// Terms of the life-cycle reckoning.
    pub money: MoneyTerms,
}

impl Study {
    /// Reads a study from the text of its file. `companions` gives the files it names (tariff, intake),
    /// and `overrides` numbers that stand in for the file's.
    pub fn read(
        file: &str,
        text: &str,
        companions: &dyn Companions,
        overrides: &Overrides,
    ) -> Result<Reading<Self>, Problems> {
        Document::new(file, text).with(overrides).read(|root| {
            let frame = frame::read(root);
            let crop = crop::read(root);
            let crop_or_default = crop.as_ref();
            let room = crop_or_default.and_then(|crop| room::read(root, crop, &frame));
            let store = crop_or_default.map(|crop| store::read(root, crop, companions));
            let intake = crop_or_default.and_then(|crop| intake::read(root, crop, companions));
            let carriers = carriers::read(root, &frame, companions);
            let options =
                options::read(root, &carriers, store.as_ref().is_some_and(Option::is_some));
            let money = money::read(root, &carriers);
            frame.check_baseline(root, &options);
            root.finish();

            let (crop, room, intake) = (crop?, room?, intake?);
            if let Some(heatings) = &options {
                room.check_condensers(root, heatings);
            }
            let (heatings, costs) = options?;
            let store = store.flatten();
            Some(Self {
                title: frame.title?,
                baseline: frame.baseline?,
                currency: frame.currency?,
                site: frame.site,
                weather: frame.weather?,
                season: frame.season?,
                received_moisture: intake.mean_moisture,
                plant: Plant {
                    nuts: crop.nuts,
                    stay: room.stay(&crop, store.as_ref()),
                    room: room.spec,
                    store: store.as_ref().map(|store| store.spec.clone()),
                    condenser_air_kg_per_s_per_kw: store
                        .as_ref()
                        .map_or(0.1, |store| store.condenser_air_kg_per_s_per_kw),
                    steps_per_hour: frame.steps_per_hour,
                },
                intake: intake.intake,
                crop: crop.crop,
                heatings,
                costs,
                carriers: carriers?,
                money,
            })
        })
    }
}
