//! `dryledger size`: the least heat, bins, air and extraction that bring the season's intake in.

mod airflow;
mod by_money;
mod lines;
mod together;

use super::answer::answer;
use super::setting::Setting;
use super::{Failure, folder};
use crate::answer::{
    GuardFigures, LeastFigures, SizeFigures, airflow_figures, grown_options, phase_heads, phase_rows, size_figures,
};
use crate::export;
use crate::number::Digits;
use crate::problem::Problem;
use crate::season::References;
use crate::season::size::{Limit, Site, size};
use crate::study::Study;
use airflow::say_airflow;
use lines::{heading, line, number, of_room, or_dash, width_of};
use std::fmt::Write;
use std::path::PathBuf;
use together::say_together;

/// Find the least heat, bins, air and extraction that bring the season's intake in
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger size reports/demo/study.toml --waiting-days 2\n\
    Runs the season again and again with one number of the plant changed, and shows what a smaller or \
    larger plant means in waiting nuts, hours short of heat and money. Then shows one plant, of many, that \
    keeps the limit with all numbers together. With --airflow, also which air through the bins takes the \
    least energy. Writes no file.\n\n\
    With --by-money, instead: the plant of least net present cost that keeps the limits (waiting, mould no worse than \
    as it stands, heat and store as in a report), over all whose price the study tells: capital_per_kw of sources, \
    and [room.prices] for bins, air, extraction and insulation (dryledger keys room.prices). Shows how flat the optimum \
    is, what binds, investment against bill, and the option to paste.")]
pub(super) struct Args {
    /// The study file
    study: PathBuf,
    #[command(flatten)]
    setting: Setting,
    /// Nuts may wait so many days to be loaded; the crop's safe waiting time if not given
    #[arg(long, value_name = "D", value_parser = days)]
    waiting_days: Option<f64>,
    /// The option whose plant is sized; the study's baseline if not given
    #[arg(long, value_name = "NAME")]
    option: Option<String>,
    /// Try other airflows too, and say which takes the least energy (takes longer)
    #[arg(long)]
    airflow: bool,
    /// The room in which other airflows are tried; the first if not given
    #[arg(long, value_name = "NAME", requires = "airflow")]
    room: Option<String>,
    #[command(flatten)]
    money: by_money::Asked,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
}

/// Days that nuts may wait: an hour to a hundred days.
fn days(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|days| (1.0 / 24.0..=100.0).contains(days))
        .ok_or_else(|| "expected a number of days from 0.042 (an hour) to 100".to_owned())
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let opened = folder::open(&args.study, &args.setting.changes()?)?;
    let (whole, years) = (opened.study(), opened.weather.years.as_slice());
    let option = place_of(whole, args.option.as_deref().unwrap_or(&whole.baseline))?;
    // The plant as this option has it.
    let study = whole.of_option(option);
    let site = Site { plant: study.plant.clone(), heating: whole.heatings[option].clone() };
    opened.warn();
    if years.is_empty() {
        return Err(Failure::asked("the weather holds no complete season", "give files that cover one"));
    }
    let waiting_hours = args.waiting_days.map_or_else(|| shortest_safe_wait_h(study), |days| days * 24.0);
    if args.money.by_money {
        return by_money::run(&opened, option, &args.money, (waiting_hours, args.json));
    }
    let room = args.room.as_deref().map_or(Ok(0), |name| room_named(study, name))?;
    let limit = Limit { waiting_hours };
    let references = References::default();
    let sizing = size(&references, &site, &study.intake, years, limit);
    let grown = grown_options(whole, &references, years, |_| vec![option])?;
    let phases = grown.into_iter().map(|option| option.figures).collect();
    let airflow = args.airflow.then(|| airflow_figures(study, &site, years, limit, room)).transpose()?;
    let figures = size_figures(study, &site, limit, &sizing, airflow, phases)?;
    let said = if args.json {
        export::size_json(&figures)?
    } else {
        summary(&figures, study.plant.loading().fill_within_hours)
    };
    answer(&said)
}

/// The place of the room of this name.
fn room_named(study: &Study, name: &str) -> Result<usize, Failure> {
    let names: Vec<&str> = study.plant.rooms().map(|room| room.name.as_str()).collect();
    names.iter().position(|room| *room == name).ok_or_else(|| no_such("--room", name, &names))
}

