//! TLS for a household that wants it: under a certificate of its own, or one made here and kept.
//!
//! What it keeps true: the key of a made certificate is readable by the owner of the folder alone,
//! and the certificate stays the same over restarts, so that a device need be told once to trust it.

use super::own_file;
use crate::config::Tls;
use anyhow::{Context, bail};
use rcgen::{CertificateParams, KeyPair};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

const MADE_CERTIFICATE: &str = "tls-certificate.pem";
const MADE_KEY: &str = "tls-key.pem";
/// How long a made certificate is good for: phones trust none for more than 825 days (common
/// practice, no source).
const GOOD_FOR: Duration = Duration::from_hours(24 * 820);
/// A new one is made this long before, since a day must not end in a warning.
const RENEWED_BEFORE: Duration = Duration::from_hours(24 * 30);

/// What a listener needs to speak TLS.
pub struct Identity {
    /// The certificate, its key and the versions spoken (TLS 1.2 and 1.3).
    pub config: ServerConfig,
    /// The SHA-256 of the certificate as browsers show it, to compare by eye.
    pub fingerprint: String,
}

/// The certificate asked for, made for `names` and kept in `folder` if it is not a given one.
///
/// # Errors
/// A file cannot be read or made, holds no certificate or key, or the two do not belong together.
pub fn identity(tls: &Tls, folder: &Path, names: Vec<String>) -> anyhow::Result<Identity> {
    let (certificate, key) = match tls {
        Tls::Given { certificate, key } => (certificate.clone(), key.clone()),
        Tls::Made => made(folder, names)?,
    };
    let chain = CertificateDer::pem_file_iter(&certificate)
        .and_then(Iterator::collect::<Result<Vec<_>, _>>)
        .with_context(|| format!("{} cannot be read as PEM", certificate.display()))?;
    let Some(own) = chain.first() else {
        bail!("{} holds no certificate", certificate.display());
    };
    let fingerprint = in_pairs(&Sha256::digest(own));
    let key = PrivateKeyDer::from_pem_file(&key)
        .with_context(|| format!("{} holds no private key in PEM", key.display()))?;
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(chain, key)
        .context("the certificate and the key do not belong together")?;
    Ok(Identity {
        config,
        fingerprint,
    })
}

/// The files of the made certificate, made if they are not there or soon too old.
fn made(folder: &Path, names: Vec<String>) -> anyhow::Result<(PathBuf, PathBuf)> {
    let (certificate, key) = (folder.join(MADE_CERTIFICATE), folder.join(MADE_KEY));
    if !is_fresh(&certificate) || !key.exists() {
        make(folder, names).context("cannot make a certificate")?;
    }
    Ok((certificate, key))
}

/// Whether a made certificate will do for a while, by when its file was written.
fn is_fresh(certificate: &Path) -> bool {
    let written = std::fs::metadata(certificate).and_then(|file| file.modified());
    let age = written.map(|at| SystemTime::now().duration_since(at).unwrap_or_default());
    age.is_ok_and(|age| age < GOOD_FOR.saturating_sub(RENEWED_BEFORE))
}

fn make(folder: &Path, names: Vec<String>) -> anyhow::Result<()> {
    let pair = KeyPair::generate()?;
    let mut params = CertificateParams::new(names)?;
    params.not_before = (SystemTime::now() - Duration::from_hours(24)).into();
    params.not_after = (SystemTime::now() + GOOD_FOR).into();
    let signed = params.self_signed(&pair)?;
    // The key first: a certificate without its key is made again, a key without one is replaced.
    own_file::keep(folder, MADE_KEY, &pair.serialize_pem())?;
    own_file::keep(folder, MADE_CERTIFICATE, &signed.pem())?;
    Ok(())
}

/// `AB:CD:...`, as browsers write it.
fn in_pairs(bytes: &[u8]) -> String {
    let pairs: Vec<String> = bytes.iter().map(|byte| format!("{byte:02X}")).collect();
    pairs.join(":")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn names() -> Vec<String> {
        ["putby.local", "127.0.0.1"].map(str::to_owned).to_vec()
    }

    #[test]
    fn a_made_certificate_stays_and_is_its_owners_alone() {
        let folder = tempfile::tempdir().unwrap();
        let first = identity(&Tls::Made, folder.path(), names()).unwrap();
        let again = identity(&Tls::Made, folder.path(), names()).unwrap();
        assert_eq!(first.fingerprint, again.fingerprint);
        assert_eq!(first.fingerprint.len(), 32 * 3 - 1);
        #[cfg(unix)]
        for file in [MADE_KEY, MADE_CERTIFICATE] {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(folder.path().join(file)).unwrap();
            assert_eq!(mode.permissions().mode() & 0o777, 0o600, "{file}");
        }
    }

    #[test]
    fn an_old_certificate_is_made_anew() {
        let folder = tempfile::tempdir().unwrap();
        let first = identity(&Tls::Made, folder.path(), names()).unwrap();
        let file = std::fs::File::options()
            .write(true)
            .open(folder.path().join(MADE_CERTIFICATE))
            .unwrap();
        file.set_modified(SystemTime::now() - GOOD_FOR).unwrap();
        let later = identity(&Tls::Made, folder.path(), names()).unwrap();
        assert_ne!(first.fingerprint, later.fingerprint);
    }

    #[test]
    fn a_given_certificate_must_be_one_and_fit_its_key() {
        let (one, other) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        for folder in [&one, &other] {
            identity(&Tls::Made, folder.path(), names()).unwrap();
        }
        let given = |certificate: &Path, key: &Path| Tls::Given {
            certificate: certificate.to_owned(),
            key: key.to_owned(),
        };
        let (certificate, key) = (one.path().join(MADE_CERTIFICATE), one.path().join(MADE_KEY));
        let said = |tls: &Tls| {
            let refused = identity(tls, one.path(), Vec::new()).err().unwrap();
            format!("{refused:#}")
        };
        assert!(identity(&given(&certificate, &key), one.path(), Vec::new()).is_ok());
        let foreign = other.path().join(MADE_KEY);
        assert!(said(&given(&certificate, &foreign)).contains("do not belong together"));
        assert!(said(&given(&key, &key)).contains("holds no certificate"));
        assert!(said(&given(&certificate, &certificate)).contains("holds no private key"));
        assert!(said(&given(&one.path().join("gone.pem"), &key)).contains("cannot be read"));
    }
}
