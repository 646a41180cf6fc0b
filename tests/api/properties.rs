//! What must hold for every request to every calculation: an answer of finite numbers or a
//! typed problem, never a failure of ours. Requests are drawn from the published shape.

use extraction_maths::api::calculation::{UNCANCELLED, Weight};
use extraction_maths::api::problem::{FaultCode, Problem, ProblemCode};
use extraction_maths::api::registry::{Entry, REGISTRY};
use extraction_maths::api::shape::{Field, Interval, Shape};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseResult, TestRng, TestRunner};
use serde_json::{Map, Value, json};

/// Longest list drawn, unless the shape asks for a longer one.
const LONGEST_LIST: usize = 12;

/// Runs a property with the same draws each time: a gate must not depend on luck.
fn for_all<S: Strategy>(
    entry: &Entry,
    strategy: &S,
    property: impl Fn(S::Value) -> TestCaseResult,
) {
    let cases = match entry.weight {
        Weight::Light => 400,
        // some of them are heavy
        Weight::ByRequest => 200,
        Weight::Heavy => 10,
    };
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let outcome = TestRunner::new_with_rng(config, rng).run(strategy, property);
    outcome.unwrap_or_else(|failure| panic!("{}: {failure}", entry.name));
}

fn number(at: Interval) -> BoxedStrategy<Value> {
    if at.is_integer {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "bounds of whole numbers are whole and small"
        )]
        let (min, max) = (at.min as i64, at.max as i64);
        return (min..=max).prop_map(Value::from).boxed();
    }
    let (min, max) = (at.min, at.max);
    let even = (0.0..=1.0).prop_map(move |share: f64| min + share * (max - min));
    // most fields are used near the small end of their range
    let small = (0.0..=1.0).prop_map(move |share: f64| min + share.powi(4) * (max - min));
    let ends = select(vec![min, max, min.next_up(), max.next_down()]);
    // a caller types a few digits
    let rounded = (0.0..=1.0)
        .prop_map(move |share: f64| ((min + share.powi(2) * (max - min)) * 10.0).round() / 10.0);
    prop_oneof![4 => even, 4 => small, 1 => ends, 4 => rounded]
        .prop_map(move |value: f64| json!(value.clamp(min, max)))
        .boxed()
}

/// Any day of the calendar, most of them near each other.
fn date() -> BoxedStrategy<Value> {
    let day = |years: std::ops::Range<i32>| {
        (years, 1..=12, 1..=28)
            .prop_map(|(year, month, day)| json!(format!("{year:04}-{month:02}-{day:02}")))
    };
    let ends = select(vec!["0000-01-01", "9999-12-31", "2028-02-29"]);
    prop_oneof![6 => day(2025..2027), 1 => day(0..10_000), 1 => ends.prop_map(Value::from)].boxed()
}

fn value(shape: &Shape) -> BoxedStrategy<Value> {
    match shape {
        Shape::Number(at) => number(*at),
        Shape::Flag => any::<bool>().prop_map(Value::from).boxed(),
        Shape::Text { words, .. } if !words.is_empty() => {
            select(words.clone()).prop_map(Value::from).boxed()
        }
        Shape::Text { is_date: true, .. } => date(),
        Shape::Text { max_length, .. } => {
            let longest = max_length.unwrap_or(24).min(24);
            // a null character is refused in any text
            let character = any::<char>().prop_map(|c| if c == '\0' { ' ' } else { c });
            let text = vec(character, 0..=longest);
            text.prop_map(|text| Value::from(text.into_iter().collect::<String>()))
                .boxed()
        }
        Shape::List {
            item,
            min_items,
            max_items,
        } => {
            let most = (*max_items).min(LONGEST_LIST.max(*min_items));
            vec(value(item), *min_items..=most)
                .prop_map(Value::from)
                .boxed()
        }
        Shape::Object(fields) => object(fields),
    }
}

/// An object with its required fields and some of the others.
fn object(fields: &[Field]) -> BoxedStrategy<Value> {
    fields
        .iter()
        .map(|field| {
            let name = field.name.clone();
            let given = value(&field.shape).prop_map(move |value| Some((name.clone(), value)));
            if field.is_required {
                given.boxed()
            } else {
                prop_oneof![3 => Just(None), 2 => given].boxed()
            }
        })
        .collect::<Vec<_>>()
        .prop_map(|fields| Value::Object(fields.into_iter().flatten().collect()))
        .boxed()
}

/// One of the examples of a calculation.
fn example(entry: &'static Entry) -> impl Strategy<Value = Map<String, Value>> {
    let bodies: Vec<Map<String, Value>> = entry
        .examples
        .iter()
        .map(|example| serde_json::from_str(example.body).expect("an object"))
        .collect();
    select(bodies)
}

