//! `healthcheck`: for a container that has no other program in it.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::process::ExitCode;

use clap::Args;

use super::{Outcome, say};
use crate::client::Client;

/// Whom to ask.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// Address that the service listens on.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_LISTEN",
        default_value = "127.0.0.1:8080",
        value_name = "ADDRESS:PORT"
    )]
    listen: SocketAddr,

    /// Address of its admin port, which is asked instead where there is one: it speaks plain
    /// HTTP whatever the service speaks.
    #[arg(
        long,
        env = "EXTRACTION_MATHS_ADMIN_LISTEN",
        value_name = "ADDRESS:PORT"
    )]
    admin_listen: Option<SocketAddr>,
}

pub(super) fn run(options: &Options) -> Outcome {
    let address = reachable(options.admin_listen.unwrap_or(options.listen));
    actix_web::rt::System::new().block_on(async {
        let client = Client::new(&format!("http://{address}"))?;
        let (status, text) = client.get("/readyz").await?;
        say(text.trim());
        Ok(if status.is_success() {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        })
    })
}

/// An address to call where a service that listens on all of them can be reached.
fn reachable(listen: SocketAddr) -> SocketAddr {
    let ip = match listen.ip() {
        IpAddr::V4(ip) if ip.is_unspecified() => IpAddr::V4(Ipv4Addr::LOCALHOST),
        IpAddr::V6(ip) if ip.is_unspecified() => IpAddr::V6(Ipv6Addr::LOCALHOST),
        ip @ (IpAddr::V4(_) | IpAddr::V6(_)) => ip,
    };
    SocketAddr::new(ip, listen.port())
}
