//! The matrix: one line a row.

use super::row::{
    Answer, Bare, Closes, Fault, HalfClosed, Nothing, Problem, REFERENCE, Row, Stays, chunked,
    framed, line, post, row, typed, with_header,
};

/// JSON that is none, or is not what the calculation asks for.
pub(crate) fn bodies() -> Vec<Row> {
    [values(), structures(), texts()].into_iter().flatten().collect()
}

fn values() -> Vec<Row> {
    let long = "0".repeat(10_000);
    vec![
        row("empty body", post(""), Problem(400, "empty_body"), Stays),
        row("blank body", post(" \r\n\t"), Problem(400, "empty_body"), Stays),
        row("truncated JSON", post(r#"{"dose_g":18"#), Problem(400, "malformed_json"), Stays),
        row("trailing garbage", post(r#"{"dose_g":18} x"#), Problem(400, "malformed_json"), Stays),
        row("two documents", post(format!("{REFERENCE}{REFERENCE}")), Problem(400, "malformed_json"), Stays),
        row("text for a number", post(r#"{"dose_g":"36"}"#), Fault("/dose_g", "wrong_type"), Stays),
        row("decimal comma in a text", post(r#"{"dose_g":"1,5"}"#), Fault("/dose_g", "decimal_comma"), Stays),
        row("decimal comma in the syntax", post(r#"{"dose_g":1,5}"#), Problem(400, "malformed_json"), Stays),
        row("array for an object", post("[18,36]"), Fault("", "wrong_type"), Stays),
        row("scalar for an object", post("18"), Fault("", "wrong_type"), Stays),
        row("missing field", post("{}"), Fault("/dose_g", "required"), Stays),
        row("unknown field", post(r#"{"dose_gg":18}"#), Fault("/dose_gg", "unknown_field"), Stays),
        row("pointer that needs escapes", post(r#"{"a/b~c":18}"#), Fault("/a~1b~0c", "unknown_field"), Stays),
        row("duplicate key", post(r#"{"dose_g":18,"dose_g":19}"#), Fault("/dose_g", "duplicate_field"), Stays),
        row("duplicate key in disguise", post(r#"{"dose_g":18,"dos\u0065_g":19}"#), Fault("/dose_g", "duplicate_field"), Stays),
        row("NaN", post(r#"{"dose_g":NaN}"#), Problem(400, "malformed_json"), Stays),
        row("Infinity", post(r#"{"dose_g":Infinity}"#), Problem(400, "malformed_json"), Stays),
        row("-Infinity", post(r#"{"dose_g":-Infinity}"#), Problem(400, "malformed_json"), Stays),
        row("1e999", post(r#"{"dose_g":1e999}"#), Problem(400, "malformed_json"), Stays),
        row("400 digits", post(format!("{{\"dose_g\":{}}}", "9".repeat(400))), Problem(400, "malformed_json"), Stays),
        row("largest double", post(r#"{"dose_g":1.7976931348623157e308}"#), Fault("/dose_g", "out_of_range"), Stays),
        row("smallest double", post(r#"{"dose_g":5e-324}"#), Fault("/dose_g", "out_of_range"), Stays),
        row("minus nothing", post(r#"{"dose_g":-0.0,"beverage_mass_g":36}"#), Fault("/dose_g", "out_of_range"), Stays),
        row("nothing as a divisor", post(r#"{"dose_g":0,"beverage_mass_g":36}"#), Fault("/dose_g", "out_of_range"), Stays),
        row("10 000 digits", post(REFERENCE.replace("18.3", &format!("18.3{long}"))), Answer, Stays),
        row("number with 10 000 leading zeros", post(format!("{{\"dose_g\":{long}18}}")), Problem(400, "malformed_json"), Stays),
    ]
}

fn structures() -> Vec<Row> {
    let nested = |open: &str, close: &str, name: &str| {
        format!(
            "{{\"{name}\":{}1{}}}",
            open.repeat(60_000),
            close.repeat(60_000)
        )
    };
    vec![
        row("deep arrays in a known field", post(nested("[", "]", "dose_g")), Fault("/dose_g", "wrong_type"), Stays),
        row("deep arrays in an unknown field", post(nested("[", "]", "deep")), Fault("/deep", "unknown_field"), Stays),
        row("deep objects", post(nested("{\"a\":", "}", "deep")), Problem(413, "body_too_large"), Closes),
        row("deep arrays never closed", post("[".repeat(100_000)), Problem(400, "malformed_json"), Stays),
        row("list for a number", post(format!("{{\"dose_g\":[{}1]}}", "1,".repeat(100_000))), Fault("/dose_g", "wrong_type"), Stays),
        row("10 000 unknown fields", post(many_fields()), Fault("/x9", "unknown_field"), Stays),
    ]
}

fn texts() -> Vec<Row> {
    vec![
        row("long text for a word", post(format!("{{\"brew_kind\":\"{}\"}}", "x".repeat(200_000))), Fault("/brew_kind", "not_allowed"), Stays),
        row("marks, direction, width, emoji", post("{\"brew_kind\":\"e\u{301}\u{202e}\u{200b}\u{1f600}\"}"), Fault("/brew_kind", "not_allowed"), Stays),
        row("NUL in a text", post(r#"{"brew_kind":"filter\u0000"}"#), Fault("/brew_kind", "not_allowed"), Stays),
        row("markup in a name", post(r#"{"<script>alert(1)</script>":1}"#), Fault("/<script>alert(1)<~1script>", "unknown_field"), Stays),
        row("line end and log line in a name", post(r#"{"a\r\n{\"level\":\"ERROR\"}":1}"#), Fault("/a\r\n{\"level\":\"ERROR\"}", "unknown_field"), Stays),
        row("invalid UTF-8 in a text", post(b"{\"brew_kind\":\"\xff\"}"), Problem(400, "invalid_encoding"), Stays),
        row("Latin-1 in a name", post(b"{\"dose_\xb5g\":1}"), Problem(400, "invalid_encoding"), Stays),
        row("overlong UTF-8", post(b"{\"brew_kind\":\"\xc0\xaf\"}"), Problem(400, "invalid_encoding"), Stays),
        row("UTF-8 surrogate", post(b"{\"brew_kind\":\"\xed\xa0\x80\"}"), Problem(400, "invalid_encoding"), Stays),
        row("lone surrogate escape", post(r#"{"brew_kind":"\ud800"}"#), Problem(400, "malformed_json"), Stays),
        row("UTF-16", post(b"\xff\xfe{\0}\0"), Problem(400, "invalid_encoding"), Stays),
        row("byte order mark", post(format!("\u{feff}{REFERENCE}")), Answer, Stays),
        row("zero bytes", post([0; 64]), Problem(400, "malformed_json"), Stays),
    ]
}

fn many_fields() -> String {
    let fields: Vec<_> = (0..10_000).map(|n| format!("\"x{n}\":{n}")).collect();
    format!("{{{}}}", fields.join(","))
}

/// Media types, codings and sizes.
pub(crate) fn wrappings() -> Vec<Row> {
    let json = "content-type: application/json";
    let unsupported = Problem(415, "unsupported_media_type");
    let coded = |coding: &str| typed(&format!("{json}\r\ncontent-encoding: {coding}"), REFERENCE);
    let coding = Problem(415, "unsupported_content_encoding");
    let huge = format!("{{\"dose_g\":{}1}}", " ".repeat(300 * 1024));
    let chunk = vec![b' '; 64 * 1024];
    vec![
        row("no media type", typed("", REFERENCE), unsupported, Closes),
        row("plain text", typed("content-type: text/plain", REFERENCE), unsupported, Closes),
        row("XML", typed("content-type: application/xml", "<a/>"), unsupported, Closes),
        row("multipart", typed("content-type: multipart/form-data; boundary=x", REFERENCE), unsupported, Closes),
        row("form", typed("content-type: application/x-www-form-urlencoded", "dose_g=18"), unsupported, Closes),
        row("almost JSON", typed("content-type: application/jsonx", REFERENCE), unsupported, Closes),
        row("broken media type", typed("content-type: ;;;", REFERENCE), unsupported, Closes),
        row("UTF-16 announced", typed("content-type: application/json; charset=utf-16", REFERENCE), unsupported, Closes),
        row("non-ASCII media type", typed("content-type: application/js\u{f6}n", REFERENCE), unsupported, Closes),
        row("unknown coding", coded("foo"), coding, Closes),
        row("two codings", coded("gzip, gzip"), coding, Closes),
        row("identity", coded("identity"), Answer, Stays),
        row("body over the limit", post(&huge), Problem(413, "body_too_large"), Closes),
        row("10 GB announced", framed(&format!("{json}\r\ncontent-length: 10000000000"), ""), Problem(413, "body_too_large"), Closes),
        row("chunks over the limit", chunked(&[&chunk[..]; 5]), Problem(413, "body_too_large"), Closes),
        row("one byte a chunk", chunked(&REFERENCE.as_bytes().chunks(1).collect::<Vec<_>>()), Answer, Stays),
        row("100-continue", with_header("expect: 100-continue"), Answer, Stays),
    ]
}

/// Heads: ids, paths, methods, versions, sizes.
pub(crate) fn heads() -> Vec<Row> {
    let missing = Problem(404, "not_found");
    let many: Vec<_> = (0..200).map(|n| format!("x-{n}: {n}")).collect();
    vec![
        row("long request id", with_header(&format!("x-request-id: {}", "x".repeat(10_000))), Answer, Stays),
        row("quotes in the request id", with_header("x-request-id: a\"},{\"level\":\"ERROR"), Answer, Stays),
        row("lookup in the request id", with_header("x-request-id: ${jndi:ldap://x}%s%n"), Answer, Stays),
        row("non-ASCII request id", with_header("x-request-id: \u{202e}\u{e9}"), Answer, Stays),
        row("escape sequence in the request id", with_header("x-request-id: \u{1b}[2J"), Bare(&[400]), Closes),
        row("broken traceparent", with_header("traceparent: 00-zz-\"-01"), Answer, Stays),
        row("parent folders", line("GET /../../etc/passwd HTTP/1.1"), missing, Stays),
        row("parent folders in the docs", line("GET /docs/../../etc/passwd HTTP/1.1"), missing, Stays),
        row("hidden parent folders", line("GET /docs/%2e%2e/%2e%2e/etc/passwd HTTP/1.1"), missing, Stays),
        row("doubled slash", line("GET //livez HTTP/1.1"), missing, Stays),
        row("slash at the end", line("GET /livez/ HTTP/1.1"), missing, Stays),
        row("NUL in a path", line("GET /livez%00 HTTP/1.1"), missing, Stays),
        row("hidden slash", line("POST /v1%2fratio HTTP/1.1"), missing, Stays),
        row("broken escape", line("GET /livez%zz HTTP/1.1"), missing, Stays),
        row("escape that is no UTF-8", line("GET /%ff%fe HTTP/1.1"), missing, Stays),
        row("long path", line(&format!("GET /{} HTTP/1.1", "a/".repeat(1_000))), missing, Stays),
        row("path of 70 kB", line(&format!("GET /{} HTTP/1.1", "a".repeat(70_000))), Bare(&[400]), Closes),
        row("200 headers", with_header(&many.join("\r\n")), Bare(&[400, 431]), Closes),
        row("header of 200 kB", with_header(&format!("x-long: {}", "x".repeat(200_000))), Bare(&[400, 431]), Closes),
        row("wrong method", line("DELETE /v1/ratio HTTP/1.1"), Problem(405, "method_not_allowed"), Stays),
        row("lower-case method", line("get /livez HTTP/1.1"), Problem(405, "method_not_allowed"), Stays),
        row("invented method", line("BREW /v1/ratio HTTP/1.1"), Problem(405, "method_not_allowed"), Stays),
        row("TRACE", line("TRACE /livez HTTP/1.1\r\nx-secret: shown"), Problem(405, "method_not_allowed"), Stays),
        row("CONNECT", line("CONNECT example.test:443 HTTP/1.1"), missing, Closes),
        row("asterisk", line("OPTIONS * HTTP/1.1"), missing, Stays),
        row("HTTP/9.9", line("GET /livez HTTP/9.9"), Bare(&[400, 505]), Closes),
        row("HTTP/2 preface", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", Bare(&[400, 505]), Closes),
        row("TLS hello", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".to_vec(), Bare(&[400]), HalfClosed),
        row("upgrade to anything", with_header("connection: upgrade\r\nupgrade: foo"), Answer, Closes),
        row("no first line", "\0\0\0\0\r\n\r\n", Bare(&[400]), Closes),
    ]
}

/// Queries, and what a caller says it accepts.
pub(crate) fn queries() -> Vec<Row> {
    let get = |query: &str| line(&format!("GET /v1/ratio?{query} HTTP/1.1"));
    let accepting = |types: &str| with_header(&format!("accept: {types}"));
    let unacceptable = Problem(406, "not_acceptable");
    vec![
        row("NaN in a query", get("dose_g=NaN&brew_ratio=2"), Fault("/dose_g", "not_finite"), Stays),
        row("infinity in a query", get("dose_g=-infinity&brew_ratio=2"), Fault("/dose_g", "not_finite"), Stays),
        row("1e999 in a query", get("dose_g=1e999&brew_ratio=2"), Fault("/dose_g", "not_finite"), Stays),
        row("decimal comma in a query", get("dose_g=18,5&brew_ratio=2"), Fault("/dose_g", "decimal_comma"), Stays),
        row("key twice in a query", get("dose_g=18&dose_g=19&brew_ratio=2"), Fault("/dose_g", "duplicate_field"), Stays),
        row("unknown key in a query", get("dose_gg=18"), Fault("/dose_gg", "unknown_field"), Stays),
        row("brackets in a query", get("dose_g[]=1"), Fault("/dose_g[]", "unknown_field"), Stays),
        row("broken escape in a query", get("dose_g=%zz"), Problem(400, "bad_query"), Stays),
        row("NUL in a query", get("dose_g=18%00"), Fault("/dose_g", "wrong_type"), Stays),
        row("escape that is no UTF-8 in a query", get("dose_g=%ff"), Problem(400, "bad_query"), Stays),
        row("empty query", get(""), Fault("/dose_g", "required"), Stays),
        row("query of separators", get(&"&".repeat(2_000)), Fault("/dose_g", "required"), Stays),
        row("1 000 keys in a query", get(&"x=1&".repeat(500)), Fault("/x", "unknown_field"), Stays),
        row("HTML only", accepting("text/html"), unacceptable, Closes),
        row("pictures only", accepting("image/png"), unacceptable, Closes),
        row("nothing accepted", accepting("*/*;q=0"), unacceptable, Closes),
        row("broken Accept", accepting(";;,,q=x"), unacceptable, Closes),
        row("long Accept", accepting(&"a/b;q=0.1,".repeat(1_000)), unacceptable, Closes),
        row("body coded with garbage", typed("content-type: application/json\r\ncontent-encoding: gzip", "garbage"), Problem(400, "invalid_encoding"), Stays),
    ]
}

/// Requests whose end can be read in two ways: exactly one response, and the connection ends.
pub(crate) fn framings() -> Vec<Row> {
    // what a second reader of the same bytes would take for a request of its own
    let second = String::from_utf8(line("GET /version HTTP/1.1")).expect("ASCII");
    let ending = format!("0\r\n\r\n{second}");
    let framing = |headers: &str| {
        framed(
            &format!("content-type: application/json\r\n{headers}"),
            &ending,
        )
    };
    let bad = Bare(&[400]);
    // seen only when the body is read, by a route that reads it
    let broken = Problem(400, "invalid_encoding");
    let chunks = |body: &str| {
        let headers = "content-type: application/json\r\ntransfer-encoding: chunked";
        framed(headers, format!("{body}{second}"))
    };
    let old = "POST /v1/ratio HTTP/1.0\r\nhost: service\r\ntransfer-encoding: chunked\r\n\r\n";
    vec![
        row("length and chunks", framing("content-length: 5\r\ntransfer-encoding: chunked"), bad, Closes),
        row("chunks and length", framing("transfer-encoding: chunked\r\ncontent-length: 5"), bad, Closes),
        row("two lengths", framing("content-length: 5\r\ncontent-length: 6"), bad, Closes),
        row("list of lengths", framing("content-length: 5, 5"), bad, Closes),
        row("length with a sign", framing("content-length: +5"), bad, Closes),
        row("negative length", framing("content-length: -1"), bad, Closes),
        row("length in hexadecimal", framing("content-length: 0x5"), bad, Closes),
        row("length too large to count", framing("content-length: 99999999999999999999"), bad, Closes),
        row("almost chunked", framing("transfer-encoding: xchunked"), bad, Closes),
        row("space before the colon", framing("transfer-encoding : chunked"), bad, Closes),
        row("two transfer codings", framing("transfer-encoding: chunked\r\ntransfer-encoding: identity"), bad, Closes),
        row("chunked not last", framing("transfer-encoding: chunked, identity"), bad, Closes),
        row("gzip and chunked", framing("transfer-encoding: gzip, chunked"), bad, Closes),
        row("chunks in HTTP/1.0", format!("{old}{ending}"), bad, Closes),
        row("chunk lines without CR", chunks("5\nhello\n0\n\n"), broken, Closes),
        row("chunk size in C", chunks("0x5\r\nhello\r\n0\r\n\r\n"), broken, Closes),
        row("chunk size that overflows", chunks("ffffffffffffffff0\r\nhello\r\n0\r\n\r\n"), broken, Closes),
        row("folded header", framing("x-a: b\r\n transfer-encoding: chunked"), bad, Closes),
        row("NUL in a header", framing("x-a: b\0c\r\ncontent-length: 5"), bad, Closes),
        row("CR in a header", framing("x-a: b\rc\r\ncontent-length: 5"), bad, Closes),
        row("no host", "GET /livez HTTP/1.1\r\n\r\n", bad, Closes),
        row("two hosts", "GET /livez HTTP/1.1\r\nhost: a\r\nhost: b\r\n\r\n", bad, Closes),
    ]
}

/// Bodies that are requests themselves, left unread by whatever refuses them.
pub(crate) fn leftovers() -> Vec<Row> {
    let second = line("GET /version HTTP/1.1");
    let length = second.len();
    let carried = |first: &str, headers: &str| {
        let head = format!(
            "{first} HTTP/1.1\r\nhost: service\r\n{headers}content-length: {length}\r\n\r\n"
        );
        [head.as_bytes(), &second].concat()
    };
    let media_type = "content-type: text/plain\r\n";
    vec![
        row("body for a path that is not", carried("POST /nothing", ""), Problem(404, "not_found"), Closes),
        row("body for a method that is not", carried("DELETE /v1/ratio", ""), Problem(405, "method_not_allowed"), Closes),
        row("body of a wrong media type", carried("POST /v1/ratio", media_type), Problem(415, "unsupported_media_type"), Closes),
        row("chunks for a path that is not", "POST /nothing HTTP/1.1\r\nhost: service\r\ntransfer-encoding: chunked\r\n\r\n5\r\n{\"d", Problem(404, "not_found"), Closes),
        row("chunks of a wrong media type", framed(&format!("{media_type}transfer-encoding: chunked"), "5\r\n{\"d"), Problem(415, "unsupported_media_type"), Closes),
        row("body that is a request", carried("POST /v1/ratio", "content-type: application/json\r\n"), Problem(400, "malformed_json"), Stays),
    ]
}

/// Senders that stop half way or let the service wait. Its deadlines are short in the test.
pub(crate) fn slownesses() -> Vec<Row> {
    let json = "content-type: application/json";
    vec![
        row("nothing sent", "", Nothing, HalfClosed),
        row("half a first line", "GET /li", Nothing, HalfClosed),
        row("half a head that waits", "GET /livez HTTP/1.1\r\nhost: serv", Bare(&[408]), Closes),
        row("half a body that waits", framed(&format!("{json}\r\ncontent-length: 40"), "{\"dose_g\":"), Problem(408, "request_timeout"), Closes),
        row("half a chunk that waits", framed(&format!("{json}\r\ntransfer-encoding: chunked"), "5\r\n{\"d"), Problem(408, "request_timeout"), Closes),
    ]
}

/// Senders that close their half in the middle of a body.
pub(crate) fn endings() -> Vec<Row> {
    let json = "content-type: application/json";
    vec![
        row("half a body and an end", framed(&format!("{json}\r\ncontent-length: 40"), "{\"dose_g\":"), Problem(400, "invalid_encoding"), HalfClosed),
        row("half a chunk and an end", framed(&format!("{json}\r\ntransfer-encoding: chunked"), "5\r\n{\"d"), Problem(400, "invalid_encoding"), HalfClosed),
    ]
}
