//! Rows of the matrix that are many things at once: compressed bodies, tables, lines, batches.

use std::io::Write;

use flate2::Compression;
use flate2::write::{GzEncoder, ZlibEncoder};

use super::row::{
    Answer, Closes, Fault, Holds, Marked, Problem, REFERENCE, Row, Stays, chunked, row, typed, typed_to,
};

const JSON: &str = "content-type: application/json";
static MEGABYTE: [u8; 1 << 20] = [b' '; 1 << 20];
/// Megabytes that a bomb inflates to.
const BOMB: usize = 200;

fn gzip(plain: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(plain).expect("a Vec takes all");
    encoder.finish().expect("a Vec takes all")
}

/// One stream of 200 MB: `once` is a head and a megabyte of blanks that ends on a byte, so that
/// the blanks can be repeated as they are. Nobody may come so far as to miss the checksum.
fn bomb(once: &[u8], head: usize) -> Vec<u8> {
    let (head, block) = once.split_at(head);
    [head, &block.repeat(BOMB)].concat()
}

/// RFC 1952: a head of 10 bytes.
fn gzip_bomb() -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(&MEGABYTE).expect("a Vec takes all");
    encoder.flush().expect("a Vec takes all");
    bomb(encoder.get_ref(), 10)
}

/// RFC 1950: a head of 2 bytes.
fn zlib_bomb() -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(&MEGABYTE).expect("a Vec takes all");
    encoder.flush().expect("a Vec takes all");
    bomb(encoder.get_ref(), 2)
}

/// Compressed bodies: bombs, and what is not what it says.
pub(crate) fn bombs() -> Vec<Row> {
    let coded = |coding: &str, body: &[u8]| typed(&format!("{JSON}\r\ncontent-encoding: {coding}"), body);
    let large = Problem(413, "body_too_large");
    let broken = Problem(400, "invalid_encoding");
    let members = gzip(&MEGABYTE).repeat(BOMB);
    let whole = gzip(REFERENCE.as_bytes());
    let mut wrong_sum = whole.clone();
    wrong_sum[whole.len() - 8] ^= 1;
    let batch = typed_to("/v1/batch", &format!("{JSON}\r\ncontent-encoding: gzip"), gzip_bomb());
    let pieces = gzip_bomb();
    let mut in_chunks = chunked(&pieces.chunks(4096).collect::<Vec<_>>());
    let at = in_chunks.windows(8).position(|w| w == b"transfer").expect("a header");
    in_chunks.splice(at..at, *b"content-encoding: gzip\r\n");
    vec![
        row("whole gzip", coded("gzip", &whole), Answer, Stays),
        row("gzip bomb", coded("gzip", &gzip_bomb()), large, Closes),
        row("gzip bomb of members", coded("gzip", &members), large, Closes),
        row("deflate bomb", coded("deflate", &zlib_bomb()), large, Closes),
        row("gzip bomb in chunks", in_chunks, large, Closes),
        row("gzip bomb for a batch", batch, large, Closes),
        row("gzip bomb over the limit itself", coded("gzip", &gzip_bomb().repeat(2)), large, Closes),
        row("gzip in gzip", coded("gzip", &gzip(&whole)), broken, Stays),
        row("gzip cut short", coded("gzip", &whole[..whole.len() - 9]), broken, Stays),
        row("gzip without its end", coded("gzip", &whole[..whole.len() - 4]), broken, Stays),
        row("gzip of a wrong checksum", coded("gzip", &wrong_sum), broken, Stays),
        row("gzip and a tail", coded("gzip", &[&whole[..], b"tail"].concat()), broken, Stays),
        row("head of gzip only", coded("gzip", &whole[..10]), broken, Stays),
        row("gzip of nothing", coded("gzip", &gzip(b"")), Problem(400, "empty_body"), Stays),
        row("gzip called deflate", coded("deflate", &whole), broken, Stays),
        row("JSON called gzip", coded("gzip", REFERENCE.as_bytes()), broken, Stays),
        row("zeros called gzip", coded("gzip", &[0; 4096]), broken, Stays),
        row("br", coded("br", &whole), Problem(415, "unsupported_content_encoding"), Closes),
        row("rows in gzip", typed("content-type: text/csv\r\ncontent-encoding: gzip", &whole), Problem(415, "unsupported_content_encoding"), Closes),
    ]
}

