//! Digests: a result carries those of pack, log and program, so that anyone can make it again.

use std::collections::BTreeMap;
use std::fmt;

/// A BLAKE3 digest, told in hexadecimal.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Digest(String);

impl Digest {
    /// All 64 hexadecimal digits.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The first twelve digits, enough to compare by eye.
    #[must_use]
    pub fn short(&self) -> &str {
        &self.0[..12]
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The digest of a file's bytes as they are.
#[must_use]
pub fn bytes(bytes: &[u8]) -> Digest {
    Digest(blake3::hash(bytes).to_hex().to_string())
}

/// The digest of named contents: each name and each content goes in with its length before it, in
/// order of names, so that no two different packs run together to the same bytes.
#[must_use]
pub fn named(contents: &BTreeMap<String, Vec<u8>>) -> Digest {
    let mut hasher = blake3::Hasher::new();
    for (name, content) in contents {
        for part in [name.as_bytes(), content] {
            hasher.update(&(part.len() as u64).to_le_bytes());
            hasher.update(part);
        }
    }
    Digest(hasher.finalize().to_hex().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blake3_of_nothing_is_the_published_one() {
        // The test vector for an empty input in the BLAKE3 specification.
        assert_eq!(bytes(b"").as_str(), "af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262");
    }

    #[test]
    fn a_name_and_a_content_do_not_run_together() {
        let one = BTreeMap::from([("ab".to_owned(), b"c".to_vec())]);
        let two = BTreeMap::from([("a".to_owned(), b"bc".to_vec())]);
        assert_ne!(named(&one), named(&two));
        assert_eq!(named(&one), named(&one.clone()));
    }
}
