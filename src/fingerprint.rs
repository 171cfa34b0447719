//! Fingerprints: SHA-256 (FIPS 180-4) written as hexadecimal digits.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// The fingerprint of some bytes, as 64 hexadecimal digits.
#[must_use]
pub fn of(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The fingerprint of several parts; each part's length goes in first, so that moving a boundary changes it.
#[must_use]
pub fn of_parts(parts: &[&[u8]]) -> String {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    hex(&hash.finalize())
}

/// The first twelve digits, enough to tell two papers apart at a glance.
#[must_use]
pub fn short(fingerprint: &str) -> String {
    fingerprint.chars().take(12).collect()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut out, byte| {
        let _ = write!(out, "{byte:02x}");
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // FIPS 180-4, example "abc" for SHA-256.
    #[test]
    fn the_published_example() {
        assert_eq!(
            of(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn moving_a_boundary_changes_it() {
        assert_ne!(of_parts(&[b"ab", b"c"]), of_parts(&[b"a", b"bc"]));
    }
}
