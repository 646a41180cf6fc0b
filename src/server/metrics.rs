//! Counters for the operator, by route template and never by anything a caller can invent.

use std::cell::RefCell;
use std::time::Duration;

use prometheus::{
    Encoder, Histogram, HistogramOpts, HistogramVec, IntCounter, IntCounterVec, IntGauge, Opts,
    Registry, TextEncoder,
};

use crate::api::problem::Problem;

/// Upper ends of the duration buckets in seconds, those of the HTTP telemetry conventions and
/// finer ones below, since a light call takes microseconds.
const BUCKETS: &[f64] = &[
    0.000_05, 0.000_1, 0.000_25, 0.000_5, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.075, 0.1,
    0.25, 0.5, 0.75, 1.0, 2.5, 5.0, 7.5, 10.0,
];

/// What stands for a method where a calculation is meant.
const CALCULATION: &str = "calculation";

/// Methods that the conventions name one by one.
const METHODS: [&str; 10] = [
    "GET", "HEAD", "POST", "OPTIONS", "QUERY", "PUT", "DELETE", "PATCH", "TRACE", "CONNECT",
];

/// A method as metrics, logs and spans name it: a caller can invent any token.
pub(super) fn method_name(method: &str) -> &'static str {
    METHODS
        .into_iter()
        .find(|known| *known == method)
        .unwrap_or(OTHER_METHOD)
}

/// Name of a method that nobody knows.
pub(super) const OTHER_METHOD: &str = "_OTHER";

/// The metrics of the process.
#[derive(Debug, Clone)]
pub(super) struct Metrics {
    registry: Registry,
    durations: HistogramVec,
    problems: IntCounterVec,
    active: IntGauge,
    panics: IntCounter,
    non_finite: IntCounter,
    calculations: HistogramVec,
    permits_in_use: IntGauge,
    blocks_in_work: IntGauge,
    shed: IntCounterVec,
}

thread_local! {
    /// Histograms found before, so that a request needs no lock and no hash of its labels: there
    /// are few, and the names are told apart by where they stand.
    static KNOWN: RefCell<Vec<(Labels, Histogram)>> = RefCell::default();
}

/// Names and a number that tell a histogram.
type Labels = (&'static str, &'static str, u16);

/// Observes a duration in the histogram with these labels, which `find` finds the first time.
fn observe(labels: Labels, took: Duration, find: impl FnOnce() -> Histogram) {
    // two copies of a name would only be two ways to one histogram
    let is_same = |known: &Labels| {
        std::ptr::eq(known.0, labels.0) && std::ptr::eq(known.1, labels.1) && known.2 == labels.2
    };
    KNOWN.with_borrow_mut(|all| match all.iter().find(|(known, _)| is_same(known)) {
        Some((_, histogram)) => histogram.observe(took.as_secs_f64()),
        None => {
            let histogram = find();
            histogram.observe(took.as_secs_f64());
            all.push((labels, histogram));
        }
    });
}

/// A request that is being answered.
#[derive(Debug)]
pub(super) struct Active(IntGauge);

impl Drop for Active {
    fn drop(&mut self) {
        self.0.dec();
    }
}

impl Metrics {
    /// Metrics with nothing counted of a service that speaks `http` or `https`.
    ///
    /// # Errors
    /// When a name is registered twice, which is a mistake of ours.
    pub(super) fn new(scheme: &'static str) -> Result<Self, prometheus::Error> {
        let metrics = Self {
            registry: Registry::new(),
            durations: requests(scheme)?,
            problems: counters(
                "problems_total",
                "Problem documents answered, by code.",
                &["code"],
            )?,
            active: IntGauge::new(
                "http_server_active_requests",
                "Requests that are being answered.",
            )?,
            panics: IntCounter::new("panics_total", "Panics that were caught and answered.")?,
            non_finite: IntCounter::new(
                "non_finite_results_total",
                "Results that were no finite number, and were answered as a failure.",
            )?,
            calculations: durations(
                "calculation_duration_seconds",
                "Duration of calculations, reading and writing JSON included.",
                &["calculation"],
            )?,
            permits_in_use: IntGauge::new(
                "compute_permits_in_use",
                "Threads that heavy calculations work on now.",
            )?,
            blocks_in_work: IntGauge::new(
                "row_blocks_in_work",
                "Threads that blocks of rows are worked on now.",
            )?,
            shed: counters(
                "shed_total",
                "Calls turned away or stopped, by reason.",
                &["reason"],
            )?,
        };
        metrics.register()?;
        Ok(metrics)
    }

