//! A row of the matrix: what is sent, what must come back, what becomes of the connection.

/// One hostile input.
#[derive(Clone)]
pub(crate) struct Row {
    /// What it is, in a few words.
    pub(crate) name: &'static str,
    pub(crate) bytes: Vec<u8>,
    pub(crate) expected: Expected,
    pub(crate) afterwards: Afterwards,
}

/// What must come back.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Expected {
    /// The answer to the reference calculation.
    Answer,
    /// A problem document: status and code.
    Problem(u16, &'static str),
    /// 422 `validation_failed` with this pointer and code among its errors.
    Fault(&'static str, &'static str),
    /// This status, and these texts in the body, in this order.
    Holds(u16, &'static [&'static str]),
    /// This status, and a header of this name and value; without it when the value is empty.
    Marked(u16, &'static str, &'static str),
    /// A response of the framework, before routing: one of these statuses, without a body.
    Bare(&'static [u16]),
    /// No response.
    Nothing,
}

/// What becomes of the connection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Afterwards {
    /// The next request on it is answered.
    Stays,
    /// The service closes it, and nothing else comes.
    Closes,
    /// The sender closes its half first; then as above.
    HalfClosed,
}

pub(crate) use Afterwards::{Closes, HalfClosed, Stays};
pub(crate) use Expected::{Answer, Bare, Fault, Holds, Marked, Nothing, Problem};

/// A row.
pub(crate) fn row(
    name: &'static str,
    bytes: impl Into<Vec<u8>>,
    expected: Expected,
    afterwards: Afterwards,
) -> Row {
    Row {
        name,
        bytes: bytes.into(),
        expected,
        afterwards,
    }
}

/// The calculation that must be answered alike before and after everything.
pub(crate) const REFERENCE: &str = r#"{"dose_g":18.3,"brew_ratio":2.1,"workings":true}"#;

/// A POST of a body to a calculation, as a browser would write it.
pub(crate) fn post(body: impl AsRef<[u8]>) -> Vec<u8> {
    typed("content-type: application/json", body)
}

/// A POST with these header lines instead of the media type.
pub(crate) fn typed(headers: &str, body: impl AsRef<[u8]>) -> Vec<u8> {
    typed_to("/v1/ratio", headers, body)
}

/// A POST to this path with these header lines and a length.
pub(crate) fn typed_to(path: &str, headers: &str, body: impl AsRef<[u8]>) -> Vec<u8> {
    let body = body.as_ref();
    let length = format!("content-length: {}", body.len());
    let lines = [headers, &length];
    let lines: Vec<_> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    framed_to(path, &lines.join("\r\n"), body)
}

/// A POST with these header lines and nothing else to frame it.
pub(crate) fn framed(headers: &str, body: impl AsRef<[u8]>) -> Vec<u8> {
    framed_to("/v1/ratio", headers, body)
}

fn framed_to(path: &str, headers: &str, body: impl AsRef<[u8]>) -> Vec<u8> {
    let head = format!("POST {path} HTTP/1.1\r\nhost: service\r\n{headers}\r\n\r\n");
    [head.as_bytes(), body.as_ref()].concat()
}

/// A request without a body: its first line.
pub(crate) fn line(line: &str) -> Vec<u8> {
    format!("{line}\r\nhost: service\r\n\r\n").into_bytes()
}

/// The reference calculation with one more header line.
pub(crate) fn with_header(header: &str) -> Vec<u8> {
    typed(
        &format!("content-type: application/json\r\n{header}"),
        REFERENCE,
    )
}

/// A body in chunks.
pub(crate) fn chunked(chunks: &[&[u8]]) -> Vec<u8> {
    let mut body = Vec::new();
    for chunk in chunks {
        body.extend_from_slice(format!("{:x}\r\n", chunk.len()).as_bytes());
        body.extend_from_slice(chunk);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"0\r\n\r\n");
    framed(
        "content-type: application/json\r\ntransfer-encoding: chunked",
        body,
    )
}
