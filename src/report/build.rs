//! From books and bills to figures: sums, means over weather years, comparison with the baseline.

use super::figures::{
    CarrierFigures, Figures, GuardFigures, InputFile, LifeCycleFigures, MonthFigures,
    OptionFigures, OptionYearFigures, Quantiles, RecoveredFigures, ResidualFigures, SeasonFigures,
    SourceFigures, StudyFigures, Tool, UncertaintyFigures, WeatherFigures, WeatherYearFigures,
};
use super::{crops, guards, overdried, rooms};
use crate::air::heat_to;
use crate::cool_store::{Condensers, Placement};
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::AirPath;
use crate::heat::{Kind, Source};
use crate::ledger::{Account, Book, GuardKind};
use crate::money::{
    Amount, Asset, BadPlan, CashPlan, Discount, Horizon, NoAmount, SeasonBill, YearlyCost, compare,
    levelised_cost_per_kwh, present_cost,
};
use crate::season::Calling;
use crate::study::Study;
use crate::study::input::Input;
use crate::weather::WeatherYear;
use chrono::Timelike;
use std::collections::BTreeMap;

/// Why figures cannot be made of a season that was computed.
#[derive(Debug, thiserror::Error)]
pub enum Unreckoned {
    /// A sum of money is too large to hold.
    #[error("the bill cannot be reckoned: {0}")]
    Amount(#[from] NoAmount),
    /// The life-cycle reckoning refuses its inputs.
    #[error("the life-cycle cost cannot be reckoned: {0}")]
    Plan(#[from] BadPlan),
}

/// All that figures are made of.
#[derive(Clone, Copy, Debug)]
pub struct Season<'a> {
    /// The study.
    pub study: &'a Study,
    /// Every value the study used.
    pub inputs: &'a [Input],
    /// Weather years.
    pub years: &'a [WeatherYear],
    /// Books by option, then year.
    pub books: &'a [Vec<Book>],
}

/// An option with everything reckoned from its books.
struct Reckoned<'a> {
    books: &'a [Book],
    accounts: Vec<Account>,
    bills: Vec<SeasonBill>,
    months: Vec<MonthFigures>,
}

/// Makes the figures. `files` are the files read with their digests and `weather` says what was found
/// in the weather files; its `years` are filled in here.
pub fn figures(
    season: &Season<'_>,
    files: Vec<InputFile>,
    weather: WeatherFigures,
) -> Result<Figures, Unreckoned> {
    let Season { study, years, .. } = *season;
    let reckoned = season
        .books
        .iter()
        .map(|books| reckon(study, books))
        .collect::<Result<Vec<_>, _>>()?;
    let base = study
        .heatings
        .iter()
        .position(|heating| heating.name == study.baseline)
        .unwrap_or(0);
    let plans: Vec<CashPlan> = reckoned
        .iter()
        .enumerate()
        .map(|(place, option)| plan(study, base, place, sum_carriers(&option.months)))
        .collect();
    let mut options = Vec::new();
    for (place, option) in reckoned.iter().enumerate() {
        let life_cycle = life_cycle(study, &plans, base, place, option)?;
        options.push(option_figures(study, &reckoned, base, place, life_cycle));
    }
    let recommended = recommend(&options, &reckoned, &study.baseline);
    let baseline = &reckoned[base];
    let filled_share = {
        let all = baseline.mean(|account| account.heat_delivered_kwh);
        let filled = baseline.mean(|account| account.heat_in_mended_hours_kwh);
        if all > 0.0 { filled / all * 100.0 } else { 0.0 }
    };
    Ok(Figures {
        tool: Tool {
            name: env!("CARGO_PKG_NAME").to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        },
        study: study_figures(study, recommended),
        inputs: files,
        weather: WeatherFigures {
            heat_in_filled_hours_pct: filled_share,
            years: years.iter().map(|year| weather_year(study, year)).collect(),
            ..weather
        },
        season: season_figures(study, years, baseline),
        options,
        assumptions: season.inputs.iter().map(super::assumption).collect(),
        phases: Vec::new(),
        condensers: Vec::new(),
    })
}

