//! Keys: who is let in, and what a refusal tells.

use std::io::Read;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use reqwest::Method;

use crate::support::Service;
use crate::support::served::{Reply, send, serve};
use crate::support::standin::REGISTRY;

/// FIPS 180-4 example `abc`: the SHA-256 digest printed in NIST's example values.
pub(crate) const OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const RATIO: &str = r#"{"dose_g":18,"brew_ratio":2}"#;

/// A file that is removed with the test.
pub(crate) struct File(PathBuf);

impl File {
    pub(crate) fn new(name: &str, text: &str) -> Self {
        let name = format!("extraction-maths-{}-{name}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::write(&path, text).expect("a file");
        Self(path)
    }

    pub(crate) fn path(&self) -> &str {
        self.0.to_str().expect("UTF-8")
    }
}

impl Drop for File {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

/// A key and its line, as the command prints them.
fn new_key(id: &str) -> (String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
        .args(["keys", "new", "--id", id])
        .output()
        .expect("the program runs");
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let last = |line: Option<&str>| {
        let line = line.expect("a line");
        line.rsplit(' ').next().expect("a word").to_owned()
    };
    let mut lines = text.lines();
    (last(lines.next()), last(lines.next()))
}

async fn ratio(base: &str, authorization: Option<&str>) -> Reply {
    let mut headers = vec![
        ("content-type", "application/json"),
        ("x-request-id", "same"),
    ];
    headers.extend(authorization.map(|value| ("authorization", value)));
    send(Method::POST, &format!("{base}/v1/ratio"), &headers, RATIO).await
}

#[tokio::test]
async fn several_keys_are_valid_at_once() {
    let ((old, old_line), (new, new_line)) = (new_key("till-old"), new_key("till-new"));
    assert!(old.len() >= 32 && old != new, "128 bits and more");
    let text = format!("# keys of the till\n\n{old_line}\n{new_line}\nlab: {OF_ABC}\n");
    let file = File::new("several", &text);
    let base = serve(&["--keys-file", file.path()], &REGISTRY);
    for key in [&old, &new, "abc"] {
        for scheme in ["Bearer", "bearer", "BEARER"] {
            let reply = ratio(&base, Some(&format!("{scheme} {key}"))).await;
            assert_eq!(reply.status, 200, "{}", reply.text);
        }
    }
}

#[tokio::test]
async fn a_refusal_is_always_the_same() {
    let (key, line) = new_key("till");
    let file = File::new("same", &format!("{line}\nlab:{OF_ABC}"));
    let base = serve(&["--keys-file", file.path()], &REGISTRY);
    let absent = ratio(&base, None).await;
    absent.assert_problem(401, "unauthenticated");
    assert_eq!(absent.header("www-authenticate"), "Bearer");
    let wrong_end = format!("Bearer {}x", &key[..key.len() - 1]);
    let longer = format!("Bearer {key}0");
    let hash = format!("Bearer {OF_ABC}");
    for wrong in [
        "Bearer",
        "Bearer ",
        "Basic abc",
        "abc",
        "Bearer  ",
        "Bearer ABC",
        &wrong_end,
        &longer,
        &hash,
        &format!("Bearer {}", "x".repeat(8000)),
    ] {
        let reply = ratio(&base, Some(wrong)).await;
        assert_eq!((reply.status, &reply.text), (401, &absent.text), "{wrong}");
        let sorted_names = |reply: &Reply| {
            let mut names: Vec<_> = reply.headers.keys().map(ToString::to_string).collect();
            names.sort();
            names
        };
        assert_eq!(sorted_names(&reply), sorted_names(&absent), "{wrong}");
    }
    let url = format!("{base}/v1/ratio");
    let twice = [
        ("authorization", "Bearer abc"),
        ("authorization", "Bearer abc"),
    ];
    assert_eq!(send(Method::POST, &url, &twice, RATIO).await.status, 401);
}

#[tokio::test]
async fn what_is_behind_the_gate_and_what_is_not() {
    let file = File::new("gate", &format!("lab:{OF_ABC}"));
    let base = serve(&["--keys-file", file.path()], &REGISTRY);
    for path in [
        "/livez",
        "/readyz",
        "/metrics",
        "/version",
        "/openapi.json",
        "/openapi.yaml",
        "/docs/",
    ] {
        let reply = send(Method::GET, &format!("{base}{path}"), &[], "").await;
        assert_eq!(reply.status, 200, "{path}");
    }
    for path in [
        "/v1/capabilities",
        "/v1/sources",
        "/v1/cautions",
        "/v1/nothing",
        "/v1/",
        "/v1",
        "/v1/batch",
    ] {
        let reply = send(Method::GET, &format!("{base}{path}"), &[], "").await;
        reply.assert_problem(401, "unauthenticated");
    }
}

#[tokio::test]
async fn a_path_spelled_with_escapes_is_behind_the_gate_too() {
    let file = File::new("escapes", &format!("lab:{OF_ABC}"));
    let base = serve(&["--keys-file", file.path()], &REGISTRY);
    // the same path, spelled with escapes
    for path in ["/%76%31/sources", "/v1%2Fsources", "/%761/sources"] {
        let reply = send(Method::GET, &format!("{base}{path}"), &[], "").await;
        assert!(
            matches!(reply.status, 401 | 404),
            "{path}: {}",
            reply.status
        );
    }
}

#[tokio::test]
async fn a_preflight_needs_no_key_and_an_answer_to_a_key_is_private() {
    let file = File::new("private", &format!("lab:{OF_ABC}"));
    let base = serve(&["--keys-file", file.path()], &REGISTRY);
    let preflight = send(Method::OPTIONS, &format!("{base}/v1/ratio"), &[], "").await;
    assert_ne!(preflight.status, 401);
    let key = [("authorization", "Bearer abc")];
    let reply = send(Method::GET, &format!("{base}/v1/sources"), &key, "").await;
    assert_eq!(reply.status, 200);
    assert!(reply.header("cache-control").starts_with("private"));
    let reply = send(Method::GET, &format!("{base}/v1/capabilities"), &key, "").await;
    assert_eq!(reply.body["access"]["key_required"], true);
    send(Method::GET, &format!("{base}/v1/nothing"), &key, "")
        .await
        .assert_problem(404, "not_found");
}

#[test]
fn a_file_that_cannot_be_used_stops_the_start_and_names_the_line() {
    for (name, text, expected) in [
        ("no-hash", "# fine\nlab\n", "line 2"),
        ("short", &format!("lab:{OF_ABC}\nother:abc\n"), "line 2"),
        (
            "twice",
            &format!("lab:{OF_ABC}\n\nlab:{}\n", "0".repeat(64)),
            "line 3",
        ),
        ("nothing", "# nobody\n", "holds no key"),
    ] {
        let file = File::new(name, text);
        let output = Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
            .args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--keys-file",
                file.path(),
            ])
            .output()
            .expect("the program runs");
        assert!(!output.status.success());
        let said = String::from_utf8(output.stderr).expect("UTF-8");
        assert!(
            said.contains(expected) && said.contains(file.path()),
            "{said}"
        );
        assert!(!said.contains(OF_ABC), "{said}");
    }
}

