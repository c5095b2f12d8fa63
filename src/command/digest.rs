//! Digests of files.

use sha2::{Digest, Sha256};

/// SHA-256 in hexadecimal digits.
pub(super) fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"))
}
