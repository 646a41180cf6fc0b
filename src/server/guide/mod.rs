//! `/docs/calculations`: a page for every calculation, written from the registry: formulas,
//! fields, answer, sources, cautions, and a call to try.

mod article;
mod fields;
mod frame;
mod trial;
mod working;

use std::sync::OnceLock;

use actix_web::HttpResponse;
use actix_web::http::header::CONTENT_SECURITY_POLICY;
use actix_web::web::Bytes;

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
#[derive(Debug)]
pub(super) struct Guide {
    registry: &'static [Entry],
    index: OnceLock<Bytes>,
    pages: Vec<OnceLock<Bytes>>,
}

impl Guide {
    pub(super) fn of(registry: &'static [Entry]) -> Self {
        Self {
            registry,
            index: OnceLock::new(),
            pages: registry.iter().map(|_| OnceLock::new()).collect(),
        }
    }

    fn index(&self) -> Bytes {
        let written = || article::index(self.registry).into();
        self.index.get_or_init(written).clone()
    }

    fn page(&self, name: &str) -> Option<Bytes> {
        let mut pages = self.registry.iter().zip(&self.pages);
        let (entry, page) = pages.find(|(entry, _)| entry.name == name)?;
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
    shown(asked.state.guide().index())
}

/// The page of one calculation.
pub(super) fn show_one(asked: &Asked<'_>) -> HttpResponse {
    let name = asked.request.match_info().get("name").unwrap_or_default();
    // the slash of a name is escaped by those who fill in a template
    let name = name.replace("%2F", "/").replace("%2f", "/");
    asked.state.guide().page(&name).map_or_else(
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
