//! Compression both ways: what is sent compressed, and what compressed bodies may be.

use std::io::{Read, Write};

use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::{GzEncoder, ZlibEncoder};

use crate::support::http::{Reply, send};

const SHOT: &str = r#"{"dose_g":18,"brew_ratio":2}"#;

fn gzip(plain: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(plain).expect("a Vec takes all");
    encoder.finish().expect("a Vec takes all")
}

fn zlib(plain: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(plain).expect("a Vec takes all");
    encoder.finish().expect("a Vec takes all")
}

fn gunzip(body: &[u8]) -> Vec<u8> {
    let mut plain = Vec::new();
    GzDecoder::new(body).read_to_end(&mut plain).expect("gzip");
    plain
}

async fn post(coding: &str, body: Vec<u8>) -> Reply {
    let headers = [
        ("content-type", "application/json"),
        ("content-encoding", coding),
    ];
    send(("POST", "/v1/ratio"), &headers, body).await
}

#[tokio::test]
async fn a_large_page_is_sent_compressed_to_those_who_ask() {
    for path in [
        "/openapi.json",
        "/v1/sources",
        "/problems",
        "/docs/swagger-ui.css",
    ] {
        let plain = send(("GET", path), &[], "").await;
        assert_eq!(plain.header("content-encoding"), "", "{path}");
        // twice, since the second one may be a kept copy
        for _ in 0..2 {
            let small = send(("GET", path), &[("accept-encoding", "br, gzip;q=0.8")], "").await;
            assert_eq!(small.header("content-encoding"), "gzip", "{path}");
            assert!(small.body.len() < plain.body.len(), "{path}");
            assert_eq!(gunzip(&small.body), plain.body, "{path}");
            if path.starts_with("/docs/") {
                // a file that is compressed in the program has a tag of its own
                assert!(small.header("etag") != plain.header("etag"), "{path}");
            } else {
                let same = format!("W/{}", plain.header("etag"));
                assert_eq!(small.header("etag"), same, "{path}");
            }
            assert!(small.header("vary").contains("Accept-Encoding"));
            let known = [
                ("accept-encoding", "gzip"),
                ("if-none-match", small.header("etag")),
            ];
            assert_eq!(send(("GET", path), &known, "").await.status, 304, "{path}");
        }
        let refused = send(("GET", path), &[("accept-encoding", "gzip;q=0, br")], "").await;
        assert_eq!(refused.body, plain.body, "{path}");
    }
}

#[tokio::test]
async fn a_small_answer_is_sent_as_it_is() {
    let headers = [
        ("content-type", "application/json"),
        ("accept-encoding", "gzip"),
    ];
    let reply = send(("POST", "/v1/ratio"), &headers, SHOT).await;
    assert_eq!(reply.header("content-encoding"), "");
    assert!(reply.json()["dose_g"].is_number());
    assert!(
        reply.header("vary").contains("Accept-Encoding"),
        "another answer may be compressed"
    );
}

#[tokio::test]
async fn a_large_refusal_is_compressed_too() {
    let names: Vec<_> = (0..100).map(|n| format!("\"unheard_of_{n}\":1")).collect();
    let headers = [
        ("content-type", "application/json"),
        ("accept-encoding", "gzip"),
    ];
    let reply = send(
        ("POST", "/v1/ratio"),
        &headers,
        format!("{{{}}}", names.join(",")),
    )
    .await;
    assert_eq!(
        (reply.status, reply.header("content-encoding")),
        (422, "gzip")
    );
    let problem: serde_json::Value = serde_json::from_slice(&gunzip(&reply.body)).expect("JSON");
    assert_eq!(problem["code"], "validation_failed");
}

#[tokio::test]
async fn a_compressed_body_is_answered_as_the_plain_one() {
    let plain = post("identity", SHOT.into()).await;
    assert_eq!(plain.status, 200);
    for (coding, body) in [
        ("gzip", gzip(SHOT.as_bytes())),
        ("x-gzip", gzip(SHOT.as_bytes())),
        ("GZip", gzip(SHOT.as_bytes())),
        ("deflate", zlib(SHOT.as_bytes())),
    ] {
        let reply = post(coding, body).await;
        assert_eq!(reply.body, plain.body, "{coding}");
    }
}

#[tokio::test]
async fn a_body_that_is_not_what_its_coding_says_is_refused() {
    let whole = gzip(SHOT.as_bytes());
    let cut = whole[..whole.len() - 4].to_vec();
    let tail = [whole.clone(), b"{}".to_vec()].concat();
    for (coding, body) in [
        ("gzip", SHOT.as_bytes().to_vec()),
        ("gzip", cut),
        ("gzip", tail),
        ("gzip", zlib(SHOT.as_bytes())),
        ("deflate", whole),
    ] {
        let reply = post(coding, body).await;
        assert_eq!(reply.status, 400, "{coding}");
        assert_eq!(reply.json()["code"], "invalid_encoding");
    }
    let reply = post("gzip", gzip(b"")).await;
    assert_eq!(reply.json()["code"], "empty_body");
}

#[tokio::test]
async fn an_unknown_or_doubled_coding_is_told_which_ones_there_are() {
    for coding in ["foo", "gzip, gzip", "gzip, identity", "br", ""] {
        let reply = post(coding, SHOT.into()).await;
        assert_eq!(reply.status, 415, "{coding:?}");
        assert_eq!(reply.json()["code"], "unsupported_content_encoding");
        assert_eq!(reply.header("accept-encoding"), "gzip, deflate, identity");
    }
}

/// A hundred times the limit in a body far under it, and a small one that only grows too much.
#[tokio::test]
async fn a_bomb_is_refused() {
    let blanks = vec![b' '; 1 << 20];
    let mut encoder = GzEncoder::new(Vec::new(), Compression::fast());
    for _ in 0..25 {
        encoder.write_all(&blanks).expect("a Vec takes all");
    }
    let reply = post("gzip", encoder.finish().expect("a Vec takes all")).await;
    assert_eq!(reply.status, 413);
    assert_eq!(reply.json()["code"], "body_too_large");
    for (coding, body) in [
        ("gzip", gzip(&blanks[..100_000])),
        ("deflate", zlib(&blanks[..100_000])),
    ] {
        let reply = post(coding, body).await;
        assert_eq!(reply.status, 413, "a growth of a hundred times");
    }
}
