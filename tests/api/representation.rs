//! The forms of an answer: `format`, `Accept`, `select`, `decimal`, `display`, `QUERY`, and the
//! address that repeats it.

use std::collections::BTreeMap;

use extraction_maths::api::registry::REGISTRY;
use serde_json::{Value, json};

use crate::support::faults;
use crate::support::http::{Reply, send, send_json};

const SHOT: &str = r#"{"dose_g":17.3,"beverage_mass_g":38.06}"#;

async fn shot(query: &str, headers: &[(&str, &str)]) -> Reply {
    let path = format!("/v1/ratio{query}");
    send_json(("POST", &path), headers, SHOT).await
}

#[tokio::test]
async fn the_format_in_the_query_wins_over_accept() {
    for (query, accept, media_type) in [
        ("", "*/*", "application/json"),
        ("", "text/csv", "text/csv; charset=utf-8; header=present"),
        ("", "text/plain", "text/plain; charset=utf-8"),
        ("", "application/x-ndjson", "application/x-ndjson"),
        ("", "text/html, */*;q=0.8", "application/json"),
        ("?format=json", "text/csv", "application/json"),
        ("?format=text", "image/png", "text/plain; charset=utf-8"),
        ("?format=ndjson", "*/*;q=0", "application/x-ndjson"),
    ] {
        let reply = shot(query, &[("accept", accept)]).await;
        assert_eq!(reply.status, 200, "{query} {accept}");
        assert_eq!(reply.header("content-type"), media_type, "{query} {accept}");
        assert_eq!(reply.header("vary"), "Accept, Accept-Encoding, Origin");
    }
}

#[tokio::test]
async fn what_is_not_on_offer_is_refused_with_what_is() {
    for accept in ["text/html", "image/png", "*/*;q=0", "garbage", "a/b/c;;"] {
        let reply = shot("", &[("accept", accept)]).await;
        assert_eq!(reply.status, 406, "{accept}");
        assert_eq!(reply.json()["code"], "not_acceptable");
        let detail = reply.json()["detail"].as_str().expect("a text").to_owned();
        for offered in [
            "application/json",
            "text/csv",
            "application/x-ndjson",
            "text/plain",
        ] {
            assert!(detail.contains(offered), "{detail}");
        }
    }
}

#[tokio::test]
async fn one_output_can_be_selected_and_as_text_it_is_bare() {
    let whole = shot("", &[]).await.json();
    let reply = shot("?select=brew_ratio", &[]).await;
    assert_eq!(reply.json(), json!({"brew_ratio": whole["brew_ratio"]}));
    let reply = shot("?select=brew_ratio&format=text", &[]).await;
    // 38.06 / 17.3 = 2.2 exactly in decimals
    assert_eq!(reply.text(), "2.2");
    assert_eq!(reply.text(), whole["brew_ratio"].to_string());
    let reply = shot("?select=brew_ratio&format=text&decimal=comma", &[]).await;
    assert_eq!(reply.text(), "2,2");
    let reply = shot("?select=brew_ratio_text&format=text", &[]).await;
    assert_eq!(reply.text(), "1:2.2");
    let reply = shot("?select=sources&format=text", &[]).await;
    assert_eq!(reply.text(), "massbalance;practice");
    let reply = shot("?select=brew_ratio&format=csv", &[]).await;
    assert_eq!(reply.text(), "brew_ratio\r\n2.2\r\n");
}

#[tokio::test]
async fn several_outputs_can_be_selected() {
    let whole = shot("", &[]).await.json();
    let reply = shot("?select=water_mass_g,brew_ratio,style", &[]).await;
    let expected = json!({
        "water_mass_g": whole["water_mass_g"], "brew_ratio": whole["brew_ratio"], "style": whole["style"],
    });
    assert_eq!(reply.json(), expected);
    let location = reply.header("content-location").to_owned();
    assert!(
        location.ends_with("&select=water_mass_g,brew_ratio,style"),
        "{location}"
    );
    let again = send(("GET", &location), &[], Vec::new()).await;
    assert_eq!(again.text(), reply.text());
    let reply = shot(
        "?select=dose_g,brew_ratio_text&format=csv&decimal=comma",
        &[],
    )
    .await;
    assert_eq!(reply.text(), "dose_g;brew_ratio_text\r\n17,3;1:2.2\r\n");
    let reply = shot("?select=dose_g,brew_ratio&format=text", &[]).await;
    assert_eq!(
        faults(&reply.json()),
        [("/select".to_owned(), "wrong_type".to_owned())]
    );
}

