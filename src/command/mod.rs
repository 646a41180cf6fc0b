//! The command line: what a person or a container starts.

mod healthcheck;
mod keys;
mod openapi;
mod replay;
mod serve;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::server::settings::Settings;

/// The maths of coffee extraction, as an HTTP/JSON service.
#[derive(Debug, Parser)]
#[command(version, about, args_conflicts_with_subcommands = true)]
pub struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    settings: Settings,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Answer requests (what happens without a subcommand, too).
    Serve(Box<Settings>),
    /// Print the OpenAPI document.
    Openapi(openapi::Options),
    /// Post the requests of demo-data/ and print a table of what comes back.
    Replay(replay::Options),
    /// Ask a running service whether it is ready; exit 0 when it is.
    Healthcheck(healthcheck::Options),
    /// Make keys for callers.
    Keys(keys::Options),
}

/// Does what the arguments ask for. Failures are told on standard error.
#[must_use]
pub fn run(arguments: Arguments) -> ExitCode {
    let outcome = match arguments.command {
        None => serve::run(arguments.settings),
        Some(Command::Serve(settings)) => serve::run(*settings),
        Some(Command::Openapi(options)) => openapi::run(&options),
        Some(Command::Replay(options)) => replay::run(&options),
        Some(Command::Healthcheck(options)) => healthcheck::run(&options),
        Some(Command::Keys(options)) => keys::run(&options),
    };
    match outcome {
        Ok(code) => code,
        Err(error) => {
            say_error(&error.to_string());
            ExitCode::FAILURE
        }
    }
}

/// What a command ends with.
type Outcome = Result<ExitCode, Box<dyn std::error::Error>>;

/// Writes to standard output; a reader that has gone is no failure of ours.
fn say(text: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stdout().lock(), "{text}");
}

fn say_error(text: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr().lock(), "extraction-maths: {text}");
}
