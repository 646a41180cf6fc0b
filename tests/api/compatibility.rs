//! The contract only grows: the document is compared with the released one, and whatever could
//! break a caller that was written against that is named.

mod differ;

use extraction_maths::api::registry::REGISTRY;
use extraction_maths::server::document;
use serde_json::{Value, json};

use differ::breaks;

#[test]
fn the_document_breaks_no_caller_of_the_released_one() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/openapi/released/openapi.json");
    let text = std::fs::read_to_string(path).expect("the released document");
    let released: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(breaks(&released, &document::of(REGISTRY)), [""; 0]);
}

/// A small document with everything that can break.
fn old() -> Value {
    serde_json::from_str(include_str!("compatibility/small.json")).expect("JSON")
}

/// The breaks that a change of the small document makes.
fn after(change: impl FnOnce(&mut Value)) -> Vec<String> {
    let mut new = old();
    change(&mut new);
    breaks(&old(), &new)
}

const SCHEMAS: &str = "/components/schemas";

fn at<'a>(document: &'a mut Value, pointer: &str) -> &'a mut Value {
    document.pointer_mut(pointer).expect(pointer)
}

fn set(pointer: &'static str, value: Value) -> impl FnOnce(&mut Value) {
    move |new| *at(new, pointer) = value
}

fn remove(pointer: &'static str, name: &'static str) -> impl FnOnce(&mut Value) {
    move |new| {
        let object = at(new, pointer).as_object_mut().expect("an object");
        object.shift_remove(name).expect("a name that is there");
    }
}

fn add(pointer: &'static str, name: &'static str, value: Value) -> impl FnOnce(&mut Value) {
    move |new| at(new, pointer)[name] = value
}

#[track_caller]
fn assert_caught(found: &[String], expected: &str) {
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].contains(expected), "{found:?}");
}

#[test]
fn a_document_does_not_break_itself() {
    assert_eq!(breaks(&old(), &old()), [""; 0]);
}

#[test]
fn whatever_is_taken_from_the_paths_is_a_break() {
    let mass = "/paths/~1v1~1mass";
    let post = "/paths/~1v1~1mass/post";
    assert_caught(&after(remove("/paths", "/v1/mass")), "/v1/mass is gone");
    assert_caught(&after(remove(mass, "get")), "get /v1/mass is gone");
    let found = after(remove("/paths/~1v1~1mass/post/responses", "422"));
    assert_caught(&found, "422 is gone");
    let found = after(set(
        "/paths/~1v1~1mass/get/parameters/0/name",
        json!("dose"),
    ));
    assert_caught(&found, "parameter dose_g is gone");
    let found = after(add(post, "operationId", json!("mass")));
    assert_caught(&found, "operationId");
    let found = after(set(
        "/paths/~1v1~1mass/get/responses/200/content",
        json!({"text/csv": {}}),
    ));
    assert_caught(&found, "text/plain is gone");
    let found = after(add(
        "/paths/~1v1~1mass/get/parameters/0",
        "required",
        json!(true),
    ));
    assert_caught(&found, "dose_g has become required");
    let found = after(set(
        "/paths/~1v1~1mass/get/parameters/1/schema/enum",
        json!(["json"]),
    ));
    assert_caught(&found, "csv is no longer accepted");
}

