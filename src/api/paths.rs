//! Outputs by their paths, names with dots between them.

use serde_json::{Map, Value};

use super::shape::Shape;

/// The value at a path.
#[must_use]
pub fn value_at<'v>(answer: &'v Value, path: &str) -> Option<&'v Value> {
    path.split('.')
        .try_fold(answer, |value, name| value.get(name))
}

/// The place at a path, in objects that are made where there are none; none when something else
/// than an object is on the way.
#[must_use]
pub fn place_at<'v>(object: &'v mut Value, path: &str) -> Option<&'v mut Value> {
    path.split('.').try_fold(object, |place, name| {
        let fields = place.as_object_mut()?;
        let nothing = || Value::Object(Map::new());
        Some(fields.entry(name).or_insert_with(nothing))
    })
}

/// The shape at a path.
#[must_use]
pub fn shape_at<'s>(shape: &'s Shape, path: &str) -> Option<&'s Shape> {
    path.split('.').try_fold(shape, |shape, name| {
        let field = shape.fields().iter().find(|field| field.name == name)?;
        Some(&field.shape)
    })
}

/// All paths in a shape, the inner ones first.
#[must_use]
pub fn all(shape: &Shape) -> Vec<String> {
    let mut paths = Vec::new();
    collect(shape, "", &mut paths);
    paths
}

fn collect(shape: &Shape, prefix: &str, paths: &mut Vec<String>) {
    for field in shape.fields() {
        let path = format!("{prefix}{}", field.name);
        collect(&field.shape, &format!("{path}."), paths);
        paths.push(path);
    }
}

/// The paths at or below this one that fit a cell: scalars, and lists of them.
#[must_use]
pub fn cells(shape: &Shape, path: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(shape) = shape_at(shape, path) {
        collect_cells(shape, path, &mut found);
    }
    found
}

fn collect_cells(shape: &Shape, path: &str, found: &mut Vec<String>) {
    if shape.fits_a_cell() {
        found.push(path.to_owned());
    }
    for field in shape.fields() {
        collect_cells(&field.shape, &format!("{path}.{}", field.name), found);
    }
}
