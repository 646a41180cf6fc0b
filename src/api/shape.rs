//! The shape of a request: its published schema, compiled for judging requests.
//!
//! The schema is the one that stands in the document, with the bounds patched in, so what is
//! published is what is enforced.

use serde_json::Value;

use super::bounds::Bound;
use super::rule::Rule;
use super::units::unit_of;

/// What a value of a request may be.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A finite number.
    Number(Interval),
    /// A word out of a list, or a text.
    Text {
        /// The words allowed; empty for free text.
        words: Vec<String>,
        /// Most code points allowed.
        max_length: Option<usize>,
        /// Whether the text must be a date.
        is_date: bool,
    },
    /// True or false.
    Flag,
    /// A list of values of one shape.
    List {
        /// Shape of each item.
        item: Box<Shape>,
        /// Fewest items.
        min_items: usize,
        /// Most items.
        max_items: usize,
    },
    /// An object with known fields.
    Object(Vec<Field>),
}

/// The interval of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Smallest value.
    pub min: f64,
    /// Largest value.
    pub max: f64,
    /// Whether only whole numbers are allowed.
    pub is_integer: bool,
    /// Unit of the ends.
    pub unit: &'static str,
}

/// A field of an object.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// Whether it must be given.
    pub is_required: bool,
    /// What it may be.
    pub shape: Shape,
}

impl Shape {
    /// Whether a request of this shape fits a query or a row: numbers, words and lists of
    /// numbers, but no objects inside.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        let is_scalar = |shape: &Self| !matches!(shape, Self::List { .. } | Self::Object(_));
        match self {
            Self::Object(fields) => fields.iter().all(|field| match &field.shape {
                Self::List { item, .. } => is_scalar(item),
                shape @ (Self::Number(_) | Self::Text { .. } | Self::Flag | Self::Object(_)) => {
                    is_scalar(shape)
                }
            }),
            Self::Number(_) | Self::Text { .. } | Self::Flag | Self::List { .. } => false,
        }
    }

    /// Whether a value fits one cell: a scalar, or a list of such.
    #[must_use]
    pub fn fits_a_cell(&self) -> bool {
        match self {
            Self::Number(_) | Self::Text { .. } | Self::Flag => true,
            Self::List { item, .. } => !matches!(**item, Self::List { .. } | Self::Object(_)),
            Self::Object(_) => false,
        }
    }

    /// The fields of an object; none for anything else.
    #[must_use]
    pub fn fields(&self) -> &[Field] {
        match self {
            Self::Object(fields) => fields,
            Self::Number(_) | Self::Text { .. } | Self::Flag | Self::List { .. } => &[],
        }
    }

    /// The shape that a schema describes, with references looked up among `components`.
    #[must_use]
    pub fn compile(schema: &Value, components: &[(String, Value)]) -> Self {
        compile_named("", schema, components)
    }
}

fn compile_named(name: &str, schema: &Value, components: &[(String, Value)]) -> Shape {
    if let Some(reference) = schema["$ref"].as_str() {
        let target = reference.rsplit('/').next().unwrap_or_default();
        let found = components.iter().find(|(name, _)| name == target);
        return found.map_or(Shape::Object(Vec::new()), |(_, schema)| {
            compile_named(name, schema, components)
        });
    }
    // an optional reference is written as one of null and the reference
    if let Some(options) = schema["oneOf"].as_array() {
        let given = options.iter().find(|option| option["type"] != "null");
        return given.map_or(Shape::Object(Vec::new()), |schema| {
            compile_named(name, schema, components)
        });
    }
    match type_of(schema) {
        kind @ ("number" | "integer") => Shape::Number(Interval {
            min: schema["minimum"].as_f64().unwrap_or(f64::MIN),
            max: schema["maximum"].as_f64().unwrap_or(f64::MAX),
            is_integer: kind == "integer",
            unit: unit_of(name),
        }),
        "boolean" => Shape::Flag,
        "array" => Shape::List {
            item: Box::new(compile_named(name, &schema["items"], components)),
            min_items: count(&schema["minItems"]).unwrap_or(0),
            max_items: count(&schema["maxItems"]).unwrap_or(usize::MAX),
        },
        "object" => Shape::Object(compile_fields(schema, components)),
        _ => Shape::Text {
            words: schema["enum"].as_array().map_or_else(Vec::new, |words| {
                words
                    .iter()
                    .filter_map(|word| word.as_str().map(str::to_owned))
                    .collect()
            }),
            max_length: count(&schema["maxLength"]),
            is_date: schema["format"] == "date",
        },
    }
}

