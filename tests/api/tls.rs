//! TLS by the service itself, with certificates made for the test.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rustls::crypto::ring;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use crate::support::Service;

/// A folder with a certificate and its key, gone when dropped.
struct Files {
    folder: PathBuf,
}

impl Files {
    fn new(name: &str) -> Self {
        let name = format!("extraction-maths-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a folder");
        Self { folder }
    }

    fn path(&self, name: &str) -> String {
        let path = self.folder.join(name);
        path.to_str().expect("a plain name").to_owned()
    }

    /// Puts a fresh pair there; what a client has to trust.
    fn renew(&self) -> CertificateDer<'static> {
        let pair = rcgen::generate_simple_self_signed(["localhost".to_owned()]).expect("a pair");
        self.write("certificate.pem", &pair.cert.pem());
        self.write("key.pem", &pair.signing_key.serialize_pem());
        pair.cert.der().clone()
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).expect("written");
    }

    fn serve(&self) -> Service {
        let (certificate, key) = (self.path("certificate.pem"), self.path("key.pem"));
        Service::start(&["--tls-certificate", &certificate, "--tls-key", &key])
    }
}

impl Drop for Files {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// The answer over TLS to a caller that trusts one certificate.
fn ask(
    service: &Service,
    trusted: &CertificateDer<'static>,
    alpn: &str,
) -> std::io::Result<String> {
    let mut roots = RootCertStore::empty();
    roots.add(trusted.clone()).expect("a certificate");
    let mut config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .expect("versions")
        .with_root_certificates(roots)
        .with_no_client_auth();
    config.alpn_protocols = vec![alpn.into()];
    let name = ServerName::try_from("localhost").expect("a name");
    let connection = ClientConnection::new(Arc::new(config), name).expect("a connection");
    let address = service.base.trim_start_matches("https://");
    let mut stream = StreamOwned::new(connection, TcpStream::connect(address)?);
    let request =
        "GET /v1/ratio?dose_g=18&brew_ratio=2 HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\r\n";
    stream.write_all(request.as_bytes())?;
    let mut text = String::new();
    stream.read_to_string(&mut text)?;
    Ok(text)
}

fn until(mut is_so: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is_so() {
        assert!(begun.elapsed() < Duration::from_secs(20), "it never is");
        std::thread::yield_now();
    }
}

#[test]
fn a_service_with_a_certificate_speaks_tls_and_nothing_else() {
    let files = Files::new("tls-alone");
    let trusted = files.renew();
    let service = files.serve();
    assert!(service.base.starts_with("https://"), "{}", service.base);
    let answer = ask(&service, &trusted, "http/1.1").expect("an answer");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer.contains(r#""beverage_mass_g":36.0"#), "{answer}");
    // HTTP/2 is not on offer: it ends at a proxy
    assert!(ask(&service, &trusted, "h2").is_err());
    let stranger = Files::new("tls-stranger").renew();
    assert!(ask(&service, &stranger, "http/1.1").is_err());
    let mut plain = TcpStream::connect(service.base.trim_start_matches("https://")).expect("open");
    plain
        .write_all(b"GET /livez HTTP/1.1\r\nhost: a\r\n\r\n")
        .expect("sent");
    let mut bytes = Vec::new();
    // an alert and the end, or the end alone
    let _ = plain.read_to_end(&mut bytes);
    assert!(!bytes.starts_with(b"HTTP"), "{bytes:?}");
}

#[test]
fn a_new_certificate_is_taken_up_and_a_broken_one_is_not() {
    let files = Files::new("tls-renewed");
    let first = files.renew();
    let service = files.serve();
    assert!(ask(&service, &first, "http/1.1").is_ok());
    let second = files.renew();
    until(|| ask(&service, &second, "http/1.1").is_ok());
    assert!(ask(&service, &first, "http/1.1").is_err());
    // a key of another certificate
    let another = Files::new("tls-another");
    another.renew();
    let key = std::fs::read_to_string(another.path("key.pem")).expect("a key");
    files.write("key.pem", &key);
    let is_told = |line: &String| line.contains("the old one stays");
    until(|| service.log().iter().any(is_told));
    assert!(ask(&service, &second, "http/1.1").is_ok());
    let third = files.renew();
    until(|| ask(&service, &third, "http/1.1").is_ok());
}

#[test]
fn a_certificate_that_cannot_be_used_stops_the_start() {
    let files = Files::new("tls-broken");
    files.renew();
    let refusal = |certificate: &str, key: &str| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
            .args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--tls-certificate",
                certificate,
            ])
            .args(["--tls-key", key])
            .output()
            .expect("the program starts");
        assert!(!output.status.success());
        String::from_utf8(output.stderr).expect("text")
    };
    let (certificate, key) = (files.path("certificate.pem"), files.path("key.pem"));
    assert!(refusal(&files.path("none.pem"), &key).contains("none.pem"));
    files.write("empty.pem", "");
    assert!(refusal(&files.path("empty.pem"), &key).contains("empty.pem holds no certificate"));
    assert!(refusal(&certificate, &certificate).contains("certificate.pem"));
}