/// The rounded texts of every example, in a table as in an object; some are negative, some are
/// amounts of money that look like a number.
#[tokio::test]
async fn a_table_shows_the_same_rounded_texts() {
    let (mut negative, mut compared) = (0, 0);
    for entry in REGISTRY.iter().filter(|entry| entry.is_flat()) {
        for (example, comma) in entry.examples.iter().flat_map(|e| [(e, false), (e, true)]) {
            let mark = if comma { "&decimal=comma" } else { "" };
            let path = format!("/v1/{}?display=true{mark}", entry.name);
            let object = send_json(("POST", &path), &[], example.body).await.json();
            let shown = scalars(&object["display"]);
            let path = format!("{path}&format=csv");
            let table = send_json(("POST", &path), &[], example.body).await;
            let mut reader = csv::ReaderBuilder::new()
                .delimiter(if comma { b';' } else { b',' })
                .from_reader(table.text().as_bytes());
            let header = reader.headers().expect("a header").clone();
            let row = reader.records().next().expect("a row").expect("cells");
            for (name, cell) in header.iter().zip(row.iter()) {
                let Some(name) = name.strip_prefix("display.") else {
                    continue;
                };
                let text = shown.get(name).map_or("", String::as_str);
                assert_eq!(cell, text, "{name} of {}", example.body);
                negative += usize::from(text.starts_with('-'));
                compared += usize::from(!text.is_empty());
            }
        }
    }
    assert!(negative > 0 && compared > 100, "{negative} of {compared}");
}

/// Texts of an object by their path.
fn scalars(object: &Value) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for (name, value) in object.as_object().expect("an object") {
        match value.as_str() {
            Some(text) => drop(found.insert(name.clone(), text.to_owned())),
            None => {
                let inside = scalars(value).into_iter();
                found.extend(inside.map(|(path, text)| (format!("{name}.{path}"), text)));
            }
        }
    }
    found
}

#[tokio::test]
async fn numbers_in_a_table_keep_their_sign_bare() {
    let body = include_str!("../../demo-data/shot-readings/lab-pressure.json");
    let path = "/v1/shot-readings?select=flow&format=csv";
    let reply = send_json(("POST", path), &[], body).await;
    assert!(!reply.text().contains('\''), "{}", reply.text());
}

#[tokio::test]
async fn a_select_of_thousands_of_names_costs_little_and_says_little() {
    let many = "a,".repeat(1900);
    let reply = shot(&format!("?select={many}"), &[]).await;
    assert_eq!(reply.status, 422);
    assert!(faults(&reply.json()).len() <= 8);
    let same = "brew_ratio,".repeat(300);
    let reply = shot(&format!("?select={same}style&format=csv"), &[]).await;
    assert_eq!(reply.text().lines().next(), Some("brew_ratio,style"));
    let distinct: Vec<_> = (0..500).map(|place| format!("n{place}")).collect();
    let reply = shot(&format!("?select={}", distinct.join(",")), &[]).await;
    assert_eq!(faults(&reply.json()).len(), 8);
}

#[tokio::test]
async fn a_reserved_parameter_that_is_left_empty_is_none() {
    let whole = shot("", &[]).await;
    let reply = shot("?select=&format=&decimal=&display=", &[]).await;
    assert_eq!((reply.status, reply.text()), (200, whole.text()));
}

#[tokio::test]
async fn a_text_of_the_caller_in_a_table_of_one_answer_is_no_formula() {
    let body = include_str!("../../demo-data/exercises/sheet/lab-three-students.json");
    let mut body: Value = serde_json::from_str(body).expect("JSON");
    body["title"] = "=1+1".into();
    let call = ("POST", "/v1/exercises/sheet?select=title&format=csv");
    let reply = send_json(call, &[], &body.to_string()).await;
    assert_eq!(reply.text(), "title\r\n\"'=1+1\"\r\n");
}

#[tokio::test]
async fn an_output_that_this_answer_does_not_have_is_an_empty_cell() {
    let filter = r#"{"brew_kind":"filter","dose_g":18,"water_ratio":16}"#;
    let call = ("POST", "/v1/ratio?select=style&format=text");
    let reply = send_json(call, &[], filter).await;
    assert_eq!((reply.status, reply.text()), (200, ""));
    let reply = send_json(("POST", "/v1/ratio?select=style"), &[], filter).await;
    assert_eq!(reply.json(), json!({}));
}

