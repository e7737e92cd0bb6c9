//! May this phone come in? A code that is good once and for ten minutes, and a token for each phone that had it.
//!
//! The code has 8 letters of 32: some 10^12 of them. Five wrong ones and it is void; one is tried a second at most, whoever
//! tries. Codes and tokens are compared without stopping at the first letter that differs, so that the time taken tells
//! nothing. Both come from the system's own randomness and are kept in memory only: ending the program ends every pairing.
//!
//! Left out: encryption. Whoever can listen on the same network can read along; pair on a network you trust.

use crate::refusal::{Cause, Refusal};
use qrcodegen::{QrCode, QrCodeEcc};
use std::fmt::Write;
use std::net::SocketAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Letters of a code: none that is taken for another.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// How many there are in one.
const CODE_LETTERS: usize = 8;
/// How long a code is good.
pub const CODE_GOOD: Duration = Duration::from_secs(600);
/// Wrong tries after which it is void.
const WRONG_MAX: u32 = 5;
/// Tries are at least this far apart.
const TRY_EVERY: Duration = Duration::from_secs(1);
/// How long a phone stays paired.
const PAIRED_FOR: Duration = Duration::from_secs(12 * 3600);
/// Phones paired at most; beyond it the oldest goes.
const PHONES_MAX: usize = 8;

/// The pairing of one run of the program.
pub struct Pairing {
    /// The address on the local network.
    pub address: SocketAddr,
    stands: Mutex<Stands>,
}

#[derive(Default)]
struct Stands {
    code: Option<Code>,
    tried: Option<Instant>,
    phones: Vec<(String, Instant)>,
}

struct Code {
    text: String,
    until: Instant,
    wrong: u32,
}

impl Pairing {
    /// A pairing at an address; nobody is let in yet.
    pub fn at(address: SocketAddr) -> Self {
        Self { address, stands: Mutex::default() }
    }

    fn stands(&self) -> std::sync::MutexGuard<'_, Stands> {
        self.stands.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Makes a new code; an earlier one is void.
    pub fn offer(&self, now: Instant) -> Result<String, Refusal> {
        let text: String = random::<CODE_LETTERS>()?
            .iter()
            .map(|byte| char::from(LETTERS[usize::from(byte % 32)]))
            .collect();
        self.stands().code = Some(Code { text: text.clone(), until: now + CODE_GOOD, wrong: 0 });
        Ok(text)
    }

    /// The code that is good now, if there is one.
    pub fn code(&self, now: Instant) -> Option<String> {
        self.stands().code.as_ref().filter(|code| now < code.until).map(|code| code.text.clone())
    }

    /// Tries a code; gives the token of a newly paired phone.
    pub fn pair(&self, given: &str, now: Instant) -> Result<String, Refusal> {
        let token = random::<24>()?.iter().fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        });
        let mut stands = self.stands();
        if stands.tried.is_some_and(|tried| now < tried + TRY_EVERY) {
            return Err(Refusal::new(Cause::Outsider, "codes are tried one a second")
                .hint("Wait a moment, then try again."));
        }
        stands.tried = Some(now);
        let void = || {
            Refusal::new(Cause::Outsider, "no code is good now")
                .hint("Ask for a new one at the machine: the page Phone, or `creance serve --lan`.")
        };
        let Some(code) = stands.code.as_mut().filter(|code| now < code.until) else { return Err(void()) };
        let plain: String = given
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .map(|c| c.to_ascii_uppercase())
            .collect();
        if !same(plain.as_bytes(), code.text.as_bytes()) {
            code.wrong += 1;
            let left = WRONG_MAX - code.wrong;
            if left == 0 {
                stands.code = None;
                return Err(void());
            }
            return Err(Refusal::new(
                Cause::Outsider,
                format!("that is not the code; {left} more {}", if left == 1 { "try" } else { "tries" }),
            )
            .hint("Type the 8 letters as the machine shows them."));
        }
        stands.code = None;
        if stands.phones.len() >= PHONES_MAX {
            stands.phones.remove(0);
        }
        stands.phones.push((token.clone(), now + PAIRED_FOR));
        Ok(token)
    }

    /// Whether a token is one of a paired phone.
    pub fn is_paired(&self, token: &str, now: Instant) -> bool {
        let mut stands = self.stands();
        stands.phones.retain(|(_, until)| now < *until);
        // All are looked at, also after one fits.
        stands.phones.iter().fold(false, |found, (known, _)| found | same(known.as_bytes(), token.as_bytes()))
    }

    /// How many phones are paired.
    pub fn phones(&self) -> usize {
        self.stands().phones.len()
    }

    /// The address with a code in it, for a camera to read.
    pub fn link(&self, code: &str) -> String {
        format!("http://{}/pair?code={code}", self.address)
    }
}

