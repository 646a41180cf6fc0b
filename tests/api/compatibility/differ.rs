//! What a caller of one document would trip over in another: requests may only be accepted
//! more widely, answers may only promise more.

use std::collections::BTreeSet;

use serde_json::{Map, Value};

/// Every change from `old` to `new` that can break a caller, as a sentence with its place.
pub(super) fn breaks(old: &Value, new: &Value) -> Vec<String> {
    let mut differ = Differ {
        old,
        new,
        found: Vec::new(),
        open: BTreeSet::new(),
    };
    differ.paths();
    differ.found
}

struct Differ<'a> {
    old: &'a Value,
    new: &'a Value,
    found: Vec<String>,
    /// Pairs of references being compared, so that a recursive schema ends.
    open: BTreeSet<(String, Direction)>,
}

/// Which way a value travels.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Direction {
    Request,
    Answer,
}

fn object(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flat_map(Map::iter)
}

fn texts(value: &Value) -> BTreeSet<&str> {
    let items = value.as_array().into_iter().flatten();
    items.chain(Some(value)).filter_map(Value::as_str).collect()
}

impl<'a> Differ<'a> {
    fn say(&mut self, at: &str, what: impl std::fmt::Display) {
        self.found.push(format!("{at}: {what}"));
    }

    fn paths(&mut self) {
        for (path, operations) in object(&self.old["paths"]) {
            let now = &self.new["paths"][path];
            if now.is_null() {
                self.say("paths", format_args!("{path} is gone"));
                continue;
            }
            for (method, operation) in object(operations) {
                if now[method].is_null() {
                    self.say("paths", format_args!("{method} {path} is gone"));
                } else {
                    self.operation(&format!("{method} {path}"), operation, &now[method]);
                }
            }
        }
    }

    fn operation(&mut self, at: &str, old: &'a Value, new: &'a Value) {
        if old["operationId"] != new["operationId"] {
            self.say(at, "operationId has changed, and generated clients with it");
        }
        self.parameters(at, &old["parameters"], &new["parameters"]);
        let request = (&old["requestBody"], &new["requestBody"]);
        self.content(&format!("{at} request"), request, Direction::Request);
        for (status, response) in object(&old["responses"]) {
            let now = &new["responses"][status];
            if now.is_null() {
                self.say(at, format_args!("{status} is gone"));
                continue;
            }
            let pair = (resolved(self.old, response).0, resolved(self.new, now).0);
            self.content(&format!("{at} {status}"), pair, Direction::Answer);
        }
    }

