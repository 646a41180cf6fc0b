//! The document as it is sent, written when it is first asked for: writing it takes longer than
//! all else that a start does, and more memory than a replica needs that is never asked.

use std::sync::{Arc, OnceLock};

use actix_web::web::Bytes;

use super::StartError;
use super::document;
use crate::api::problem::Problem;
use crate::api::registry::Entry;

/// The document in its two forms, once it is written.
#[derive(Debug, Clone, Default)]
pub(super) struct Written(Arc<OnceLock<Result<Texts, String>>>);

#[derive(Debug)]
struct Texts {
    json: Bytes,
    yaml: Bytes,
}

impl Written {
    /// Writes the document where no other caller waits for it.
    pub(super) async fn prepare(&self, registry: &'static [Entry]) {
        if self.0.get().is_some() {
            return;
        }
        let written = self.clone();
        let writing = tokio::task::spawn_blocking(move || {
            written.fill(registry);
        });
        // a writer that was stopped leaves nothing, and whoever reads says so
        let _ = writing.await;
    }

    fn fill(&self, registry: &'static [Entry]) {
        let written = || texts(registry).map_err(|error| error.to_string());
        self.0.get_or_init(written);
    }

    /// The document as JSON.
    ///
    /// # Errors
    /// 500 when it could not be written, which is a mistake of ours.
    pub(super) fn json(&self) -> Result<Bytes, Problem> {
        self.texts().map(|texts| texts.json.clone())
    }

    /// The document as YAML.
    ///
    /// # Errors
    /// As [`Self::json`].
    pub(super) fn yaml(&self) -> Result<Bytes, Problem> {
        self.texts().map(|texts| texts.yaml.clone())
    }

    fn texts(&self) -> Result<&Texts, Problem> {
        match self.0.get() {
            Some(Ok(texts)) => Ok(texts),
            Some(Err(reason)) => Err(Problem::internal(reason.clone())),
            None => Err(Problem::internal("the document was not written")),
        }
    }
}

fn texts(registry: &'static [Entry]) -> Result<Texts, StartError> {
    let document = document::of(registry);
    Ok(Texts {
        json: document::json(&document)?.into(),
        yaml: document::yaml(&document)?.into(),
    })
}