/// CSV that is none, or holds what no cell may hold: the rows after it are answered.
pub(crate) fn tables() -> Vec<Row> {
    let csv = |body: &[u8]| typed("content-type: text/csv", body);
    let table = |rows: &str| csv(format!("dose_g,brew_ratio\n{rows}\n18.3,2.1\n").as_bytes());
    let kinds = |cell: &str| csv(format!("brew_kind,dose_g,brew_ratio\n{cell},-5,2\nfilter,18.3,2.1\n").as_bytes());
    let long = "1".repeat(70 * 1024);
    vec![
        row("empty table", csv(b""), Problem(400, "empty_body"), Stays),
        row("line ends for a table", csv(&b"\r\n".repeat(5_000)), Problem(400, "empty_body"), Stays),
        row("zero bytes for a table", csv(&[0; 64]), Problem(422, "validation_failed"), Stays),
        row("picture for a table", csv(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), Problem(400, "invalid_encoding"), Stays),
        row("UTF-16 for a table", csv(b"\xff\xfed\0o\0s\0e\0"), Problem(400, "invalid_encoding"), Stays),
        row("unknown column", csv(b"dose_g,brew_ratio,x\n18,2,1\n"), Fault("/x", "unknown_field"), Stays),
        row("column twice", csv(b"dose_g,brew_ratio,dose_g\n18,2,1\n"), Fault("/dose_g", "duplicate_field"), Stays),
        row("10 000 columns", csv(",".repeat(10_000).as_bytes()), Problem(422, "validation_failed"), Stays),
        row("header without end", csv(long.as_bytes()), Problem(413, "body_too_large"), Closes),
        row("UTF-16 announced for a table", typed("content-type: text/csv; charset=utf-16", "dose_g\n1\n"), Problem(415, "unsupported_media_type"), Closes),
        row("NaN in a cell", table("NaN,2"), Holds(200, &["not_finite", "\n18.3,"]), Stays),
        row("infinity in a cell", table("-inf,2"), Holds(200, &["not_finite", "\n18.3,"]), Stays),
        row("1e999 in a cell", table("1e999,2"), Holds(200, &["not_finite", "\n18.3,"]), Stays),
        row("text in a cell", table("eighteen,2"), Holds(200, &["wrong_type", "\n18.3,"]), Stays),
        row("10 000 digits in a cell", table(&format!("18.{},2", "3".repeat(10_000))), Holds(200, &["\n18.3,"]), Stays),
        row("decimal comma in a cell", table("\"18,5\",2"), Holds(200, &["decimal_comma", "\n18.3,"]), Stays),
        row("NUL in a cell", table("18\0,2"), Holds(200, &["wrong_type", "\n18.3,"]), Stays),
        row("cell too many", table("18,2,3"), Holds(200, &["wrong_type", "\n18.3,"]), Stays),
        row("cell too few", table("18"), Holds(200, &["wrong_type", "\n18.3,"]), Stays),
        row("10 000 cells", table(&",".repeat(10_000)), Holds(200, &["wrong_type", "\n18.3,"]), Stays),
        row("quote that stays open", table("\"18,2"), Holds(200, &["\n"]), Stays),
        row("row without end", table(&long), Holds(200, &["body_too_large", "\n18.3,"]), Stays),
        row("formula", kinds("=HYPERLINK(1)"), Holds(200, &["\n\"'=HYPERLINK(1)\",-5,", "\nfilter,18.3,"]), Stays),
        row("formula after a quote", kinds("\"@SUM(1)\""), Holds(200, &["\n\"'@SUM(1)\",-5,", "\nfilter,18.3,"]), Stays),
        row("formula after a tab", kinds("\t=1"), Holds(200, &["\n\"'\t=1\",-5,", "\nfilter,18.3,"]), Stays),
        row("formula after a line end", kinds("\"\r\n=1\""), Holds(200, &["\n\"'\r\n=1\",-5,", "\nfilter,18.3,"]), Stays),
        row("table asked for as a picture", typed("content-type: text/csv\r\naccept: image/png", "dose_g,brew_ratio\n18,2\n"), Problem(406, "not_acceptable"), Closes),
        row("table asked for in capitals", typed("content-type: TEXT/CSV\r\naccept: image/png, TEXT/CSV;Q=0.5", "dose_g,brew_ratio\n18,2\n"), Holds(200, &[",36.0,"]), Stays),
        row("anything but a table asked for", typed("content-type: text/csv\r\naccept: text/csv;q=0, */*", "dose_g,brew_ratio\n18,2\n"), Marked(200, "content-type", "application/x-ndjson"), Stays),
        row("bytes that are no UTF-8 in a cell", csv(b"dose_g,brew_ratio\n\xff\xfe,2\n18.3,2.1\n"), Holds(200, &["invalid_encoding", "\n18.3,"]), Stays),
    ]
}

