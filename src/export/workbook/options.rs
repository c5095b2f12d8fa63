//! Every option beside the others: energy as computed, and money that follows the prices.

use super::fault::NoWorkbook;
use super::live::{Live, Span};
use super::means::Means;
use super::prices::Prices;
use super::sheet::{Column, Look, Sheet, Styles, column_at, row_at};
use super::years::{LAST_YEAR, Years};
use crate::answer::{Figures, OptionFigures};

/// The cells of an option's money.
pub(super) struct OptionCells {
    /// Its row.
    pub row: u32,
    /// Electricity's energy, demand charges, fixed charges and tax.
    pub energy: Live,
    pub demand: Live,
    pub other: Live,
    pub fuels: Vec<Live>,
    /// Bill of each carrier, electricity first.
    pub carriers: Vec<Live>,
    pub bill: Live,
    pub capital: Live,
    pub eligible: Live,
    pub grant: Live,
    pub upkeep: Live,
    /// Present value of replacements less residuals.
    pub singles: Live,
    pub net_present_cost: Live,
    pub owning: Live,
    pub price_growth: Live,
    pub total_a_year: Live,
}

impl OptionCells {
    /// What the owner pays at the start.
    pub(super) fn first_cost(&self) -> Live {
        self.capital.less(&self.grant)
    }
}

/// Where the paybacks of an option stand.
pub(super) struct Paybacks {
    pub simple: String,
    pub discounted: String,
    pub internal_return: String,
}

/// Fills the sheet but for the paybacks, which hang on the years' cash.
pub(super) fn options<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, means, years): (&Prices, &Means, &Years),
) -> Result<(Sheet<'s>, Vec<OptionCells>), NoWorkbook> {
    let note = "Energy is the mean over the weather years. Money follows the prices.";
    let mut sheet = Sheet::new("Options", styles, "Options beside each other", note)?;
    let code = figures.study.currency.as_str();
    let mut heads: Vec<(String, &str)> = [
        ("option", ""),
        ("does the work", "yes or no"),
        ("heat given", "kWh"),
        ("energy used", "kWh"),
        ("energy purchased", "kWh"),
        ("peak demand", "kW"),
        ("carbon", "kg CO₂e"),
        ("dried nuts", "t"),
        ("electricity: energy", code),
        ("demand charges", code),
        ("fixed charges and tax", code),
    ]
    .map(|(head, unit)| (head.to_owned(), unit))
    .into();
    heads.extend(prices.fuels.iter().map(|fuel| (fuel.carrier.clone(), code)));
    heads.extend(
        [
            ("seasonal energy cost", code),
            ("the same per dried tonne", code),
            ("capital", code),
            ("a grant may be a share of", code),
            ("grant", code),
            ("upkeep a year", code),
            ("replacements less residuals, present value", code),
            ("bills and upkeep, present value", code),
            ("net present cost", code),
            ("the same as an equal yearly sum", code),
            ("of which owning", code),
            ("of which growth of prices", code),
            ("net present saving against the baseline", code),
            ("simple payback", "years"),
            ("discounted payback", "years"),
            ("internal rate of return", "a year"),
        ]
        .map(|(head, unit)| (head.to_owned(), unit)),
    );
    let columns: Vec<Column<'_>> = heads
        .iter()
        .zip(std::iter::once(28.0).chain(std::iter::repeat(14.0)))
        .map(|((head, unit), width)| (head.as_str(), *unit, width))
        .collect();
    let first = sheet.heads(3, &columns, 1)?;
    let base = figures.baseline_place();
    // The baseline's cells stand in its row, wherever that is.
    let capital_column = column_at(13, prices.fuels.len());
    let base_capital =
        Live::cell("Options", (row_at(first, base), capital_column), figures.options[base].life_cycle.capital);
    let mut all = Vec::new();
    for at in 0..figures.options.len() {
        let row = row_at(first, at);
        all.push(option_row(&mut sheet, row, at, (figures, prices, means, years), &base_capital)?);
    }
    for (at, cells) in all.iter().enumerate().filter(|(at, _)| *at != base) {
        let saved = all[base].net_present_cost.less(&cells.net_present_cost);
        sheet.live((row_at(first, at), column_at(23, prices.fuels.len())), &saved, Look::Money)?;
    }
    Ok((sheet, all))
}