#[test]
fn a_request_that_was_good_must_stay_good() {
    let request = "/components/schemas/MassRequest";
    let fields = "/components/schemas/MassRequest/properties";
    let dose = "/components/schemas/MassRequest/properties/dose_g";
    let times = "/components/schemas/MassRequest/properties/times";
    assert_caught(&after(remove(fields, "label")), "label is gone");
    let found = after(set(
        "/components/schemas/MassRequest/required",
        json!(["kind", "dose_g"]),
    ));
    assert_caught(&found, "dose_g has become required");
    let found = after(|new| {
        at(new, fields)["fresh"] = json!({"type": "number"});
        at(new, request)["required"] = json!(["kind", "fresh"]);
    });
    assert_caught(&found, "fresh is new and required");
    assert_caught(&after(add(dose, "minimum", json!(0.2))), "minimum");
    assert_caught(&after(add(dose, "maximum", json!(4999))), "maximum");
    assert_caught(
        &after(add(dose, "exclusiveMinimum", json!(0))),
        "exclusiveMinimum",
    );
    assert_caught(
        &after(add(dose, "type", json!(["integer", "null"]))),
        "type",
    );
    assert_caught(&after(add(dose, "type", json!("number"))), "type");
    assert_caught(&after(add(times, "minItems", json!(2))), "minItems");
    assert_caught(&after(add(times, "maxItems", json!(9))), "maxItems");
    let found = after(set(
        "/components/schemas/MassRequest/properties/times/items/maximum",
        json!(50),
    ));
    assert_caught(&found, "times[]: maximum");
}

#[test]
fn a_text_or_word_that_was_good_must_stay_good() {
    let found = after(set(
        "/components/schemas/MassRequest/properties/inside",
        json!({"$ref": "#/components/schemas/Inside"}),
    ));
    assert_caught(&found, "inside: null");
    let label = "/components/schemas/MassRequest/properties/label";
    assert_caught(&after(add(label, "maxLength", json!(64))), "maxLength");
    assert_caught(&after(add(label, "pattern", json!("^a"))), "pattern");
    let found = after(set("/components/schemas/Kind/enum", json!(["filter"])));
    assert_caught(&found, "espresso is no longer accepted");
    let found = after(add(
        "/components/schemas/Inside/properties/depth_mm",
        "maximum",
        json!(40),
    ));
    assert_caught(&found, "inside.depth_mm: maximum");
}

#[test]
fn what_an_answer_promised_it_must_go_on_promising() {
    let fields = "/components/schemas/MassAnswer/properties";
    assert_caught(&after(remove(fields, "remark")), "remark is gone");
    let found = after(set(
        "/components/schemas/MassAnswer/required",
        json!(["style", "parts"]),
    ));
    assert_caught(&found, "mass_g is no longer certain");
    let mass = "/components/schemas/MassAnswer/properties/mass_g";
    assert_caught(&after(add(mass, "type", json!("string"))), "type");
    assert_caught(&after(add(mass, "x-unit", json!("kg"))), "x-unit");
    assert_caught(&after(add(mass, "type", json!(["number", "null"]))), "type");
    let found = after(set(
        "/components/schemas/Part/properties/share/type",
        json!("string"),
    ));
    assert_caught(&found, "parts[].share: type");
    let found = after(set("/components/schemas/Style/enum", json!(["short"])));
    assert_caught(&found, "long is gone");
}

#[test]
fn what_is_only_added_breaks_nobody() {
    let found = after(|new| {
        new["paths"]["/v1/volume"] = json!({"get": {"responses": {}}});
        at(new, "/paths/~1v1~1mass/post/responses")["413"] = json!({});
        at(new, "/paths/~1v1~1mass/get/parameters")
            .as_array_mut()
            .expect("a list")
            .push(json!({"name": "select", "in": "query", "schema": {"type": "string"}}));
        let fields = at(new, "/components/schemas/MassRequest/properties");
        fields["fresh"] = json!({"type": "number"});
        fields["dose_g"]["minimum"] = json!(0.01);
        fields["dose_g"]["maximum"] = json!(6000);
        fields["times"]["maxItems"] = json!(20);
        fields["kind"]["description"] = json!("How it is brewed.");
        at(new, SCHEMAS)["Kind"]["enum"] = json!(["filter", "espresso", "immersion"]);
        at(new, SCHEMAS)["MassRequest"]["required"] = json!([]);
        at(new, SCHEMAS)["MassAnswer"]["properties"]["fresh"] = json!({"type": "number"});
        at(new, SCHEMAS)["MassAnswer"]["required"] = json!(["mass_g", "style", "parts", "fresh"]);
        at(new, SCHEMAS)["Style"]["enum"] = json!(["short", "long", "middle"]);
    });
    assert_eq!(found, [""; 0]);
}
