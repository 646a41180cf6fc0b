//! Which pages of other origins may call the service from a browser.

use actix_cors::Cors;

use super::settings::Origins;

/// Methods that a page may use.
const METHODS: [&str; 5] = ["GET", "HEAD", "POST", "QUERY", "OPTIONS"];
/// Headers of answers that a page may read, besides those that it always may.
const EXPOSED: [&str; 10] = [
    "ETag",
    "Retry-After",
    "RateLimit",
    "RateLimit-Policy",
    "X-Request-Id",
    "Server-Timing",
    "Deprecation",
    "Link",
    "Content-Location",
    "Accept-Query",
];
/// Seconds for which a browser may remember a preflight.
const REMEMBERED: usize = 86_400;

/// The layer that answers preflights and marks what pages may read.
///
/// The answer to any other request is the same for every origin, and a browser keeps it from a
/// page that is not allowed; so a call from elsewhere is not refused, and costs nothing.
pub(super) fn layer(origins: &Origins) -> Cors {
    let cors = Cors::default()
        .allowed_methods(METHODS)
        .allow_any_header()
        .expose_headers(EXPOSED)
        .max_age(REMEMBERED)
        .block_on_origin_mismatch(false)
        // the envelope writes it
        .disable_vary_header();
    match origins {
        Origins::Any => cors.allow_any_origin().send_wildcard(),
        Origins::Listed(list) => list
            .iter()
            .fold(cors, |cors, origin| cors.allowed_origin(origin)),
    }
}
