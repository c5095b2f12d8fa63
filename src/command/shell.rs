//! What a shell and a manual want to know of the commands: `dryledger completions` and `dryledger manual`.

use super::Failure;
use super::answer::answer;
use crate::problem::{Problem, meant_or};
use clap_complete::Shell;

/// Completions of commands and options for a shell
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples: dryledger completions bash > ~/.local/share/bash-completion/completions/dryledger\n\
    \x20         dryledger completions fish > ~/.config/fish/completions/dryledger.fish\n\
    The answer goes where the shell looks for completions; a new shell then knows them.")]
pub(super) struct CompletionArgs {
    /// The shell
    shell: Shell,
}

/// The manual page of a command, for `man`
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger manual report > dryledger-report.1 && man ./dryledger-report.1")]
pub(super) struct ManualArgs {
    /// One command; all of them in short if left out
    command: Option<String>,
}

pub(super) fn completions(args: &CompletionArgs, mut line: clap::Command) -> Result<(), Failure> {
    let name = line.get_name().to_owned();
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut line, name, &mut text);
    answer(&String::from_utf8_lossy(&text))
}

pub(super) fn manual(args: &ManualArgs, mut line: clap::Command) -> Result<(), Failure> {
    line.build();
    let page = match &args.command {
        None => line,
        Some(name) => {
            let Some(command) = line.find_subcommand(name) else {
                let known: Vec<&str> = line.get_subcommands().map(clap::Command::get_name).collect();
                return Err(Problem::said(format!("there is no command `{name}`"))
                    .expected(format!("one of {}", known.join(", ")))
                    .cure(meant_or(name, known.iter().copied(), "leave it out for all of them in short"))
                    .into());
            };
            command.clone()
        }
    };
    let mut text = Vec::new();
    // Writing to memory cannot fail.
    let _ = clap_mangen::Man::new(page).render(&mut text);
    answer(&String::from_utf8_lossy(&text))
}
