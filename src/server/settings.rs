//! Settings of the service, by flag and by environment, checked before anything starts.

use std::net::SocketAddr;
use std::num::NonZeroU32;
use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, FromArgMatches, ValueEnum};
use ipnet::IpNet;

use super::teacher::TeacherKey;
use crate::api::registry::Entry;

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

    /// Address and port of a listener of their own for `/metrics`, `/livez` and `/readyz`;
    /// `/metrics` is then answered there only [default: none].
    #[arg(
        long,
        env = "EXTRACTION_MATHS_ADMIN_LISTEN",
        value_name = "ADDRESS:PORT"
    )]
    pub admin_listen: Option<SocketAddr>,

    /// File of the certificate and its chain in PEM; with it the service speaks TLS, and reads
    /// both files again when they change [default: plain HTTP].
    #[cfg(feature = "tls")]
    #[arg(
        long,
        env = "EXTRACTION_MATHS_TLS_CERTIFICATE",
        value_name = "PATH",
        requires = "tls_key"
    )]
    pub tls_certificate: Option<PathBuf>,

    /// File of the certificate's private key in PEM.
    #[cfg(feature = "tls")]
    #[arg(
        long,
        env = "EXTRACTION_MATHS_TLS_KEY",
        value_name = "PATH",
        requires = "tls_certificate"
    )]
    pub tls_key: Option<PathBuf>,

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

    /// Address of a collector that the spans of requests are sent to by OTLP over HTTP, such as
    /// `http://127.0.0.1:4318` [default: none are sent].
    #[cfg(feature = "otlp")]
    #[arg(long, env = "EXTRACTION_MATHS_OTLP_ENDPOINT", value_name = "URL", value_parser = collector)]
    pub otlp_endpoint: Option<String>,

    /// Share of the requests without a trace of their caller's whose span is sent, 0 to 1.
    #[cfg(feature = "otlp")]
    #[arg(long, env = "EXTRACTION_MATHS_OTLP_RATIO", default_value_t = 1.0, value_name = "SHARE", value_parser = share)]
    pub otlp_ratio: f64,

    /// Largest JSON body in bytes, where a calculation does not name another limit.
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

    /// Seconds between saying that the service ends and taking no more connections.
    #[arg(long, env = "EXTRACTION_MATHS_DRAIN_WAIT", default_value_t = 1, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(0..=300))]
    pub drain_wait: u64,

    /// Seconds that an ending service gives to what is in flight.
    #[arg(long, env = "EXTRACTION_MATHS_GRACE", default_value_t = 20, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(1..=3600))]
    pub grace: u64,

    /// Origins whose pages may call the service: `*`, `none`, or a list with commas.
    #[arg(long, env = "EXTRACTION_MATHS_CORS_ORIGINS", default_value = "*", value_name = "ORIGINS", value_parser = origins)]
    pub cors_origins: Origins,

    /// Threads that heavy calculations work on at once [default: one per core].
    #[arg(long, env = "EXTRACTION_MATHS_COMPUTE_PERMITS", value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub compute_permits: Option<u16>,

    /// File of the keys that callers need, one `id:sha256` a line [default: no key is needed].
    #[arg(long, env = "EXTRACTION_MATHS_KEYS_FILE", value_name = "PATH")]
    pub keys_file: Option<PathBuf>,

    /// Key that opens the worked solutions of exercises, sent as `x-teacher-key`; without one
    /// they are open to everybody. At least 8 characters.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_TEACHER_KEY",
        value_name = "KEY",
        hide_env_values = true
    )]
    pub teacher_key: Option<TeacherKey>,

    /// Calls a second that one key, or one address, may make [default: no limit].
    #[arg(long, env = "EXTRACTION_MATHS_RATE_PER_SECOND", value_name = "CALLS")]
    pub rate_per_second: Option<NonZeroU32>,

    /// Calls that one key, or one address, may make at once [default: those of one second].
    #[arg(
        long,
        env = "EXTRACTION_MATHS_RATE_BURST",
        value_name = "CALLS",
        requires = "rate_per_second"
    )]
    pub rate_burst: Option<NonZeroU32>,

    /// Networks of the proxies whose `X-Forwarded-For` is believed, separated by commas.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_TRUSTED_PROXIES",
        value_name = "NETWORKS",
        value_delimiter = ','
    )]
    pub trusted_proxies: Vec<IpNet>,
}

