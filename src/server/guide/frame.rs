//! What the pages have in common: head, way around, style and script, and what a browser may do.

use actix_web::HttpRequest;
use actix_web::HttpResponse;

use super::INDEX;
use crate::api::picture::theme::Theme;
use crate::api::problem::{Problem, ProblemCode};
use crate::server::failure;
use crate::server::html::escaped;

/// What a page may load: its own style, script and icon, and calls to this service.
pub(super) const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
    img-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// The files that the pages load: name, media type, text.
const FILES: [(&str, &str, &str); 4] = [
    (
        "guide.css",
        "text/css; charset=utf-8",
        include_str!("files/guide.css"),
    ),
    // colours and strokes of the pictures, which stand in the page without a style of their own
    ("chart.css", "text/css; charset=utf-8", Theme::Auto.style()),
    (
        "guide.js",
        "text/javascript; charset=utf-8",
        include_str!("files/guide.js"),
    ),
    (
        "guide.svg",
        "image/svg+xml",
        include_str!("files/guide.svg"),
    ),
];

/// A file that the pages load.
pub(in crate::server) async fn file(request: HttpRequest) -> HttpResponse {
    let asked = request.match_info().get("file").unwrap_or_default();
    match FILES.iter().find(|(name, ..)| *name == asked) {
        Some((_, media_type, text)) => HttpResponse::Ok().content_type(*media_type).body(*text),
        None => failure::response(Problem::new(
            ProblemCode::NotFound,
            "there is no such file; see /docs/",
        )),
    }
}

/// A whole page out of its title and the HTML of its main part.
pub(super) fn page(title: &str, main: &str) -> String {
    let title = escaped(title);
    format!(
        r##"<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title} · extraction-maths</title>
<link rel="icon" href="/docs/guide/guide.svg" type="image/svg+xml">
<link rel="stylesheet" href="/docs/guide/chart.css">
<link rel="stylesheet" href="/docs/guide/guide.css">
<script src="/docs/guide/guide.js" defer></script>
</head>
<body>
<a class="skip" href="#main">To the content</a>
<header>
<nav aria-label="Documentation">
<a href="{INDEX}">Calculations</a>
<a href="/docs/">All calls</a>
<a href="/problems">Problems</a>
<a href="/v1/sources">Sources</a>
<a href="/v1/cautions">Cautions</a>
</nav>
</header>
<main id="main">
{main}</main>
<footer><p>Hot water, steam and pressure injure: follow local codes, and leave pressure equipment to licensed service.</p></footer>
</body>
</html>
"##
    )
}

/// A section with its heading, to which `id` leads.
pub(super) fn section(id: &str, heading: &str, inside: &str) -> String {
    if inside.is_empty() {
        return String::new();
    }
    format!(
        "<section aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{}</h2>\n{inside}</section>\n",
        escaped(heading)
    )
}
