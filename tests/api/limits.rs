//! The limits that `/v1/capabilities` and the document name are the limits enforced.

use std::io::{Read, Write};

use extraction_maths::client::Client;
use reqwest::Method;
use serde_json::{Value, json};

use crate::support::served::{Reply, post_json, send, serve};
use crate::support::standin::REGISTRY;
use crate::support::{Service, faults};

struct Limited {
    base: String,
    capabilities: Value,
}

async fn limited(arguments: &[&str]) -> Limited {
    let base = serve(arguments, &REGISTRY);
    let url = format!("{base}/v1/capabilities");
    let capabilities = send(Method::GET, &url, &[], "").await.body;
    Limited { base, capabilities }
}

impl Limited {
    fn limit(&self, name: &str) -> usize {
        let value = self.capabilities["limits"][name].as_u64();
        let value = value.unwrap_or_else(|| panic!("{name} in {}", self.capabilities));
        usize::try_from(value).expect("a size")
    }

    async fn light(&self, body: &str) -> Reply {
        post_json(&format!("{}/v1/light", self.base), body).await
    }
}

/// `start`, filling up to a length, `end`.
fn filled(start: &str, end: &str, length: usize) -> String {
    format!(
        "{start}{}{end}",
        " ".repeat(length - start.len() - end.len())
    )
}

#[tokio::test]
async fn the_bodies_may_be_as_large_as_published_and_no_larger() {
    let service = limited(&["--body-limit", "2000"]).await;
    assert_eq!(service.limit("body_bytes"), 2000);
    assert_eq!(service.capabilities["calculations"][0]["body_bytes"], 2000);
    let body = |length| filled("{\"units\":", "1}", length);
    assert_eq!(service.light(&body(2000)).await.status, 200);
    service
        .light(&body(2001))
        .await
        .assert_problem(413, "body_too_large");
    let most = service.limit("batch_body_bytes");
    let url = format!("{}/v1/batch", service.base);
    let body = |length| filled("{\"calls\":[", "]}", length);
    assert_eq!(post_json(&url, &body(most)).await.status, 200);
    post_json(&url, &body(most + 1))
        .await
        .assert_problem(413, "body_too_large");
}

#[tokio::test]
async fn texts_lists_and_faults_are_as_many_as_published() {
    let service = limited(&[]).await;
    let text = |length| json!({"units": 1, "label": "é".repeat(length)}).to_string();
    let longest = service.limit("text_characters");
    assert_eq!(service.light(&text(longest)).await.status, 200);
    let reply = service.light(&text(longest + 1)).await;
    assert_eq!(
        faults(&reply.body),
        [("/label".to_owned(), "too_long".to_owned())]
    );
    let list = |length| json!({"units": 1, "list": vec![1; length]}).to_string();
    let most = service.limit("list_items");
    assert_eq!(service.light(&list(most)).await.status, 200);
    let reply = service.light(&list(most + 1)).await;
    assert_eq!(
        faults(&reply.body),
        [("/list".to_owned(), "too_many_items".to_owned())]
    );
    let wrong = json!({"units": 1, "list": vec![true; 1000]}).to_string();
    assert_eq!(
        faults(&service.light(&wrong).await.body).len(),
        service.limit("faults")
    );
    let url = format!("{}/openapi.json", service.base);
    let document = send(Method::GET, &url, &[], "").await.body;
    let schema = &document["components"]["schemas"]["StandInRequest"]["properties"];
    assert_eq!(schema["label"]["maxLength"], longest);
    assert_eq!(schema["list"]["maxItems"], most);
    let batch = &document["components"]["schemas"]["BatchRequest"]["properties"]["calls"];
    assert_eq!(batch["maxItems"], service.limit("batch_calls"));
}

#[tokio::test]
async fn the_answers_are_as_large_as_published() {
    let service = limited(&[]).await;
    let most = service.limit("response_bytes");
    let body = |filling: usize| json!({"units": 1, "filling": filling}).to_string();
    let reply = service.light(&body(most - 1000)).await;
    assert_eq!(reply.status, 200);
    assert!(reply.text.len() <= most);
    service
        .light(&body(most))
        .await
        .assert_problem(422, "work_too_large");
}

#[tokio::test]
async fn addresses_and_heads_are_as_long_as_published() {
    let service = limited(&[]).await;
    let longest = service.limit("uri_bytes");
    let url = |length: usize| {
        let path = "/v1/light?";
        format!("{}{path}{}", service.base, "x".repeat(length - path.len()))
    };
    let json = [("content-type", "application/json")];
    let body = r#"{"units":1}"#;
    let reply = send(Method::POST, &url(longest), &json, body).await;
    assert_ne!(reply.status, 414, "{}", reply.text);
    let reply = send(Method::POST, &url(longest + 1), &json, body).await;
    reply.assert_problem(414, "uri_too_long");
    let most = service.limit("header_bytes");
    let url = format!("{}/livez", service.base);
    let padded = |length: usize| {
        let url = url.clone();
        async move {
            let value = "x".repeat(length);
            send(Method::GET, &url, &[("x-padding", &value)], "").await
        }
    };
    assert_eq!(padded(most - 500).await.status, 200);
    let refused = padded(most).await;
    assert_eq!((refused.status, &refused.text[..]), (431, ""));
}

#[tokio::test]
async fn a_calculation_is_published_as_it_is_worked() {
    let service = limited(&["--compute-permits", "3"]).await;
    assert_eq!(service.limit("compute_permits"), 3);
    let calculations = service.capabilities["calculations"]
        .as_array()
        .expect("a list");
    assert_eq!(calculations.len(), REGISTRY.len());
    for (entry, published) in REGISTRY.iter().zip(calculations) {
        assert_eq!(published["name"], entry.name);
        let budget = published["cost_budget"].as_u64().expect("a number");
        assert_eq!(published["flat"], entry.is_flat(), "{}", entry.name);
        if entry.name == "ratio" {
            continue;
        }
        let body = json!({"units": budget + 1}).to_string();
        let reply = post_json(&format!("{}{}", service.base, entry.path()), &body).await;
        reply.assert_problem(422, "work_too_large");
    }
    assert_eq!(calculations[2]["deadline_s"], 1.0);
    assert_eq!(calculations[3]["deadline_s"], 10.0);
    assert_eq!(calculations[0].get("deadline_s"), None);
    assert_eq!(
        service.capabilities["access"],
        json!({"key_required": false})
    );
}

#[tokio::test]
async fn a_body_that_does_not_come_is_given_up_and_the_connection_closed() {
    let service = Service::start(&["--body-deadline", "1"]);
    let address = service.base.strip_prefix("http://").expect("a URL");
    let mut caller = std::net::TcpStream::connect(address).expect("a connection");
    let head = "POST /v1/batch HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: 100\r\n\r\n{";
    caller.write_all(head.as_bytes()).expect("sent");
    let mut answer = String::new();
    caller.read_to_string(&mut answer).expect("an end");
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(answer.contains("request_timeout"), "{answer}");
    let (status, _) = Client::new(&service.base)
        .expect("a client")
        .get("/livez")
        .await
        .expect("an answer");
    assert_eq!(status, 200);
}
