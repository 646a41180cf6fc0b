//! What may be kept: entity tags, `304`, `HEAD`, and for how long.

use crate::support::http::{send, send_json};

/// Pages that are the same until another version runs.
const KEPT: [&str; 7] = [
    "/v1",
    "/v1/sources",
    "/v1/cautions",
    "/problems",
    "/problems/internal",
    "/openapi.json",
    "/.well-known/api-catalog",
];

#[tokio::test]
async fn a_page_has_a_strong_tag_that_spares_sending_it_again() {
    for path in KEPT {
        let reply = send(("GET", path), &[], "").await;
        assert_eq!(reply.status, 200, "{path}");
        assert!(
            reply
                .header("cache-control")
                .starts_with("public, max-age="),
            "{path}"
        );
        let tag = reply.header("etag").to_owned();
        assert!(
            tag.starts_with('"') && tag.ends_with('"') && tag.len() == 18,
            "{path}: {tag}"
        );
        for known in [
            tag.clone(),
            format!("W/{tag}"),
            format!("\"x\", {tag}"),
            "*".to_owned(),
        ] {
            for method in ["GET", "HEAD"] {
                let again = send((method, path), &[("if-none-match", &known)], "").await;
                assert_eq!((again.status, again.body.len()), (304, 0), "{path} {known}");
                assert_eq!(again.header("etag"), tag, "{path}");
                assert_eq!(again.header("cache-control"), reply.header("cache-control"));
                assert_eq!(again.header("vary"), reply.header("vary"));
                assert_eq!(again.header("content-type"), "", "{path}");
            }
        }
        let other = send(
            ("GET", path),
            &[("if-none-match", "\"0123456789abcdef\"")],
            "",
        )
        .await;
        assert_eq!((other.status, other.body), (200, reply.body), "{path}");
    }
}

#[tokio::test]
async fn head_says_what_get_would_say_without_saying_it() {
    for path in KEPT.iter().chain(&["/livez", "/version", "/docs/"]) {
        let get = send(("GET", path), &[], "").await;
        let head = send(("HEAD", path), &[], "").await;
        assert_eq!((head.status, head.body.len()), (200, 0), "{path}");
        for name in ["etag", "content-type", "cache-control", "content-length"] {
            assert_eq!(head.header(name), get.header(name), "{path} {name}");
        }
    }
}

#[tokio::test]
async fn what_changes_or_fails_is_not_kept() {
    for (method, path) in [
        ("GET", "/livez"),
        ("GET", "/metrics"),
        ("GET", "/v1/nothing"),
        ("GET", "/problems/nothing"),
        ("GET", "/docs/nothing.js"),
        ("DELETE", "/v1/sources"),
    ] {
        let reply = send((method, path), &[("if-none-match", "*")], "").await;
        assert_ne!(reply.status, 304, "{path}");
        assert_eq!(reply.header("cache-control"), "no-store", "{path}");
        assert_eq!(reply.header("etag"), "", "{path}");
    }
    let reply = send_json(
        ("POST", "/v1/ratio"),
        &[("if-none-match", "*")],
        r#"{"dose_g":18,"brew_ratio":2}"#,
    )
    .await;
    assert_eq!(
        (reply.status, reply.header("cache-control")),
        (200, "no-store")
    );
}

#[tokio::test]
async fn the_tag_is_that_of_the_body_alone() {
    let json = |accept| async move {
        send_json(
            ("QUERY", "/v1/ratio"),
            &[("accept", accept)],
            r#"{"dose_g":18,"brew_ratio":2}"#,
        )
        .await
    };
    let (one, two, other) = (
        json("application/json").await,
        json("*/*").await,
        json("text/csv").await,
    );
    assert_eq!(one.header("etag"), two.header("etag"));
    assert_ne!(one.header("etag"), other.header("etag"));
}
