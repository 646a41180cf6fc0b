//! TLS with a certificate that is read again when its files change.

use std::fs::Metadata;
use std::os::unix::fs::MetadataExt;
use std::path::PathBuf;
use std::sync::{Arc, PoisonError, RwLock, Weak};
use std::time::Duration;

use rustls::ServerConfig;
use rustls::crypto::{CryptoProvider, ring};
use rustls::pki_types::pem::{self, PemObject};
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use rustls::server::{ClientHello, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use thiserror::Error;

use super::settings::Settings;

/// Time between two looks at the files.
const LOOK: Duration = Duration::from_secs(2);

/// Why a certificate cannot be used.
#[derive(Debug, Error)]
pub enum TlsError {
    /// A file cannot be read, or is not PEM.
    #[error("cannot use {path}: {source}")]
    File {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        source: pem::Error,
    },
    /// The chain file holds no certificate.
    #[error("{path} holds no certificate")]
    NoCertificate {
        /// The file.
        path: PathBuf,
    },
    /// Key and certificate do not belong together, or are of a kind that is not understood.
    #[error("certificate and key: {0}")]
    Pair(#[from] rustls::Error),
}

/// The files, and what they last held that could be used.
#[derive(Debug)]
struct Pair {
    certificate: PathBuf,
    key: PathBuf,
    provider: Arc<CryptoProvider>,
    current: RwLock<Arc<CertifiedKey>>,
}

impl ResolvesServerCert for Pair {
    fn resolve(&self, _hello: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        // nobody panics while it is held; and what is in it is whole
        let current = self.current.read().unwrap_or_else(PoisonError::into_inner);
        Some(Arc::clone(&current))
    }
}

/// The configuration of a service that was given a certificate. Looks at the files from now on,
/// for as long as a listener uses it.
///
/// # Errors
/// [`TlsError`] when the certificate cannot be used.
pub(super) fn configuration(settings: &Settings) -> Result<Option<ServerConfig>, TlsError> {
    let (Some(certificate), Some(key)) = (&settings.tls_certificate, &settings.tls_key) else {
        return Ok(None);
    };
    let provider = Arc::new(ring::default_provider());
    let stamp = stamp([certificate, key]);
    let pair = Arc::new(Pair {
        current: RwLock::new(read(certificate, key, &provider)?.into()),
        certificate: certificate.clone(),
        key: key.clone(),
        provider: Arc::clone(&provider),
    });
    actix_web::rt::spawn(follow(Arc::downgrade(&pair), stamp));
    let config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_cert_resolver(pair);
    Ok(Some(config))
}

fn read(
    certificate: &PathBuf,
    key: &PathBuf,
    provider: &CryptoProvider,
) -> Result<CertifiedKey, TlsError> {
    let of_file = |path: &PathBuf| {
        let path = path.clone();
        |source| TlsError::File { path, source }
    };
    let chain = CertificateDer::pem_file_iter(certificate)
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .map_err(of_file(certificate))?;
    if chain.is_empty() {
        let path = certificate.clone();
        return Err(TlsError::NoCertificate { path });
    }
    let key = PrivateKeyDer::from_pem_file(key).map_err(of_file(key))?;
    Ok(CertifiedKey::from_der(chain, key, provider)?)
}

/// What tells that a file is another one, or was written.
type Stamp = [Option<(u64, i64, i64, u64)>; 2];

fn stamp(paths: [&PathBuf; 2]) -> Stamp {
    let of = |file: Metadata| (file.ino(), file.mtime(), file.mtime_nsec(), file.size());
    paths.map(|path| std::fs::metadata(path).ok().map(of))
}

/// Looks at the files now and then. A pair that cannot be used is told once and tried again:
/// certificate and key are two files, and one of them comes first.
async fn follow(pair: Weak<Pair>, mut used: Stamp) {
    let mut refused = used;
    loop {
        tokio::time::sleep(LOOK).await;
        let Some(pair) = pair.upgrade() else { return };
        let found = stamp([&pair.certificate, &pair.key]);
        if found == used {
            continue;
        }
        match read(&pair.certificate, &pair.key, &pair.provider) {
            Ok(fresh) => {
                let mut current = pair.current.write().unwrap_or_else(PoisonError::into_inner);
                *current = Arc::new(fresh);
                used = found;
                tracing::info!("the certificate was read again");
            }
            Err(error) if refused != found => {
                refused = found;
                tracing::error!(%error, "the new certificate cannot be used; the old one stays");
            }
            Err(_) => {}
        }
    }
}
