//! How things fail: the one table of codes, and the one body of every failure (RFC 9457).

use std::fmt;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Declares the table of problem codes: variant, text code, status, title, what to do.
macro_rules! problem_codes {
    ($($variant:ident, $code:literal, $status:literal, $title:literal, $remedy:literal;)*) => {
        /// Stable code of a problem. Never changes its meaning.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum ProblemCode {
            $(#[doc = $title] $variant,)*
        }

        impl ProblemCode {
            /// All codes, in the order of their status.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The code as it stands in a body.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $code,)* }
            }

            /// HTTP status of the answer.
            #[must_use]
            pub const fn status(self) -> u16 {
                match self { $(Self::$variant => $status,)* }
            }

            /// What happened, in a few words that do not change from case to case.
            #[must_use]
            pub const fn title(self) -> &'static str {
                match self { $(Self::$variant => $title,)* }
            }

            /// What the caller can do about it.
            #[must_use]
            pub const fn remedy(self) -> &'static str {
                match self { $(Self::$variant => $remedy,)* }
            }
        }
    };
}

problem_codes! {
    MalformedJson, "malformed_json", 400, "The body is not JSON",
        "Mend the syntax at the place that `detail` names. NaN and Infinity are not JSON, and a number must fit a double.";
    EmptyBody, "empty_body", 400, "The body is empty", "Send a JSON object.";
    InvalidEncoding, "invalid_encoding", 400, "The body is not valid UTF-8 or not what its content coding says",
        "Send UTF-8, and compress it with the coding that you name.";
    BadQuery, "bad_query", 400, "The query string is broken", "Mend the percent escapes.";
    PreflightRefused, "preflight_refused", 400, "A page may not send this from where it is",
        "Use a method that is answered, from an origin that the operator allows.";
    Unauthenticated, "unauthenticated", 401, "A key is needed", "Send `Authorization: Bearer` and your key.";
    NotFound, "not_found", 404, "There is nothing at this path", "See /docs for the paths.";
    MethodNotAllowed, "method_not_allowed", 405, "This path does not answer that method", "Use a method that `Allow` names.";
    NotAcceptable, "not_acceptable", 406, "None of the accepted media types is on offer", "Accept one of the media types that `detail` names.";
    RequestTimeout, "request_timeout", 408, "The body did not arrive in time", "Send the whole body at once.";
    BodyTooLarge, "body_too_large", 413, "The body is too large", "Send less, or send rows as CSV.";
    UriTooLong, "uri_too_long", 414, "The address is too long", "Use POST.";
    UnsupportedMediaType, "unsupported_media_type", 415, "This media type is not understood here",
        "Send `application/json` in UTF-8, or where it is documented `text/csv` or `application/x-ndjson`.";
    UnsupportedContentEncoding, "unsupported_content_encoding", 415, "This content coding is not understood here",
        "Use a coding that `Accept-Encoding` names, or none.";
    ValidationFailed, "validation_failed", 422, "The request is well formed but wrong",
        "Mend every field that `errors` names.";
    NoSolution, "no_solution", 422, "No result exists for these values", "Change the values that `detail` names.";
    WorkTooLarge, "work_too_large", 422, "The request asks for more work than one call may use",
        "Ask for less at once; /v1/capabilities has the limit.";
    QuotaExceeded, "quota_exceeded", 429, "Too many requests", "Wait for `Retry-After` seconds.";
    Internal, "internal", 500, "The service failed", "Report the request id; the fault is ours.";
    Overloaded, "overloaded", 503, "The service is busy", "Try again after `Retry-After` seconds.";
    DeadlineExceeded, "deadline_exceeded", 503, "The calculation took too long", "Ask for less at once.";
    Draining, "draining", 503, "The service is shutting down", "Try again at once; another one will answer.";
}

/// Declares the codes of single faults.
macro_rules! fault_codes {
    ($($variant:ident, $code:literal, $meaning:literal;)*) => {
        /// Stable code of one fault of a request.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum FaultCode {
            $(#[doc = $meaning] $variant,)*
        }

        impl FaultCode {
            /// All codes.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The code as it stands in a body.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $code,)* }
            }

            /// What it means.
            #[must_use]
            pub const fn meaning(self) -> &'static str {
                match self { $(Self::$variant => $meaning,)* }
            }
        }
    };
}

fault_codes! {
    Required, "required", "The field is missing, or null.";
    UnknownField, "unknown_field", "There is no such field.";
    DuplicateField, "duplicate_field", "The field is given twice.";
    WrongType, "wrong_type", "The value is of another type.";
    NotFinite, "not_finite", "The value is NaN, infinite or too large for a double.";
    OutOfRange, "out_of_range", "The value is outside `minimum` to `maximum`.";
    TooManyItems, "too_many_items", "The list is too long.";
    TooFewItems, "too_few_items", "The list is too short.";
    TooLong, "too_long", "The text is too long.";
    NotAllowed, "not_allowed", "The word is not one of those allowed.";
    DecimalComma, "decimal_comma", "A comma stands where a decimal point is meant.";
    Inconsistent, "inconsistent", "The value cannot be true together with another one.";
    Contradictory, "contradictory", "The field excludes another one that is given.";
}

