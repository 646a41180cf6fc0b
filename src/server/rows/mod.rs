//! Calculations by rows: `text/csv` and `application/x-ndjson`, in and out.

mod blocks;
mod stream;

use std::sync::Arc;

use actix_web::http::header::{ACCEPT, ACCEPT_ENCODING, CONTENT_TYPE, HeaderMap, HeaderValue};
use actix_web::web::{BytesMut, Payload};
use actix_web::{HttpRequest, HttpResponse};
use futures_util::StreamExt;

use super::body;
use super::failure;
use super::form::comma_fault;
use super::negotiate;
use super::represent::{self, ACCEPT_QUERY};
use super::request_id::RequestId;
use super::state::State;
use crate::api::decode::Decimal;
use crate::api::lookup;
use crate::api::problem::{Problem, ProblemCode};
use crate::api::registry::Entry;
use crate::api::reserved::{Format, Reserved};
use crate::api::rows::dialect::Dialect;
use crate::api::rows::{Form, LONGEST_ROW, Lines, Rows, Table, record};
use crate::api::wanted::Wanted;
use stream::Exchange;

/// Media type of rows under a header.
pub(super) const CSV: &str = "text/csv";
/// Media type of one JSON object a line.
pub(super) const NDJSON: &str = "application/x-ndjson";

/// Media type of CSV as it is answered (RFC 4180, section 3).
const CSV_ANSWERED: &str = "text/csv; charset=utf-8; header=present";

/// Media type of a request by rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// `text/csv`.
    Csv,
    /// `application/x-ndjson`.
    Ndjson,
}

/// How a request by rows is written; none for any other request.
pub(super) fn kind(headers: &HeaderMap) -> Option<Kind> {
    let given = headers.get(CONTENT_TYPE)?;
    if given.as_bytes() == b"application/json" {
        return None;
    }
    let given = given.to_str().ok()?;
    let essence = given.split(';').next().unwrap_or_default().trim();
    if essence.eq_ignore_ascii_case(CSV) {
        Some(Kind::Csv)
    } else if essence.eq_ignore_ascii_case(NDJSON) {
        Some(Kind::Ndjson)
    } else {
        None
    }
}

/// The response to a request by rows.
pub(super) async fn post(
    entry: &'static Entry,
    kind: Kind,
    request: &HttpRequest,
    payload: Payload,
    state: &State,
) -> HttpResponse {
    match opened(entry, kind, request, payload, state).await {
        Err(problem) => {
            let is_coding = problem.code() == ProblemCode::UnsupportedContentEncoding;
            let mut response = failure::response(problem);
            if is_coding {
                let plain = HeaderValue::from_static("identity");
                response.headers_mut().insert(ACCEPT_ENCODING, plain);
            }
            response
        }
        Ok((exchange, start)) => {
            let media_type = match exchange.rows.form() {
                Form::Csv(_) => CSV_ANSWERED,
                Form::Ndjson => NDJSON,
            };
            HttpResponse::Ok()
                .content_type(media_type)
                .insert_header((ACCEPT_QUERY, represent::query_types(entry)))
                .streaming(stream::answers(exchange, start))
        }
    }
}

/// Everything that can be refused before the first answer is sent.
async fn opened(
    entry: &'static Entry,
    kind: Kind,
    request: &HttpRequest,
    mut payload: Payload,
    state: &State,
) -> Result<(Exchange, BytesMut), Problem> {
    let headers = request.headers();
    body::check_coding(headers)?;
    body::check_charset(headers)?;
    let (reserved, mut faults) = lookup::beside_body(request.query_string())?;
    let form = form(kind, &reserved, headers)?;
    let wanted = match form {
        Form::Csv(_) => Wanted::of(&reserved).in_a_table(),
        Form::Ndjson => Wanted::of(&reserved),
    };
    faults.extend(form.faults(&wanted, entry));
    if form == Form::Ndjson {
        faults.extend(comma_fault(&wanted));
    }
    let (rows, start): (Arc<dyn Rows>, _) = match kind {
        Kind::Ndjson if !faults.is_empty() => return Err(Problem::invalid(faults)),
        Kind::Ndjson => {
            let start = first_line(&mut payload, state).await?;
            (Arc::new(Lines::new(entry, Some(form), wanted)), start)
        }
        Kind::Csv => {
            let (header, start) = header(&mut payload, state).await?;
            let form = with_decimal(form, &reserved, &header);
            let table = Table::open(entry, &header, Some(form), wanted);
            if !faults.is_empty() {
                // the header may be wrong as well, and all faults are told at once
                return Err(lookup::joined(Problem::invalid(faults), table.err()));
            }
            let table = table?;
            (Arc::new(table), start)
        }
    };
    let exchange = Exchange {
        rows,
        request_id: RequestId::of(request),
        payload,
        state: state.clone(),
    };
    Ok((exchange, start))
}

