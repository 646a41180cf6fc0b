//! Long bodies by rows: memory, order, and callers who stand still. Raw sockets, since a client
//! library would hide who waits for whom.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

use crate::support::Service;

/// Far longer than any of these tests takes.
const PATIENCE: Duration = Duration::from_secs(60);

fn connect(service: &Service) -> TcpStream {
    let address = service.base.trim_start_matches("http://");
    let stream = TcpStream::connect(address).expect("a connection");
    stream
        .set_read_timeout(Some(PATIENCE))
        .expect("a time limit");
    stream
        .set_write_timeout(Some(PATIENCE))
        .expect("a time limit");
    stream
}

fn head(length: usize) -> String {
    format!(
        "POST /v1/ratio HTTP/1.1\r\nhost: test\r\ncontent-type: text/csv\r\n\
         connection: close\r\ncontent-length: {length}\r\n\r\n"
    )
}

const HEADER: &str = "dose_g,brew_ratio\n";

/// A number that tells the place of its row.
fn dose(place: usize) -> f64 {
    f64::from(u32::try_from(1000 + place).expect("not so many rows")) / 1000.0
}

fn row(place: usize) -> String {
    format!("{},2.0\n", dose(place))
}

/// The body of a response in chunked coding (RFC 9112, section 7.1).
fn unchunked(mut reader: impl BufRead) -> String {
    let mut line = String::new();
    while line != "\r\n" {
        line.clear();
        reader.read_line(&mut line).expect("a line of the head");
    }
    let mut body = Vec::new();
    loop {
        line.clear();
        reader.read_line(&mut line).expect("a size");
        let size = usize::from_str_radix(line.trim(), 16).expect(&line);
        let begin = body.len();
        body.resize(begin + size, 0);
        reader.read_exact(&mut body[begin..]).expect("a chunk");
        reader.read_exact(&mut [0; 2]).expect("its end");
        if size == 0 {
            return String::from_utf8(body).expect("UTF-8");
        }
    }
}

/// Sends so many rows while reading; the size of the answers, of which all came in order.
fn exchange(service: &Service, rows: usize) -> usize {
    let mut body = HEADER.to_owned();
    body.extend((0..rows).map(row));
    let mut writer = connect(service);
    let reader = BufReader::new(writer.try_clone().expect("a second handle"));
    let sending = std::thread::spawn(move || {
        writer.write_all(head(body.len()).as_bytes())?;
        writer.write_all(body.as_bytes())
    });
    let answers = unchunked(reader);
    sending.join().expect("a thread").expect("all sent");
    let doses = answers.lines().skip(1).map(|line| {
        let cell = line.split(',').next().expect("a cell");
        cell.parse::<f64>().expect(line)
    });
    let expected = (0..rows).map(dose);
    assert!(doses.eq(expected), "{rows} rows in order");
    answers.len()
}

#[test]
fn memory_does_not_grow_with_the_number_of_rows() {
    let service = Service::start(&["--workers", "1"]);
    exchange(&service, 10_000);
    let before = service.peak_memory();
    let bytes = exchange(&service, 100_000);
    let after = service.peak_memory();
    assert!(bytes > 10_000_000, "{bytes} bytes came back");
    assert!(after - before < 16.0, "{before} MiB, then {after} MiB");
}

#[test]
fn rows_are_answered_in_order_while_more_are_sent() {
    let service = Service::start(&["--workers", "1"]);
    let mut stream = connect(&service);
    let rows: usize = 3;
    let length = HEADER.len() + (0..rows).map(|place| row(place).len()).sum::<usize>();
    stream.write_all(head(length).as_bytes()).expect("sent");
    stream.write_all(HEADER.as_bytes()).expect("sent");
    let mut lines = BufReader::new(stream.try_clone().expect("a second handle")).lines();
    for place in 0..rows {
        stream.write_all(row(place).as_bytes()).expect("sent");
        // the answer to this row comes before the next row is sent
        let answer = lines.find(|line| {
            let line = line.as_ref().expect("a line");
            line.starts_with(&format!("{:?},2.0,", dose(place)))
        });
        assert!(answer.is_some(), "row {place}");
    }
}

#[test]
fn a_caller_who_does_not_read_is_ended_and_holds_little_memory() {
    let service = Service::start(&["--workers", "1", "--rows-idle", "1"]);
    let mut stream = connect(&service);
    stream.write_all(head(1 << 40).as_bytes()).expect("sent");
    stream.write_all(HEADER.as_bytes()).expect("sent");
    let rows = row(1).repeat(4096);
    let mut sent: usize = 0;
    let ended = loop {
        match stream.write(rows.as_bytes()) {
            Ok(bytes) => sent += bytes,
            Err(error) => break error,
        }
        assert!(sent < 1 << 30, "never held back");
    };
    let is_ended = matches!(
        ended.kind(),
        std::io::ErrorKind::ConnectionReset | std::io::ErrorKind::BrokenPipe
    );
    assert!(is_ended, "{ended}");
    assert!(
        service.peak_memory() < 100.0,
        "{} MiB",
        service.peak_memory()
    );
    assert!(
        exchange(&service, 10) > 100,
        "and the next caller is served"
    );
}

#[test]
fn a_caller_who_sends_nothing_more_is_told_so_and_ended() {
    let service = Service::start(&["--workers", "1", "--rows-idle", "1"]);
    let mut stream = connect(&service);
    stream.write_all(head(1000).as_bytes()).expect("sent");
    stream.write_all(HEADER.as_bytes()).expect("sent");
    stream.write_all(row(0).as_bytes()).expect("sent");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("an end");
    let problem = answer
        .find("request_timeout: no row came")
        .expect("a reason");
    let row = answer.find("1.0,2.0,2.0,").expect("the row that came");
    assert!(row < problem);
}
