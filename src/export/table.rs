//! `monthly.csv` and `hourly.csv`: plain tables with units in their headings.

use crate::ledger::Book;
use crate::report::Figures;
use std::fmt::Write;

/// One row for each option and calendar month, the mean over the weather years.
pub fn monthly_csv(figures: &Figures) -> String {
    let carriers: Vec<&String> = {
        let mut names: Vec<&String> = figures
            .options
            .iter()
            .flat_map(|option| option.carriers.keys())
            .collect();
        names.sort();
        names.dedup();
        names
    };
    let currency = &figures.study.currency;
    let mut text = String::from(
        "option,month,in_season,water_kg,heat_need_kwh,heat_delivered_kwh,fan_kwh,cool_store_kwh,heat_electricity_kwh,electricity_kwh,electric_peak_kw",
    );
    for carrier in &carriers {
        let _ = write!(
            text,
            ",{}_kwh,{}_cost_{currency}",
            plain(carrier),
            plain(carrier)
        );
    }
    let _ = writeln!(
        text,
        ",energy_cost_{currency},demand_cost_{currency},other_cost_{currency},total_cost_{currency},recovered_gross_kwh,recovered_useful_kwh,recovered_penalty_kwh,recovered_net_kwh,recovered_net_{currency}"
    );
    for option in &figures.options {
        for month in &option.months {
            let _ = write!(
                text,
                "{},{},{},{:.1},{:.1},{:.1},{:.1},{:.1},{:.1},{:.1},{:.2}",
                quoted(&option.name),
                month.month,
                month.in_season,
                month.water_kg,
                month.heat_need_kwh,
                month.heat_delivered_kwh,
                month.fan_kwh,
                month.cool_store_kwh,
                month.heat_electricity_kwh,
                month.electricity_kwh,
                month.electric_peak_kw,
            );
            for carrier in &carriers {
                let line = month.carriers.get(*carrier).cloned().unwrap_or_default();
                let _ = write!(text, ",{:.1},{:.2}", line.kwh, line.cost);
            }
            let _ = writeln!(
                text,
                ",{:.2},{:.2},{:.2},{:.2},{:.1},{:.1},{:.1},{:.1},{:.2}",
                month.energy_cost,
                month.demand_cost,
                month.other_cost,
                month.total_cost,
                month.recovered_gross_kwh,
                month.recovered_useful_kwh,
                month.recovered_penalty_kwh,
                month.recovered_net_kwh,
                month.recovered_net_money,
            );
        }
    }
    text
}

/// One row for each option, weather year and hour.
pub fn hourly_csv(books: &[Vec<Book>]) -> String {
    let mut text = String::from(
        "option,weather_year,time,in_season,outside_c,outside_rh_pct,mended,air_c,air_rh_pct,bins_drying,bins_cooling,waiting_t,stored_t,evaporated_kg,fresh_air_kg_per_s,heat_need_kwh,heat_delivered_kwh,recovered_kwh,purged_kwh,bin_fan_kwh,extraction_fan_kwh,lights_kwh,source_electricity_kwh,source_fuel_kwh,store_cooling_kwh,store_unmet_kwh,store_units_kwh,store_fans_kwh,store_c,store_rh_pct,condenser_heat_kwh,penalty_kwh,site_electricity_kwh,water_residual_kg,energy_residual_kwh,store_nuts_lost_kg,heat_store_kwh,heat_store_charged_kwh,heat_store_lost_kwh\n",
    );
    for book in books.iter().flatten() {
        let (option, year) = (quoted(&book.option), quoted(&book.year));
        for (at, hour) in book.hours.iter().enumerate() {
            let fuel: f64 = book
                .sources
                .iter()
                .map(|source| source.given[at].fuel_kw)
                .sum();
            let _ = writeln!(
                text,
                "{option},{year},{},{},{:.2},{:.1},{},{:.2},{:.1},{},{},{:.3},{:.3},{:.3},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.2},{:.1},{:.4},{:.4},{:.4},{:.2e},{:.2e},{:.4},{:.4},{:.4},{:.4}",
                hour.starts.format("%Y-%m-%dT%H:%M"),
                hour.in_season,
                hour.outside_c,
                hour.outside_relative_humidity * 100.0,
                hour.mended,
                hour.air_c,
                hour.air_relative_humidity * 100.0,
                hour.bins_drying,
                hour.bins_cooling,
                hour.waiting_t,
                hour.stored_t,
                hour.evaporated_kg,
                hour.fresh_air_kg_per_s,
                hour.heat_need_kwh,
                hour.heat_delivered_kwh,
                hour.recovered_kwh,
                hour.purged_kwh,
                hour.bin_fan_kwh,
                hour.extraction_fan_kwh,
                hour.lights_kwh,
                hour.source_electricity_kwh,
                fuel,
                hour.store_cooling_kwh,
                hour.store_unmet_kwh,
                hour.store_units_kwh,
                hour.store_fans_kwh,
                hour.store_c,
                hour.store_relative_humidity * 100.0,
                hour.gross_kwh,
                hour.penalty_kwh,
                hour.site_electricity_kwh(),
                hour.water_residual_kg,
                hour.energy_residual_kwh,
                hour.store_nuts_lost_kg,
                hour.heat_store_kwh,
                hour.heat_store_charged_kwh,
                hour.heat_store_lost_kwh,
            );
        }
    }
    text
}

/// A name as a CSV cell.
pub(super) fn quoted(name: &str) -> String {
    if name.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", name.replace('"', "\"\""))
    } else {
        name.to_owned()
    }
}

/// A name as part of a heading.
fn plain(name: &str) -> String {
    name.chars()
        .map(|c| if c.is_alphanumeric() { c } else { '_' })
        .collect()
}