/// Origins whose pages may call the service from a browser.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origins {
    /// All of them.
    Any,
    /// These only, such as `https://till.example`; none when empty.
    Listed(Vec<String>),
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

    /// What stands before `://` in the addresses of the service.
    #[must_use]
    pub const fn scheme(&self) -> &'static str {
        #[cfg(feature = "tls")]
        if self.tls_certificate.is_some() {
            return "https";
        }
        "http"
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

    /// Largest body of a calculation's request in bytes.
    #[must_use]
    pub fn body_limit_of(&self, entry: &Entry) -> usize {
        entry.body_limit.unwrap_or_else(|| self.body_limit())
    }

    /// Threads that answer requests.
    #[must_use]
    pub fn workers(&self) -> usize {
        self.workers.map_or_else(cores, usize::from)
    }

    /// Threads that heavy calculations work on at once.
    #[must_use]
    pub fn permits(&self) -> usize {
        self.compute_permits.map_or_else(cores, usize::from)
    }

    /// Largest body in bytes, where a calculation does not name another.
    #[must_use]
    pub fn body_limit(&self) -> usize {
        usize::try_from(self.body_limit).unwrap_or(usize::MAX)
    }
}

fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

fn filter(text: &str) -> Result<String, String> {
    tracing_subscriber::EnvFilter::try_new(text)
        .map(|_| text.to_owned())
        .map_err(|error| format!("not a log filter: {error}"))
}

/// The address of a collector; a proxy adds TLS where the way to it is not trusted.
#[cfg(feature = "otlp")]
fn collector(text: &str) -> Result<String, String> {
    let is_address = text
        .strip_prefix("http://")
        .is_some_and(|rest| rest.parse::<actix_web::http::uri::Authority>().is_ok());
    is_address
        .then(|| text.to_owned())
        .ok_or_else(|| format!("{text:?} is not an address such as http://127.0.0.1:4318"))
}

#[cfg(feature = "otlp")]
fn share(text: &str) -> Result<f64, String> {
    let share: f64 = text.parse().map_err(|_| "not a number".to_owned())?;
    (0.0..=1.0)
        .contains(&share)
        .then_some(share)
        .ok_or_else(|| "a share is 0 to 1".to_owned())
}

fn origins(text: &str) -> Result<Origins, String> {
    match text.trim() {
        "*" => Ok(Origins::Any),
        "none" => Ok(Origins::Listed(Vec::new())),
        list => list
            .split(',')
            .map(origin)
            .collect::<Result<_, _>>()
            .map(Origins::Listed),
    }
}

/// An origin as a browser sends it: scheme, host and port, in lower case, and nothing else.
fn origin(text: &str) -> Result<String, String> {
    let origin = text.trim().to_ascii_lowercase();
    let authority = origin
        .strip_prefix("https://")
        .or_else(|| origin.strip_prefix("http://"))
        .and_then(|authority| authority.parse::<actix_web::http::uri::Authority>().ok());
    match authority {
        Some(authority) if !authority.as_str().contains('@') => Ok(origin),
        Some(_) | None => Err(format!(
            "{text:?} is not an origin such as https://till.example or http://localhost:3000"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::{Origins, origins};

    #[test]
    fn origins_are_all_none_or_a_list() {
        let listed = |list: &[&str]| {
            Ok(Origins::Listed(
                list.iter().map(|o| (*o).to_owned()).collect(),
            ))
        };
        assert_eq!(origins("*"), Ok(Origins::Any));
        assert_eq!(origins("none"), listed(&[]));
        assert_eq!(
            origins("https://Till.example, http://localhost:3000"),
            listed(&["https://till.example", "http://localhost:3000"])
        );
        for wrong in [
            "",
            "till.example",
            "https://",
            "https://a.example/path",
            "https://a b",
            "https://u@a.example",
            "*,https://a.example",
            "null",
        ] {
            assert!(origins(wrong).is_err(), "{wrong:?}");
        }
    }
}