/// One fault of a request.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Fault {
    /// JSON pointer of the field; for a missing or unknown field, where it would stand.
    #[schema(example = "/dose_g")]
    pub pointer: String,
    /// Stable code.
    pub code: FaultCode,
    /// What is wrong, in words.
    pub detail: String,
    /// Smallest value accepted, where the fault is about a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub minimum: Option<f64>,
    /// Largest value accepted, where the fault is about a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub maximum: Option<f64>,
    /// Unit of the range.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub unit: Option<String>,
}

impl Fault {
    /// A fault that is not about a range.
    #[must_use]
    pub fn new(pointer: impl Into<String>, code: FaultCode, detail: impl Into<String>) -> Self {
        Self {
            pointer: pointer.into(),
            code,
            detail: detail.into(),
            minimum: None,
            maximum: None,
            unit: None,
        }
    }
}

/// A failure on its way to the caller.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    code: ProblemCode,
    detail: String,
    faults: Vec<Fault>,
    private: Option<String>,
    retry_after_s: Option<u32>,
    is_non_finite: bool,
}

impl Problem {
    /// A problem with a public explanation.
    #[must_use]
    pub fn new(code: ProblemCode, detail: impl Into<String>) -> Self {
        Self {
            code,
            detail: detail.into(),
            faults: Vec::new(),
            private: None,
            retry_after_s: None,
            is_non_finite: false,
        }
    }

    /// A request that is wrong in the ways listed.
    #[must_use]
    pub fn invalid(faults: Vec<Fault>) -> Self {
        let detail = match faults.as_slice() {
            [] => "the request is not acceptable".to_owned(),
            [one] => format!("{}: {}", display_pointer(&one.pointer), one.detail),
            [first, rest @ ..] => format!(
                "{}: {} (and {} more)",
                display_pointer(&first.pointer),
                first.detail,
                rest.len()
            ),
        };
        Self {
            faults,
            ..Self::new(ProblemCode::ValidationFailed, detail)
        }
    }

    /// A fault of ours; `context` goes to the log and never to the caller.
    #[must_use]
    pub fn internal(context: impl Into<String>) -> Self {
        Self {
            private: Some(context.into()),
            ..Self::new(
                ProblemCode::Internal,
                "the service failed to compute an answer; the fault is ours",
            )
        }
    }

    /// A result that is no finite number, which is a fault of ours, too.
    #[must_use]
    pub fn non_finite(context: impl Into<String>) -> Self {
        Self {
            is_non_finite: true,
            ..Self::internal(context)
        }
    }

    /// Whether a result was no finite number.
    #[must_use]
    pub const fn is_non_finite(&self) -> bool {
        self.is_non_finite
    }

    /// The same, with the seconds after which trying again makes sense.
    #[must_use]
    pub fn with_retry_after(mut self, seconds: u32) -> Self {
        self.retry_after_s = Some(seconds);
        self
    }

    /// Seconds after which trying again makes sense.
    #[must_use]
    pub const fn retry_after_s(&self) -> Option<u32> {
        self.retry_after_s
    }

    /// The stable code.
    #[must_use]
    pub const fn code(&self) -> ProblemCode {
        self.code
    }

    /// The explanation that the caller sees.
    #[must_use]
    pub fn detail(&self) -> &str {
        &self.detail
    }

    /// The faults of the request.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// What only the log may say.
    #[must_use]
    pub fn private(&self) -> Option<&str> {
        self.private.as_deref()
    }

    /// The body of the answer to the request with this id.
    #[must_use]
    pub fn document(&self, request_id: &str) -> ProblemDocument {
        ProblemDocument {
            type_uri: format!("/problems/{}", self.code.as_str()),
            title: self.code.title().to_owned(),
            status: self.code.status(),
            detail: self.detail.clone(),
            instance: format!("urn:request:{request_id}"),
            code: self.code,
            request_id: request_id.to_owned(),
            errors: self.faults.clone(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.code.as_str(), self.detail)
    }
}

impl std::error::Error for Problem {}

fn display_pointer(pointer: &str) -> &str {
    if pointer.is_empty() {
        "request"
    } else {
        pointer
    }
}

/// The body of every failure: `application/problem+json`, RFC 9457.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[schema(as = Problem)]
pub struct ProblemDocument {
    /// Where the kind of problem is explained, a path of this service.
    #[serde(rename = "type")]
    #[schema(format = "uri-reference", example = "/problems/validation_failed")]
    pub type_uri: String,
    /// What happened, in a few words that do not change from case to case.
    pub title: String,
    /// The HTTP status.
    #[schema(minimum = 400, maximum = 599)]
    pub status: u16,
    /// What happened in this case.
    pub detail: String,
    /// A name for this occurrence: the request id as a URN.
    #[schema(format = "uri")]
    pub instance: String,
    /// Stable code of the problem.
    pub code: ProblemCode,
    /// Id of the request, as in the `x-request-id` header.
    pub request_id: String,
    /// Every fault of the request; empty when the problem is not about fields.
    #[serde(default)]
    pub errors: Vec<Fault>,
}
