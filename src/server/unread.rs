//! A body in chunks that nobody reads to its end.
//!
//! The framework reads on until such a body ends, with no deadline at all, so a sender that
//! never ends it would hold its connection for ever. When somebody still holds the body as the
//! response leaves, the framework announces the end of the connection instead and closes it:
//! so the response holds it, in its own body, which is the last of it to go.

use std::cell::RefCell;
use std::pin::Pin;
use std::rc::Rc;
use std::task::{Context, Poll};

use actix_web::HttpMessage;
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::dev::{Payload, ServiceRequest, ServiceResponse};
use actix_web::http::header::TRANSFER_ENCODING;
use actix_web::web::Bytes;
use futures_util::Stream;
use futures_util::stream::poll_fn;

/// The body of a request, shared with its handler; none when it does not come in chunks.
pub(super) struct Unread(Option<Rc<RefCell<Payload>>>);

impl Unread {
    /// Takes part in the body of a request, when it comes in chunks.
    pub(super) fn share(request: &mut ServiceRequest) -> Self {
        if !request.headers().contains_key(TRANSFER_ENCODING) {
            return Self(None);
        }
        let body = Rc::new(RefCell::new(request.take_payload()));
        let read = Rc::clone(&body);
        let stream = poll_fn(move |context| Pin::new(&mut *read.borrow_mut()).poll_next(context));
        request.set_payload(Payload::Stream {
            payload: Box::pin(stream),
        });
        Self(Some(body))
    }

    /// Leaves with the response. A body that was read to its end changes nothing.
    pub(super) fn leave_with(self, response: ServiceResponse<BoxBody>) -> ServiceResponse<BoxBody> {
        let Some(unread) = self.0 else {
            return response;
        };
        response.map_body(|_, body| {
            BoxBody::new(Holding {
                body,
                _unread: unread,
            })
        })
    }
}

/// The body of a response that holds the one of its request.
struct Holding {
    body: BoxBody,
    _unread: Rc<RefCell<Payload>>,
}

impl MessageBody for Holding {
    type Error = <BoxBody as MessageBody>::Error;

    fn size(&self) -> BodySize {
        self.body.size()
    }

    fn poll_next(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        Pin::new(&mut self.body).poll_next(context)
    }
}
