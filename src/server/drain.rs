//! How the service ends: told by a signal, it says so, and finishes what it has begun.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use actix_web::dev::ServerHandle;
use tokio::signal::unix::{Signal, SignalKind, signal};

/// Whether the service is ending; shared by all workers.
#[derive(Debug, Clone, Default)]
pub struct Drain(Arc<AtomicBool>);

impl Drain {
    /// Whether new work should go elsewhere.
    pub(super) fn has_begun(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// Waits for SIGTERM or SIGINT, then ends the service: `/readyz` says so at once, requests
    /// are taken for `wait` longer, since whoever balances load needs time to notice, then no
    /// connection is accepted, and what is in flight is finished. Later signals change nothing.
    ///
    /// # Errors
    /// When the system lets no signal be listened for.
    pub async fn on_signal(self, handle: ServerHandle, wait: Duration) -> std::io::Result<()> {
        // both are listened for until the end, so that a second signal does not kill the process
        let mut terminate = signal(SignalKind::terminate())?;
        let mut interrupt = signal(SignalKind::interrupt())?;
        let name = either(&mut terminate, &mut interrupt).await;
        self.0.store(true, Ordering::Relaxed);
        tracing::info!(signal = name, wait_s = wait.as_secs(), "draining");
        tokio::time::sleep(wait).await;
        handle.stop(true).await;
        Ok(())
    }
}

async fn either(terminate: &mut Signal, interrupt: &mut Signal) -> &'static str {
    tokio::select! {
        _ = terminate.recv() => "SIGTERM",
        _ = interrupt.recv() => "SIGINT",
    }
}
