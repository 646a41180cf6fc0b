//! Plain pages for a person with a browser: text, headings and links, no script.

use actix_web::HttpResponse;
use actix_web::http::header::CONTENT_SECURITY_POLICY;

pub(super) use crate::api::markup::escaped;

/// Media type of a page.
pub(super) const TYPE: &str = "text/html; charset=utf-8";

/// What a page may load: its own style and nothing else.
pub(super) const STYLED: &str =
    "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'";

/// A page with a title and a body that is HTML already.
pub(super) fn page(title: &str, body: &str) -> HttpResponse {
    let title = escaped(title);
    let text = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{title}</title>\n\
         <style>body{{font-family:system-ui,sans-serif;line-height:1.5;max-width:44rem;margin:2rem auto;padding:0 1rem}}\
         pre{{overflow-x:auto;border:1px solid;padding:1rem}}dt{{font-weight:bold;margin-top:.5rem}}</style>\n\
         </head>\n<body>\n<main>\n<h1>{title}</h1>\n{body}</main>\n</body>\n</html>\n"
    );
    HttpResponse::Ok()
        .content_type(TYPE)
        .insert_header((CONTENT_SECURITY_POLICY, STYLED))
        .body(text)
}

/// An escaped text in which what stands between backticks is set as code.
pub(super) fn with_code(text: &str) -> String {
    let parts = text.split('`').enumerate();
    parts
        .map(|(place, part)| {
            if place % 2 == 0 {
                escaped(part)
            } else {
                format!("<code>{}</code>", escaped(part))
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::with_code;

    #[test]
    fn what_stands_between_backticks_is_code_and_escaped() {
        assert_eq!(
            with_code("send `<x>` now"),
            "send <code>&lt;x&gt;</code> now"
        );
    }
}
