//! What every worker shares.

use std::sync::{Arc, Weak};

use super::access::Access;
use super::compute::Pool;
use super::delivery::Kept;
use super::drain::Drain;
use super::guide::Guide;
use super::metrics::Metrics;
use super::routes::Routes;
use super::settings::{LogFormat, Settings};
#[cfg(feature = "otlp")]
use super::spans::Spans;
use super::teacher::Teacher;
use super::written::Written;
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
    pool: Pool,
    access: Arc<Access>,
    teacher: Teacher,
    access_log: Option<LogFormat>,
    written: Written,
    kept: Kept,
    drain: Drain,
    guide: Guide,
    #[cfg(feature = "otlp")]
    spans: Option<Spans>,
}

impl State {
    pub(super) fn new(settings: Settings, registry: &'static [Entry]) -> Result<Self, StartError> {
        let metrics = Metrics::new(settings.scheme())?;
        // asked once: the log filter does not change while the service runs
        let is_logged = tracing::enabled!(target: access_log::TARGET, tracing::Level::INFO);
        Ok(Self(Arc::new(Shared {
            pool: Pool::new(settings.permits(), metrics.clone()),
            access: Arc::new(Access::new(&settings)?),
            teacher: Teacher::new(settings.teacher_key.as_ref()),
            access_log: is_logged.then_some(settings.log_format),
            #[cfg(feature = "otlp")]
            spans: Spans::of(&settings)?,
            settings,
            registry,
            routes: Routes::of(registry),
            metrics,
            written: Written::default(),
            kept: Kept::default(),
            drain: Drain::default(),
            guide: Guide::of(registry),
        })))
    }

    pub(super) fn settings(&self) -> &Settings {
        &self.0.settings
    }

    pub(super) fn registry(&self) -> &'static [Entry] {
        self.0.registry
    }

    pub(super) fn guide(&self) -> &Guide {
        &self.0.guide
    }

    pub(super) fn routes(&self) -> &Routes {
        &self.0.routes
    }

    pub(super) fn metrics(&self) -> &Metrics {
        &self.0.metrics
    }

    pub(super) fn pool(&self) -> &Pool {
        &self.0.pool
    }

    pub(super) fn access(&self) -> &Access {
        &self.0.access
    }

    pub(super) fn weak_access(&self) -> Weak<Access> {
        Arc::downgrade(&self.0.access)
    }

    pub(super) fn access_log(&self) -> Option<LogFormat> {
        self.0.access_log
    }

    pub(super) fn teacher(&self) -> &Teacher {
        &self.0.teacher
    }

    pub(super) fn drain(&self) -> &Drain {
        &self.0.drain
    }

    pub(super) fn kept(&self) -> &Kept {
        &self.0.kept
    }

    pub(super) fn written(&self) -> &Written {
        &self.0.written
    }

    /// Where spans begin, when they are sent anywhere.
    #[cfg(feature = "otlp")]
    pub(super) fn spans(&self) -> Option<&Spans> {
        self.0.spans.as_ref()
    }
}
