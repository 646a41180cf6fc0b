//! Everything that is served besides the calculations: one table, from which the routes and
//! their part of the document are made.

mod knowledge;
mod operation;

use actix_web::HttpResponse;

use super::failure;
use super::page::{JSON, Page};
use crate::api::encode;

/// Path of the counters, which an admin port takes away from the public one.
pub(super) const METRICS: &str = "/metrics";

/// Paths that an admin port answers.
pub(super) const ADMIN: [&str; 3] = [METRICS, "/livez", "/readyz"];

/// All pages, in the order of the document.
pub(super) fn all() -> impl Iterator<Item = &'static Page> {
    knowledge::ALL.iter().chain(operation::ALL)
}

/// A page that is one object with one list.
pub(super) fn listed<T: serde::Serialize>(name: &str, items: &[T]) -> HttpResponse {
    one(&std::collections::BTreeMap::from([(name, items)]))
}

/// A page that is one object.
pub(super) fn one<T: serde::Serialize>(item: &T) -> HttpResponse {
    let mut body = Vec::new();
    match encode::json(item, &mut body) {
        Ok(()) => HttpResponse::Ok().content_type(JSON).body(body),
        Err(problem) => failure::response(problem),
    }
}