#[tokio::test]
async fn every_fault_of_the_query_is_named_at_once() {
    let reply = shot(
        "?select=bre_ratio&format=xml&decimal=,&display=yes&dose_g=18&a%2Fb",
        &[],
    )
    .await;
    assert_eq!(reply.status, 422);
    let problem = reply.json();
    let mut found = faults(&problem);
    found.sort();
    let expected = [
        ("/a~1b", "unknown_field"),
        ("/decimal", "not_allowed"),
        ("/display", "not_allowed"),
        ("/dose_g", "unknown_field"),
        ("/format", "not_allowed"),
        ("/select", "unknown_field"),
    ];
    assert_eq!(found, expected.map(|(p, c)| (p.to_owned(), c.to_owned())));
    let errors = problem["errors"].as_array().expect("errors");
    let of_select = errors.iter().find(|error| error["pointer"] == "/select");
    let detail = of_select.expect("a fault")["detail"].to_string();
    assert!(detail.contains("`brew_ratio`"), "{detail}");
}

#[tokio::test]
async fn a_broken_or_repeated_query_is_refused() {
    for (query, status, code) in [
        ("?format=%zz", 400, "bad_query"),
        ("?format=json&format=json", 422, "validation_failed"),
        ("?decimal=comma", 422, "validation_failed"),
        ("?select=cautions&format=text", 422, "validation_failed"),
        ("?select=display.dose_g", 422, "validation_failed"),
        ("?select=,", 422, "validation_failed"),
        ("?select=cautions&format=csv", 422, "validation_failed"),
        (
            "?display=true&select=display&format=text",
            422,
            "validation_failed",
        ),
        ("?select=brew_ratio.more", 422, "validation_failed"),
    ] {
        let reply = shot(query, &[]).await;
        assert_eq!(reply.status, status, "{query}");
        assert_eq!(reply.json()["code"], code, "{query}");
    }
}

#[tokio::test]
async fn display_adds_the_headlines_rounded_and_changes_nothing_else() {
    let plain = shot("", &[]).await;
    let reply = shot("?display=true", &[]).await;
    let start = plain.text().strip_suffix('}').expect("an object");
    assert!(
        reply.text().starts_with(start),
        "the answer itself is the same, byte for byte"
    );
    let expected = json!({
        "dose_g": "17.3 g", "beverage_mass_g": "38.1 g", "brew_ratio": "2.20", "water_mass_g": "55.4 g",
    });
    assert_eq!(reply.json()["display"], expected);
    let reply = shot("?display=true&decimal=comma", &[]).await;
    assert_eq!(reply.json()["display"]["beverage_mass_g"], "38,1 g");
    let reply = shot(
        "?display=true&format=text&select=display.beverage_mass_g",
        &[],
    )
    .await;
    assert_eq!(reply.text(), "38.1 g");
}

#[tokio::test]
async fn every_form_of_every_example_is_answered() {
    for entry in REGISTRY {
        for example in entry.examples {
            for query in [
                "?format=csv&decimal=comma",
                "?format=text",
                "?format=ndjson",
                "?display=true",
            ] {
                let path = format!("{}{query}", entry.path());
                let reply = send_json(("POST", &path), &[], example.body).await;
                assert_eq!(reply.status, 200, "{path} {}", example.name);
                let lines = reply.text().lines().count();
                match query {
                    // the answer of one long series is that series
                    "?format=csv&decimal=comma" if entry.columnar.is_some() => assert!(lines > 2),
                    // a table that the calculation writes itself has as many rows as it needs
                    "?format=csv&decimal=comma" if !entry.own_forms.is_empty() => {
                        assert!(lines >= 2);
                    }
                    "?format=csv&decimal=comma" => assert_eq!(lines, 2, "{path}"),
                    "?format=ndjson" => assert_eq!(lines, 1, "{path}"),
                    _ => assert!(lines > 0),
                }
            }
            let path = format!("{}?display=true", entry.path());
            let answer = send_json(("POST", &path), &[], example.body).await.json();
            for headline in entry.headlines {
                let at = headline.path.replace('.', "/");
                let value = answer.pointer(&format!("/{at}"));
                let shown = answer.pointer(&format!("/display/{at}"));
                assert_eq!(
                    value.is_some(),
                    shown.is_some_and(Value::is_string),
                    "{path} {at}"
                );
            }
        }
    }
}