    fn register(&self) -> Result<(), prometheus::Error> {
        let build = counters(
            "build_info",
            "Version of the running service.",
            &["version", "model_version"],
        )?;
        build
            .with_label_values(&[
                env!("CARGO_PKG_VERSION"),
                crate::api::provenance::MODEL_VERSION,
            ])
            .inc();
        self.registry.register(Box::new(self.durations.clone()))?;
        self.registry.register(Box::new(self.problems.clone()))?;
        self.registry.register(Box::new(self.active.clone()))?;
        self.registry.register(Box::new(self.panics.clone()))?;
        self.registry.register(Box::new(self.non_finite.clone()))?;
        self.registry
            .register(Box::new(self.calculations.clone()))?;
        self.registry
            .register(Box::new(self.permits_in_use.clone()))?;
        self.registry
            .register(Box::new(self.blocks_in_work.clone()))?;
        self.registry.register(Box::new(self.shed.clone()))?;
        self.registry.register(Box::new(build))
    }

    /// Counts a request as being answered until what comes back is dropped.
    pub(super) fn begin(&self) -> Active {
        self.active.inc();
        Active(self.active.clone())
    }

    /// Counts a request that was answered.
    pub(super) fn observe(&self, method: &str, route: &'static str, status: u16, took: Duration) {
        let method = method_name(method);
        observe((method, route, status), took, || {
            let status = status.to_string();
            self.durations.with_label_values(&[method, route, &status])
        });
    }

    /// Counts a problem document.
    pub(super) fn count_problem(&self, problem: &Problem) {
        let code = problem.code().as_str();
        self.problems.with_label_values(&[code]).inc();
        self.count_non_finite(problem.is_non_finite().into());
    }

    /// Counts results that were no finite number.
    pub(super) fn count_non_finite(&self, count: u64) {
        self.non_finite.inc_by(count);
    }

    /// Counts a panic.
    pub(super) fn count_panic(&self) {
        self.panics.inc();
    }

    /// Counts panics.
    pub(super) fn count_panics(&self, count: u64) {
        self.panics.inc_by(count);
    }

    /// Counts a calculation that was worked, whatever came of it.
    pub(super) fn observe_calculation(&self, name: &'static str, took: Duration) {
        observe((CALCULATION, name, 0), took, || {
            self.calculations.with_label_values(&[name])
        });
    }

    /// Threads that heavy calculations work on now.
    pub(super) const fn permits_in_use(&self) -> &IntGauge {
        &self.permits_in_use
    }

    /// Threads that blocks of rows are worked on now.
    pub(super) const fn blocks_in_work(&self) -> &IntGauge {
        &self.blocks_in_work
    }

    /// Counts a call that was turned away or stopped.
    pub(super) fn count_shed(&self, reason: &'static str) {
        self.shed.with_label_values(&[reason]).inc();
    }

    /// All metrics in the Prometheus text format.
    pub(super) fn text(&self) -> Vec<u8> {
        let mut out = Vec::new();
        // encoding fails only when the writer does, and a Vec does not
        let _ = TextEncoder::new().encode(&self.registry.gather(), &mut out);
        out
    }
}

/// Durations of requests, named and labelled by the HTTP telemetry conventions.
fn requests(scheme: &str) -> Result<HistogramVec, prometheus::Error> {
    let options = HistogramOpts::new(
        "http_server_request_duration_seconds",
        "Duration of HTTP requests.",
    );
    let labels = [
        "http_request_method",
        "http_route",
        "http_response_status_code",
    ];
    let options = options
        .const_label("url_scheme", scheme)
        .buckets(BUCKETS.to_vec());
    HistogramVec::new(options, &labels)
}

fn durations(name: &str, help: &str, labels: &[&str]) -> Result<HistogramVec, prometheus::Error> {
    let options = HistogramOpts::new(name, help).buckets(BUCKETS.to_vec());
    HistogramVec::new(options, labels)
}

fn counters(name: &str, help: &str, labels: &[&str]) -> Result<IntCounterVec, prometheus::Error> {
    IntCounterVec::new(Opts::new(name, help), labels)
}
