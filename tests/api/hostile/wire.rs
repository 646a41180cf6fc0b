//! HTTP on a bare socket: a client library would mend what is sent here.

use std::io::{ErrorKind, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::time::Duration;

/// Longest wait for anything; only a service that hangs comes near it.
const PATIENCE: Duration = Duration::from_secs(20);

/// A response as it came.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Response {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: Vec<u8>,
}

impl Response {
    /// The value of a header, names in lower case.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (found, value) = line.split_once(':')?;
            found.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    /// The body as JSON, null when it is none.
    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap_or_default()
    }
}

/// One connection.
pub(crate) struct Connection {
    stream: TcpStream,
    unread: Vec<u8>,
    /// Whether the service neither answered nor closed in all the time it was given.
    pub(crate) has_hung: bool,
}

impl Connection {
    pub(crate) fn open(address: &str) -> Self {
        let stream = TcpStream::connect(address).expect("a connection");
        stream.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        stream.set_write_timeout(Some(PATIENCE)).expect("a timeout");
        Self {
            stream,
            unread: Vec::new(),
            has_hung: false,
        }
    }

    /// Sends; a service that has closed already is no failure of the test.
    pub(crate) fn send(&mut self, bytes: &[u8]) {
        let _ = self.stream.write_all(bytes);
    }

    /// Says that nothing more will be sent.
    pub(crate) fn finish(&mut self) {
        let _ = self.stream.shutdown(Shutdown::Write);
    }

    /// The next final response, or none when the service closed instead.
    pub(crate) fn response(&mut self) -> Option<Response> {
        loop {
            while let Some((response, used)) = parse(&self.unread) {
                self.unread.drain(..used);
                // 100 and its like only announce the one that counts
                if response.status >= 200 {
                    return Some(response);
                }
            }
            let mut buffer = [0; 64 * 1024];
            match self.stream.read(&mut buffer) {
                Ok(0) => return None,
                Ok(read) => self.unread.extend_from_slice(&buffer[..read]),
                Err(error) => {
                    let kind = error.kind();
                    self.has_hung = matches!(kind, ErrorKind::WouldBlock | ErrorKind::TimedOut);
                    return None;
                }
            }
        }
    }

    /// Bytes that came and are no whole response.
    pub(crate) fn rest(&self) -> &[u8] {
        &self.unread
    }
}

/// A whole response at the start of the bytes, and its length.
fn parse(bytes: &[u8]) -> Option<(Response, usize)> {
    let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")? + 4;
    let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
    let status = head
        .strip_prefix("HTTP/1.")
        .and_then(|rest| rest.get(2..5)?.parse().ok())
        .unwrap_or_else(|| panic!("not the start of a response: {head:?}"));
    let mut response = Response {
        status,
        head,
        body: Vec::new(),
    };
    if response.header("transfer-encoding") == Some("chunked") {
        let (body, used) = joined(bytes.get(end..)?)?;
        response.body = body;
        return Some((response, end + used));
    }
    let length = response.header("content-length");
    let length: usize = length.map_or(0, |length| length.parse().expect("a length"));
    response.body = bytes.get(end..end + length)?.to_vec();
    Some((response, end + length))
}

/// The content of a body in chunks, and the length of them all, once its end is there.
fn joined(chunks: &[u8]) -> Option<(Vec<u8>, usize)> {
    let (mut body, mut at) = (Vec::new(), 0);
    loop {
        let rest = chunks.get(at..)?;
        let end = rest.windows(2).position(|two| two == b"\r\n")?;
        let size = std::str::from_utf8(&rest[..end]).expect("a chunk size");
        let size = usize::from_str_radix(size, 16).expect("a chunk size");
        let content = rest.get(end + 2..end + 2 + size)?;
        assert_eq!(rest.get(end + 2 + size..end + 4 + size)?, b"\r\n");
        body.extend_from_slice(content);
        at += end + 4 + size;
        if size == 0 {
            return Some((body, at));
        }
    }
}
