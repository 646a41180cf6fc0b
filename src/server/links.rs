//! Where a machine finds the description of the service: link headers (RFC 8288, RFC 8631) and
//! the catalogue at the well-known place (RFC 9727).

use actix_web::HttpResponse;
use actix_web::http::header::HeaderValue;
use serde_json::{Value, json};

/// Links that every response carries.
pub(super) const FOR_ALL: HeaderValue = HeaderValue::from_static(
    "</openapi.json>; rel=\"service-desc\"; type=\"application/json\", \
     </docs/>; rel=\"service-doc\"; type=\"text/html\", </readyz>; rel=\"status\"",
);

/// Media type of the catalogue.
pub(super) const LINKSET: &str =
    "application/linkset+json; profile=\"https://www.rfc-editor.org/info/rfc9727\"";

/// The catalogue: one service, its descriptions and its state.
pub(super) fn catalogue() -> Value {
    let link = |href: &str, media_type: &str| json!({"href": href, "type": media_type});
    json!({"linkset": [{
        "anchor": "/v1",
        "service-desc": [
            link("/openapi.json", "application/json"),
            link("/openapi.yaml", "application/yaml"),
        ],
        "service-doc": [link("/docs/", "text/html")],
        "service-meta": [link("/v1", "application/json")],
        "status": [link("/readyz", "text/plain")],
    }]})
}

/// The page of the catalogue.
pub(super) fn page() -> HttpResponse {
    HttpResponse::Ok()
        .content_type(LINKSET)
        .body(catalogue().to_string())
}
