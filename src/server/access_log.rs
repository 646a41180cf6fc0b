//! One line a request on standard error.
//!
//! Written by hand into a buffer of each thread, since a tracing event a request costs more
//! than the rest of a light call; the buffer leaves a tenth of a second later at the latest.

use std::cell::RefCell;
use std::fmt::Write as _;
use std::io::Write as _;
use std::time::Duration;

use super::clock;
use super::settings::LogFormat;

/// Target of the lines, for the log filter: `access=off` silences them.
pub(super) const TARGET: &str = "access";

/// What a line says.
#[derive(Debug)]
pub(super) struct Line<'a> {
    pub(super) request_id: &'a str,
    pub(super) trace_id: Option<&'a str>,
    pub(super) method: &'a str,
    pub(super) route: &'a str,
    pub(super) status: u16,
    pub(super) duration: Duration,
    pub(super) problem: Option<&'static str>,
}

/// Bytes after which a buffer leaves at once.
const FULL: usize = 16 * 1024;
/// Longest time that a line stays in the buffer.
const LINGER: Duration = Duration::from_millis(100);

thread_local! {
    static BUFFER: RefCell<Buffer> = const { RefCell::new(Buffer { text: String::new(), is_waiting: false }) };
}

struct Buffer {
    text: String,
    is_waiting: bool,
}

impl Buffer {
    fn leave(&mut self) {
        // a log that cannot be written must not stop the answer
        let _ = std::io::stderr().write_all(self.text.as_bytes());
        self.text.clear();
    }
}

impl Drop for Buffer {
    fn drop(&mut self) {
        self.leave();
    }
}

/// Adds a line; it is on standard error within a tenth of a second.
pub(super) fn write(line: &Line<'_>, format: LogFormat) {
    let must_wait = BUFFER.with_borrow_mut(|buffer| {
        match format {
            LogFormat::Json => write_json(&mut buffer.text, line),
            LogFormat::Text => write_text(&mut buffer.text, line),
        }
        if buffer.text.len() >= FULL {
            buffer.leave();
        }
        !buffer.text.is_empty() && !std::mem::replace(&mut buffer.is_waiting, true)
    });
    if must_wait {
        actix_web::rt::spawn(async {
            tokio::time::sleep(LINGER).await;
            BUFFER.with_borrow_mut(|buffer| {
                buffer.is_waiting = false;
                buffer.leave();
            });
        });
    }
}

// every text in a line is an id that was checked, a method, a route or a code: none needs
// escaping, and writing to a String cannot fail

fn write_json(out: &mut String, line: &Line<'_>) {
    let _ = write!(
        out,
        r#"{{"timestamp":"{}","level":"INFO","target":"{TARGET}","http.request.method":"{}","http.route":"{}","http.response.status_code":{},"http.server.duration_ms":{}.{:03},"request_id":"{}""#,
        clock::stamp(),
        line.method,
        line.route,
        line.status,
        line.duration.as_millis(),
        line.duration.subsec_micros() % 1000,
        line.request_id,
    );
    if let Some(trace_id) = line.trace_id {
        let _ = write!(out, r#","trace_id":"{trace_id}""#);
    }
    if let Some(problem) = line.problem {
        let _ = write!(out, r#","problem.code":"{problem}""#);
    }
    out.push_str("}\n");
}

fn write_text(out: &mut String, line: &Line<'_>) {
    let _ = writeln!(
        out,
        "{}  INFO {TARGET}: {} {} {} {}.{:03} ms {} {}",
        clock::stamp(),
        line.method,
        line.route,
        line.status,
        line.duration.as_millis(),
        line.duration.subsec_micros() % 1000,
        line.problem.unwrap_or("-"),
        line.request_id,
    );
}
