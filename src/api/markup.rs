//! Text inside HTML.

/// A text in which no character has a meaning to a browser.
#[must_use]
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
        .replace('\'', "&#39;")
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn nothing_in_a_text_reaches_the_browser_as_markup() {
        assert_eq!(
            escaped("<a b=\"c\">&'"),
            "&lt;a b=&quot;c&quot;&gt;&amp;&#39;"
        );
    }
}
