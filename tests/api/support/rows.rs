//! Short ways to send rows.

use serde_json::{Map, Value};

use super::shared;

/// A reply to rows.
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) media_type: String,
    pub(crate) text: String,
}

impl Reply {
    /// The body as a problem document.
    pub(crate) fn problem(&self) -> Value {
        serde_json::from_str(&self.text).expect("a problem document")
    }

    /// The rows as maps from column to cell, and the header.
    pub(crate) fn table(&self, delimiter: u8) -> (Vec<String>, Vec<Map<String, Value>>) {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .from_reader(self.text.as_bytes());
        let header = reader.headers().expect("a header").clone();
        let rows = reader.records().map(|record| {
            let record = record.expect("a row");
            let cells = header.iter().zip(record.iter());
            cells
                .map(|(name, cell)| (name.to_owned(), cell.into()))
                .collect()
        });
        let rows = rows.collect();
        (header.iter().map(str::to_owned).collect(), rows)
    }
}

/// The reply to a body by rows.
pub(crate) async fn send(
    path: &str,
    headers: &[(&str, &str)],
    body: impl Into<reqwest::Body>,
) -> Reply {
    let client = reqwest::Client::builder()
        .no_proxy()
        .build()
        .expect("a client");
    let mut request = client.post(format!("{}{path}", shared())).body(body);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let response = request.send().await.expect("an answer");
    Reply {
        status: response.status().as_u16(),
        media_type: response.headers()["content-type"]
            .to_str()
            .expect("ASCII")
            .to_owned(),
        text: response.text().await.expect("a text"),
    }
}

pub(crate) const CSV: &[(&str, &str)] = &[("content-type", "text/csv")];
pub(crate) const NDJSON: &[(&str, &str)] = &[("content-type", "application/x-ndjson")];

/// The reply of `ratio` to a table.
pub(crate) async fn csv(body: &str) -> Reply {
    send("/v1/ratio", CSV, body.to_owned()).await
}
