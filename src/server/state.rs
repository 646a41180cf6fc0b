//! What every worker shares.

use std::sync::Arc;

use actix_web::web::Bytes;

use super::document;
use super::metrics::Metrics;
use super::routes::Routes;
use super::settings::{LogFormat, Settings};
use super::{StartError, access_log};
use crate::api::registry::Entry;

/// Settings, list of calculations, metrics and prepared documents of a running service.
#[derive(Debug, Clone)]
pub(super) struct State(Arc<Shared>);

#[derive(Debug)]
struct Shared {
    settings: Settings,
    registry: &'static [Entry],
    routes: Routes,
    metrics: Metrics,
    access_log: Option<LogFormat>,
    openapi_json: Bytes,
    openapi_yaml: Bytes,
}

impl State {
    pub(super) fn new(settings: Settings, registry: &'static [Entry]) -> Result<Self, StartError> {
        let document = document::of(registry);
        // asked once: the log filter does not change while the service runs
        let is_logged = tracing::enabled!(target: access_log::TARGET, tracing::Level::INFO);
        Ok(Self(Arc::new(Shared {
            access_log: is_logged.then_some(settings.log_format),
            settings,
            registry,
            routes: Routes::of(registry),
            metrics: Metrics::new()?,
            openapi_json: document::json(&document)?.into(),
            openapi_yaml: document::yaml(&document)?.into(),
        })))
    }

    pub(super) fn settings(&self) -> &Settings {
        &self.0.settings
    }

    pub(super) fn registry(&self) -> &'static [Entry] {
        self.0.registry
    }

    pub(super) fn routes(&self) -> &Routes {
        &self.0.routes
    }

    pub(super) fn metrics(&self) -> &Metrics {
        &self.0.metrics
    }

    pub(super) fn access_log(&self) -> Option<LogFormat> {
        self.0.access_log
    }

    pub(super) fn openapi_json(&self) -> Bytes {
        self.0.openapi_json.clone()
    }

    pub(super) fn openapi_yaml(&self) -> Bytes {
        self.0.openapi_yaml.clone()
    }
}
