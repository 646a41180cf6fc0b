//! `openapi`: the document on standard output.

use std::io::Write;
use std::process::ExitCode;

use clap::{Args, ValueEnum};

use super::Outcome;
use crate::api::registry::REGISTRY;
use crate::server::document;

/// What to print.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// Form of the document.
    #[arg(value_enum, default_value = "json")]
    format: Format,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Format {
    Json,
    Yaml,
}

pub(super) fn run(options: &Options) -> Outcome {
    let document = document::of(REGISTRY);
    let text = match options.format {
        Format::Json => document::json(&document)?,
        Format::Yaml => document::yaml(&document)?,
    };
    std::io::stdout().lock().write_all(text.as_bytes())?;
    Ok(ExitCode::SUCCESS)
}
