//! `keys`: what the keys file is filled with.

use std::process::ExitCode;

use clap::{Args, Subcommand};

use super::{Outcome, say};
use crate::server::keys;

/// What to do with keys.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Print a fresh key for a caller, and its line for the keys file.
    New {
        /// Name of the key in the file and in the access log.
        #[arg(long, default_value = "caller", value_name = "ID", value_parser = id)]
        id: String,
    },
}

pub(super) fn run(options: &Options) -> Outcome {
    let Command::New { id } = &options.command;
    let (key, line) = keys::fresh(id)?;
    say(&format!("key for the caller, shown only now: {key}"));
    say(&format!("line for the keys file: {line}"));
    Ok(ExitCode::SUCCESS)
}

fn id(text: &str) -> Result<String, String> {
    if keys::is_id(text) {
        Ok(text.to_owned())
    } else {
        Err("1 to 64 letters A to Z and a to z, digits, `.`, `_` or `-` are needed".to_owned())
    }
}