fn reckon<'a>(study: &Study, books: &'a [Book]) -> Result<Reckoned<'a>, Unreckoned> {
    let bills = books
        .iter()
        .map(|book| SeasonBill::of(book, &study.carriers, study.currency))
        .collect::<Result<Vec<_>, _>>()?;
    let months = months(study, books, &bills)?;
    Ok(Reckoned {
        books,
        accounts: books.iter().map(Account::of_all).collect(),
        bills,
        months,
    })
}

impl Reckoned<'_> {
    /// Mean over the weather years.
    fn mean(&self, of: impl Fn(&Account) -> f64) -> f64 {
        mean(self.accounts.iter().map(of))
    }

    fn mean_credit_money(&self) -> f64 {
        mean(
            self.bills
                .iter()
                .map(|bill| bill.months.iter().map(|m| m.credit_money).sum()),
        )
    }

    fn dried_t(&self) -> f64 {
        mean(self.books.iter().map(|book| book.tonnage.dried_kg)) / 1000.0
    }

    fn totals(&self, study: &Study) -> Vec<f64> {
        self.bills
            .iter()
            .map(|bill| study.currency.value(bill.total()))
            .collect()
    }
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len();
    if count == 0 {
        0.0
    } else {
        values.sum::<f64>() / count as f64
    }
}

