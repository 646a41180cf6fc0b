//! Compressed bodies of requests: a bounded amount of work, whatever was sent.

use std::io::{ErrorKind, Read};

use actix_web::http::header::{CONTENT_ENCODING, HeaderMap};
use actix_web::web::Bytes;
use flate2::bufread::{MultiGzDecoder, ZlibDecoder};

use crate::api::problem::{Problem, ProblemCode};

/// The content codings that a body may have, as a header.
pub(super) const CODINGS: &str = "gzip, deflate, identity";
/// A body may grow to this many times its size.
pub(super) const MOST_GROWTH: usize = 20;
/// A body may grow to this size in any case: small ones of few words shrink well, and do no harm.
const FREE_GROWTH: usize = 8 * 1024;

/// How the body of a request is compressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Coding {
    /// Not at all.
    Identity,
    /// RFC 1952.
    Gzip,
    /// RFC 1950, which HTTP calls deflate.
    Deflate,
}

/// The coding that the headers of a request name.
///
/// # Errors
/// 415 for one that is not known here, and for one on top of another.
pub(super) fn coding(headers: &HeaderMap) -> Result<Coding, Problem> {
    let mut lines = headers.get_all(CONTENT_ENCODING);
    let (first, second) = (lines.next(), lines.next());
    let Some(name) = first else {
        return Ok(Coding::Identity);
    };
    let is = |known: &str| name.as_bytes().eq_ignore_ascii_case(known.as_bytes());
    match second {
        None if is("identity") => Ok(Coding::Identity),
        None if is("gzip") || is("x-gzip") => Ok(Coding::Gzip),
        None if is("deflate") => Ok(Coding::Deflate),
        None | Some(_) => Err(Problem::new(
            ProblemCode::UnsupportedContentEncoding,
            format!("a body may be sent in one of {CODINGS}"),
        )),
    }
}

/// A body as it was before it was compressed.
///
/// # Errors
/// 413 when it grows over `limit` or too many times its size; 400 when it is not what its coding
/// says, or is cut short.
pub(super) fn inflated(body: &Bytes, coding: Coding, limit: usize) -> Result<Bytes, Problem> {
    if body.is_empty() {
        return Ok(Bytes::new());
    }
    let growth = body.len().saturating_mul(MOST_GROWTH).max(FREE_GROWTH);
    let most = limit.min(growth);
    let mut left: &[u8] = body;
    let plain = match coding {
        Coding::Identity => return Ok(body.clone()),
        Coding::Gzip => read(&mut MultiGzDecoder::new(&mut left), most)?,
        Coding::Deflate => read(&mut ZlibDecoder::new(&mut left), most)?,
    };
    if plain.len() > most {
        return Err(Problem::new(
            ProblemCode::BodyTooLarge,
            format!(
                "the body may have {limit} bytes at most when inflated, and {MOST_GROWTH} times what was sent"
            ),
        ));
    }
    if left.is_empty() {
        Ok(plain.into())
    } else {
        Err(broken("something follows the compressed body"))
    }
}

/// What a decoder gives, up to one byte more than `most`.
fn read(decoder: &mut dyn Read, most: usize) -> Result<Vec<u8>, Problem> {
    let mut plain = Vec::new();
    let bound = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    match decoder.take(bound).read_to_end(&mut plain) {
        Ok(_) => Ok(plain),
        Err(error) if error.kind() == ErrorKind::UnexpectedEof => {
            Err(broken("the compressed body is cut short"))
        }
        Err(_) => Err(broken("the body is not what its content coding says")),
    }
}

fn broken(detail: &str) -> Problem {
    Problem::new(ProblemCode::InvalidEncoding, detail)
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use actix_web::web::Bytes;
    use flate2::Compression;
    use flate2::bufread::MultiGzDecoder;
    use flate2::write::{GzEncoder, ZlibEncoder};
    use proptest::prelude::*;

    use super::{Coding, inflated, read};

    fn gzip(plain: &[u8]) -> Vec<u8> {
        let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
        encoder.write_all(plain).unwrap();
        encoder.finish().unwrap()
    }

    fn zlib(plain: &[u8]) -> Vec<u8> {
        let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
        encoder.write_all(plain).unwrap();
        encoder.finish().unwrap()
    }

    fn code(sent: Vec<u8>, coding: Coding) -> &'static str {
        match inflated(&Bytes::from(sent), coding, 100_000) {
            Ok(_) => "ok",
            Err(problem) => problem.code().as_str(),
        }
    }

    #[test]
    fn a_bomb_is_stopped_by_its_growth_and_by_the_limit() {
        assert_eq!(code(gzip(&vec![b' '; 8 * 1024]), Coding::Gzip), "ok");
        assert_eq!(
            code(gzip(&vec![b' '; 90_000]), Coding::Gzip),
            "body_too_large"
        );
        assert_eq!(
            code(zlib(&vec![b' '; 1_000_000]), Coding::Deflate),
            "body_too_large"
        );
    }

    #[test]
    fn no_more_is_inflated_than_may_be_kept() {
        let sent = gzip(&vec![b' '; 1_000_000]);
        let mut left = &sent[..];
        let plain = read(&mut MultiGzDecoder::new(&mut left), 1000).unwrap();
        assert_eq!(plain.len(), 1001, "one byte over says that there is more");
    }

    #[test]
    fn garbage_a_cut_and_a_tail_are_not_the_coding() {
        let whole = gzip(b"{\"dose_g\":18}");
        let cut = whole[..whole.len() - 3].to_vec();
        let tail = [whole.clone(), b"more".to_vec()].concat();
        let twice = [whole.clone(), whole.clone()].concat();
        assert_eq!(code(whole.clone(), Coding::Gzip), "ok");
        assert_eq!(code(twice, Coding::Gzip), "ok", "members follow each other");
        for sent in [cut, tail, b"{\"dose_g\":18}".to_vec()] {
            assert_eq!(code(sent, Coding::Gzip), "invalid_encoding");
        }
        let whole = zlib(b"{}");
        assert_eq!(
            code(whole[..4].to_vec(), Coding::Deflate),
            "invalid_encoding"
        );
        assert_eq!(
            code([whole, vec![0]].concat(), Coding::Deflate),
            "invalid_encoding"
        );
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic_or_grow_without_bound(sent in prop::collection::vec(any::<u8>(), 0..200)) {
            for coding in [Coding::Gzip, Coding::Deflate] {
                let plain = inflated(&Bytes::from(sent.clone()), coding, 100_000);
                prop_assert!(plain.is_ok_and(|plain| plain.len() <= 8 * 1024) || !sent.is_empty());
            }
        }

        #[test]
        fn what_was_compressed_comes_back(plain in prop::collection::vec(any::<u8>(), 0..3000)) {
            for (sent, coding) in [(gzip(&plain), Coding::Gzip), (zlib(&plain), Coding::Deflate)] {
                let back = inflated(&Bytes::from(sent), coding, 100_000).unwrap();
                prop_assert_eq!(&back[..], &plain[..]);
            }
        }
    }
}
