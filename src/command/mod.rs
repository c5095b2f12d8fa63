//! The commands: the only room that prints, opens files for writing, and shows progress.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod air;
mod answer;
mod answering;
mod beside;
mod browser;
mod chart_files;
mod check;
mod compare;
mod crops;
mod digest;
mod failure;
mod figures;
mod folder;
mod guest;
mod heat;
mod hung;
mod interrupt;
mod keys;
mod log;
mod new;
mod output;
mod report;
mod setting;
mod shell;
mod size;
mod weather;
mod weather_shared;

pub use failure::Failure;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use std::ffi::OsString;
use std::process::ExitCode;

/// What a season of drying in-shell nuts costs in energy, which way of heating is best, and what
/// heat recovered from the cool store's condensers is really worth.
#[derive(Debug, Parser)]
#[command(name = "dryledger", version, about, propagate_version = true)]
#[command(arg_required_else_help = true)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Simulate the season for every option and write the report
    Report(report::Args),
    /// Write a study to begin from: a commented one with demo weather, or one of your crop and your weather
    New(new::Args),
    /// Read a study and all it names; show what is wrong and which defaults are in use
    Check(check::Args),
    /// Hold studies, or the reports that were made of them, beside each other
    Compare(compare::Args),
    /// Find the least heat, bins, air and extraction that bring the season's intake in
    Size(size::Args),
    /// Every key that a study may have, with unit, bounds, default and its reason
    Keys(keys::Args),
    /// Every figure of figures.json, with what it says and its unit
    Figures(figures::Args),
    /// One state of moist air
    Air(air::Args),
    /// The crop library, every value with its source
    Crops(crops::Args),
    /// Heat that brings outside air to a temperature, summed over a weather file
    Heat(heat::Args),
    /// Fit a crop's drying constants to the operator's drying logs
    Log(log::Args),
    /// What a weather file holds, what is wrong with it, what was mended; a clean copy
    Weather(weather::Args),
    /// Completions of commands and options for a shell
    Completions(shell::CompletionArgs),
    /// The manual page of a command, for `man`
    Manual(shell::ManualArgs),
}

impl Command {
    /// True if a program reads the answer: it is then told of problems in JSON too.
    fn asks_json(&self) -> bool {
        match self {
            Self::Report(args) => args.json,
            Self::New(_) | Self::Keys(_) | Self::Figures(_) | Self::Completions(_) | Self::Manual(_) => false,
            Self::Check(args) => args.json,
            Self::Compare(args) => args.json,
            Self::Size(args) => args.json,
            Self::Air(args) => args.json,
            Self::Crops(args) => args.json,
            Self::Heat(args) => args.json,
            Self::Log(args) => args.json,
            Self::Weather(args) => args.json,
        }
    }
}

/// More threads than this only wait for one another, and may be more than the system gives.
const MOST_THREADS: usize = 256;

/// Holds the threads asked for by `RAYON_NUM_THREADS` within what a system gives.
fn bound_threads() {
    let asked = std::env::var("RAYON_NUM_THREADS").ok().and_then(|text| text.parse::<usize>().ok());
    if asked.is_some_and(|threads| threads > MOST_THREADS) {
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        // Where even that fails, the first season says so.
        let _ = rayon::ThreadPoolBuilder::new().num_threads(threads).build_global();
    }
}

/// A number below zero behind an option is its value, so that it is refused as what it is and not as an option that
/// nobody knows.
fn taking_negative_numbers(command: clap::Command) -> clap::Command {
    command.mut_args(|option| {
        let takes_value = option.get_action().takes_values() && !option.is_positional();
        if takes_value { option.allow_negative_numbers(true) } else { option }
    })
}

/// Parses the command line, runs the command and returns its exit code: 0 done, 1 answered but a
/// guard failed under `--strict`, 2 the input is wrong, 3 a file cannot be read or written.
pub fn run<I, T>(arguments: I) -> ExitCode
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let mut definition = Line::command().mut_subcommands(taking_negative_numbers);
    let parsed = definition.try_get_matches_from_mut(arguments);
    let line = parsed.and_then(|found| Line::from_arg_matches(&found).map_err(|error| error.format(&mut definition)));
    let line = match line {
        Ok(line) => line,
        Err(refusal) => {
            // Help and version are answers, not errors: clap prints each where it belongs.
            let code = if refusal.use_stderr() { 2 } else { 0 };
            let _ = refusal.print();
            return ExitCode::from(code);
        }
    };
    bound_threads();
    let asks_json = line.command.asks_json();
    let outcome = match line.command {
        Command::Report(args) => report::run(&args),
        Command::New(args) => new::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Size(args) => size::run(&args),
        Command::Keys(args) => keys::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Air(args) => air::run(&args),
        Command::Crops(args) => crops::run(&args),
        Command::Heat(args) => heat::run(&args),
        Command::Log(args) => log::run(&args),
        Command::Weather(args) => weather::run(&args),
        Command::Completions(args) => shell::completions(&args, Line::command()),
        Command::Manual(args) => shell::manual(&args, Line::command()),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            if asks_json {
                failure.show_json();
            } else {
                failure.show();
            }
            ExitCode::from(failure.exit_code())
        }
    }
}
