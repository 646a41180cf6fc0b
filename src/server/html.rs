//! Plain pages for a person with a browser: text, headings and links, no script.

use actix_web::HttpResponse;
use actix_web::http::header::CONTENT_SECURITY_POLICY;

/// Media type of a page.
pub(super) const TYPE: &str = "text/html; charset=utf-8";

/// What a page may load: its own style and nothing else.
const STYLED: &str =
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

/// A text in which no character has a meaning to a browser.
pub(super) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
        .replace('\'', "&#39;")
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
    use super::{escaped, with_code};

    #[test]
    fn nothing_in_a_text_reaches_the_browser_as_markup() {
        assert_eq!(
            escaped("<a b=\"c\">&'"),
            "&lt;a b=&quot;c&quot;&gt;&amp;&#39;"
        );
        assert_eq!(
            with_code("send `<x>` now"),
            "send <code>&lt;x&gt;</code> now"
        );
    }
}
