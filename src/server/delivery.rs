//! The last step of a response: its entity tag, `304` for a caller who has it, and gzip.
//!
//! A body that is streamed passes untouched; so does a small one that nobody may keep.

use std::collections::HashMap;
use std::io::Write;
use std::sync::Mutex;

use actix_web::HttpResponse;
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::dev::ServiceResponse;
use actix_web::http::header::{
    CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, ETAG, HeaderMap, HeaderValue,
};
use actix_web::http::{Method, StatusCode};
use actix_web::web::Bytes;
use flate2::Compression;
use flate2::write::GzEncoder;

use super::caching::Tag;
use super::negotiate;

/// Bodies from this size on are compressed; a smaller one fits a packet as it is.
const COMPRESSED_FROM: u64 = 1024;
/// Pages from this size on are compressed once and kept.
const KEPT_FROM: usize = 16 * 1024;
/// Most pages kept: the files of the documentation and the documents.
const MOST_KEPT: usize = 64;

/// Finishes a response to a request of this method.
pub(super) fn deliver(
    response: ServiceResponse<BoxBody>,
    method: &Method,
    kept: &Kept,
) -> ServiceResponse<BoxBody> {
    let BodySize::Sized(size) = response.response().body().size() else {
        return response;
    };
    let is_tagged = response.status() == StatusCode::OK
        && *method != Method::POST
        && may_be_kept(response.headers());
    let is_compressed = size >= COMPRESSED_FROM
        && is_text(response.headers())
        && negotiate::accepts_gzip(response.request().headers());
    if !is_tagged && !is_compressed {
        return response;
    }
    let (request, response) = response.into_parts();
    let (mut head, body) = response.into_parts();
    let body = match body.try_into_bytes() {
        Ok(body) => body,
        Err(body) => return ServiceResponse::new(request, head.set_body(body)),
    };
    let tag = is_tagged.then(|| Tag::of(&body));
    if let Some(tag) = tag
        && let Some(header) = tag.header(is_compressed)
    {
        head.headers_mut().insert(ETAG, header);
        if tag.is_known(request.headers()) {
            return ServiceResponse::new(request, not_modified(head));
        }
    }
    if !is_compressed {
        return ServiceResponse::new(request, head.set_body(BoxBody::new(body)));
    }
    // only a page has no query, so what callers can invent is never kept
    let tag = tag.filter(|_| request.query_string().is_empty() && *method == Method::GET);
    let body = kept.compressed(tag, body);
    head.headers_mut()
        .insert(CONTENT_ENCODING, HeaderValue::from_static("gzip"));
    ServiceResponse::new(request, head.set_body(BoxBody::new(body)))
}

fn not_modified(mut head: HttpResponse<()>) -> HttpResponse<BoxBody> {
    *head.status_mut() = StatusCode::NOT_MODIFIED;
    head.headers_mut().remove(CONTENT_TYPE);
    head.set_body(BoxBody::new(()))
}

/// Whether a response says for how long it may be kept.
fn may_be_kept(headers: &HeaderMap) -> bool {
    headers
        .get(CACHE_CONTROL)
        .is_some_and(|value| value != "no-store")
}

/// Whether a body is text that nobody has compressed.
fn is_text(headers: &HeaderMap) -> bool {
    let media_type = headers
        .get(CONTENT_TYPE)
        .and_then(|value| value.to_str().ok());
    !headers.contains_key(CONTENT_ENCODING)
        && media_type.is_some_and(|media_type| {
            media_type.starts_with("text/")
                || ["json", "yaml", "javascript", "xml"]
                    .iter()
                    .any(|kind| media_type.contains(kind))
        })
}

/// Compressed copies of the larger pages.
#[derive(Debug, Default)]
pub(super) struct Kept(Mutex<HashMap<Tag, Bytes>>);

impl Kept {
    /// The body compressed; with a tag, from the copy that is kept.
    fn compressed(&self, tag: Option<Tag>, body: Bytes) -> Bytes {
        let Some(tag) = tag.filter(|_| body.len() >= KEPT_FROM) else {
            return gzip(&body, Compression::fast());
        };
        if let Some(copy) = self.with(|kept| kept.get(&tag).cloned()) {
            return copy;
        }
        // the lock is not held meanwhile: two threads may both do this once
        let copy = gzip(&body, Compression::default());
        self.with(|kept| {
            if kept.len() < MOST_KEPT {
                kept.insert(tag, copy.clone());
            }
        });
        copy
    }

    fn with<T>(&self, use_map: impl FnOnce(&mut HashMap<Tag, Bytes>) -> T) -> T {
        // a thread that panicked while it held the lock left a map that is still whole
        use_map(
            &mut self
                .0
                .lock()
                .unwrap_or_else(std::sync::PoisonError::into_inner),
        )
    }
}

fn gzip(body: &[u8], level: Compression) -> Bytes {
    let mut encoder = GzEncoder::new(Vec::with_capacity(body.len() / 3), level);
    // writing to a Vec does not fail
    let _ = encoder.write_all(body);
    encoder.finish().unwrap_or_default().into()
}
