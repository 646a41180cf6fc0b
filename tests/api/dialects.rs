//! How CSV may be written, and how it is written back.

use crate::support::rows::{CSV, csv, send};

#[tokio::test]
async fn a_byte_order_mark_quotes_blanks_and_a_missing_line_end_are_read() {
    let reply = csv("\u{feff}\"dose_g\", brew_ratio ,brew_kind\n\"18\", 2 ,\" espresso\"").await;
    let (header, rows) = reply.table(b',');
    assert_eq!(header[..3], ["dose_g", "brew_ratio", "brew_kind"]);
    assert_eq!(
        (&rows[0]["beverage_mass_g"], &rows[0]["problem"]),
        (&"36.0".into(), &"".into())
    );
    let header_only = csv("dose_g,brew_ratio").await;
    assert_eq!(header_only.text.matches('\n').count(), 1);
}

#[tokio::test]
async fn semicolons_mean_decimal_commas_both_ways() {
    let reply = csv("dose_g;brew_ratio;workings\n18,5;2;WAHR\n18,5;2;TRUE\n18.5;2;\n").await;
    let (_, rows) = reply.table(b';');
    assert!(
        rows[0]["problem"]
            .as_str()
            .is_some_and(|p| p.starts_with("/workings wrong_type"))
    );
    assert_eq!(
        (&rows[1]["dose_g"], &rows[1]["beverage_mass_g"]),
        (&"18,5".into(), &"37,0".into())
    );
    // a point may mark thousands where a comma marks decimals
    assert!(
        rows[2]["problem"]
            .as_str()
            .is_some_and(|p| p.starts_with("/dose_g wrong_type"))
    );

    let comma = send(
        "/v1/ratio?decimal=comma",
        CSV,
        "dose_g,brew_ratio\n18.5,2\n",
    )
    .await;
    assert!(comma.text.contains("18,5;2,0;37,0;"), "{}", comma.text);
    let point = send(
        "/v1/ratio?decimal=point",
        CSV,
        "dose_g;brew_ratio\n18,5;2\n",
    )
    .await;
    assert!(point.text.contains("18.5;2.0;37.0;"), "{}", point.text);
    let wrong = csv("dose_g,brew_ratio\n\"18,5\",2\n").await;
    assert!(
        wrong.text.contains("/dose_g decimal_comma"),
        "{}",
        wrong.text
    );
}

/// The prefixes of the OWASP page on CSV injection, line feed included.
#[tokio::test]
async fn no_text_of_a_caller_comes_back_as_a_formula() {
    for start in ["=", "+", "-", "@", "\t", "\r", "\n"] {
        let body = format!("brew_kind,dose_g,brew_ratio\n\"{start}HYPERLINK(1)\",-5,2\n");
        let reply = csv(&body).await;
        let (_, rows) = reply.table(b',');
        assert_eq!(rows[0]["brew_kind"], format!("'{start}HYPERLINK(1)"));
        assert_eq!(rows[0]["dose_g"], "-5", "a negative number is no formula");
    }
}
