//! The only place that knows sockets. Knows the registry, not the calculations.
//!
//! Reading order: settings, what workers share, the routes, the envelope around them, the
//! document, then starting it all.

pub mod document;
pub mod drain;
pub mod keys;
pub mod negotiate;
pub mod settings;

mod access;
mod access_log;
mod admin;
mod batch;
mod body;
mod caching;
mod calculate;
mod capabilities;
mod catalogue;
mod charts;
mod clock;
mod compute;
mod cross_origin;
mod delivery;
mod digits;
mod docs;
mod envelope;
mod failure;
mod form;
mod gate;
mod guide;
mod html;
mod inflate;
mod links;
mod metrics;
mod mount;

mod page;
mod pages;
mod peer;
mod problem_pages;
mod quota;
mod represent;
mod request_id;
mod routes;
mod rows;
#[cfg(feature = "otlp")]
mod spans;
mod state;
pub mod teacher;
#[cfg(feature = "tls")]
mod tls;
mod trace;
mod unread;
mod version;
mod written;

use std::any::Any;
use std::net::{SocketAddr, TcpListener};
use std::time::Duration;

#[cfg(feature = "tls")]
use actix_tls::accept::rustls_0_23::TlsStream;
use actix_web::dev::{Server, ServerHandle};
use actix_web::rt::net::TcpStream;
use actix_web::{App, HttpServer, web};
use socket2::SockRef;
use thiserror::Error;

use crate::api::registry::Entry;
use cross_origin::CrossOrigin;
use drain::Drain;
use envelope::Envelope;
use gate::Gate;
use keys::KeysError;
use settings::Settings;
use state::State;

/// Time in which a request's head must have arrived.
const HEAD_DEADLINE: Duration = Duration::from_secs(5);
/// Time for which an idle connection is kept.
const KEEP_ALIVE: Duration = Duration::from_secs(15);
/// Connections that one worker holds at once; more wait until one ends.
const CONNECTIONS_PER_WORKER: usize = 4096;
/// Time between two looks for callers that the quota can forget.
const SWEEP: Duration = Duration::from_secs(30);

