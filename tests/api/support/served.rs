//! Requests with headers of their own, and services with settings and calculations of their own.

use extraction_maths::api::registry::Entry;
use extraction_maths::server::settings::Settings;
use extraction_maths::server::start;
use reqwest::Method;
use reqwest::header::HeaderMap;
use serde_json::Value;

/// Starts a service in a thread of the test process, which ends with it.
pub(crate) fn serve(arguments: &[&str], registry: &'static [Entry]) -> String {
    serve_with_admin(arguments, registry).0
}

/// Starts a service as [`serve`] does; its address and that of its admin port.
pub(crate) fn serve_with_admin(
    arguments: &[&str],
    registry: &'static [Entry],
) -> (String, Option<String>) {
    let fixed = ["--listen", "127.0.0.1:0", "--workers", "2"];
    let settings = Settings::from_arguments(&[&fixed[..], arguments].concat()).expect("settings");
    let (sender, receiver) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        actix_web::rt::System::new().block_on(async move {
            let running = start(settings, registry).expect("a service that starts");
            sender
                .send((running.address, running.admin))
                .expect("a receiver");
            running.server.await
        })
    });
    let (address, admin) = receiver.recv().expect("an address");
    let url = |address| format!("http://{address}");
    (url(address), admin.map(url))
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) headers: HeaderMap,
    pub(crate) text: String,
    pub(crate) body: Value,
}

impl Reply {
    /// A header as text; empty when there is none.
    pub(crate) fn header(&self, name: &str) -> &str {
        let value = self.headers.get(name);
        value.map_or("", |value| value.to_str().expect("ASCII"))
    }

    /// Asserts a problem document with this status and code.
    #[track_caller]
    pub(crate) fn assert_problem(&self, status: u16, code: &str) {
        assert_eq!(self.status, status, "{}", self.text);
        assert_eq!(self.body["code"], code, "{}", self.text);
        assert_eq!(self.header("content-type"), "application/problem+json");
    }

    /// Seconds of `Retry-After`.
    #[track_caller]
    pub(crate) fn retry_after(&self) -> u32 {
        self.header("retry-after").parse().expect("seconds")
    }
}

/// A client that keeps its connections and asks no proxy.
pub(crate) fn http() -> reqwest::Client {
    reqwest::Client::builder()
        .no_proxy()
        .build()
        .expect("a client")
}

/// Sends a request with headers.
pub(crate) async fn send(method: Method, url: &str, headers: &[(&str, &str)], body: &str) -> Reply {
    let mut request = http().request(method, url).body(body.to_owned());
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let response = request.send().await.expect("an answer");
    let (status, headers) = (response.status().as_u16(), response.headers().clone());
    let text = response.text().await.expect("a body");
    Reply {
        status,
        headers,
        body: serde_json::from_str(&text).unwrap_or_default(),
        text,
    }
}

/// Posts JSON.
pub(crate) async fn post_json(url: &str, body: &str) -> Reply {
    let json = [("content-type", "application/json")];
    send(Method::POST, url, &json, body).await
}

/// The value of a metric by the start of its line.
pub(crate) async fn metric(base: &str, name: &str) -> f64 {
    let text = send(Method::GET, &format!("{base}/metrics"), &[], "")
        .await
        .text;
    let line = text.lines().find(|line| line.starts_with(name));
    let value = line.and_then(|line| line.rsplit(' ').next());
    value.map_or(0.0, |value| value.parse().expect("a number"))
}

/// Waits until a metric has a value; fails when it does not get it for long.
pub(crate) async fn await_metric(base: &str, name: &str, value: f64) {
    let wait = async {
        while (metric(base, name).await - value).abs() > 0.5 {
            tokio::task::yield_now().await;
        }
    };
    tokio::time::timeout(std::time::Duration::from_secs(6), wait)
        .await
        .unwrap_or_else(|_| panic!("{name} is not {value}"));
}
