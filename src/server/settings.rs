//! Settings of the service, by flag and by environment, checked before anything starts.

use std::net::SocketAddr;
use std::time::Duration;

use clap::{Args, FromArgMatches, ValueEnum};

/// Settings of `serve`; each one is also read from `EXTRACTION_MATHS_<NAME>`.
#[derive(Debug, Clone, Args)]
pub struct Settings {
    /// Address and port to listen on; port 0 picks a free one.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_LISTEN",
        default_value = "127.0.0.1:8080",
        value_name = "ADDRESS:PORT"
    )]
    pub listen: SocketAddr,

    /// Threads that answer requests [default: one per core].
    #[arg(long, env = "EXTRACTION_MATHS_WORKERS", value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub workers: Option<u16>,

    /// Least level that is logged, or a filter such as `info,access=off`.
    #[arg(long, env = "EXTRACTION_MATHS_LOG", default_value = "info", value_name = "FILTER", value_parser = filter)]
    pub log: String,

    /// Form of the log lines on standard error.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_LOG_FORMAT",
        default_value = "text",
        value_enum,
        value_name = "FORMAT"
    )]
    pub log_format: LogFormat,

    /// Largest JSON body in bytes.
    #[arg(long, env = "EXTRACTION_MATHS_BODY_LIMIT", default_value_t = 256 * 1024, value_name = "BYTES",
          value_parser = clap::value_parser!(u32).range(1024..=16_777_216))]
    pub body_limit: u32,

    /// Seconds in which a body must have arrived.
    #[arg(long, env = "EXTRACTION_MATHS_BODY_DEADLINE", default_value_t = 5, value_name = "SECONDS",
          value_parser = clap::value_parser!(u64).range(1..=60))]
    pub body_deadline: u64,

    /// Seconds after which a connection ends on which rows stand still, in or out.
    #[arg(long, env = "EXTRACTION_MATHS_ROWS_IDLE", default_value_t = 30, value_name = "SECONDS",
          value_parser = clap::value_parser!(u64).range(1..=600))]
    pub rows_idle: u64,
}

/// Form of the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LogFormat {
    /// One JSON object a line.
    Json,
    /// Words, for people.
    Text,
}

impl Settings {
    /// Settings from arguments as they would stand on the command line.
    ///
    /// # Errors
    /// When an argument is not a setting, or its value not one the setting can have.
    pub fn from_arguments(arguments: &[&str]) -> Result<Self, clap::Error> {
        let command = Self::augment_args(clap::Command::new("settings").no_binary_name(true));
        Self::from_arg_matches(&command.try_get_matches_from(arguments)?)
    }

    /// Time in which a body must have arrived.
    #[must_use]
    pub const fn body_deadline(&self) -> Duration {
        Duration::from_secs(self.body_deadline)
    }

    /// Time after which a connection ends on which rows stand still.
    #[must_use]
    pub const fn rows_idle(&self) -> Duration {
        Duration::from_secs(self.rows_idle)
    }

    /// Largest body in bytes.
    #[must_use]
    pub fn body_limit(&self) -> usize {
        usize::try_from(self.body_limit).unwrap_or(usize::MAX)
    }
}

fn filter(text: &str) -> Result<String, String> {
    tracing_subscriber::EnvFilter::try_new(text)
        .map(|_| text.to_owned())
        .map_err(|error| format!("not a log filter: {error}"))
}