#[tokio::test]
async fn the_log_names_the_id_of_a_key_and_never_the_key() {
    let (key, line) = new_key("till-7");
    let file = File::new("log", &line);
    let mut service = Service::with_log(&["--keys-file", file.path(), "--log-format", "json"]);
    let right = ratio(&service.base, Some(&format!("Bearer {key}"))).await;
    assert_eq!(right.status, 200);
    let wrong = ratio(
        &service.base,
        Some(&format!("Bearer {}", key.to_uppercase())),
    )
    .await;
    assert_eq!(wrong.status, 401);
    let log = service.end();
    assert!(log.contains(r#""key.id":"till-7""#), "{log}");
    assert_eq!(log.matches("key.id").count(), 1, "{log}");
    assert!(!log.to_lowercase().contains(&key), "{log}");
}

impl Service {
    /// A service whose log can be read at its end.
    fn with_log(arguments: &[&str]) -> Self {
        Self::spawn(&[&["--log", "info"], arguments].concat(), Stdio::piped())
    }

    /// What it logged, once it has ended as an operator would end it.
    fn end(&mut self) -> String {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-TERM", &id]).status();
        assert!(sent.expect("kill runs").success());
        let mut log = String::new();
        let mut errors = self.child.stderr.take().expect("a pipe");
        errors.read_to_string(&mut log).expect("UTF-8");
        log
    }
}
