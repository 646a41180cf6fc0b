//! A small load driver on plain sockets: one thread a connection, which it keeps.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::time::{Duration, Instant};

/// A request, ready to be sent again and again.
#[derive(Debug, Clone)]
pub(crate) struct Post {
    address: SocketAddr,
    text: String,
}

impl Post {
    pub(crate) fn new(address: SocketAddr, path: &str, body: &str) -> Self {
        let text = format!(
            "POST {path} HTTP/1.1\r\nhost: {address}\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
            body.len()
        );
        Self { address, text }
    }
}

/// Calls at a fixed rate for a time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Load {
    rate: f64,
    spell: Duration,
}

impl Load {
    pub(crate) const fn new(rate: f64, spell: Duration) -> Self {
        Self { rate, spell }
    }

    pub(crate) const fn spell(self) -> Duration {
        self.spell
    }
}

/// What was answered.
#[derive(Debug, Clone, Default)]
pub(crate) struct Measured {
    /// Status and seconds of every call.
    calls: Vec<(u16, f64)>,
    seconds: f64,
}

impl Measured {
    /// Answers a second.
    pub(crate) fn goodput(&self) -> f64 {
        f64::from(self.count(|status| status == 200)) / self.seconds
    }

    /// Calls that were turned away.
    pub(crate) fn shed(&self) -> u32 {
        self.count(|status| matches!(status, 429 | 503))
    }

    /// Calls that came to anything else.
    pub(crate) fn others(&self) -> u32 {
        self.count(|status| !matches!(status, 200 | 429 | 503))
    }

    fn count(&self, is_it: impl Fn(u16) -> bool) -> u32 {
        let found = self.calls.iter().filter(|(status, _)| is_it(*status));
        u32::try_from(found.count()).unwrap_or(u32::MAX)
    }

    /// Seconds within which a share of the answers came.
    pub(crate) fn percentile(&self, share: f64) -> f64 {
        self.percentile_of(share, |status| status == 200)
    }

    /// Seconds within which a share of the refusals came.
    pub(crate) fn shed_percentile(&self, share: f64) -> f64 {
        self.percentile_of(share, |status| status == 503)
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a place in a list of some thousands"
    )]
    fn percentile_of(&self, share: f64, is_it: impl Fn(u16) -> bool) -> f64 {
        let found = self.calls.iter().filter(|(status, _)| is_it(*status));
        let mut times: Vec<f64> = found.map(|(_, seconds)| *seconds).collect();
        times.sort_by(f64::total_cmp);
        let place = (share * times.len() as f64) as usize;
        times
            .get(place.min(times.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::NAN)
    }

    fn joined(parts: Vec<Vec<(u16, f64)>>, begun: Instant) -> Self {
        Self {
            calls: parts.concat(),
            seconds: begun.elapsed().as_secs_f64(),
        }
    }
}

/// Calls that are due at fixed times, dealt out to `callers` in turn; a caller that is late
/// calls at once, and its waiting counts from when the call was due.
pub(crate) fn open(post: &Post, load: Load, callers: u32) -> Measured {
    let begun = Instant::now();
    let interval = f64::from(callers) / load.rate;
    each(callers, begun, |caller| {
        let mut connection = Connection::new(post);
        let mut calls = Vec::new();
        let mut due = Duration::from_secs_f64(f64::from(caller) / load.rate);
        while due < load.spell {
            std::thread::sleep(due.saturating_sub(begun.elapsed()));
            let status = connection.call();
            calls.push((status, (begun.elapsed() - due).as_secs_f64()));
            due += Duration::from_secs_f64(interval);
        }
        calls
    })
}

/// Each caller calls again as soon as it was answered; at least once.
pub(crate) fn closed(post: &Post, callers: u32, spell: Duration) -> Measured {
    let begun = Instant::now();
    each(callers, begun, |_| {
        let mut connection = Connection::new(post);
        let mut calls = Vec::new();
        loop {
            let sent = Instant::now();
            let status = connection.call();
            calls.push((status, sent.elapsed().as_secs_f64()));
            if begun.elapsed() >= spell {
                return calls;
            }
        }
    })
}

fn each(callers: u32, begun: Instant, work: impl Fn(u32) -> Vec<(u16, f64)> + Sync) -> Measured {
    let work = &work;
    let parts = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..callers)
            .map(|caller| scope.spawn(move || work(caller)))
            .collect();
        threads
            .into_iter()
            .map(|thread| thread.join().unwrap_or_default())
            .collect()
    });
    Measured::joined(parts, begun)
}

struct Connection<'p> {
    post: &'p Post,
    stream: Option<BufReader<TcpStream>>,
}

impl<'p> Connection<'p> {
    const fn new(post: &'p Post) -> Self {
        Self { post, stream: None }
    }

    /// The status of one call; 0 when there was no answer.
    fn call(&mut self) -> u16 {
        self.exchange().unwrap_or_else(|_| {
            self.stream = None;
            0
        })
    }

    fn exchange(&mut self) -> std::io::Result<u16> {
        let stream = match self.stream.take() {
            Some(stream) => stream,
            None => {
                let stream = TcpStream::connect(self.post.address)?;
                stream.set_nodelay(true)?;
                stream.set_read_timeout(Some(Duration::from_secs(20)))?;
                BufReader::new(stream)
            }
        };
        let stream = self.stream.insert(stream);
        stream.get_mut().write_all(self.post.text.as_bytes())?;
        let mut line = String::new();
        stream.read_line(&mut line)?;
        let status = line
            .split(' ')
            .nth(1)
            .and_then(|status| status.parse().ok());
        let mut length = 0;
        loop {
            line.clear();
            stream.read_line(&mut line)?;
            let header = line.trim().to_ascii_lowercase();
            if header.is_empty() {
                break;
            }
            if let Some(value) = header.strip_prefix("content-length:") {
                length = value.trim().parse().unwrap_or(0);
            }
        }
        let mut body = vec![0; length];
        stream.read_exact(&mut body)?;
        Ok(status.unwrap_or(0))
    }
}
