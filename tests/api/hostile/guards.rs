//! Rows of the matrix that are refused before they are read: too long, from a page of a strange
//! origin, without a key.

use super::row::{
    Answer, Bare, Closes, Marked, Problem, REFERENCE, Row, Stays, line, row, typed, typed_to,
    with_header,
};

/// Addresses and heads around their limits: 4096 bytes and 16 KiB.
pub(crate) fn lengths() -> Vec<Row> {
    let query = |length: usize| line(&format!("GET /v1/ratio?{} HTTP/1.1", "&".repeat(length - 10)));
    let too_long = Problem(414, "uri_too_long");
    let fields = |count: usize| {
        let lines: Vec<_> = (0..count).map(|n| format!("x-{n}: {n}")).collect();
        with_header(&lines.join("\r\n"))
    };
    let header = |length: usize| with_header(&format!("x-long: {}", "x".repeat(length)));
    let filled: Vec<_> = (0..50).map(|n| format!("x-{n}: {}", "x".repeat(400))).collect();
    vec![
        row("address at its limit", query(4096), Problem(422, "validation_failed"), Stays),
        row("address over its limit", query(4097), too_long, Stays),
        row("address of 60 kB", query(60_000), too_long, Stays),
        row("path over its limit", line(&format!("GET /{} HTTP/1.1", "a".repeat(5_000))), too_long, Stays),
        row("address over its limit and a body", typed_to(&format!("/v1/ratio?{}", "&".repeat(5_000)), "content-type: application/json", REFERENCE), too_long, Closes),
        row("90 headers", fields(90), Answer, Stays),
        row("97 headers", fields(97), Bare(&[400, 431]), Closes),
        row("header of 15 kB", header(15_000), Answer, Stays),
        row("header of 20 kB", header(20_000), Bare(&[431]), Closes),
        row("header of 60 kB", header(60_000), Bare(&[431]), Closes),
        row("headers of 20 kB in all", with_header(&filled.join("\r\n")), Bare(&[431]), Closes),
    ]
}

/// Pages, where only `https://till.example` may read.
pub(crate) fn origins() -> Vec<Row> {
    [strangers(), refusals()].into_iter().flatten().collect()
}

const ALLOW: &str = "access-control-allow-origin";
const TILL: &str = "https://till.example";

fn strangers() -> Vec<Row> {
    let from = |origin: &str| with_header(&format!("origin: {origin}"));
    let unread = Marked(200, ALLOW, "");
    let read = |status| Marked(status, ALLOW, TILL);
    let preflight = |origin: &str, method: &str, headers: &str| {
        line(&format!("OPTIONS /v1/ratio HTTP/1.1\r\norigin: {origin}\r\naccess-control-request-method: {method}\r\naccess-control-request-headers: {headers}"))
    };
    vec![
        row("known origin", from(TILL), read(200), Stays),
        row("origin in the cache key", from("https://elsewhere.example"), Marked(200, "vary", "Accept, Accept-Encoding, Origin"), Stays),
        row("foreign origin", from("https://elsewhere.example"), unread, Stays),
        row("null origin", from("null"), unread, Stays),
        row("any origin", from("*"), unread, Stays),
        row("empty origin", from(""), unread, Stays),
        row("origin of another scheme", from("http://till.example"), unread, Stays),
        row("origin of another port", from("https://till.example:8443"), unread, Stays),
        row("origin with more behind", from("https://till.example.elsewhere.example"), unread, Stays),
        row("origin with a name", from("https://till.example@elsewhere.example"), unread, Stays),
        row("origin that is no ASCII", from("https://t\u{ef}ll.example"), unread, Stays),
        row("origin of 10 kB", from(&"x".repeat(10_000)), unread, Stays),
        row("two origins", from("https://till.example, https://elsewhere.example"), unread, Stays),
        row("preflight of QUERY", preflight(TILL, "QUERY", "content-type, x-own"), read(200), Stays),
        row("preflight of DELETE", preflight(TILL, "DELETE", "content-type"), Marked(400, "content-type", "application/problem+json"), Stays),
        row("preflight of a foreign origin", preflight("https://elsewhere.example", "QUERY", "x-own"), Marked(400, ALLOW, ""), Stays),
        row("preflight of the null origin", preflight("null", "POST", "content-type"), Marked(400, ALLOW, ""), Stays),
        row("preflight with names that are none", preflight(TILL, "POST", "((,;"), read(200), Stays),
    ]
}

