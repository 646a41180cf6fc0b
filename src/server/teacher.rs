//! The teacher's key: who may see worked solutions.

use std::str::FromStr;

use actix_web::http::header::{CACHE_CONTROL, HeaderMap, HeaderName, HeaderValue};
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

use crate::api::solutions::Solutions;

/// The header that presents the key.
pub const HEADER: HeaderName = HeaderName::from_static("x-teacher-key");
/// Shortest key in characters: what is shorter is soon guessed.
const SHORTEST: usize = 8;

/// A teacher's key; only its hash is kept.
#[derive(Clone, PartialEq, Eq)]
pub struct TeacherKey([u8; 32]);

impl std::fmt::Debug for TeacherKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("TeacherKey(..)")
    }
}

impl FromStr for TeacherKey {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        if text.chars().count() < SHORTEST {
            return Err("a teacher's key has at least 8 characters");
        }
        if HeaderValue::from_str(text).is_err() {
            return Err("a teacher's key is sent in a header: printable ASCII characters only");
        }
        Ok(Self(Sha256::digest(text.as_bytes()).into()))
    }
}

/// Who may see solutions.
#[derive(Debug)]
pub(super) struct Teacher(Option<TeacherKey>);

impl Teacher {
    pub(super) fn new(key: Option<&TeacherKey>) -> Self {
        Self(key.cloned())
    }

    /// What the headers of a request open.
    pub(super) fn solutions_for(&self, headers: &HeaderMap) -> Solutions {
        let mut lines = headers.get_all(HEADER);
        match (lines.next(), lines.next()) {
            (Some(line), None) => self.solutions(Some(line.as_bytes())),
            (Some(_), Some(_)) | (None, _) => self.solutions(None),
        }
    }

    /// What a presented key opens; compared by hashes, in the same time whatever was sent.
    pub(super) fn solutions(&self, presented: Option<&[u8]>) -> Solutions {
        let Some(TeacherKey(valid)) = &self.0 else {
            return Solutions::Open;
        };
        let hash: [u8; 32] = Sha256::digest(presented.unwrap_or_default().trim_ascii()).into();
        if bool::from(valid.ct_eq(&hash)) {
            Solutions::WithKey
        } else {
            Solutions::Withheld
        }
    }
}

/// Where a key decides what an answer holds, nobody keeps the answer for another caller.
pub(super) fn keep_to_the_caller(solutions: Solutions, headers: &mut HeaderMap) {
    if solutions != Solutions::Open {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
}

#[cfg(test)]
mod tests {
    use super::{Teacher, TeacherKey};
    use crate::api::solutions::Solutions;

    #[test]
    fn a_key_opens_only_what_it_locks() {
        let key: TeacherKey = "cedar-lane-41".parse().unwrap();
        let teacher = Teacher::new(Some(&key));
        for (presented, expected) in [
            (Some(&b"cedar-lane-41"[..]), Solutions::WithKey),
            (Some(&b" cedar-lane-41 "[..]), Solutions::WithKey),
            (Some(&b"cedar-lane-4"[..]), Solutions::Withheld),
            (Some(&b""[..]), Solutions::Withheld),
            (None, Solutions::Withheld),
        ] {
            assert_eq!(teacher.solutions(presented), expected);
        }
        assert_eq!(Teacher::new(None).solutions(Some(b"any")), Solutions::Open);
    }

    #[test]
    fn short_and_unsendable_keys_are_refused_and_none_is_shown() {
        for wrong in ["", "1234567", "       a", "key with \u{1} in it"] {
            assert!(wrong.parse::<TeacherKey>().is_err(), "{wrong:?}");
        }
        let key: TeacherKey = "cedar-lane-41".parse().unwrap();
        assert_eq!(format!("{key:?}"), "TeacherKey(..)");
    }
}
