//! A query string taken apart: names and values, percent escapes undone.

use super::problem::{Problem, ProblemCode};

/// The names and values of a query string, in its order.
///
/// Escapes are undone strictly, a plus is a blank, and empty parts (`a=1&&b=2`) are skipped,
/// as forms are written.
///
/// # Errors
/// 400 `bad_query` for a broken escape, or for bytes that are not UTF-8.
pub fn parse(query: &str) -> Result<Vec<(String, String)>, Problem> {
    query
        .split('&')
        .filter(|part| !part.is_empty())
        .map(|part| {
            let (name, value) = part.split_once('=').unwrap_or((part, ""));
            Ok((unescaped(name)?, unescaped(value)?))
        })
        .collect()
}

fn unescaped(text: &str) -> Result<String, Problem> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let mut digit = || char::from(rest.next()?).to_digit(16);
                let pair = digit().zip(digit());
                pair.and_then(|(high, low)| u8::try_from(16 * high + low).ok())
                    .ok_or_else(|| {
                        bad("a percent sign must be followed by two hexadecimal digits")
                    })?
            }
            byte => byte,
        });
    }
    String::from_utf8(bytes).map_err(|_| bad("the escapes do not make UTF-8"))
}

fn bad(detail: &str) -> Problem {
    Problem::new(ProblemCode::BadQuery, detail)
}

#[cfg(test)]
mod tests {
    use super::parse;

    #[test]
    fn names_and_values_come_apart_and_escapes_are_undone() {
        let pairs = parse("a=1&&b=x%2By+z&c&=5&d=%C3%A9=").unwrap();
        let pairs: Vec<_> = pairs
            .iter()
            .map(|(n, v)| (n.as_str(), v.as_str()))
            .collect();
        let expected = [
            ("a", "1"),
            ("b", "x+y z"),
            ("c", ""),
            ("", "5"),
            ("d", "é="),
        ];
        assert_eq!(pairs, expected);
        assert!(parse("").unwrap().is_empty());
    }

    #[test]
    fn a_broken_escape_is_a_bad_query() {
        for query in ["a=%", "a=%4", "a=%zz", "%=1", "a=%+1", "a=%ff", "a=%C3"] {
            let problem = parse(query).unwrap_err();
            assert_eq!(problem.code().as_str(), "bad_query", "{query}");
        }
    }
}
