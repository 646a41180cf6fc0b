//! The address of a caller, when proxies stand between.

use std::net::{IpAddr, SocketAddr};

use actix_web::http::header::{HeaderMap, HeaderName};
use ipnet::IpNet;

const X_FORWARDED_FOR: HeaderName = HeaderName::from_static("x-forwarded-for");

/// The address that the call came from: the peer, unless the peer is a trusted proxy.
///
/// Then `X-Forwarded-For` is read from its end, where the nearest proxy wrote, past the
/// addresses of trusted proxies to the first that is not one. What stands before it was written
/// by somebody who is not trusted, and is not looked at. A part that is no address ends the
/// search: the last address before it is taken.
pub(super) fn of(peer: IpAddr, headers: &HeaderMap, trusted: &[IpNet]) -> IpAddr {
    let is_trusted = |address: IpAddr| trusted.iter().any(|net| net.contains(&address));
    let mut nearest = peer.to_canonical();
    if !is_trusted(nearest) {
        return nearest;
    }
    let lines: Vec<_> = headers.get_all(X_FORWARDED_FOR).collect();
    let parts = lines
        .iter()
        .rev()
        .flat_map(|line| line.to_str().unwrap_or_default().rsplit(','));
    for part in parts {
        let Some(address) = parse(part.trim()) else {
            return nearest;
        };
        nearest = address;
        if !is_trusted(nearest) {
            return nearest;
        }
    }
    nearest
}

/// An address with or without a port.
fn parse(text: &str) -> Option<IpAddr> {
    let address = text
        .parse::<IpAddr>()
        .or_else(|_| text.parse::<SocketAddr>().map(|both| both.ip()));
    address.ok().map(|address| address.to_canonical())
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderMap, HeaderValue};

    use super::{X_FORWARDED_FOR, of};

    fn from(peer: &str, lines: &[&'static str], trusted: &[&str]) -> String {
        let mut headers = HeaderMap::new();
        for line in lines {
            headers.append(X_FORWARDED_FOR, HeaderValue::from_static(line));
        }
        let trusted: Vec<_> = trusted.iter().map(|net| net.parse().unwrap()).collect();
        of(peer.parse().unwrap(), &headers, &trusted).to_string()
    }

    // addresses for documentation: RFC 5737 and RFC 3849
    const PROXIES: [&str; 2] = ["192.0.2.0/24", "2001:db8:1::/48"];

    #[test]
    fn a_stranger_cannot_say_who_it_is() {
        assert_eq!(
            from("203.0.113.9", &["198.51.100.1"], &PROXIES),
            "203.0.113.9"
        );
        assert_eq!(from("203.0.113.9", &["198.51.100.1"], &[]), "203.0.113.9");
    }

    #[test]
    fn the_list_is_read_from_its_end_past_trusted_proxies() {
        let line = "10.9.9.9, 198.51.100.1, 192.0.2.7";
        assert_eq!(from("192.0.2.1", &[line], &PROXIES), "198.51.100.1");
        assert_eq!(
            from("192.0.2.1", &["10.9.9.9", "198.51.100.1:4711"], &PROXIES),
            "198.51.100.1"
        );
        assert_eq!(
            from("2001:db8:1::1", &["[2001:db8:9::5]:80"], &PROXIES),
            "2001:db8:9::5"
        );
        assert_eq!(
            from("::ffff:192.0.2.1", &["198.51.100.1"], &PROXIES),
            "198.51.100.1"
        );
    }

    #[test]
    fn what_is_no_address_ends_the_search() {
        assert_eq!(
            from("192.0.2.1", &["198.51.100.1, unknown"], &PROXIES),
            "192.0.2.1"
        );
        assert_eq!(
            from("192.0.2.1", &["198.51.100.1, x, 192.0.2.7"], &PROXIES),
            "192.0.2.7"
        );
        assert_eq!(from("192.0.2.1", &[], &PROXIES), "192.0.2.1");
    }
}
