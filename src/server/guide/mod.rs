//! `/docs/calculations`: a page for every calculation, written from the registry: formulas,
//! fields, answer, sources, cautions, and a call to try.

mod article;
mod fields;
mod frame;
mod pictures;
mod trial;
mod working;

use std::sync::{Arc, OnceLock};

use actix_web::http::header::CONTENT_SECURITY_POLICY;
use actix_web::web::Bytes;
use actix_web::{HttpRequest, HttpResponse};

use super::page::{Asked, PageSchema, text};
use super::{failure, html};
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::{Entry, REGISTRY};

pub(super) use frame::file;

/// Path of the list of pages.
pub(super) const INDEX: &str = "/docs/calculations";
/// Route of one page, as in metrics and log.
pub(super) const ROUTE: &str = "/docs/calculations/{name}";
/// Route of the files that the pages load.
pub(super) const FILES: &str = "/docs/guide/{file}";

/// The pages of a service, each written when it is first asked for.
#[derive(Debug, Clone)]
pub(super) struct Guide(Arc<Pages>);

#[derive(Debug)]
struct Pages {
    registry: &'static [Entry],
    index: OnceLock<Bytes>,
    pages: Vec<OnceLock<Bytes>>,
}

impl Guide {
    pub(super) fn of(registry: &'static [Entry]) -> Self {
        Self(Arc::new(Pages {
            registry,
            index: OnceLock::new(),
            pages: registry.iter().map(|_| OnceLock::new()).collect(),
        }))
    }

    /// Writes the page that is asked for where no other caller waits for it, since its examples
    /// may be heavy.
    pub(super) async fn prepare(&self, request: &HttpRequest) {
        let name = name(request);
        if self
            .0
            .place(&name)
            .is_none_or(|(_, page)| page.get().is_some())
        {
            return;
        }
        let pages = Arc::clone(&self.0);
        let writing = tokio::task::spawn_blocking(move || pages.page(&name));
        // a writer that was stopped leaves nothing, and whoever asks writes it
        let _ = writing.await;
    }
}

impl Pages {
    fn place(&self, name: &str) -> Option<(&'static Entry, &OnceLock<Bytes>)> {
        let mut pages = self.registry.iter().zip(&self.pages);
        pages.find(|(entry, _)| entry.name == name)
    }

    fn index(&self) -> Bytes {
        let written = || article::index(self.registry).into();
        self.index.get_or_init(written).clone()
    }

    fn page(&self, name: &str) -> Option<Bytes> {
        let (entry, page) = self.place(name)?;
        Some(page.get_or_init(|| article::of(entry).into()).clone())
    }
}

/// Path of the page of a calculation.
pub(super) fn path(entry: &Entry) -> String {
    format!("{INDEX}/{}", entry.name)
}

/// All names, as they stand in a path.
pub(super) fn names() -> Vec<&'static str> {
    REGISTRY.iter().map(|entry| entry.name).collect()
}

/// The list.
pub(super) fn show_all(asked: &Asked<'_>) -> HttpResponse {
    shown(asked.state.guide().0.index())
}

/// The name that a path has.
fn name(request: &HttpRequest) -> String {
    let name = request.match_info().get("name").unwrap_or_default();
    // the slash of a name is escaped by those who fill in a template
    name.replace("%2F", "/").replace("%2f", "/")
}

/// The page of one calculation.
pub(super) fn show_one(asked: &Asked<'_>) -> HttpResponse {
    asked
        .state
        .guide()
        .0
        .page(&name(asked.request))
        .map_or_else(
            || {
                let detail = format!("there is no calculation of this name; {INDEX} lists all");
                failure::response(Problem::new(ProblemCode::NotFound, detail))
            },
            shown,
        )
}

fn shown(text: Bytes) -> HttpResponse {
    HttpResponse::Ok()
        .content_type(html::TYPE)
        .insert_header((CONTENT_SECURITY_POLICY, frame::POLICY))
        .body(text)
}

/// What the document says of a page.
pub(super) fn schema() -> PageSchema {
    text("<!doctype html>")
}
