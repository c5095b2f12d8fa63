//! The years of the analysis: discount, growth of prices, and what falls due of what is owned.

use super::fault::NoWorkbook;
use super::live::{Live, Span};
use super::prices::Prices;
use super::sheet::{Column, Look, Sheet, Styles, column_at, row_at};
use crate::answer::Figures;
use crate::study::MOST_YEARS;

/// The last year that a study may look at.
pub(super) const LAST_YEAR: usize = MOST_YEARS as usize;

/// Times closer than this are one: what sums of lives are off by rounding.
const SAME_TIME: &str = "0.000000001";
const SAME_TIME_YEARS: f64 = 1e-9;

/// What the other sheets work with, by year from 1.
pub(super) struct Years {
    /// 1 for a year of the period, else 0.
    pub counts: Vec<Live>,
    /// Present value of 1 at the end of each year, 0 after the period.
    pub discount: Vec<Live>,
    /// Growth of each carrier's prices since the base year.
    pub growth: Vec<Vec<Live>>,
    /// What falls due once of each thing owned: replacements, less what is left in the last year.
    pub singles: Vec<Vec<Live>>,
    /// Present value of 1 a year of each carrier, and of what does not rise.
    pub factors: Vec<Live>,
    pub level_factor: Live,
    /// Present value of what falls due once of each thing owned.
    pub present_singles: Span,
}

/// Fills the sheet.
pub(super) fn years<'s>(
    figures: &Figures,
    styles: &'s Styles,
    prices: &Prices,
) -> Result<(Sheet<'s>, Years), NoWorkbook> {
    let note = "Sums fall at the ends of years, at base-year prices. Below: present value of 1 a year, and of what falls due once.";
    let mut sheet = Sheet::new("Years", styles, "Years of the analysis", note)?;
    let code = figures.study.currency.as_str();
    let mut heads: Vec<(String, &str)> =
        vec![("year".to_owned(), ""), ("in the period".to_owned(), ""), ("present value of 1".to_owned(), "")];
    heads.extend(prices.carriers.iter().map(|(carrier, _)| (format!("growth of {carrier}"), "")));
    heads.extend(figures.prices.owned.iter().map(|item| (format!("{}: replaced, less what is left", item.name), code)));
    let columns: Vec<Column<'_>> = heads.iter().map(|(head, unit)| (head.as_str(), *unit, 14.0)).collect();
    let first = sheet.heads(3, &columns, 1)?;
    let one = Live::number(1.0);
    let items = prices.owned.capital.len();
    let carriers = prices.carriers.len();
    let (mut counts, mut discount) = (Vec::new(), Vec::new());
    let mut growth = vec![Vec::new(); carriers];
    let mut singles = vec![Vec::new(); items];
    for at in 1..=LAST_YEAR {
        let row = row_at(first, at - 1);
        let year = sheet.number((row, 0), at as f64, Look::Whole)?;
        let is_in = f64::from(u8::from(year.value() <= prices.years.value()));
        let is_in = Live::function(format!("IF({}<={},1,0)", year.text(), prices.years.text()), is_in);
        let is_in = sheet.live((row, 1), &is_in, Look::Whole)?;
        let base = one.plus(&prices.rate);
        let worth = sheet.live((row, 2), &is_in.over(&base.to_the(&year)), Look::Fine)?;
        for (carrier, (_, rise)) in prices.carriers.iter().enumerate() {
            let grown = one.plus(rise).to_the(&year);
            growth[carrier].push(sheet.live((row, column_at(3, carrier)), &grown, Look::Fine)?);
        }
        for (item, singles) in singles.iter_mut().enumerate() {
            let single = single(prices, item, &year);
            let cell = sheet.live((row, column_at(column_at(3, carriers), item)), &single, Look::Money)?;
            singles.push(cell);
        }
        counts.push(is_in);
        discount.push(worth);
    }
    let values = |cells: &[Live]| cells.iter().map(Live::value).collect();
    let worths = sheet.down((first, 2), values(&discount));
    let last = row_at(first, LAST_YEAR + 1);
    sheet.text((last, 0), "present value", Look::Group)?;
    let level: f64 = discount.iter().map(Live::value).sum();
    let level = Live::function(format!("SUM({})", worths.text()), level);
    let level_factor = sheet.live((last, 2), &level, Look::Fine)?;
    let mut factors = Vec::new();
    for (carrier, growth) in growth.iter().enumerate() {
        let column = column_at(3, carrier);
        let factor = sheet.down((first, column), values(growth)).times_sum(&worths);
        factors.push(sheet.live((last, column), &factor, Look::Fine)?);
    }
    // Below each other, as the options' counts of what they own are.
    let below = last + 2;
    sheet.text((below, 0), "what falls due once of all that is owned, present value", Look::Group)?;
    let mut presents = Vec::new();
    for (item, single) in singles.iter().enumerate() {
        let row = row_at(below + 1, item);
        sheet.text((row, 0), &figures.prices.owned[item].name, Look::Text)?;
        let column = sheet.down((first, column_at(column_at(3, carriers), item)), values(single));
        presents.push(sheet.live((row, 2), &column.times_sum(&worths), Look::Money)?.value());
    }
    presents.resize(items.max(1), 0.0);
    let present_singles = sheet.down((below + 1, 2), presents);
    let years = Years { counts, discount, growth, singles, factors, level_factor, present_singles };
    Ok((sheet, years))
}

