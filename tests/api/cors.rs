//! Pages of other origins: preflights, what they may read, and that refusals are readable too.

use extraction_maths::api::registry::REGISTRY;

use crate::support::Service;
use crate::support::http::{send, send_json, send_to};

const ORIGIN: (&str, &str) = ("origin", "https://till.example");

#[tokio::test]
async fn a_preflight_of_any_method_and_header_is_answered() {
    for path in REGISTRY
        .iter()
        .map(|entry| entry.path())
        .chain(["/v1/sources", "/nothing"])
    {
        for method in ["GET", "HEAD", "POST", "QUERY"] {
            let headers = [
                ORIGIN,
                ("access-control-request-method", method),
                (
                    "access-control-request-headers",
                    "content-type, x-request-id, traceparent",
                ),
            ];
            let reply = send(("OPTIONS", path), &headers, "").await;
            assert_eq!(reply.status, 200, "{method} {path}");
            assert_eq!(reply.header("access-control-allow-origin"), "*");
            assert!(
                reply
                    .header("access-control-allow-methods")
                    .contains(method)
            );
            let allowed = reply.header("access-control-allow-headers");
            assert!(allowed.contains("x-request-id") && allowed.contains("content-type"));
            assert_eq!(reply.header("access-control-max-age"), "86400");
            assert!(
                reply
                    .header("vary")
                    .contains("Access-Control-Request-Method")
            );
            assert!(!reply.header("x-request-id").is_empty());
            assert_eq!(reply.header("x-content-type-options"), "nosniff");
        }
    }
}

fn readable(reply: &crate::support::http::Reply, what: &str) {
    assert_eq!(reply.header("access-control-allow-origin"), "*", "{what}");
    let exposed = reply
        .header("access-control-expose-headers")
        .to_ascii_lowercase();
    for name in [
        "etag",
        "retry-after",
        "ratelimit",
        "ratelimit-policy",
        "x-request-id",
        "server-timing",
        "deprecation",
        "link",
        "content-location",
    ] {
        assert!(
            exposed.split(", ").any(|e| e == name),
            "{what}: {name} in {exposed}"
        );
    }
    assert!(reply.header("vary").contains("Origin"), "{what}");
}

#[tokio::test]
async fn a_page_may_read_answers_and_refusals_alike() {
    let shot = r#"{"dose_g":18,"brew_ratio":2}"#;
    let reply = send_json(("POST", "/v1/ratio"), &[ORIGIN], shot).await;
    assert_eq!(reply.status, 200);
    readable(&reply, "200");
    let large = format!("{{\"dose_g\":{}1}}", " ".repeat(300 * 1024));
    for (call, media_type, body, status) in [
        (("GET", "/nothing"), "application/json", "", 404),
        (("DELETE", "/v1/ratio"), "application/json", "", 405),
        (("POST", "/v1/ratio"), "application/json", &large[..], 413),
        (("POST", "/v1/ratio"), "text/plain", shot, 415),
        (("POST", "/v1/ratio"), "application/json", "{}", 422),
        (("POST", "/v1/ratio"), "application/json", "{", 400),
    ] {
        let reply = send(
            call,
            &[ORIGIN, ("content-type", media_type)],
            body.to_owned(),
        )
        .await;
        assert_eq!(reply.status, status);
        readable(&reply, &status.to_string());
    }
}

#[tokio::test]
async fn a_list_of_origins_lets_only_those_read() {
    let service = Service::start(&[
        "--cors-origins",
        "https://till.example,http://localhost:3000",
    ]);
    for (origin, is_allowed) in [
        ("https://till.example", true),
        ("http://localhost:3000", true),
        ("http://localhost:3001", false),
        ("https://till.example.elsewhere.example", false),
        ("http://till.example", false),
        ("null", false),
    ] {
        let reply = send_to(
            &service.base,
            ("GET", "/v1/sources"),
            &[("origin", origin)],
            "",
        )
        .await;
        assert_eq!(reply.status, 200, "the browser keeps it from the page");
        let expected = if is_allowed { origin } else { "" };
        assert_eq!(
            reply.header("access-control-allow-origin"),
            expected,
            "{origin}"
        );
        assert!(reply.header("vary").contains("Origin"), "{origin}");
        let preflight = [
            ("origin", origin),
            ("access-control-request-method", "QUERY"),
        ];
        let reply = send_to(&service.base, ("OPTIONS", "/v1/ratio"), &preflight, "").await;
        assert_eq!(reply.status, if is_allowed { 200 } else { 400 }, "{origin}");
        assert_eq!(
            reply.header("access-control-allow-origin"),
            expected,
            "{origin}"
        );
    }
}

#[tokio::test]
async fn with_no_origins_nobody_else_may_read() {
    let service = Service::start(&["--cors-origins", "none"]);
    let reply = send_to(&service.base, ("GET", "/v1/sources"), &[ORIGIN], "").await;
    assert_eq!(
        (reply.status, reply.header("access-control-allow-origin")),
        (200, "")
    );
    let reply = send_to(&service.base, ("GET", "/v1/sources"), &[], "").await;
    assert_eq!(
        reply.status, 200,
        "a caller that is no browser is not concerned"
    );
}

#[tokio::test]
async fn a_refused_preflight_says_why() {
    let headers = [ORIGIN, ("access-control-request-method", "DELETE")];
    let reply = send(("OPTIONS", "/v1/ratio"), &headers, "").await;
    assert_eq!(reply.status, 400);
    assert_eq!(reply.json()["code"], "preflight_refused");
}
