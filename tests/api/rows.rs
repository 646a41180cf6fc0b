//! Flat calculations by rows: CSV and NDJSON, in and out.

use extraction_maths::api::registry::{Entry, REGISTRY};
use extraction_maths::api::rows::{Source, example};
use serde_json::{Map, Value};

use crate::support::rows::{CSV, NDJSON, csv, send};
use crate::support::{faults, post};

fn flat() -> impl Iterator<Item = &'static Entry> {
    REGISTRY.iter().filter(|entry| entry.is_flat())
}

/// The scalars of a JSON answer as CSV writes them, by column.
fn scalars(answer: &Value) -> Map<String, Value> {
    fn add(path: &str, value: &Value, to: &mut Map<String, Value>) {
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    let dot = if path.is_empty() { "" } else { "." };
                    add(&format!("{path}{dot}{name}"), value, to);
                }
            }
            Value::Array(items) if path == "cautions" => {
                let codes: Vec<_> = items
                    .iter()
                    .filter_map(|item| item["code"].as_str())
                    .collect();
                to.insert("caution_codes".to_owned(), codes.join(";").into());
            }
            Value::Array(items) if path == "sources" => {
                let ids: Vec<_> = items.iter().filter_map(Value::as_str).collect();
                to.insert(path.to_owned(), ids.join(";").into());
            }
            Value::Array(_) | Value::Null => {}
            Value::String(text) => {
                to.insert(path.to_owned(), text.clone().into());
            }
            Value::Bool(_) | Value::Number(_) => {
                to.insert(path.to_owned(), value.to_string().into());
            }
        }
    }
    let mut to = Map::new();
    add("", answer, &mut to);
    to
}

/// The table that asks for one example.
fn table_of(body: &str) -> String {
    let fields: Map<String, Value> = serde_json::from_str(body).expect("an object");
    let text = |value: &Value| value.as_str().map_or(value.to_string(), str::to_owned);
    let cell = |value: &Value| match value.as_array() {
        Some(items) => items.iter().map(text).collect::<Vec<_>>().join("|"),
        None => text(value),
    };
    let names: Vec<_> = fields.keys().cloned().collect();
    let cells: Vec<_> = fields.values().map(cell).collect();
    format!("{}\n{}\n", names.join(","), cells.join(","))
}

/// Whether the schema knows the names inside an output: no header can list what it does not.
fn has_column(entry: &Entry, path: &str) -> bool {
    let Some((object, _)) = path.split_once('.') else {
        return true;
    };
    let fields = entry.answer_shape().fields();
    let field = fields.iter().find(|field| field.name == object);
    field.is_none_or(|field| !field.shape.fields().is_empty())
}

#[tokio::test]
async fn a_row_has_the_scalars_of_the_json_answer() {
    for entry in flat() {
        for example in entry.examples {
            let reply = send(entry.path(), CSV, table_of(example.body)).await;
            assert_eq!(reply.status, 200, "{}", reply.text);
            let (header, rows) = reply.table(b',');
            if entry.is_heavy(Source::Json(example.body.as_bytes())) {
                let problem = rows[0].iter().find(|(name, _)| *name == "problem");
                let (_, told) = problem.expect("a problem");
                assert!(
                    told.to_string().contains("work_too_large"),
                    "{}: {told}",
                    example.name
                );
                continue;
            }
            let (_, answer) = post(entry.path(), example.body).await;
            let mut expected = scalars(&answer);
            expected.retain(|name, _| has_column(entry, name));
            let request: Map<String, Value> = serde_json::from_str(example.body).expect("JSON");
            assert_eq!(header.last().map(String::as_str), Some("problem"));
            assert_eq!(rows.len(), 1);
            for (name, cell) in &rows[0] {
                let at = format!("{} {} {name}", entry.name, example.name);
                match expected.remove(name) {
                    Some(value) => assert_eq!(*cell, value, "{at}"),
                    None => assert!(cell == "" || request.contains_key(name), "{at}: {cell}"),
                }
            }
            assert!(
                expected.is_empty(),
                "{} {}: {expected:?}",
                entry.name,
                example.name
            );
        }
    }
}

