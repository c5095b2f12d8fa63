//! Prices, terms and what is owned: the cells that a person may change.

use super::fault::NoWorkbook;
use super::live::{Live, Span};
use super::names::Names;
use super::sheet::{Look, Sheet, Styles, column_at, row_at};
use crate::answer::{Figures, OwnedFigures};
use crate::money::ELECTRICITY;
use crate::study::MOST_YEARS;

/// The cells of a fuel.
pub(super) struct FuelCells {
    pub carrier: String,
    pub price: Live,
    pub fixed: Live,
    pub own_worth: Option<Live>,
}

/// The cells of what is owned, and its columns.
pub(super) struct Owned {
    pub capital: Vec<Live>,
    pub life: Vec<Live>,
    /// Capital to be spent: nothing for what stands.
    pub to_spend: Vec<Live>,
    pub to_spend_column: Span,
    pub capital_column: Span,
    pub upkeep_column: Span,
    /// 1 for what a grant on capital may be paid for.
    pub eligible_column: Span,
    /// How many of it each option has: cells, and columns.
    pub counts: Vec<Vec<Live>>,
    pub of_options: Vec<Span>,
}

/// What the other sheets work with.
pub(super) struct Prices {
    pub energy: Vec<Live>,
    pub demand: Vec<Live>,
    pub per_month: Live,
    pub per_day: Live,
    pub tax: Live,
    pub fuels: Vec<FuelCells>,
    /// Carriers with the yearly rise of their prices, electricity first.
    pub carriers: Vec<(String, Live)>,
    pub years: Live,
    pub rate: Live,
    pub share: Live,
    /// Where the most that a grant pays stands, if there is a limit.
    pub most: Live,
    pub has_most: bool,
    pub owned: Owned,
}

/// A sheet as its rows are written, one below the other.
struct Rows<'a, 's> {
    sheet: Sheet<'s>,
    names: &'a mut Names,
    row: u32,
}

impl Rows<'_, '_> {
    fn group(&mut self, head: &str) -> Result<(), NoWorkbook> {
        self.row += 1;
        self.sheet.text((self.row, 0), head, Look::Group)?;
        self.row += 1;
        Ok(())
    }

    /// A value that may be changed, with its unit and the name by which a formula may call it.
    fn input(&mut self, (what, unit): (&str, &str), value: f64, look: Look, name: &str) -> Result<Live, NoWorkbook> {
        let at = (self.row, 1);
        self.label(what, unit)?;
        let cell = self.sheet.input(at, value, look)?;
        self.names.give(name, &cell);
        Ok(cell)
    }

    fn label(&mut self, what: &str, unit: &str) -> Result<(), NoWorkbook> {
        self.sheet.text((self.row, 0), what, Look::Text)?;
        self.sheet.text((self.row, 2), unit, Look::Note)?;
        self.row += 1;
        Ok(())
    }
}

/// Fills the sheet.
pub(super) fn prices<'s>(
    figures: &Figures,
    styles: &'s Styles,
    names: &mut Names,
) -> Result<(Sheet<'s>, Prices), NoWorkbook> {
    let note = "Yellow cells may be changed: bills, net present costs and paybacks of all sheets follow. Energy, peaks \
                and hours stay those that were computed; so do the words of the owner’s sheet.";
    let sheet = Sheet::new("Prices", styles, "Prices and terms", note)?;
    let mut rows = Rows { sheet, names, row: 2 };
    let (study, given) = (&figures.study, &figures.prices);
    let code = study.currency.as_str();

    rows.group("Electricity, before tax")?;
    let mut energy = Vec::new();
    for price in &given.electricity.energy {
        let name = format!("price_electricity_{}", price.period);
        energy.push(rows.input((&price.period, &format!("{code}/kWh")), price.per_kwh, Look::Fine, &name)?);
    }
    let mut demand = Vec::new();
    for price in &given.electricity.demand {
        let name = format!("price_demand_{}", price.charge);
        let unit = format!("{code}/{} a month", price.unit);
        demand.push(rows.input((&price.charge, &unit), price.price, Look::Fine, &name)?);
    }
    let electricity = &given.electricity;
    let per_month =
        rows.input(("fixed charge a month", code), electricity.fixed_per_month, Look::Fine, "fixed_electricity_month")?;
    let per_day =
        rows.input(("fixed charge a day", code), electricity.fixed_per_day, Look::Fine, "fixed_electricity_day")?;
    let tax = rows.input(("tax on all of it", "share"), electricity.tax, Look::Percent, "tax_electricity")?;

    let fuels = fuels(figures, &mut rows)?;

    rows.group("Terms")?;
    let years = rows.input(
        (&format!("analysis period, 1 to {MOST_YEARS}"), "years"),
        f64::from(study.money_years),
        Look::Whole,
        "analysis_years",
    )?;
    let rate = rows.input(
        ("discount rate, prices without general inflation", "a year"),
        study.discount_rate,
        Look::Percent,
        "discount_rate",
    )?;
    let rises = std::iter::once((ELECTRICITY.to_owned(), electricity.escalation));
    let mut carriers = Vec::new();
    for (carrier, rise) in rises.chain(given.fuels.iter().map(|fuel| (fuel.carrier.clone(), fuel.escalation))) {
        let what = format!("yearly rise of the price of {carrier}");
        let cell = rows.input((&what, "a year"), rise, Look::Percent, &format!("rise_{carrier}"))?;
        carriers.push((carrier, cell));
    }
    let base = if given.grant.on_extra_cost {
        "share that a grant pays of the capital above the baseline’s"
    } else {
        "share that a grant pays of the capital of what the baseline does not have"
    };
    let share = rows.input((base, "share"), given.grant.share, Look::Percent, "grant_share")?;
    let at = (rows.row, 1);
    rows.label("most that a grant pays one option; empty for no limit", code)?;
    let most = if let Some(most) = given.grant.most {
        rows.sheet.input(at, most, Look::Money)?
    } else {
        rows.sheet.open_input(at, Look::Money)?;
        Live::cell(rows.sheet.name(), at, 0.0)
    };
    rows.names.give("grant_most", &most);
    let has_most = given.grant.most.is_some();

    rows.group("What is owned, and how many of it each option has")?;
    let owned = owned(figures, &mut rows)?;
    let mut sheet = rows.sheet;
    let page = sheet.page_mut();
    page.set_column_width(0, 58.0)?;
    for column in 1..column_at(7, figures.options.len()) {
        page.set_column_width(column, 14.0)?;
    }
    page.set_freeze_panes(2, 1)?;
    let prices =
        Prices { energy, demand, per_month, per_day, tax, fuels, carriers, years, rate, share, most, has_most, owned };
    Ok((sheet, prices))
}

