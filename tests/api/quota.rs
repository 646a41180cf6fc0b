//! Quotas: how often one caller may call.

use reqwest::Method;

use crate::support::served::{Reply, post_json, send, serve};
use crate::support::shared;
use crate::support::standin::REGISTRY;

/// One call a second, five at once: refilling cannot disturb a test that is not very slow.
const SLOW: [&str; 4] = ["--rate-per-second", "1", "--rate-burst", "5"];

async fn sources(base: &str, headers: &[(&str, &str)]) -> Reply {
    send(Method::GET, &format!("{base}/v1/sources"), headers, "").await
}

/// Calls until refused; how many were answered, and the refusal.
async fn exhaust(base: &str, headers: &[(&str, &str)]) -> (u32, Reply) {
    for answered in 0..50 {
        let reply = sources(base, headers).await;
        if reply.status != 200 {
            return (answered, reply);
        }
    }
    panic!("fifty calls were answered");
}

/// The number of a parameter in a structured field: `r` in `"calls";r=4;t=1`.
fn parameter(field: &str, name: &str) -> u32 {
    let start = format!("{name}=");
    let value = field.split(';').find_map(|part| part.strip_prefix(&start));
    value
        .unwrap_or_else(|| panic!("{name} in {field}"))
        .parse()
        .expect("a number")
}

#[tokio::test]
async fn every_answer_says_how_the_caller_stands_and_the_last_one_when_to_come_back() {
    let base = serve(&SLOW, &REGISTRY);
    let reply = sources(&base, &[]).await;
    assert_eq!(reply.header("ratelimit-policy"), "\"calls\";q=5;w=5");
    assert_eq!(parameter(reply.header("ratelimit"), "r"), 4);
    assert_eq!(parameter(reply.header("ratelimit"), "t"), 1);
    let wrong = post_json(&format!("{base}/v1/ratio"), "{").await;
    assert_eq!(wrong.status, 400);
    assert!(wrong.headers.contains_key("ratelimit"), "problems too");
    let (answered, refused) = exhaust(&base, &[]).await;
    // one call comes back for every second that this took
    assert!((3..20).contains(&answered), "{answered}");
    refused.assert_problem(429, "quota_exceeded");
    assert_eq!(refused.retry_after(), 1);
    assert_eq!(parameter(refused.header("ratelimit"), "r"), 0);
    assert_eq!(refused.header("ratelimit-policy"), "\"calls\";q=5;w=5");
    let probe = send(Method::GET, &format!("{base}/livez"), &[], "").await;
    assert_eq!(probe.status, 200);
}

#[tokio::test]
async fn a_forged_address_helps_nobody_and_a_trusted_proxy_is_believed() {
    let from = |number: u32| format!("198.51.100.{number}");
    let base = serve(&SLOW, &REGISTRY);
    exhaust(&base, &[]).await;
    let mut refused = 0;
    for number in 1..20 {
        let reply = sources(&base, &[("x-forwarded-for", &from(number))]).await;
        refused += u32::from(reply.status == 429);
    }
    assert!(refused > 5, "{refused}");
    let trusting = [&SLOW[..], &["--trusted-proxies", "127.0.0.0/8,::1/128"]].concat();
    let base = serve(&trusting, &REGISTRY);
    for number in 1..20 {
        let forwarded = format!("203.0.113.99, {}", from(number));
        let reply = sources(&base, &[("x-forwarded-for", &forwarded)]).await;
        assert_eq!(reply.status, 200, "{number}");
    }
    // the same caller under a new false name each time
    let mut refused = 0;
    for number in 1..20 {
        let forwarded = format!("203.0.113.{number}, {}", from(50));
        let reply = sources(&base, &[("x-forwarded-for", &forwarded)]).await;
        refused += u32::from(reply.status == 429);
    }
    assert!(refused > 5, "{refused}");
}

#[tokio::test]
async fn one_key_cannot_use_up_what_another_has_and_keys_cannot_be_tried_without_end() {
    let name = format!("extraction-maths-{}-quota", std::process::id());
    let path = std::env::temp_dir().join(name);
    // FIPS 180-4 example `abc`; the empty message, which is no key, from the same values
    let abc = "a:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    // FIPS 180-4 example of two blocks
    let long = "b:248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1";
    std::fs::write(&path, format!("{abc}\n{long}\n")).expect("a file");
    let file = path.to_str().expect("UTF-8");
    let base = serve(&[&SLOW[..], &["--keys-file", file]].concat(), &REGISTRY);
    let _ = std::fs::remove_file(&path);
    let (_, refused) = exhaust(&base, &[("authorization", "Bearer abc")]).await;
    refused.assert_problem(429, "quota_exceeded");
    let other = "Bearer abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    let reply = sources(&base, &[("authorization", other)]).await;
    assert_eq!(reply.status, 200);
    assert_eq!(parameter(reply.header("ratelimit"), "r"), 4);
    let mut statuses = Vec::new();
    for guess in 0..20 {
        let reply = sources(&base, &[("authorization", &format!("Bearer {guess}"))]).await;
        statuses.push(reply.status);
    }
    assert!(
        statuses.contains(&401) && statuses.contains(&429),
        "{statuses:?}"
    );
}

#[tokio::test]
async fn a_batch_counts_as_its_calls_and_as_the_burst_at_most() {
    let base = serve(&["--rate-per-second", "1", "--rate-burst", "50"], &REGISTRY);
    let url = format!("{base}/v1/batch");
    let body = |calls: usize| {
        let call = r#"{"calculation":"ratio","request":{"dose_g":18,"brew_ratio":2}}"#;
        format!("{{\"calls\":[{}]}}", vec![call; calls].join(","))
    };
    let reply = post_json(&url, &body(10)).await;
    assert_eq!(reply.status, 200);
    let left = parameter(reply.header("ratelimit"), "r");
    assert!((40..45).contains(&left), "{left}");
    post_json(&url, &body(100))
        .await
        .assert_problem(429, "quota_exceeded");
}

#[tokio::test]
async fn without_a_quota_nothing_is_said_about_one() {
    let reply = sources(shared(), &[]).await;
    assert_eq!(reply.status, 200);
    assert!(!reply.headers.contains_key("ratelimit"));
    assert!(!reply.headers.contains_key("ratelimit-policy"));
}
