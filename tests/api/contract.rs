//! What holds for every calculation of the registry: the document is true.

use extraction_maths::api::bibliography;
use extraction_maths::api::calculation::UNCANCELLED;
use extraction_maths::api::registry::{Entry, REGISTRY};
use extraction_maths::api::shape::Shape;
use extraction_maths::server::document;
use serde_json::{Value, json};

use crate::support::{faults, get, post};

fn committed(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("openapi")
        .join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path:?}: {e}"))
}

#[tokio::test]
async fn the_committed_document_is_the_one_served() {
    let built = document::of(REGISTRY);
    let advice = "run scripts in DEVELOPERS.md to write it anew, and review the difference";
    assert!(
        committed("openapi.json") == document::json(&built).expect("JSON"),
        "{advice}"
    );
    assert!(
        committed("openapi.yaml") == document::yaml(&built).expect("YAML"),
        "{advice}"
    );
    let (status, served) = get("/openapi.json").await;
    assert_eq!(status, 200);
    assert!(served == built);
}

#[tokio::test]
async fn every_example_is_answered_as_the_document_says() {
    let (_, document) = get("/openapi.json").await;
    for entry in REGISTRY {
        let operation = &document["paths"][entry.path()]["post"];
        let requests = &operation["requestBody"]["content"]["application/json"]["examples"];
        let answers = &operation["responses"]["200"]["content"]["application/json"]["examples"];
        let names: Vec<_> = requests
            .as_object()
            .expect("examples")
            .keys()
            .cloned()
            .collect();
        assert!(!names.is_empty(), "{}", entry.name);
        for name in names {
            let (status, answer) = post(entry.path(), &requests[&name]["value"].to_string()).await;
            assert_eq!(status, 200, "{} {name}: {answer}", entry.name);
            assert_eq!(answer, answers[&name]["value"], "{} {name}", entry.name);
        }
    }
}

