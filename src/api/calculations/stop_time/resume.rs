//! The state of a shot as a text that a phone carries from call to call.
//!
//! A byte for the version, the numbers of the tracker with all their bits, and the beginning of
//! a digest over both and over what it is the state of; in the alphabet of base64 that is safe
//! in addresses. The digest finds whatever happened on the way. It is no secret, since the
//! replicas of the service share none: who makes up a state of his own gets what he made up,
//! from numbers that are checked one by one.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

use crate::maths::stop::Tracker;

/// Raised whenever the numbers of a tracker, or what they mean, change.
const VERSION: u8 = 1;

/// What the digest is of, besides the bytes: no other text of the service is mistaken for it.
const SUBJECT: &[u8] = b"extraction-maths stop-time resume\0";

/// Bytes of the digest that are kept.
const DIGEST_BYTES: usize = 16;

/// The state as a text.
pub(super) fn encoded(tracker: &Tracker) -> String {
    let mut bytes = vec![VERSION];
    for number in tracker.numbers() {
        bytes.extend(number.to_bits().to_le_bytes());
    }
    let digest = digest(&bytes);
    bytes.extend(digest);
    URL_SAFE_NO_PAD.encode(bytes)
}

/// The state that a text holds, or why it holds none.
pub(super) fn decoded(text: &str) -> Result<Tracker, &'static str> {
    let bytes = URL_SAFE_NO_PAD.decode(text);
    let bytes =
        bytes.map_err(|_| "this is no state of a shot: send it as the last answer had it")?;
    let version = *bytes
        .first()
        .ok_or("this is no state of a shot: it is empty")?;
    if version != VERSION {
        return Err(
            "this state is of another version of the service: send all readings of the shot without it",
        );
    }
    let whole = bytes.split_last_chunk::<DIGEST_BYTES>();
    let (state, given) = whole.ok_or("the state of the shot is cut off")?;
    if digest(state) != *given {
        return Err(
            "the state of the shot was cut off or changed: send it as the last answer had it",
        );
    }
    let (numbers, rest) = state.get(1..).unwrap_or_default().as_chunks::<8>();
    if !rest.is_empty() {
        return Err("the state of the shot is cut off");
    }
    let numbers: Vec<f64> = numbers
        .iter()
        .map(|bytes| f64::from_bits(u64::from_le_bytes(*bytes)))
        .collect();
    Tracker::from_numbers(&numbers).map_err(|_| "no shot has this state")
}

fn digest(bytes: &[u8]) -> [u8; DIGEST_BYTES] {
    let whole: [u8; 32] = Sha256::new()
        .chain_update(SUBJECT)
        .chain_update(bytes)
        .finalize()
        .into();
    std::array::from_fn(|place| whole[place])
}

#[cfg(test)]
mod tests {
    use super::{URL_SAFE_NO_PAD, decoded, digest, encoded};
    use crate::maths::stop::drain::learned;
    use crate::maths::stop::{Settings, Tracker};
    use base64::Engine;

    fn tracker() -> Tracker {
        let settings = Settings {
            target_g: 36.0,
            command_latency_s: 0.2,
            scale_lag_s: 0.4,
            transport_delay_s: 0.12,
        };
        let mut tracker = Tracker::new(settings, learned(&[])).expect("settings");
        for tenths in 0..200_u32 {
            let time_s = f64::from(tenths) / 10.0;
            let mass_g = 2.0 * (time_s - 6.0).max(0.0);
            tracker.push(time_s, mass_g).expect("a reading");
        }
        tracker
    }

    #[test]
    fn a_state_comes_back_bit_for_bit() {
        let text = encoded(&tracker());
        assert!(text.len() <= 1024, "{}", text.len());
        assert_eq!(decoded(&text).map(|found| encoded(&found)), Ok(text));
        assert!(decoded(&encoded(&tracker())).is_ok_and(|found| found == tracker()));
    }

    #[test]
    fn every_change_of_a_letter_and_every_cut_is_found() {
        let text = encoded(&tracker());
        for place in 0..text.len() {
            for letter in ["A", "z", "_", "=", " ", "é"] {
                let mut changed = text.clone();
                changed.replace_range(place..=place, letter);
                assert!(
                    changed == text || decoded(&changed).is_err(),
                    "{place} {letter}"
                );
            }
            assert!(decoded(&text[..place]).is_err(), "{place}");
        }
        assert!(decoded(&format!("{text}A")).is_err());
        assert!(decoded(&format!("{text}{text}")).is_err());
    }

    /// A text of ours with these bytes before its digest.
    fn sealed(bytes: &[u8]) -> String {
        URL_SAFE_NO_PAD.encode([bytes, &digest(bytes)].concat())
    }

    #[test]
    fn a_state_of_another_version_says_so() {
        let bytes = URL_SAFE_NO_PAD.decode(encoded(&tracker())).expect("base64");
        let state = &bytes[..bytes.len() - 16];
        assert!(decoded(&sealed(state)).is_ok());
        let newer = [&[2], &state[1..]].concat();
        let reason = decoded(&sealed(&newer)).expect_err("another version");
        assert!(reason.contains("version"), "{reason}");
    }

    #[test]
    fn a_sealed_state_that_no_shot_has_is_refused() {
        let bytes = URL_SAFE_NO_PAD.decode(encoded(&tracker())).expect("base64");
        let state = &bytes[..bytes.len() - 16];
        for number in 0..(state.len() - 1) / 8 {
            for wrong in [f64::NAN, f64::INFINITY, -1e300] {
                let mut forged = state.to_vec();
                forged[1 + 8 * number..9 + 8 * number].copy_from_slice(&wrong.to_le_bytes());
                assert!(decoded(&sealed(&forged)).is_err(), "{number} {wrong}");
            }
        }
        assert!(decoded(&sealed(&state[..state.len() - 8])).is_err());
        assert!(decoded(&sealed(&state[..state.len() - 3])).is_err());
        assert!(decoded(&sealed(&state[..1])).is_err());
    }
}