/// The place of the option of this name.
fn place_of(study: &Study, name: &str) -> Result<usize, Failure> {
    let names: Vec<&str> = study.heatings.iter().map(|heating| heating.name.as_str()).collect();
    names.iter().position(|option| *option == name).ok_or_else(|| no_such("--option", name, &names))
}

/// Names stand in quotes, for they may hold commas.
fn no_such(flag: &str, name: &str, known: &[&str]) -> Failure {
    let known: Vec<String> = known.iter().map(|name| format!("\"{name}\"")).collect();
    Problem::said(format!("{flag} is \"{name}\"")).expected(format!("one of the study's: {}", known.join(", "))).into()
}

fn summary(figures: &SizeFigures, fill_within_hours: f64) -> String {
    let mut text = format!("{}\n", figures.study);
    let _ = writeln!(
        text,
        "option {}; nuts wait at most {} {} to be loaded and all are dried; money in {}",
        figures.option,
        number(figures.waiting_limit_days),
        if number(figures.waiting_limit_days) == "1" { "day" } else { "days" },
        figures.currency
    );
    if figures.part_load_after_hours < fill_within_hours {
        let _ = writeln!(
            text,
            "part loads are dried after {} h, not {} h as in the study, to keep the limit (room.fill_within_hours)",
            number(figures.part_load_after_hours),
            number(fill_within_hours)
        );
    }
    heading(&mut text, &format!("As it stands, {} being the busiest weather year", figures.busiest_year), "year");
    for point in &figures.as_it_stands {
        line(&mut text, &point.weather_year, point);
    }
    say_least(&mut text, figures);
    say_together(&mut text, figures);
    if let Some(first) = figures.heat_curve.first() {
        let title = format!("Heat capacity against what comes of it, {}", first.weather_year);
        heading(&mut text, &title, "kW");
        for point in &figures.heat_curve {
            line(&mut text, &number(point.value), point);
        }
    }
    say_bins(&mut text, figures);
    if let Some(airflow) = &figures.airflow {
        say_airflow(&mut text, airflow);
    }
    say_loads(&mut text, figures);
    say_phases(&mut text, figures);
    text
}

fn say_least(text: &mut String, figures: &SizeFigures) {
    let names: Vec<String> = figures.least.iter().map(|least| of_room(&least.what, least.room.as_deref())).collect();
    let wide = width_of(&names);
    let _ = writeln!(
        text,
        "\nLeast that keeps the limit in every weather year, each alone, all else as it stands\n  {:<wide$}{:<12}{:>13}{:>9}{:>14}   deciding year: what fires more at the least than as it stands",
        "", "unit", "as it stands", "least", "no more mould"
    );
    let or_none = |value: Option<f64>| value.map_or_else(|| "none".to_owned(), number);
    for (name, least) in names.iter().zip(&figures.least) {
        let _ = writeln!(
            text,
            "  {name:<wide$}{:<12}{:>13}{:>9}{:>14}   {}",
            least.unit,
            number(least.as_it_stands),
            or_none(least.least),
            or_none(least.least_without_more_mould),
            remark(least)
        );
    }
}

fn remark(least: &LeastFigures) -> String {
    if least.least.is_none() {
        let season = &least.season;
        let rest = if season.left_t > 0.0 {
            format!("{:.1} t are never dried", season.left_t)
        } else {
            format!("nuts wait {:.0} h", season.longest_wait_h)
        };
        if let Some(decides) = &least.decided_by {
            return format!("{}: no hour is short of heat, and {rest}; {}", least.deciding_year, what_decides(decides));
        }
        return format!(
            "{}: even with {} {rest}; it takes more than that, or something else is short",
            least.deciding_year,
            number(least.most_tried)
        );
    }
    let fired = if least.binding.is_empty() { "nothing more".to_owned() } else { guards_in_short(&least.binding) };
    format!("{}: {fired}", least.deciding_year)
}

/// What decides where more heat does not help.
fn what_decides(number: &str) -> String {
    match number {
        "loads" => "more of no one number helps: what waits may wait for a load to come together".to_owned(),
        "bins" => "bins decide".to_owned(),
        other => format!("{other} decides"),
    }
}

