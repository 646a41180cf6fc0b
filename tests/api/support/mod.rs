//! A running service for tests, and short ways to talk to it.

pub(crate) mod http;
pub(crate) mod rows;
pub(crate) mod served;
pub(crate) mod standin;

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, OnceLock};

use extraction_maths::api::registry::REGISTRY;
use extraction_maths::client::Client;
use extraction_maths::server::settings::Settings;
use extraction_maths::server::start;
use serde_json::Value;

/// A service process of its own, ended when dropped.
pub(crate) struct Service {
    pub(crate) child: Child,
    log: Arc<Mutex<Vec<String>>>,
    /// Its address, such as `http://127.0.0.1:40123`.
    pub(crate) base: String,
}

impl Service {
    /// Starts the program that was built with the tests, with extra arguments; its log is JSON
    /// unless they say otherwise.
    pub(crate) fn start(arguments: &[&str]) -> Self {
        let json: &[_] = match arguments.contains(&"--log-format") {
            true => &[],
            false => &["--log-format", "json"],
        };
        let arguments = [json, arguments].concat();
        let mut service = Self::spawn(&arguments, Stdio::piped());
        let errors = service.child.stderr.take().expect("a pipe");
        let lines = Arc::clone(&service.log);
        std::thread::spawn(move || {
            for line in BufReader::new(errors).lines().map_while(Result::ok) {
                lines.lock().expect("no panic while it is held").push(line);
            }
        });
        service
    }

    /// Starts it with its log going to `log`.
    pub(crate) fn spawn(arguments: &[&str], log: Stdio) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
            .args(["serve", "--listen", "127.0.0.1:0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let output = child.stdout.take().expect("a pipe");
        BufReader::new(output)
            .read_line(&mut line)
            .expect("a first line");
        let base = line
            .trim()
            .strip_prefix("listening on ")
            .expect(&line)
            .to_owned();
        let log = Arc::default();
        Self { child, log, base }
    }

    /// Host and port, as a socket wants them.
    pub(crate) fn address(&self) -> &str {
        self.base.trim_start_matches("http://")
    }

    /// Whether the process that was started is still the one that runs.
    pub(crate) fn is_alive(&mut self) -> bool {
        matches!(self.child.try_wait(), Ok(None))
    }

    /// Where the lines go that are still to be logged.
    #[cfg(feature = "otlp")]
    pub(crate) fn lines(&self) -> &Arc<Mutex<Vec<String>>> {
        &self.log
    }

    /// The lines logged so far; an access line comes a tenth of a second late at most.
    pub(crate) fn log(&self) -> Vec<String> {
        self.log.lock().expect("no panic while it is held").clone()
    }

    /// The most memory that the process has had, in MiB.
    pub(crate) fn peak_memory(&self) -> f64 {
        let path = format!("/proc/{}/status", self.child.id());
        let status = std::fs::read_to_string(path).expect("a status");
        let line = status
            .lines()
            .find_map(|line| line.strip_prefix("VmHWM:"))
            .expect("a peak");
        let kib: f64 = line
            .trim()
            .trim_end_matches(" kB")
            .parse()
            .expect("a number");
        kib / 1024.0
    }
}

impl Drop for Service {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The address of one service for all tests that need nothing special.
///
/// It runs in a thread of the test process and ends with it: a child process would be left
/// behind, since a static is never dropped.
pub(crate) fn shared() -> &'static str {
    static SHARED: OnceLock<String> = OnceLock::new();
    SHARED.get_or_init(|| {
        let (sender, receiver) = std::sync::mpsc::channel();
        std::thread::spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let settings = Settings::from_arguments(&["--listen", "127.0.0.1:0"]);
                let running = start(settings.expect("settings"), REGISTRY).expect("a free port");
                sender.send(running.address).expect("a receiver");
                running.server.await
            })
        });
        format!("http://{}", receiver.recv().expect("an address"))
    })
}

/// A client of the shared service.
pub(crate) fn client() -> Client {
    Client::new(shared()).expect("a client")
}

/// Status and JSON body of a POST to the shared service.
pub(crate) async fn post(path: &str, body: &str) -> (u16, Value) {
    let (status, text) = client()
        .post(path, body.to_owned())
        .await
        .expect("an answer");
    let json = serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}: {text}"));
    (status.as_u16(), json)
}

/// Status and JSON body of a GET of the shared service.
pub(crate) async fn get(path: &str) -> (u16, Value) {
    let (status, text) = client().get(path).await.expect("an answer");
    let json = serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}: {text}"));
    (status.as_u16(), json)
}

/// The faults of a problem document as pairs of pointer and code, in order.
pub(crate) fn faults(problem: &Value) -> Vec<(String, String)> {
    let errors = problem["errors"].as_array().expect("a list of errors");
    errors
        .iter()
        .map(|error| {
            let text = |name: &str| error[name].as_str().expect("a text").to_owned();
            (text("pointer"), text("code"))
        })
        .collect()
}
