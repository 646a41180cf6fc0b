//! The id of a request: the caller's, when it sent a sane one, else ours.

use std::cell::Cell;

use actix_web::http::header::{HeaderMap, HeaderName};
use actix_web::{HttpMessage, HttpRequest};

/// Header that carries the id both ways.
pub(super) const X_REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

/// Longest id taken over from a caller.
const LONGEST: usize = 128;

/// The id of the request with these headers.
pub(super) fn of(headers: &HeaderMap) -> String {
    let given = headers
        .get(X_REQUEST_ID)
        .and_then(|value| value.to_str().ok());
    match given {
        Some(id) if is_sane(id) => id.to_owned(),
        Some(_) | None => fresh(),
    }
}

/// The id of a request whose handler writes problems into its own answer.
pub(super) struct RequestId(pub(super) String);

impl RequestId {
    /// The id of a request.
    pub(super) fn of(request: &HttpRequest) -> String {
        let known = request.extensions().get::<Self>().map(|id| id.0.clone());
        known.unwrap_or_else(|| of(request.headers()))
    }
}

/// Whether an id can stand in a header, a log line and a URN as it is.
fn is_sane(id: &str) -> bool {
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.~:".contains(&byte);
    !id.is_empty() && id.len() <= LONGEST && id.bytes().all(is_plain)
}

thread_local! {
    /// A random start, so that ids of different threads and processes do not meet.
    static NEXT: Cell<u128> = Cell::new(random());
}

fn random() -> u128 {
    let mut bytes = [0; 16];
    // without a random source ids are still unique within a thread, which is what logs need
    let _ = getrandom::fill(&mut bytes);
    u128::from_le_bytes(bytes)
}

fn fresh() -> String {
    super::digits::hexadecimal(NEXT.replace(NEXT.get().wrapping_add(1)))
}

#[cfg(test)]
mod tests {
    use super::{fresh, is_sane};

    #[test]
    fn ids_that_could_break_a_log_line_are_replaced() {
        assert!(is_sane("a1-B_2.c~3:4"));
        for id in ["", "a b", "a\"b", "a\nb", "é", &"x".repeat(129)] {
            assert!(!is_sane(id), "{id:?}");
        }
    }

    #[test]
    fn fresh_ids_differ() {
        assert_ne!(fresh(), fresh());
    }
}