/// Share of a whole; zero of nothing.
fn over(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

/// Months from the season's first on, each the mean over the weather years. Every sum of money is
/// rounded once, here; totals add what was rounded.
fn months(
    study: &Study,
    books: &[Book],
    bills: &[SeasonBill],
) -> Result<Vec<MonthFigures>, Unreckoned> {
    let currency = study.currency;
    let years = books.len().max(1) as f64;
    let first = study.season.starts.month();
    let mut all = Vec::new();
    for month in (0..12).map(|ahead| (first - 1 + ahead) % 12 + 1) {
        let accounts: Vec<Account> = books
            .iter()
            .map(|book| Account::of(book, |hour| crate::ledger::month_of(hour).1 == month))
            .collect();
        if accounts.iter().all(|account| account.hours == 0) {
            continue;
        }
        let sum = |of: &dyn Fn(&Account) -> f64| accounts.iter().map(of).sum::<f64>() / years;
        let of_month: Vec<_> = bills
            .iter()
            .flat_map(|bill| &bill.months)
            .filter(|line| line.month == month)
            .collect();
        let amount = |of: &dyn Fn(&crate::money::SiteMonth) -> Amount| {
            let total: f64 = of_month.iter().map(|line| currency.value(of(line))).sum();
            currency.amount(total / years)
        };
        let energy = amount(&|line| line.electricity.energy_cost())?;
        let demand = amount(&|line| line.electricity.demand_cost())?;
        let other = amount(&|line| line.other_cost())?;
        let electricity_kwh = sum(&|account| account.electricity_kwh);
        let mut carriers = BTreeMap::from([(
            "electricity".to_owned(),
            CarrierFigures {
                kwh: electricity_kwh,
                quantity: electricity_kwh,
                own_quantity: 0.0,
                unit: "kWh".to_owned(),
                cost: currency.value(energy + demand + other),
                carbon_kg: electricity_kwh * study.carriers.electricity_carbon_kg_per_kwh,
            },
        )]);
        let mut fuel_cost = Amount::ZERO;
        for (name, carrier) in &study.carriers.fuels {
            let fuel =
                |line: &crate::money::SiteMonth| line.fuels.get(name).copied().unwrap_or_default();
            let kwh = of_month.iter().map(|line| fuel(line).kwh).sum::<f64>() / years;
            if kwh <= 0.0 {
                continue;
            }
            let cost = amount(&|line| fuel(line).cost)?;
            fuel_cost += cost;
            carriers.insert(
                name.clone(),
                CarrierFigures {
                    kwh,
                    quantity: carrier.quantity(kwh),
                    own_quantity: of_month
                        .iter()
                        .map(|line| fuel(line).own_quantity)
                        .sum::<f64>()
                        / years,
                    unit: carrier.unit.symbol().to_owned(),
                    cost: currency.value(cost),
                    carbon_kg: carrier.carbon_kg(kwh),
                },
            );
        }
        all.push(MonthFigures {
            month,
            in_season: books.iter().any(|book| {
                book.hours
                    .iter()
                    .any(|hour| hour.in_season && crate::ledger::month_of(hour).1 == month)
            }),
            water_kg: sum(&|account| account.evaporated_kg),
            heat_need_kwh: sum(&|account| account.heat_need_kwh),
            heat_delivered_kwh: sum(&|account| account.heat_delivered_kwh),
            fan_kwh: sum(&Account::fan_kwh),
            cool_store_kwh: sum(&|account| account.store_kwh),
            heat_electricity_kwh: sum(&|account| account.source_electricity_kwh),
            electricity_kwh,
            electric_peak_kw: accounts
                .iter()
                .map(|a| a.electric_peak_kw)
                .fold(0.0, f64::max),
            carriers,
            energy_cost: currency.value(energy + fuel_cost),
            demand_cost: currency.value(demand),
            other_cost: currency.value(other),
            total_cost: currency.value(energy + fuel_cost + demand + other),
            recovered_gross_kwh: sum(&|account| account.credit.gross_kwh),
            recovered_useful_kwh: sum(&|account| account.credit.useful_kwh),
            recovered_penalty_kwh: sum(&|account| account.credit.penalty_kwh),
            recovered_net_kwh: sum(&|account| account.credit.net_kwh()),
            recovered_net_money: of_month.iter().map(|line| line.credit_money).sum::<f64>() / years,
        });
    }
    Ok(all)
}

/// The cash an option takes over the horizon: its assets, and a yearly bill for each carrier. A grant
/// pays its share of what the baseline does not have.
fn plan(
    study: &Study,
    base: usize,
    place: usize,
    carriers: impl IntoIterator<Item = (String, CarrierFigures)>,
) -> CashPlan {
    let horizon = horizon(study);
    let cost = &study.costs[place];
    let mut plan = CashPlan {
        first_cost: 0.0,
        grant_share: 0.0,
        single: Vec::new(),
        yearly: Vec::new(),
    };
    let mut eligible = 0.0;
    for item in &cost.items {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1..60 by its reading
        let life_years = Some(item.life_years.round() as u32);
        let asset = Asset {
            name: item.name.clone(),
            cost: item.capital,
            life_years,
            upkeep: item.upkeep_per_year,
        };
        if !study.costs[base].items.contains(item) {
            eligible += item.capital;
        }
        plan.add_asset(&asset, horizon);
    }
    if cost.grant {
        plan.grant_share = study.money.grant_share * over(eligible, plan.first_cost);
    }
    for (name, carrier) in carriers {
        plan.yearly.push(YearlyCost {
            escalation: Some(study.money.escalation.get(&name).copied().unwrap_or(0.0)),
            name,
            cost: carrier.cost,
        });
    }
    plan
}

/// The same plan with nothing but heat in it: the sources and what they burn, and the penalty of
/// recovery; demand charges left out.
fn heat_plan(study: &Study, base: usize, place: usize, option: &Reckoned<'_>) -> CashPlan {
    let mut carriers = sum_carriers(&option.months);
    let fuels: f64 = carriers
        .iter()
        .filter(|(name, _)| *name != "electricity")
        .map(|(_, carrier)| carrier.cost)
        .sum();
    let heat = mean(option.bills.iter().map(|bill| bill.purposes.heat));
    if let Some(electricity) = carriers.get_mut("electricity") {
        electricity.cost = (heat - fuels).max(0.0);
    }
    plan(study, base, place, carriers)
}

fn horizon(study: &Study) -> Horizon {
    Horizon {
        years: study.money.years,
        discount: Discount::Real {
            rate: study.money.discount_rate,
        },
    }
}

fn life_cycle(
    study: &Study,
    plans: &[CashPlan],
    base: usize,
    place: usize,
    option: &Reckoned<'_>,
) -> Result<LifeCycleFigures, Unreckoned> {
    let horizon = horizon(study);
    let plan = &plans[place];
    let cost = present_cost(plan, horizon)?;
    let heat_cost = present_cost(&heat_plan(study, base, place, option), horizon)?;
    let heat_kwh = option.mean(|account| account.heat_delivered_kwh);
    let mut figures = LifeCycleFigures {
        capital: plan.first_cost,
        grant: plan.grant(),
        upkeep_per_year: study.costs[place]
            .items
            .iter()
            .map(|item| item.upkeep_per_year)
            .sum(),
        net_present_cost: cost.total,
        annual_equivalent: cost.annual_equivalent,
        levelised_heat_cost_per_kwh: levelised_cost_per_kwh(&heat_cost, heat_kwh),
        ..LifeCycleFigures::default()
    };
    if place != base {
        let against = compare(&plans[base], plan, horizon)?;
        figures.simple_payback_years = against.simple_payback_years;
        figures.discounted_payback_years = against.discounted_payback_years.map(f64::from);
        figures.irr = against.internal_return;
        figures.savings_to_investment = against.savings_to_investment;
        figures.net_saving = against.net_saving;
    }
    Ok(figures)
}

fn sum_carriers(months: &[MonthFigures]) -> BTreeMap<String, CarrierFigures> {
    let mut all: BTreeMap<String, CarrierFigures> = BTreeMap::new();
    for (name, month) in months.iter().flat_map(|month| &month.carriers) {
        let sum = all.entry(name.clone()).or_default();
        sum.kwh += month.kwh;
        sum.quantity += month.quantity;
        sum.own_quantity += month.own_quantity;
        sum.unit.clone_from(&month.unit);
        // Whole cents below 2^53 add exactly once rounded again.
        sum.cost = ((sum.cost + month.cost) * 1000.0).round() / 1000.0;
        sum.carbon_kg += month.carbon_kg;
    }
    all
}

fn sum_money(months: &[MonthFigures], of: impl Fn(&MonthFigures) -> f64) -> f64 {
    (months.iter().map(of).sum::<f64>() * 1000.0).round() / 1000.0
}

fn option_figures(
    study: &Study,
    all: &[Reckoned<'_>],
    base: usize,
    place: usize,
    life_cycle: LifeCycleFigures,
) -> OptionFigures {
    let option = &all[place];
    let heating = &study.heatings[place];
    let dried_t = option.dried_t();
    let carriers = sum_carriers(&option.months);
    let purchased_kwh = option.mean(Account::purchased_kwh);
    let total_cost = sum_money(&option.months, |month| month.total_cost);
    let after_season: f64 = mean(
        option
            .books
            .iter()
            .map(|book| Account::of(book, |hour| !hour.in_season).store_kwh),
    );
    let evaporated = option.mean(|account| account.evaporated_kg);
    let purchased_mj = over_water(option, Account::purchased_mj_per_kg_water);
    OptionFigures {
        name: heating.name.clone(),
        description: describe(heating),
        condensers: heating.condensers.place.name().to_owned(),
        heat_need_kwh: option.mean(|account| account.heat_need_kwh),
        heat_delivered_kwh: option.mean(|account| account.heat_delivered_kwh),
        heat_need_peak_kw: peak(option.books, |hour| hour.heat_need_kwh),
        heat_capacity_kw: heat_capacity_kw(heating),
        hours_short: option.mean(|account| account.hours_short as f64),
        heat_short_kwh: option.mean(Account::short_kwh),
        fan_kwh: option.mean(Account::fan_kwh),
        bin_fan_kwh: option.mean(|account| account.bin_fan_kwh),
        extraction_fan_kwh: option.mean(|account| account.extraction_fan_kwh),
        cool_store_kwh: option.mean(|account| account.store_kwh),
        cool_store_after_season_kwh: after_season,
        store_cooling_kwh: option.mean(|account| account.store_cooling_kwh),
        recovered: recovered(option),
        sources: sources(study, place, option),
        electric_peak_kw: option
            .accounts
            .iter()
            .map(|a| a.electric_peak_kw)
            .fold(0.0, f64::max),
        purchased_kwh,
        energy_cost: sum_money(&option.months, |month| month.energy_cost),
        demand_cost: sum_money(&option.months, |month| month.demand_cost),
        other_cost: sum_money(&option.months, |month| month.other_cost),
        total_cost,
        heat_cost: mean(option.bills.iter().map(|bill| bill.purposes.heat)),
        fan_cost: mean(option.bills.iter().map(|bill| bill.purposes.fans)),
        cool_store_cost: mean(option.bills.iter().map(|bill| bill.purposes.cool_store)),
        cost_per_dried_t: over(total_cost, dried_t),
        kwh_per_dried_t: over(purchased_kwh, dried_t),
        mj_per_kg_water: over_water(option, Account::mj_per_kg_water),
        purchased_mj_per_kg_water: purchased_mj,
        kg_water_per_purchased_kwh: purchased_mj
            .filter(|mj| *mj > 0.0 && evaporated > 0.0)
            .map(|mj| 3.6 / mj),
        carbon_kg: carriers.values().map(|carrier| carrier.carbon_kg).sum(),
        residuals: residuals(option.books),
        heat_exits_kwh: BTreeMap::from([
            (
                "air".to_owned(),
                option.mean(|account| account.ventilation_kwh),
            ),
            (
                "envelope".to_owned(),
                option.mean(|account| account.envelope_kwh),
            ),
            (
                "nuts and steel".to_owned(),
                option.mean(|account| account.warming_kwh),
            ),
            (
                "freeing bound water".to_owned(),
                option.mean(|account| account.binding_kwh),
            ),
        ]),
        heat_entries_kwh: BTreeMap::from([
            (
                "fan heat".to_owned(),
                option.mean(|account| account.fan_heat_kwh),
            ),
            (
                "lights and people".to_owned(),
                option.mean(|account| account.gains_kwh),
            ),
            (
                "recovered, purged".to_owned(),
                option.mean(|account| account.purged_kwh),
            ),
        ]),
        years: (0..option.books.len())
            .map(|year| option_year(study, option, year))
            .collect(),
        uncertainty: uncertainty(study, all, base, place),
        guards: guards::sentences(option.books),
        cover: super::cover::cover(option.books),
        months: option.months.clone(),
        carriers,
        life_cycle,
    }
}

/// What its sources can give together; a heat store makes no heat of its own.
fn heat_capacity_kw(heating: &crate::season::Heating) -> f64 {
    let makes = |source: &&Source| !matches!(source.kind, Kind::HeatStore(_));
    let sources = heating.sources.iter().filter(makes);
    sources.map(|source| source.capacity_kw).sum()
}

/// Mean of a specific energy over the years that have one.
fn over_water(option: &Reckoned<'_>, of: impl Fn(&Account) -> Option<f64>) -> Option<f64> {
    let values: Vec<f64> = option.accounts.iter().filter_map(of).collect();
    (!values.is_empty()).then(|| mean(values.iter().copied()))
}

fn peak(books: &[Book], of: impl Fn(&crate::ledger::Entry) -> f64) -> f64 {
    books
        .iter()
        .flat_map(|book| &book.hours)
        .map(of)
        .fold(0.0, f64::max)
}

fn residuals(books: &[Book]) -> ResidualFigures {
    books
        .iter()
        .map(Book::residuals)
        .fold(ResidualFigures::default(), |worst, one| ResidualFigures {
            water: worst.water.max(one.water),
            energy: worst.energy.max(one.energy),
        })
}

fn describe(heating: &crate::season::Heating) -> String {
    let sources: Vec<String> = heating
        .sources
        .iter()
        .map(|source| {
            format!(
                "{} ({}, {:.0} kW)",
                source.name,
                kind_in_words(&source.kind),
                source.capacity_kw
            )
        })
        .collect();
    format!(
        "{}; condensers {}",
        sources.join(match heating.calling {
            Calling::Ordered | Calling::OrderedByHour(_) => ", then ",
            Calling::CheapestFirst(_) => ", or by the hour's price ",
        }),
        condensers_in_words(&heating.condensers)
    )
}

fn condensers_in_words(condensers: &Condensers) -> String {
    let place = match condensers.place {
        Placement::Outdoors => "outdoors",
        Placement::FreshAir => "in the fresh-air intake",
        Placement::Room => "in the drying room",
        Placement::SwitchedRoom(_) => "in the drying room while their heat is wanted",
        Placement::SwitchedFreshAir(_) => "in the fresh-air intake while their heat is wanted",
    };
    match condensers.units {
        Some(units) => format!("of {units} units {place}"),
        None => place.to_owned(),
    }
}

fn kind_in_words(kind: &Kind) -> &'static str {
    match kind {
        Kind::Resistance(_) => "electric resistance",
        Kind::Burner(_) => "indirect burner",
        Kind::OpenFlame(_) => "direct burner, whose flue gas passes the nuts",
        Kind::Biomass(_) => "biomass heater",
        Kind::HotWater(_) => "hot-water coil with its own boiler",
        Kind::HeatPump(_) => "air-source heat pump",
        Kind::WaterHeatPump(_) => "heat pump on the condensers' water",
        Kind::Dehumidifier(_) => "dehumidifying heat pump",
        Kind::Exchanger(_) => "exhaust-to-intake exchanger",
        Kind::Collector(_) => "solar air collector",
        Kind::HeatStore(_) => "heat store, charged by another source",
    }
}

fn recovered(option: &Reckoned<'_>) -> RecoveredFigures {
    let useful_kwh = option.mean(|account| account.credit.useful_kwh);
    let penalty_kwh = option.mean(|account| account.credit.penalty_kwh);
    let need = option.mean(|account| account.heat_need_kwh);
    let by_hour = |of: &dyn Fn(&crate::ledger::Entry) -> f64| -> Vec<f64> {
        let mut hours = vec![0.0; 24];
        for entry in option.books.iter().flat_map(|book| &book.hours) {
            hours[entry.starts.hour() as usize] += of(entry) / option.books.len() as f64;
        }
        hours
    };
    RecoveredFigures {
        gross_kwh: option.mean(|account| account.credit.gross_kwh),
        useful_kwh,
        penalty_kwh,
        net_kwh: option.mean(|account| account.credit.net_kwh()),
        net_money: option.mean_credit_money(),
        cop_of_recovery: (penalty_kwh > 0.0 && useful_kwh > 0.0).then(|| useful_kwh / penalty_kwh),
        share_of_need_pct: over(useful_kwh, need) * 100.0,
        useful_by_hour_of_day_kwh: by_hour(&|entry| entry.recovered_kwh),
        gross_by_hour_of_day_kwh: by_hour(&|entry| entry.gross_kwh),
        need_by_hour_of_day_kwh: by_hour(&|entry| entry.heat_need_kwh),
        by_month_and_hour: if useful_kwh > 0.0 {
            super::cover::by_month_and_hour(option.books)
        } else {
            Vec::new()
        },
    }
}

fn sources(study: &Study, place: usize, option: &Reckoned<'_>) -> Vec<SourceFigures> {
    let years = option.books.len().max(1) as f64;
    study.heatings[place]
        .sources
        .iter()
        .enumerate()
        .map(|(at, source)| {
            let mut figures = SourceFigures {
                name: source.name.clone(),
                kind: kind_in_words(&source.kind).to_owned(),
                capacity_kw: source.capacity_kw,
                ..SourceFigures::default()
            };
            for draw in option.books.iter().flat_map(|book| &book.sources[at].given) {
                figures.heat_kwh += draw.heat_kw / years;
                figures.electricity_kwh += draw.electricity_kw / years;
                figures.fuel_kwh += draw.fuel_kw / years;
                figures.peak_kw = figures.peak_kw.max(draw.heat_kw);
                figures.hours += if draw.heat_kw > 1e-6 {
                    1.0 / years
                } else {
                    0.0
                };
            }
            figures
        })
        .collect()
}

fn option_year(study: &Study, option: &Reckoned<'_>, year: usize) -> OptionYearFigures {
    let (book, account) = (&option.books[year], &option.accounts[year]);
    let carbon: f64 = account.electricity_kwh * study.carriers.electricity_carbon_kg_per_kwh
        + book
            .sources
            .iter()
            .zip(&account.source_fuel_kwh)
            .filter_map(|(source, kwh)| {
                Some(
                    study
                        .carriers
                        .fuels
                        .get(source.fuel.as_ref()?)?
                        .carbon_kg(*kwh),
                )
            })
            .sum::<f64>();
    let last_dry = book.batches.iter().filter_map(|batch| batch.dry_hour).max();
    OptionYearFigures {
        label: book.year.clone(),
        heat_need_kwh: account.heat_need_kwh,
        heat_delivered_kwh: account.heat_delivered_kwh,
        purchased_kwh: account.purchased_kwh(),
        electricity_kwh: account.electricity_kwh,
        electric_peak_kw: account.electric_peak_kw,
        hours_short: account.hours_short,
        total_cost: study.currency.value(option.bills[year].total()),
        carbon_kg: carbon,
        last_dry: last_dry
            .and_then(|hour| book.hours.get(hour))
            .map(|hour| hour.starts.date().to_string()),
        residuals: residuals(std::slice::from_ref(book)),
    }
}

fn uncertainty(
    study: &Study,
    all: &[Reckoned<'_>],
    base: usize,
    place: usize,
) -> UncertaintyFigures {
    let option = &all[place];
    let (totals, baseline) = (option.totals(study), all[base].totals(study));
    // Paired: each year's bill against the baseline's bill of the same year.
    let cheaper = totals
        .iter()
        .zip(&baseline)
        .filter(|(own, base)| own < base)
        .count();
    let of =
        |value: &dyn Fn(&Account) -> f64| quantiles(option.accounts.iter().map(value).collect());
    UncertaintyFigures {
        weather_years: totals.len(),
        cheaper_than_baseline_pct: over(cheaper as f64, totals.len() as f64) * 100.0,
        total_cost: quantiles(totals),
        heat_need_kwh: of(&|account| account.heat_need_kwh),
        purchased_kwh: of(&Account::purchased_kwh),
    }
}

/// Empirical quantiles, linear between order statistics (Hyndman & Fan 1996, definition 7).
fn quantiles(mut values: Vec<f64>) -> Quantiles {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let Some(last) = values.len().checked_sub(1) else {
            return 0.0;
        };
        let place = share * last as f64;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0..=last
        let low = place.floor() as usize;
        let high = (low + 1).min(last);
        values[low] + (place - low as f64) * (values[high] - values[low])
    };
    Quantiles {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
    }
}

/// Lowest net present cost among the options that dry everything and meet the heat need to within
/// 1 %; if none does, lowest of all.
fn recommend(options: &[OptionFigures], reckoned: &[Reckoned<'_>], baseline: &str) -> String {
    let able = |place: usize| {
        let unfinished = reckoned[place]
            .books
            .iter()
            .flat_map(|book| &book.guards)
            .any(|guard| guard.kind == GuardKind::Unfinished);
        !unfinished && options[place].heat_short_kwh <= 0.01 * options[place].heat_need_kwh
    };
    let cheapest = |places: &mut dyn Iterator<Item = usize>| {
        places.min_by(|&a, &b| {
            let cost = |place: usize| options[place].life_cycle.net_present_cost;
            cost(a).total_cmp(&cost(b))
        })
    };
    cheapest(&mut (0..options.len()).filter(|&place| able(place)))
        .or_else(|| cheapest(&mut (0..options.len())))
        .map_or_else(|| baseline.to_owned(), |place| options[place].name.clone())
}

fn study_figures(study: &Study, recommended: String) -> StudyFigures {
    let room = &study.plant.room;
    StudyFigures {
        title: study.title.clone(),
        baseline: study.baseline.clone(),
        recommended,
        currency: study.currency.to_string(),
        season_starts: study.season.starts.to_string(),
        season_ends: study.season.ends.to_string(),
        crop: study.crop_words(),
        air: match room.air {
            AirPath::Recirculating => "recirculating",
            AirPath::OnceThrough => "once-through",
        }
        .to_owned(),
        air_temperature_c: room.stages.first().map_or(0.0, |stage| stage.temperature_c),
        received_moisture_pct_wb: percent_of_dry_basis(study.received_moisture),
        dried_moisture_pct_wb: percent_of_dry_basis(study.plant.stay.dried_moisture),
        latitude: study.site.latitude,
        longitude: study.site.longitude,
        altitude_m: Some(study.site.altitude_m),
        money_years: study.money.years,
        discount_rate: study.money.discount_rate,
        grant_share: study.money.grant_share,
    }
}

fn weather_year(study: &Study, year: &WeatherYear) -> WeatherYearFigures {
    let hours = year.season();
    let set_c = study
        .plant
        .room
        .stages
        .first()
        .map_or(0.0, |stage| stage.temperature_c);
    let mean_of = |of: &dyn Fn(&crate::weather::Hour) -> f64| mean(hours.iter().map(of));
    WeatherYearFigures {
        label: year.label.clone(),
        season_hours: hours.len(),
        mean_dry_bulb_c: mean_of(&|hour| hour.air.dry_bulb_c()),
        mean_relative_humidity_pct: mean_of(&|hour| hour.air.relative_humidity() * 100.0),
        mean_humidity_ratio_g_per_kg: mean_of(&|hour| hour.air.humidity_ratio() * 1000.0),
        heat_to_set_kwh_per_kg_per_s: hours.iter().map(|hour| heat_to(&hour.air, set_c)).sum(),
        borrowed_hours: year.borrowed_hours,
    }
}

fn season_figures(study: &Study, years: &[WeatherYear], baseline: &Reckoned<'_>) -> SeasonFigures {
    let books = baseline.books;
    let of = |value: &dyn Fn(&Book) -> f64| mean(books.iter().map(value));
    let water_kg = of(&|book| book.tonnage.evaporated_kg);
    let received_t = of(&|book| book.tonnage.received_kg) / 1000.0;
    let dried_t = baseline.dried_t();
    let dried_dry = of(&|book| book.tonnage.dried_kg - book.tonnage.dried_water_kg);
    let dried_water = of(&|book| book.tonnage.dried_water_kg);
    let lost_kg = baseline.mean(|account| account.store_nuts_lost_kg);
    let hours_to_dry: Vec<f64> = books
        .iter()
        .flat_map(|book| &book.batches)
        .filter_map(|batch| batch.dry_hour.map(|dry| (dry - batch.loaded_hour) as f64))
        .collect();
    SeasonFigures {
        hours: years.first().map_or(0, |year| year.season_hours),
        received_t,
        dried_t,
        water_kg,
        water_kg_per_received_t: over(water_kg, received_t),
        water_kg_per_dried_t: over(water_kg, dried_t),
        waiting_tonne_days: of(&|book| book.tonnage.waiting_tonne_days),
        batches: of(&|book| book.batches.len() as f64),
        mean_drying_hours: mean(hours_to_dry.iter().copied()),
        dried_moisture_reached_pct_wb: over(dried_water, dried_dry + dried_water) * 100.0,
        stored_nuts_lost_kg: lost_kg,
        stored_nuts_lost_money: crops::price_per_dried_t(study, books)
            .map(|price| price * lost_kg / 1000.0),
        stored_moisture_reached_pct_wb: over(
            dried_water - lost_kg,
            dried_dry + dried_water - lost_kg,
        ) * 100.0,
        bins_in_use_max: books
            .iter()
            .flat_map(|book| &book.hours)
            .map(|hour| hour.bins_drying + hour.bins_cooling)
            .max()
            .unwrap_or(0),
        bins: u32::try_from(study.plant.bins()).unwrap_or(u32::MAX),
        overdried: overdried::figures(study, books),
        rooms: rooms::figures(books),
        crops: crops::figures(study, books),
        guards: guards::sentences(books),
    }
}

/// Files read, for a list of digests.
pub fn input_file(file: impl Into<String>, sha256: impl Into<String>) -> InputFile {
    InputFile {
        file: file.into(),
        sha256: sha256.into(),
    }
}

/// Guards of all years of an option, for the exit code under `--strict`.
pub fn guards_fired(figures: &Figures) -> Vec<&GuardFigures> {
    figures
        .options
        .iter()
        .flat_map(|option| &option.guards)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn quantiles_are_linear_between_order_statistics() {
        // R: quantile(c(1, 2, 4, 8, 16), c(.1, .5, .9)) gives 1.4, 4, 12.8 (definition 7).
        let q = quantiles(vec![16.0, 1.0, 4.0, 2.0, 8.0]);
        assert_relative_eq!(q.p10, 1.4);
        assert_relative_eq!(q.p50, 4.0);
        assert_relative_eq!(q.p90, 12.8);
        let one = quantiles(vec![3.0]);
        assert_eq!((one.p10, one.p50, one.p90), (3.0, 3.0, 3.0));
    }
}
