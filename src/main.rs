//! Command line of the service: start-up only.

use std::process::ExitCode;

use clap::Parser;
use extraction_maths::command::Arguments;

fn main() -> ExitCode {
    extraction_maths::command::run(Arguments::parse())
}
