//! The typed client that the command line and the tests share.

use std::time::Duration;

use reqwest::StatusCode;
use reqwest::header::CONTENT_TYPE;
use serde::de::DeserializeOwned;
use thiserror::Error;

use crate::api::calculation::Calculation;
use crate::api::problem::ProblemDocument;
use crate::api::provenance::Answer;

/// Time in which a connection must stand.
const CONNECT_DEADLINE: Duration = Duration::from_secs(2);
/// Time in which an answer must be there.
const ANSWER_DEADLINE: Duration = Duration::from_secs(30);

/// A client of one running service.
#[derive(Debug, Clone)]
pub struct Client {
    http: reqwest::Client,
    base: String,
}

/// Why there is no answer.
#[derive(Debug, Error)]
pub enum ClientError {
    /// The service refused the request.
    #[error("{}: {}", .0.code.as_str(), .0.detail)]
    Refused(Box<ProblemDocument>),
    /// The answer is neither the one expected nor a problem document.
    #[error("unexpected answer, status {status}: {detail}")]
    Unexpected {
        /// HTTP status.
        status: StatusCode,
        /// What could not be read.
        detail: String,
    },
    /// No answer came.
    #[error("no answer: {0}")]
    Transport(#[from] reqwest::Error),
}

impl Client {
    /// A client of the service at `base`, such as `http://127.0.0.1:8080`.
    ///
    /// # Errors
    /// When the HTTP client cannot be made.
    pub fn new(base: &str) -> Result<Self, ClientError> {
        Ok(Self {
            // a service beside us is not behind the proxy of the environment
            http: reqwest::Client::builder()
                .connect_timeout(CONNECT_DEADLINE)
                .timeout(ANSWER_DEADLINE)
                .no_proxy()
                .build()?,
            base: base.trim_end_matches('/').to_owned(),
        })
    }

    /// The answer of a calculation.
    ///
    /// # Errors
    /// [`ClientError::Refused`] with the problem document when the service refuses.
    pub async fn compute<C: Calculation>(
        &self,
        request: &C::Request,
    ) -> Result<Answer<C::Response>, ClientError>
    where
        C::Response: DeserializeOwned,
    {
        let path = format!("/v1/{}", C::NAME);
        let sent = self.http.post(self.url(&path)).json(request).send().await?;
        let (status, body) = (sent.status(), sent.bytes().await?);
        read(status, &body)
    }

    /// Status and text of the answer to a body as it stands.
    ///
    /// # Errors
    /// [`ClientError::Transport`] when no answer came.
    pub async fn post(
        &self,
        path: &str,
        body: String,
    ) -> Result<(StatusCode, String), ClientError> {
        let request = self
            .http
            .post(self.url(path))
            .header(CONTENT_TYPE, "application/json");
        let sent = request.body(body).send().await?;
        Ok((sent.status(), sent.text().await?))
    }

    /// Status and text of a page.
    ///
    /// # Errors
    /// [`ClientError::Transport`] when no answer came.
    pub async fn get(&self, path: &str) -> Result<(StatusCode, String), ClientError> {
        let sent = self.http.get(self.url(path)).send().await?;
        Ok((sent.status(), sent.text().await?))
    }

    fn url(&self, path: &str) -> String {
        format!("{}{path}", self.base)
    }
}

fn read<T: DeserializeOwned>(status: StatusCode, body: &[u8]) -> Result<T, ClientError> {
    let unexpected = |error: serde_json::Error| ClientError::Unexpected {
        status,
        detail: error.to_string(),
    };
    if status.is_success() {
        return serde_json::from_slice(body).map_err(unexpected);
    }
    let problem = serde_json::from_slice(body).map_err(unexpected)?;
    Err(ClientError::Refused(Box::new(problem)))
}