#[tokio::test]
async fn query_answers_what_post_answers_and_may_be_kept() {
    for entry in REGISTRY {
        let body = entry.examples[0].body;
        let posted = send_json(("POST", entry.path()), &[], body).await;
        let queried = send_json(("QUERY", entry.path()), &[], body).await;
        assert_eq!(queried.status, 200, "{}", entry.name);
        assert_eq!(posted.body, queried.body, "{}", entry.name);
        for reply in [&posted, &queried] {
            let types = reply.header("accept-query");
            assert!(types.starts_with("\"application/json\""), "{types}");
            assert_eq!(
                reply.header("content-location").is_empty(),
                !entry.is_flat()
            );
        }
        assert_eq!(posted.header("cache-control"), "no-store");
        assert_eq!(posted.header("etag"), "");
        assert_eq!(queried.header("cache-control"), "public, max-age=86400");
        let tag = queried.header("etag").to_owned();
        let again = send_json(("QUERY", entry.path()), &[("if-none-match", &tag)], body).await;
        assert_eq!((again.status, again.body.len()), (304, 0));
    }
    let reply = send(
        ("QUERY", "/v1/ratio"),
        &[("content-type", "text/plain")],
        SHOT,
    )
    .await;
    assert_eq!(reply.status, 415);
    let reply = send(("DELETE", "/v1/ratio"), &[], "").await;
    assert!(
        reply
            .header("accept-query")
            .starts_with("\"application/json\"")
    );
    assert!(reply.header("allow").contains("QUERY"));
}

/// The query of an address, taken apart by another library.
fn pairs(location: &str) -> BTreeMap<String, String> {
    let url = reqwest::Url::parse(&format!("http://localhost{location}")).expect("a URL");
    url.query_pairs().into_owned().collect()
}

#[tokio::test]
async fn the_location_holds_the_request_and_the_form() {
    for entry in REGISTRY.iter().filter(|entry| entry.is_flat()) {
        for example in entry.examples {
            let reply = send_json(("POST", entry.path()), &[], example.body).await;
            let location = reply.header("content-location");
            assert!(
                location.starts_with(&format!("{}?", entry.path())),
                "{location}"
            );
            let found = pairs(location);
            let request: Value = serde_json::from_str(example.body).expect("JSON");
            let given = request.as_object().expect("an object");
            assert_eq!(found.len(), given.len(), "{location}");
            for (name, value) in given {
                let text = &found[name];
                match value {
                    Value::Number(number) => assert_eq!(text.parse::<f64>().ok(), number.as_f64()),
                    Value::String(word) => assert_eq!(text, word),
                    Value::Array(items) => assert_eq!(text.split(',').count(), items.len()),
                    Value::Null | Value::Bool(_) | Value::Object(_) => {
                        assert_eq!(*text, value.to_string());
                    }
                }
            }
        }
    }
    let reply = shot(
        "?display=true&select=display.dose_g&decimal=comma",
        &[("accept", "text/plain")],
    )
    .await;
    let expected = "/v1/ratio?dose_g=17.3&beverage_mass_g=38.06&format=text&select=display.dose_g&decimal=comma&display=true";
    assert_eq!(reply.header("content-location"), expected);
    let refused = send_json(("POST", "/v1/ratio"), &[], "{}").await;
    assert_eq!(refused.header("content-location"), "");
}

#[tokio::test]
async fn the_location_gives_the_same_answer_byte_for_byte() {
    for entry in REGISTRY.iter().filter(|entry| entry.is_flat()) {
        for example in entry.examples {
            for query in [
                "",
                "?format=csv&decimal=comma",
                "?format=text",
                "?display=true",
            ] {
                let path = format!("{}{query}", entry.path());
                let posted = send_json(("POST", &path), &[], example.body).await;
                let location = posted.header("content-location");
                let got = send(("GET", location), &[], "").await;
                assert_eq!(got.status, 200, "{location}");
                assert_eq!(got.text(), posted.text(), "{location}");
                let (media_type, tag) = (got.header("content-type"), got.header("etag"));
                assert_eq!(media_type, posted.header("content-type"), "{location}");
                let again = send(("GET", location), &[("if-none-match", tag)], "").await;
                assert_eq!((again.status, again.body.len()), (304, 0), "{location}");
            }
        }
    }
}