/// What falls due once of a thing owned in a year: a replacement at the end of each life that ends before the period
/// does, at that year's end, and in the last year less the unused share of the last one's life.
fn single(prices: &Prices, item: usize, year: &Live) -> Live {
    let (life, cost) = (&prices.owned.life[item], &prices.owned.to_spend[item]);
    let (n, last, of) = (year.text(), prices.years.text(), life.text());
    let before = format!("INT(({n}-1+{SAME_TIME})/{of})");
    let in_all = format!("(ROUNDUP(({last}-{SAME_TIME})/{of},0)-1)");
    let unused = format!("MAX(({in_all}+1)*{of}-{last},0)");
    let text = format!(
        "{cost}*IF({n}<{last},INT(({n}+{SAME_TIME})/{of})-{before},\
         IF({n}={last},MAX({in_all}-{before},0)-IF({unused}>{SAME_TIME},{unused}/{of},0),0))",
        cost = cost.text()
    );
    Live::function(text, cost.value() * due(year.value(), prices.years.value(), life.value()))
}

/// How many fall due in a year of a period, each of this life: the same steps as the formula's.
fn due(year: f64, last: f64, life: f64) -> f64 {
    let ended = |by: f64| ((by + SAME_TIME_YEARS) / life).floor();
    if year < last {
        return ended(year) - ended(year - 1.0);
    }
    if year > last {
        return 0.0;
    }
    let in_all = ((last - SAME_TIME_YEARS) / life).ceil() - 1.0;
    let unused = ((in_all + 1.0) * life - last).max(0.0);
    let left = if unused > SAME_TIME_YEARS { unused / life } else { 0.0 };
    (in_all - ended(year - 1.0)).max(0.0) - left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::money::{Asset, CashPlan, Discount, Horizon};

    /// The plan of the study's own money is the measure.
    #[test]
    fn what_falls_due_is_what_the_plan_pays() {
        for period in [1_u32, 2, 15, 20, 60] {
            for life in [1.0, 1.5, 2.0, 7.5, 8.5, 10.0, 15.0, 14.999_999_999_9, 20.0, 60.0, 0.3 + 0.7] {
                let horizon = Horizon { years: period, discount: Discount::Real { rate: 0.05 } };
                let mut plan = CashPlan::default();
                let heater = Asset { name: "heater".to_owned(), cost: 1.0, life_years: Some(life), upkeep: 0.0 };
                plan.add_asset(&heater, horizon);
                for year in 1..=60_u32 {
                    let paid: f64 =
                        plan.single.iter().filter(|single| single.year == year).map(|single| single.cost).sum();
                    let found = due(f64::from(year), f64::from(period), life);
                    assert!((found - paid).abs() < 1e-9, "{period} years, life {life}, year {year}: {found}, {paid}");
                }
            }
        }
    }
}