fn option_row(
    sheet: &mut Sheet<'_>,
    row: u32,
    at: usize,
    (figures, prices, means, years): (&Figures, &Prices, &Means, &Years),
    base_capital: &Live,
) -> Result<OptionCells, NoWorkbook> {
    let option = &figures.options[at];
    sheet.text((row, 0), &option.name, Look::Text)?;
    sheet.text((row, 1), if option.does_the_work { "yes" } else { "no" }, Look::Text)?;
    let energies =
        [option.heat_delivered_kwh, option.used_kwh, option.purchased_kwh, option.electric_peak_kw, option.carbon_kg];
    for (column, value) in (2..).zip(energies) {
        sheet.number((row, column), value, Look::Tenths)?;
    }
    let dried = sheet.number((row, 7), option.dried_t, Look::Tenths)?;
    let mut column = 8;
    let mut put = |sheet: &mut Sheet<'_>, live: &Live| {
        column += 1;
        sheet.live((row, column - 1), live, Look::Money)
    };
    let cost_of_line =
        |line: usize| means.cost_column.sum_where(&[(&means.option_column, at + 1), (&means.line_column, line)]);
    let energy = put(sheet, &cost_of_line(1))?;
    let demand = put(sheet, &cost_of_line(2))?;
    let other = put(sheet, &cost_of_line(3))?;
    let mut fuels = Vec::new();
    for fuel in 0..prices.fuels.len() {
        fuels.push(put(sheet, &cost_of_line(4 + fuel))?);
    }
    let electricity = energy.plus(&demand).plus(&other);
    let bill = put(sheet, &fuels.iter().fold(electricity.clone(), |sum, fuel| sum.plus(fuel)))?;
    if option.dried_t > 0.0 {
        put(sheet, &bill.over(&dried))?;
    } else {
        put(sheet, &Live::number(0.0))?;
    }
    let owned = &prices.owned;
    let counts = &owned.of_options[at];
    let capital = put(sheet, &counts.times_sum(&owned.to_spend_column))?;
    let eligible = if figures.prices.grant.on_extra_cost {
        capital.less(base_capital).max(&Live::number(0.0))
    } else {
        counts.times_times_sum(&owned.capital_column, &owned.eligible_column).max(&Live::number(0.0))
    };
    let eligible = put(sheet, &eligible)?;
    let grant = put(sheet, &grant(prices, option, &capital, &eligible))?;
    let upkeep = counts.times_sum(&owned.upkeep_column);
    let upkeep = put(sheet, &standing(option, prices).iter().fold(upkeep, |sum, cost| sum.plus(cost)))?;
    let singles = put(sheet, &counts.times_sum(&years.present_singles))?;
    let carriers: Vec<Live> = std::iter::once(electricity).chain(fuels.iter().cloned()).collect();
    let present = carriers.iter().zip(&years.factors).map(|(cost, factor)| cost.times(factor));
    let present: Vec<Live> = present.chain([upkeep.times(&years.level_factor)]).collect();
    let running = put(sheet, &Live::sum(&present))?;
    let first_cost = capital.less(&grant);
    let net_present_cost = put(sheet, &first_cost.plus(&singles).plus(&running))?;
    let total_a_year = put(sheet, &net_present_cost.over(&years.level_factor))?;
    let owning = first_cost.plus(&singles).over(&years.level_factor).plus(&upkeep);
    let owning = put(sheet, &owning)?;
    let price_growth = put(sheet, &total_a_year.less(&owning).less(&bill))?;
    Ok(OptionCells {
        row,
        energy,
        demand,
        other,
        fuels,
        carriers,
        bill,
        capital,
        eligible,
        grant,
        upkeep,
        singles,
        net_present_cost,
        owning,
        price_growth,
        total_a_year,
    })
}

/// What its fuels are billed in the months that its season's bill does not reach.
fn standing(option: &OptionFigures, prices: &Prices) -> Vec<Live> {
    let months = Live::number(option.months_outside_bill);
    let stands = prices.fuels.iter().filter(|fuel| option.carriers.contains_key(&fuel.carrier));
    stands.map(|fuel| fuel.fixed.times(&months)).collect()
}

/// What a grant pays: its share of what is eligible, up to the most, to an option that may have one.
fn grant(prices: &Prices, option: &OptionFigures, capital: &Live, eligible: &Live) -> Live {
    if !option.life_cycle.may_have_grant {
        return Live::number(0.0);
    }
    let share = prices.share.times(eligible);
    let most = &prices.most;
    let paid = if prices.has_most { share.value().min(most.value()) } else { share.value() };
    let paid = if capital.value() > 0.0 { paid } else { 0.0 };
    let text = format!(
        "IF({capital}>0,IF(ISNUMBER({most}),MIN({share},{most}),{share}),0)",
        capital = capital.text(),
        most = most.text(),
        share = share.text()
    );
    Live::function(text, paid)
}

