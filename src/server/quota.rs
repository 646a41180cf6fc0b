//! How many calls one caller may make: a bucket for each key, or for each address.

use std::collections::hash_map::RandomState;
use std::hash::BuildHasher;
use std::net::{IpAddr, Ipv4Addr};
use std::num::NonZeroU32;

use governor::RateLimiter;
use governor::clock::{Clock, DefaultClock};
use governor::middleware::StateInformationMiddleware;
use governor::state::keyed::DashMapStateStore;

use crate::api::problem::{Problem, ProblemCode};

/// Whose bucket a call is drawn from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Caller {
    /// A key, by its place in the file.
    Key(u32),
    /// An address.
    V4(Ipv4Addr),
    /// The first 64 bits of an address: what one household or server gets.
    V6(u64),
    /// Any of the addresses that came when the memory for buckets was full.
    Crowd(u16),
}

impl Caller {
    /// The caller at an address.
    pub(super) fn at(address: IpAddr) -> Self {
        match address.to_canonical() {
            IpAddr::V4(address) => Self::V4(address),
            IpAddr::V6(address) => {
                let [a, b, c, d, ..] = address.segments();
                let join = |high: u64, low: u16| high << 16 | u64::from(low);
                Self::V6([a, b, c, d].into_iter().fold(0, join))
            }
        }
    }
}

/// Buckets kept apart; more callers than these at once share [`CROWDS`].
const MOST_CALLERS: usize = 100_000;
/// Buckets shared by the callers beyond.
const CROWDS: u16 = 4096;

/// What a caller has left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Standing {
    /// Calls that would be answered now.
    pub(super) remaining: u32,
    /// Seconds until all of the quota is there again, or, with nothing remaining, one call.
    pub(super) reset_s: u32,
}

/// The buckets.
pub(super) struct Quota {
    limiter:
        RateLimiter<Caller, DashMapStateStore<Caller>, DefaultClock, StateInformationMiddleware>,
    per_second: NonZeroU32,
    burst: NonZeroU32,
    crowd: RandomState,
}

impl std::fmt::Debug for Quota {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Quota")
            .field("per_second", &self.per_second)
            .field("burst", &self.burst)
            .finish_non_exhaustive()
    }
}

impl Quota {
    pub(super) fn new(per_second: NonZeroU32, burst: NonZeroU32) -> Self {
        let quota = governor::Quota::per_second(per_second).allow_burst(burst);
        Self {
            limiter: RateLimiter::dashmap(quota).with_middleware(),
            per_second,
            burst,
            crowd: RandomState::new(),
        }
    }

    pub(super) const fn per_second(&self) -> u32 {
        self.per_second.get()
    }

    pub(super) const fn burst(&self) -> u32 {
        self.burst.get()
    }

    /// Seconds in which an empty bucket fills.
    pub(super) const fn window_s(&self) -> u32 {
        self.burst().div_ceil(self.per_second())
    }

    /// Draws calls from a caller's bucket, as many as it can ever hold at most.
    ///
    /// # Errors
    /// How it stands and `quota_exceeded`, when they are not there.
    pub(super) fn draw(
        &self,
        caller: Caller,
        calls: NonZeroU32,
    ) -> Result<Standing, (Standing, Problem)> {
        let bucket = self.bucket(caller);
        let refused = |wait_s| {
            let standing = Standing {
                remaining: 0,
                reset_s: wait_s,
            };
            (standing, self.exceeded(wait_s))
        };
        match self.limiter.check_key_n(&bucket, calls.min(self.burst)) {
            // never too many, since no more than the burst are drawn
            Err(_) => Err(refused(self.window_s())),
            Ok(Err(until)) => {
                let wait = until.wait_time_from(self.limiter.clock().now());
                let seconds = wait.as_secs() + u64::from(wait.subsec_nanos() > 0);
                Err(refused(u32::try_from(seconds).unwrap_or(u32::MAX).max(1)))
            }
            Ok(Ok(state)) => {
                let remaining = state.remaining_burst_capacity();
                let missing = self.burst().saturating_sub(remaining);
                Ok(Standing {
                    remaining,
                    reset_s: missing.div_ceil(self.per_second()),
                })
            }
        }
    }

    fn exceeded(&self, wait_s: u32) -> Problem {
        let detail = format!(
            "{} calls a second, and {} at once, are what one caller may make",
            self.per_second, self.burst
        );
        Problem::new(ProblemCode::QuotaExceeded, detail).with_retry_after(wait_s)
    }

    /// A bucket of the caller's own while there is memory for it. Keys always have one: there
    /// are no more of them than the file holds.
    fn bucket(&self, caller: Caller) -> Caller {
        let is_key = matches!(caller, Caller::Key(_));
        if is_key || self.limiter.len() < MOST_CALLERS {
            return caller;
        }
        let crowd = self.crowd.hash_one(caller) % u64::from(CROWDS);
        Caller::Crowd(u16::try_from(crowd).unwrap_or_default())
    }

    /// Forgets the callers whose bucket is full again.
    pub(super) fn sweep(&self) {
        self.limiter.retain_recent();
        self.limiter.shrink_to_fit();
    }
}

#[cfg(test)]
mod tests {
    use std::net::IpAddr;
    use std::num::NonZeroU32;

    use super::{CROWDS, Caller, MOST_CALLERS, Quota};

    fn quota(per_second: u32, burst: u32) -> Quota {
        Quota::new(
            NonZeroU32::new(per_second).unwrap(),
            NonZeroU32::new(burst).unwrap(),
        )
    }

    fn at(text: &str) -> Caller {
        Caller::at(text.parse::<IpAddr>().unwrap())
    }

    #[test]
    fn addresses_of_one_network_are_one_caller() {
        assert_eq!(at("2001:db8:1:2::1"), at("2001:db8:1:2:ffff::9"));
        assert_ne!(at("2001:db8:1:2::1"), at("2001:db8:1:3::1"));
        assert_eq!(at("::ffff:192.0.2.1"), at("192.0.2.1"));
        assert_ne!(at("192.0.2.1"), at("192.0.2.2"));
    }

    #[test]
    fn a_bucket_empties_and_others_are_not_touched() {
        let quota = quota(1, 3);
        let one = NonZeroU32::MIN;
        for remaining in [2, 1, 0] {
            assert_eq!(
                quota.draw(at("192.0.2.1"), one).unwrap().remaining,
                remaining
            );
        }
        let (standing, problem) = quota.draw(at("192.0.2.1"), one).unwrap_err();
        assert_eq!(standing.remaining, 0);
        assert_eq!(problem.retry_after_s(), Some(1));
        assert_eq!(quota.draw(at("192.0.2.2"), one).unwrap().remaining, 2);
        // as a batch of more calls than the burst: all of it, and no more
        let many = NonZeroU32::new(500).unwrap();
        assert_eq!(quota.draw(at("192.0.2.3"), many).unwrap().remaining, 0);
    }

    #[test]
    fn more_addresses_than_there_is_memory_for_share_buckets() {
        let quota = quota(1, 1000);
        let most = MOST_CALLERS + usize::from(CROWDS) + 1;
        for number in 0..200_000_u64 {
            let _ = quota.draw(Caller::V6(number), NonZeroU32::MIN);
        }
        assert!(quota.limiter.len() <= most, "{}", quota.limiter.len());
        assert!(quota.draw(Caller::Key(0), NonZeroU32::MIN).is_ok());
        assert!(quota.limiter.len() <= most + 1);
    }
}