#[tokio::test]
async fn every_example_stands_in_the_demo_data_and_the_other_way_round() {
    for entry in REGISTRY {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("demo-data")
            .join(entry.name);
        let mut files: Vec<_> = std::fs::read_dir(&folder)
            .unwrap_or_else(|e| panic!("{folder:?}: {e}"))
            .map(|file| file.expect("a file").path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
            .map(|path| {
                path.file_stem()
                    .expect("a name")
                    .to_str()
                    .expect("ASCII")
                    .to_owned()
            })
            .collect();
        let mut names: Vec<_> = entry
            .examples
            .iter()
            .map(|example| example.name.to_owned())
            .collect();
        files.sort();
        names.sort();
        assert_eq!(files, names, "{}", entry.name);
    }
}

/// A type that stands in several requests or in an answer too is published once: no other use of
/// it may take away what is judged.
#[test]
fn every_type_of_a_request_is_published_with_its_bounds() {
    let document = document::of(REGISTRY);
    let published = &document["components"]["schemas"];
    let mut bounded = 0;
    for entry in REGISTRY {
        let schemas = entry.request_schema();
        let root = (schemas.name, schemas.root);
        for (name, judged) in schemas.components.into_iter().chain([root]) {
            let shown = without_units(published[&name].clone());
            bounded += usize::from(judged.to_string().contains("\"maximum\""));
            assert_eq!(shown, without_units(judged), "{} {name}", entry.name);
        }
    }
    assert!(bounded > REGISTRY.len());
}

/// Two types of one name would leave the document with one of them.
#[test]
fn a_name_in_the_document_means_one_type() {
    let mut known = std::collections::BTreeMap::new();
    let mut found = Vec::new();
    for entry in REGISTRY {
        for schemas in [entry.response_schema(), entry.request_schema()] {
            let root = (schemas.name, schemas.root);
            for (name, schema) in schemas.components.into_iter().chain([root]) {
                let schema = without_limits(schema);
                match known.get(&name) {
                    None => drop(known.insert(name, schema)),
                    Some(other) if *other == schema => {}
                    Some(_) => found.push(format!("{name} of {}", entry.name)),
                }
            }
        }
    }
    assert!(found.is_empty(), "another type stands elsewhere: {found:?}");
}

/// The shape alone: requests have the limits of their calculation.
fn without_limits(schema: Value) -> Value {
    const LIMITS: [&str; 6] = [
        "minimum",
        "maximum",
        "minItems",
        "maxItems",
        "maxLength",
        "pattern",
    ];
    without(&LIMITS, schema)
}

/// The units are added as it is published.
fn without_units(schema: Value) -> Value {
    without(&["x-unit"], schema)
}

/// A schema without some of its keywords, inside too.
fn without(keywords: &[&str], mut schema: Value) -> Value {
    match &mut schema {
        Value::Object(fields) => {
            fields.retain(|name, _| !keywords.contains(&name.as_str()));
            for field in fields.values_mut() {
                *field = without(keywords, field.take());
            }
        }
        Value::Array(items) => {
            for item in items {
                *item = without(keywords, item.take());
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
    schema
}

#[test]
fn every_source_named_by_an_answer_is_in_the_bibliography() {
    for entry in REGISTRY {
        for example in entry.examples {
            let answer = answer(entry, example.body);
            let sources = answer["sources"].as_array().expect("sources");
            assert!(!sources.is_empty(), "{} {}", entry.name, example.name);
            let steps = answer["workings"].as_array().into_iter().flatten();
            let of_steps = steps.map(|step| &step["source"]);
            for id in sources.iter().chain(of_steps) {
                let is_known = bibliography::sources()
                    .iter()
                    .any(|source| *id == source.id.as_str());
                assert!(is_known, "{} {}: {id}", entry.name, example.name);
            }
        }
    }
}

fn answer(entry: &Entry, body: &str) -> Value {
    let mut out = Vec::new();
    entry
        .answer(body.as_bytes(), &UNCANCELLED, &mut out)
        .expect("an answer");
    serde_json::from_slice(&out).expect("JSON")
}

/// A number of a request: its place in the body, ends of its range.
struct Number {
    /// Names of fields, and 0 for the first item of a list.
    place: Vec<String>,
    min: f64,
    max: f64,
    is_integer: bool,
}

impl Number {
    /// The nearest values outside the bounds.
    fn outside(&self) -> [f64; 2] {
        if self.is_integer {
            [self.min - 1.0, self.max + 1.0]
        } else {
            [self.min.next_down(), self.max.next_up()]
        }
    }

    fn pointer(&self) -> String {
        format!("/{}", self.place.join("/"))
    }

    /// A body in which nothing but this number stands.
    fn body(&self, value: f64) -> Value {
        self.holding(json!(value))
    }

    /// A body in which nothing stands but a value of any kind in the place of this number.
    fn holding(&self, value: Value) -> Value {
        let inside_out = self.place.iter().rev();
        inside_out.fold(value, |inner, part| match part.as_str() {
            "0" => json!([inner]),
            name => json!({name: inner}),
        })
    }
}

/// Puts another body into this one, field by field and item by item.
fn merge(into: &mut Value, other: Value) {
    match (into, other) {
        (Value::Object(into), Value::Object(other)) => {
            for (name, value) in other {
                merge(into.entry(name).or_insert(Value::Null), value);
            }
        }
        (Value::Array(into), Value::Array(other)) => {
            for (into, value) in into.iter_mut().zip(other) {
                merge(into, value);
            }
        }
        (into, other) => *into = other,
    }
}

/// Every number of a request, those in lists and in objects inside included.
fn numbers(entry: &Entry) -> Vec<Number> {
    fn collect(shape: &Shape, place: &[String], found: &mut Vec<Number>) {
        let inside = |part: &str| [place, &[part.to_owned()]].concat();
        match shape {
            Shape::Number(at) => found.push(Number {
                place: place.to_vec(),
                min: at.min,
                max: at.max,
                is_integer: at.is_integer,
            }),
            Shape::List { item, .. } => collect(item, &inside("0"), found),
            Shape::Object(fields) => {
                for field in fields {
                    collect(&field.shape, &inside(&field.name), found);
                }
            }
            Shape::Text { .. } | Shape::Flag => {}
        }
    }
    let mut found = Vec::new();
    collect(entry.shape(), &[], &mut found);
    found
}

#[test]
fn every_number_of_a_request_has_bounds_of_its_own() {
    for entry in REGISTRY {
        for number in numbers(entry) {
            let (name, min, max) = (number.pointer(), number.min, number.max);
            assert!(
                min > f64::MIN && max < f64::MAX,
                "{} {name} has no bounds",
                entry.name
            );
            assert!(min < max, "{} {name}", entry.name);
        }
    }
}

/// The bounds of the document are the bounds that the running service enforces: the ends are
/// not out of range, the next number outside is.
#[tokio::test]
async fn the_bounds_in_the_document_are_the_bounds_enforced() {
    for entry in REGISTRY {
        for number in numbers(entry) {
            let (pointer, min, max) = (number.pointer(), number.min, number.max);
            let fault = (pointer.clone(), "out_of_range".to_owned());
            let [below, above] = number.outside();
            for (value, is_inside) in [(min, true), (max, true), (below, false), (above, false)] {
                let body = number.body(value).to_string();
                let (status, answer) = post(entry.path(), &body).await;
                let is_refused = status == 422
                    && answer["code"] == "validation_failed"
                    && faults(&answer).contains(&fault);
                assert_eq!(
                    !is_inside, is_refused,
                    "{} {pointer} {value}: {answer}",
                    entry.name
                );
            }
        }
    }
}

#[tokio::test]
async fn a_wrong_type_an_unknown_field_and_a_value_out_of_range_are_named_together() {
    for entry in REGISTRY {
        let numbers = numbers(entry);
        let [first, second, ..] = numbers.as_slice() else {
            panic!("{} has fewer than two numbers", entry.name);
        };
        let mut body = json!({"unheard_of": []});
        merge(&mut body, first.holding(json!(true)));
        merge(&mut body, second.body(second.max * 2.0 + 1.0));
        let (first, second) = (first.pointer(), second.pointer());
        let (status, problem) = post(entry.path(), &body.to_string()).await;
        assert_eq!(status, 422);
        let found = faults(&problem);
        for (name, code) in [
            (first.as_str(), "wrong_type"),
            (second.as_str(), "out_of_range"),
            ("/unheard_of", "unknown_field"),
        ] {
            let fault = (name.to_owned(), code.to_owned());
            assert!(
                found.contains(&fault),
                "{}: {fault:?} in {found:?}",
                entry.name
            );
        }
    }
}

/// A schema keyword that is null makes the whole document invalid; values are never null either.
#[test]
fn the_document_holds_no_null() {
    fn nulls(value: &Value, at: &str, found: &mut Vec<String>) {
        match value {
            Value::Null => found.push(at.to_owned()),
            Value::Array(items) => items.iter().for_each(|item| nulls(item, at, found)),
            Value::Object(fields) => fields
                .iter()
                .for_each(|(name, field)| nulls(field, &format!("{at}/{name}"), found)),
            Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
        }
    }
    let mut found = Vec::new();
    nulls(&document::of(REGISTRY), "", &mut found);
    assert_eq!(found, [""; 0]);
}

#[test]
fn every_operation_is_described() {
    let document = document::of(REGISTRY);
    for (path, operations) in document["paths"].as_object().expect("paths") {
        for (method, operation) in operations.as_object().expect("operations") {
            let at = format!("{method} {path}");
            for part in ["summary", "description", "operationId"] {
                let text = operation[part].as_str();
                assert!(text.is_some_and(|text| !text.is_empty()), "{at}: {part}");
            }
            let tags = operation["tags"].as_array();
            assert!(tags.is_some_and(|tags| tags.len() == 1), "{at}: tag");
            let responses = operation["responses"].as_object().expect("responses");
            assert!(
                responses.keys().any(|status| status.starts_with('4')),
                "{at}: errors"
            );
        }
    }
}

#[test]
fn every_field_and_error_is_described() {
    let document = document::of(REGISTRY);
    for (name, schema) in document["components"]["schemas"]
        .as_object()
        .expect("schemas")
    {
        assert!(
            schema["description"].is_string(),
            "{name} has no description"
        );
        for (field, property) in schema["properties"].as_object().into_iter().flatten() {
            let is_described = property["description"].is_string()
                || property["$ref"].is_string()
                || property["oneOf"][0]["description"].is_string();
            assert!(is_described, "{name}.{field} has no description");
            if property["type"].to_string().contains("number") {
                assert!(property["x-unit"].is_string(), "{name}.{field} has no unit");
            }
        }
    }
    for (name, response) in document["components"]["responses"]
        .as_object()
        .expect("responses")
    {
        let media = &response["content"]["application/problem+json"];
        assert!(
            response["description"].is_string() && media["example"].is_object(),
            "{name}"
        );
    }
}

#[tokio::test]
async fn every_documented_page_answers_as_documented() {
    let (_, document) = get("/openapi.json").await;
    let client = reqwest::Client::builder()
        .redirect(reqwest::redirect::Policy::none())
        .no_proxy()
        .build()
        .expect("a client");
    for (path, operations) in document["paths"].as_object().expect("paths") {
        let Some(operation) = operations.get("get").filter(|_| !path.contains('{')) else {
            continue;
        };
        if path.starts_with("/v1/") && operations.get("post").is_some() {
            continue;
        }
        let url = format!("{}{path}", crate::support::shared());
        let response = client.get(&url).send().await.expect("an answer");
        let status = response.status().as_str().to_owned();
        let documented = &operation["responses"][&status]["content"];
        let media_type = response.headers()["content-type"]
            .to_str()
            .expect("ASCII")
            .to_owned();
        let essence = media_type.split(';').next().expect("a type");
        assert!(
            documented[essence].is_object(),
            "{path}: {status} {media_type}"
        );
    }
}
