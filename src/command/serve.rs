//! `serve`: the service itself.

use std::io::IsTerminal;
use std::process::ExitCode;
use std::time::Duration;

use tracing_subscriber::EnvFilter;

use super::{Outcome, say};
use crate::api::registry::REGISTRY;
use crate::server::settings::{LogFormat, Settings};
use crate::server::start;

pub(super) fn run(settings: Settings) -> Outcome {
    start_log(&settings);
    let is_open = settings.keys_file.is_none();
    let scheme = settings.scheme();
    let drain_wait = settings.drain_wait;
    actix_web::rt::System::new().block_on(async {
        let running = start(settings, REGISTRY)?;
        let base = format!("{scheme}://{}", running.address);
        say(&format!("listening on {base}"));
        say(&format!("documentation at {base}/docs/"));
        if let Some(admin) = running.admin {
            say(&format!("metrics at http://{admin}/metrics"));
        }
        if let Some(call) = first_call(&base) {
            say(&format!("try: {call}"));
        }
        if is_open && !running.address.ip().is_loopback() {
            tracing::warn!(
                "no key is needed and the address is not loopback: anybody who reaches {} can call the service; \
                 set --keys-file, or let a proxy in front decide who may",
                running.address
            );
        }
        let wait = Duration::from_secs(drain_wait);
        let ending = actix_web::rt::spawn(running.drain.clone().on_signal(running.handle.clone(), wait));
        running.stopped().await?;
        // the server also ends by itself when it cannot go on; nothing waits for a signal then
        ending.abort();
        tracing::info!("stopped");
        Ok(ExitCode::SUCCESS)
    })
}

/// A call that can be pasted as it stands.
fn first_call(base: &str) -> Option<String> {
    let entry = REGISTRY.first()?;
    let body: serde_json::Value = serde_json::from_str(entry.examples.first()?.body).ok()?;
    Some(format!(
        "curl -s {base}{} -H 'content-type: application/json' -d '{body}'",
        entry.path()
    ))
}

fn start_log(settings: &Settings) {
    // the framework tells every broken request at error level, and the drawing of pixels every
    // letter of a label that its font has not, so anybody could fill the log;
    // who wants to see them names the target. The filter was checked when the settings were read
    let filter = format!("actix_http=off,usvg=off,{}", settings.log);
    let filter = EnvFilter::try_new(filter).unwrap_or_default();
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal());
    // a log that is there already is the one of a test that runs several services
    let _ = match settings.log_format {
        LogFormat::Json => log.json().flatten_event(true).try_init(),
        LogFormat::Text => log.try_init(),
    };
}