/// What is refused to a page that may read: it reads the refusal too.
fn refusals() -> Vec<Row> {
    let read = |status| Marked(status, ALLOW, TILL);
    let till = format!("origin: {TILL}");
    let asking = |path: &str, method: &str| line(&format!("{method} {path} HTTP/1.1\r\n{till}"));
    let sending = |headers: &str, body: &str| typed(&format!("{till}\r\n{headers}"), body);
    let json = "content-type: application/json";
    let large = format!("{{\"dose_g\":{}1}}", " ".repeat(300 * 1024));
    vec![
        row("404 for a page", asking("/nothing", "GET"), read(404), Stays),
        row("405 for a page", asking("/v1/ratio", "DELETE"), read(405), Stays),
        row("414 for a page", asking(&format!("/{}", "a".repeat(5_000)), "GET"), read(414), Stays),
        row("431 for a page", sending(&format!("x-long: {}", "x".repeat(20_000)), REFERENCE), read(431), Closes),
        row("400 for a page", sending(json, "{"), read(400), Stays),
        row("406 for a page", sending(&format!("{json}\r\naccept: image/png"), REFERENCE), read(406), Closes),
        row("413 for a page", sending(json, &large), read(413), Closes),
        row("415 for a page", sending("content-type: text/plain", REFERENCE), read(415), Closes),
        row("422 for a page", sending(json, "{}"), read(422), Stays),
    ]
}

/// Keys, where only `abc` is one.
pub(crate) fn keys() -> Vec<Row> {
    let refused = Problem(401, "unauthenticated");
    let with = |value: &str| with_header(&format!("authorization: {value}"));
    let asking = |path: &str| line(&format!("GET {path} HTTP/1.1"));
    let twice = "authorization: Bearer wrong\r\nauthorization: Bearer abc";
    vec![
        row("no key", with_header("x-key: abc"), refused, Closes),
        row("empty key", with("Bearer "), refused, Closes),
        row("wrong key", with("Bearer abd"), refused, Closes),
        row("key without a scheme", with("abc"), refused, Closes),
        row("key under another scheme", with("Basic YWJjOg=="), refused, Closes),
        row("digest for a key", with(&format!("Bearer {}", crate::keys::OF_ABC)), refused, Closes),
        row("key of 10 kB", with(&format!("Bearer {}", "a".repeat(10_000))), refused, Closes),
        row("key that is no ASCII", with("Bearer \u{e4}bc"), refused, Closes),
        row("two keys in a line", with("Bearer wrong, Bearer abc"), refused, Closes),
        row("two lines of keys", with_header(twice), refused, Closes),
        row("key in the query", asking("/v1/ratio?access_token=abc"), refused, Stays),
        row("no key in disguise", asking("/v1%2fratio"), Problem(404, "not_found"), Stays),
        row("no key in an escape", asking("/%76%31/ratio?dose_g=18&brew_ratio=2"), refused, Stays),
        row("no key behind a doubled slash", asking("//v1/ratio?dose_g=18&brew_ratio=2"), Problem(404, "not_found"), Stays),
        row("no key for a path that is not", asking("/v1/nothing"), refused, Stays),
        row("no key for a wrong method", line("DELETE /v1/ratio HTTP/1.1"), refused, Stays),
        row("no key for a batch", typed_to("/v1/batch", "content-type: application/json", r#"{"calls":[]}"#), refused, Closes),
        row("no key for a table", typed("content-type: text/csv", "dose_g\n1\n"), refused, Closes),
        row("key and bad JSON", typed("content-type: application/json\r\nauthorization: Bearer abc", "{"), Problem(400, "malformed_json"), Stays),
    ]
}
