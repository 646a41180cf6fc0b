//! Who may call, and how often: what the gate asks.

use std::net::{IpAddr, Ipv4Addr};
use std::num::NonZeroU32;

use actix_web::HttpMessage;
use actix_web::HttpRequest;
use actix_web::dev::ServiceRequest;
use actix_web::http::header::{AUTHORIZATION, HeaderMap, HeaderName, HeaderValue};
use ipnet::IpNet;

use super::keys::{Keys, KeysError};
use super::peer;
use super::quota::{Caller, Quota, Standing};
use super::settings::Settings;
use crate::api::problem::{Problem, ProblemCode};

/// Keys, quotas and trusted proxies of the service.
#[derive(Debug)]
pub(super) struct Access {
    keys: Option<Keys>,
    quota: Option<Quota>,
    trusted: Vec<IpNet>,
}

/// How a request was let in; travels beside it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Admitted {
    caller: Option<Caller>,
    /// Place of the key in the file.
    pub(super) key: Option<u32>,
    standing: Option<Standing>,
}

impl Admitted {
    /// How this request was let in.
    pub(super) fn of(request: &HttpRequest) -> Self {
        request.extensions().get().copied().unwrap_or_default()
    }

    /// Puts this in the place of what travels beside a request.
    pub(super) fn attach(self, request: &HttpRequest) {
        request.extensions_mut().insert(self);
    }
}

impl Access {
    pub(super) fn new(settings: &Settings) -> Result<Self, KeysError> {
        let quota = settings
            .rate_per_second
            .map(|per_second| Quota::new(per_second, settings.rate_burst.unwrap_or(per_second)));
        let keys = settings.keys_file.as_deref().map(Keys::read).transpose()?;
        Ok(Self {
            keys,
            quota,
            trusted: settings.trusted_proxies.clone(),
        })
    }

    /// Whether everybody may call as often as they like.
    pub(super) const fn is_open(&self) -> bool {
        self.keys.is_none() && self.quota.is_none()
    }

    pub(super) const fn needs_key(&self) -> bool {
        self.keys.is_some()
    }

    pub(super) const fn quota(&self) -> Option<&Quota> {
        self.quota.as_ref()
    }

    /// The id of a key by its place in the file.
    pub(super) fn key_id(&self, place: u32) -> Option<&str> {
        self.keys.as_ref()?.id(place)
    }

    /// Lets a request in, or says why not. What is put beside the request says how it stands
    /// either way.
    pub(super) fn admit(&self, request: &ServiceRequest) -> (Admitted, Result<(), Problem>) {
        let key = self
            .keys
            .as_ref()
            .map(|keys| keys.find(presented(request.headers())));
        let mut admitted = Admitted {
            key: key.flatten(),
            ..Admitted::default()
        };
        // who has no valid key is counted by address, so that keys cannot be tried without end
        admitted.caller = self.quota.is_some().then(|| match admitted.key {
            Some(place) => Caller::Key(place),
            None => Caller::at(self.address(request)),
        });
        let drawn = self.charge(&mut admitted, 1);
        let result = match key {
            Some(None) => drawn.and(Err(unauthenticated())),
            Some(Some(_)) | None => drawn,
        };
        (admitted, result)
    }

    /// Draws more calls from the quota of a request that was let in.
    ///
    /// # Errors
    /// `quota_exceeded` when they are not there.
    pub(super) fn charge(&self, admitted: &mut Admitted, calls: usize) -> Result<(), Problem> {
        let calls = NonZeroU32::new(u32::try_from(calls).unwrap_or(u32::MAX));
        let (Some(quota), Some(caller), Some(calls)) = (&self.quota, admitted.caller, calls) else {
            return Ok(());
        };
        match quota.draw(caller, calls) {
            Ok(standing) => {
                admitted.standing = Some(standing);
                Ok(())
            }
            Err((standing, problem)) => {
                admitted.standing = Some(standing);
                Err(problem)
            }
        }
    }

    fn address(&self, request: &ServiceRequest) -> IpAddr {
        let peer = request
            .peer_addr()
            .map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |address| address.ip());
        peer::of(peer, request.headers(), &self.trusted)
    }

    /// Adds the quota, and what is left of it, to the headers of an answer.
    pub(super) fn tell(&self, admitted: &Admitted, headers: &mut HeaderMap) {
        let (Some(quota), Some(standing)) = (&self.quota, admitted.standing) else {
            return;
        };
        let policy = format!("\"calls\";q={};w={}", quota.burst(), quota.window_s());
        let left = format!("\"calls\";r={};t={}", standing.remaining, standing.reset_s);
        for (name, value) in [(RATELIMIT_POLICY, policy), (RATELIMIT, left)] {
            if let Ok(value) = HeaderValue::try_from(value) {
                headers.insert(name, value);
            }
        }
    }
}

/// Quota and what is left of it: draft-ietf-httpapi-ratelimit-headers.
const RATELIMIT_POLICY: HeaderName = HeaderName::from_static("ratelimit-policy");
const RATELIMIT: HeaderName = HeaderName::from_static("ratelimit");

/// The key that a request presents; nothing, which no key is, when it presents none or the
/// header is not what it should be.
fn presented(headers: &HeaderMap) -> &[u8] {
    let mut lines = headers.get_all(AUTHORIZATION);
    let (Some(line), None) = (lines.next(), lines.next()) else {
        return b"";
    };
    let line = line.as_bytes();
    match line.split_at_checked("Bearer ".len()) {
        Some((scheme, key)) if scheme.eq_ignore_ascii_case(b"Bearer ") => key.trim_ascii(),
        Some(_) | None => b"",
    }
}

/// One text for every reason, so that it tells nothing about the keys there are.
fn unauthenticated() -> Problem {
    Problem::new(
        ProblemCode::Unauthenticated,
        "send `Authorization: Bearer` and a valid key",
    )
}