/// Whether two byte strings are the same, in a time that does not tell where they differ.
fn same(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}

fn random<const N: usize>() -> Result<[u8; N], Refusal> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|cause| {
        Refusal::new(
            Cause::Ours,
            format!("the system gives no random numbers: {cause}; no phone can be paired"),
        )
    })?;
    Ok(bytes)
}

fn squares(text: &str) -> Option<QrCode> {
    QrCode::encode_text(text, QrCodeEcc::Medium).ok()
}

/// A text as squares that a camera reads: SVG with the quiet margin of four squares that ISO/IEC 18004 asks for.
pub fn picture(text: &str) -> Option<String> {
    let code = squares(text)?;
    let side = code.size() + 8;
    let mut path = String::new();
    for (x, y) in (0..code.size())
        .flat_map(|y| (0..code.size()).map(move |x| (x, y)))
        .filter(|(x, y)| code.get_module(*x, *y))
    {
        let _ = write!(path, "M{} {}h1v1h-1z", x + 4, y + 4);
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" role=\"img\" shape-rendering=\"crispEdges\">\
         <title>The address with the code, to be read by a camera</title>\
         <rect width=\"{side}\" height=\"{side}\" fill=\"#ffffff\"/><path fill=\"#000000\" d=\"{path}\"/></svg>"
    ))
}

/// The same for a terminal: two rows of squares in a line of letters.
pub fn letters(text: &str) -> Option<String> {
    let code = squares(text)?;
    let dark = |x: i32, y: i32| code.get_module(x, y);
    let mut out = String::new();
    for y in (-2..code.size() + 2).step_by(2) {
        for x in -2..code.size() + 2 {
            // Light is drawn, dark left out: most terminals are dark.
            out.push(match (dark(x, y), dark(x, y + 1)) {
                (false, false) => '█',
                (false, true) => '▀',
                (true, false) => '▄',
                (true, true) => ' ',
            });
        }
        out.push('\n');
    }
    Some(out)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn pairing() -> Pairing {
        Pairing::at("192.0.2.7:4000".parse().unwrap())
    }

    #[test]
    fn a_code_is_good_once_and_for_ten_minutes() {
        let (pairing, now) = (pairing(), Instant::now());
        assert!(pairing.pair("", now).is_err(), "before there is one nothing fits");
        let code = pairing.offer(now).unwrap();
        assert_eq!(code.len(), CODE_LETTERS);
        let later = now + TRY_EVERY;
        let token = pairing.pair(&format!(" {}-{}", &code[..4].to_lowercase(), &code[4..]), later).unwrap();
        assert!(
            pairing.is_paired(&token, later)
                && !pairing.is_paired(&token[1..], later)
                && !pairing.is_paired("", later)
        );
        assert!(pairing.pair(&code, later + TRY_EVERY).is_err(), "once");
        assert!(!pairing.is_paired(&token, later + PAIRED_FOR));
        let code = pairing.offer(later).unwrap();
        assert!(pairing.pair(&code, later + CODE_GOOD).is_err(), "too late");
    }

    #[test]
    fn guessing_voids_the_code_and_is_slow() {
        let (pairing, mut now) = (pairing(), Instant::now());
        let code = pairing.offer(now).unwrap();
        for wrong in 0..WRONG_MAX {
            now += TRY_EVERY;
            assert!(pairing.pair("AAAAAAAA", now).is_err());
            let again = pairing.pair(&code, now).unwrap_err().to_string();
            assert!(again.contains("one a second"), "try {wrong}: {again}");
        }
        assert!(pairing.pair(&code, now + TRY_EVERY).is_err(), "even the right one is void now");
        assert_eq!(pairing.phones(), 0);
    }

    #[test]
    fn codes_differ_and_are_made_of_plain_letters() {
        let pairing = pairing();
        let codes: std::collections::BTreeSet<String> =
            (0..50).map(|_| pairing.offer(Instant::now()).unwrap()).collect();
        assert_eq!(codes.len(), 50);
        assert!(codes.iter().all(|code| code.bytes().all(|letter| LETTERS.contains(&letter))));
    }

    #[test]
    fn the_picture_is_square_with_its_margin() {
        let svg = picture(&pairing().link("ABCDEFGH")).unwrap();
        assert!(svg.starts_with("<svg") && svg.contains("viewBox=\"0 0 37 37\""), "{}", &svg[..80]);
        assert!(letters("x").unwrap().lines().count() > 10);
    }
}
