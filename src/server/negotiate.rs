//! What a caller accepts: media types and content codings with their weights (RFC 9110,
//! sections 12.4 and 12.5).

use actix_web::http::header::{ACCEPT, ACCEPT_ENCODING, HeaderMap};

use crate::api::problem::{Problem, ProblemCode};

/// The best of the media types on offer, the earlier one where two are liked equally.
///
/// A missing or empty `Accept` takes anything. Parts that cannot be read are passed over.
///
/// # Errors
/// 406 with the types on offer when the caller accepts none of them.
pub fn media_type<T: Copy>(
    headers: &HeaderMap,
    offers: &[(&'static str, T)],
) -> Result<T, Problem> {
    let mut lines = headers.get_all(ACCEPT);
    let (first, second) = (lines.next(), lines.next());
    if let Some((name, offer)) = offers.first() {
        let is_plain = match (first, second) {
            (None, _) => true,
            (Some(line), None) => line == "*/*" || line == name,
            (Some(_), Some(_)) => false,
        };
        if is_plain {
            return Ok(*offer);
        }
    }
    let text = joined(headers, &ACCEPT);
    if text.trim().is_empty()
        && let Some((_, offer)) = offers.first()
    {
        return Ok(*offer);
    }
    let mut best = None;
    for (name, offer) in offers {
        let weight = weight_of_type(&text, name);
        if weight > 0.0 && best.is_none_or(|(most, _)| weight > most) {
            best = Some((weight, *offer));
        }
    }
    best.map(|(_, offer)| offer)
        .ok_or_else(|| not_acceptable(offers))
}

fn not_acceptable<T>(offers: &[(&'static str, T)]) -> Problem {
    let names: Vec<_> = offers.iter().map(|(name, _)| *name).collect();
    Problem::new(
        ProblemCode::NotAcceptable,
        format!("on offer are {}", names.join(", ")),
    )
}

/// Whether gzip is accepted, and not less than the body as it is.
#[must_use]
pub fn accepts_gzip(headers: &HeaderMap) -> bool {
    if !headers.contains_key(ACCEPT_ENCODING) {
        return false;
    }
    let text = joined(headers, &ACCEPT_ENCODING);
    let named = |names: &[&str]| {
        elements(&text)
            .find(|(name, _)| names.iter().any(|known| name.eq_ignore_ascii_case(known)))
            .map(|(_, weight)| weight)
    };
    let gzip = named(&["gzip", "x-gzip"]).or_else(|| named(&["*"]));
    let as_it_is = named(&["identity"]).unwrap_or(0.0);
    gzip.is_some_and(|weight| weight > 0.0 && weight >= as_it_is)
}

/// All lines of a header that holds a list.
pub(super) fn joined(headers: &HeaderMap, name: &actix_web::http::header::HeaderName) -> String {
    let lines: Vec<_> = headers
        .get_all(name)
        .filter_map(|line| line.to_str().ok())
        .collect();
    lines.join(",")
}

/// Weight of a media type: that of the most specific range that holds it, else zero.
fn weight_of_type(accept: &str, offered: &str) -> f64 {
    let mut found = (0, 0.0);
    for (range, weight) in elements(accept) {
        let rank = specificity(range, offered);
        if rank > found.0 {
            found = (rank, weight);
        }
    }
    found.1
}

/// How narrowly a range holds a type: 3 for the type itself, 2 for `type/*`, 1 for `*/*`, 0 when
/// it does not.
fn specificity(range: &str, offered: &str) -> u8 {
    // a lone star is what some old clients send
    let (kind, subtype) = match range.split_once('/') {
        Some(parts) => parts,
        None if range == "*" => ("*", "*"),
        None => return 0,
    };
    let (offered_kind, offered_subtype) = offered.split_once('/').unwrap_or((offered, ""));
    match (kind, subtype) {
        ("*", "*") => 1,
        (kind, "*") if kind.eq_ignore_ascii_case(offered_kind) => 2,
        (kind, subtype)
            if kind.eq_ignore_ascii_case(offered_kind)
                && subtype.eq_ignore_ascii_case(offered_subtype) =>
        {
            3
        }
        _ => 0,
    }
}

/// The elements of a list and their weights; one with a weight that is none is left out.
fn elements(list: &str) -> impl Iterator<Item = (&str, f64)> {
    list.split(',').filter_map(|element| {
        let mut parts = element.split(';').map(str::trim);
        let name = parts.next().filter(|name| !name.is_empty())?;
        let weight = parts.find_map(|part| {
            let (name, value) = part.split_once('=')?;
            name.trim().eq_ignore_ascii_case("q").then(|| value.trim())
        });
        let weight = match weight {
            None => 1.0,
            Some(text) => text.parse().ok().filter(|q| (0.0..=1.0).contains(q))?,
        };
        Some((name, weight))
    })
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{ACCEPT, ACCEPT_ENCODING, HeaderMap, HeaderName, HeaderValue};

    use super::{accepts_gzip, media_type};

    const OFFERS: [(&str, char); 3] = [
        ("application/json", 'j'),
        ("text/csv", 'c'),
        ("text/plain", 't'),
    ];

    fn headers(name: HeaderName, lines: &[&str]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for line in lines {
            headers.append(name.clone(), HeaderValue::from_str(line).unwrap());
        }
        headers
    }

    #[test]
    fn the_most_specific_range_decides_and_the_earlier_offer_wins_a_tie() {
        for (accept, expected) in [
            ("*/*", Some('j')),
            ("", Some('j')),
            ("text/*", Some('c')),
            ("text/plain, text/*;q=0.5", Some('t')),
            ("text/csv;q=0.5, application/json;q=0.4", Some('c')),
            ("application/json;q=0, */*;q=0.1", Some('c')),
            ("TEXT/CSV; header=present", Some('c')),
            ("text/html, *; q=.2, */*; q=.2", Some('j')),
            ("text/html", None),
            ("image/png", None),
            ("*/*;q=0", None),
            ("*/*;q=2", None),
            ("garbage", None),
            (";;,,;", None),
        ] {
            let found = media_type(&headers(ACCEPT, &[accept]), &OFFERS);
            assert_eq!(found.ok(), expected, "{accept}");
        }
        assert_eq!(media_type(&HeaderMap::new(), &OFFERS).ok(), Some('j'));
        let two = headers(ACCEPT, &["text/html", "text/plain"]);
        assert_eq!(media_type(&two, &OFFERS).ok(), Some('t'));
    }

    #[test]
    fn gzip_is_sent_only_to_those_who_want_it() {
        for (accept, expected) in [
            ("gzip", true),
            ("gzip, deflate, br, zstd", true),
            ("br, x-gzip;q=0.1", true),
            ("*", true),
            ("", false),
            ("br", false),
            ("gzip;q=0", false),
            ("*, gzip;q=0", false),
            ("identity, gzip;q=0.5", false),
            ("gzip;q=nonsense", false),
        ] {
            let found = accepts_gzip(&headers(ACCEPT_ENCODING, &[accept]));
            assert_eq!(found, expected, "{accept}");
        }
        assert!(!accepts_gzip(&HeaderMap::new()));
    }
}
