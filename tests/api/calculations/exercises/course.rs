//! Sheets for a class: each student's own, marked by the seed that stands on it, and printed.

use serde_json::{Value, json};

use super::super::{answer, refused};
use super::exercise;
use crate::support::http::send_json;

const PATH: &str = "/v1/exercises/sheet";

fn wanted(students: u32) -> Value {
    json!({"topics": ["ratio", "steam-boiler"], "level": 2, "seed": 12, "students": students, "title": "<b>Lab & \"course\"</b>"})
}

#[tokio::test]
async fn each_student_gets_exercises_that_stand_by_themselves() {
    let sheet = answer(PATH, &wanted(4)).await;
    let students = sheet["students"].as_array().expect("students");
    assert_eq!(students.len(), 4);
    let mut seen = Vec::new();
    for student in students {
        for text in student["exercises"].as_array().expect("exercises") {
            let (topic, seed) = (text["topic"].as_str(), text["seed"].as_u64());
            let alone = exercise(topic.expect("a topic"), 2, seed.expect("a seed")).await;
            for name in ["question", "data", "request", "asked", "marks"] {
                assert_eq!(text[name], alone[name]);
            }
            assert!(!seen.contains(&text["question"].to_string()));
            seen.push(text["question"].to_string());
        }
    }
}

#[tokio::test]
async fn a_longer_sheet_begins_as_the_shorter_one() {
    let (short, long) = (
        answer(PATH, &wanted(2)).await,
        answer(PATH, &wanted(5)).await,
    );
    assert_eq!(short["students"][1], long["students"][1]);
}

#[tokio::test]
async fn two_hundred_students_have_room() {
    let mut body = wanted(200);
    body["topics"] = json!(["brewing-water", "ratio", "water-temperature", "water-blend"]);
    body["level"] = json!(3);
    let sheet = answer(PATH, &body).await;
    assert_eq!(sheet["students"].as_array().map(Vec::len), Some(200));
    body["students"] = json!(201);
    assert_eq!(
        refused(PATH, &body.to_string()).await,
        ["/students out_of_range"]
    );
    body["students"] = json!(1);
    body["topics"] = json!([]);
    assert_eq!(
        refused(PATH, &body.to_string()).await,
        ["/topics too_few_items"]
    );
}

#[tokio::test]
async fn a_sheet_as_csv_has_a_row_for_each_step() {
    let body = wanted(3).to_string();
    let steps: usize = {
        let sheet = answer(PATH, &wanted(3)).await;
        sheet["key"].as_array().expect("a key").len()
    };
    for (query, separator) in [("?format=csv", ','), ("?format=csv&decimal=comma", ';')] {
        let reply = send_json(("POST", &format!("{PATH}{query}")), &[], &body).await;
        assert!(reply.header("content-type").starts_with("text/csv"));
        let lines: Vec<_> = reply.text().split_terminator("\r\n").collect();
        assert_eq!(lines.len(), steps + 1, "{}", reply.text());
        let expected = [
            "student",
            "topic",
            "level",
            "seed",
            "question",
            "step",
            "words",
            "unit",
            "significant_figures",
            "marks",
            "value",
            "tolerance",
        ];
        assert_eq!(lines[0], expected.join(&separator.to_string()));
    }
}

#[tokio::test]
async fn a_sheet_as_a_page_is_escaped_and_has_its_key_apart() {
    let body = wanted(3).to_string();
    let by_query = send_json(("POST", &format!("{PATH}?format=html")), &[], &body).await;
    let by_header = send_json(("POST", PATH), &[("accept", "text/html")], &body).await;
    assert_eq!(by_query.text(), by_header.text());
    assert!(by_query.header("content-type").starts_with("text/html"));
    assert!(
        by_query
            .header("content-security-policy")
            .contains("default-src 'none'")
    );
    let page = by_query.text();
    assert!(
        page.contains("&lt;b&gt;Lab &amp; &quot;course&quot;&lt;/b&gt;") && !page.contains("<b>")
    );
    assert_eq!(page.matches("<section>").count(), 3);
    assert_eq!(page.matches("<section class=\"key\">").count(), 1);
    assert!(page.contains("break-after:page"));
    for (open, close) in [
        ("<section", "</section>"),
        ("<article", "</article>"),
        ("<table", "</table>"),
        ("<tr>", "</tr>"),
    ] {
        assert_eq!(
            page.matches(open).count(),
            page.matches(close).count(),
            "{open}"
        );
    }
}

