//! A listener for the operator alone, so that the counters need not stand where callers are.

use std::net::SocketAddr;

use actix_web::{App, HttpServer, web};

use super::envelope::Envelope;
use super::state::State;
use super::{HEAD_DEADLINE, KEEP_ALIVE, StartError, bind, mount};

/// Starts answering the operator at an address; lives as long as the process, so that probes
/// are answered until the very end. Returns the address with its real port.
///
/// # Errors
/// [`StartError::Listen`] when the address is taken.
pub(super) fn start(address: SocketAddr, state: &State) -> Result<SocketAddr, StartError> {
    let refused = |source| StartError::Listen { address, source };
    let (listener, bound) = bind(address)?;
    let state = state.clone();
    let server = HttpServer::new(move || {
        App::new()
            .app_data(web::Data::new(state.clone()))
            .wrap(Envelope(state.clone()))
            .configure(mount::mount_admin)
    });
    let server = server
        // one thread of its own: probes and counters wait for no caller
        .workers(1)
        .client_request_timeout(HEAD_DEADLINE)
        .keep_alive(KEEP_ALIVE)
        .disable_signals()
        .listen(listener)
        .map_err(refused)?
        .run();
    actix_web::rt::spawn(server);
    Ok(bound)
}