/// An example with a field or two drawn anew: most rules between fields still hold.
fn near_an_example(entry: &'static Entry) -> BoxedStrategy<Value> {
    let fields: Vec<_> = entry.shape().fields().to_vec();
    let fresh = select(fields).prop_flat_map(|field| {
        let name = field.name.clone();
        value(&field.shape).prop_map(move |value| (name.clone(), value))
    });
    (example(entry), vec(fresh, 0..=2))
        .prop_map(|(mut request, fresh)| {
            request.extend(fresh);
            Value::Object(request)
        })
        .boxed()
}

fn asked(entry: &Entry, body: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut out = b"before".to_vec();
    match entry.answer(body, &UNCANCELLED, &mut out) {
        Ok(()) => Ok(out.split_off(b"before".len())),
        Err(problem) => {
            assert_eq!(out, b"before", "{}: half an answer was left", entry.name);
            Err(problem)
        }
    }
}

fn has_null(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(items) => items.iter().any(has_null),
        Value::Object(fields) => fields.values().any(has_null),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => false,
    }
}

/// Faults that a request which keeps the published shape cannot have.
const AGAINST_THE_SHAPE: [FaultCode; 8] = [
    FaultCode::UnknownField,
    FaultCode::DuplicateField,
    FaultCode::WrongType,
    FaultCode::NotFinite,
    FaultCode::TooManyItems,
    FaultCode::TooFewItems,
    FaultCode::TooLong,
    FaultCode::NotAllowed,
];

fn check_good_shape(entry: &Entry, request: &Value) -> TestCaseResult {
    let body = request.to_string();
    match asked(entry, body.as_bytes()) {
        Ok(answer) => {
            let parsed: Value = serde_json::from_slice(&answer).expect("JSON");
            prop_assert!(
                !has_null(&parsed),
                "{body} is answered with a null: {parsed}"
            );
            let again = asked(entry, body.as_bytes());
            prop_assert_eq!(Ok(answer), again, "{} is answered in two ways", body);
        }
        Err(problem) => {
            let status = problem.code().status();
            prop_assert!(status < 500, "{body}: {problem}: {:?}", problem.private());
            for fault in problem.faults() {
                let is_right = !AGAINST_THE_SHAPE.contains(&fault.code);
                prop_assert!(is_right, "{body} has the published shape: {fault:?}");
            }
        }
    }
    Ok(())
}

#[test]
fn a_request_of_the_published_shape_is_answered_or_told_why_not() {
    for entry in REGISTRY {
        for_all(entry, &value(entry.shape()), |request| {
            check_good_shape(entry, &request)
        });
    }
}

#[test]
fn a_request_like_an_example_is_answered_or_told_why_not() {
    for entry in REGISTRY {
        let answered = std::cell::Cell::new(0);
        for_all(entry, &near_an_example(entry), |request| {
            let is_answered = asked(entry, request.to_string().as_bytes()).is_ok();
            answered.set(answered.get() + u32::from(is_answered));
            check_good_shape(entry, &request)
        });
        assert!(answered.get() > 0, "{} was never answered", entry.name);
    }
}

/// Any JSON, four levels deep.
fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 32, 6, |inner| {
        prop_oneof![
            vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::hash_map(".{0,8}", inner, 0..6)
                .prop_map(|fields| Value::Object(fields.into_iter().collect())),
        ]
    })
}

#[test]
fn anything_at_all_in_a_field_is_no_failure_of_ours() {
    for entry in REGISTRY {
        let names: Vec<_> = entry
            .shape()
            .fields()
            .iter()
            .map(|f| f.name.clone())
            .collect();
        let strategy = (example(entry), select(names), any_json());
        for_all(entry, &strategy, |(mut request, name, anything)| {
            request.insert(name, anything);
            let body = Value::Object(request).to_string();
            if let Err(problem) = asked(entry, body.as_bytes()) {
                prop_assert!(problem.code().status() < 500, "{body}: {problem}");
            }
            Ok(())
        });
    }
}

#[test]
fn json_that_is_no_object_is_refused() {
    for entry in REGISTRY {
        let strategy = any_json().prop_filter("an object", |value| !value.is_object());
        for_all(entry, &strategy, |request| {
            let body = request.to_string();
            let problem = asked(entry, body.as_bytes()).err();
            let code = problem.as_ref().map(Problem::code);
            prop_assert_eq!(code, Some(ProblemCode::ValidationFailed), "{}", body);
            Ok(())
        });
    }
}

#[test]
fn a_body_that_is_damaged_is_no_failure_of_ours() {
    for entry in REGISTRY {
        let places = any::<prop::sample::Index>();
        let strategy = (example(entry), vec((places, any::<u8>()), 1..6));
        for_all(entry, &strategy, |(request, damages)| {
            let mut body = Value::Object(request).to_string().into_bytes();
            for (place, byte) in damages {
                let place = place.index(body.len());
                body[place] = byte;
            }
            if let Err(problem) = asked(entry, &body) {
                prop_assert!(problem.code().status() < 500, "{body:?}: {problem}");
            }
            Ok(())
        });
    }
}