fn compile_fields(schema: &Value, components: &[(String, Value)]) -> Vec<Field> {
    let required = schema["required"].as_array();
    let properties = schema["properties"].as_object();
    properties.map_or_else(Vec::new, |properties| {
        properties
            .iter()
            .map(|(name, schema)| Field {
                name: name.clone(),
                is_required: required.is_some_and(|names| names.iter().any(|n| n == name.as_str())),
                shape: compile_named(name, schema, components),
            })
            .collect()
    })
}

/// The type of a schema, `null` beside it ignored.
fn type_of(schema: &Value) -> &str {
    match &schema["type"] {
        Value::String(kind) => kind,
        Value::Array(kinds) => kinds
            .iter()
            .filter_map(Value::as_str)
            .find(|kind| *kind != "null")
            .unwrap_or_default(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::Object(_) => "",
    }
}

fn count(value: &Value) -> Option<usize> {
    value.as_u64().and_then(|count| usize::try_from(count).ok())
}

/// Puts the bounds into every schema that has fields of their names.
pub fn patch_bounds(schema: &mut Value, bounds: &[Bound]) {
    let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) else {
        return;
    };
    for (name, property) in properties {
        let Some(bound) = bounds.iter().find(|bound| bound.field == name) else {
            continue;
        };
        let number = match bound.items {
            None => property,
            Some((min_items, max_items)) => {
                property["minItems"] = min_items.into();
                property["maxItems"] = max_items.into();
                &mut property["items"]
            }
        };
        number["minimum"] = bound.range.min.into();
        number["maximum"] = bound.range.max.into();
    }
}

/// A request's shape and its rules, compiled once.
#[derive(Debug)]
pub struct Plan {
    /// The shape of the request.
    pub shape: Shape,
    /// The rules as written.
    pub rules: &'static [Rule],
    /// See [`Shape::is_flat`].
    pub is_flat: bool,
    masks: Vec<RuleMask>,
}

/// Presence of the fields of a request, by their place in the schema.
pub(crate) type Presence = u128;

#[derive(Debug)]
enum RuleMask {
    ExactlyOne(Presence),
    AtMostOne(Presence),
    Needs(Presence, Presence),
    NeedsOneOf(Presence, Presence),
    Excludes(Presence, Presence),
}

impl Plan {
    /// The plan of a calculation's requests.
    #[must_use]
    pub fn new(shape: Shape, rules: &'static [Rule]) -> Self {
        let masks = rules
            .iter()
            .map(|rule| RuleMask::new(rule, shape.fields()))
            .collect();
        Self {
            is_flat: shape.is_flat(),
            shape,
            rules,
            masks,
        }
    }

    /// Whether every rule holds for the fields present.
    pub(crate) fn rules_hold(&self, present: Presence) -> bool {
        self.masks.iter().all(|mask| match *mask {
            RuleMask::ExactlyOne(of) => (present & of).count_ones() == 1,
            RuleMask::AtMostOne(of) => (present & of).count_ones() <= 1,
            RuleMask::Needs(field, others) => present & field == 0 || present & others == others,
            RuleMask::NeedsOneOf(field, others) => present & field == 0 || present & others != 0,
            RuleMask::Excludes(field, others) => present & field == 0 || present & others == 0,
        })
    }
}

impl RuleMask {
    fn new(rule: &Rule, fields: &[Field]) -> Self {
        let bit = |name: &str| -> Presence {
            let place = fields.iter().position(|field| field.name == name);
            place
                .and_then(|place| u32::try_from(place).ok())
                .map_or(0, |place| 1 << place)
        };
        let bits = |names: &[&str]| names.iter().fold(0, |mask, name| mask | bit(name));
        match rule {
            Rule::ExactlyOne(names) => Self::ExactlyOne(bits(names)),
            Rule::AtMostOne(names) => Self::AtMostOne(bits(names)),
            Rule::Needs(name, others) => Self::Needs(bit(name), bits(others)),
            Rule::NeedsOneOf(name, others) => Self::NeedsOneOf(bit(name), bits(others)),
            Rule::Excludes(name, others) => Self::Excludes(bit(name), bits(others)),
        }
    }
}