    fn parameters(&mut self, at: &str, old: &'a Value, new: &'a Value) {
        let named = |list: &'a Value, name: &Value| {
            let mut parameters = list.as_array().into_iter().flatten();
            parameters.find(|parameter| parameter["name"] == *name)
        };
        let name_of = |parameter: &'a Value| parameter["name"].as_str().unwrap_or_default();
        for parameter in old.as_array().into_iter().flatten() {
            let name = name_of(parameter);
            match named(new, &parameter["name"]) {
                None => self.say(at, format_args!("parameter {name} is gone")),
                Some(now) => {
                    if now["required"] == true && parameter["required"] != true {
                        self.say(at, format_args!("{name} has become required"));
                    }
                    let pair = (&parameter["schema"], &now["schema"]);
                    self.schema(&format!("{at} {name}"), pair, Direction::Request);
                }
            }
        }
        for parameter in new.as_array().into_iter().flatten() {
            if parameter["required"] == true && named(old, &parameter["name"]).is_none() {
                let name = name_of(parameter);
                self.say(at, format_args!("parameter {name} is new and required"));
            }
        }
    }

    fn content(&mut self, at: &str, (old, new): (&'a Value, &'a Value), direction: Direction) {
        for (media_type, content) in object(&old["content"]) {
            let now = &new["content"][media_type];
            if now.is_null() {
                self.say(at, format_args!("{media_type} is gone"));
            } else {
                self.schema(at, (&content["schema"], &now["schema"]), direction);
            }
        }
    }

    fn schema(&mut self, at: &str, (old, new): (&'a Value, &'a Value), direction: Direction) {
        if is_nullable(old) != is_nullable(new)
            && is_nullable(old) == (direction == Direction::Request)
        {
            self.say(at, "null is no longer accepted, or is answered now");
        }
        let (old, name) = resolved(self.old, old);
        let (new, _) = resolved(self.new, new);
        if let Some(name) = name
            && !self.open.insert((name.to_owned(), direction))
        {
            return;
        }
        self.kind(at, old, new, direction);
        self.words(at, old, new, direction);
        if direction == Direction::Request {
            self.bounds(at, old, new);
        }
        if old["items"].is_object() {
            let pair = (&old["items"], &new["items"]);
            self.schema(&format!("{at}[]"), pair, direction);
        }
        self.fields(at, old, new, direction);
        if let Some(name) = name {
            self.open.remove(&(name.to_owned(), direction));
        }
    }

    fn kind(&mut self, at: &str, old: &Value, new: &Value, direction: Direction) {
        let (before, after) = (texts(&old["type"]), texts(&new["type"]));
        let is_kept = match direction {
            Direction::Request => after.is_empty() || before.is_subset(&after),
            Direction::Answer => before.is_empty() || after == before,
        };
        if !is_kept {
            self.say(at, format_args!("type was {before:?} and is {after:?}"));
        }
        if old["x-unit"] != new["x-unit"] {
            self.say(
                at,
                format_args!("x-unit was {} and is {}", old["x-unit"], new["x-unit"]),
            );
        }
    }

    fn words(&mut self, at: &str, old: &Value, new: &Value, direction: Direction) {
        let (before, after) = (texts(&old["enum"]), texts(&new["enum"]));
        let is_closed_now = before.is_empty() && !after.is_empty();
        if is_closed_now && direction == Direction::Request {
            self.say(at, "enum is new");
        }
        if after.is_empty() && direction == Direction::Request {
            return;
        }
        for word in before.difference(&after) {
            let fate = match direction {
                Direction::Request => "no longer accepted",
                // a caller that waits for it waits for ever
                Direction::Answer => "gone",
            };
            self.say(at, format_args!("{word} is {fate}"));
        }
    }

    fn bounds(&mut self, at: &str, old: &Value, new: &Value) {
        const LOWER: [&str; 4] = ["minimum", "exclusiveMinimum", "minItems", "minLength"];
        const UPPER: [&str; 4] = ["maximum", "exclusiveMaximum", "maxItems", "maxLength"];
        let lower = LOWER.map(|name| (name, 1.0));
        let upper = UPPER.map(|name| (name, -1.0));
        for (name, sign) in lower.into_iter().chain(upper) {
            let end = |schema: &Value| schema[name].as_f64().map(|end| end * sign);
            let is_narrower = match (end(old), end(new)) {
                (_, None) => false,
                (None, Some(_)) => true,
                (Some(before), Some(after)) => before < after,
            };
            if is_narrower {
                self.say(
                    at,
                    format_args!("{name} was {} and is {}", old[name], new[name]),
                );
            }
        }
        for name in ["pattern", "multipleOf", "const", "format"] {
            if !new[name].is_null() && new[name] != old[name] {
                self.say(
                    at,
                    format_args!("{name} was {} and is {}", old[name], new[name]),
                );
            }
        }
    }

    fn fields(&mut self, at: &str, old: &'a Value, new: &'a Value, direction: Direction) {
        let (before, after) = (texts(&old["required"]), texts(&new["required"]));
        for (name, field) in object(&old["properties"]) {
            let now = &new["properties"][name];
            if now.is_null() {
                self.say(at, format_args!("{name} is gone"));
            } else {
                self.schema(&format!("{at}.{name}"), (field, now), direction);
            }
        }
        match direction {
            Direction::Request => {
                for name in after.difference(&before) {
                    let is_new = old["properties"][name].is_null();
                    let how = if is_new { "is new and" } else { "has become" };
                    self.say(at, format_args!("{name} {how} required"));
                }
            }
            Direction::Answer => {
                let kept = before.difference(&after);
                for name in kept.filter(|name| !new["properties"][**name].is_null()) {
                    self.say(at, format_args!("{name} is no longer certain"));
                }
            }
        }
    }
}

/// Whether one of the options is null, as an optional reference is written.
fn is_nullable(schema: &Value) -> bool {
    let mut options = schema["oneOf"].as_array().into_iter().flatten();
    options.any(|option| option["type"] == "null")
}

/// What a reference points to, with its name; an optional reference, written as one of null
/// and a reference, too.
fn resolved<'a>(document: &'a Value, value: &'a Value) -> (&'a Value, Option<&'a str>) {
    let options = value["oneOf"].as_array().into_iter().flatten();
    let mut given = options.filter(|option| option["type"] != "null");
    let value = match (given.next(), given.next()) {
        (Some(only), None) => only,
        _ => value,
    };
    let Some(reference) = value["$ref"].as_str() else {
        return (value, None);
    };
    let pointer = reference.trim_start_matches('#');
    let target = document.pointer(pointer).unwrap_or(&Value::Null);
    (target, Some(reference))
}