/// The header of a table, and what has arrived of its rows.
async fn header(payload: &mut Payload, state: &State) -> Result<(BytesMut, BytesMut), Problem> {
    let deadline = state.settings().body_deadline();
    let mut arrived = BytesMut::new();
    let read = async {
        loop {
            let delimiter = Dialect::of_header(&arrived).delimiter;
            if let Some(end) = record::end(&arrived, Some(delimiter)) {
                let header = arrived.split_to(end);
                if header.iter().all(u8::is_ascii_whitespace) {
                    continue;
                }
                return Ok(header);
            }
            if arrived.len() > LONGEST_ROW {
                let detail = format!("the header has more than {LONGEST_ROW} bytes");
                return Err(Problem::new(ProblemCode::BodyTooLarge, detail));
            }
            match payload.next().await {
                Some(Ok(chunk)) => arrived.extend_from_slice(&chunk),
                Some(Err(_)) => return Err(body::broken_off()),
                None if arrived.iter().all(u8::is_ascii_whitespace) => {
                    let detail = "the body is empty where a header is needed";
                    return Err(Problem::new(ProblemCode::EmptyBody, detail));
                }
                None => return Ok(arrived.split()),
            }
        }
    };
    let header = tokio::time::timeout(deadline, read)
        .await
        .unwrap_or_else(|_| Err(body::too_slow(deadline)))?;
    Ok((header, arrived))
}

/// What has arrived of lines, once there is more than blanks.
async fn first_line(payload: &mut Payload, state: &State) -> Result<BytesMut, Problem> {
    let deadline = state.settings().body_deadline();
    let read = async {
        loop {
            match payload.next().await {
                Some(Ok(chunk)) if chunk.iter().all(u8::is_ascii_whitespace) => {}
                Some(Ok(chunk)) => return Ok(BytesMut::from(chunk)),
                Some(Err(_)) => return Err(body::broken_off()),
                None => {
                    let detail = "the body is empty where a JSON object a line is needed";
                    return Err(Problem::new(ProblemCode::EmptyBody, detail));
                }
            }
        }
    };
    let read = tokio::time::timeout(deadline, read).await;
    read.unwrap_or_else(|_| Err(body::too_slow(deadline)))
}

/// What the answers are written as, when the caller says; else it follows the request.
fn form(kind: Kind, reserved: &Reserved, headers: &HeaderMap) -> Result<Form, Problem> {
    let csv = Form::Csv(Dialect::COMMAS);
    let form = match reserved.format {
        Some(Format::Csv) => Some(csv),
        Some(Format::Ndjson) => Some(Form::Ndjson),
        Some(Format::Json | Format::Text | Format::Html) => {
            let detail = "rows are answered with format=csv or format=ndjson";
            return Err(Problem::new(ProblemCode::NotAcceptable, detail));
        }
        None => accepted(kind, headers)?,
    };
    let follows = match kind {
        Kind::Csv => csv,
        Kind::Ndjson => Form::Ndjson,
    };
    // a table's own dialect decides unless the query does
    Ok(match (form.unwrap_or(follows), reserved.decimal_comma) {
        (Form::Csv(_), Some(true)) => Form::Csv(Dialect::SEMICOLONS),
        (form, _) => form,
    })
}

/// CSV in the dialect of the header, unless the query says which.
fn with_decimal(form: Form, reserved: &Reserved, header: &[u8]) -> Form {
    match (form, reserved.decimal_comma) {
        (Form::Csv(_), None) => Form::Csv(Dialect::of_header(header)),
        (Form::Csv(_), Some(false)) if header.contains(&b';') => Form::Csv(Dialect {
            delimiter: b';',
            decimal: Decimal::Point,
        }),
        (form, _) => form,
    }
}

/// The form that `Accept` prefers, that of the request where it likes both; none when there is
/// no such header.
fn accepted(kind: Kind, headers: &HeaderMap) -> Result<Option<Form>, Problem> {
    if !headers.contains_key(ACCEPT) {
        return Ok(None);
    }
    let csv = (CSV, Form::Csv(Dialect::COMMAS));
    let lines = (NDJSON, Form::Ndjson);
    let offers = match kind {
        Kind::Csv => [csv, lines],
        Kind::Ndjson => [lines, csv],
    };
    negotiate::media_type(headers, &offers).map(Some)
}
