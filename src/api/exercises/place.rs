//! Fields of a request by their paths: `water.total_hardness`, `slices.0.mass_g`.

use serde_json::{Map, Value};

use super::topic::{Change, Fixed};

impl From<Fixed> for Value {
    fn from(fixed: Fixed) -> Self {
        match fixed {
            Fixed::Word(word) => word.into(),
            Fixed::Number(number) => number.into(),
            Fixed::Count(count) => count.into(),
            Fixed::Flag(flag) => flag.into(),
        }
    }
}

/// The value at a path.
pub(super) fn get<'v>(request: &'v Value, path: &str) -> Option<&'v Value> {
    path.split('.').try_fold(request, |value, name| {
        name.parse::<usize>()
            .map_or_else(|_| value.get(name), |place| value.get(place))
    })
}

/// Puts a value at a path; the objects and lists on the way are made.
pub(super) fn set(request: &mut Value, path: &str, value: Value) {
    *path.split('.').fold(request, inside) = value;
}

/// What stands under a name in an object, or at a place in a list.
fn inside<'v>(value: &'v mut Value, name: &str) -> &'v mut Value {
    let Ok(place) = name.parse::<usize>() else {
        if !value.is_object() {
            *value = Value::Object(Map::new());
        }
        return &mut value[name];
    };
    let mut items = match value.take() {
        Value::Array(items) => items,
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) | Value::Object(_) => {
            Vec::new()
        }
    };
    items.resize(items.len().max(place + 1), Value::Null);
    *value = Value::Array(items);
    &mut value[place]
}

/// Takes a value away from the top of a request.
fn taken(request: &mut Value, name: &str) -> Option<Value> {
    request.as_object_mut()?.remove(name)
}

/// The request with a change; none when it has not what is to be changed.
pub(super) fn changed(mut request: Value, change: Change) -> Option<Value> {
    let number = |request: &Value, path: &str| get(request, path)?.as_f64();
    match change {
        Change::Swap(one, other) => {
            let (first, second) = (get(&request, one)?.clone(), get(&request, other)?.clone());
            set(&mut request, one, second);
            set(&mut request, other, first);
        }
        Change::Scale(path, factor) => {
            let value = number(&request, path)? * factor;
            set(&mut request, path, value.into());
        }
        Change::Invert(path) => {
            let value = 1.0 / number(&request, path)?;
            set(&mut request, path, value.into());
        }
        Change::Less(path, other, factor) => {
            let value = number(&request, path)? - factor * number(&request, other)?;
            set(&mut request, path, value.into());
        }
        Change::Set(path, fixed) => set(&mut request, path, fixed.into()),
        Change::Move(from, to) => {
            let value = taken(&mut request, from)?;
            set(&mut request, to, value);
        }
        Change::Drop(name) => {
            taken(&mut request, name)?;
        }
    }
    Some(request)
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::{changed, get, set};
    use crate::api::exercises::topic::{Change, Fixed};

    #[test]
    fn objects_and_lists_on_the_way_are_made() {
        let mut request = Value::Null;
        set(&mut request, "dose_g", 18.into());
        set(&mut request, "slices.1.mass_g", 12.into());
        set(&mut request, "slices.0.mass_g", 11.into());
        set(&mut request, "water.ph", 7.into());
        let expected =
            json!({"dose_g": 18, "slices": [{"mass_g": 11}, {"mass_g": 12}], "water": {"ph": 7}});
        assert_eq!(request, expected);
        assert_eq!(get(&request, "slices.1.mass_g"), Some(&json!(12)));
        assert_eq!(get(&request, "slices.2.mass_g"), None);
    }

    #[test]
    fn a_change_of_what_is_not_there_is_none() {
        let request = || json!({"a": 2.0, "b": 3.0});
        let swapped = changed(request(), Change::Swap("a", "b"));
        assert_eq!(swapped, Some(json!({"a": 3.0, "b": 2.0})));
        let moved = changed(request(), Change::Move("a", "c"));
        assert_eq!(moved, Some(json!({"b": 3.0, "c": 2.0})));
        let less = changed(request(), Change::Less("b", "a", 0.5));
        assert_eq!(less, Some(json!({"a": 2.0, "b": 2.0})));
        let set = changed(request(), Change::Set("a", Fixed::Flag(true)));
        assert_eq!(set, Some(json!({"a": true, "b": 3.0})));
        for change in [
            Change::Swap("a", "c"),
            Change::Scale("c", 2.0),
            Change::Invert("c"),
            Change::Move("c", "a"),
            Change::Drop("c"),
        ] {
            assert_eq!(changed(request(), change), None, "{change:?}");
        }
    }
}
