//! Reading the body of a request: media type, size and time are checked before it is parsed.

use std::time::Duration;

use actix_web::HttpRequest;
use actix_web::http::header::{CONTENT_LENGTH, CONTENT_TYPE, HeaderMap};
use actix_web::web::{Bytes, BytesMut, Payload};
use futures_util::StreamExt;
use futures_util::future::{Either, poll_immediate, select};

use super::inflate::{self, Coding};
use super::settings::Settings;
use crate::api::problem::{Problem, ProblemCode};

/// The whole JSON body of a request, of `limit` bytes at most.
///
/// # Errors
/// 400 for none and for a broken compression, 408 when it comes too slowly, 413 when it is too large, 415 when it is not
/// JSON in UTF-8 or is compressed in a way that is not understood.
pub(super) async fn json(
    request: &HttpRequest,
    payload: Payload,
    settings: &Settings,
    limit: usize,
) -> Result<Bytes, Problem> {
    check_media_type(request.headers())?;
    whole(request, payload, settings, limit).await
}

/// The whole table of a request, whose media type is known; as [`json`] otherwise.
///
/// # Errors
/// As [`json`].
pub(super) async fn table(
    request: &HttpRequest,
    payload: Payload,
    settings: &Settings,
    limit: usize,
) -> Result<Bytes, Problem> {
    check_charset(request.headers())?;
    whole(request, payload, settings, limit).await
}

async fn whole(
    request: &HttpRequest,
    payload: Payload,
    settings: &Settings,
    limit: usize,
) -> Result<Bytes, Problem> {
    let headers = request.headers();
    let coding = inflate::coding(headers)?;
    let body = collect(payload, headers, limit, settings.body_deadline()).await?;
    match coding {
        Coding::Identity => Ok(body),
        Coding::Gzip | Coding::Deflate => inflate::inflated(&body, coding, limit),
    }
}

/// Refuses a body that is compressed.
pub(super) fn check_coding(headers: &HeaderMap) -> Result<(), Problem> {
    match inflate::coding(headers)? {
        Coding::Identity => Ok(()),
        Coding::Gzip | Coding::Deflate => Err(Problem::new(
            ProblemCode::UnsupportedContentEncoding,
            "send rows as they are, without a content coding",
        )),
    }
}

fn check_media_type(headers: &HeaderMap) -> Result<(), Problem> {
    let Some(value) = headers.get(CONTENT_TYPE) else {
        return if announces_no_body(headers) {
            Err(Problem::new(
                ProblemCode::EmptyBody,
                "the body is empty where a JSON object is needed",
            ))
        } else {
            Err(not_json("no media type is given"))
        };
    };
    if value.as_bytes() == b"application/json" {
        return Ok(());
    }
    let text = value
        .to_str()
        .map_err(|_| not_json("the media type is not plain ASCII"))?;
    let essence = text.split(';').next().unwrap_or_default().trim();
    if !essence.eq_ignore_ascii_case("application/json") {
        return Err(not_json("the media type is not application/json"));
    }
    check_charset(headers)
}

/// Refuses a body in another encoding than UTF-8.
pub(super) fn check_charset(headers: &HeaderMap) -> Result<(), Problem> {
    let given = headers.get(CONTENT_TYPE).and_then(|v| v.to_str().ok());
    for parameter in given.unwrap_or_default().split(';').skip(1) {
        let (name, value) = parameter.split_once('=').unwrap_or((parameter, ""));
        let charset = value.trim().trim_matches('"');
        if name.trim().eq_ignore_ascii_case("charset") && !charset.eq_ignore_ascii_case("utf-8") {
            return Err(Problem::new(
                ProblemCode::UnsupportedMediaType,
                "bodies are read as UTF-8 only",
            ));
        }
    }
    Ok(())
}

fn announces_no_body(headers: &HeaderMap) -> bool {
    let length = headers.get(CONTENT_LENGTH);
    let is_chunked = headers.contains_key(actix_web::http::header::TRANSFER_ENCODING);
    !is_chunked && length.is_none_or(|length| length.as_bytes() == b"0")
}

fn not_json(detail: &str) -> Problem {
    Problem::new(
        ProblemCode::UnsupportedMediaType,
        format!("{detail}; send application/json"),
    )
}

async fn collect(
    mut payload: Payload,
    headers: &HeaderMap,
    limit: usize,
    deadline: Duration,
) -> Result<Bytes, Problem> {
    let announced = headers
        .get(CONTENT_LENGTH)
        .and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if announced.is_some_and(|length| length > limit) {
        return Err(too_large(limit));
    }
    let mut timer = None;
    let Some(first) = next(&mut payload, &mut timer, deadline).await? else {
        return Ok(Bytes::new());
    };
    if announced == Some(first.len()) {
        return Ok(first);
    }
    let mut body = BytesMut::from(&first[..]);
    while let Some(chunk) = next(&mut payload, &mut timer, deadline).await? {
        if body.len() + chunk.len() > limit {
            return Err(too_large(limit));
        }
        body.extend_from_slice(&chunk);
    }
    if body.len() > limit {
        Err(too_large(limit))
    } else {
        Ok(body.freeze())
    }
}

/// Timer of a body, made only when a chunk has to be waited for, since most bodies arrive with
/// their head.
type Timer = Option<std::pin::Pin<Box<tokio::time::Sleep>>>;

async fn next(
    payload: &mut Payload,
    timer: &mut Timer,
    deadline: Duration,
) -> Result<Option<Bytes>, Problem> {
    let mut chunk = payload.next();
    let item = match poll_immediate(&mut chunk).await {
        Some(item) => item,
        None => {
            let timer = timer.get_or_insert_with(|| Box::pin(tokio::time::sleep(deadline)));
            match select(chunk, timer).await {
                Either::Left((item, _)) => item,
                Either::Right(_) => {
                    return Err(too_slow(deadline));
                }
            }
        }
    };
    item.transpose().map_err(|_| broken_off())
}

/// The problem of a body that comes too slowly.
pub(super) fn too_slow(deadline: Duration) -> Problem {
    Problem::new(
        ProblemCode::RequestTimeout,
        format!("the body did not arrive within {} s", deadline.as_secs()),
    )
}

/// The problem of a body that ends before its announced end.
pub(super) fn broken_off() -> Problem {
    // what the framework says of it is about its insides
    Problem::new(
        ProblemCode::InvalidEncoding,
        "the body broke off, or its chunks are not framed as HTTP asks",
    )
}

fn too_large(limit: usize) -> Problem {
    Problem::new(
        ProblemCode::BodyTooLarge,
        format!("the body may have {limit} bytes at most"),
    )
}