#[tokio::test]
async fn the_documented_table_is_the_one_answered() {
    for entry in flat() {
        let (asked, answered) = example(entry).expect("an example");
        let reply = send(entry.path(), CSV, asked).await;
        assert_eq!(reply.text, answered, "{}", entry.name);
        assert_eq!(reply.media_type, "text/csv; charset=utf-8; header=present");
        assert_eq!(
            reply.text.matches('\n').count(),
            reply.text.matches("\r\n").count()
        );
    }
}

#[tokio::test]
async fn a_bad_row_says_why_and_spoils_no_other() {
    let body = "dose_g,brew_ratio\r\n18,2\r\n9000,2\r\n18,two\r\n18\r\n18,2,3\r\n\r\n18,NaN\r\n\"18,2\r\n18,2\r\n";
    let (_, rows) = csv(body).await.table(b',');
    let problems: Vec<_> = rows
        .iter()
        .map(|row| row["problem"].as_str().expect("text"))
        .collect();
    let starts = [
        "",
        "/dose_g out_of_range: 9000 g is outside 0.1 to 5000 g",
        "/brew_ratio wrong_type",
        "/ wrong_type: the row does not have the 2 cells",
        "/ wrong_type",
        "/brew_ratio not_finite",
        "body_too_large",
        "",
    ];
    assert_eq!(problems.len(), starts.len(), "{problems:?}");
    for (problem, start) in problems.iter().zip(starts) {
        assert!(problem.starts_with(start), "{problem} / {start}");
        assert_eq!(problem.is_empty(), start.is_empty(), "{problem}");
    }
    assert_eq!(
        rows[2]["brew_ratio"], "two",
        "the request's cells stay readable"
    );
    assert_eq!(rows[0]["beverage_mass_g"], "36.0");
}

#[tokio::test]
async fn a_header_is_refused_before_anything_is_answered() {
    for (header, expected) in [
        ("dose_g,doze_g", vec![("/doze_g", "unknown_field")]),
        (
            "dose_g,brew_ratio,dose_g",
            vec![("/dose_g", "duplicate_field")],
        ),
        (
            "dose_g,,x",
            vec![("/", "unknown_field"), ("/x", "unknown_field")],
        ),
    ] {
        let reply = csv(&format!("{header}\n1,2,3\n")).await;
        assert_eq!(
            (reply.status, reply.media_type.as_str()),
            (422, "application/problem+json")
        );
        let found = faults(&reply.problem());
        let found: Vec<_> = found
            .iter()
            .map(|(p, c)| (p.as_str(), c.as_str()))
            .collect();
        assert_eq!(found, expected, "{header}");
    }
    for (body, status, code) in [("", 400, "empty_body"), ("\r\n", 400, "empty_body")] {
        let reply = csv(body).await;
        assert_eq!(
            (reply.status, &reply.problem()["code"]),
            (status, &code.into()),
            "{body:?}"
        );
    }
    let reply = send("/v1/ratio", CSV, b"dose_g\xff\n".to_vec()).await;
    assert_eq!(reply.problem()["code"], "invalid_encoding");
    let reply = csv(&"x".repeat(70_000)).await;
    assert_eq!(
        (reply.status, &reply.problem()["code"]),
        (413, &"body_too_large".into())
    );
}

