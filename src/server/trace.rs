//! The trace that a request belongs to, as whoever called says.

use actix_web::http::header::{HeaderMap, HeaderName};

const TRACEPARENT: HeaderName = HeaderName::from_static("traceparent");

/// The caller's own span, as a W3C `traceparent` header names it: lower-case hexadecimal digits.
pub(super) struct Parent<'h> {
    /// The trace that it is part of.
    pub(super) trace: &'h str,
    #[cfg(feature = "otlp")]
    pub(super) span: &'h str,
    #[cfg(feature = "otlp")]
    pub(super) flags: &'h str,
}

/// The trace id of a W3C `traceparent` header.
pub(super) fn id(headers: &HeaderMap) -> Option<String> {
    parent(headers).map(|parent| parent.trace.to_owned())
}

/// What a W3C `traceparent` header says, if there is a valid one.
pub(super) fn parent(headers: &HeaderMap) -> Option<Parent<'_>> {
    let mut parts = headers.get(TRACEPARENT)?.to_str().ok()?.split('-');
    let (version, trace, span, flags) =
        (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
    let is_zero = |text: &str| text.bytes().all(|b| b == b'0');
    let is_hex = |text: &str, length: usize| {
        text.len() == length
            && text
                .bytes()
                .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
    };
    let is_valid = is_hex(version, 2)
        && version != "ff"
        && is_hex(trace, 32)
        && !is_zero(trace)
        && is_hex(span, 16)
        && !is_zero(span)
        && is_hex(flags, 2)
        // a later version may say more, this one may not
        && (version != "00" || parts.next().is_none());
    is_valid.then_some(Parent {
        trace,
        #[cfg(feature = "otlp")]
        span,
        #[cfg(feature = "otlp")]
        flags,
    })
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderMap, HeaderValue};

    use super::{TRACEPARENT, id};

    fn of(traceparent: &str) -> Option<String> {
        let mut headers = HeaderMap::new();
        headers.insert(TRACEPARENT, HeaderValue::from_str(traceparent).unwrap());
        id(&headers)
    }

    // the examples of W3C Trace Context, section 3.2.4, and its rules for what is not valid
    #[test]
    fn the_trace_id_is_read_from_a_valid_header_only() {
        let trace = "4bf92f3577b34da6a3ce929d0e0e4736";
        let valid = format!("00-{trace}-00f067aa0ba902b7-01");
        assert_eq!(of(&valid).as_deref(), Some(trace));
        let later = format!("01-{trace}-00f067aa0ba902b7-01-more");
        assert_eq!(of(&later).as_deref(), Some(trace));
        for wrong in [
            "",
            "00",
            &valid.to_uppercase(),
            &valid.replace("00-4b", "ff-4b"),
            &valid.replace(trace, &"0".repeat(32)),
            &valid.replace(trace, &trace[1..]),
            &valid.replace("00f067aa0ba902b7", "0000000000000000"),
            &format!("{valid}-more"),
        ] {
            assert_eq!(of(wrong), None, "{wrong}");
        }
    }
}
