//! The `dryledger` program: parse, run, exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    dryledger::command::run(std::env::args_os())
}