/// The key tells what is to be written, the sheet of a student does not; hazards stand on each sheet.
#[tokio::test]
async fn a_printed_sheet_tells_hazards_and_its_key_the_rounded_answers() {
    let body = wanted(3).to_string();
    let reply = send_json(("POST", &format!("{PATH}?format=html")), &[], &body).await;
    let (sheets, key) = reply
        .text()
        .split_once("<section class=\"key\">")
        .expect("a key");
    assert_eq!(sheets.matches("If you try this out:").count(), 3);
    assert_eq!(
        sheets
            .matches("Leave boilers, valves and seals to licensed service")
            .count(),
        3
    );
    assert_eq!(sheets.matches("topic version 1").count(), 6);
    let sheet = answer(PATH, &wanted(3)).await;
    for line in sheet["key"].as_array().expect("lines") {
        let (value, unit) = (line["value"].as_f64().expect("a number"), &line["unit"]);
        let figures = line["significant_figures"].as_u64().expect("a count");
        let unit = unit
            .as_str()
            .filter(|unit| *unit != "1")
            .unwrap_or_default();
        let cell = format!("{} {unit}</td>", as_written(value, figures));
        assert!(key.contains(&cell), "{cell} in {key}");
        assert!(
            !sheets.contains(&format!(">{cell}")),
            "{cell} on a student's sheet"
        );
    }
    let datum = &sheet["students"][0]["exercises"][0]["data"][0];
    let [number, unit] = ["text", "unit"].map(|name| datum[name].as_str().expect("a text"));
    assert!(
        sheets.contains(&format!("{number}\u{a0}{unit}")),
        "a number and its unit stay together"
    );
}

/// A number to significant figures without an exponent, by the text of its scientific form.
fn as_written(value: f64, figures: u64) -> String {
    let digits = usize::try_from(figures - 1).expect("few");
    let text = format!("{value:.digits$e}");
    let (_, power) = text.split_once('e').expect("an exponent");
    let power: i64 = power.parse().expect("a number");
    let decimals = i64::try_from(figures).expect("few") - 1 - power;
    let rounded: f64 = text.parse().expect("a number");
    format!("{rounded:.*}", usize::try_from(decimals).unwrap_or(0))
}

#[tokio::test]
async fn a_sheet_without_a_title_and_hazards_says_so_little() {
    let body = json!({"topics": ["ratio"], "seed": 1, "students": 1}).to_string();
    let reply = send_json(("POST", &format!("{PATH}?format=html")), &[], &body).await;
    assert!(reply.text().contains("<h1>Exercises</h1>"));
    assert!(
        !reply.text().contains("If you try this out"),
        "nothing hot in it"
    );
}

#[tokio::test]
async fn a_page_is_for_what_can_be_printed() {
    let reply = send_json(
        ("POST", "/v1/ratio?format=html"),
        &[],
        r#"{"dose_g":18,"brew_ratio":2}"#,
    )
    .await;
    assert_eq!(reply.status, 422);
    assert_eq!(reply.json()["errors"][0]["pointer"], "/format");
    let body = wanted(1).to_string();
    let reply = send_json(
        ("POST", &format!("{PATH}?format=html&select=seed")),
        &[],
        &body,
    )
    .await;
    assert_eq!(
        reply.json()["errors"][0]["code"],
        "contradictory",
        "{reply:?}"
    );
    let reply = send_json(("POST", "/v1/ratio"), &[("accept", "text/html")], "{}").await;
    assert_eq!(reply.status, 406);
}