/// Lines of JSON that are none: the lines after them are answered. Their answers start before
/// the body is read to its end, so that the connection is not used again.
pub(crate) fn lines() -> Vec<Row> {
    let media_type = "content-type: application/x-ndjson";
    let lines = |bad: &[u8]| typed(media_type, [bad, b"\n", REFERENCE.as_bytes()].concat());
    vec![
        row("garbage line", lines(b"garbage"), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("open line", lines(b"{\"dose_g\":"), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("two objects in a line", lines(b"{}{}"), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("object over lines", lines(b"{\n\"dose_g\":18\n}"), Holds(200, &["malformed_json", "malformed_json", "malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("list of requests", lines(b"[{},{}]"), Holds(200, &["wrong_type", "\n{\"dose_g\":18.3"]), Stays),
        row("1e999 in a line", lines(b"{\"dose_g\":1e999}"), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("zero bytes in a line", lines(&[0; 64]), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("line that is no UTF-8", lines(b"{\"\xff\":1}"), Holds(200, &["invalid_encoding", "\n{\"dose_g\":18.3"]), Stays),
        row("deep line", lines("[".repeat(60_000).as_bytes()), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("line without end", lines("1".repeat(70 * 1024).as_bytes()), Holds(200, &["body_too_large", "\n{\"dose_g\":18.3"]), Stays),
        row("10 000 blank lines", lines(&b"\r\n".repeat(10_000)), Holds(200, &["{\"dose_g\":18.3"]), Stays),
        row("10 000 bad lines", lines(&b"x\n".repeat(10_000)), Holds(200, &["malformed_json", "\n{\"dose_g\":18.3"]), Stays),
        row("line end and log line in a name", lines(br#"{"a\r\n{\"level\":\"ERROR\"}":1}"#), Holds(200, &["unknown_field", "\n{\"dose_g\":18.3"]), Stays),
    ]
}

/// Batches that are none, and calls that are none: the calls after them are answered.
pub(crate) fn batches() -> Vec<Row> {
    let batch = |body: &str| typed_to("/v1/batch", JSON, body);
    let good = format!(r#"{{"calculation":"ratio","request":{REFERENCE}}}"#);
    let beside = |call: &str| batch(&format!("{{\"calls\":[{call},{good}]}}"));
    let asking = |request: &str| beside(&format!(r#"{{"calculation":"ratio","request":{request}}}"#));
    let many = vec![r#"{"calculation":"x","request":0}"#; 5_000].join(",");
    let long = "x".repeat(10_000);
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    vec![
        row("empty batch", batch(""), Problem(400, "empty_body"), Stays),
        row("batch that is a list", batch("[]"), Fault("", "wrong_type"), Stays),
        row("batch of numbers", batch(r#"{"calls":[1]}"#), Fault("/calls/0", "wrong_type"), Stays),
        row("calls twice", batch(r#"{"calls":[],"calls":[]}"#), Fault("/calls", "duplicate_field"), Stays),
        row("too many calls", batch(&format!("{{\"calls\":[{many}]}}")), Fault("/calls", "too_many_items"), Stays),
        row("batch in a batch", beside(r#"{"calculation":"batch","request":{"calls":[]}}"#), Holds(200, &["not_found", "\"dose_g\":18.3"]), Stays),
        row("path for a calculation", beside(r#"{"calculation":"../../livez","request":{}}"#), Holds(200, &["not_found", "\"dose_g\":18.3"]), Stays),
        row("NUL in a calculation", beside(r#"{"calculation":"ratio\u0000","request":{}}"#), Problem(422, "validation_failed"), Stays),
        row("long id", beside(&format!(r#"{{"id":"{long}","calculation":"ratio","request":{{}}}}"#)), Fault("/calls/0/id", "too_long"), Stays),
        row("number for a request", asking("1"), Holds(200, &["wrong_type", "\"dose_g\":18.3"]), Stays),
        row("key twice in a request", asking(r#"{"dose_g":1,"dose_g":2}"#), Holds(200, &["duplicate_field", "\"dose_g\":18.3"]), Stays),
        row("deep request", asking(&deep), Holds(200, &["\"status\":4", "\"dose_g\":18.3"]), Stays),
        row("NaN in a request", asking(r#"{"dose_g":NaN}"#), Problem(400, "malformed_json"), Stays),
        row("1e999 in a request", asking(r#"{"dose_g":1e999}"#), Holds(200, &["malformed_json", "\"dose_g\":18.3"]), Stays),
        row("request cut short", batch(r#"{"calls":[{"calculation":"ratio","request":{"#), Problem(400, "malformed_json"), Stays),
        row("rows for a batch", typed_to("/v1/batch", "content-type: text/csv", "dose_g\n1\n"), Problem(415, "unsupported_media_type"), Closes),
    ]
}
