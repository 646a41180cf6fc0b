//! The part of the document about charts.

use serde_json::{Map, Value, json};

use super::operations::{COMMON, with_headers};
use super::{Components, behind_the_gate, forms, look_up};
use crate::api::chart::{ChartEntry, Many};
use crate::api::chart_options::{ChartFormat, TITLE_CHARACTERS, WIDTH};
use crate::api::picture::theme::Theme;
use crate::api::problem::ProblemCode;
use crate::api::registry::Entry;
use crate::api::schemas::Schemas;
use crate::server::charts::OFFERS;

impl Components {
    /// The operations of a chart.
    pub(super) fn chart(&mut self, chart: &'static ChartEntry, entry: &'static Entry) -> Value {
        let post = self.chart_by_body(chart, entry);
        let mut operations = json!({"post": post});
        if entry.is_flat() {
            operations["get"] = self.chart_by_query(chart, entry, &operations["post"]);
        }
        operations
    }

    fn chart_by_body(&mut self, chart: &'static ChartEntry, entry: &'static Entry) -> Value {
        let mut responses = Map::new();
        responses.insert("200".to_owned(), picture());
        let codes = COMMON.into_iter().chain([ProblemCode::Overloaded]);
        for code in codes.filter(|code| *code != ProblemCode::NotFound) {
            let name = self.problem(code, entry);
            responses.insert(
                code.status().to_string(),
                json!({"$ref": format!("#/components/responses/{name}")}),
            );
        }
        let mut operation = json!({
            "tags": [chart.tag.name()],
            "summary": chart.summary,
            "description": chart.description,
            "operationId": chart.operation_id(),
            "parameters": options(),
            "x-query": forms::query(),
            "requestBody": {
                "required": true,
                "description": format!("A request of `{}`; see the examples.", entry.name),
                "content": {"application/json": {
                    "schema": self.chart_request(chart, entry),
                    "examples": examples(chart, entry),
                }},
            },
            "responses": responses,
        });
        behind_the_gate(&mut operation);
        operation
    }

    fn chart_by_query(
        &mut self,
        chart: &'static ChartEntry,
        entry: &'static Entry,
        post: &Value,
    ) -> Value {
        let mut parameters = look_up::fields(entry);
        parameters.extend(options());
        let mut operation = json!({
            "tags": post["tags"],
            "summary": post["summary"],
            "description": format!(
                "{}\n\nThe same picture as of the body with these fields, byte for byte, for `<img>` and other readers of addresses.",
                chart.description
            ),
            "operationId": format!("look_up_chart_{}", chart.name.replace('-', "_")),
            "parameters": parameters,
            "responses": {
                "200": post["responses"]["200"],
                "400": self.reference(ProblemCode::BadQuery),
                "401": self.reference(ProblemCode::Unauthenticated),
                "405": self.reference(ProblemCode::MethodNotAllowed),
                "406": self.reference(ProblemCode::NotAcceptable),
                "414": self.reference(ProblemCode::UriTooLong),
                "422": post["responses"]["422"],
                "429": self.reference(ProblemCode::QuotaExceeded),
                "500": self.reference(ProblemCode::Internal),
                "503": post["responses"]["503"],
            },
        });
        behind_the_gate(&mut operation);
        forms::add_revalidation(&mut operation);
        operation
    }

    fn chart_request(&mut self, chart: &'static ChartEntry, entry: &'static Entry) -> Value {
        // its schemas stand in the document already
        let name = entry.request_schema().name;
        let one = json!({"$ref": format!("#/components/schemas/{name}")});
        match &chart.many {
            None => one,
            Some(Many { schema, .. }) => {
                let many = self.schemas_of_request(schema());
                json!({"anyOf": [one, many]})
            }
        }
    }

    fn schemas_of_request(&mut self, schemas: Schemas) -> Value {
        for (name, component) in schemas.components {
            let known = self.schemas.entry(name);
            known.or_insert_with(|| super::schemas::with_units(component));
        }
        let reference = json!({"$ref": format!("#/components/schemas/{}", schemas.name)});
        let root = super::schemas::with_units(schemas.root);
        self.schemas.insert(schemas.name, root);
        reference
    }
}

/// The answer of every chart.
fn picture() -> Value {
    let mut response = with_headers(json!({
        "description": "The picture.",
        "content": {
            OFFERS[0].0: {"schema": {"type": "string", "contentMediaType": OFFERS[0].0}},
            // raw bytes have no type (OpenAPI 3.1, section 4.8.14.2)
            OFFERS[1].0: {"schema": {"contentMediaType": OFFERS[1].0}},
        },
    }));
    let text =
        |description: &str| json!({"description": description, "schema": {"type": "string"}});
    let headers = &mut response["headers"];
    headers["accept-query"] = text("That `QUERY` is answered, and with which media types.");
    headers["etag"] = text("A hash of the picture; on answers to GET and QUERY.");
    headers["cache-control"] = text("For how long the picture may be kept.");
    headers["content-security-policy"] = text("That the picture loads and runs nothing.");
    response
}

/// The query parameters that say how to draw.
fn options() -> Vec<Value> {
    let (least, most, usual) = WIDTH;
    let formats = ChartFormat::WORDS.map(|(word, _)| word);
    let themes = Theme::WORDS.map(|(word, _)| word);
    let parameter = |name: &str, description: &str, schema: Value| json!({"name": name, "in": "query", "required": false, "description": description, "schema": schema});
    vec![
        parameter(
            "format",
            "Form of the picture, for callers who cannot set headers; wins over `Accept`. Without either, `svg`. PNG is drawn with the letters of one font, which has no Chinese, Japanese, Korean or Indic \
             ones: such labels are boxes there, and letters in SVG.",
            json!({"type": "string", "enum": formats}),
        ),
        parameter(
            "width",
            "Width in pixels; the height follows.",
            json!({"type": "integer", "minimum": least, "maximum": most, "default": usual}),
        ),
        parameter(
            "theme",
            "Colours: `auto` is light, and as SVG dark on a screen that prefers it.",
            json!({"type": "string", "enum": themes, "default": "auto"}),
        ),
        parameter(
            "title",
            "Title in place of the chart's own; any text, never markup.",
            json!({"type": "string", "maxLength": TITLE_CHARACTERS}),
        ),
    ]
}

fn examples(chart: &ChartEntry, entry: &Entry) -> Value {
    let of_body = |body: &str| serde_json::from_str::<Value>(body).unwrap_or_default();
    let one = |name: &str, summary: &str, body: &str| {
        (
            name.to_owned(),
            json!({"summary": summary, "value": of_body(body)}),
        )
    };
    let names = chart.examples.iter();
    let own = names.filter_map(|name| entry.examples.iter().find(|e| e.name == *name));
    let own = own.map(|e| one(e.name, e.summary, e.body));
    let many = chart.many.as_ref().map(|many| many.example);
    let many = many.map(|(name, summary, body)| one(name, summary, body));
    Value::Object(own.chain(many).collect())
}