/// Why the service did not start.
#[derive(Debug, Error)]
pub enum StartError {
    /// The address could not be bound.
    #[error("cannot listen on {address}: {source}")]
    Listen {
        /// The address asked for.
        address: SocketAddr,
        /// What the system said.
        source: std::io::Error,
    },
    /// The metrics could not be registered.
    #[error("metrics: {0}")]
    Metrics(#[from] prometheus::Error),
    /// The keys cannot be used.
    #[error(transparent)]
    Keys(#[from] KeysError),
    /// The certificate cannot be used.
    #[cfg(feature = "tls")]
    #[error(transparent)]
    Tls(#[from] tls::TlsError),
    /// Spans cannot be sent as asked.
    #[cfg(feature = "otlp")]
    #[error("spans: {0}")]
    Spans(#[from] opentelemetry_otlp::ExporterBuildError),
    /// The document could not be written as JSON.
    #[error("document as JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// The document could not be written as YAML.
    #[error("document as YAML: {0}")]
    Yaml(#[from] yaml_serde::Error),
}

/// A service that listens.
pub struct Running {
    /// The address that was bound, with its real port.
    pub address: SocketAddr,
    /// The address of the admin port, where there is one.
    pub admin: Option<SocketAddr>,
    /// Ends the service from another task.
    pub handle: ServerHandle,
    /// Ends the service when the process is told to.
    pub drain: Drain,
    /// Ends when the service has stopped.
    pub server: Server,
    #[cfg(feature = "otlp")]
    spans: Option<spans::Spans>,
}

impl Running {
    /// Waits until the service has stopped, and its last spans have left.
    ///
    /// # Errors
    /// What the system said when the service could not go on.
    pub async fn stopped(self) -> std::io::Result<()> {
        self.server.await?;
        #[cfg(feature = "otlp")]
        if let Some(spans) = self.spans {
            spans.end();
        }
        Ok(())
    }
}

impl std::fmt::Debug for Running {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Running")
            .field("address", &self.address)
            .finish_non_exhaustive()
    }
}

/// Starts answering the calculations of a registry.
///
/// # Errors
/// [`StartError`] when the address is taken or something of ours is broken.
pub fn start(settings: Settings, registry: &'static [Entry]) -> Result<Running, StartError> {
    let (address, admin) = (settings.listen, settings.admin_listen);
    let state = State::new(settings, registry)?;
    let (listener, address) = bind(address)?;
    let admin = match admin {
        Some(admin) => Some(admin::start(admin, &state)?),
        None => None,
    };
    sweep(&state);
    let server = serve(&state, listener)?;
    Ok(Running {
        address,
        admin,
        handle: server.handle(),
        drain: state.drain().clone(),
        server,
        #[cfg(feature = "otlp")]
        spans: state.spans().cloned(),
    })
}

/// A listener at an address, and the address with its real port.
fn bind(address: SocketAddr) -> Result<(TcpListener, SocketAddr), StartError> {
    let refused = |source| StartError::Listen { address, source };
    let listener = TcpListener::bind(address).map_err(refused)?;
    let bound = listener.local_addr().map_err(refused)?;
    Ok((listener, bound))
}

fn serve(state: &State, listener: TcpListener) -> Result<Server, StartError> {
    let settings = state.settings();
    #[cfg(feature = "tls")]
    let tls = tls::configuration(settings)?;
    let (address, idle) = (settings.listen, settings.rows_idle());
    let shared = state.clone();
    let server = HttpServer::new(move || {
        App::new()
            .app_data(web::Data::new(shared.clone()))
            .wrap(Gate(shared.clone()))
            // inside the envelope, so that preflights and refusals carry ids and headers too
            .wrap(CrossOrigin::new(&shared.settings().cors_origins))
            .wrap(Envelope(shared.clone()))
            .configure(|config| mount::mount(config, &shared))
    });
    let server = server
        .workers(settings.workers())
        .on_connect(move |connection, _| end_when_unread(connection, idle))
        .client_request_timeout(HEAD_DEADLINE)
        .keep_alive(KEEP_ALIVE)
        .max_connections(CONNECTIONS_PER_WORKER)
        // a caller that has hung up is not worked for
        .h1_allow_half_closed(false)
        .shutdown_timeout(settings.grace)
        // the process decides what a signal means, and a test has none
        .disable_signals();
    #[cfg(feature = "tls")]
    let listening = match tls {
        Some(tls) => server.listen_rustls_0_23(listener, tls),
        None => server.listen(listener),
    };
    #[cfg(not(feature = "tls"))]
    let listening = server.listen(listener);
    let listening = listening.map_err(|source| StartError::Listen { address, source })?;
    Ok(listening.run())
}

/// Lets the system end a connection whose peer takes nothing of what was sent to it for too
/// long: the framework waits for such a peer without end, and asks no stream meanwhile.
fn end_when_unread(connection: &dyn Any, idle: Duration) {
    #[cfg(target_os = "linux")]
    if let Some(stream) = tcp(connection) {
        // a system that refuses the option serves well-behaved peers all the same
        let _ = SockRef::from(stream).set_tcp_user_timeout(Some(idle));
    }
}

/// The stream below a connection.
#[cfg(target_os = "linux")]
fn tcp(connection: &dyn Any) -> Option<&TcpStream> {
    #[cfg(feature = "tls")]
    if let Some(stream) = connection.downcast_ref::<TlsStream<TcpStream>>() {
        return Some(stream.get_ref().0);
    }
    connection.downcast_ref::<TcpStream>()
}

/// Forgets now and then the callers whose quota is whole again, as long as the service lives.
fn sweep(state: &State) {
    if state.access().quota().is_none() {
        return;
    }
    let access = state.weak_access();
    actix_web::rt::spawn(async move {
        while let Some(access) = access.upgrade() {
            if let Some(quota) = access.quota() {
                quota.sweep();
            }
            drop(access);
            tokio::time::sleep(SWEEP).await;
        }
    });
}
