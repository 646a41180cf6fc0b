//! The name of a topic, as a request has it.

use std::borrow::Cow;
use std::fmt;

use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

use super::topic::Topic;
use super::topics::TOPICS;

/// A topic by its name, which is that of its calculation.
#[derive(Clone, Copy)]
pub struct TopicName(pub &'static Topic);

impl fmt::Debug for TopicName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name)
    }
}

impl PartialEq for TopicName {
    fn eq(&self, other: &Self) -> bool {
        self.0.name == other.0.name
    }
}

impl Serialize for TopicName {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.name)
    }
}

impl<'de> Deserialize<'de> for TopicName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let name = Cow::<'de, str>::deserialize(deserializer)?;
        let found = TOPICS.iter().find(|topic| topic.name == name);
        found.map(Self).ok_or_else(|| D::Error::custom("no topic"))
    }
}

impl PartialSchema for TopicName {
    fn schema() -> RefOr<Schema> {
        ObjectBuilder::new()
            .schema_type(Type::String)
            .enum_values(Some(TOPICS.iter().map(|topic| topic.name)))
            .description(Some(
                "A topic: the calculation whose working is to be done by hand.",
            ))
            .into()
    }
}

impl ToSchema for TopicName {
    fn name() -> Cow<'static, str> {
        Cow::Borrowed("TopicName")
    }
}