#[tokio::test]
async fn lines_are_answered_in_order_each_with_an_answer_or_a_problem() {
    let body = "{\"dose_g\":18,\"brew_ratio\":2}\n\n{\"dose_g\":9000}\n{nonsense\n[]\n{\"dose_g\":20,\"brew_ratio\":2}";
    let reply = send("/v1/ratio", NDJSON, body).await;
    assert_eq!(
        (reply.status, reply.media_type.as_str()),
        (200, "application/x-ndjson")
    );
    let lines: Vec<Value> = reply
        .text
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    let (_, answer) = post("/v1/ratio", r#"{"dose_g":18,"brew_ratio":2}"#).await;
    assert_eq!(lines.len(), 5);
    assert_eq!(lines[0], answer);
    assert_eq!(lines[1]["problem"]["errors"][0]["code"], "out_of_range");
    assert_eq!(lines[2]["problem"]["code"], "malformed_json");
    assert_eq!(lines[3]["problem"]["code"], "validation_failed");
    assert_eq!(lines[4]["beverage_mass_g"], 40.0);
}

#[tokio::test]
async fn the_answers_follow_the_request_unless_the_caller_says_otherwise() {
    let (table, line) = (
        "dose_g,brew_ratio\n18,2\n",
        "{\"dose_g\":18,\"brew_ratio\":2}\n",
    );
    let accept = |value| vec![("content-type", "text/csv"), ("accept", value)];
    for (path, headers, media_type) in [
        (
            "/v1/ratio?format=ndjson",
            CSV.to_vec(),
            "application/x-ndjson",
        ),
        (
            "/v1/ratio",
            accept("application/x-ndjson, text/csv;q=0.5"),
            "application/x-ndjson",
        ),
        (
            "/v1/ratio?format=csv",
            accept("application/x-ndjson"),
            "text/csv; charset=utf-8; header=present",
        ),
        (
            "/v1/ratio",
            accept("text/html, */*;q=0.1"),
            "text/csv; charset=utf-8; header=present",
        ),
    ] {
        let reply = send(path, &headers, table).await;
        assert_eq!(
            (reply.status, reply.media_type.as_str()),
            (200, media_type),
            "{path} {headers:?}"
        );
    }
    let csv = send("/v1/ratio?format=csv", NDJSON, line).await;
    let (_, rows) = csv.table(b',');
    assert_eq!(
        (&rows[0]["dose_g"], &rows[0]["beverage_mass_g"]),
        (&"18.0".into(), &"36.0".into())
    );
    let lines = send("/v1/ratio?format=ndjson", CSV, table).await;
    let (_, answer) = post("/v1/ratio", line).await;
    assert_eq!(lines.text.trim_end(), answer.to_string());
    for (path, headers) in [
        ("/v1/ratio?format=json", CSV.to_vec()),
        ("/v1/ratio", accept("image/png")),
    ] {
        let reply = send(path, &headers, table).await;
        assert_eq!(
            (reply.status, &reply.problem()["code"]),
            (406, &"not_acceptable".into())
        );
    }
    let coded = [("content-type", "text/csv; charset=iso-8859-1")];
    assert_eq!(send("/v1/ratio", &coded, table).await.status, 415);
}

#[tokio::test]
async fn only_the_outputs_that_are_selected_have_columns() {
    let table = "dose_g,brew_ratio\n18,2\n9000,2\n";
    let reply = send("/v1/ratio?select=beverage_mass_g,caution_codes", CSV, table).await;
    let (names, rows) = reply.table(b',');
    let expected = [
        "dose_g",
        "brew_ratio",
        "beverage_mass_g",
        "caution_codes",
        "problem",
    ];
    assert_eq!(names, expected);
    assert_eq!(rows[0]["beverage_mass_g"], "36.0");
    assert_eq!(rows[0]["problem"], "");
    let problem = rows[1]["problem"].as_str().expect("text");
    assert!(problem.starts_with("/dose_g out_of_range"), "{problem}");

    let shots = "dose_g,beverage_mass_g,tds_percent\n18,36,9.5\n";
    let path = "/v1/extraction-yield?select=assessment.to_reach_middle";
    let (names, rows) = send(path, CSV, shots).await.table(b',');
    let selected = names.iter().filter(|name| name.starts_with("assessment."));
    assert_eq!(selected.count(), names.len() - 4, "{names:?}");
    // 100 × 0.095 × 36 / 18 = 19, one point below the middle of 18 to 22 %
    let points = &rows[0]["assessment.to_reach_middle.extraction_yield_change_points"];
    assert_eq!(points, "1.0");

    let path = "/v1/ratio?select=beverage_mass_g&format=ndjson";
    let lines = send(path, CSV, table).await;
    let (first, second) = lines.text.split_once('\n').expect("two lines");
    assert_eq!(first, r#"{"beverage_mass_g":36.0}"#);
    let second: Value = serde_json::from_str(second).expect("JSON");
    assert_eq!(second["problem"]["errors"][0]["code"], "out_of_range");
}

#[tokio::test]
async fn display_adds_columns_with_the_rounded_texts() {
    let table = "dose_g;beverage_mass_g\n17,3;38,06\n0;1\n";
    let (names, rows) = send("/v1/ratio?display=true", CSV, table).await.table(b';');
    let is_shown = |name: &&String| name.starts_with("display.");
    let shown: Vec<_> = names.iter().filter(is_shown).collect();
    let whole = post(
        "/v1/ratio?display=true",
        r#"{"dose_g":17.3,"beverage_mass_g":38.06}"#,
    )
    .await;
    let display = whole.1["display"].as_object().expect("an object");
    for (name, text) in display {
        let text = text.as_str().expect("a text").replace('.', ",");
        assert_eq!(rows[0][&format!("display.{name}")], text);
    }
    assert!(display.len() <= shown.len());
    assert_eq!(names.last().expect("a column"), "problem");
    assert_eq!(rows[1]["display.dose_g"], "", "a bad row shows nothing");

    let path = "/v1/ratio?display=true&select=display.beverage_mass_g,brew_ratio";
    let reply = send(path, CSV, table).await;
    let header = "dose_g;beverage_mass_g;brew_ratio;display.beverage_mass_g;problem\r\n";
    assert!(reply.text.starts_with(header), "{}", reply.text);
    assert!(
        reply.text.contains("\r\n17,3;38,06;2,2;38,1 g;\r\n"),
        "{}",
        reply.text
    );
    let path = "/v1/ratio?display=true&select=display&format=ndjson&decimal=comma";
    let line = send(path, CSV, table).await.text;
    assert!(line.contains(r#""beverage_mass_g":"38,1 g""#), "{line}");
}

#[tokio::test]
async fn what_cannot_be_told_is_refused_before_the_first_row() {
    let table = "dose_g,brew_ratio\n18,2\n";
    for (query, pointer, code) in [
        ("select=bre_ratio", "/select", "unknown_field"),
        ("select=brew_ratio,x", "/select", "unknown_field"),
        ("select=workings", "/select", "wrong_type"),
        ("select=display.dose_g", "/select", "unknown_field"),
        ("select=brew_ratio,", "/select", "unknown_field"),
        ("display=yes", "/display", "not_allowed"),
        ("format=ndjson&decimal=comma", "/decimal", "contradictory"),
    ] {
        let reply = send(&format!("/v1/ratio?{query}"), CSV, table).await;
        let expected = vec![(pointer.to_owned(), code.to_owned())];
        assert_eq!(
            (reply.status, faults(&reply.problem())),
            (422, expected),
            "{query}"
        );
    }
    let reply = send("/v1/ratio?select=workings&format=ndjson", CSV, table).await;
    assert_eq!((reply.status, reply.text.as_str()), (200, "{}\n"));
}

#[tokio::test]
async fn faults_of_the_query_and_of_the_header_are_named_together() {
    let reply = send("/v1/ratio?select=nix&a=b", CSV, "dose_g,x\n1,2\n").await;
    let mut found = faults(&reply.problem());
    found.sort();
    let expected = [
        ("/a", "unknown_field"),
        ("/select", "unknown_field"),
        ("/x", "unknown_field"),
    ];
    assert_eq!(found, expected.map(|(p, c)| (p.to_owned(), c.to_owned())));
}

#[tokio::test]
async fn a_refused_line_keeps_its_cells_in_a_table_and_no_other_output_comes() {
    let lines = "{\"dose_g\":18,\"brew_ratio\":2}\n{\"dose_g\":-1,\"brew_ratio\":2}\n";
    let path = "/v1/ratio?select=beverage_mass_g&format=csv";
    let (_, rows) = send(path, NDJSON, lines).await.table(b',');
    assert_eq!(rows[0]["beverage_mass_g"], "36.0");
    assert_eq!(rows[0]["water_mass_g"], "", "neither sent nor selected");
    assert_eq!(
        (&rows[1]["dose_g"], &rows[1]["brew_ratio"]),
        (&"-1".into(), &"2".into())
    );
    assert!(
        rows[1]["problem"]
            .as_str()
            .expect("a text")
            .starts_with("/dose_g")
    );
}

#[tokio::test]
async fn no_lines_are_an_empty_body() {
    for body in ["", "\n", " \r\n\n"] {
        let reply = send("/v1/ratio", NDJSON, body).await;
        let code = &reply.problem()["code"];
        assert_eq!(
            (reply.status, code),
            (400, &"empty_body".into()),
            "{body:?}"
        );
    }
}
