//! One recipe of a menu: as it stands in the body, and as it is answered.

use std::collections::HashMap;

use serde::de::{Error, IgnoredAny};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;
use serde_json::{Map, Value};
use serde_with::skip_serializing_none;
use utoipa::openapi::schema::{AllOfBuilder, ObjectBuilder};
use utoipa::openapi::{Ref, RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

use super::MenuRequest;
use crate::api::calculation::Call;
use crate::api::calculations::recipes::{Recipes, RecipesResponse};
use crate::api::compose::answer_to;
use crate::api::problem::{Fault, Problem, ProblemCode};
use crate::api::provenance::{Answer, Provenance};

/// A request of `recipes` as it stands in the body: it is read with what the menu shares, so
/// that a wrong one spoils its own place only.
#[derive(Debug, Clone, Serialize)]
#[serde(transparent)]
pub struct MenuRecipe(Box<RawValue>);

impl<'de> Deserialize<'de> for MenuRecipe {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Box::<RawValue>::deserialize(deserializer)?;
        if text.get().starts_with('{') {
            Ok(Self(text))
        } else {
            Err(D::Error::custom("a recipe is an object"))
        }
    }
}

impl PartialSchema for MenuRecipe {
    fn schema() -> RefOr<Schema> {
        // no fields are named, since a wrong one is told in the recipe's own place
        let object = ObjectBuilder::new().description(Some(
            "A request of `recipes`: see `RecipesRequest` for its fields.",
        ));
        object.into()
    }
}

impl ToSchema for MenuRecipe {}

/// The answer to one recipe: `answer` when `status` is 200, else `problem`.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MenuItem {
    /// The status that the recipe would have had by itself.
    #[schema(minimum = 200, maximum = 599)]
    pub status: u16,
    /// What `recipes` answers.
    pub answer: Option<MadeRecipe>,
    /// Why it does not.
    pub problem: Option<MenuProblem>,
}

/// The answer of `recipes`: its result and its provenance in one object.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MadeRecipe(pub Answer<RecipesResponse>);

impl PartialSchema for MadeRecipe {
    fn schema() -> RefOr<Schema> {
        AllOfBuilder::new()
            .description(Some("What `recipes` answers by itself."))
            .item(Ref::from_schema_name(RecipesResponse::name()))
            .item(Ref::from_schema_name(Provenance::name()))
            .into()
    }
}

impl ToSchema for MadeRecipe {
    fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
        let name = |name: std::borrow::Cow<'static, str>| name.into_owned();
        schemas.push((name(RecipesResponse::name()), RecipesResponse::schema()));
        RecipesResponse::schemas(schemas);
        schemas.push((name(Provenance::name()), Provenance::schema()));
        Provenance::schemas(schemas);
    }
}

/// Why a recipe is not answered, with the codes of a problem document.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MenuProblem {
    /// Stable code of the problem.
    pub code: ProblemCode,
    /// What happened, in a few words that do not change from case to case.
    pub title: String,
    /// What happened in this case.
    pub detail: String,
    /// Every fault of the recipe, by JSON pointer into it.
    pub errors: Vec<Fault>,
}

/// Fields that stand for each other: who names one of them needs none of the others.
const GROUPS: [&[&str]; 2] = [
    &["altitude_m", "altitude_ft", "station_pressure_hpa"],
    &[
        "steam_pressure_bar",
        "steam_temperature_c",
        "steam_temperature_f",
    ],
];

/// The fields that the recipes of a menu share.
pub(super) struct Shared(Map<String, Value>);

impl Shared {
    /// The fields of a menu that were given.
    ///
    /// # Errors
    /// None but a fault of ours.
    pub(super) fn of(menu: &MenuRequest) -> Result<Self, Problem> {
        let menu = MenuRequest {
            recipes: Vec::new(),
            ..menu.clone()
        };
        match serde_json::to_value(menu) {
            Ok(Value::Object(mut fields)) => {
                fields.retain(|name, value| name != "recipes" && !value.is_null());
                Ok(Self(fields))
            }
            _ => Err(Problem::internal("the shared fields of a menu")),
        }
    }

    /// A recipe with the shared fields that it does not name itself, before its own.
    fn with(&self, recipe: &str) -> String {
        // the reader of requests is the judge of what is no recipe
        let Ok(own) = serde_json::from_str::<HashMap<String, IgnoredAny>>(recipe) else {
            return recipe.to_owned();
        };
        let is_named = |name: &str| {
            let group = GROUPS.iter().find(|group| group.contains(&name));
            let rivals = group.copied().unwrap_or_default();
            own.contains_key(name) || rivals.iter().any(|rival| own.contains_key(*rival))
        };
        let mut parts: Vec<String> = self
            .0
            .iter()
            .filter(|(name, _)| !is_named(name))
            .map(|(name, value)| format!("{}:{value}", Value::from(name.as_str())))
            .collect();
        let inside = recipe.trim().strip_prefix('{');
        let inside = inside.and_then(|text| text.strip_suffix('}'));
        if !own.is_empty() {
            parts.extend(inside.map(str::to_owned));
        }
        format!("{{{}}}", parts.join(","))
    }
}

/// The answer to one recipe.
pub(super) fn answer(recipe: &MenuRecipe, shared: &Shared, call: &Call<'_>) -> MenuItem {
    let body = shared.with(recipe.0.get());
    match answer_to::<Recipes>(body.as_bytes(), call) {
        Ok(answer) => MenuItem {
            status: 200,
            answer: Some(MadeRecipe(answer)),
            problem: None,
        },
        Err(problem) => MenuItem {
            status: problem.code().status(),
            answer: None,
            problem: Some(MenuProblem {
                code: problem.code(),
                title: problem.code().title().to_owned(),
                detail: problem.detail().to_owned(),
                errors: problem.faults().to_vec(),
            }),
        },
    }
}
