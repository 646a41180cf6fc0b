//! One line a request on standard error.
//!
//! Written by hand into a buffer of each thread, since a tracing event a request costs more
//! than the rest of a light call; the buffer leaves a tenth of a second later at the latest.

use std::cell::RefCell;
use std::io::Write;
use std::time::Duration;

use super::settings::LogFormat;
use super::{clock, digits};

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
    pub(super) key_id: Option<&'a str>,
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

// every text in a line is an id that was checked (of a request or a key), a method, a route or a code: none needs
// escaping

fn write_json(out: &mut String, line: &Line<'_>) {
    out.push_str(r#"{"timestamp":""#);
    clock::push_stamp(out);
    out.push_str(r#"","level":"INFO","target":""#);
    out.push_str(TARGET);
    out.push_str(r#"","http.request.method":""#);
    out.push_str(line.method);
    out.push_str(r#"","http.route":""#);
    out.push_str(line.route);
    out.push_str(r#"","http.response.status_code":"#);
    digits::push_padded::<3>(out, line.status.into());
    out.push_str(r#","http.server.duration_ms":"#);
    digits::push_milliseconds(out, line.duration);
    for (name, text) in [
        ("request_id", Some(line.request_id)),
        ("trace_id", line.trace_id),
        ("problem.code", line.problem),
        ("key.id", line.key_id),
    ] {
        if let Some(text) = text {
            out.push_str(r#",""#);
            out.push_str(name);
            out.push_str(r#"":""#);
            out.push_str(text);
            out.push('"');
        }
    }
    out.push_str("}\n");
}

fn write_text(out: &mut String, line: &Line<'_>) {
    clock::push_stamp(out);
    out.push_str("  INFO ");
    out.push_str(TARGET);
    out.push_str(": ");
    out.push_str(line.method);
    out.push(' ');
    out.push_str(line.route);
    out.push(' ');
    digits::push_padded::<3>(out, line.status.into());
    out.push(' ');
    digits::push_milliseconds(out, line.duration);
    out.push_str(" ms ");
    out.push_str(line.problem.unwrap_or("-"));
    out.push(' ');
    out.push_str(line.request_id);
    if let Some(id) = line.key_id {
        out.push_str(" key ");
        out.push_str(id);
    }
    out.push('\n');
}
