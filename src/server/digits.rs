//! Numbers as text for what stands in every answer and log line, where the general formatter
//! would cost more than the line.

/// The last `COUNT` decimal digits of a number, with leading zeros.
pub(super) fn padded<const COUNT: usize>(mut value: u32) -> [u8; COUNT] {
    let mut digits = [b'0'; COUNT];
    for digit in digits.iter_mut().rev() {
        *digit = b'0' + u8::try_from(value % 10).unwrap_or_default();
        value /= 10;
    }
    digits
}

/// The decimal digits of a number.
pub(super) fn push_whole(out: &mut String, mut value: u128) {
    let start = out.len();
    loop {
        out.insert(
            start,
            char::from(b'0' + u8::try_from(value % 10).unwrap_or_default()),
        );
        value /= 10;
        if value == 0 {
            return;
        }
    }
}

/// Digits made by [`padded`].
pub(super) fn push_padded<const COUNT: usize>(out: &mut String, value: u32) {
    out.push_str(std::str::from_utf8(&padded::<COUNT>(value)).unwrap_or_default());
}

/// A duration in milliseconds with three decimals: `0.123`.
pub(super) fn push_milliseconds(out: &mut String, duration: std::time::Duration) {
    push_whole(out, duration.as_millis());
    out.push('.');
    push_padded::<3>(out, duration.subsec_micros() % 1000);
}

/// A number in 32 hexadecimal digits.
pub(super) fn hexadecimal(value: u128) -> String {
    const DIGITS: [u8; 16] = *b"0123456789abcdef";
    let digit = |nibble: u8| DIGITS[usize::from(nibble & 15)];
    let mut text = [0; 32];
    for (pair, byte) in text.chunks_exact_mut(2).zip(value.to_be_bytes()) {
        pair.copy_from_slice(&[digit(byte >> 4), digit(byte)]);
    }
    std::str::from_utf8(&text).unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::{hexadecimal, padded, push_milliseconds, push_whole};

    #[test]
    fn texts_are_those_of_the_general_formatter() {
        for value in [0, 1, 9, 10, 4_294_967_296, u128::MAX] {
            let mut text = String::from("kept ");
            push_whole(&mut text, value);
            assert_eq!(text, format!("kept {value}"));
            assert_eq!(hexadecimal(value), format!("{value:032x}"));
        }
        assert_eq!(&padded::<6>(42), b"000042");
        for micros in [0, 7, 999, 1000, 12_345_678] {
            let duration = Duration::from_micros(micros);
            let mut text = String::new();
            push_milliseconds(&mut text, duration);
            assert_eq!(text, format!("{}.{:03}", micros / 1000, micros % 1000));
        }
    }
}