#[tokio::test]
async fn faults_of_the_query_and_of_the_body_are_named_together() {
    let reply = send_json(
        ("POST", "/v1/ratio?select=nix"),
        &[],
        r#"{"dose_g":-1,"x":2}"#,
    )
    .await;
    let mut found = faults(&reply.json());
    found.sort();
    let expected = [
        ("/dose_g", "out_of_range"),
        ("/select", "unknown_field"),
        ("/x", "unknown_field"),
    ];
    assert_eq!(found, expected.map(|(p, c)| (p.to_owned(), c.to_owned())));
    let body = r#"{"bogus":1}"#;
    let reply = send_json(("POST", "/v1/charts/uncertainty?width=1"), &[], body).await;
    let pointers: Vec<_> = faults(&reply.json()).into_iter().map(|(p, _)| p).collect();
    for pointer in ["/width", "/bogus", "/dose_g"] {
        assert!(
            pointers.iter().any(|found| found == pointer),
            "{pointer} in {pointers:?}"
        );
    }
}

#[tokio::test]
async fn columns_of_what_is_selected_do_not_come_and_go() {
    let query = "?select=extraction_yield_dry_basis_percent,uncertainty,extraction_yield_percent&format=csv";
    let path = format!("/v1/extraction-yield{query}");
    let mut headers = Vec::new();
    for body in [
        r#"{"dose_g":18,"beverage_mass_g":36,"tds_percent":9}"#,
        r#"{"dose_g":18,"beverage_mass_g":36,"tds_percent":9,"coffee_moisture_percent":2,"tds_uncertainty_percent":0.1}"#,
    ] {
        let reply = send_json(("POST", &path), &[], body).await;
        headers.push(reply.text().lines().next().expect("a header").to_owned());
    }
    assert_eq!(headers[0], headers[1]);
    assert!(
        headers[0].contains(",uncertainty.expanded_points,"),
        "{}",
        headers[0]
    );
}

#[tokio::test]
async fn a_table_of_one_answer_tells_its_cautions() {
    let menu = include_str!("../../demo-data/recipes/menu/harbour-morning.json");
    let path = "/v1/recipes/menu";
    let object = send_json(("POST", path), &[], menu).await.json();
    let cautions = object["cautions"].as_array().expect("cautions");
    let codes: Vec<_> = cautions
        .iter()
        .filter_map(|it| it["code"].as_str())
        .collect();
    assert!(codes.contains(&"scald"), "{codes:?}");
    let table = send_json(("POST", &format!("{path}?format=csv")), &[], menu).await;
    let mut lines = table.text().lines();
    assert!(lines.next().expect("a header").ends_with(",caution_codes"));
    assert!(lines.next().expect("a row").ends_with(&codes.join(";")));
}

#[tokio::test]
async fn display_shows_what_is_selected() {
    let reply = shot("?display=true&select=beverage_mass_g,brew_ratio_text", &[]).await;
    let expected = json!({
        "beverage_mass_g": 38.06, "brew_ratio_text": "1:2.2", "display": {"beverage_mass_g": "38.1 g"},
    });
    assert_eq!(reply.json(), expected);
    let reply = shot("?display=true&select=beverage_mass_g&format=text", &[]).await;
    let expected = ("/display".to_owned(), "contradictory".to_owned());
    assert_eq!(
        faults(&reply.json()),
        [expected],
        "a bare value has no room for it"
    );
}

#[tokio::test]
async fn what_a_resource_reads_is_told() {
    let json = ("content-type", "application/json");
    let other = ("content-type", "application/x-other");
    for (path, body, types) in [
        (
            "/v1/ratio",
            SHOT,
            vec!["application/json", "text/csv", "application/x-ndjson"],
        ),
        ("/v1/fractions", "{}", vec!["application/json"]),
        (
            "/v1/shot-readings",
            "{}",
            vec!["application/json", "text/csv"],
        ),
    ] {
        let reply = send(("QUERY", path), &[other], body).await;
        assert_eq!(reply.status, 415);
        assert_eq!(reply.header("accept-post"), types.join(", "));
        let reply = send(("GET", "/v1/fractions"), &[json], "").await;
        assert_eq!(reply.header("accept-query"), "\"application/json\"");
        let reply = send(("PUT", path), &[json], body).await;
        let quoted: Vec<_> = types.iter().map(|name| format!("\"{name}\"")).collect();
        assert_eq!(reply.header("accept-query"), quoted.join(", "));
    }
    let headers = [("content-type", "text/csv"), ("content-encoding", "gzip")];
    let reply = send(("POST", "/v1/ratio"), &headers, "x").await;
    assert_eq!(
        (reply.status, reply.header("accept-encoding")),
        (415, "identity")
    );
    let reply = send(("POST", "/docs/"), &[], "").await;
    assert_eq!((reply.status, reply.header("allow")), (405, "GET, HEAD"));
}
