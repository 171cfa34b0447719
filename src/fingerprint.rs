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

    // FIPS 180-4 points to the NIST example values for SHA-256: a message of one block, and one of two (448 bits). The message of a
    // million letters stood in appendix B.3 of FIPS 180-2; the empty one is the first of SHA256ShortMsg in the NIST validation vectors.
    // All four are from memory, and were held against an independent implementation.
    #[test]
    fn the_published_examples() {
        let two_blocks = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
        assert_eq!(two_blocks.len() * 8, 448);
        let million = "a".repeat(1_000_000);
        let examples: [(&[u8], &str); 4] = [
            (
                b"abc",
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                two_blocks,
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (
                million.as_bytes(),
                "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
            ),
            (
                b"",
                "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            ),
        ];
        for (message, hash) in examples {
            assert_eq!(of(message), hash);
        }
    }

    #[test]
    fn moving_a_boundary_changes_it() {
        assert_ne!(of_parts(&[b"ab", b"c"]), of_parts(&[b"a", b"bc"]));
    }
}
