//! Entity tags and how long an answer may be kept.

use actix_web::http::header::{CACHE_CONTROL, HeaderMap, HeaderValue, IF_NONE_MATCH};
use twox_hash::XxHash3_64;

use super::negotiate::joined;

/// An answer that is the same tomorrow.
pub(super) const A_DAY: &str = "public, max-age=86400";
/// An answer that changes with the next version of the program.
pub(super) const FIVE_MINUTES: &str = "public, max-age=300";

/// Keeps an answer out of shared caches, since a key was needed to get it.
pub(super) fn make_private(headers: &mut HeaderMap) {
    let Some(value) = headers.get_mut(CACHE_CONTROL) else {
        return;
    };
    let age = value
        .to_str()
        .ok()
        .and_then(|text| text.strip_prefix("public"));
    if let Some(private) = age.and_then(|age| HeaderValue::try_from(format!("private{age}")).ok()) {
        *value = private;
    }
}

/// The tag of a body: a fixed function of its bytes, the same on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Tag(u64);

impl Tag {
    /// The tag of these bytes (XXH3, 64 bits, seed 0).
    pub(super) fn of(body: &[u8]) -> Self {
        Self(XxHash3_64::oneshot(body))
    }

    /// The header for the body as it is, or for a compressed copy of it.
    pub(super) fn header(self, is_weak: bool) -> Option<HeaderValue> {
        let weak = if is_weak { "W/" } else { "" };
        HeaderValue::try_from(format!("{weak}\"{:016x}\"", self.0)).ok()
    }

    /// Whether the caller has this body already (weak comparison, RFC 9110 section 13.1.2).
    pub(super) fn is_known(self, headers: &HeaderMap) -> bool {
        if !headers.contains_key(IF_NONE_MATCH) {
            return false;
        }
        let ours = format!("\"{:016x}\"", self.0);
        let given = joined(headers, &IF_NONE_MATCH);
        // a comma inside a tag of somebody else splits it in two, neither of which is ours
        given
            .split(',')
            .map(str::trim)
            .any(|tag| tag == "*" || tag.strip_prefix("W/").unwrap_or(tag) == ours)
    }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{CACHE_CONTROL, HeaderMap, HeaderValue, IF_NONE_MATCH};

    use super::{A_DAY, Tag, make_private};

    #[test]
    fn what_a_key_opens_stays_with_its_holder() {
        let mut headers = HeaderMap::new();
        for (given, expected) in [
            (HeaderValue::from_static(A_DAY), "private, max-age=86400"),
            (HeaderValue::from_static("no-store"), "no-store"),
        ] {
            headers.insert(CACHE_CONTROL, given);
            make_private(&mut headers);
            assert_eq!(headers.get(CACHE_CONTROL).unwrap(), expected);
        }
    }

    /// XXH3 64 bits of no bytes with seed 0, as the specification's reference code gives it.
    #[test]
    fn the_hash_is_the_published_one() {
        assert_eq!(Tag::of(b"").0, 0x2D06_8005_38D3_94C2);
    }

    #[test]
    fn a_known_tag_is_found_in_any_spelling() {
        let tag = Tag::of(b"{}");
        let strong = tag.header(false).unwrap().to_str().unwrap().to_owned();
        for (given, expected) in [
            (strong.clone(), true),
            (format!("W/{strong}"), true),
            (format!("\"other\", {strong}"), true),
            ("*".to_owned(), true),
            ("\"other\"".to_owned(), false),
            (strong.replace('"', ""), false),
            (String::new(), false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert(IF_NONE_MATCH, HeaderValue::from_str(&given).unwrap());
            assert_eq!(tag.is_known(&headers), expected, "{given}");
        }
    }
}