/// Fills the sheet of the cash of every year, against the baseline's; and writes the paybacks beside the options.
pub(super) fn cash<'s>(
    figures: &Figures,
    styles: &'s Styles,
    (prices, years): (&Prices, &Years),
    (beside, cells): (&mut Sheet<'_>, &[OptionCells]),
) -> Result<(Sheet<'s>, Vec<Option<Paybacks>>), NoWorkbook> {
    let note = "What each option pays at the end of each year, what that saves against the baseline, and the present value of all savings so far.";
    let mut sheet = Sheet::new("Cash", styles, "Cash of every year", note)?;
    let code = figures.study.currency.as_str();
    let mut heads = vec![("year".to_owned(), "")];
    for option in &figures.options {
        for (what, unit) in
            [("paid", code), ("saved", code), ("saved so far, present value", code), ("year in which paid back", "")]
        {
            heads.push((format!("{}: {what}", option.name), unit));
        }
    }
    let columns: Vec<Column<'_>> = heads.iter().map(|(head, unit)| (head.as_str(), *unit, 14.0)).collect();
    let first = sheet.heads(3, &columns, 1)?;
    for year in 0..=LAST_YEAR {
        sheet.number((row_at(first, year), 0), year as f64, Look::Whole)?;
    }
    let base = figures.baseline_place();
    let column = |option: usize, of: usize| column_at(1, 4 * option + of);
    let mut paid = Vec::new();
    for (option, cells) in cells.iter().enumerate() {
        let mut of_option = Vec::new();
        for year in 0..=LAST_YEAR {
            let pays = if year == 0 { cells.first_cost() } else { paid_in(year, option, cells, (prices, years)) };
            of_option.push(sheet.live((row_at(first, year), column(option, 0)), &pays, Look::Money)?);
        }
        paid.push(of_option);
    }
    let mut paybacks = Vec::new();
    for option in 0..cells.len() {
        if option == base {
            paybacks.push(None);
            continue;
        }
        let mut so_far: Option<Live> = None;
        for (year, (with, without)) in paid[option].iter().zip(&paid[base]).enumerate() {
            let row = row_at(first, year);
            let saved = without.less(with);
            let saved = sheet.live((row, column(option, 1)), &saved, Look::Money)?;
            let worth = if year == 0 { saved } else { saved.times(&years.discount[year - 1]) };
            let sum = so_far.map_or_else(|| worth.clone(), |so_far| so_far.plus(&worth));
            let sum = sheet.live((row, column(option, 2)), &sum, Look::Money)?;
            let is_in = if year == 0 { "1".to_owned() } else { years.counts[year - 1].text().to_owned() };
            let is_back = sum.value() >= 0.0 && (year == 0 || years.counts[year - 1].value() > 0.0);
            let text = format!("IF(AND({is_in}=1,{}>=0),{year},\"-\")", sum.text());
            sheet.live_or((row, column(option, 3)), &text, (is_back.then_some(year as f64), "-"), Look::Whole)?;
            so_far = Some(sum);
        }
        let span =
            |of: usize| Span::down("Cash", (first, column(option, of)), vec![0.0; LAST_YEAR + 1]).text().to_owned();
        let at = |of: usize, year: usize| {
            Live::cell("Cash", (row_at(first, year), column(option, of)), 0.0).text().to_owned()
        };
        let (own, before) = (&cells[option], &cells[base]);
        let added = own.first_cost().less(&before.first_cost());
        let saving = before.bill.plus(&before.upkeep).less(&own.bill).less(&own.upkeep);
        let back = span(3);
        let formulas = Paybacks {
            simple: format!(
                "IF({added}<=0,IF({saving}>=0,0,\"never\"),IF({saving}>0,({added})/({saving}),\"never\"))",
                added = added.text(),
                saving = saving.text()
            ),
            discounted: format!(
                "IF({}>=0,IF({}>=0,0,\"never within the period\"),IF(COUNT({back})=0,\"never within the period\",MIN({back})))",
                at(1, 0),
                at(2, LAST_YEAR)
            ),
            internal_return: internal_return(&span(1)),
        };
        let life = &figures.options[option].life_cycle;
        let columns = column_at(24, prices.fuels.len());
        let row = cells[option].row;
        let cached = [
            (&formulas.simple, life.simple_payback_years, "never", Look::Tenths),
            (&formulas.discounted, life.discounted_payback_years, "never within the period", Look::Whole),
            (&formulas.internal_return, life.irr, "none", Look::Percent),
        ];
        for (place, (text, value, word, look)) in (0..).zip(cached) {
            beside.live_or((row, columns + place), text, (value, word), look)?;
        }
        let cell = |place: u16| Live::cell("Options", (row, columns + place), 0.0).text().to_owned();
        paybacks.push(Some(Paybacks { simple: cell(0), discounted: cell(1), internal_return: cell(2) }));
    }
    Ok((sheet, paybacks))
}

/// The rate at which sums come to nothing. A spreadsheet seeks it from a guess and may not find it from its own: where
/// savings do not bring the investment back the rate lies below zero.
fn internal_return(sums: &str) -> String {
    let guesses = ["-0.05", "-0.25", "-0.6", "0.5"];
    let otherwise = guesses
        .iter()
        .rev()
        .fold("\"none\"".to_owned(), |otherwise, guess| format!("IFERROR(IRR({sums},{guess}),{otherwise})"));
    format!("IFERROR(IRR({sums}),{otherwise})")
}

/// What an option pays at the end of a year: bills at that year's prices, upkeep, and what falls due once.
fn paid_in(year: usize, option: usize, cells: &OptionCells, (prices, years): (&Prices, &Years)) -> Live {
    let bills = cells.carriers.iter().zip(&years.growth).map(|(cost, growth)| cost.times(&growth[year - 1]));
    let mut terms: Vec<Live> = bills.chain([cells.upkeep.clone()]).collect();
    let owned = prices.owned.counts[option].iter().zip(&years.singles);
    terms
        .extend(owned.filter(|(count, _)| count.value() > 0.0).map(|(count, singles)| count.times(&singles[year - 1])));
    years.counts[year - 1].times(&Live::sum(&terms))
}