fn guards_in_short(guards: &[GuardFigures]) -> String {
    let all: Vec<String> = guards.iter().map(|guard| format!("{} {:.0} h", guard.name, guard.hours)).collect();
    all.join(", ")
}

fn say_bins(text: &mut String, figures: &SizeFigures) {
    let Some(first) = figures.bins_curve.first() else {
        return;
    };
    let _ = writeln!(
        text,
        "\n{}, with the heat there is and with the least that keeps the limit, {}\n  {:<6}{:>8}{:>13}{:>14}{:>11}   {:>9}{:>13}{:>14}{:>9}{:>11}",
        of_room("Bins", figures.bins_curve_room.as_deref()),
        first.with_heat_there_is.weather_year,
        "bins",
        "wait h",
        "for bin t d",
        "for load t d",
        "bill",
        "least kW",
        "for bin t d",
        "for load t d",
        "short h",
        "bill"
    );
    for bins in &figures.bins_curve {
        let now = &bins.with_heat_there_is;
        let _ = write!(
            text,
            "  {:<6}{:>8.0}{:>13.1}{:>14.1}{:>11.0}",
            bins.bins,
            Digits(now.longest_wait_h),
            Digits(now.waiting_for_bin_tonne_days),
            Digits(now.waiting_for_load_tonne_days),
            Digits(now.total_cost)
        );
        let _ = match &bins.with_least_heat {
            Some(point) => writeln!(
                text,
                "   {:>9}{:>13.1}{:>14.1}{:>9}{:>11.0}",
                number(point.value),
                Digits(point.waiting_for_bin_tonne_days),
                Digits(point.waiting_for_load_tonne_days),
                point.hours_short,
                Digits(point.total_cost)
            ),
            None => writeln!(text, "   {:>9}", "none"),
        };
    }
}

fn say_loads(text: &mut String, figures: &SizeFigures) {
    let _ = writeln!(
        text,
        "\nLoads as it stands, {}: capacity, kW, for a share of the hours with a load (energy above it)",
        figures.busiest_year
    );
    for load in &figures.loads {
        let covers: Vec<String> = load
            .covers
            .iter()
            .map(|cover| {
                format!(
                    "{:.0} %: {:.1} ({:.2} %)",
                    Digits(cover.hours_pct),
                    Digits(cover.capacity_kw),
                    Digits(cover.energy_above_pct)
                )
            })
            .collect();
        let _ = writeln!(
            text,
            "  {:<12}{}; {} h, load factor {}",
            load.what,
            covers.join(", "),
            load.hours,
            or_dash(load.load_factor, 2)
        );
    }
    for week in &figures.peak_weeks {
        let _ = writeln!(
            text,
            "  week of most {:<6}from {}: {:.0} {}, {:.1} kW of heat needed on average, {:.1} bins in use, at most {:.1} t waiting, {:.1} t of it for a bin",
            week.what,
            week.starts,
            Digits(week.sum),
            week.unit,
            Digits(week.mean_heat_kw),
            Digits(week.bins_in_use),
            Digits(week.waiting_t),
            Digits(week.waiting_for_bin_t)
        );
    }
}

fn say_phases(text: &mut String, figures: &SizeFigures) {
    if figures.phases.is_empty() {
        return;
    }
    let _ = write!(text, "\nGrowth, the mean over the weather years\n  {:<24}", "");
    let heads = phase_heads();
    for (name, _) in &heads {
        let _ = write!(text, "{:>width$}", name, width = name.chars().count().max(8) + 2);
    }
    text.push_str("  guards\n");
    for row in phase_rows(&figures.phases) {
        let _ = write!(text, "  {:<24}", format!("{}, {}", row.phase, row.option));
        for ((name, _), value) in heads.iter().zip(row.numbers) {
            let width = name.chars().count().max(8) + 2;
            let _ = write!(text, "{:>width$.0}", Digits(value));
        }
        let _ = writeln!(text, "  {}", row.guards.join(", "));
    }
}

/// How long nuts of the most delicate crop may wait, h.
fn shortest_safe_wait_h(study: &Study) -> f64 {
    let stays = study.plant.stays();
    stays.map(|stay| stay.safe_waiting_hours).fold(f64::INFINITY, f64::min)
}
