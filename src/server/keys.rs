//! Keys of callers: a file of ids and hashes, and how a presented key is held against it.
//!
//! The file holds one key a line, `id:hash`, where the hash is the SHA-256 of the key in 64
//! hexadecimal digits; empty lines and lines that begin with `#` are comments. Keys are random
//! and long, so that a plain hash of one tells nothing. Several keys may be valid at once: to
//! change a key, add the new line, let the caller change over, remove the old line.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use subtle::{Choice, ConditionallySelectable, ConstantTimeEq};
use thiserror::Error;

/// Longest id of a key in characters.
const LONGEST_ID: usize = 64;

/// Why a file of keys cannot be used.
#[derive(Debug, Error)]
pub enum KeysError {
    /// The file could not be read.
    #[error("cannot read the keys file {path}: {source}")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// A line is not a key.
    #[error("keys file {path}, line {line}: {reason}")]
    Line {
        /// The file.
        path: PathBuf,
        /// Number of the line, from 1.
        line: usize,
        /// What is wrong; never shows what stands in the line.
        reason: &'static str,
    },
    /// No line is a key, so that nobody could call.
    #[error("the keys file {path} holds no key")]
    Empty {
        /// The file.
        path: PathBuf,
    },
}

type Hash = [u8; 32];

/// The keys that are valid.
#[derive(Clone)]
pub struct Keys(Vec<(String, Hash)>);

impl std::fmt::Debug for Keys {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_list()
            .entries(self.0.iter().map(|(id, _)| id))
            .finish()
    }
}

impl Keys {
    /// The keys of a file.
    ///
    /// # Errors
    /// [`KeysError`], which names the line.
    pub fn read(path: &Path) -> Result<Self, KeysError> {
        let text = std::fs::read_to_string(path).map_err(|source| KeysError::Unreadable {
            path: path.to_owned(),
            source,
        })?;
        let mut keys = Self(Vec::new());
        for (place, line) in text.lines().enumerate() {
            let line = line.trim();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            keys.add(line).map_err(|reason| KeysError::Line {
                path: path.to_owned(),
                line: place + 1,
                reason,
            })?;
        }
        if keys.0.is_empty() {
            return Err(KeysError::Empty {
                path: path.to_owned(),
            });
        }
        Ok(keys)
    }

    fn add(&mut self, line: &str) -> Result<(), &'static str> {
        let (id, hash) = line.split_once(':').ok_or("`id:hash` is needed")?;
        let (id, hash) = (id.trim(), hash.trim());
        if !is_id(id) {
            return Err("an id is 1 to 64 of the letters A to Z and a to z, digits, `.`, `_`, `-`");
        }
        let hash = unhex(hash).ok_or("a hash is 64 hexadecimal digits: the SHA-256 of the key")?;
        if self.0.iter().any(|(other, _)| other == id) {
            return Err("an earlier line has this id");
        }
        if self.0.iter().any(|(_, other)| *other == hash) {
            return Err("an earlier line has this hash");
        }
        self.0.push((id.to_owned(), hash));
        Ok(())
    }

    /// The place of a presented key among the valid ones.
    ///
    /// Hashes what is presented and compares it with every valid hash, each in the same time,
    /// so that the time tells nothing about how near it came.
    #[must_use]
    pub fn find(&self, presented: &[u8]) -> Option<u32> {
        let hash: Hash = Sha256::digest(presented).into();
        let (mut found, mut place) = (Choice::from(0), 0_u32);
        for ((_, valid), this) in self.0.iter().zip(0_u32..) {
            let is_it = valid.ct_eq(&hash);
            place.conditional_assign(&this, is_it);
            found |= is_it;
        }
        bool::from(found).then_some(place)
    }

    /// The id of the key at a place.
    #[must_use]
    pub fn id(&self, place: u32) -> Option<&str> {
        let place = usize::try_from(place).ok()?;
        self.0.get(place).map(|(id, _)| id.as_str())
    }
}

/// Whether an id can stand in the file and in a log line as it is.
#[must_use]
pub fn is_id(id: &str) -> bool {
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"._-".contains(&byte);
    !id.is_empty() && id.len() <= LONGEST_ID && id.bytes().all(is_plain)
}

/// A fresh key of 256 random bits, and its line for the file.
///
/// # Errors
/// When the system gives no randomness.
pub fn fresh(id: &str) -> Result<(String, String), getrandom::Error> {
    let mut bytes = [0; 32];
    getrandom::fill(&mut bytes)?;
    let key = hex(&bytes);
    let hash: Hash = Sha256::digest(key.as_bytes()).into();
    let line = format!("{id}:{}", hex(&hash));
    Ok((key, line))
}

fn hex(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        // writing to a String cannot fail
        let _ = write!(text, "{byte:02x}");
    }
    text
}

fn unhex(text: &str) -> Option<Hash> {
    let digits = text.as_bytes();
    if digits.len() != 64 || !digits.iter().all(u8::is_ascii_hexdigit) {
        return None;
    }
    let mut hash = [0; 32];
    for (byte, pair) in hash.iter_mut().zip(digits.chunks(2)) {
        *byte = u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()?;
    }
    Some(hash)
}

#[cfg(test)]
mod tests {
    use super::{Keys, fresh};

    /// FIPS 180-4 example `abc`: the SHA-256 digest printed in NIST's example values.
    const OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn a_key_is_found_by_its_hash_alone() {
        let mut keys = Keys(Vec::new());
        keys.add(&format!("till:{OF_ABC}")).unwrap();
        let (key, line) = fresh("lab").unwrap();
        keys.add(&line.to_uppercase().replace("LAB", "lab"))
            .unwrap();
        assert_eq!(
            keys.find(b"abc").and_then(|place| keys.id(place)),
            Some("till")
        );
        assert_eq!(
            keys.find(key.as_bytes()).and_then(|place| keys.id(place)),
            Some("lab")
        );
        for wrong in [&b""[..], b"abd", b"ABC", OF_ABC.as_bytes()] {
            assert_eq!(keys.find(wrong), None);
        }
    }

    #[test]
    fn lines_that_are_no_keys_are_refused() {
        let mut keys = Keys(Vec::new());
        keys.add(&format!("till:{OF_ABC}")).unwrap();
        for line in [
            "till",
            ":",
            "a b:00",
            &format!("till:{}", "0".repeat(64)),
            &format!("other:{OF_ABC}"),
            &format!("other:{}", "g".repeat(64)),
            &format!("other:{}", "0".repeat(63)),
        ] {
            assert!(keys.add(line).is_err(), "{line}");
        }
    }

    #[test]
    fn fresh_keys_differ_and_debug_shows_no_hash() {
        let (one, other) = (fresh("a").unwrap(), fresh("a").unwrap());
        assert_ne!(one, other);
        assert_eq!(one.0.len(), 64, "256 bits");
        let mut keys = Keys(Vec::new());
        keys.add(&one.1).unwrap();
        assert_eq!(format!("{keys:?}"), "[\"a\"]");
    }
}
