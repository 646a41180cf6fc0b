//! Requests with headers of one's own, and what comes back, untouched.

use reqwest::Method;
use reqwest::header::HeaderMap;
use serde_json::Value;

use super::shared;

/// An answer as it came.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Vec<u8>,
}

impl Reply {
    /// A header as text; empty when it is not there.
    pub(crate) fn header(&self, name: &str) -> &str {
        let value = self.headers.get(name);
        value.map_or("", |value| value.to_str().expect("ASCII"))
    }

    /// The body as text.
    pub(crate) fn text(&self) -> &str {
        std::str::from_utf8(&self.body).expect("UTF-8")
    }

    /// The body as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {self:?}"))
    }
}

/// Sends a request to the service at `base`; nothing is followed and nothing inflated.
pub(crate) async fn send_to(
    base: &str,
    (method, path): (&str, &str),
    headers: &[(&str, &str)],
    body: impl Into<reqwest::Body>,
) -> Reply {
    let client = reqwest::Client::builder()
        .no_proxy()
        .redirect(reqwest::redirect::Policy::none())
        .build()
        .expect("a client");
    let method = Method::from_bytes(method.as_bytes()).expect("a method");
    let mut request = client.request(method, format!("{base}{path}")).body(body);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let response = request.send().await.expect("an answer");
    Reply {
        status: response.status().as_u16(),
        headers: response.headers().clone(),
        body: response.bytes().await.expect("a body").to_vec(),
    }
}

/// Sends a request to the shared service.
pub(crate) async fn send(
    call: (&str, &str),
    headers: &[(&str, &str)],
    body: impl Into<reqwest::Body>,
) -> Reply {
    send_to(shared(), call, headers, body).await
}

/// Sends a JSON body to the shared service.
pub(crate) async fn send_json(call: (&str, &str), headers: &[(&str, &str)], body: &str) -> Reply {
    let headers = [headers, &[("content-type", "application/json")]].concat();
    send(call, &headers, body.to_owned()).await
}