/// The rows of the fuels.
fn fuels(figures: &Figures, rows: &mut Rows<'_, '_>) -> Result<Vec<FuelCells>, NoWorkbook> {
    let (given, code) = (&figures.prices, figures.study.currency.as_str());
    let mut fuels = Vec::new();
    if !given.fuels.is_empty() {
        rows.group("Fuels, tax included")?;
    }
    for fuel in &given.fuels {
        let (carrier, unit) = (fuel.carrier.as_str(), fuel.unit.as_str());
        let what = format!("{carrier} ({:.3} kWh in a {unit})", fuel.kwh_per_unit);
        let per_unit = format!("{code}/{unit}");
        let price = rows.input((&what, &per_unit), fuel.price_per_unit, Look::Fine, &format!("price_{carrier}"))?;
        let what = format!("{carrier}: fixed charge a month");
        let fixed = rows.input((&what, code), fuel.fixed_per_month, Look::Fine, &format!("fixed_{carrier}_month"))?;
        let own_worth = match fuel.own_worth_per_unit {
            Some(worth) => {
                let what = format!("{carrier}: what the plant’s own would have fetched");
                Some(rows.input((&what, &per_unit), worth, Look::Fine, &format!("own_worth_{carrier}"))?)
            }
            None => None,
        };
        fuels.push(FuelCells { carrier: carrier.to_owned(), price, fixed, own_worth });
    }
    Ok(fuels)
}

/// The table of what is owned: cells of costs and lives, and a column for each option.
fn owned(figures: &Figures, rows: &mut Rows<'_, '_>) -> Result<Owned, NoWorkbook> {
    let code = figures.study.currency.as_str();
    let all = &figures.prices.owned;
    let heads = ["what", "capital", "life", "upkeep a year", "stands already: 1", "grant on capital: 1", "to be spent"];
    let units = ["", code, "years", code, "", "", code];
    let names = figures.options.iter().map(|option| option.name.as_str());
    for (column, head) in (0..).zip(heads.into_iter().chain(names)) {
        rows.sheet.text((rows.row, column), head, Look::Head)?;
        rows.sheet.text((rows.row + 1, column), units.get(usize::from(column)).unwrap_or(&""), Look::Note)?;
    }
    let first = rows.row + 2;
    let (mut capital, mut life, mut stands, mut to_spend) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut counts = vec![Vec::new(); figures.options.len()];
    for (at, item) in all.iter().enumerate() {
        let row = row_at(first, at);
        rows.sheet.text((row, 0), &item.name, Look::Text)?;
        capital.push(rows.sheet.input((row, 1), item.capital, Look::Money)?);
        life.push(rows.sheet.input((row, 2), item.life_years, Look::Tenths)?);
        rows.sheet.input((row, 3), item.upkeep_per_year, Look::Money)?;
        stands.push(rows.sheet.number((row, 4), flag(item.is_installed), Look::Whole)?);
        rows.sheet.number((row, 5), flag(!item.is_of_baseline), Look::Whole)?;
        let spent = capital[at].times(&Live::number(1.0).less(&stands[at]));
        to_spend.push(rows.sheet.live((row, 6), &spent, Look::Money)?);
        for (option, count) in item.of_options.iter().enumerate() {
            let cell = rows.sheet.number((row, column_at(7, option)), f64::from(*count), Look::Whole)?;
            counts[option].push(cell);
        }
    }
    let column = |at: u16, of: &dyn Fn(&OwnedFigures) -> f64| {
        let mut values: Vec<f64> = all.iter().map(of).collect();
        values.resize(all.len().max(1), 0.0);
        rows.sheet.down((first, at), values)
    };
    let of_options = (0..figures.options.len())
        .map(|option| column(column_at(7, option), &|item| f64::from(item.of_options[option])))
        .collect();
    Ok(Owned {
        to_spend_column: column(6, &|item| if item.is_installed { 0.0 } else { item.capital }),
        capital_column: column(1, &|item| item.capital),
        upkeep_column: column(3, &|item| item.upkeep_per_year),
        eligible_column: column(5, &|item| flag(!item.is_of_baseline)),
        counts,
        of_options,
        capital,
        life,
        to_spend,
    })
}

fn flag(is: bool) -> f64 {
    if is { 1.0 } else { 0.0 }
}
