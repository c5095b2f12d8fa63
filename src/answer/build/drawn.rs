//! Every option at every point at which uncertain inputs are answered: seasons are run where plant, nuts or
//! heating differ from the study's, and reckoned anew where prices alone do. Only sums are kept.

use super::grants;
use super::grants::of_its_crop;
use super::in_turn::{OwnAnswer, Within};
use super::life_cycle::{net_present_cost, plan};
use super::made_of::{Season, Unreckoned, baseline_place};
use super::marches::{is_same_dryer, is_same_site};
use super::point_answer::{Answer, SeasonSums};
use super::reckoned::{over, reckon};
use crate::answer::judgement::Work;
use crate::answer::ranking::{Judged, Ranking};
use crate::ledger::Book;
use crate::season::References;
use crate::study::Study;
use crate::weather::WeatherYear;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A study to be answered, and in which weather years.
#[derive(Clone, Copy)]
pub(super) struct Posed<'a> {
    pub study: &'a Study,
    pub within: Within,
}

/// Answers by study, then by option, whatever the order in which they were run. `done` is called as each
/// option of a study ends.
pub(super) fn answers(
    season: &Season<'_>,
    posed: &[Posed<'_>],
    done: impl Fn() + Sync,
) -> Result<Vec<Vec<Answer>>, Unreckoned> {
    let places: Vec<usize> = (0..season.books.len()).collect();
    answers_of(season, posed, &places, done)
}

/// The same of the options at these places alone, in their order.
pub(super) fn answers_of(
    season: &Season<'_>,
    posed: &[Posed<'_>],
    places: &[usize],
    done: impl Fn() + Sync,
) -> Result<Vec<Vec<Answer>>, Unreckoned> {
    let paid = paid_a_grant(season)?;
    let in_turn = posed.iter().any(|one| one.within != Within::EveryYear);
    let own: Vec<Option<OwnAnswer>> = (0..season.books.len())
        .map(|place| in_turn.then(|| own_answer(season, place, paid[place])).transpose())
        .collect::<Result<_, _>>()?;
    let known = Known { season, paid: &paid, own: &own };
    let all = marches(season.study, posed, places);
    let plant = |march: &March| posed[march.studies[0]].study.of_option(march.place);
    let dryers = grouped(all.iter(), |one, other| is_same_dryer(plant(one), plant(other)));
    let all: Vec<Placed> = dryers
        .into_par_iter()
        .map(|dryer| {
            // Those that dry alike share their reference and their paths, one after the other; others have others.
            let references = References::default();
            let found = dryer.into_iter().map(|march| {
                let found = march.answers(&known, &references, posed)?;
                for _ in &found {
                    done();
                }
                Ok(found)
            });
            found.collect::<Result<Vec<_>, Unreckoned>>()
        })
        .collect::<Result<Vec<_>, Unreckoned>>()?
        .into_iter()
        .flatten()
        .flatten()
        .collect();
    let mut by_place: BTreeMap<(usize, usize), Answer> = all.into_iter().collect();
    Ok((0..posed.len())
        .map(|study| places.iter().filter_map(|place| by_place.remove(&(study, *place))).collect())
        .collect())
}

/// True if any season of these has to be run that the study itself did not need.
pub(super) fn runs_anew(own: &Study, studies: &[&Study]) -> bool {
    let posed: Vec<Posed<'_>> = studies.iter().map(|&study| Posed { study, within: Within::EveryYear }).collect();
    let places: Vec<usize> = (0..own.heatings.len()).collect();
    marches(own, &posed, &places).iter().any(|march| !march.is_own)
}

/// What is known before any season is run: the study's own, which options are paid a grant, and the own answers year
/// by year where the years are taken in turn.
struct Known<'a> {
    season: &'a Season<'a>,
    paid: &'a [bool],
    own: &'a [Option<OwnAnswer>],
}

fn own_answer(season: &Season<'_>, place: usize, is_paid: bool) -> Result<OwnAnswer, Unreckoned> {
    let books = &season.books[place];
    let of = |books: &[Book]| sums(season.study, place, is_paid, books);
    Ok(OwnAnswer { over_years: of(books)?, by_year: books.chunks(1).map(of).collect::<Result<_, _>>()? })
}

/// Which of these options do the work, the least net present cost first.
pub(super) fn ranking(answers: &[Answer]) -> Ranking {
    let judged: Vec<Judged> = answers.iter().map(|answer| answer.judged).collect();
    Ranking::of(&judged)
}

/// Which options are paid a grant, by the study's own values: a scheme decides by the figures of the application,
/// and pays whatever the season then brings.
fn paid_a_grant(season: &Season<'_>) -> Result<Vec<bool>, Unreckoned> {
    let own: Vec<_> = season.books.iter().map(|books| reckon(season.study, books)).collect::<Result<_, _>>()?;
    let base = baseline_place(season.study);
    let scheme = grants::Scheme::of(season.study, base, &own);
    Ok((0..own.len()).map(|place| scheme.decision(place).is_paid()).collect())
}

/// An answer with the place of its study and that of its option.
type Placed = ((usize, usize), Answer);

/// Seasons of one option that are the same season: run once for all the studies that share it.
#[derive(Clone, Debug, PartialEq)]
struct March {
    /// The option.
    place: usize,
    /// True if it is the season of the study itself, which was run.
    is_own: bool,
    /// Places of the studies, the first of which it is run for.
    studies: Vec<usize>,
}

/// The seasons to be run, each once: studies whose plant, nuts, heating and weather years are equal, whatever their
/// prices.
fn marches(own: &Study, posed: &[Posed<'_>], places: &[usize]) -> Vec<March> {
    // A site is of an option: one may change the plant.
    let each = (0..posed.len()).flat_map(|study| places.iter().map(move |&place| (study, place)));
    let of = |(study, place): (usize, usize)| posed[study].study.of_option(place);
    let sites = grouped(each, |one, other| is_same_site(of(one), of(other)));
    let mut all = Vec::new();
    for site in &sites {
        for &place in places {
            let heating = |study: usize| (&posed[study].study.heatings[place], posed[study].within);
            let here = site.iter().filter(|(_, option)| *option == place).map(|(study, _)| *study);
            for alike in grouped(here, |one, other| heating(one) == heating(other)) {
                let is_own = is_same_site(of((alike[0], place)), own.of_option(place))
                    && *heating(alike[0]).0 == own.heatings[place];
                all.push(March { place, is_own, studies: alike });
            }
        }
    }
    all
}

/// Parts of these that are alike, in the order in which the first of each comes.
fn grouped<T: Copy>(all: impl Iterator<Item = T>, are_alike: impl Fn(T, T) -> bool) -> Vec<Vec<T>> {
    let mut groups: Vec<Vec<T>> = Vec::new();
    for one in all {
        match groups.iter_mut().find(|group| are_alike(group[0], one)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups
}

impl March {
    /// The answers of its studies.
    fn answers(
        &self,
        known: &Known<'_>,
        references: &References,
        posed: &[Posed<'_>],
    ) -> Result<Vec<Placed>, Unreckoned> {
        let (season, is_paid) = (known.season, known.paid[self.place]);
        let first = posed[self.studies[0]];
        let year = match first.within {
            Within::EveryYear => None,
            Within::OneYear(year) => Some(year),
        };
        let ran: Vec<Book>;
        let books = if self.is_own {
            &season.books[self.place]
        } else {
            let (own, heating) = (first.study.of_option(self.place), &first.study.heatings[self.place]);
            let years = year.map_or(season.years, |year| &season.years[year..=year]);
            let warmer_by_k = first.study.weather.warmer_by_k - season.study.weather.warmer_by_k;
            let march = |year: &WeatherYear| references.run_beside_others(&own.plant, heating, &own.intake, year);
            let run = |year: &WeatherYear| {
                if warmer_by_k == 0.0 { march(year) } else { march(&year.warmer_by(warmer_by_k)) }
            };
            ran = years.iter().map(run).collect();
            &ran
        };
        let answer = |study: usize| -> Result<Answer, Unreckoned> {
            let found = sums(posed[study].study, self.place, is_paid, books)?;
            Ok(match (year, &known.own[self.place]) {
                // All years are at hand; its season is that of its turn.
                (Some(year), _) if self.is_own => Answer { seasons: vec![found.seasons[year]], ..found },
                (Some(year), Some(own)) => own.moved_by(found, year),
                _ => found,
            })
        };
        self.studies.iter().map(|&study| Ok(((study, self.place), answer(study)?))).collect()
    }
}

fn sums(study: &Study, place: usize, is_paid_a_grant: bool, books: &[Book]) -> Result<Answer, Unreckoned> {
    let option = reckon(study, books)?;
    let plan = plan(study, baseline_place(study), place, is_paid_a_grant, option.carriers());
    let work = of_its_crop(Work::of(option.books, &option.accounts), study, baseline_place(study), place);
    let judged = Judged { work, net_present_cost: net_present_cost(study, &plan)? };
    let seasons: Vec<SeasonSums> = option
        .totals(study)
        .into_iter()
        .zip(option.accounts.iter().zip(&option.energy))
        .zip(books.iter().zip(option.carbon_kg_by_year(study)))
        .map(|((total_cost, (account, energy)), (book, carbon_kg))| SeasonSums {
            total_cost,
            cost_per_dried_t: over(total_cost, book.tonnage.dried_kg / 1000.0),
            heat_need_kwh: account.heat_need_kwh,
            energy: *energy,
            electric_peak_kw: account.electric_peak_kw,
            carbon_kg,
        })
        .collect();
    Ok(Answer {
        seasons,
        judged,
        total_cost: super::months::sum_money(&option.months, |month| month.total_cost),
        nuts_spoil: books.iter().flat_map(|book| &book.guards).any(|guard| guard.kind.spoils_nuts()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::Calling;
    use crate::study::input::Overrides;
    use crate::study::{Companions, NoText};

    const TARIFF: &str = include_str!("../../../tests/cases/small/tariff.toml");

    struct Beside;

    impl Companions for Beside {
        fn text(&self, path: &str) -> Result<String, NoText> {
            match path {
                "tariff.toml" => Ok(TARIFF.to_owned()),
                other => Err(NoText::Unreadable(other.to_owned())),
            }
        }
    }

    /// The small study with a room that is set back by the tariff and an option that goes by its prices.
    fn study(set: &[(&str, f64)]) -> Study {
        study_of(&text(), set)
    }

    fn study_of(text: &str, set: &[(&str, f64)]) -> Study {
        let set: Overrides = set.iter().map(|(path, value)| ((*path).to_owned(), *value)).collect();
        Study::read("study.toml", text, &Beside, &set).expect("a study").value
    }

    fn text() -> String {
        include_str!("../../../tests/cases/small/study.toml")
            .replace("[cool_store]\n", "[[room.setback]]\nwhen = \"day\"\ntemperature_c = 32.0\n\n[cool_store]\n")
            .replace(
                "[money]\n",
                "[[option]]\nname = \"cheapest\"\nsources = [\"heaters\", \"gas heater\"]\n\
                 dispatch = \"cheapest-first\"\n\n[money]\n",
            )
    }

    fn posed<'a>(studies: &[&'a Study]) -> Vec<Posed<'a>> {
        studies.iter().map(|&study| Posed { study, within: Within::EveryYear }).collect()
    }

    fn run_anew(own: &Study, drawn: &[&Study]) -> usize {
        let options: Vec<usize> = (0..own.heatings.len()).collect();
        marches(own, &posed(drawn), &options).iter().filter(|march| !march.is_own).count()
    }

    /// Tariffs are compared by what they say: a draw of prices alone asks for no new season, even where rooms are set
    /// back by the tariff's hours.
    #[test]
    fn other_prices_leave_plant_and_options_as_they_are() {
        let own = study(&[]);
        let dearer = study(&[("carrier.electricity.tariff.period.day.price", 0.4)]);
        assert_ne!(dearer.carriers, own.carriers);
        assert_eq!(dearer.plant, own.plant);
        let by_list = |study: &Study| study.heatings.iter().filter(|h| h.calling == Calling::Ordered).count();
        assert_eq!(by_list(&own), own.heatings.len() - 1);
        assert_eq!(dearer.heatings[..by_list(&own)], own.heatings[..by_list(&own)]);
        // Other hours are another plant.
        let hours = text().replace("when = \"day\"", "hours = \"17-22\"");
        assert_ne!(study_of(&hours, &[]).plant, own.plant);
    }

    #[test]
    fn prices_that_change_no_hour_run_no_season_anew() {
        let own = study(&[]);
        for path in ["source.heaters.capital", "money.discount_rate", "carrier.electricity.tariff.demand.network.price"]
        {
            let drawn = [study(&[(path, 0.07)]), study(&[(path, 0.09)])];
            let drawn: Vec<&Study> = drawn.iter().collect();
            assert_ne!(format!("{:?}", drawn[0]), format!("{own:?}"), "{path}");
            assert_eq!(run_anew(&own, &drawn), 0, "{path}");
        }
    }

    #[test]
    fn a_price_of_energy_is_a_season_of_the_option_that_goes_by_it_and_of_no_other() {
        let own = study(&[]);
        let day = |price| study(&[("carrier.electricity.tariff.period.day.price", price)]);
        let drawn = [day(0.25), day(0.35), day(0.25)];
        let drawn: Vec<&Study> = drawn.iter().collect();
        let anew: Vec<March> =
            marches(&own, &posed(&drawn), &[0, 1, 2, 3, 4]).into_iter().filter(|march| !march.is_own).collect();
        assert!(anew.iter().all(|march| own.heatings[march.place].name == "cheapest"));
        let shared: Vec<&[usize]> = anew.iter().map(|march| march.studies.as_slice()).collect();
        assert_eq!(shared, [&[0, 2][..], &[1]]);
    }

    #[test]
    fn what_changes_the_nuts_runs_every_option_and_alike_draws_share_it() {
        let own = study(&[]);
        let wet =
            |moisture, capital| study(&[("crop.received_moisture", moisture), ("source.heaters.capital", capital)]);
        let drawn = [wet(21.0, 4000.0), wet(22.0, 4000.0), wet(21.0, 6000.0)];
        let drawn: Vec<&Study> = drawn.iter().collect();
        assert_eq!(run_anew(&own, &drawn), 2 * own.heatings.len());
    }
}
