//! Is this file, byte for byte, that one?
//!
//! SHA-256 as FIPS 180-4 defines it, by a library; held against the standard's own examples here and in `conformance/`.

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::fmt;

/// Where the digest is defined, as one line.
pub const DIGEST_SOURCE: &str = "NIST FIPS 180-4 (August 2015), section 6.2";

/// A SHA-256 digest, written as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Digest([u8; 32]);

/// Why a text is no digest.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0:?} is no SHA-256 digest; it has 64 digits, 0 to 9 and a to f")]
pub struct NoDigest(pub String);

/// A digest in the making: bytes are put in as they come.
#[derive(Clone, Default)]
pub struct Summing(Sha256);

impl Digest {
    /// Reads 64 hexadecimal digits.
    pub fn read(text: &str) -> Result<Self, NoDigest> {
        let no = || NoDigest(text.chars().take(70).collect());
        let digits: Option<Vec<u8>> =
            text.trim().chars().map(|c| c.to_digit(16).and_then(|d| u8::try_from(d).ok())).collect();
        let digits = digits.filter(|digits| digits.len() == 64).ok_or_else(no)?;
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = pair[0] << 4 | pair[1];
        }
        Ok(Self(bytes))
    }

    /// The first twelve digits, for the eye; never for comparing.
    pub fn short(&self) -> String {
        self.to_string().chars().take(12).collect()
    }

    /// The eight words of 32 bits, as the standard prints them.
    pub fn words(&self) -> [u32; 8] {
        let mut words = [0; 8];
        for (word, four) in words.iter_mut().zip(self.0.chunks_exact(4)) {
            *word = four.iter().fold(0, |word, byte| word << 8 | u32::from(*byte));
        }
        words
    }
}

impl Summing {
    /// Puts more bytes in.
    pub fn put(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// The digest of all that was put in.
    pub fn digest(self) -> Digest {
        Digest(self.0.finalize().into())
    }
}

/// The digest of bytes at hand.
pub fn digest_of(bytes: &[u8]) -> Digest {
    let mut summing = Summing::default();
    summing.put(bytes);
    summing.digest()
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl TryFrom<String> for Digest {
    type Error = NoDigest;
    fn try_from(text: String) -> Result<Self, NoDigest> {
        Self::read(&text)
    }
}

impl From<Digest> for String {
    fn from(digest: Digest) -> Self {
        digest.to_string()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // Origin: the one-block example published with FIPS 180-4 ("abc"); more rows stand in conformance/digest.
    #[test]
    fn the_published_example_comes_out() {
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(digest_of(b"abc").to_string(), abc);
        assert_eq!(Digest::read(&abc.to_uppercase()).unwrap(), digest_of(b"abc"));
        assert_eq!(digest_of(b"abc").words()[0], 0xba78_16bf);
    }

    #[test]
    fn how_the_bytes_come_makes_no_difference() {
        let bytes: Vec<u8> = (0..1000_u32).map(|n| (n % 251) as u8).collect();
        let mut summing = Summing::default();
        bytes.chunks(7).for_each(|chunk| summing.put(chunk));
        assert_eq!(summing.digest(), digest_of(&bytes));
    }

    #[test]
    fn a_text_of_another_length_or_alphabet_is_refused() {
        let (short, odd, wide) = ("ba78".to_owned(), "g".repeat(64), "٣".repeat(64));
        for text in [short, odd, wide, String::new()] {
            assert!(Digest::read(&text).is_err(), "{text}");
        }
    }
}
