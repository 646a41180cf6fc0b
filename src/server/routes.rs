//! The template of a path, for metrics and log: one of a fixed set, whatever a caller asks.

use std::collections::HashMap;

use super::{batch, docs, guide, pages};
use crate::api::chart::CHARTS;
use crate::api::registry::Entry;

/// Template of a path that nothing answers.
pub(super) const UNMATCHED: &str = "unmatched";

/// All paths of the service and their templates.
#[derive(Debug)]
pub(super) struct Routes(HashMap<&'static str, &'static str>);

impl Routes {
    pub(super) fn of(registry: &'static [Entry]) -> Self {
        let calculations = registry.iter().map(Entry::path);
        let charts = CHARTS.iter().map(|chart| chart.path);
        let pages = pages::all().map(|page| page.path);
        Self(
            calculations
                .chain(charts)
                .chain(pages)
                .chain([batch::PATH])
                .map(|path| (path, path))
                .collect(),
        )
    }

    /// The template of a path.
    pub(super) fn template(&self, path: &str) -> &'static str {
        match self.0.get(path) {
            Some(template) => template,
            None if is_below(path, guide::INDEX) => guide::ROUTE,
            None if path.starts_with("/docs/") => docs::ROUTE,
            None if path.starts_with("/problems/") => "/problems/{code}",
            None => UNMATCHED,
        }
    }
}

fn is_below(path: &str, parent: &str) -> bool {
    let rest = path.strip_prefix(parent);
    rest.is_some_and(|rest| rest.starts_with('/'))
}
