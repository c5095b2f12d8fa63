//! The order in which a study is read: its sections, then again for each option that changes it, for each scenario and for each phase of growth that sets values.

use super::change::Change;
use super::companions::Companions;
use super::document::{Document, Reading};
use super::input::Overrides;
use super::measures::{check_all_were_laid, read_changed, read_phases, read_scenarios};
use super::{Scenario, Study, StudyCrop};
use super::{
    application, carriers, crop, frame, intake, money, options, phase, room, scenario, source_kinds, store, uncertainty,
};
use crate::problem::{Problem, Problems};
use crate::season::Plant;

impl Study {
    /// Reads a study from the text of its file. `companions` gives the files it names (tariff, intake),
    /// and `overrides` numbers that stand in for the file's.
    pub(crate) fn read(
        file: &str,
        text: &str,
        companions: &dyn Companions,
        overrides: &Overrides,
    ) -> Result<Reading<Self>, Problems> {
        Self::read_changed(file, text, companions, overrides, &[])
    }

    /// The same with values of any kind that stand in for the file's. What is drawn stands above them.
    pub(crate) fn read_changed(
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

    /// The study with a further option, its last, which this block writes behind its text. `changes` stand in for the
    /// study's values as they do without it.
    pub(crate) fn read_with_option(
        (file, text): (&str, &str),
        companions: &dyn Companions,
        changes: &[Change],
        block: &str,
    ) -> Result<Self, Problems> {
        let text = format!("{text}\n{block}");
        let reading = Self::read_with_options(Document::new(file, &text).changed(changes), companions, false)?;
        check_all_were_laid(&reading, changes, 0)?;
        Ok(reading.value)
    }

    /// Reads the study, again for each option that changes it, and all that for each scenario and each phase that sets values.
    pub(super) fn read_document(
        document: Document<'_>,
        companions: &dyn Companions,
    ) -> Result<Reading<Self>, Problems> {
        let mut reading = Self::read_with_options(document, companions, document.is_as_written())?;
        if document.is_as_written() {
            let again = |document: Document<'_>| Self::read_with_options(document, companions, false);
            read_scenarios(&mut reading.value, document, again)?;
            read_phases(&mut reading.value, document, again)?;
        }
        Ok(reading)
    }

    /// Reads the study, and again for each option that changes it.
    fn read_with_options(
        document: Document<'_>,
        companions: &dyn Companions,
        may_be_uncertain: bool,
    ) -> Result<Reading<Self>, Problems> {
        let mut reading = Self::read_once(document, companions, may_be_uncertain)?;
        let warnings =
            read_changed(&mut reading.value, document, |document| Self::read_once(document, companions, false))?;
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
        let read_for = document.option();
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
            let phases = phase::read(root, heatings, rooms.as_ref(), &money);
            let scenarios = scenario::read(root);
            frame.check_baseline(root, options.as_ref());
            // Paths can be looked up only among values that could be read.
            let is_read = crops.is_some() && rooms.is_some() && options.is_some() && carriers.is_some();
            let uncertainty = if is_read && may_be_uncertain {
                uncertainty::read(root, crops.as_ref().map_or(&[], |crops| &crops.all))
            } else {
                root.claim("uncertainty");
                None
            };
            root.finish();

            let (crops, rooms, intake) = (crops?.all, rooms?, intake?);
            if let Some(heatings) = &options {
                source_kinds::check_place(root, &heatings.0, &frame.site);
                // Each option stands in its own plant: one that changes it is held against the reading for it alone.
                let stands_here = |place: usize| match read_for {
                    Some(option) => option == place,
                    None => measures.as_ref().is_none_or(|all| all[place].set.is_empty()),
                };
                rooms.check_condensers(root, heatings, stands_here);
            }
            let (heatings, costs) = options?;
            let store = store.flatten();
            Some(Self {
                title: frame.title?,
                dated: frame.dated,
                reader: frame.reader,
                baseline: frame.baseline?,
                is_screened: frame.is_screened,
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
                room_prices: rooms.prices,
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
                scenarios: scenarios?.into_iter().map(|(name, set)| Scenario { name, set, study: None }).collect(),
                uncertainty,
            })
        })
    }
}
