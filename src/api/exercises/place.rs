//! Fields of a request by their paths: `water.total_hardness`, `slices.0.mass_g`.

use serde_json::{Map, Value};

use super::topic::{Change, Fixed};

impl From<Fixed> for Value {
    fn from(fixed: Fixed) -> Self {
        match fixed {
            Fixed::Word(word) => word.into(),
            Fixed::Number(number) => number.into(),
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

/// Puts a value at a path; the objects on the way are made.
pub(super) fn set(request: &mut Value, path: &str, value: Value) {
    let Some((parent, name)) = path.rsplit_once('.') else {
        request[path] = value;
        return;
    };
    let inside = parent
        .split('.')
        .fold(request, |object, name| &mut object[name]);
    if inside.is_null() {
        *inside = Value::Object(Map::new());
    }
    inside[name] = value;
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
