//! Asks `firmware`: what is the digest of these bytes, and which of two versions comes first?

use crate::given::{Answer, Given, named, told};
use firmware::{Summing, Version};
use std::cmp::Ordering;
use toml_edit::Table;

/// A message of more bytes is no check.
const BYTES_MAX: usize = 10_000_000;

pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "digest" => digest(&given),
        "order" => order(&given),
        other => Err(format!("`{other}` is not asked of digests and versions")),
    }
}

/// The digest of a text put in again and again, handed over in chunks that fit no block.
fn digest(given: &Given) -> Result<Answer, String> {
    let (text, times, chunk) = (given.word("text")?, given.count("times")?, given.count("chunk")?);
    let times = times as usize;
    if text.len().saturating_mul(times) > BYTES_MAX || chunk == 0 {
        return Err(format!("at most {BYTES_MAX} bytes, in chunks of at least one"));
    }
    let mut summing = Summing::default();
    text.repeat(times).as_bytes().chunks(chunk as usize).for_each(|bytes| summing.put(bytes));
    let words = summing.digest().words();
    Ok(words.iter().enumerate().map(|(n, word)| (format!("word_{n}"), f64::from(*word))).collect())
}

fn order(given: &Given) -> Result<Answer, String> {
    let version = |key| Version::read(given.word(key)?).map_err(told);
    let order = match version("a")?.cmp(&version("b")?) {
        Ordering::Less => -1.0,
        Ordering::Equal => 0.0,
        Ordering::Greater => 1.0,
    };
    Ok(named([("order", order)]))
}
